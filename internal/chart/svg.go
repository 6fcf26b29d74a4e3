package chart

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/color"
	"strconv"
)

// openGroup begins what is drawn, and sets what all of it has in common.
const openGroup = `<g font-family="'Liberation Sans', Arial, Helvetica, sans-serif" stroke-linejoin="round" xml:space="preserve">` + "\n"

// encodeSVG writes text as text, so that it can be read aloud, searched and
// edited, and the file stays below 20 kB. Where Liberation Sans is missing,
// Arial and Helvetica have the same widths; with any other font, viewers that
// know textLength (all browsers; not librsvg) keep every line as wide as it was
// laid out.
func encodeSVG(s *sheet, title, alt, language string) []byte {
	var b bytes.Buffer
	w, h := decimal(s.size.width), decimal(s.size.height)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%spt" height="%spt" viewBox="0 0 %s %s" xml:lang="%s" role="img" aria-labelledby="title desc">`+"\n", w, h, w, h, language)
	fmt.Fprintf(&b, "<title id=\"title\">%s</title>\n<desc id=\"desc\">%s</desc>\n", escape(title), escape(alt))
	fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="%s"/>`+"\n", w, h, hex(s.theme.Background))
	b.WriteString(openGroup)
	writeItems(&b, s.items, func(_ int, attribute string, c color.RGBA) string {
		return fmt.Sprintf(`%s="%s"`, attribute, hex(c))
	})
	b.WriteString("</g>\n</svg>\n")
	return b.Bytes()
}

// writeItems writes what a sheet holds; paint gives the attributes that colour the
// k-th item, of which attribute is fill or stroke.
func writeItems(b *bytes.Buffer, items []item, paint func(k int, attribute string, c color.RGBA) string) {
	for k, item := range items {
		switch i := item.(type) {
		case *stroke:
			fmt.Fprintf(b, `<path d="%s" fill="none" %s stroke-width="%s"`, pathData(i.points), paint(k, "stroke", i.color), decimal(i.width))
			for n, d := range i.dash {
				lead := ","
				if n == 0 {
					lead = ` stroke-dasharray="`
				}
				b.WriteString(lead + decimal(d))
			}
			if len(i.dash) > 0 {
				b.WriteByte('"')
			}
			b.WriteString("/>\n")
		case *fill:
			fmt.Fprintf(b, `<path d="%sZ" %s/>`+"\n", pathData(i.points), paint(k, "fill", i.color))
		case *disc:
			fmt.Fprintf(b, `<circle cx="%s" cy="%s" r="%s" %s/>`+"\n", decimal(i.center.x), decimal(i.center.y), decimal(i.radius), paint(k, "fill", i.color))
		case *run:
			weight := ""
			if i.bold {
				weight = ` font-weight="bold"`
			}
			fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s"%s %s textLength="%s" lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
				decimal(i.at.x), decimal(i.at.y), decimal(i.size), weight, paint(k, "fill", i.color), decimal(i.width), escape(i.text))
		}
	}
}

func pathData(points []point) string {
	var b []byte
	for i, p := range points {
		c := byte('L')
		if i == 0 {
			c = 'M'
		}
		b = append(b, c)
		b = append(b, decimal(p.x)...)
		b = append(b, ' ')
		b = append(b, decimal(p.y)...)
	}
	return string(b)
}

// decimal writes hundredths of a point, finer than any printer.
func decimal(v float64) string {
	s := strconv.FormatFloat(v, 'f', 2, 64)
	for s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	if s[len(s)-1] == '.' {
		s = s[:len(s)-1]
	}
	if s == "-0" {
		return "0"
	}
	return s
}

func hex(c color.RGBA) string { return fmt.Sprintf("#%02X%02X%02X", c.R, c.G, c.B) }

func escape(s string) string {
	var b bytes.Buffer
	_ = xml.EscapeText(&b, []byte(s)) // a bytes.Buffer takes everything
	return b.String()
}
