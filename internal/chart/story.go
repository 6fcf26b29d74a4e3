package chart

import (
	"cmp"
	"fmt"
	"strings"
)

// Share is the size of a picture beside a link, 1200 × 630 dots.
var Share = Size{
	Name: "share", width: 600, height: 315, dotsPerInch: 144, margin: 22,
	title: 19, text: 11.5, small: 7.5, thick: 2.6, thin: 1, least: 7,
}

// StorySizes are the sizes that a Story is made for: beside a link, 16:9, 4:5 and a column.
var StorySizes = []Size{Share, Slide, Post, Column}

// A Story is a claim on one picture that stands alone: the saying, the answer in a
// sentence, the body before and after, and apart from each other how people differ and what
// nobody has measured.
type Story struct {
	Language string // its code
	Saying   string // in quotation marks
	Answer   string
	Bodies   []Silhouette
	Shows    string // what the bodies are, for the description; empty where there are none
	Zone     Zone
	Small    string // names the zone
	Bars     []StoryBar
	Foot     Foot
}

// A StoryBar is a range over the axis of effects, with its words.
type StoryBar struct {
	Label             string
	Low, Middle, High float64
}

func (c Story) Heading() (string, Foot) { return c.Saying, c.Foot }

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
	return described(c, &b)
}

func (c Story) Check() error {
	if c.Answer == "" || len(c.Bodies) > 0 && c.Shows == "" {
		return wrong("story", "the answer or the description of the bodies is missing")
	}
	if err := checkSilhouettes("story", c.Bodies); err != nil {
		return err
	}
	if len(c.Bars) == 0 {
		return nil
	}
	for _, bar := range c.Bars {
		if !drawable(bar.Low, bar.Middle, bar.High) || !(bar.Low <= bar.Middle && bar.Middle <= bar.High) || bar.Label == "" {
			return wrong("story", "%q: %v, %v, %v", bar.Label, bar.Low, bar.Middle, bar.High)
		}
	}
	return c.Zone.check("story")
}

// draw sets the answer under the saying, and beside each other or under each other the
// bodies and the bars.
func (c Story) Draw(s *sheet) error {
	size := s.size.text
	large := 1.25 * size
	lines, err := s.balance(c.Answer, true, large, s.body.width())
	if err != nil {
		return err
	}
	s.lines(lines, s.body.x0, s.body.y0, alignLeft, true, large, s.theme.textColor(s.theme.After))
	s.body.y0 += lineHeight(len(lines), large) + 0.8*size
	bars := s.body
	if len(c.Bodies) > 0 {
		share := 0.42
		if len(c.Bars) == 0 {
			share = 1
		}
		bodies, rest := s.aside(share, min(1, 1.15*share))
		bars = rest
		if err := silhouettes(s, c.Bodies, s.theme.pair(), bodies); err != nil {
			return err
		}
	}
	if len(c.Bars) == 0 {
		return nil
	}
	return c.bars(s, bars)
}

// bars draws the ranges over one axis with the zone behind them.
func (c Story) bars(s *sheet, area rect) error {
	size := s.size.text
	var ends []float64
	for _, bar := range c.Bars {
		ends = append(ends, bar.Low, bar.High)
	}
	low, high := c.Zone.ends(ends...)
	x := scale{low, high, area.x0, area.x1}
	height, err := c.Zone.axisHeight(s, area.width())
	if err != nil {
		return err
	}
	base := area.y1 - height
	top := area.y0 + nameHeight(s.size.note())
	row := (base - top) / float64(len(c.Bars))
	labels := make([][]string, len(c.Bars))
	for k, bar := range c.Bars {
		if labels[k], err = s.balance(bar.Label, k == 0, size, area.width()); err != nil {
			return err
		}
		if row < (1.6+leading*float64(len(labels[k])))*size {
			return wrong("story", "no room on the %s for its bars", s.size.Name)
		}
	}
	if err := besides(s, c.Small, x.at(0), x, area.y0, false, s.size.note(), s.theme.Muted); err != nil {
		return err
	}
	for k, bar := range c.Bars {
		y := top + (float64(k)+0.5)*row + 0.5*(1.4-leading*float64(len(labels[k])))*size
		// The zone stands behind the bar alone, so that no line runs through its words.
		c.Zone.drawBack(s, x, y-1.3*size, y)
		ink := c.Zone.sideColor(s.theme, bar.Middle)
		s.fillRect(ink, rect{x.at(bar.Low), y - 0.9*size, max(x.at(bar.High), x.at(bar.Low)+s.size.thick), y - 0.2*size})
		s.spot(s.theme.Ink, point{x.at(bar.Middle), y - 0.55*size}, 0.32*size)
		for i, line := range labels[k] {
			if err := besides(s, line, x.at(bar.Middle), x, y+(0.15+leading*float64(i))*size, k == 0, size, s.theme.Ink); err != nil {
				return err
			}
		}
	}
	numbers := len(s.items)
	if err := c.Zone.drawAxis(s, x, base); err != nil || language(c) == "en" {
		return err
	}
	for _, item := range s.items[numbers:] {
		if r, ok := item.(*run); ok { // a comma is as wide as a point
			r.text = strings.ReplaceAll(r.text, ".", ",")
		}
	}
	return nil
}
