package chart

import (
	"fmt"
	"strings"

	"counterpoise/internal/words"
)

// The sizes of cards and of sheets beside them, for printing: Pocket is A6, Page A4.
var (
	Pocket = Size{
		Name: "a6", width: 105 * millimetre, height: 148.5 * millimetre, dotsPerInch: 300, margin: 14,
		title: 13, text: 8.2, small: 7, thick: 1.5, thin: 0.6, least: 7,
	}
	Page = Size{
		Name: "a4", width: 210 * millimetre, height: 297 * millimetre, dotsPerInch: 200, margin: 34,
		title: 24, text: 13, small: 8, thick: 2.4, thin: 0.9, least: 7,
	}
)

// A Card tells one person about a hold on a pole: where the hands belong, how its easier
// forms compare, and what to do next. It is made for Pocket and Page.
type Card struct {
	Title  string // who, and the marks
	Under  string // their size
	Body   FreeBody
	Marks  []string // beside the hands of the body: how far apart they are
	Steps  []CardStep
	Above  string // what the steps are shares of
	Tests  [][]string
	Below  string // what the tests show
	Says   []CardText
	Foot   Foot
	Narrow bool // there is no body to draw: it cannot take the posture
}

// A CardStep is one form of the hold: a share of what the full one asks for, with the
// range of what is left open.
type CardStep struct {
	Name             string
	Share, Low, High float64
}

// A CardText is a sentence under what it is about.
type CardText struct{ Of, Text string }

func (c Card) Heading() (string, Foot) { return c.Title, c.Foot }

// Alt implements Figure.
func (c Card) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Card to print. %s.", c.Under)
	for _, says := range c.Says {
		fmt.Fprintf(&b, " %s: %s", says.Of, strings.TrimSuffix(says.Text, ".")+".")
	}
	for i, step := range c.Steps {
		if i == 0 {
			fmt.Fprintf(&b, " %s:", c.Above)
		}
		fmt.Fprintf(&b, " %s %s (%s).", step.Name, percent(step.Share), words.Interval(percent(step.Low), percent(step.High)))
	}
	for _, row := range c.Tests[min(1, len(c.Tests)):] {
		fmt.Fprintf(&b, " %s: %s.", row[0], strings.Join(row[1:], ", "))
	}
	return described(c, &b)
}

func percent(share float64) string { return words.Percent(share, 0) }

func (c Card) Check() error {
	for _, row := range c.Tests {
		if len(row) != len(c.Tests[0]) {
			return wrong("card", "a row of %d cells under %d", len(row), len(c.Tests[0]))
		}
	}
	for _, step := range c.Steps {
		if !drawable(step.Share, step.Low, step.High) || step.Low < 0 || step.High < step.Low {
			return wrong("card", "%s: %v, from %v to %v", step.Name, step.Share, step.Low, step.High)
		}
	}
	return nil
}

// draw sets the texts from the foot up and gives the body what is left.
func (c Card) Draw(s *sheet) error {
	size := s.size.text
	under, err := s.wrap(c.Under, false, size, s.body.width())
	if err != nil {
		return err
	}
	s.lines(under, s.body.x0, s.body.y0-0.4*size, alignLeft, false, size, s.theme.Muted)
	s.body.y0 += lineHeight(len(under), size) + 0.2*size
	for i := len(c.Says) - 1; i >= 0; i-- {
		if err := c.says(s, c.Says[i]); err != nil {
			return err
		}
	}
	if err := c.tests(s); err != nil {
		return err
	}
	if err := c.steps(s); err != nil {
		return err
	}
	if c.Narrow {
		return nil
	}
	return c.picture(s)
}

// says sets a text at the foot of the body.
func (c Card) says(s *sheet, t CardText) error {
	size := s.size.note()
	lead := t.Of + " "
	indent := textWidth(lead, true, size)
	// The first line is shorter by what leads it: spaces that cannot be broken stand for it.
	lines, err := wrapAfter(s, t.Text, size, s.body.width(), indent)
	if err != nil {
		return err
	}
	top := s.body.y1 - lineHeight(len(lines), size)
	base := top + ascent*size
	s.text(t.Of, s.body.x0, base, alignLeft, true, size, s.theme.Ink)
	s.text(lines[0], s.body.x0+indent, base, alignLeft, false, size, s.theme.Ink)
	s.lines(lines[1:], s.body.x0, top+leading*size, alignLeft, false, size, s.theme.Ink)
	s.body.y1 = top - 0.45*size
	return nil
}

// wrapAfter is wrap with a first line that begins later.
func wrapAfter(s *sheet, text string, size, width, indent float64) ([]string, error) {
	all := wordsOf(text)
	n := 0
	for n < len(all) && textWidth(strings.Join(all[:n+1], " "), false, size) <= width-indent {
		n++
	}
	rest, err := s.wrap(strings.Join(all[n:], " "), false, size, width)
	return append([]string{strings.Join(all[:n], " ")}, rest...), err
}

// tests sets the table of tests, its columns of results as wide as they need.
func (c Card) tests(s *sheet) error {
	if len(c.Tests) == 0 {
		return nil
	}
	size := s.size.note()
	below, err := s.wrap(c.Below, false, size, s.body.width())
	if err != nil {
		return err
	}
	s.body.y1 -= lineHeight(len(below), size)
	s.lines(below, s.body.x0, s.body.y1, alignLeft, false, size, s.theme.Muted)
	columns := len(c.Tests[0])
	widths := make([]float64, columns)
	for i, row := range c.Tests {
		for k, text := range row {
			widths[k] = max(widths[k], textWidth(text, i == 0, size)+size)
		}
	}
	line := 1.45 * size
	top := s.body.y1 - 0.4*size - line*float64(len(c.Tests))
	for i, row := range c.Tests {
		y := top + float64(i)*line
		right := s.body.x1
		for k := columns - 1; k > 0; k-- {
			s.text(row[k], right, y+ascent*size, alignRight, i == 0, size, s.theme.Ink)
			right -= widths[k]
		}
		if textWidth(row[0], i == 0, size) > right-s.body.x0 {
			return fmt.Errorf("chart: no room on the %s for %q", s.size.Name, row[0])
		}
		s.text(row[0], s.body.x0, y+ascent*size, alignLeft, i == 0, size, s.theme.Ink)
		s.stroke(s.theme.Grid, s.size.thin, nil, point{s.body.x0, y + line - 0.1*size}, point{s.body.x1, y + line - 0.1*size})
	}
	s.body.y1 = top - 0.6*size
	return nil
}

// steps draws a bar for each form.
func (c Card) steps(s *sheet) error {
	if len(c.Steps) == 0 {
		return nil
	}
	size := s.size.text
	left, right, most := 0.0, 0.0, 1.0
	texts := make([]string, len(c.Steps))
	for i, step := range c.Steps {
		texts[i] = words.OneLine(words.Spread(step.Share, step.Low, step.High, percent))
		left, right, most = max(left, textWidth(step.Name, false, size)), max(right, textWidth(texts[i], true, size)), max(most, step.High)
	}
	line := 1.6 * size
	top := s.body.y1 - line*float64(len(c.Steps))
	bar := scale{0, most, s.body.x0 + left + 0.8*size, s.body.x1 - right - 0.8*size}
	if bar.to-bar.from < 0.15*s.body.width() {
		return fmt.Errorf("chart: no room on the %s for bars", s.size.Name)
	}
	for i, step := range c.Steps {
		y := top + (float64(i)+0.5)*line
		s.text(step.Name, s.body.x0, y+0.35*size, alignLeft, false, size, s.theme.Ink)
		s.fillRect(mix(s.theme.Background, s.theme.Before, 0.35), rect{bar.from, y - 0.42*size, bar.at(step.Share), y + 0.42*size})
		if step.Low != step.High {
			s.stroke(s.theme.Before, s.size.thick, nil, point{bar.at(step.Low), y}, point{bar.at(step.High), y})
		}
		s.text(texts[i], s.body.x1, y+0.35*size, alignRight, true, size, s.theme.Ink)
	}
	above, err := s.wrap(c.Above, false, s.size.note(), s.body.width())
	top -= lineHeight(len(above), s.size.note()) + 0.2*size
	s.lines(above, s.body.x0, top, alignLeft, false, s.size.note(), s.theme.Muted)
	s.body.y1 = top - 0.5*size
	return err
}

// picture draws the body on its pole with the marks for the hands.
func (c Card) picture(s *sheet) error {
	size := s.size.text
	least := 6 * size
	if s.body.height() < least {
		return fmt.Errorf("chart: no room on the %s for the body", s.size.Name)
	}
	near := c.Body.bodyExtent()
	near.y0, near.y1 = near.y0-fixtureMargin, near.y1+fixtureMargin
	beside := 0.0 // room left of the pole for the marks
	for i, text := range c.Marks {
		beside = max(beside, textWidth(text, true, size*markType(i)))
	}
	beside += 2.2 * size
	area := s.body
	area.x0 += beside
	v := view{scale: min(area.width()/near.width(), area.height()/near.height())}
	wide, high := v.scale*near.width(), v.scale*near.height()
	v.origin = point{area.x0 + (area.width()-wide)/2 - v.scale*near.x0, area.y0 + (area.height()-high)/2 + v.scale*near.y1}
	place := &placer{sheet: s, area: area}
	body := c.Body
	for _, e := range body.clipFixtures(near) {
		body.drawFixture(s, place, v, e)
	}
	body.drawBody(s, place, v)
	if len(body.Dimensions) > 0 { // the first is between the hands
		upper, lower := v.at(body.Dimensions[0].From), v.at(body.Dimensions[0].To)
		if upper.y > lower.y {
			upper, lower = lower, upper
		}
		c.mark(s, upper, lower)
	}
	return nil
}

// markType is how large the lines of the marks are, in multiples of the text.
func markType(line int) float64 {
	if line == 0 {
		return 1.5
	}
	return 1
}

// mark draws the distance of the hands left of the pole.
func (c Card) mark(s *sheet, upper, lower point) {
	size, x := s.size.text, min(upper.x, lower.x)-1.6*s.size.text
	ink := s.theme.After
	for _, hand := range []point{upper, lower} {
		s.stroke(ink, s.size.thick, nil, point{x - 0.4*size, hand.y}, point{hand.x + 0.9*size, hand.y})
	}
	s.stroke(ink, s.size.thin, nil, point{x, upper.y}, point{x, lower.y})
	height := 0.0
	for i := range c.Marks {
		height += leading * size * markType(i)
	}
	y := (upper.y+lower.y)/2 - height/2
	for i, text := range c.Marks {
		points := size * markType(i)
		s.text(text, x-0.5*size, y+ascent*points, alignRight, true, points, s.theme.textColor(ink))
		y += leading * points
	}
}
