package chart

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
		{"paper", t.Background}, {"ink", t.Ink}, {"soft", t.textColorOn(t.Muted, t.Zone)}, {"line", mix(t.Grid, t.Muted, 0.15)}, {"edge", mix(t.Background, t.Muted, 0.75)}, {"sunk", mix(t.Background, t.Zone, 0.6)},
		{"mine", t.textColorOn(t.After, t.Zone)}, {"mine-pale", mix(t.Background, t.After, 0.14)}, {"on-mine", t.Background},
		{"easier", t.textColorOn(t.Below, t.Zone)}, {"harder", t.textColorOn(t.Above, t.Zone)},
		{"skin", t.body().near}, {"skin-line", t.body().outline}, {"far", t.body().far}, {"far-line", mix(t.body().outline, t.Background, 0.45)}, {"pole", mix(t.Background, t.Muted, 0.45)}, {"pole-edge", t.Muted},
		{"force", t.textColorOn(t.Force, t.Zone)}, {"weight", t.textColorOn(t.Weight, t.Zone)}, {"moment", t.textColorOn(t.Moment, t.Zone)},
	} {
		fmt.Fprintf(b, "--%s:#%02x%02x%02x;", p.name, p.color.R, p.color.G, p.color.B)
	}
}
