package chart

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// An UncertainRequirement shows what a hold demands of one body over its free posture, with
// a ribbon of what is not known of it. The mark may lie off the line: the best posture of
// the middle of many draws is not the best posture of a middle body. Values far above the
// mark leave the picture at its top. A no-break space in the title and the labels keeps a
// number and its unit together.
type UncertainRequirement struct {
	Title          string
	XLabel, YLabel string // quantity and unit
	Ribbon         string // what lies inside the ribbon, such as "5–95 % of the draws"
	Curve          Series // with the uncertainty around Y, if there is any
	Best           Mark   // the chosen point; its label has the values with units
	Foot           Foot
}

func (r UncertainRequirement) heading() (string, Foot) { return r.Title, r.Foot }

// Alt implements Figure.
func (r UncertainRequirement) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Line chart: %s against %s. %s: best at %s.", r.YLabel, r.XLabel, r.Curve.Name, r.Best.Label)
	if r.Curve.spread() {
		fmt.Fprintf(&b, " A ribbon around the line shows %s.", r.Ribbon)
	}
	return described(r, &b)
}

func (r UncertainRequirement) check() error {
	if err := labelled("requirement", r.XLabel, r.YLabel); err != nil {
		return err
	}
	c := r.Curve
	if c.spread() && r.Ribbon == "" {
		return wrong("requirement", "the ribbon has no name")
	}
	if c.Name == "" || r.Best.Label == "" {
		return wrong("requirement", "curve %q or its mark has no name", c.Name)
	}
	if err := checkSeries(c.Name, c.X, c.Y); err != nil {
		return err
	}
	if !drawable(r.Best.X, r.Best.Y) || r.Best.X < c.X[0] || r.Best.X > c.X[len(c.X)-1] {
		return wrong("requirement", "%s: the mark is at (%v, %v)", c.Name, r.Best.X, r.Best.Y)
	}
	if !c.spread() {
		return nil
	}
	return checkBand(c.Name, c.X, c.Low, c.High)
}

// yRange returns the ends of the vertical axis. What counts is where the mark is, and how
// wide the ribbon is there; what the curve does far above leaves the picture.
func (r UncertainRequirement) yRange() (low, high float64) {
	low, high = r.Best.Y, r.Best.Y
	if r.Curve.spread() {
		low, high = min(low, slices.Min(r.Curve.Low)), max(high, slices.Min(r.Curve.High))
	}
	span := max(high-low, 0.02*math.Abs(high), 1e-6)
	below, above := span, max(1.5*span, 0.25*math.Abs(high))
	if low >= 0 && low < 2*below {
		return 0, high + above // an axis that nearly reaches zero starts there
	}
	return low - below, high + above
}

func (r UncertainRequirement) draw(s *sheet) error {
	size, t, c := s.size.text, s.theme, r.Curve
	top, err := s.paragraph(r.YLabel, s.body.y0, size)
	if err != nil {
		return err
	}
	var x, y scale
	x.low, x.high = c.X[0], c.X[len(c.X)-1]
	y.low, y.high = r.yRange()
	f := s.newFrame(top+0.8*size, y, 6, 0.5*size, s.halfNumber(x.high))
	if err := f.numbersBelow(s, x, r.XLabel); err != nil {
		return err
	}
	var edges [][]point
	if c.spread() { // below everything
		upper, lower := f.points(c.X, c.High), f.points(c.X, c.Low)
		s.fill(mix(t.Background, t.Before, 0.17), clipPolygon(append(slices.Clone(upper), reversed(lower)...), f.plot)...)
		edges = [][]point{upper, lower}
	}
	place, err := f.draw(s, 0.2*size)
	if err != nil {
		return err
	}
	for _, edge := range edges {
		for _, piece := range clipLine(edge, f.plot) {
			place.avoid(piece, 0.4)
		}
	}
	f.line(s, place, t.Before, s.size.thick, nil, f.points(c.X, c.Y))
	radius, spot := 1.7*s.size.thick, point{f.x.at(r.Best.X), f.y.at(r.Best.Y)}
	if !spot.inside(f.plot) {
		return wrong("requirement", "the mark of %q lies outside the axes", c.Name)
	}
	place.take(spot, 1.2*radius)
	gap := 0.5*s.size.thick + 0.3*size
	if err := place.label(r.Best.Label, []point{spot}, gap+radius, true, size, t.textColor(t.Before)); err != nil {
		return err
	}
	if len(edges) > 0 {
		if err := place.label(r.Ribbon, along(edges[0], f.plot), gap, false, size, t.textColor(t.Before)); err != nil {
			return err
		}
	}
	s.spot(t.Before, spot, radius)
	return nil
}
