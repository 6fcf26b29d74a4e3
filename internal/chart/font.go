package chart

import (
	"bytes"
	"fmt"
	"math"
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
	if bold {
		return measured[1].width(s) * size
	}
	return measured[0].width(s) * size
}

// measured are the regular and the bold face's letters as far as they were measured.
var measured = [2]*letters{
	{bold: false, alone: map[rune]int{}, pairs: map[[2]rune]int{}},
	{bold: true, alone: map[rune]int{}, pairs: map[[2]rune]int{}},
}

// letters keeps the widths of letters and what each adds after another, which kerning
// moves it to or from, in whole units of the font. A layout that is tried in many ways
// measures the same text again and again, and looking kerning up takes most of its time.
type letters struct {
	bold  bool
	mutex sync.RWMutex
	alone map[rune]int
	pairs map[[2]rune]int
}

// width is the width of one line of text of size 1.
func (l *letters) width(s string) float64 {
	f := face(l.bold)
	scale := f.Font.Size.Points() / float64(f.Face.UnitsPerEm())
	l.mutex.RLock()
	sum, known := l.sum(s)
	l.mutex.RUnlock()
	if !known {
		l.mutex.Lock()
		l.learn(s, func(s string) int { return int(math.Round(f.Width(s).Points() / scale)) })
		sum, _ = l.sum(s)
		l.mutex.Unlock()
	}
	return float64(sum) * scale
}

// sum adds a text up; known is whether all of it was learned.
func (l *letters) sum(s string) (sum int, known bool) {
	before := rune(-1)
	known = true
	for _, r := range s {
		var units int
		if before < 0 {
			units, known = l.alone[r]
		} else {
			units, known = l.pairs[[2]rune{before, r}]
		}
		if !known {
			return 0, false
		}
		sum, before = sum+units, r
	}
	return sum, true
}

// learn measures what sum needs for a text.
func (l *letters) learn(s string, measure func(string) int) {
	before := rune(-1)
	for _, r := range s {
		if before < 0 {
			l.alone[r] = measure(string(r))
		} else {
			l.pairs[[2]rune{before, r}] = measure(string([]rune{before, r})) - measure(string(before))
		}
		before = r
	}
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

// wordsOf splits at ordinary spaces alone: a no-break space holds a number and
// its unit together.
func wordsOf(s string) []string {
	return strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' })
}

// Writable says whether the font has a glyph for every character of a text, so
// that a figure can show it.
func Writable(text string) bool { return checkGlyphs(text) == nil }

// wrap breaks s into lines no wider than width.
func wrap(s string, bold bool, size, width float64) ([]string, error) {
	var lines []string
	line := ""
	for _, w := range wordsOf(s) {
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

// wrap is wrap on the sheet: where it is loose, a word that is wider than the width is
// broken.
func (s *sheet) wrap(text string, bold bool, size, width float64) ([]string, error) {
	return wrap(s.broken(text, bold, size, width), bold, size, width)
}

// balance is balance on the sheet, with words broken as by its wrap.
func (s *sheet) balance(text string, bold bool, size, width float64) ([]string, error) {
	return balance(s.broken(text, bold, size, width), bold, size, width)
}

// broken puts a space into every word that is wider than the width, where the sheet is
// loose: at a no-break space or hyphen if there is one, else wherever the line is full.
func (s *sheet) broken(text string, bold bool, size, width float64) string {
	if !s.loose {
		return text
	}
	var parts []string
	for _, w := range wordsOf(text) {
		for textWidth(w, bold, size) > width {
			cut, soft := 0, 0
			for i, r := range w {
				if i > 0 && textWidth(w[:i], bold, size) > width {
					break
				}
				if cut = i; r == '\u00a0' || i > 0 && w[i-1] == '-' {
					soft = i
				}
			}
			if soft > 0 {
				cut = soft
			}
			if cut == 0 {
				break // not even one letter has room
			}
			parts = append(parts, w[:cut])
			w = strings.TrimPrefix(w[cut:], "\u00a0")
		}
		parts = append(parts, w)
	}
	return strings.Join(parts, " ")
}
