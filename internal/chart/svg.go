package chart

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/color"
	"strconv"
)

// encodeSVG writes text as text, so that it can be read aloud, searched and
// edited, and the file stays below 20 kB. Where Liberation Sans is missing,
// Arial and Helvetica have the same widths; with any other font, viewers that
// know textLength (all browsers; not librsvg) keep every line as wide as it was
// laid out.
func encodeSVG(s *sheet, title, alt string) []byte {
	var b bytes.Buffer
	w, h := decimal(s.size.width), decimal(s.size.height)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%spt" height="%spt" viewBox="0 0 %s %s" role="img" aria-labelledby="title desc">`+"\n", w, h, w, h)
	fmt.Fprintf(&b, "<title id=\"title\">%s</title>\n<desc id=\"desc\">%s</desc>\n", escape(title), escape(alt))
	fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="%s"/>`+"\n", w, h, hex(s.theme.Background))
	b.WriteString(`<g font-family="'Liberation Sans', Arial, Helvetica, sans-serif" stroke-linejoin="round" xml:space="preserve">` + "\n")
	for _, item := range s.items {
		switch i := item.(type) {
		case *stroke:
			fmt.Fprintf(&b, `<path d="%s" fill="none" stroke="%s" stroke-width="%s"`, pathData(i.points), hex(i.color), decimal(i.width))
			for k, d := range i.dash {
				lead := ","
				if k == 0 {
					lead = ` stroke-dasharray="`
				}
				b.WriteString(lead + decimal(d))
			}
			if len(i.dash) > 0 {
				b.WriteByte('"')
			}
			b.WriteString("/>\n")
		case *fill:
			fmt.Fprintf(&b, `<path d="%sZ" fill="%s"/>`+"\n", pathData(i.points), hex(i.color))
		case *disc:
			fmt.Fprintf(&b, `<circle cx="%s" cy="%s" r="%s" fill="%s"/>`+"\n", decimal(i.center.x), decimal(i.center.y), decimal(i.radius), hex(i.color))
		case *run:
			weight := ""
			if i.bold {
				weight = ` font-weight="bold"`
			}
			fmt.Fprintf(&b, `<text x="%s" y="%s" font-size="%s"%s fill="%s" textLength="%s" lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
				decimal(i.at.x), decimal(i.at.y), decimal(i.size), weight, hex(i.color), decimal(i.width), escape(i.text))
		}
	}
	b.WriteString("</g>\n</svg>\n")
	return b.Bytes()
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
