package chart

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/words"
)

// A Mark is a point with its label.
type Mark struct {
	X, Y  float64
	Label string // its values with units, such as "41°, 0.96 BW"
}

// A Group is the curve of one body.
type Group struct {
	Name string // such as "before"
	X, Y []float64
	Best Mark // the chosen point of the curve
}

// A RequirementPanel is one body before and after a change.
type RequirementPanel struct {
	Name          string // whose body, such as "men (175 cm, 84 kg)"
	Before, After Group
	Second        float64      // on the axis on the right, for 1 on that on the left; 0 for none
	Bodies        []Silhouette // at both marks; may be empty
}

func (p RequirementPanel) groups() []Group { return []Group{p.Before, p.After} }

// A RequirementCurve shows what a hold asks for over its free posture, for bodies before
// and after a change, a panel each, all over the same axes. Values above the interesting part leave the picture at its
// top. A no-break space in the title and the labels keeps a number and its
// unit together.
type RequirementCurve struct {
	Title          string
	XLabel, YLabel string // quantity and unit; the latter also of the axis on the right
	Panels         []RequirementPanel
	YMin, YMax     float64 // ends of the y axis; both 0: chosen from the data
	Foot           Foot

	axis [2]float64 // where the x axis begins and ends, of a part of a figure; both 0: as the panels say
}

func (r RequirementCurve) Heading() (string, Foot) { return r.Title, r.Foot }

// Alt implements Figure.
func (r RequirementCurve) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Line chart: %s against %s.", r.YLabel, r.XLabel)
	for _, p := range r.Panels {
		fmt.Fprintf(&b, " %s.", words.Capital(p.Name))
		for _, g := range p.groups() {
			fmt.Fprintf(&b, " %s: best with %s.", words.Capital(g.Name), g.Best.Label)
		}
		if len(p.Bodies) > 0 {
			b.WriteString(" Below the lines that body, both ways, to scale.")
		}
	}
	return described(r, &b)
}

// groups are those of all panels.
func (r RequirementCurve) groups() []Group {
	var list []Group
	for _, p := range r.Panels {
		list = append(list, p.groups()...)
	}
	return list
}

func (r RequirementCurve) Check() error {
	if err := labelled("requirement curve", r.XLabel, r.YLabel); err != nil {
		return err
	}
	if !drawable(r.YMin, r.YMax) || r.YMin > r.YMax || r.YMin == r.YMax && r.YMin != 0 {
		return fmt.Errorf("chart: requirement curve: y axis from %v to %v", r.YMin, r.YMax)
	}
	if len(r.Panels) == 0 {
		return wrong("requirement curve", "no panel")
	}
	for _, p := range r.Panels {
		if p.Name == "" || !drawable(p.Second) || p.Second < 0 {
			return wrong("requirement curve", "a panel has no name, or %v on the right for 1 on the left", p.Second)
		}
		if err := checkSilhouettes("requirement curve", p.Bodies); err != nil {
			return err
		}
	}
	for _, g := range r.groups() {
		if g.Name == "" || g.Best.Label == "" {
			return fmt.Errorf("chart: requirement curve: group %q or its mark has no name", g.Name)
		}
		if !drawable(g.Best.X, g.Best.Y) {
			return fmt.Errorf("chart: requirement curve: %s: the mark is at (%v, %v)", g.Name, g.Best.X, g.Best.Y)
		}
		if err := checkSeries(g.Name, g.X, g.Y); err != nil {
			return err
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
	least, best := math.Inf(1), math.Inf(-1)
	for _, g := range r.groups() {
		low, high = min(low, slices.Min(g.Y)), max(high, slices.Max(g.Y))
		least, best = min(least, g.Best.Y), max(best, g.Best.Y)
	}
	if best > 0 {
		high = min(high, 1.9*best)
	}
	low, high = min(low, least), max(high, best)
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

// xRange returns the ends of the x axis: where any envelope is inside the y axis.
func (r RequirementCurve) xRange() (low, high float64) {
	if r.axis[0] < r.axis[1] {
		return r.axis[0], r.axis[1]
	}
	low, high = math.Inf(1), math.Inf(-1)
	_, top := r.yRange()
	for _, g := range r.groups() {
		for i, y := range g.Y {
			if y <= top {
				low, high = min(low, g.X[max(i-1, 0)]), max(high, g.X[min(i+1, len(g.X)-1)])
			}
		}
	}
	return low, high
}

func (r RequirementCurve) Draw(s *sheet) error {
	size := s.size.text
	top, err := s.paragraph(r.YLabel, s.body.y0, s.size.note())
	if err != nil {
		return err
	}
	whole := s.body
	whole.y0 = top + 0.6*size
	wide := s.wide()
	n, gap, last := float64(len(r.Panels)), 1.4*size, 0.0
	if !wide { // the axis below is named once, and begins where something is to be seen
		gap = 0.9 * size
		last = lineHeight(1, size)
		r.YMin, r.YMax = r.yRange()
		r.YMin = max(r.YMin, 0.85*r.least())
	}
	for i, p := range r.Panels {
		s.body = whole
		label := r.XLabel
		if wide {
			s.body.x0 = whole.x0 + float64(i)*(whole.width()+gap)/n
			s.body.x1 = s.body.x0 + (whole.width()-(n-1)*gap)/n
		} else {
			each := (whole.height() - last - (n-1)*gap) / n
			s.body.y0 = whole.y0 + float64(i)*(each+gap)
			if s.body.y1 = s.body.y0 + each; i < len(r.Panels)-1 {
				label = ""
			} else {
				s.body.y1 += last
			}
		}
		if err := r.drawPanel(s, p, label); err != nil {
			return err
		}
	}
	s.body = whole
	return nil
}

// drawPanel draws one body in the body of the sheet.
func (r RequirementCurve) drawPanel(s *sheet, p RequirementPanel, label string) error {
	size, note, t := s.size.text, s.size.note(), s.theme
	groups, colors := p.groups(), t.pair()
	name, err := s.balance(p.Name, true, size, s.body.width())
	if err != nil {
		return err
	}
	s.lines(name, s.body.x0, s.body.y0, alignLeft, true, size, t.Ink)
	top, beside, room := s.body.y0+lineHeight(len(name), size)+0.2*note, s.body, s.body.width()
	if len(p.Bodies) > 0 && !s.wide() {
		room *= 0.65
		beside.x0 += room + note
	}
	for k, g := range groups {
		said, err := s.balance(words.Capital(g.Name)+": "+g.Best.Label, true, note, room)
		if err != nil {
			return err
		}
		s.lines(said, s.body.x0, top, alignLeft, true, note, t.textColor(colors[k]))
		top += float64(len(said)) * leading * note
	}
	if beside != s.body {
		top = max(top, s.body.y0+4.2*size)
		beside.y1 = top
		if err := silhouettes(s, p.Bodies, colors, beside, r.bodies()...); err != nil {
			return err
		}
	}
	var x, y scale
	x.low, x.high = r.xRange()
	y.low, y.high = r.yRange()
	right := s.halfNumber(x.high)
	axis, err := s.axisHeight(label, s.body.width()/2)
	if err != nil {
		return err
	}
	most := min(max(int((s.body.y1-axis-top)/(1.6*size)), 2), 6)
	second := scale{low: y.low * p.Second, high: y.high * p.Second}
	var values []float64
	decimals := 0
	if p.Second > 0 {
		values, decimals = ticks(second.low, second.high, most)
		for _, v := range values {
			right = max(right, textWidth(words.Number(v, decimals), false, size)+0.5*size)
		}
	}
	f := s.newFrame(top+0.5*size, y, most, 0.5*size, right)
	if axis, err = s.axisHeight(label, f.plot.width()); err != nil {
		return err
	}
	f.standOn(x, f.plot.y1-axis)
	if f.plot.height() < 4*size {
		return wrong("requirement curve", "%d panels do not fit on the %s", len(r.Panels), s.size.Name)
	}
	place, err := f.draw(s, 0.2*size)
	if err != nil {
		return err
	}
	if err := s.horizontalAxis(f.x, f.plot.y1, label); err != nil {
		return err
	}
	second.from, second.to = f.plot.y1, f.plot.y0
	for _, v := range values {
		s.text(words.Number(v, decimals), f.plot.x1+0.5*size, second.at(v)+0.35*size, alignLeft, false, size, t.Muted)
	}
	if s.wide() {
		if err := r.drawBodies(s, f, p); err != nil {
			return err
		}
	}
	for k, g := range groups {
		f.line(s, place, colors[k], s.size.thick, nil, f.points(g.X, g.Y))
	}
	for k, g := range groups {
		spot := point{f.x.at(g.Best.X), f.y.at(g.Best.Y)}
		if !spot.inside(f.plot) {
			return fmt.Errorf("chart: requirement curve: the mark of %q lies outside the axes", g.Name)
		}
		s.spot(colors[k], spot, 1.7*s.size.thick)
	}
	return nil
}

// drawBodies draws the bodies in the empty room below the lines, if there is enough.
func (r RequirementCurve) drawBodies(s *sheet, f *frame, p RequirementPanel) error {
	note := s.size.note()
	area := f.plot
	area.y0 = f.y.at(r.least()) + 0.9*note
	if len(p.Bodies) == 0 || area.height() < 3.5*note {
		return nil
	}
	s.fillRect(s.theme.Background, rect{area.x0, area.y0, area.x1, area.y1 - s.size.thin})
	return silhouettes(s, p.Bodies, s.theme.pair(), rect{area.x0 + note, area.y0, area.x1 - note, area.y1 - 0.4*note}, r.bodies()...)
}

func (r RequirementCurve) Len() int { return len(r.Panels) }

// part implements divisible.
func (r RequirementCurve) Part(from, to int) Figure {
	r.axis[0], r.axis[1] = r.xRange()
	r.YMin, r.YMax = r.yRange()
	r.Panels = r.Panels[from:to]
	return r
}

// numbered leaves the title as it is: every panel names its body.
func (r RequirementCurve) Numbered(int, int) Figure { return r }

// least is the lowest that any line comes to.
func (r RequirementCurve) least() float64 {
	least := math.Inf(1)
	for _, g := range r.groups() {
		least = min(least, slices.Min(g.Y))
	}
	return least
}

// bodies are those of all panels.
func (r RequirementCurve) bodies() []Silhouette {
	var all []Silhouette
	for _, p := range r.Panels {
		all = append(all, p.Bodies...)
	}
	return all
}

func (p point) inside(r rect) bool { return p.x >= r.x0 && p.x <= r.x1 && p.y >= r.y0 && p.y <= r.y1 }

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
