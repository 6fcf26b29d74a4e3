package chart

import (
	"errors"
	"fmt"
	"image/color"
	"math"
)

// A point is a place on the sheet in pt, from the top left corner, y down.
type point struct{ x, y float64 }

// A rect has its corner of smallest coordinates first.
type rect struct{ x0, y0, x1, y1 float64 }

func (r rect) width() float64  { return r.x1 - r.x0 }
func (r rect) height() float64 { return r.y1 - r.y0 }

func (r rect) grow(by float64) rect { return rect{r.x0 - by, r.y0 - by, r.x1 + by, r.y1 + by} }

func (r rect) inside(o rect) bool {
	return r.x0 >= o.x0 && r.x1 <= o.x1 && r.y0 >= o.y0 && r.y1 <= o.y1
}

func (r rect) overlaps(o rect) bool {
	return r.x0 < o.x1 && o.x0 < r.x1 && r.y0 < o.y1 && o.y0 < r.y1
}

// What a sheet holds, in drawing order: a *stroke, a *fill, a *disc or a *run.
type (
	item interface {
		places() []point // that it has
		hue() color.RGBA
	}
	stroke struct {
		points []point
		color  color.RGBA
		width  float64
		dash   []float64
	}
	fill struct {
		points []point // a closed outline
		color  color.RGBA
	}
	disc struct {
		center point
		radius float64
		color  color.RGBA
	}
	run struct { // one line of text
		text  string
		at    point // left end of the base line
		width float64
		size  float64
		bold  bool
		color color.RGBA
	}
)

func (i *stroke) places() []point { return i.points }
func (i *fill) places() []point   { return i.points }
func (i *disc) places() []point   { return []point{i.center} }
func (i *run) places() []point    { return []point{i.at} }

func (i *stroke) hue() color.RGBA { return i.color }
func (i *fill) hue() color.RGBA   { return i.color }
func (i *disc) hue() color.RGBA   { return i.color }
func (i *run) hue() color.RGBA    { return i.color }

// box is the room that a line of text takes by the font's ascent and descent.
func (r *run) box() rect {
	return rect{r.at.x, r.at.y - ascent*r.size, r.at.x + r.width, r.at.y + descent*r.size}
}

// A sheet is a figure laid out: shapes and lines of text with their places.
// The three file formats draw the same sheet, and tests read it.
type sheet struct {
	size  Size
	theme Theme
	items []item
	body  rect // what title and foot leave to the figure
	loose bool // what finds no room otherwise may be broken, numbered or left out
}

// wide says that the sheet is broader than tall.
func (s *sheet) wide() bool { return s.size.width > s.size.height }

// leading is the distance of base lines as a share of the type size.
const leading = 1.22

// newSheet lays out title and foot line.
func newSheet(size Size, theme Theme, loose bool, title string, foot Foot) (*sheet, error) {
	if len(wordsOf(title)) == 0 {
		return nil, errors.New("chart: a figure needs a title that states the finding")
	}
	line, err := foot.line()
	if err != nil {
		return nil, err
	}
	s := &sheet{size: size, theme: theme, loose: loose}
	s.body = rect{0, 0, size.width, size.height}.grow(-size.margin)
	if err := s.layTitle(title); err != nil {
		return nil, err
	}
	top, err := s.footing(line, size.small)
	if err != nil {
		return nil, err
	}
	s.body.y1 = top - size.text
	if s.body.height() < size.height/3 {
		return nil, fmt.Errorf("chart: title and foot line leave too little of the %s for the figure", size.Name)
	}
	return s, nil
}

// layTitle sets the title in at most three lines, if need be in smaller type; on a
// loose sheet in at most six.
func (s *sheet) layTitle(title string) error {
	most := 3
	if s.loose {
		most = 6
	}
	for _, shrink := range []float64{1, 0.9, 0.8, 0.7} {
		size := s.size.title * shrink
		lines, err := s.balance(title, true, size, s.body.width())
		if err != nil || len(lines) > most {
			continue
		}
		s.lines(lines, s.body.x0, s.body.y0, alignLeft, true, size, s.theme.Ink)
		s.body.y0 += lineHeight(len(lines), size) + 0.8*s.size.text
		return nil
	}
	return fmt.Errorf("chart: the title does not fit into %d lines of the %s: %q", most, s.size.Name, title)
}

// lineHeight is the height of n lines of text set solid at top and bottom.
func lineHeight(n int, size float64) float64 {
	if n == 0 {
		return 0
	}
	return (float64(n-1)*leading + ascent + descent) * size
}

// The share of a text's width that lies left of the place it is given.
const (
	alignLeft   = 0.0
	alignCenter = 0.5
	alignRight  = 1.0
)

// text sets one line with its base line at y. Whether the font has its letters is
// seen when all is laid out.
func (s *sheet) text(str string, x, y, align float64, bold bool, size float64, c color.RGBA) {
	w := textWidth(str, bold, size)
	s.items = append(s.items, &run{text: str, at: point{x - align*w, y}, width: w, size: size, bold: bold, color: c})
}

// lines sets lines from the top down.
func (s *sheet) lines(lines []string, x, top, align float64, bold bool, size float64, c color.RGBA) {
	for i, l := range lines {
		s.text(l, x, top+(ascent+float64(i)*leading)*size, align, bold, size, c)
	}
}

// paragraph sets a text over the width of the body, from the top down, and returns
// where it ends.
func (s *sheet) paragraph(text string, top, size float64) (bottom float64, err error) {
	lines, err := s.balance(text, false, size, s.body.width())
	s.lines(lines, s.body.x0, top, alignLeft, false, size, s.theme.Muted)
	return top + lineHeight(len(lines), size), err
}

// footing is paragraph at the foot of the body; it returns where the text begins.
func (s *sheet) footing(text string, size float64) (top float64, err error) {
	lines, err := s.balance(text, false, size, s.body.width())
	top = s.body.y1 - lineHeight(len(lines), size)
	s.lines(lines, s.body.x0, top, alignLeft, false, size, s.theme.Muted)
	return top, err
}

func (s *sheet) stroke(c color.RGBA, width float64, dash []float64, points ...point) {
	if len(points) > 1 {
		s.items = append(s.items, &stroke{points: points, color: c, width: width, dash: dash})
	}
}

func (s *sheet) fill(c color.RGBA, points ...point) {
	if len(points) > 2 {
		s.items = append(s.items, &fill{points: points, color: c})
	}
}

func (s *sheet) fillRect(c color.RGBA, r rect) {
	s.fill(c, point{r.x0, r.y0}, point{r.x1, r.y0}, point{r.x1, r.y1}, point{r.x0, r.y1})
}

func (s *sheet) disc(c color.RGBA, center point, radius float64) {
	s.items = append(s.items, &disc{center: center, radius: radius, color: c})
}

// spot is a disc with a rim of the background, so that it stands out on lines.
func (s *sheet) spot(c color.RGBA, center point, radius float64) {
	s.disc(s.theme.Background, center, radius+s.size.thin)
	s.disc(c, center, radius)
}

// verify says whether the layout is fit to be seen: all text on the canvas,
// none on other text, all in letters that the font has,
// no coordinate that is not a number.
func (s *sheet) verify() error {
	canvas := rect{0, 0, s.size.width, s.size.height}
	var runs []*run
	for _, item := range s.items {
		if i, ok := item.(*run); ok {
			if err := checkGlyphs(i.text); err != nil {
				return err
			}
			if !i.box().inside(canvas) {
				return fmt.Errorf("chart: no room on the %s for %q", s.size.Name, i.text)
			}
			for _, r := range runs {
				if i.box().overlaps(r.box()) {
					return fmt.Errorf("chart: on the %s %q would lie over %q", s.size.Name, i.text, r.text)
				}
			}
			runs = append(runs, i)
		}
		for _, p := range item.places() {
			if math.IsNaN(p.x) || math.IsNaN(p.y) || math.IsInf(p.x, 0) || math.IsInf(p.y, 0) {
				return errors.New("chart: a coordinate is not finite")
			}
		}
	}
	return nil
}

// aside takes a part of the body of a sheet for a picture beside the chart: on the left
// where it is wide, else above.
func (s *sheet) aside(across, above float64) (part, rest rect) {
	part, rest = s.body, s.body
	if s.wide() {
		part.x1 = part.x0 + across*s.body.width()
		rest.x0 = part.x1 + 1.2*s.size.text
	} else {
		part.y1 = part.y0 + above*s.body.height()
		rest.y0 = part.y1 + 0.8*s.size.text
	}
	return part, rest
}
