package chart

import (
	"errors"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"
)

// A Ribbon is the room between Low and High over X, X increasing.
type Ribbon struct {
	Name      string // what lies inside, such as "5–95 % of people"
	X         []float64
	Low, High []float64
}

// A Mark is a point with its label.
type Mark struct {
	X, Y      float64
	Low, High float64 // how far Y is uncertain; both 0 where that is not said
	Label     string  // its values with units, such as "41°, 0.96 BW"
}

// A Group is all curves of one body.
type Group struct {
	Name       string   // such as "before"
	Envelope   Series   // what counts, drawn thick; its Name is not shown, the group's is
	Conditions []Series // what it is the envelope of, drawn thin; the first one dashed
	Best       Mark     // the chosen point of the envelope
}

// A RequirementCurve shows what a hold asks for over its free posture, for a
// body before and after a change. Conditions that are the same in both groups
// are drawn once. Values above the interesting part leave the picture at its
// top. A no-break space in the title and the labels keeps a number and its
// unit together.
type RequirementCurve struct {
	Title          string
	XLabel, YLabel string // quantity and unit
	Before, After  Group
	People         *Ribbon // people around the before-curve; nil for none
	YMin, YMax     float64 // ends of the y axis; both 0: chosen from the data
	Foot           Foot
}

func (r RequirementCurve) heading() (string, Foot) { return r.Title, r.Foot }

// Alt implements Figure.
func (r RequirementCurve) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Line chart: %s against %s.", r.YLabel, r.XLabel)
	for _, g := range []Group{r.Before, r.After} {
		fmt.Fprintf(&b, " %s: lowest at %s.", g.Name, g.Best.Label)
	}
	if names := r.conditionNames(); len(names) > 0 {
		fmt.Fprintf(&b, " The thick lines are the larger of: %s (thin lines).", strings.Join(names, ", "))
	}
	if r.People != nil {
		fmt.Fprintf(&b, " A ribbon around the line %q shows %s.", r.Before.Name, r.People.Name)
	}
	return described(r, &b)
}

func (r RequirementCurve) conditionNames() []string {
	var names []string
	for _, g := range []Group{r.Before, r.After} {
		for _, c := range g.Conditions {
			if !slices.Contains(names, c.Name) {
				names = append(names, c.Name)
			}
		}
	}
	return names
}

func (r RequirementCurve) check() error {
	if err := labelled("requirement curve", r.XLabel, r.YLabel); err != nil {
		return err
	}
	if !drawable(r.YMin, r.YMax) || r.YMin > r.YMax || r.YMin == r.YMax && r.YMin != 0 {
		return fmt.Errorf("chart: requirement curve: y axis from %v to %v", r.YMin, r.YMax)
	}
	for _, g := range []Group{r.Before, r.After} {
		if g.Name == "" || g.Best.Label == "" {
			return fmt.Errorf("chart: requirement curve: group %q or its mark has no name", g.Name)
		}
		if !drawable(g.Best.X, g.Best.Y) {
			return fmt.Errorf("chart: requirement curve: %s: the mark is at (%v, %v)", g.Name, g.Best.X, g.Best.Y)
		}
		if err := checkSeries(g.Name+": envelope", g.Envelope.X, g.Envelope.Y); err != nil {
			return err
		}
		for _, c := range g.Conditions {
			if c.Name == "" {
				return fmt.Errorf("chart: requirement curve: %s: a condition has no name", g.Name)
			}
			if err := checkSeries(g.Name+": "+c.Name, c.X, c.Y); err != nil {
				return err
			}
		}
	}
	if p := r.People; p != nil {
		if p.Name == "" {
			return fmt.Errorf("chart: requirement curve: the ribbon has no name")
		}
		return checkBand(p.Name, p.X, p.Low, p.High)
	}
	return nil
}

// checkBand checks the ends of a spread.
func checkBand(name string, x, low, high []float64) error {
	if err := errors.Join(checkSeries(name+", low", x, low), checkSeries(name+", high", x, high)); err != nil {
		return err
	}
	for i := range x {
		if low[i] > high[i] {
			return fmt.Errorf("chart: %s: at %v low %v is above high %v", name, x[i], low[i], high[i])
		}
	}
	return nil
}

func checkSeries(name string, x, y []float64) error {
	if len(x) < 2 || len(x) != len(y) {
		return fmt.Errorf("chart: %s: %d x and %d y values, want as many of both and at least 2", name, len(x), len(y))
	}
	if !drawable(x...) || !drawable(y...) {
		return fmt.Errorf("chart: %s: a value is not a number that can be drawn", name)
	}
	for i := 1; i < len(x); i++ {
		if x[i] <= x[i-1] {
			return fmt.Errorf("chart: %s: x does not increase at %v", name, x[i])
		}
	}
	return nil
}

// yRange returns the ends of the y axis: from the lowest value of all to 1.9
// times the higher best value, so that an end that goes to infinity does not
// flatten the rest; widened so that both marks are inside.
func (r RequirementCurve) yRange() (low, high float64) {
	if r.YMin != r.YMax {
		return r.YMin, r.YMax
	}
	low, high = math.Inf(1), math.Inf(-1)
	see := func(values []float64) {
		low, high = min(low, slices.Min(values)), max(high, slices.Max(values))
	}
	for _, g := range []Group{r.Before, r.After} {
		see(g.Envelope.Y)
		for _, c := range g.Conditions {
			see(c.Y)
		}
	}
	if r.People != nil {
		see(r.People.Low)
		see(r.People.High)
	}
	best := max(r.Before.Best.Y, r.After.Best.Y)
	if best > 0 {
		high = min(high, 1.9*best)
	}
	low, high = min(low, r.Before.Best.Y, r.After.Best.Y), max(high, best)
	if flat := 1e-6 * max(math.Abs(low), math.Abs(high), 1e-6); high-low < flat {
		low, high = low-flat, high+flat
	}
	pad := 0.04 * (high - low)
	// An axis that nearly reaches zero starts there.
	if low >= 0 && low-pad < 0.15*high {
		return 0, high + pad
	}
	return low - pad, high + pad
}

func (r RequirementCurve) xRange() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for _, g := range []Group{r.Before, r.After} {
		low = min(low, g.Envelope.X[0])
		high = max(high, g.Envelope.X[len(g.Envelope.X)-1])
	}
	return low, high
}

func (r RequirementCurve) draw(s *sheet) error {
	size, t := s.size.text, s.theme
	top, err := s.paragraph(r.YLabel, s.body.y0, size)
	if err != nil {
		return err
	}
	var x, y scale
	x.low, x.high = r.xRange()
	y.low, y.high = r.yRange()
	f := s.newFrame(top+0.8*size, y, 6, 0.5*size, s.halfNumber(x.high))
	if err := f.numbersBelow(s, x, r.XLabel); err != nil {
		return err
	}
	var upper, lower []point
	if p := r.People; p != nil {
		upper, lower = f.points(p.X, p.High), f.points(p.X, p.Low)
		outline := append(slices.Clone(upper), reversed(lower)...)
		s.fill(mix(t.Background, t.Before, 0.17), clipPolygon(outline, f.plot)...)
	}
	place, err := f.draw(s, 0.2*size)
	if err != nil {
		return err
	}
	for _, edge := range [][]point{upper, lower} {
		for _, piece := range clipLine(edge, f.plot) {
			place.avoid(piece, 0.5)
		}
	}
	groups := []Group{r.Before, r.After}
	colors := []color.RGBA{t.Before, t.After}
	names, anchors := r.drawConditions(s, f, place, colors)
	for k, g := range groups {
		f.line(s, place, colors[k], s.size.thick, nil, f.points(g.Envelope.X, g.Envelope.Y))
	}
	radius := 1.7 * s.size.thick
	spots := make([]point, len(groups))
	for k, g := range groups {
		spots[k] = point{f.x.at(g.Best.X), f.y.at(g.Best.Y)}
		if !spots[k].inside(f.plot) {
			return fmt.Errorf("chart: requirement curve: the mark of %q lies outside the axes", g.Name)
		}
		place.take(spots[k], 1.2*radius)
	}
	gap := 0.5*s.size.thick + 0.3*size
	for k, g := range groups {
		if err := place.label(g.Name+": "+g.Best.Label, spots[k:k+1], gap+radius, true, size, t.textColor(colors[k])); err != nil {
			return err
		}
	}
	if r.People != nil {
		if err := place.label(r.People.Name, along(upper, f.plot), gap, false, size, t.textColor(t.Before)); err != nil {
			return err
		}
	}
	for _, name := range names {
		if err := place.label(name, along(anchors[name], f.plot), gap, false, size, t.Muted); err != nil {
			return err
		}
	}
	// Spots come last: lines that lead to labels end below them.
	for k := range groups {
		s.spot(colors[k], spots[k], radius)
	}
	return nil
}

// drawConditions draws what the envelopes are of, and returns the names of the conditions
// with the points at which each can be named: once, for colour tells whose it is.
func (r RequirementCurve) drawConditions(s *sheet, f *frame, place *placer, colors []color.RGBA) (names []string, anchors map[string][]point) {
	groups := []Group{r.Before, r.After}
	anchors = map[string][]point{}
	for k, g := range groups {
		for i, c := range g.Conditions {
			shared := slices.ContainsFunc(groups[1-k].Conditions, c.same)
			if shared && k == 1 {
				continue
			}
			tint := mix(s.theme.Background, colors[k], 0.75)
			if shared {
				tint = s.theme.Muted
			}
			var dash []float64
			if i == 0 {
				dash = []float64{4 * s.size.thin, 3 * s.size.thin}
			}
			points := f.points(c.X, c.Y)
			f.line(s, place, tint, s.size.thin, dash, points)
			if _, named := anchors[c.Name]; !named {
				names = append(names, c.Name)
			}
			anchors[c.Name] = append(anchors[c.Name], apartFrom(points, f.points(g.Envelope.X, g.Envelope.Y), s.size.text)...)
		}
	}
	return names, anchors
}

// same says whether two lines have one name and the same points.
func (c Series) same(o Series) bool {
	return c.Name == o.Name && slices.Equal(c.X, o.X) && slices.Equal(c.Y, o.Y)
}

func (p point) inside(r rect) bool { return p.x >= r.x0 && p.x <= r.x1 && p.y >= r.y0 && p.y <= r.y1 }

// apartFrom keeps the points of a curve that lie visibly off its envelope, or
// all where none does.
func apartFrom(points, envelope []point, distance float64) []point {
	var kept []point
	for _, p := range points {
		if e, ok := heightAt(envelope, p.x); !ok || math.Abs(e-p.y) > distance {
			kept = append(kept, p)
		}
	}
	if len(kept) == 0 {
		return points
	}
	return kept
}

func reversed(points []point) []point {
	points = slices.Clone(points)
	slices.Reverse(points)
	return points
}

// heightAt is y of a line of points at x.
func heightAt(points []point, x float64) (float64, bool) {
	for i := 1; i < len(points); i++ {
		if a, b := points[i-1], points[i]; a.x <= x && x <= b.x {
			return a.y + (x-a.x)/(b.x-a.x)*(b.y-a.y), true
		}
	}
	return 0, false
}

// along returns up to about 40 of the points inside r.
func along(points []point, r rect) []point {
	var kept []point
	for _, p := range points {
		if p.inside(r) {
			kept = append(kept, p)
		}
	}
	step := max(1, len(kept)/40)
	var few []point
	for i := 0; i < len(kept); i += step {
		few = append(few, kept[i])
	}
	return few
}
