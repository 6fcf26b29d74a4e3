package chart

import (
	"fmt"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/words"
)

// The sizes of cards and of sheets beside them, for printing: Pocket is A6, Page A4.
var (
	Pocket = draw.Size{
		Name: "a6", Width: 105 * draw.Millimetre, Height: 148.5 * draw.Millimetre, DotsPerInch: 300, Margin: 14,
		Title: 13, Text: 8.2, Small: 7, Thick: 1.5, Thin: 0.6, Least: 7,
	}
	Page = draw.Size{
		Name: "a4", Width: 210 * draw.Millimetre, Height: 297 * draw.Millimetre, DotsPerInch: 200, Margin: 34,
		Title: 24, Text: 13, Small: 8, Thick: 2.4, Thin: 0.9, Least: 7,
	}
)

// A Card tells one person about a hold on a pole: where the hands belong, how its easier
// forms compare, and what to do next. It is made for Pocket and Page.
type Card struct {
	Title  string // who, and the marks
	Under  string // their size
	Body   bodies.FreeBody
	Marks  []string // beside the hands of the body: how far apart they are
	Steps  []CardStep
	Above  string // what the steps are shares of
	Tests  [][]string
	Below  string // what the tests show
	Says   []CardText
	Foot   draw.Foot
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

// Heading implements draw.Figure.
func (c Card) Heading() (string, draw.Foot) { return c.Title, c.Foot }

// Alt implements Figure.
func (c Card) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Card to print. %s.", c.Under)
	for _, says := range c.Says {
		fmt.Fprintf(&b, " %s: %s", strings.TrimSuffix(says.Of, ":"), strings.TrimSuffix(says.Text, ".")+".")
	}
	for i, step := range c.Steps {
		if i == 0 {
			fmt.Fprintf(&b, " %s:", c.Above)
		}
		fmt.Fprintf(&b, " %s %s.", step.Name, words.Spread(step.Share, step.Low, step.High, percent))
	}
	for i, row := range c.Tests {
		if i == 0 {
			fmt.Fprintf(&b, " %s:", row[0])
			continue
		}
		var parts []string
		for k, text := range row[1:] {
			parts = append(parts, c.Tests[0][k+1]+" "+text)
		}
		fmt.Fprintf(&b, " %s: %s.", row[0], strings.Join(parts, ", "))
	}
	if len(c.Tests) > 0 && c.Below != "" {
		fmt.Fprintf(&b, " %s", c.Below)
	}
	return draw.Described(c, &b)
}

func percent(share float64) string { return words.Percent(share, 0) }

// Check implements draw.Figure.
func (c Card) Check() error {
	for _, row := range c.Tests {
		if len(row) != len(c.Tests[0]) {
			return draw.Wrong("card", "a row of %d cells under %d", len(row), len(c.Tests[0]))
		}
	}
	for _, step := range c.Steps {
		if !draw.Drawable(step.Share, step.Low, step.High) || step.Low < 0 || step.High < step.Low {
			return draw.Wrong("card", "%s: %v, from %v to %v", step.Name, step.Share, step.Low, step.High)
		}
	}
	return nil
}

// draw sets the texts from the foot up and gives the body what is left.
func (c Card) Draw(s *draw.Sheet) error {
	size := s.Size.Text
	under, err := s.Wrap(c.Under, false, size, s.Body.Width())
	if err != nil {
		return err
	}
	s.Lines(under, s.Body.X0, s.Body.Y0-0.4*size, draw.AlignLeft, false, size, s.Theme.Muted)
	s.Body.Y0 += draw.LineHeight(len(under), size) + 0.2*size
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
func (c Card) says(s *draw.Sheet, t CardText) error {
	size := s.Size.Text
	lead := t.Of + " "
	indent := draw.TextWidth(lead, true, size)
	// The first line is shorter by what leads it: spaces that cannot be broken stand for it.
	lines, err := wrapAfter(s, t.Text, size, s.Body.Width(), indent)
	if err != nil {
		return err
	}
	top := s.Body.Y1 - draw.LineHeight(len(lines), size)
	base := top + draw.Ascent*size
	s.Text(t.Of, s.Body.X0, base, draw.AlignLeft, true, size, s.Theme.Ink)
	s.Text(lines[0], s.Body.X0+indent, base, draw.AlignLeft, false, size, s.Theme.Ink)
	s.Lines(lines[1:], s.Body.X0, top+draw.Leading*size, draw.AlignLeft, false, size, s.Theme.Ink)
	s.Body.Y1 = top - 0.45*size
	return nil
}

// wrapAfter is wrap with a first line that begins later.
func wrapAfter(s *draw.Sheet, text string, size, width, indent float64) ([]string, error) {
	all := draw.WordsOf(text)
	n := 0
	for n < len(all) && draw.TextWidth(strings.Join(all[:n+1], " "), false, size) <= width-indent {
		n++
	}
	rest, err := s.Wrap(strings.Join(all[n:], " "), false, size, width)
	return append([]string{strings.Join(all[:n], " ")}, rest...), err
}

// tests sets the table of tests, its columns of results as wide as they need.
func (c Card) tests(s *draw.Sheet) error {
	if len(c.Tests) == 0 {
		return nil
	}
	size := s.Size.Text
	below, err := s.Wrap(c.Below, false, size, s.Body.Width())
	if err != nil {
		return err
	}
	s.Body.Y1 -= draw.LineHeight(len(below), size)
	s.Lines(below, s.Body.X0, s.Body.Y1, draw.AlignLeft, false, size, s.Theme.Muted)
	columns := len(c.Tests[0])
	widths := make([]float64, columns)
	for i, row := range c.Tests {
		for k, text := range row {
			widths[k] = max(widths[k], draw.TextWidth(text, i == 0, size)+size)
		}
	}
	line := 1.45 * size
	top := s.Body.Y1 - 0.4*size - line*float64(len(c.Tests))
	for i, row := range c.Tests {
		y := top + float64(i)*line
		right := s.Body.X1
		for k := columns - 1; k > 0; k-- {
			s.Text(row[k], right, y+draw.Ascent*size, draw.AlignRight, i == 0, size, s.Theme.Ink)
			right -= widths[k]
		}
		if draw.TextWidth(row[0], i == 0, size) > right-s.Body.X0 {
			return fmt.Errorf("chart: no room on the %s for %q", s.Size.Name, row[0])
		}
		s.Text(row[0], s.Body.X0, y+draw.Ascent*size, draw.AlignLeft, i == 0, size, s.Theme.Ink)
		s.Stroke(s.Theme.Grid, s.Size.Thin, nil, draw.Point{X: s.Body.X0, Y: y + line - 0.1*size}, draw.Point{X: s.Body.X1, Y: y + line - 0.1*size})
	}
	s.Body.Y1 = top - 0.6*size
	return nil
}

// steps draws a bar for each form.
func (c Card) steps(s *draw.Sheet) error {
	if len(c.Steps) == 0 {
		return nil
	}
	size := s.Size.Text
	left, right, most := 0.0, 0.0, 1.0
	texts := make([]string, len(c.Steps))
	for i, step := range c.Steps {
		texts[i] = words.OneLine(words.Spread(step.Share, step.Low, step.High, percent))
		left, right, most = max(left, draw.TextWidth(step.Name, false, size)), max(right, draw.TextWidth(texts[i], true, size)), max(most, step.High)
	}
	line := 1.6 * size
	top := s.Body.Y1 - line*float64(len(c.Steps))
	bar := draw.Scale{Low: 0, High: most, From: s.Body.X0 + left + 0.8*size, To: s.Body.X1 - right - 0.8*size}
	if bar.To-bar.From < 0.15*s.Body.Width() {
		return fmt.Errorf("chart: no room on the %s for bars", s.Size.Name)
	}
	for i, step := range c.Steps {
		y := top + (float64(i)+0.5)*line
		s.Text(step.Name, s.Body.X0, y+0.35*size, draw.AlignLeft, false, size, s.Theme.Ink)
		s.FillRect(draw.Mix(s.Theme.Background, s.Theme.Before, 0.35), draw.Rect{X0: bar.From, Y0: y - 0.42*size, X1: bar.At(step.Share), Y1: y + 0.42*size})
		if step.Low != step.High {
			whisker(s, bar.At(step.Low), bar.At(step.High), y, 0.25*size)
		}
		s.Text(texts[i], s.Body.X1, y+0.35*size, draw.AlignRight, true, size, s.Theme.Ink)
	}
	above, err := s.Wrap(c.Above, false, s.Size.Note(), s.Body.Width())
	top -= draw.LineHeight(len(above), s.Size.Note()) + 0.2*size
	s.Lines(above, s.Body.X0, top, draw.AlignLeft, false, s.Size.Note(), s.Theme.Muted)
	s.Body.Y1 = top - 0.5*size
	return err
}

// picture draws the body on its pole with the marks for the hands.
func (c Card) picture(s *draw.Sheet) error {
	size := s.Size.Text
	least := 6 * size
	if s.Body.Height() < least {
		return fmt.Errorf("chart: no room on the %s for the body", s.Size.Name)
	}
	near := c.Body.BodyExtent()
	near.Y0, near.Y1 = near.Y0-bodies.FixtureMargin, near.Y1+bodies.FixtureMargin
	beside := 0.0 // room left of the pole for the marks
	for i, text := range c.Marks {
		beside = max(beside, draw.TextWidth(text, true, size*markType(i)))
	}
	beside += 2.2 * size
	area := s.Body
	area.X0 += beside
	v := bodies.View{Scale: min(area.Width()/near.Width(), area.Height()/near.Height())}
	wide, high := v.Scale*near.Width(), v.Scale*near.Height()
	v.Origin = draw.Point{X: area.X0 + (area.Width()-wide)/2 - v.Scale*near.X0, Y: area.Y0 + (area.Height()-high)/2 + v.Scale*near.Y1}
	place := &draw.Placer{Sheet: s, Area: area}
	body := c.Body
	for _, e := range body.ClipFixtures(near) {
		body.DrawFixture(s, place, v, e)
	}
	body.DrawBody(s, place, v)
	if len(body.Dimensions) > 0 { // the first is between the hands
		upper, lower := v.At(body.Dimensions[0].From), v.At(body.Dimensions[0].To)
		if upper.Y > lower.Y {
			upper, lower = lower, upper
		}
		c.mark(s, upper, lower)
	}
	return nil
}

// markType is how large the lines of the marks are, in multiples of the text.
func markType(line int) float64 {
	if line == 0 {
		return 3
	}
	return 1.2
}

// mark draws the distance of the hands left of the pole.
func (c Card) mark(s *draw.Sheet, upper, lower draw.Point) {
	size, x := s.Size.Text, min(upper.X, lower.X)-1.6*s.Size.Text
	ink := s.Theme.After
	for _, hand := range []draw.Point{upper, lower} {
		s.Stroke(ink, s.Size.Thick, nil, draw.Point{X: x - 0.4*size, Y: hand.Y}, draw.Point{X: hand.X + 0.9*size, Y: hand.Y})
	}
	s.Stroke(ink, s.Size.Thin, nil, draw.Point{X: x, Y: upper.Y}, draw.Point{X: x, Y: lower.Y})
	height := 0.0
	for i := range c.Marks {
		height += draw.Leading * size * markType(i)
	}
	y := (upper.Y+lower.Y)/2 - height/2
	for i, text := range c.Marks {
		points := size * markType(i)
		s.Text(text, x-0.5*size, y+draw.Ascent*points, draw.AlignRight, true, points, s.Theme.TextColor(ink))
		y += draw.Leading * points
	}
}
