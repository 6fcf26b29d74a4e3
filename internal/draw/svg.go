package draw

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/color"
	"strconv"
)

// openGroup begins what is drawn, and sets what all of it has in common.
const openGroup = `<g font-family="'Liberation Sans', Arial, Helvetica, sans-serif" stroke-linejoin="round" xml:space="preserve">` + "\n"

// EncodeSVG writes text as text, so that it can be read aloud, searched and
// edited, and the file stays below 20 kB. Where Liberation Sans is missing,
// Arial and Helvetica have the same widths; with any other font, viewers that
// know textLength (all browsers; not librsvg) keep every line as wide as it was
// laid out.
func EncodeSVG(s *Sheet, title, alt, language string) []byte {
	var b bytes.Buffer
	w, h := decimal(s.Size.Width), decimal(s.Size.Height)
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="%spt" height="%spt" viewBox="0 0 %s %s" xml:lang="%s" role="img" aria-labelledby="title desc">`+"\n", w, h, w, h, language)
	fmt.Fprintf(&b, "<title id=\"title\">%s</title>\n<desc id=\"desc\">%s</desc>\n", escape(title), escape(alt))
	fmt.Fprintf(&b, `<rect width="%s" height="%s" fill="%s"/>`+"\n", w, h, hex(s.Theme.Background))
	b.WriteString(openGroup)
	writeItems(&b, s.Items, func(_ int, attribute string, c color.RGBA) string {
		return fmt.Sprintf(`%s="%s"`, attribute, hex(c))
	})
	b.WriteString("</g>\n</svg>\n")
	return b.Bytes()
}

// writeItems writes what a sheet holds; paint gives the attributes that colour the
// k-th item, of which attribute is fill or stroke.
func writeItems(b *bytes.Buffer, items []Item, paint func(k int, attribute string, c color.RGBA) string) {
	for k, item := range items {
		switch i := item.(type) {
		case *Stroke:
			fmt.Fprintf(b, `<path d="%s" fill="none" %s stroke-width="%s"`, pathData(i.Points), paint(k, "stroke", i.Color), decimal(i.Width))
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
		case *Fill:
			fmt.Fprintf(b, `<path d="%sZ" %s/>`+"\n", pathData(i.Points), paint(k, "fill", i.Color))
		case *Disc:
			fmt.Fprintf(b, `<circle cx="%s" cy="%s" r="%s" %s/>`+"\n", decimal(i.Center.X), decimal(i.Center.Y), decimal(i.Radius), paint(k, "fill", i.Color))
		case *Run:
			weight := ""
			if i.Bold {
				weight = ` font-weight="bold"`
			}
			fmt.Fprintf(b, `<text x="%s" y="%s" font-size="%s"%s %s textLength="%s" lengthAdjust="spacingAndGlyphs">%s</text>`+"\n",
				decimal(i.At.X), decimal(i.At.Y), decimal(i.Size), weight, paint(k, "fill", i.Color), decimal(i.Width), escape(i.Text))
		}
	}
}

func pathData(points []Point) string {
	var b []byte
	for i, p := range points {
		c := byte('L')
		if i == 0 {
			c = 'M'
		}
		b = append(b, c)
		b = append(b, decimal(p.X)...)
		b = append(b, ' ')
		b = append(b, decimal(p.Y)...)
	}
	return string(b)
}

// decimal writes hundredths of a point, finer than any printer.
func decimal(v float64) string {
	s := strconv.FormatFloat(settled(v), 'f', 2, 64)
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
