package chart

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
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
	Second        float64             // on the axis on the right, for 1 on that on the left; 0 for none
	Bodies        []bodies.Silhouette // at both marks; may be empty
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
	Foot           draw.Foot

	axis [2]float64 // where the x axis begins and ends, of a part of a figure; both 0: as the panels say
}

func (r RequirementCurve) Heading() (string, draw.Foot) { return r.Title, r.Foot }

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
	return draw.Described(r, &b)
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
	if err := draw.Labelled("requirement curve", r.XLabel, r.YLabel); err != nil {
		return err
	}
	if !draw.Drawable(r.YMin, r.YMax) || r.YMin > r.YMax || r.YMin == r.YMax && r.YMin != 0 {
		return fmt.Errorf("chart: requirement curve: y axis from %v to %v", r.YMin, r.YMax)
	}
	if len(r.Panels) == 0 {
		return draw.Wrong("requirement curve", "no panel")
	}
	for _, p := range r.Panels {
		if p.Name == "" || !draw.Drawable(p.Second) || p.Second < 0 {
			return draw.Wrong("requirement curve", "a panel has no name, or %v on the right for 1 on the left", p.Second)
		}
		if err := bodies.CheckSilhouettes("requirement curve", p.Bodies); err != nil {
			return err
		}
	}
	for _, g := range r.groups() {
		if g.Name == "" || g.Best.Label == "" {
			return fmt.Errorf("chart: requirement curve: group %q or its mark has no name", g.Name)
		}
		if !draw.Drawable(g.Best.X, g.Best.Y) {
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
	if !draw.Drawable(x...) || !draw.Drawable(y...) {
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

func (r RequirementCurve) Draw(s *draw.Sheet) error {
	size := s.Size.Text
	top, err := s.Paragraph(r.YLabel, s.Body.Y0, s.Size.Note())
	if err != nil {
		return err
	}
	whole := s.Body
	whole.Y0 = top + 0.6*size
	wide := s.Wide()
	n, gap, last := float64(len(r.Panels)), 1.4*size, 0.0
	if !wide { // the axis below is named once, and begins where something is to be seen
		gap = 0.9 * size
		last = draw.LineHeight(1, size)
		r.YMin, r.YMax = r.yRange()
		r.YMin = max(r.YMin, 0.85*r.least())
	}
	for i, p := range r.Panels {
		s.Body = whole
		label := r.XLabel
		if wide {
			s.Body.X0 = whole.X0 + float64(i)*(whole.Width()+gap)/n
			s.Body.X1 = s.Body.X0 + (whole.Width()-(n-1)*gap)/n
		} else {
			each := (whole.Height() - last - (n-1)*gap) / n
			s.Body.Y0 = whole.Y0 + float64(i)*(each+gap)
			if s.Body.Y1 = s.Body.Y0 + each; i < len(r.Panels)-1 {
				label = ""
			} else {
				s.Body.Y1 += last
			}
		}
		if err := r.drawPanel(s, p, label); err != nil {
			return err
		}
	}
	s.Body = whole
	return nil
}

// drawPanel draws one body in the body of the sheet.
func (r RequirementCurve) drawPanel(s *draw.Sheet, p RequirementPanel, label string) error {
	size, note, t := s.Size.Text, s.Size.Note(), s.Theme
	groups, colors := p.groups(), t.Pair()
	name, err := s.Balance(p.Name, true, size, s.Body.Width())
	if err != nil {
		return err
	}
	s.Lines(name, s.Body.X0, s.Body.Y0, draw.AlignLeft, true, size, t.Ink)
	top, beside, room := s.Body.Y0+draw.LineHeight(len(name), size)+0.2*note, s.Body, s.Body.Width()
	if len(p.Bodies) > 0 && !s.Wide() {
		room *= 0.65
		beside.X0 += room + note
	}
	for k, g := range groups {
		said, err := s.Balance(words.Capital(g.Name)+": "+g.Best.Label, true, note, room)
		if err != nil {
			return err
		}
		s.Lines(said, s.Body.X0, top, draw.AlignLeft, true, note, t.TextColor(colors[k]))
		top += float64(len(said)) * draw.Leading * note
	}
	if beside != s.Body {
		top = max(top, s.Body.Y0+4.2*size)
		beside.Y1 = top
		if err := bodies.Silhouettes(s, p.Bodies, colors, beside, r.bodies()...); err != nil {
			return err
		}
	}
	var x, y draw.Scale
	x.Low, x.High = r.xRange()
	y.Low, y.High = r.yRange()
	right := s.HalfNumber(x.High)
	axis, err := s.AxisHeight(label, s.Body.Width()/2)
	if err != nil {
		return err
	}
	most := min(max(int((s.Body.Y1-axis-top)/(1.6*size)), 2), 6)
	second := draw.Scale{Low: y.Low * p.Second, High: y.High * p.Second}
	var values []float64
	decimals := 0
	if p.Second > 0 {
		values, decimals = draw.Ticks(second.Low, second.High, most)
		for _, v := range values {
			right = max(right, draw.TextWidth(words.Number(v, decimals), false, size)+0.5*size)
		}
	}
	f := s.NewFrame(top+0.5*size, y, most, 0.5*size, right)
	if axis, err = s.AxisHeight(label, f.Plot.Width()); err != nil {
		return err
	}
	f.StandOn(x, f.Plot.Y1-axis)
	if f.Plot.Height() < 4*size {
		return draw.Wrong("requirement curve", "%d panels do not fit on the %s", len(r.Panels), s.Size.Name)
	}
	place, err := f.Draw(s, 0.2*size)
	if err != nil {
		return err
	}
	if err := s.HorizontalAxis(f.X, f.Plot.Y1, label); err != nil {
		return err
	}
	second.From, second.To = f.Plot.Y1, f.Plot.Y0
	for _, v := range values {
		s.Text(words.Number(v, decimals), f.Plot.X1+0.5*size, second.At(v)+0.35*size, draw.AlignLeft, false, size, t.Muted)
	}
	if s.Wide() {
		if err := r.drawBodies(s, f, p); err != nil {
			return err
		}
	}
	for k, g := range groups {
		f.Line(s, place, colors[k], s.Size.Thick, nil, f.Points(g.X, g.Y))
	}
	for k, g := range groups {
		spot := draw.Point{X: f.X.At(g.Best.X), Y: f.Y.At(g.Best.Y)}
		if !spot.Inside(f.Plot) {
			return fmt.Errorf("chart: requirement curve: the mark of %q lies outside the axes", g.Name)
		}
		s.Spot(colors[k], spot, 1.7*s.Size.Thick)
	}
	return nil
}

// drawBodies draws the bodies in the empty room below the lines, if there is enough.
func (r RequirementCurve) drawBodies(s *draw.Sheet, f *draw.Frame, p RequirementPanel) error {
	note := s.Size.Note()
	area := f.Plot
	area.Y0 = f.Y.At(r.least()) + 0.9*note
	if len(p.Bodies) == 0 || area.Height() < 3.5*note {
		return nil
	}
	s.FillRect(s.Theme.Background, draw.Rect{X0: area.X0, Y0: area.Y0, X1: area.X1, Y1: area.Y1 - s.Size.Thin})
	return bodies.Silhouettes(s, p.Bodies, s.Theme.Pair(), draw.Rect{X0: area.X0 + note, Y0: area.Y0, X1: area.X1 - note, Y1: area.Y1 - 0.4*note}, r.bodies()...)
}

func (r RequirementCurve) Len() int { return len(r.Panels) }

// part implements divisible.
func (r RequirementCurve) Part(from, to int) draw.Figure {
	r.axis[0], r.axis[1] = r.xRange()
	r.YMin, r.YMax = r.yRange()
	r.Panels = r.Panels[from:to]
	return r
}

// numbered leaves the title as it is: every panel names its body.
func (r RequirementCurve) Numbered(int, int) draw.Figure { return r }

// least is the lowest that any line comes to.
func (r RequirementCurve) least() float64 {
	least := math.Inf(1)
	for _, g := range r.groups() {
		least = min(least, slices.Min(g.Y))
	}
	return least
}

// bodies are those of all panels.
func (r RequirementCurve) bodies() []bodies.Silhouette {
	var all []bodies.Silhouette
	for _, p := range r.Panels {
		all = append(all, p.Bodies...)
	}
	return all
}

func reversed(points []draw.Point) []draw.Point {
	points = slices.Clone(points)
	slices.Reverse(points)
	return points
}

// heightAt is y of a line of points at x.
func heightAt(points []draw.Point, x float64) (float64, bool) {
	for i := 1; i < len(points); i++ {
		if a, b := points[i-1], points[i]; a.X <= x && x <= b.X {
			return a.Y + (x-a.X)/(b.X-a.X)*(b.Y-a.Y), true
		}
	}
	return 0, false
}

// along returns up to about 40 of the points inside r.
func along(points []draw.Point, r draw.Rect) []draw.Point {
	var kept []draw.Point
	for _, p := range points {
		if p.Inside(r) {
			kept = append(kept, p)
		}
	}
	step := max(1, len(kept)/40)
	var few []draw.Point
	for i := 0; i < len(kept); i += step {
		few = append(few, kept[i])
	}
	return few
}
