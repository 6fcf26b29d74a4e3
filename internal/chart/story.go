package chart

import (
	"cmp"
	"fmt"
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
// sentence, the body before and after, and apart from each other how people differ and what
// nobody has measured.
type Story struct {
	Language string // its code
	Saying   string // in quotation marks
	Answer   string
	Bodies   []bodies.Silhouette
	Shows    string // what the bodies are, for the description; empty where there are none
	Zone     Zone
	Small    string // names the zone
	Bars     []StoryBar
	Foot     draw.Foot
}

// A StoryBar is a range over the axis of effects, with its words.
type StoryBar struct {
	Label             string
	Low, Middle, High float64
}

func (c Story) Heading() (string, draw.Foot) { return c.Saying, c.Foot }

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
	return draw.Described(c, &b)
}

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
	lines, err := s.Balance(c.Answer, true, large, s.Body.Width())
	if err != nil {
		return err
	}
	s.Lines(lines, s.Body.X0, s.Body.Y0, draw.AlignLeft, true, large, s.Theme.TextColor(s.Theme.After))
	s.Body.Y0 += draw.LineHeight(len(lines), large) + 0.8*size
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
	height, err := c.Zone.axisHeight(s, area.Width())
	if err != nil {
		return err
	}
	base := area.Y1 - height
	top := area.Y0 + nameHeight(s.Size.Note())
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
	if err := besides(s, c.Small, x.At(0), x, area.Y0, false, s.Size.Note(), s.Theme.Muted); err != nil {
		return err
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
	numbers := len(s.Items)
	if err := c.Zone.drawAxis(s, x, base); err != nil || draw.Language(c) == "en" {
		return err
	}
	for _, item := range s.Items[numbers:] {
		if r, ok := item.(*draw.Run); ok { // a comma is as wide as a point
			r.Text = strings.ReplaceAll(r.Text, ".", ",")
		}
	}
	return nil
}
