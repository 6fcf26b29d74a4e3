package chart

import (
	"bytes"
	"fmt"
	"strings"
	"sync"

	xfont "golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/font/liberation"
)

// fontFaces returns Liberation Sans, regular and bold. It comes with the
// program, so that a figure looks the same on every machine.
var fontFaces = sync.OnceValue(func() [2]font.Face {
	cache := font.NewCache(liberation.Collection())
	find := func(w xfont.Weight) font.Face {
		return cache.Lookup(font.Font{Typeface: "Liberation", Variant: "Sans", Weight: w}, 1)
	}
	return [2]font.Face{find(xfont.WeightNormal), find(xfont.WeightBold)}
})

func face(bold bool) font.Face {
	if bold {
		return fontFaces()[1]
	}
	return fontFaces()[0]
}

// fontBytes returns the font as a TrueType file.
func fontBytes(bold bool) ([]byte, error) {
	f, b := face(bold), bytes.Buffer{}
	_, err := f.Face.WriteSourceTo(nil, &b)
	return b.Bytes(), err
}

// textWidth is the width of one line of text in pt.
func textWidth(s string, bold bool, size float64) float64 {
	f := face(bold)
	return f.Width(s).Points() * size
}

// ascent and descent are the font's reach above and below the base line as
// shares of its size.
var ascent, descent = func() (float64, float64) {
	f := face(false)
	e := f.Extents()
	return e.Ascent.Points(), e.Descent.Points()
}()

// checkGlyphs says which character of s the font cannot draw.
func checkGlyphs(s string) error {
	var buf sfnt.Buffer
	for _, r := range s {
		if i, err := face(false).Face.GlyphIndex(&buf, r); err != nil || i == 0 {
			return fmt.Errorf("chart: the font has no glyph for %q in %q", r, s)
		}
	}
	return nil
}

// words splits at ordinary spaces alone: a no-break space holds a number and
// its unit together.
func words(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' })
}

// wrap breaks s into lines no wider than width.
func wrap(s string, bold bool, size, width float64) ([]string, error) {
	var lines []string
	line := ""
	for _, w := range words(s) {
		if textWidth(w, bold, size) > width {
			return nil, fmt.Errorf("chart: %q does not fit into %.0f pt", w, width)
		}
		switch {
		case line == "":
			line = w
		case textWidth(line+" "+w, bold, size) <= width:
			line += " " + w
		default:
			lines = append(lines, line)
			line = w
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines, nil
}

// balance is wrap with the narrowest width that needs no more lines, so that
// a title does not end in a single word.
func balance(s string, bold bool, size, width float64) ([]string, error) {
	best, err := wrap(s, bold, size, width)
	if err != nil {
		return nil, err
	}
	for w := width; w > 0; w -= size / 2 {
		lines, err := wrap(s, bold, size, w)
		if err != nil || len(lines) > len(best) {
			break
		}
		best = lines
	}
	return best, nil
}
