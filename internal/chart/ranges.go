package chart

import (
	"image/color"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/words"
)

// Ranges set how people differ beside what is not known of one of them, on one axis: a bar each,
// under the sentence that says it.
type Ranges struct {
	Title  string
	Axis   string // quantity and unit
	Groups []RangeGroup
	Bodies []bodies.Silhouette
	Foot   draw.Foot

	axis [2]float64 // of a part of a figure; both 0: as its groups say
}

// A RangeGroup are the two ranges of some people: how they differ, and what nobody has measured
// of the one in their middle.
type RangeGroup struct {
	Name   string // may be empty where there is but one
	Ranges [2]Range
}

// A Range is from where to where something lies, and the middle of it.
type Range struct {
	Says              string
	Low, Middle, High float64
}

// check says what cannot be drawn of a range, which may reach without end or not.
func (r Range) check(kind string, endless bool) error {
	if r.Says == "" || !(r.Low <= r.Middle && r.Middle <= r.High) || !endless && !draw.Drawable(r.Low, r.High) {
		return draw.Wrong(kind, "%q: %v from %v to %v", r.Says, r.Middle, r.Low, r.High)
	}
	return nil
}

// Heading implements draw.Figure.
func (r Ranges) Heading() (string, draw.Foot) { return r.Title, r.Foot }

// Alt implements Figure.
func (r Ranges) Alt() string {
	var b strings.Builder
	b.WriteString("Bars on one axis: " + r.Axis + ".")
	for _, g := range r.Groups {
		if g.Name != "" {
			b.WriteString(" " + g.Name + ".")
		}
		for _, of := range g.Ranges {
			b.WriteString(" " + words.Capital(of.Says) + ".")
		}
	}
	b.WriteString(bodies.Shown(r.Bodies))
	return draw.Described(r, &b)
}

// Check implements draw.Figure.
func (r Ranges) Check() error {
	if err := draw.Labelled("ranges", r.Axis); err != nil {
		return err
	}
	if len(r.Groups) == 0 {
		return draw.Wrong("ranges", "nobody is shown")
	}
	for _, g := range r.Groups {
		if g.Name == "" && len(r.Groups) > 1 {
			return draw.Wrong("ranges", "a group has no name")
		}
		for _, of := range g.Ranges {
			if err := of.check("ranges", false); err != nil {
				return err
			}
		}
	}
	return bodies.CheckSilhouettes("ranges", r.Bodies)
}

// ends are those of the axis.
func (r Ranges) ends() (low, high float64) {
	if r.axis[0] < r.axis[1] {
		return r.axis[0], r.axis[1]
	}
	low, high = math.Inf(1), math.Inf(-1)
	for _, g := range r.Groups {
		for _, of := range g.Ranges {
			low, high = min(low, of.Low), max(high, of.High)
		}
	}
	margin := max(0.06*(high-low), 0.01*math.Abs(high), 1e-9)
	return low - margin, high + margin
}

// Draw implements draw.Figure.
func (r Ranges) Draw(s *draw.Sheet) error {
	t, size := s.Theme, s.Size.Text
	level, err := bodies.Beside(s, r.Bodies, slices.Repeat([]color.RGBA{t.Muted}, len(r.Bodies)), bodies.UsuallyAbove)
	if err != nil {
		return err
	}
	level(s.Body.Y0)
	axis, err := s.AxisHeight(r.Axis, s.Body.Width())
	if err != nil {
		return err
	}
	// What is said, broken into lines, and how high all of it is.
	says, sum := make([][2][]string, len(r.Groups)), 0.0
	bar, gap := 1.3*size, 0.25*size
	for i, g := range r.Groups {
		if g.Name != "" {
			sum += 1.6 * size
		}
		for k, of := range g.Ranges {
			if says[i][k], err = s.Balance(of.Says, true, size, s.Body.Width()); err != nil {
				return err
			}
			sum += draw.LineHeight(len(says[i][k]), size) + gap + bar
		}
	}
	plot := s.Body
	plot.Y1 -= axis
	blocks := float64(2 * len(r.Groups))
	spare := (plot.Height() - sum) / blocks
	if spare < 0.5*size {
		return draw.Wrong("ranges", "%d groups do not fit on the %s", len(r.Groups), s.Size.Name)
	}
	spare = min(spare, 6*size)
	thicker := min(0.5*(spare-0.5*size), 2.6*size)
	bar, plot.Y1 = bar+thicker, plot.Y0+sum+blocks*spare
	low, high := r.ends()
	x := draw.Scale{Low: low, High: high, From: plot.X0 + 0.5*size, To: plot.X1 - 1.2*size}
	if err := s.HorizontalAxis(x, plot.Y1, r.Axis, plot); err != nil {
		return err
	}
	s.Stroke(t.Muted, s.Size.Thin, nil, draw.Point{X: plot.X0, Y: plot.Y1}, draw.Point{X: plot.X1, Y: plot.Y1})
	top := plot.Y0
	for i, g := range r.Groups {
		if g.Name != "" {
			r.text(s, []string{g.Name}, plot.X0, top, t.Ink)
			top += 1.6 * size
		}
		for k, of := range g.Ranges {
			c := []Source{FromPeople, FromAssumptions}[k].color(t)
			lines, widest := says[i][k], 0.0
			for _, line := range lines {
				widest = max(widest, draw.TextWidth(line, true, size))
			}
			r.text(s, lines, max(plot.X0, min(x.At(of.Low), plot.X1-widest)), top, t.TextColor(c))
			top += draw.LineHeight(len(lines), size) + gap
			s.FillRect(c, draw.Rect{X0: x.At(of.Low), Y0: top, X1: max(x.At(of.High), x.At(of.Low)+s.Size.Thin), Y1: top + bar})
			s.Stroke(t.Background, 1.5*s.Size.Thin, nil, draw.Point{X: x.At(of.Middle), Y: top}, draw.Point{X: x.At(of.Middle), Y: top + bar})
			top += bar + spare - thicker
		}
	}
	return nil
}

// text sets lines on the ground of the sheet, so that no line of the grid runs through them.
func (r Ranges) text(s *draw.Sheet, lines []string, x, top float64, c color.RGBA) {
	for i, line := range lines {
		y := top + float64(i)*draw.Leading*s.Size.Text
		s.FillRect(s.Theme.Background, draw.Rect{X0: x - 0.1*s.Size.Text, Y0: y, X1: x + draw.TextWidth(line, true, s.Size.Text) + 0.1*s.Size.Text, Y1: y + draw.LineHeight(1, s.Size.Text)})
	}
	s.Lines(lines, x, top, draw.AlignLeft, true, s.Size.Text, c)
}

// Len is how many parts it can be divided into.
func (r Ranges) Len() int { return len(r.Groups) }

// Part implements divisible.
func (r Ranges) Part(from, to int) draw.Figure {
	r.axis[0], r.axis[1] = r.ends()
	r.Groups = r.Groups[from:to]
	return r
}

// Numbered is the k-th of several, said so in its title where that is not plain.
func (r Ranges) Numbered(k, of int) draw.Figure {
	r.Title = draw.NumberedTitle(r.Title, k, of)
	return r
}
