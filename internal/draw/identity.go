package draw

import (
	"fmt"
	"image/color"
	"strings"
)

// Identity is the colours of the themes as custom properties of CSS, for pages: what means
// the same has the same colour in a chart, on a page and in a drawing of the browser. Text
// in one of them can be read on the paper.
func Identity() string {
	var b strings.Builder
	b.WriteString(":root{color-scheme:light dark;")
	Light.properties(&b)
	b.WriteString("}\n@media screen and (prefers-color-scheme:dark){:root{")
	Dark.properties(&b)
	b.WriteString("}}\n")
	return b.String()
}

func (t Theme) properties(b *strings.Builder) {
	for _, p := range []struct {
		name  string
		color color.RGBA
	}{
		{"paper", t.Background}, {"ink", t.Ink}, {"soft", t.TextColorOn(t.Muted, t.Zone)}, {"line", Mix(t.Grid, t.Muted, 0.15)}, {"edge", Mix(t.Background, t.Muted, 0.75)}, {"sunk", Mix(t.Background, t.Zone, 0.6)},
		{"mine", t.TextColorOn(t.After, t.Zone)}, {"mine-pale", Mix(t.Background, t.After, 0.14)}, {"on-mine", t.Background},
		{"easier", t.TextColorOn(t.Below, t.Zone)}, {"harder", t.TextColorOn(t.Above, t.Zone)},
		{"skin", t.Body().Near}, {"skin-line", t.Body().Outline}, {"far", t.Body().Far}, {"far-line", Mix(t.Body().Outline, t.Background, 0.45)}, {"pole", Mix(t.Background, t.Muted, 0.45)}, {"pole-edge", t.Muted},
		{"force", t.TextColorOn(t.Force, t.Zone)}, {"weight", t.TextColorOn(t.Weight, t.Zone)}, {"moment", t.TextColorOn(t.Moment, t.Zone)},
	} {
		fmt.Fprintf(b, "--%s:#%02x%02x%02x;", p.name, p.color.R, p.color.G, p.color.B)
	}
}
