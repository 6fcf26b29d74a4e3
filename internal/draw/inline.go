package draw

import (
	"bytes"
	"errors"
	"fmt"
	"image/color"
	"maps"
	"math"
	"regexp"
	"slices"
	"strings"
)

// An upright figure is as tall as its rows make it, where nothing bounds its height.
type upright interface {
	NaturalHeight(size Size, loose bool) (float64, error)
	Unbounded() Figure // it, told that nothing bounds its height
}

var inlineID = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_-]*$`)

// mostGrowth is how much taller than its size an inline figure may become so that
// all of it fits.
const mostGrowth = 12

// Inline returns a figure as one svg element to stand in an HTML page. It has no
// width of its own: the page's style says how wide it is, and Size says for which
// width the type suits (Print and Slide for the width of a page, Phone for a
// telephone; a page can hold both and show one). A figure that needs more height
// than its size has becomes taller. The id is that of the element and begins those of
// its title and description; it must be the only one of the page and be made of
// letters, digits, - and _, a letter first.
//
// Colours are those of Light and, on a screen whose user prefers dark, those of Dark.
// The style that says so has classes named after the two colours, so that those of
// several figures in one page agree. Nothing is loaded and nothing is run.
func Inline(f Figure, size Size, id string) (string, error) {
	return inline(f, size, id, layoutTall)
}

// InlineFixed is Inline at the very size, for a page that is printed: what needs more
// room is set in smaller type.
func InlineFixed(f Figure, size Size, id string) (string, error) {
	return inline(f, size, id, func(f Figure, size Size) (*Sheet, error) { return Layout(f, size, Light) })
}

func inline(f Figure, size Size, id string, lay func(Figure, Size) (*Sheet, error)) (string, error) {
	if !inlineID.MatchString(id) {
		return "", fmt.Errorf("chart: found the id %q, allowed: letters, digits, - and _, a letter first", id)
	}
	if size.Width <= 0 {
		return "", errors.New("chart: size must be among those that the package offers or made from them")
	}
	size.Within = true
	if u, ok := f.(upright); ok {
		f = u.Unbounded()
	}
	light, err := lay(f, size)
	if err != nil {
		return "", err
	}
	// The dark one is laid out in the same type and height.
	dark, err := PlaceIn(f, light.Size, Dark, light.Loose)
	if err != nil {
		return "", err
	}
	if len(light.Items) != len(dark.Items) {
		return "", fmt.Errorf("chart: %d shapes in the theme %s, %d in %s", len(light.Items), Light.Name, len(dark.Items), Dark.Name)
	}
	var items bytes.Buffer
	rules := map[string]string{}
	writeItems(&items, light.Items, func(k int, attribute string, c color.RGBA) string {
		plain := fmt.Sprintf(`%s="%s"`, attribute, hex(c))
		other := dark.Items[k].hue()
		if other == c {
			return plain
		}
		class := attribute[:1] + hex(c)[1:] + hex(other)[1:]
		rules[class] = fmt.Sprintf(".%s{%s:%s}", class, attribute, hex(other))
		return plain + ` class="` + class + `"`
	})
	title, _ := f.Heading()
	w, h := decimal(light.Size.Width), decimal(light.Size.Height)
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" id="%[1]s" viewBox="0 0 %[2]s %[3]s" lang="%[4]s" role="img" aria-labelledby="%[1]s-title %[1]s-desc">`+"\n", id, w, h, Language(f))
	fmt.Fprintf(&b, "<title id=\"%[1]s-title\">%[2]s</title>\n<desc id=\"%[1]s-desc\">%[3]s</desc>\n", id, escape(title), escape(f.Alt()))
	background := "f" + hex(Light.Background)[1:] + hex(Dark.Background)[1:]
	rules[background] = fmt.Sprintf(".%s{fill:%s}", background, hex(Dark.Background))
	classes := slices.Sorted(maps.Values(rules))
	fmt.Fprintf(&b, "<style>@media screen and (prefers-color-scheme:dark){%s}</style>\n", strings.Join(classes, ""))
	fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="%s" class="%s"/>`+"\n", w, h, hex(Light.Background), background)
	b.WriteString(openGroup)
	b.Write(items.Bytes())
	b.WriteString("</g>\n</svg>\n")
	return b.String(), nil
}

// layoutTall lays a figure out at the least height, from that of the size on, at
// which it fits, or at the height that it asks for.
func layoutTall(f Figure, size Size) (*Sheet, error) {
	if u, ok := f.(upright); ok {
		if err := f.Check(); err != nil {
			return nil, err
		}
		for _, loose := range []bool{false, true} {
			height, err := u.NaturalHeight(size, loose)
			if err != nil {
				continue
			}
			if s, err := PlaceIn(f, size.Tall(height), Light, loose); err == nil {
				return s, nil
			}
		}
	}
	// Where more height does not help, it is the width that is short.
	for _, draw := range []func(Size) (*Sheet, error){
		func(z Size) (*Sheet, error) { return PlaceIn(f, z, Light, false) },
		func(z Size) (*Sheet, error) { return Layout(f, z, Light) },
	} {
		if s, ok := leastHeight(size, draw); ok {
			return s, nil
		}
	}
	return Layout(f, size, Light)
}

// leastHeight draws at the least height, to a twentieth, from that of a size on and up
// to mostGrowth times it, at which that succeeds.
func leastHeight(size Size, draw func(Size) (*Sheet, error)) (*Sheet, bool) {
	var found *Sheet
	short, tall := 0.0, size.Height // too short, and high enough
	for {
		if s, err := draw(size.Tall(tall)); err == nil {
			found = s
			break
		}
		if short, tall = tall, min(math.Round(1.6*tall), mostGrowth*size.Height); short == tall {
			return nil, false
		}
	}
	for short > 0 && tall-short > 0.05*tall {
		middle := math.Round((short + tall) / 2)
		if s, err := draw(size.Tall(middle)); err == nil {
			found, tall = s, middle
		} else {
			short = middle
		}
	}
	return found, true
}
