package draw

import (
	"errors"
	"fmt"
	"image/color"
	"math"
	"regexp"
)

// Inside says whether a point is in a rect or on its edge.
func (p Point) Inside(r Rect) bool { return p.X >= r.X0 && p.X <= r.X1 && p.Y >= r.Y0 && p.Y <= r.Y1 }

// A Point is a place on the sheet in pt, from the top left corner, y down.
type Point struct{ X, Y float64 }

// A Rect has its corner of smallest coordinates first.
type Rect struct{ X0, Y0, X1, Y1 float64 }

// Width is a rect's, pt.
func (r Rect) Width() float64 { return r.X1 - r.X0 }

// Height is a rect's, pt.
func (r Rect) Height() float64 { return r.Y1 - r.Y0 }

// Grow moves every side out.
func (r Rect) Grow(by float64) Rect { return Rect{r.X0 - by, r.Y0 - by, r.X1 + by, r.Y1 + by} }

// Inside says whether all of a rect lies in another.
func (r Rect) Inside(o Rect) bool {
	return r.X0 >= o.X0 && r.X1 <= o.X1 && r.Y0 >= o.Y0 && r.Y1 <= o.Y1
}

// Overlaps says whether two rects have an inner point in common.
func (r Rect) Overlaps(o Rect) bool {
	return r.X0 < o.X1 && o.X0 < r.X1 && r.Y0 < o.Y1 && o.Y0 < r.Y1
}

// What a sheet holds, in drawing order.
type (
	// An Item is a *Stroke, a *Fill, a *Disc or a *Run.
	Item interface {
		Places() []Point // that it has
		hue() color.RGBA
	}
	// A Stroke is a line.
	Stroke struct {
		Points []Point
		Color  color.RGBA
		Width  float64
		dash   []float64
	}
	// A Fill is a shape.
	Fill struct {
		Points []Point // a closed outline
		Color  color.RGBA
	}
	// A Disc is a filled circle.
	Disc struct {
		Center Point
		Radius float64
		Color  color.RGBA
	}
	// A Run is one line of text.
	Run struct {
		Text  string
		At    Point // left end of the base line
		Width float64
		Size  float64
		Bold  bool
		Color color.RGBA
	}
)

// Places implements Item.
func (i *Stroke) Places() []Point { return i.Points }

// Places implements Item.
func (i *Fill) Places() []Point { return i.Points }

// Places implements Item.
func (i *Disc) Places() []Point { return []Point{i.Center} }

// Places implements Item.
func (i *Run) Places() []Point { return []Point{i.At} }

func (i *Stroke) hue() color.RGBA { return i.Color }
func (i *Fill) hue() color.RGBA   { return i.Color }
func (i *Disc) hue() color.RGBA   { return i.Color }
func (i *Run) hue() color.RGBA    { return i.Color }

// Box is the room that a line of text takes by the font's ascent and descent.
func (r *Run) Box() Rect {
	return Rect{r.At.X, r.At.Y - Ascent*r.Size, r.At.X + r.Width, r.At.Y + Descent*r.Size}
}

// A Sheet is a figure laid out: shapes and lines of text with their places.
// The three file formats draw the same sheet, and tests read it.
type Sheet struct {
	Size  Size
	Theme Theme
	Items []Item
	Body  Rect // what title and foot leave to the figure
	Loose bool // what finds no room otherwise may be broken, numbered or left out
}

// Wide says that the sheet is broader than tall.
func (s *Sheet) Wide() bool { return s.Size.Width > s.Size.Height }

// Leading is the distance of base lines as a share of the type size.
const Leading = 1.22

// newSheet lays out title and foot line.
func newSheet(size Size, theme Theme, loose bool, title string, foot Foot) (*Sheet, error) {
	if len(WordsOf(title)) == 0 {
		return nil, errors.New("chart: a figure needs a title that states the finding")
	}
	line, err := foot.Line()
	if err != nil {
		return nil, err
	}
	s := &Sheet{Size: size, Theme: theme, Loose: loose}
	s.Body = Rect{0, 0, size.Width, size.Height}.Grow(-size.Margin)
	s.layKicker(foot.Saying)
	if err := s.LayTitle(title); err != nil {
		return nil, err
	}
	top, err := s.Footing(line, size.Small)
	if err != nil {
		return nil, err
	}
	s.Body.Y1 = top - size.Text
	if s.Body.Height() < size.Height/3 {
		return nil, fmt.Errorf("chart: title and foot line leave too little of the %s for the figure", size.Name)
	}
	return s, nil
}

// layKicker sets what a figure is an answer to above its title, where that takes little room and
// nothing around the figure says it.
func (s *Sheet) layKicker(saying string) {
	if saying == "" || s.Size.Within {
		return
	}
	lines, err := s.Balance(saying, false, s.Size.Text, s.Body.Width())
	if err != nil || len(lines) > 2 {
		return
	}
	s.Lines(lines, s.Body.X0, s.Body.Y0, AlignLeft, false, s.Size.Text, s.Theme.Muted)
	s.Body.Y0 += LineHeight(len(lines), s.Size.Text) + 0.2*s.Size.Text
}

// LayTitle sets the title in at most three lines, if need be in smaller type; on a
// loose sheet in at most six.
func (s *Sheet) LayTitle(title string) error {
	most := 3
	if s.Loose {
		most = 6
	}
	for _, shrink := range []float64{1, 0.9, 0.8, 0.7} {
		size := s.Size.Title * shrink
		lines, err := s.Headline(title, size)
		if err != nil || len(lines) > most {
			continue
		}
		s.Lines(lines, s.Body.X0, s.Body.Y0, AlignLeft, true, size, s.Theme.Ink)
		s.Body.Y0 += LineHeight(len(lines), size) + 0.8*s.Size.Text
		return nil
	}
	return fmt.Errorf("chart: the title does not fit into %d lines of the %s: %q", most, s.Size.Name, title)
}

// Headline breaks what is set in large bold type over the width of the body. A number stays with what
// it is of, where that takes no more lines.
func (s *Sheet) Headline(text string, size float64) ([]string, error) {
	lines, err := s.Balance(text, true, size, s.Body.Width())
	if err != nil {
		return nil, err
	}
	if kept, err := s.Balance(numberOf.ReplaceAllString(text, "$1\u00a0$2"), true, size, s.Body.Width()); err == nil && len(kept) == len(lines) {
		return kept, nil
	}
	return lines, nil
}

// numberOf is a number with its unit, before a word that says what it is of or which way it goes.
var numberOf = regexp.MustCompile(`(\d\x{00a0}?(?:%|cm|kg|°)) (\pL+)`)

// LineHeight is the height of n lines of text set solid at top and bottom.
func LineHeight(n int, size float64) float64 {
	if n == 0 {
		return 0
	}
	return (float64(n-1)*Leading + Ascent + Descent) * size
}

// The share of a text's width that lies left of the place it is given.
const (
	AlignLeft   = 0.0
	AlignCenter = 0.5
	AlignRight  = 1.0
)

// Text sets one line with its base line at y. Whether the font has its letters is
// seen when all is laid out.
func (s *Sheet) Text(str string, x, y, align float64, bold bool, size float64, c color.RGBA) {
	w := TextWidth(str, bold, size)
	s.Items = append(s.Items, &Run{Text: str, At: Point{x - align*w, y}, Width: w, Size: size, Bold: bold, Color: c})
}

// Lines sets lines from the top down.
func (s *Sheet) Lines(lines []string, x, top, align float64, bold bool, size float64, c color.RGBA) {
	for i, l := range lines {
		s.Text(l, x, top+(Ascent+float64(i)*Leading)*size, align, bold, size, c)
	}
}

// Paragraph sets a text over the width of the body, from the top down, and returns
// where it ends.
func (s *Sheet) Paragraph(text string, top, size float64) (bottom float64, err error) {
	lines, err := s.Balance(text, false, size, s.Body.Width())
	s.Lines(lines, s.Body.X0, top, AlignLeft, false, size, s.Theme.Muted)
	return top + LineHeight(len(lines), size), err
}

// Footing is paragraph at the foot of the body; it returns where the text begins.
func (s *Sheet) Footing(text string, size float64) (top float64, err error) {
	lines, err := s.Balance(text, false, size, s.Body.Width())
	top = s.Body.Y1 - LineHeight(len(lines), size)
	s.Lines(lines, s.Body.X0, top, AlignLeft, false, size, s.Theme.Muted)
	return top, err
}

// Stroke draws a line of a width, pt, with dashes and gaps if there are any.
func (s *Sheet) Stroke(c color.RGBA, width float64, dash []float64, points ...Point) {
	if len(points) > 1 {
		s.Items = append(s.Items, &Stroke{Points: points, Color: c, Width: width, dash: dash})
	}
}

// Fill fills a closed outline.
func (s *Sheet) Fill(c color.RGBA, points ...Point) {
	if len(points) > 2 {
		s.Items = append(s.Items, &Fill{Points: points, Color: c})
	}
}

// FillRect fills a rect.
func (s *Sheet) FillRect(c color.RGBA, r Rect) {
	s.Fill(c, Point{r.X0, r.Y0}, Point{r.X1, r.Y0}, Point{r.X1, r.Y1}, Point{r.X0, r.Y1})
}

// Disc fills a circle.
func (s *Sheet) Disc(c color.RGBA, center Point, radius float64) {
	s.Items = append(s.Items, &Disc{Center: center, Radius: radius, Color: c})
}

// Spot is a disc with a rim of the background, so that it stands out on lines.
func (s *Sheet) Spot(c color.RGBA, center Point, radius float64) {
	s.Disc(s.Theme.Background, center, radius+s.Size.Thin)
	s.Disc(c, center, radius)
}

// settled is a place or size on a sheet as it is drawn: in hundredths of a point, finer than
// any printer, so that the last digits of a processor's arithmetic do not show. Halves go up
// even where they came out a little less.
func settled(v float64) float64 { return math.Floor(float64(v*100)+(0.5+1e-6)) / 100 }

// verify says whether the layout is fit to be seen: all text on the canvas,
// none on other text, all in letters that the font has,
// no coordinate that is not a number.
func (s *Sheet) verify() error {
	canvas := Rect{0, 0, s.Size.Width, s.Size.Height}
	var runs []*Run
	for _, item := range s.Items {
		if i, ok := item.(*Run); ok {
			if err := checkGlyphs(i.Text); err != nil {
				return err
			}
			if !i.Box().Inside(canvas) {
				return fmt.Errorf("chart: no room on the %s for %q", s.Size.Name, i.Text)
			}
			for _, r := range runs {
				if i.Box().Overlaps(r.Box()) {
					return fmt.Errorf("chart: on the %s %q would lie over %q", s.Size.Name, i.Text, r.Text)
				}
			}
			runs = append(runs, i)
		}
		for _, p := range item.Places() {
			if math.IsNaN(p.X) || math.IsNaN(p.Y) || math.IsInf(p.X, 0) || math.IsInf(p.Y, 0) {
				return errors.New("chart: a coordinate is not finite")
			}
		}
	}
	return nil
}

// Aside takes a part of the body of a sheet for a picture beside the chart: on the left
// where it is wide, else above.
func (s *Sheet) Aside(across, above float64) (part, rest Rect) {
	part, rest = s.Body, s.Body
	if s.Wide() {
		part.X1 = part.X0 + across*s.Body.Width()
		rest.X0 = part.X1 + 1.2*s.Size.Text
	} else {
		part.Y1 = part.Y0 + above*s.Body.Height()
		rest.Y0 = part.Y1 + 0.8*s.Size.Text
	}
	return part, rest
}
