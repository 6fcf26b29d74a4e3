package chart

import (
	"cmp"
	"fmt"
	"image/color"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
)

// Share is the size of a picture beside a link, 1200 × 630 dots.
var Share = draw.Size{
	Name: "share", Width: 600, Height: 315, DotsPerInch: 144, Margin: 22,
	Title: 19, Text: 11.5, Small: 7.5, Thick: 2.6, Thin: 1, Least: 7,
}

// StorySizes are the sizes that a Story is made for: beside a link, 16:9, 4:5 and a column.
var StorySizes = []draw.Size{Share, draw.Slide, draw.Post, draw.Column}

// A Story is a claim on one picture that stands alone: the saying, the answer in a
// sentence, the body before and after, and apart from each other how people differ, what
// nobody has measured and what somebody did; and how sure that is.
type Story struct {
	Language string // its code
	Saying   string // in quotation marks
	Answer   string
	Bodies   []bodies.Silhouette
	Shows    string // what the bodies are, for the description; empty where there are none
	Zone     Zone
	Small    string // names the zone
	Promised string // names what is said; empty where no size is
	Sure     string // how sure it is; empty where that stands elsewhere
	Bare     bool   // saying and answer stand elsewhere: the title is what the axis is of
	Bars     []StoryBar
	Foot     draw.Foot
}

// A StoryBar is a range over the axis of effects, with its words.
type StoryBar struct {
	Label             string
	Low, Middle, High float64
}

// Heading implements draw.Figure.
func (c Story) Heading() (string, draw.Foot) {
	if c.Bare && len(c.Bars) > 0 {
		return c.Zone.XLabel, c.Foot
	}
	return c.Saying, c.Foot
}

// Speaks is the code of its language.
func (c Story) Speaks() string { return cmp.Or(c.Language, "en") }

// Alt implements Figure.
func (c Story) Alt() string {
	var b strings.Builder
	b.WriteString(strings.TrimSuffix(c.Answer, ".") + ".")
	if c.Shows != "" {
		b.WriteString(" " + c.Shows)
	}
	for _, bar := range c.Bars {
		fmt.Fprintf(&b, " %s.", bar.Label)
	}
	for _, text := range []string{c.Promised, c.Sure} {
		if text != "" {
			fmt.Fprintf(&b, " %s.", strings.TrimSuffix(text, "."))
		}
	}
	return draw.Described(c, &b)
}

// Check implements draw.Figure.
func (c Story) Check() error {
	if c.Answer == "" || len(c.Bodies) > 0 && c.Shows == "" {
		return draw.Wrong("story", "the answer or the description of the bodies is missing")
	}
	if err := bodies.CheckSilhouettes("story", c.Bodies); err != nil {
		return err
	}
	if len(c.Bars) == 0 {
		return nil
	}
	for _, bar := range c.Bars {
		if !draw.Drawable(bar.Low, bar.Middle, bar.High) || !(bar.Low <= bar.Middle && bar.Middle <= bar.High) || bar.Label == "" {
			return draw.Wrong("story", "%q: %v, %v, %v", bar.Label, bar.Low, bar.Middle, bar.High)
		}
	}
	return c.Zone.check("story")
}

// draw sets the answer under the saying, and beside each other or under each other the
// bodies and the bars.
func (c Story) Draw(s *draw.Sheet) error {
	size := s.Size.Text
	large := 1.25 * size
	if !c.Bare {
		lines, err := s.Balance(c.Answer, true, large, s.Body.Width())
		if err != nil {
			return err
		}
		s.Lines(lines, s.Body.X0, s.Body.Y0, draw.AlignLeft, true, large, s.Theme.TextColor(s.Theme.After))
		s.Body.Y0 += draw.LineHeight(len(lines), large) + 0.8*size
	}
	if c.Sure != "" {
		lines, err := s.Wrap(c.Sure, false, size, s.Body.Width())
		if err != nil {
			return err
		}
		s.Body.Y1 -= draw.LineHeight(len(lines), size)
		s.Lines(lines, s.Body.X0, s.Body.Y1, draw.AlignLeft, false, size, s.Theme.Ink)
		s.Body.Y1 -= 0.6 * size
	}
	bars := s.Body
	if len(c.Bodies) > 0 {
		share := 0.42
		if len(c.Bars) == 0 {
			share = 1
		}
		room, rest := s.Aside(share, min(1, 1.15*share))
		bars = rest
		if err := bodies.Silhouettes(s, c.Bodies, s.Theme.Pair(), room); err != nil {
			return err
		}
	}
	if len(c.Bars) == 0 {
		return nil
	}
	return c.bars(s, bars)
}

// bars draws the ranges over one axis with the zone behind them.
func (c Story) bars(s *draw.Sheet, area draw.Rect) error {
	size := s.Size.Text
	var ends []float64
	for _, bar := range c.Bars {
		ends = append(ends, bar.Low, bar.High)
	}
	low, high := c.Zone.ends(ends...)
	x := draw.Scale{Low: low, High: high, From: area.X0, To: area.X1}
	ways, height, err := c.axis(s, area.Width())
	if err != nil {
		return err
	}
	base, top := area.Y1-height, area.Y0
	for _, name := range []struct {
		text string
		at   float64
		ink  color.RGBA
	}{{c.Promised, c.Zone.Said, s.Theme.TextColor(s.Theme.After)}, {c.Small, 0, s.Theme.Muted}} {
		if name.text == "" {
			continue
		}
		if err := besides(s, name.text, x.At(name.at), x, top, false, s.Size.Note(), name.ink); err != nil {
			return err
		}
		top += nameHeight(s.Size.Note())
	}
	row := (base - top) / float64(len(c.Bars))
	labels := make([][]string, len(c.Bars))
	for k, bar := range c.Bars {
		if labels[k], err = s.Balance(bar.Label, k == 0, size, area.Width()); err != nil {
			return err
		}
		if row < (1.6+draw.Leading*float64(len(labels[k])))*size {
			return draw.Wrong("story", "no room on the %s for its bars", s.Size.Name)
		}
	}
	for k, bar := range c.Bars {
		y := top + (float64(k)+0.5)*row + 0.5*(1.4-draw.Leading*float64(len(labels[k])))*size
		// The zone stands behind the bar alone, so that no line runs through its words.
		c.Zone.drawBack(s, x, y-1.3*size, y)
		ink := c.Zone.sideColor(s.Theme, bar.Middle)
		s.FillRect(ink, draw.Rect{X0: x.At(bar.Low), Y0: y - 0.9*size, X1: max(x.At(bar.High), x.At(bar.Low)+s.Size.Thick), Y1: y - 0.2*size})
		s.Spot(s.Theme.Ink, draw.Point{X: x.At(bar.Middle), Y: y - 0.55*size}, 0.32*size)
		for i, line := range labels[k] {
			if err := besides(s, line, x.At(bar.Middle), x, y+(0.15+draw.Leading*float64(i))*size, k == 0, size, s.Theme.Ink); err != nil {
				return err
			}
		}
	}
	return ways(x, base)
}

// axis is the height of the axis and how it is drawn: a line that says which way is what. The
// numbers stand at the bars.
func (c Story) axis(s *draw.Sheet, width float64) (drawn func(x draw.Scale, y float64) error, height float64, err error) {
	size, t := s.Size.Text, s.Theme
	label := c.Zone.XLabel
	if c.Bare {
		label = ""
	}
	beside := c.Zone.besideLabel(s, width)
	lines, err := s.Balance(label, false, size, width)
	if err != nil {
		return nil, 0, err
	}
	below, above := c.Zone.sides()
	if height = 0.5*size + draw.LineHeight(1, size); label != "" && !beside {
		height += draw.LineHeight(len(lines), size)
	}
	return func(x draw.Scale, y float64) error {
		s.Stroke(t.Muted, s.Size.Thin, nil, draw.Point{X: x.From, Y: y}, draw.Point{X: x.To, Y: y})
		s.Stroke(t.Muted, s.Size.Thin, nil, draw.Point{X: x.At(0), Y: y - 0.3*size}, draw.Point{X: x.At(0), Y: y + 0.3*size})
		row := y + 0.5*size
		s.Text(below, x.From, row+draw.Ascent*size, draw.AlignLeft, true, size, t.TextColor(t.Below))
		s.Text(above, x.To, row+draw.Ascent*size, draw.AlignRight, true, size, t.TextColor(t.Above))
		if label == "" {
			return nil
		}
		if !beside {
			row += draw.Leading * size
		}
		s.Lines(lines, (x.From+x.To)/2, row, draw.AlignCenter, false, size, t.Muted)
		return nil
	}, height, nil
}
