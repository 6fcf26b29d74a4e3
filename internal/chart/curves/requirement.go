package curves

import (
	"fmt"
	"image/color"
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
	Best Mark // the chosen point of the curve, with where along X it is

	Says string // what it needs there, such as "before: 1.32 times"
	At   string // where along X that is, briefly: "154 cm"

	Low, High float64 // from where to where that may lie along X; the same where it is not known
	Between   string  // the same in words; empty where it is not known
}

// A RequirementPanel is one body before and after a change.
type RequirementPanel struct {
	Name          string // whose body, such as "men (175 cm, 84 kg)"
	Before, After Group
	Open          string              // what the change from one to the other could be, in words; may be empty
	Least         Mark                // where the curve is lowest, where that is at neither mark; without a label for none
	Bodies        []bodies.Silhouette // at both marks; may be empty
}

func (p RequirementPanel) groups() []Group { return []Group{p.Before, p.After} }

// notes are what is said of a panel besides its marks.
func (p RequirementPanel) notes() (list []string) {
	for _, text := range []string{p.Open, p.Least.Label} {
		if text != "" {
			list = append(list, text)
		}
	}
	return list
}

// A RequirementCurve shows what a hold asks for over its free posture, for bodies before
// and after a change, a panel each, all over the same axes at every size. Under the curves stands
// at the axis where each is chosen, and how far that may lie elsewhere. Values above the
// interesting part leave the picture at its top.
type RequirementCurve struct {
	Title          string
	XLabel, YLabel string // quantity and unit
	Panels         []RequirementPanel
	Foot           draw.Foot

	whole []RequirementPanel // of which a part is shown, over the same axes
}

// Heading implements draw.Figure.
func (r RequirementCurve) Heading() (string, draw.Foot) { return r.Title, r.Foot }

// Alt implements Figure.
func (r RequirementCurve) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Line chart: %s against %s.", r.YLabel, r.XLabel)
	for _, p := range r.Panels {
		fmt.Fprintf(&b, " %s.", words.Capital(p.Name))
		for _, g := range p.groups() {
			fmt.Fprintf(&b, " %s, %s", words.Capital(g.Says), g.Best.Label)
			if g.Between != "" {
				b.WriteString(", could be " + g.Between)
			}
			b.WriteString(".")
		}
		for _, note := range p.notes() {
			fmt.Fprintf(&b, " %s.", note)
		}
		if len(p.Bodies) > 0 {
			b.WriteString(" Beside the lines that body, both ways, to scale.")
		}
	}
	return draw.Described(r, &b)
}

// groups are those of all panels, of the whole that a figure may be a part of.
func (r RequirementCurve) groups() []Group {
	var list []Group
	for _, p := range append(slices.Clone(r.whole), r.Panels...) {
		list = append(list, p.groups()...)
	}
	return list
}

// Open says whether any mark may lie elsewhere.
func (r RequirementCurve) Open() bool {
	return slices.ContainsFunc(r.groups(), func(g Group) bool { return g.Low < g.High })
}

// Check implements draw.Figure.
func (r RequirementCurve) Check() error {
	if err := draw.Labelled("requirement curve", r.XLabel, r.YLabel); err != nil {
		return err
	}
	if len(r.Panels) == 0 {
		return draw.Wrong("requirement curve", "no panel")
	}
	for _, p := range r.Panels {
		if p.Name == "" {
			return draw.Wrong("requirement curve", "a panel has no name")
		}
		if p.Least.Label != "" && !draw.Drawable(p.Least.X, p.Least.Y) {
			return draw.Wrong("requirement curve", "%s: least at (%v, %v)", p.Name, p.Least.X, p.Least.Y)
		}
		if err := bodies.CheckSilhouettes("requirement curve", p.Bodies); err != nil {
			return err
		}
	}
	for _, g := range r.groups() {
		if g.Name == "" || g.Best.Label == "" || g.Says == "" || g.At == "" || (g.Low < g.High) != (g.Between != "") {
			return fmt.Errorf("chart: requirement curve: group %q or its mark has no name", g.Name)
		}
		if !draw.Drawable(g.Best.X, g.Best.Y, g.Low, g.High) || g.Low > g.High {
			return fmt.Errorf("chart: requirement curve: %s: the mark is at (%v, %v), %v to %v", g.Name, g.Best.X, g.Best.Y, g.Low, g.High)
		}
		if err := CheckSeries(g.Name, g.X, g.Y); err != nil {
			return err
		}
	}
	return nil
}

// CheckSeries says why a line of a name cannot be drawn, if so.
func CheckSeries(name string, x, y []float64) error {
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

// YRange returns the ends of the y axis: from the lowest value of all to 1.9
// times the higher best value, so that an end that goes to infinity does not
// flatten the rest; widened so that both marks are inside.
func (r RequirementCurve) YRange() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	least, best := math.Inf(1), math.Inf(-1)
	for _, g := range r.groups() {
		low, high = min(low, slices.Min(g.Y)), max(high, slices.Max(g.Y))
		least, best = min(least, g.Best.Y), max(best, g.Best.Y)
	}
	if best > 0 {
		high = min(high, 1.35*best)
	}
	low, high = min(low, least), max(high, best)
	if flat := 1e-6 * max(math.Abs(low), math.Abs(high), 1e-6); high-low < flat {
		low, high = low-flat, high+flat
	}
	pad := 0.06 * (high - low)
	// An axis that nearly reaches zero starts there.
	if low >= 0 && low-pad < 0.15*high {
		return 0, high + pad
	}
	return low - pad, high + pad
}

// xRange returns the ends of the x axis: where any envelope is inside the y axis, and all that is
// said of the marks, with a little room behind them.
func (r RequirementCurve) xRange() (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	_, top := r.YRange()
	for _, g := range r.groups() {
		if g.Low < g.High {
			low, high = min(low, g.Low), max(high, g.High)
		}
		for i, y := range g.Y {
			if y <= top {
				low, high = min(low, g.X[max(i-1, 0)]), max(high, g.X[min(i+1, len(g.X)-1)])
			}
		}
	}
	return low, high + 0.04*(high-low)
}

// Draw implements draw.Figure. Notes that leave the curves too little room are left to the description:
// bodies side by side say more.
func (r RequirementCurve) Draw(s *draw.Sheet) error {
	before := *s
	err := r.drawPanels(s)
	if err != nil && slices.ContainsFunc(r.Panels, func(p RequirementPanel) bool { return p.notes() != nil }) {
		*s = before
		r.Panels = slices.Clone(r.Panels)
		for i := range r.Panels {
			r.Panels[i].Open, r.Panels[i].Least.Label = "", ""
		}
		err = r.drawPanels(s)
	}
	return err
}

func (r RequirementCurve) drawPanels(s *draw.Sheet) error {
	size := s.Size.Text
	var y draw.Scale
	y.Low, y.High = r.YRange()
	whole := s.Body
	n, gap := float64(len(r.Panels)), size
	beside := func(i int) (area draw.Rect) {
		area = whole
		area.X0 += float64(i) * (whole.Width() + gap) / n
		area.X1 = area.X0 + (whole.Width()-(n-1)*gap)/n
		return area
	}
	head := 0.0 // the highest of what is said, so that panels beside one another share a height
	for i, p := range r.Panels {
		tried := *s
		if tried.Body = beside(i); s.Wide() && p.drawSaid(&tried) == nil {
			head = max(head, tried.Body.Y0-whole.Y0)
		}
	}
	for i, p := range r.Panels {
		s.Body = whole
		label := r.XLabel
		if s.Wide() {
			s.Body = beside(i)
		} else {
			named := draw.LineHeight(1, size) // the axis, once
			each := (whole.Height() - named - (n-1)*gap) / n
			s.Body.Y0 = whole.Y0 + float64(i)*(each+gap)
			if s.Body.Y1 = s.Body.Y0 + each; i < len(r.Panels)-1 {
				label = ""
			} else {
				s.Body.Y1 += named
			}
		}
		if err := r.drawPanel(s, p, y, label, head); err != nil {
			return err
		}
	}
	s.Body = whole
	return nil
}

// part is where the bodies of a panel stand, and how much room they leave for what is said: left of
// the curves, or right of what is said where that leaves these too little.
func (p RequirementPanel) part(s *draw.Sheet) (part draw.Rect, room float64) {
	part, room = s.Body, s.Body.Width()
	if len(p.Bodies) > 0 && !s.Wide() {
		room *= 0.68
		part.X0 += room + s.Size.Note()
		part.Y1 = s.Body.Y0 + 4.4*s.Size.Text
	}
	return part, room
}

// drawSaid sets what is said of a body at the head of the sheet's body.
func (p RequirementPanel) drawSaid(s *draw.Sheet) error {
	size, note, t := s.Size.Text, s.Size.Note(), s.Theme
	groups, colors := p.groups(), t.Pair()
	_, room := p.part(s)
	says := func(text string, bold bool, of float64, ink color.RGBA) error {
		lines, err := s.Balance(text, bold, of, room)
		s.Lines(lines, s.Body.X0, s.Body.Y0, draw.AlignLeft, bold, of, ink)
		s.Body.Y0 += float64(len(lines)) * draw.Leading * of
		return err
	}
	if err := says(p.Name, true, size, t.Ink); err != nil {
		return err
	}
	before, after := words.Capital(groups[0].Says), words.Capital(groups[1].Says)
	if err := says(before, true, note, t.TextColor(colors[0])); err != nil {
		return err
	}
	if at := draw.TextWidth(before, true, note) + 1.5*note; at+draw.TextWidth(after, true, note) < room {
		s.Text(after, s.Body.X0+at, s.Body.Y0+(draw.Ascent-draw.Leading)*note, draw.AlignLeft, true, note, t.TextColor(colors[1]))
	} else if err := says(after, true, note, t.TextColor(colors[1])); err != nil {
		return err
	}
	for _, text := range p.notes() {
		if err := says(text, false, note, t.Muted); err != nil {
			return err
		}
	}
	return nil
}

// drawPanel draws one body in the body of the sheet, of which what is said takes at least the head.
func (r RequirementCurve) drawPanel(s *draw.Sheet, p RequirementPanel, y draw.Scale, label string, head float64) error {
	size, note, t := s.Size.Text, s.Size.Note(), s.Theme
	groups, colors := p.groups(), t.Pair()
	part, room := p.part(s)
	head += s.Body.Y0
	if err := p.drawSaid(s); err != nil {
		return err
	}
	s.Body.Y0 = max(s.Body.Y0, head)
	if s.Body.Y0 += 0.6 * size; len(p.Bodies) > 0 {
		if s.Wide() {
			part.Y0, part.X1 = s.Body.Y0, part.X0+0.3*room
			s.Body.X0 = part.X1 + 0.7*size
		} else {
			s.Body.Y0 = max(s.Body.Y0, part.Y1+0.5*size)
		}
		if err := bodies.Silhouettes(s, p.Bodies, colors, part, r.bodies()...); err != nil {
			return err
		}
	}
	named, err := s.Balance(r.YLabel, false, note, s.Body.Width())
	if err != nil {
		return err
	}
	s.Lines(named, s.Body.X0, s.Body.Y0, draw.AlignLeft, false, note, t.Muted)
	s.Body.Y0 += draw.LineHeight(len(named), note) + 0.7*size
	f := s.NewFrame(s.Body.Y0, y, 5, 0.5*size, size)
	axis, err := s.AxisHeight(label, f.Plot.Width())
	if err != nil {
		return err
	}
	row := 0.0 // height of each line of where a mark may lie, with its words above it
	if r.Open() {
		row = draw.LineHeight(1, note) + 2.2*s.Size.Thick + 2*s.Size.Thin + 0.2*note
	}
	f.StandOn(draw.Scale{}, f.Plot.Y1-axis)
	f.X.Low, f.X.High = r.xRange()
	if f.Y.From -= 2.1 * row; f.Y.From-f.Y.To < 3*size {
		return draw.Wrong("requirement curve", "%d panels do not fit on the %s", len(r.Panels), s.Size.Name)
	}
	place, err := f.Draw(s, 0.2*size)
	if err != nil {
		return err
	}
	f.DrawCut(s)
	if err := s.HorizontalAxis(f.X, f.Plot.Y1, label); err != nil {
		return err
	}
	same := slices.Equal(groups[0].X, groups[1].X) && slices.Equal(groups[0].Y, groups[1].Y)
	for k, g := range groups {
		c := colors[k]
		if same { // it is nobody's: only where they stand on it is
			c = t.Muted
		}
		if k == 0 || !same {
			f.Line(s, place, c, s.Size.Thick, nil, f.Points(g.X, g.Y))
		}
	}
	for k, g := range groups {
		best := draw.Point{X: f.X.At(g.Best.X), Y: f.Y.At(g.Best.Y)}
		if !best.Inside(f.Plot) {
			return fmt.Errorf("chart: requirement curve: the mark of %q lies outside the axes", g.Name)
		}
		foot := f.Plot.Y1 - 2*row
		if place.Area.Y1 = min(place.Area.Y1, foot); row == 0 {
			stood(s, f, colors[k], best, foot, g.Low, g.High)
		} else {
			stood(s, &draw.Frame{Plot: draw.Rect{X0: f.Plot.X0, X1: f.Plot.X1, Y1: foot}, X: f.X}, colors[k], best, foot+float64(k+1)*row-1.1*s.Size.Thick-s.Size.Thin-0.1*note, g.Low, g.High)
		}
		between(s, f, colors[k], foot+float64(k)*row, &g)
		s.Spot(colors[k], best, 1.7*s.Size.Thick)
		place.Take(best, 1.9*s.Size.Thick)
		place.Avoid([]draw.Point{best, {X: best.X, Y: foot}}, 1)
	}
	least := draw.Point{X: f.X.At(p.Least.X), Y: f.Y.At(p.Least.Y)}
	if p.Least.Label != "" && least.Inside(f.Plot) {
		s.Spot(t.Muted, least, 1.1*s.Size.Thick)
		s.Disc(t.Background, least, 0.6*s.Size.Thick)
		place.Take(least, 1.1*s.Size.Thick)
	}
	for k, g := range groups {
		best := draw.Point{X: f.X.At(g.Best.X), Y: f.Y.At(g.Best.Y)}
		if err := place.Label(g.At, []draw.Point{best}, 2.6*s.Size.Thick, true, note, t.TextColor(colors[k])); err != nil {
			return err
		}
	}
	return nil
}

// stood leads from a mark down to the axis, and draws across that way, at a height, from where to
// where along the axis the mark may lie, if that is known.
func stood(s *draw.Sheet, f *draw.Frame, c color.RGBA, at draw.Point, y, low, high float64) {
	s.Stroke(c, s.Size.Thin, []float64{2 * s.Size.Thin, 2 * s.Size.Thin}, at, draw.Point{X: at.X, Y: f.Plot.Y1})
	if low < high {
		s.Stroke(c, s.Size.Thick, nil, draw.Point{X: f.X.Clamp(low), Y: y}, draw.Point{X: f.X.Clamp(high), Y: y})
		s.Spot(c, draw.Point{X: at.X, Y: y}, 1.1*s.Size.Thick)
	}
}

// between says above the line that stood draws, from top down, from where to where it goes.
func between(s *draw.Sheet, f *draw.Frame, c color.RGBA, top float64, g *Group) {
	note := s.Size.Note()
	half, middle := draw.TextWidth(g.Between, false, note)/2, (f.X.Clamp(g.Low)+f.X.Clamp(g.High))/2
	middle = min(max(middle, f.Plot.X0+1.2*s.Size.Text+half), s.Body.X1-half) // clear of the mark of an axis that is cut
	s.Text(g.Between, middle, top+draw.Ascent*note, draw.AlignCenter, false, note, s.Theme.TextColor(c))
}

// Len is how many parts it can be divided into.
func (r RequirementCurve) Len() int { return len(r.Panels) }

// part implements divisible.
func (r RequirementCurve) Part(from, to int) draw.Figure {
	r.whole, r.Panels = r.Panels, r.Panels[from:to]
	return r
}

// Numbered is the k-th of several, said so in its title.
func (r RequirementCurve) Numbered(k, of int) draw.Figure {
	r.Title = draw.NumberedTitle(r.Title, k, of)
	return r
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

// HeightAt is y of a line of points at x.
func HeightAt(points []draw.Point, x float64) (float64, bool) {
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
