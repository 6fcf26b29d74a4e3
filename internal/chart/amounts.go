package chart

import (
	"fmt"
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
	Reference *Amount // drawn as a line down all rows with Label and Text at its head; nil for none
	Floor     *Amount // what all rows have in them: a row of its own on top, and that part of every bar; nil for none
	Foot      Foot
}

func (a Amounts) heading() (string, Foot) { return a.Title, a.Foot }

// Alt implements Figure.
func (a Amounts) Alt() string {
	var text strings.Builder
	fmt.Fprintf(&text, "Bar chart of: %s.", a.XLabel)
	if a.Reference != nil {
		fmt.Fprintf(&text, " %s: %s.", a.Reference.Label, a.Reference.Text)
	}
	for _, r := range a.rows() {
		fmt.Fprintf(&text, " %s: %s.", r.Label, r.Text)
	}
	return described(a, &text)
}

// rows are those that are drawn.
func (a Amounts) rows() []Amount {
	if a.Floor == nil {
		return a.Rows
	}
	return append([]Amount{*a.Floor}, a.Rows...)
}

func (a Amounts) all() []Amount {
	if a.Reference == nil {
		return a.rows()
	}
	return append([]Amount{*a.Reference}, a.rows()...)
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
	drawn := a.rows()
	labels, texts, most := make([]string, len(drawn)), make([]string, len(drawn)), 0.0
	for i, r := range drawn {
		labels[i], texts[i] = r.Label, r.Text
	}
	for _, r := range a.all() {
		most = max(most, r.Value)
	}
	if most == 0 {
		most = 1
	}
	top := s.body.y0
	if a.Reference != nil {
		top += lineHeight(1, size) + 0.4*size
	}
	// The texts stand in a column of their own, clear of the reference.
	rows, err := s.barRows("amounts", labels, texts, []string{a.XLabel}, top, size, rowStyle{labels: 0.42, left: 0.6, right: 0.8, space: 0.35, tallest: 2.2})
	if err != nil {
		return err
	}
	x := scale{low: 0, high: most, from: rows.plot.x0, to: rows.plot.x1}
	if err := a.drawAxis(s, x, rows.plot); err != nil {
		return err
	}
	floor, first := 0.0, 0
	if a.Floor != nil {
		floor, first = a.Floor.Value, 1
	}
	for i, r := range drawn {
		c := mix(t.Background, t.Before, 0.55)
		if i == first {
			c = t.Before
		}
		middle, half := rows.middle(i), 0.3*rows.each
		if floor > 0 {
			s.fillRect(mix(t.Background, t.Muted, 0.55), rect{x.at(0), middle - half, x.at(floor), middle + half})
		}
		if r.Value > floor {
			s.fillRect(c, rect{x.at(floor), middle - half, x.at(r.Value), middle + half})
		}
		rows.words(s, i)
	}
	return nil
}

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
