package chart

import (
	"fmt"
	"image/color"
	"strings"
)

// An Amount is one row of Amounts.
type Amount struct {
	Label string
	Value float64 // 0 or more
	Text  string  // the value with its unit, at the end of the bar
}

// Amounts compares amounts, a row each from zero, the most telling row first, and
// may mark one amount for all of them to be read against, and a part that all have.
type Amounts struct {
	Title     string
	XLabel    string // the quantity and its unit
	Rows      []Amount
	Reference *Amount // what all were: drawn as a line down all rows with Label and Text at its head; nil for none
	Floor     *Amount // what all rows have in them: that part of every bar, told by a key; nil for none
	Foot      Foot
}

func (a Amounts) heading() (string, Foot) { return a.Title, a.Foot }

// Alt implements Figure.
func (a Amounts) Alt() string {
	var text strings.Builder
	fmt.Fprintf(&text, "Bar chart of: %s.", a.XLabel)
	for _, r := range a.all() {
		fmt.Fprintf(&text, " %s: %s.", r.Label, r.Text)
	}
	return described(a, &text)
}

// all are the rows with what they are read against.
func (a Amounts) all() []Amount {
	rows := a.Rows
	for _, other := range []*Amount{a.Floor, a.Reference} {
		if other != nil {
			rows = append([]Amount{*other}, rows...)
		}
	}
	return rows
}

func (a Amounts) check() error {
	if a.XLabel == "" || len(a.Rows) == 0 {
		return wrong("amounts", "no axis label or no row")
	}
	for _, r := range a.all() {
		if r.Label == "" || r.Text == "" {
			return wrong("amounts", "a row has no label or no text")
		}
		if !drawable(r.Value) || r.Value < 0 {
			return wrong("amounts", "%s: the value is %v", r.Label, r.Value)
		}
		if a.Floor != nil && r.Value < a.Floor.Value {
			return fmt.Errorf("chart: amounts: %s: %v is less than the part that all have, %v", r.Label, r.Value, a.Floor.Value)
		}
	}
	return nil
}

func (a Amounts) draw(s *sheet) error {
	size, t := s.size.text, s.theme
	labels, texts, most := make([]string, len(a.Rows)), make([]string, len(a.Rows)), 0.0
	for i, r := range a.Rows {
		labels[i], texts[i] = r.Label, r.Text
	}
	for _, r := range a.all() {
		most = max(most, r.Value)
	}
	if most == 0 {
		most = 1
	}
	top, floor, grey := s.body.y0, 0.0, mix(t.Ink, t.Background, 0.4)
	if a.Floor != nil {
		floor = a.Floor.Value
		hues := []hue{{a.Floor.Label + ": " + a.Floor.Text, grey}, {"would be left", t.Before}}
		if a.Reference != nil {
			hues = append(hues, hue{"would be gone", t.After})
		}
		top = s.colorKey(hues, amountShare, top) + 0.5*size
	}
	if a.Reference != nil {
		top += lineHeight(1, size) + 0.4*size
	}
	// The texts stand in a column of their own, clear of the reference.
	rows, err := s.barRows("amounts", labels, texts, []string{a.XLabel}, top, size, rowStyle{labels: 0.42, left: 0.6, right: 0.8, space: 0.35, tallest: 3.5})
	if err != nil {
		return err
	}
	x := scale{low: 0, high: most, from: rows.plot.x0, to: rows.plot.x1}
	if err := a.drawAxis(s, x, rows.plot); err != nil {
		return err
	}
	for i, r := range a.Rows {
		c := t.Before
		if i > 0 && a.Floor == nil {
			c = mix(t.Background, t.Before, 0.7)
		}
		bar := func(c color.RGBA, from, to float64) {
			if to > from {
				s.fillRect(mix(t.Background, c, amountShare), rect{x.at(from), rows.middle(i) - 0.3*rows.each, x.at(to), rows.middle(i) + 0.3*rows.each})
			}
		}
		bar(grey, 0, floor)
		bar(c, floor, r.Value)
		if a.Floor != nil && a.Reference != nil {
			bar(t.After, r.Value, a.Reference.Value)
		}
		rows.words(s, i)
	}
	return nil
}

// amountShare is by how much bars are of their colour.
const amountShare = 0.8

// drawAxis draws what the bars lie on, and the reference behind them.
func (a Amounts) drawAxis(s *sheet, x scale, plot rect) error {
	size, t := s.size.text, s.theme
	if err := s.horizontalAxis(x, plot.y1, a.XLabel, plot); err != nil {
		return err
	}
	s.stroke(t.Muted, s.size.thin, nil, point{x.at(0), plot.y0}, point{x.at(0), plot.y1})
	if a.Reference == nil {
		return nil
	}
	at := x.at(a.Reference.Value)
	s.stroke(t.After, 1.4*s.size.thin, []float64{3 * s.size.thin, 2 * s.size.thin}, point{at, plot.y0 - 0.3*size}, point{at, plot.y1})
	text := a.Reference.Label + ": " + a.Reference.Text
	width := textWidth(text, true, size)
	left := min(max(at-width/2, s.body.x0), s.body.x1-width)
	s.text(text, left, plot.y0-0.3*size-descent*size, alignLeft, true, size, t.textColor(t.After))
	return nil
}
