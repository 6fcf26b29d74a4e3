// Package draw lays figures out and writes them as SVG, PNG and PDF: a sheet of lines, shapes
// and text with their places, its sizes and themes, places for labels, axes and frames. It
// knows nothing of what figures show. Every figure carries a title that states the finding, a
// foot line that says where the numbers come from, and a text for those who cannot see it.
//
// Figures are refused, with an error, rather than drawn with text that is cut off or lies over
// other text, or without a word on where the numbers come from. The same figure gives the same
// bytes.
package draw

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
)

// A Figure is a plain value of names and numbers that can be drawn. One that may speak
// another language, has rows that can be divided, sets its type smaller or may be higher than
// its size has methods of its own for that as well.
type Figure interface {
	// Alt describes the figure in words: what it shows and its main numbers.
	Alt() string
	// Heading is the title, which states the finding, and the foot line.
	Heading() (title string, foot Foot)
	// Check says why the figure cannot be drawn, if so.
	Check() error
	// Draw draws everything but title and foot line.
	Draw(*Sheet) error
}

// Foot says where a figure's numbers come from. All fields are needed.
type Foot struct {
	People      string // whose bodies, such as "ANSUR II men and women, 18–50 years"
	N           int    // number of bodies behind the figure
	Model       string // mechanics and segment table
	Assumptions string // such as "defaults" or what was set
	Source      string // of the body data, and the tool
	Said        string // all of it, in the figure's own words or language; empty for the usual ones
	Saying      string // what the figure is an answer to, which stands above its title; may be empty
}

// Line is the foot line; it is an error where a field lacks.
func (f Foot) Line() (string, error) {
	for _, field := range []struct{ name, value string }{
		{"people", f.People}, {"model", f.Model}, {"assumptions", f.Assumptions}, {"source", f.Source},
	} {
		if len(WordsOf(field.value)) == 0 {
			return "", fmt.Errorf("chart: the foot line lacks the %s", field.name)
		}
	}
	if f.N < 1 {
		return "", fmt.Errorf("chart: the foot line has n = %d, want at least 1", f.N)
	}
	if f.Said != "" {
		return f.Said, nil
	}
	return words.Foot(f.People, f.N, f.Model, f.Assumptions, f.Source), nil
}

// Language is the code of that in which a figure speaks.
func Language(f Figure) string {
	if s, ok := f.(spoken); ok {
		return s.Speaks()
	}
	return "en"
}

// Described puts a figure's title before its description and the foot line after it.
func Described(f Figure, text *strings.Builder) string {
	title, foot := f.Heading()
	line, _ := foot.Line() // checked when the figure is laid out
	if foot.Saying != "" {
		title = foot.Saying + ": " + title
	}
	return strings.TrimSuffix(title, ".") + ". " + text.String() + " " + line
}

// Save writes the figure as name.svg, name.png and name.pdf and its
// description as name.alt.txt into dir, and returns the paths. Nothing is
// written unless all four could be made; each file appears whole under its
// name or not at all. A figure that cannot be drawn is a Refusal.
func Save(dir, name string, f Figure, size Size, theme Theme) ([]string, error) {
	s, err := Layout(f, size, theme)
	if err != nil {
		return nil, &Refusal{err}
	}
	title, _ := f.Heading()
	alt := f.Alt()
	files := []struct {
		extension string
		encode    func() ([]byte, error)
		data      []byte
	}{
		{extension: ".svg", encode: func() ([]byte, error) { return EncodeSVG(s, title, alt, Language(f)), nil }},
		{extension: ".png", encode: func() ([]byte, error) { return EncodePNG(s) }},
		{extension: ".pdf", encode: func() ([]byte, error) { return EncodePDF([]*Sheet{s}, title, alt, Language(f)) }},
		{extension: ".alt.txt", encode: func() ([]byte, error) { return []byte(alt + "\n"), nil }},
	}
	for i := range files {
		if files[i].data, err = files[i].encode(); err != nil {
			return nil, fmt.Errorf("chart: %s%s: %w", name, files[i].extension, err)
		}
	}
	var paths []string
	for _, file := range files {
		path := filepath.Join(dir, name+file.extension)
		if err := provenance.WriteFile(path, file.data); err != nil {
			return paths, fmt.Errorf("chart: %w", err)
		}
		paths = append(paths, path)
	}
	return paths, nil
}

// A Refusal is the error of Save that says why a figure cannot be drawn at a size so
// that it can be read.
type Refusal struct{ err error }

// Error implements error.
func (r *Refusal) Error() string { return r.err.Error() }

// Unwrap returns the reason.
func (r *Refusal) Unwrap() error { return r.err }

// Smaller is by how much the type of a figure that does not fit is made smaller,
// one try after the other.
var Smaller = []float64{1, 0.93, 0.86, 0.79, 0.72, 0.65}

// Layout checks a figure and places everything it shows: in smaller type where it does
// not fit, and then with words broken and the like.
func Layout(f Figure, size Size, theme Theme) (*Sheet, error) {
	var first error
	for _, loose := range []bool{false, true} {
		for _, share := range Smaller {
			s, err := PlaceIn(f, size.Shrunk(share), theme, loose)
			if err == nil {
				return s, nil
			}
			if first == nil {
				first = err
			}
		}
	}
	return nil, first
}

// PlaceIn is layout in one way.
func PlaceIn(f Figure, size Size, theme Theme, loose bool) (*Sheet, error) {
	if size.Width <= 0 || theme.Name == "" {
		return nil, errors.New("chart: size and theme must be among those that the package offers or made from them")
	}
	if err := f.Check(); err != nil {
		return nil, err
	}
	if d, ok := f.(Dense); ok {
		size = size.Shrunk(d.TypeShare())
	}
	if t, ok := f.(tall); ok {
		var err error
		if size, err = t.Fitting(size, loose); err != nil {
			return nil, err
		}
	}
	title, foot := f.Heading()
	s, err := newSheet(size, theme, loose, title, foot)
	if err != nil {
		return nil, err
	}
	if err := f.Draw(s); err != nil {
		return nil, err
	}
	return s, s.verify()
}

// A spoken figure may speak another language than English.
type spoken interface {
	Speaks() string
}

// A Dense figure has its type smaller than others by a share.
type Dense interface {
	TypeShare() float64
}

// A tall figure may be higher than the size that it is drawn at.
type tall interface {
	Fitting(size Size, loose bool) (Size, error)
}

// Wrong is the error of a kind of figure that cannot be shown.
func Wrong(kind, reason string, values ...any) error {
	return fmt.Errorf("chart: %s: %w", kind, fmt.Errorf(reason, values...))
}

// Labelled reports an axis without a label.
func Labelled(figure string, labels ...string) error {
	if slices.Contains(labels, "") {
		return fmt.Errorf("chart: %s: an axis has no label", figure)
	}
	return nil
}

// Drawable says whether all values are numbers that an axis can show.
func Drawable(values ...float64) bool {
	const most = 1e12
	return !slices.ContainsFunc(values, func(v float64) bool { return math.IsNaN(v) || math.Abs(v) > most })
}
