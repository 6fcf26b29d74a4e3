package chart

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/words"
)

// A ContrastGroup is one of two groups of people.
type ContrastGroup struct {
	Name    string    // such as "the tallest"
	Density []float64 // of its people over Contrast.X
	Median  float64
	Says    string // its middle, in words
}

// A Contrast lays two groups of people over one another, over one axis of what is asked
// of them. Beside that it shows in how many of a hundred pairs of a person of either it is
// more for the one of the top group, and below it the draws of how far the groups' middle
// people lie apart.
type Contrast struct {
	Title       string
	Label       string // of the axis of what is asked, with its unit
	X           []float64
	Bottom, Top ContrastGroup

	Pairs    [2]float64 // from so many to so many of a hundred are as PairsSay has it
	PairsSay string

	Zone   // of the difference
	Spread // of the difference of the middle people
	Bodies []Silhouette
	Foot   Foot
}

func (c Contrast) Heading() (string, Foot) { return c.Title, c.Foot }

// Alt implements Figure.
func (c Contrast) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Two humps of people over one another, over %s: %s and %s. A field of a hundred dots, a pair of people each: %s.", c.Label, c.Bottom.Says, c.Top.Says, c.PairsSay)
	fmt.Fprintf(&b, " Below, dots over %s %s; %s.", c.alt(), words.Capital(c.told(0)), c.falls(c.Draws))
	b.WriteString(shown(c.Bodies))
	return described(c, &b)
}

func (c Contrast) groups() []ContrastGroup { return []ContrastGroup{c.Bottom, c.Top} }

func (c Contrast) Check() error {
	const kind = "contrast"
	if c.Label == "" || c.PairsSay == "" {
		return wrong(kind, "an axis has no label, or nothing says what the pairs are")
	}
	if !(0 <= c.Pairs[0] && c.Pairs[0] <= c.Pairs[1] && c.Pairs[1] <= 100) {
		return wrong(kind, "%v of 100 pairs", c.Pairs)
	}
	for _, g := range c.groups() {
		if g.Name == "" || g.Says == "" {
			return wrong(kind, "a group has no name or no words")
		}
		if err := checkSeries("contrast: "+g.Name, c.X, g.Density); err != nil {
			return err
		}
		if !drawable(g.Median) || slices.Min(g.Density) < 0 || slices.Max(g.Density) <= 0 {
			return wrong(kind, "%s: a density below 0, or nobody in it", g.Name)
		}
	}
	if err := c.Zone.check(kind); err != nil {
		return err
	}
	if err := c.Spread.check(kind); err != nil {
		return err
	}
	return checkSilhouettes(kind, c.Bodies)
}

func (c Contrast) Draw(s *sheet) error {
	size, note := s.size.text, s.size.note()
	part, body := s.aside(0.28, 0.27)
	if err := c.drawAside(s, part); err != nil {
		return err
	}
	above := scale{low: c.X[0], high: c.X[len(c.X)-1], from: body.x0, to: body.x1}
	below := scale{from: body.x0, to: body.x1}
	below.low, below.high = c.ends(append([]float64{c.Spread.Low, c.Spread.High}, c.Draws...)...)
	aboveAxis, err := s.axisHeight(c.Label, body.width())
	if err != nil {
		return err
	}
	belowAxis, err := c.axisHeight(s, body.width())
	if err != nil {
		return err
	}
	rest := body.height() - aboveAxis - belowAxis - 0.7*size - nameHeight(note) - lineFoot(size) - 0.9*size
	if rest < 6*size {
		return wrong("contrast", "no room on the %s", s.size.Name)
	}
	hump, pit := 0.7*rest, 0.3*rest
	if err := c.drawHumps(s, above, rect{body.x0, body.y0, body.x1, body.y0 + hump}); err != nil {
		return err
	}
	if err := s.horizontalAxis(above, body.y0+hump, c.Label); err != nil {
		return err
	}
	d := dotsIn(below, size, pit-0.2*size, c.Draws)
	y := body.y0 + hump + aboveAxis + 0.7*size
	if err := c.drawName(s, below, y); err != nil {
		return err
	}
	y += nameHeight(note)
	c.drawBack(s, below, y, y+pit)
	if err := c.drawDots(s, d, c.Spread, y+pit); err != nil {
		return err
	}
	return c.drawAxis(s, below, y+pit+lineFoot(size)+0.9*size)
}

// drawHumps draws the two groups over one another, under their names.
func (c Contrast) drawHumps(s *sheet, x scale, plot rect) error {
	size, t := s.size.text, s.theme
	colors := t.pair()
	if textWidth(c.Bottom.Says, true, size)+textWidth(c.Top.Says, true, size)+size < plot.width() {
		s.text(c.Bottom.Says, plot.x0, plot.y0+ascent*size, alignLeft, true, size, t.textColor(colors[0]))
		s.text(c.Top.Says, plot.x1, plot.y0+ascent*size, alignRight, true, size, t.textColor(colors[1]))
		plot.y0 += lineHeight(1, size)
	} else {
		for k, g := range c.groups() {
			lines, err := s.balance(g.Says, true, size, plot.width())
			if err != nil {
				return err
			}
			s.lines(lines, plot.x0, plot.y0, alignLeft, true, size, t.textColor(colors[k]))
			plot.y0 += float64(len(lines)) * leading * size
		}
	}
	if plot.height() < 2.5*size {
		return wrong("contrast", "no room on the %s", s.size.Name)
	}
	y := scale{low: 0, high: 1.05 * max(slices.Max(c.Bottom.Density), slices.Max(c.Top.Density)), from: plot.y1, to: plot.y0}
	points := func(density []float64) []point {
		list := make([]point, len(density))
		for i, v := range density {
			list[i] = point{x.at(c.X[i]), y.at(v)}
		}
		return list
	}
	// One is an area and the other a line, so that they do not merge.
	area := append([]point{{x.from, plot.y1}}, points(c.Bottom.Density)...)
	s.fill(mix(t.Background, colors[0], 0.3), append(area, point{x.to, plot.y1})...)
	s.stroke(t.Muted, s.size.thin, nil, point{plot.x0, plot.y1}, point{plot.x1, plot.y1})
	for k, g := range c.groups() {
		outline := points(g.Density)
		s.stroke(colors[k], (0.4+0.6*float64(k))*s.size.thick, nil, outline...)
		if top, ok := heightAt(outline, x.at(g.Median)); ok {
			s.stroke(colors[k], 1.4*s.size.thin, []float64{3 * s.size.thin, 2 * s.size.thin}, point{x.at(g.Median), plot.y1}, point{x.at(g.Median), top})
		}
	}
	return nil
}

// pairsAcross is how many pairs stand in a row of the field.
const pairsAcross = 10

// drawAside draws the bodies and the field of pairs.
func (c Contrast) drawAside(s *sheet, area rect) error {
	size, note, t := s.size.text, s.size.note(), s.theme
	field := area
	if len(c.Bodies) > 0 {
		bodies := area
		if s.wide() {
			bodies.y1 = area.y0 + 0.42*area.height()
			field.y0 = bodies.y1 + size
		} else {
			bodies.x1 = area.x0 + 0.54*area.width()
			field.x0 = bodies.x1 + size
		}
		if err := silhouettes(s, c.Bodies, t.pair(), bodies); err != nil {
			return err
		}
	}
	text, err := s.balance(c.PairsSay, true, note, field.width())
	if err != nil {
		return err
	}
	caption := lineHeight(len(text), note) + 0.5*note
	side := min(field.width(), field.height()-caption)
	if side < 5*note {
		return wrong("contrast", "no room for pairs on the %s", s.size.Name)
	}
	step := side / pairsAcross
	x0 := field.x0
	if !s.wide() {
		x0 = (field.x0 + field.x1 - side) / 2
	}
	low, high := int(math.Round(c.Pairs[0])), int(math.Round(c.Pairs[1]))
	for k := range pairsAcross * pairsAcross {
		at := point{x0 + (float64(k%pairsAcross)+0.5)*step, field.y0 + (float64(k/pairsAcross)+0.5)*step}
		switch { // full, hollow where it is not sure, small for all others
		case k < low:
			s.disc(t.After, at, 0.4*step)
		case k < high:
			s.disc(t.After, at, 0.4*step)
			s.disc(t.Background, at, 0.27*step)
		default:
			s.disc(t.Muted, at, 0.14*step)
		}
	}
	align, x := alignLeft, x0
	if !s.wide() {
		align, x = alignCenter, (field.x0+field.x1)/2
	}
	s.lines(text, x, field.y0+side+0.5*note, align, true, note, t.textColor(t.After))
	return nil
}
