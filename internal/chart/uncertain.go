package chart

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"
)

// An UncertainCurve is what one body needs over its free posture, with what is
// not known of it.
type UncertainCurve struct {
	Series      // with the uncertainty around Y
	Best   Mark // the chosen point; its label has the values with units
}

// An UncertainRequirement shows what a hold asks for over its free posture, for
// one body with a ribbon of what is not known of it, or for several bodies on
// one another. A mark may lie off its line: the best posture of the middle of
// many draws is not the best posture of a middle body. Values far above the
// marks leave the picture at its top. A no-break space in the title and the
// labels keeps a number and its unit together.
type UncertainRequirement struct {
	Title          string
	XLabel, YLabel string // quantity and unit
	Ribbon         string // what lies inside the ribbons, such as "5–95 % of the draws"
	Curves         []UncertainCurve
	Foot           Foot
}

func (r UncertainRequirement) heading() (string, Foot) { return r.Title, r.Foot }

// Alt implements Figure.
func (r UncertainRequirement) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Line chart: %s against %s.", r.YLabel, r.XLabel)
	for _, c := range r.Curves {
		fmt.Fprintf(&b, " %s: best at %s.", c.Name, c.Best.Label)
	}
	if r.hasRibbon() {
		fmt.Fprintf(&b, " A ribbon around each line shows %s.", r.Ribbon)
	}
	return described(r, &b)
}

func (r UncertainRequirement) hasRibbon() bool {
	return slices.ContainsFunc(r.Curves, func(c UncertainCurve) bool { return c.spread() })
}

// MostCurves is how many curves an UncertainRequirement can show so that they
// are told apart by their colours.
const MostCurves = 6

func (r UncertainRequirement) check() error {
	if err := labelled("requirement", r.XLabel, r.YLabel); err != nil {
		return err
	}
	if len(r.Curves) == 0 || len(r.Curves) > MostCurves {
		return wrong("requirement", "%d curves, want 1 to %d", len(r.Curves), MostCurves)
	}
	if r.hasRibbon() && r.Ribbon == "" {
		return wrong("requirement", "the ribbon has no name")
	}
	for _, c := range r.Curves {
		if c.Name == "" || c.Best.Label == "" {
			return wrong("requirement", "curve %q or its mark has no name", c.Name)
		}
		if err := checkSeries(c.Name, c.X, c.Y); err != nil {
			return err
		}
		if !drawable(c.Best.X, c.Best.Y) || c.Best.X < c.X[0] || c.Best.X > c.X[len(c.X)-1] {
			return wrong("requirement", "%s: the mark is at (%v, %v)", c.Name, c.Best.X, c.Best.Y)
		}
		if c.Low == nil && c.High == nil {
			continue
		}
		if err := checkBand(c.Name, c.X, c.Low, c.High); err != nil {
			return err
		}
	}
	return nil
}

// yRange returns the ends of the vertical axis. What counts is where the marks
// are, how far they lie apart and how wide the ribbons are there; what the
// curves do far above leaves the picture.
func (r UncertainRequirement) yRange() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, c := range r.Curves {
		low, high = min(low, c.Best.Y), max(high, c.Best.Y)
		if c.Low != nil {
			low, high = min(low, slices.Min(c.Low)), max(high, slices.Min(c.High))
		}
	}
	span := max(high-low, 0.02*math.Abs(high), 1e-6)
	below, above := span, max(1.5*span, 0.25*math.Abs(high))
	if low >= 0 && low < 2*below {
		return 0, high + above // an axis that nearly reaches zero starts there
	}
	return low - below, high + above
}

func (r UncertainRequirement) xRange() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, c := range r.Curves {
		low, high = min(low, c.X[0]), max(high, c.X[len(c.X)-1])
	}
	return low, high
}

func (r UncertainRequirement) draw(s *sheet) error {
	size, t := s.size.text, s.theme
	colors, err := t.lineColors(len(r.Curves))
	if err != nil {
		return err
	}
	top, err := s.paragraph(r.YLabel, s.body.y0, size)
	if err != nil {
		return err
	}
	if top += 0.8 * size; len(r.Curves) > 1 {
		if top, err = r.drawKey(s, colors, top); err != nil {
			return err
		}
	}
	var x, y scale
	x.low, x.high = r.xRange()
	y.low, y.high = r.yRange()
	f := s.newFrame(top, y, 6, 0.5*size, s.halfNumber(x.high))
	if err := f.numbersBelow(s, x, r.XLabel); err != nil {
		return err
	}
	// Ribbons lie below everything; the edges of a ribbon tell it from another.
	var edges [][]point
	for k, c := range r.Curves {
		if c.Low == nil {
			continue
		}
		upper, lower := f.points(c.X, c.High), f.points(c.X, c.Low)
		s.fill(mix(t.Background, colors[k], 0.17), clipPolygon(append(slices.Clone(upper), reversed(lower)...), f.plot)...)
		edges = append(edges, upper, lower)
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
	width := s.size.thick
	if len(r.Curves) > 1 {
		width = 0.6 * s.size.thick
	}
	for k, c := range r.Curves {
		f.line(s, place, colors[k], width, nil, f.points(c.X, c.Y))
	}
	radius := 1.7 * s.size.thick
	spots := make([]point, len(r.Curves))
	for k, c := range r.Curves {
		spots[k] = point{f.x.at(c.Best.X), f.y.at(c.Best.Y)}
		if !spots[k].inside(f.plot) {
			return wrong("requirement", "the mark of %q lies outside the axes", c.Name)
		}
		place.take(spots[k], 1.2*radius)
	}
	gap := 0.5*s.size.thick + 0.3*size
	if len(r.Curves) == 1 {
		if err := place.label(r.Curves[0].Best.Label, spots, gap+radius, true, size, t.textColor(colors[0])); err != nil {
			return err
		}
	}
	if len(edges) > 0 {
		if err := place.label(r.Ribbon, along(edges[0], f.plot), gap, false, size, t.textColor(colors[0])); err != nil {
			return err
		}
	}
	for k := range r.Curves {
		shapes[k](s, colors[k], spots[k], radius)
	}
	return nil
}

// drawKey names the curves of several bodies, in as many rows as they need, and
// returns where the plot begins. Beside the curves there is no room: the best
// postures of different bodies lie close together.
func (r UncertainRequirement) drawKey(s *sheet, colors []color.RGBA, y float64) (float64, error) {
	names := make([]string, len(r.Curves))
	for k, c := range r.Curves {
		names[k] = c.Name + ": " + c.Best.Label
	}
	return s.shapeKey(names, colors, y)
}
