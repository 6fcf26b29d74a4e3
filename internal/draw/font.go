package draw

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
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

// Face is the regular or the bold font.
func Face(bold bool) font.Face {
	if bold {
		return fontFaces()[1]
	}
	return fontFaces()[0]
}

// fontBytes returns the font as a TrueType file.
func fontBytes(bold bool) ([]byte, error) {
	f, b := Face(bold), bytes.Buffer{}
	_, err := f.Face.WriteSourceTo(nil, &b)
	return b.Bytes(), err
}

// TextWidth is the width of one line of text in pt.
func TextWidth(s string, bold bool, size float64) float64 {
	return lettersOf(bold).width(s) * size
}

func lettersOf(bold bool) *letters {
	if bold {
		return measured[1]
	}
	return measured[0]
}

// measured are the regular and the bold face's letters as far as they were measured.
var measured = [2]*letters{
	{bold: false, pairs: map[[2]rune]int{}},
	{bold: true, pairs: map[[2]rune]int{}},
}

// letters keeps what each letter adds to the width of a line after the one before it, in
// whole units of the font: its own width, which kerning changes. A layout that is tried in
// many ways measures the same text again and again.
type letters struct {
	bold  bool
	mutex sync.RWMutex
	plain [128][128]int16 // of ASCII: one more than what is added, 0 where not yet measured
	pairs map[[2]rune]int // of others
}

// first stands before a line's first letter.
const first rune = 0

// width is the width of one line of text of size 1.
func (l *letters) width(s string) float64 {
	width, _ := l.measure(s, 1, math.Inf(1))
	return width
}

// measure adds letters up to the width of a text of a size, as long as it is within
// most: fits is how many bytes of the text that is.
func (l *letters) measure(s string, size, most float64) (width float64, fits int) {
	f := Face(l.bold)
	scale := f.Font.Size.Points() / float64(f.Face.UnitsPerEm())
	sum, before := 0, first
	l.mutex.RLock()
	defer l.mutex.RUnlock()
	for i, r := range s {
		units, known := l.added(before, r)
		if !known {
			l.mutex.RUnlock()
			units = l.learn(before, r, func(s string) int { return int(math.Round(f.Width(s).Points() / scale)) })
			l.mutex.RLock()
		}
		if sum += units; float64(sum)*scale*size > most {
			return width, i
		}
		width, before = float64(sum)*scale*size, r
	}
	return width, len(s)
}

// added is what a letter adds after another, and whether that was measured.
func (l *letters) added(before, r rune) (units int, known bool) {
	if uint32(before|r) < 128 {
		more := l.plain[before][r]
		return int(more) - 1, more != 0
	}
	units, known = l.pairs[[2]rune{before, r}]
	return units, known
}

// learn measures what a letter adds after another.
func (l *letters) learn(before, r rune, measure func(string) int) (units int) {
	if before == first {
		units = measure(string(r))
	} else {
		units = measure(string([]rune{before, r})) - measure(string(before))
	}
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if uint32(before|r) < 128 {
		l.plain[before][r] = int16(units) + 1
	} else {
		l.pairs[[2]rune{before, r}] = units
	}
	return units
}

// Ascent and descent are the font's reach above and below the base line as
// shares of its size.
var Ascent, Descent = func() (float64, float64) {
	f := Face(false)
	e := f.Extents()
	return e.Ascent.Points(), e.Descent.Points()
}()

// checkGlyphs says which character of s the font cannot draw.
func checkGlyphs(s string) error {
	var buf sfnt.Buffer
	for _, r := range s {
		if i, err := Face(false).Face.GlyphIndex(&buf, r); err != nil || i == 0 {
			return fmt.Errorf("chart: the font has no glyph for %q in %q", r, s)
		}
	}
	return nil
}

// WordsOf splits at ordinary spaces alone: a no-break space holds a number and
// its unit together. From a number to a number is one word.
func WordsOf(s string) []string {
	words := strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == '\n' || r == '\t' || r == '\r' })
	kept := words[:0]
	for i := 0; i < len(words); i++ {
		if n := len(kept); words[i] == "to" && n > 0 && i+1 < len(words) && numberEnd.MatchString(kept[n-1]) && numberStart.MatchString(words[i+1]) {
			kept[n-1] += " to " + words[i+1]
			i++
			continue
		}
		kept = append(kept, words[i])
	}
	return kept
}

// How a word ends that is a number with or without its sign, and how one begins.
var numberEnd, numberStart = regexp.MustCompile(`\d[%°]?$`), regexp.MustCompile(`^[+−±]?\d`)

// Writable says whether the font has a glyph for every character of a text, so
// that a figure can show it.
func Writable(text string) bool { return checkGlyphs(text) == nil }

// Wrap breaks s into lines no wider than width.
func Wrap(s string, bold bool, size, width float64) ([]string, error) {
	var lines []string
	line := ""
	for _, w := range WordsOf(s) {
		if TextWidth(w, bold, size) > width {
			return nil, fmt.Errorf("chart: %q does not fit into %.0f pt", w, width)
		}
		switch {
		case line == "":
			line = w
		case TextWidth(line+" "+w, bold, size) <= width:
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
	best, err := Wrap(s, bold, size, width)
	if err != nil {
		return nil, err
	}
	for w := width; w > 0; w -= size / 2 {
		lines, err := Wrap(s, bold, size, w)
		if err != nil || len(lines) > len(best) {
			break
		}
		best = lines
	}
	return best, nil
}

// Wrap is wrap on the sheet: where it is loose, a word that is wider than the width is
// broken.
func (s *Sheet) Wrap(text string, bold bool, size, width float64) ([]string, error) {
	return Wrap(s.broken(text, bold, size, width), bold, size, width)
}

// Balance is balance on the sheet, with words broken as by its wrap.
func (s *Sheet) Balance(text string, bold bool, size, width float64) ([]string, error) {
	return balance(s.broken(text, bold, size, width), bold, size, width)
}

// broken puts a space into every word that is wider than the width, where the sheet is
// loose: at a no-break space or hyphen if there is one, else wherever the line is full.
func (s *Sheet) broken(text string, bold bool, size, width float64) string {
	if !s.Loose {
		return text
	}
	var parts []string
	for _, w := range WordsOf(text) {
		_, fits := lettersOf(bold).measure(w, size, width)
		if fits < len(w) {
			w = strings.ReplaceAll(w, " ", "\u00a0") // what is parted here stays so
			_, fits = lettersOf(bold).measure(w, size, width)
		}
		for fits < len(w) {
			if fits == 0 {
				break // not even one letter has room
			}
			cut := fits
			for i, r := range w {
				if i > fits {
					break
				}
				if i > 0 && (r == '\u00a0' || w[i-1] == '-') {
					cut = i
				}
			}
			parts = append(parts, w[:cut])
			w = strings.TrimPrefix(w[cut:], "\u00a0")
			_, fits = lettersOf(bold).measure(w, size, width)
		}
		parts = append(parts, w)
	}
	return strings.Join(parts, " ")
}

// WidestOf is the width of the widest of several texts.
func WidestOf(texts []string, size float64) float64 {
	widest := 0.0
	for _, text := range texts {
		widest = max(widest, TextWidth(text, false, size))
	}
	return widest
}
