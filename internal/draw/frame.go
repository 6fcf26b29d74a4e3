package draw

import (
	"image/color"

	"counterpoise/internal/words"
)

// A Frame is a plot with an axis of numbers on its left, whose label stands level above
// it, where it is easiest to read, and an axis below.
type Frame struct {
	Plot     Rect
	X, Y     Scale
	label    string    // of the axis below
	values   []float64 // along the axis on the left
	decimals int
	gap      float64 // between them and the plot
	both     bool    // lines along both axes, not along the one below alone
}

// NewFrame has its plot from top to the end of the body, with room for at most so many
// values on the left and for what the axis below needs on the right.
func (s *Sheet) NewFrame(top float64, y Scale, most int, gap, right float64) *Frame {
	f := &Frame{Plot: s.Body, Y: y, gap: gap}
	f.values, f.decimals = Ticks(y.Low, y.High, most)
	widest := 0.0
	for _, v := range f.values {
		widest = max(widest, TextWidth(words.Number(v, f.decimals), false, s.Size.Text))
	}
	f.Plot.Y0 = top
	f.Plot.X0 += widest + gap
	f.Plot.X1 -= right
	return f
}

// StandOn ends the plot where the axis below begins.
func (f *Frame) StandOn(x Scale, bottom float64) {
	f.Plot.Y1 = bottom
	f.X, f.Y.From, f.Y.To = x, bottom, f.Plot.Y0
	f.X.From, f.X.To = f.Plot.X0, f.Plot.X1
}

// NumbersBelow has the axis below an axis of numbers.
func (f *Frame) NumbersBelow(s *Sheet, x Scale, label string) error {
	height, err := s.AxisHeight(label, f.Plot.Width())
	f.label = label
	f.StandOn(x, f.Plot.Y1-height)
	return err
}

// Points are the places of values.
func (f *Frame) Points(xs, ys []float64) []Point {
	points := make([]Point, len(xs))
	for i := range xs {
		points[i] = Point{f.X.At(xs[i]), f.Y.At(ys[i])}
	}
	return points
}

// Line draws the pieces of a line inside the plot, and keeps labels off them.
func (f *Frame) Line(s *Sheet, place *Placer, c color.RGBA, width float64, dash []float64, points []Point) {
	for _, piece := range ClipLine(points, f.Plot) {
		s.Stroke(c, width, dash, piece...)
		place.Avoid(piece, 1)
	}
}

// Cut is a label of the axis on the left with the word that it does not begin at 0, if so.
func (y Scale) Cut(label string) string {
	if y.Low > 0 {
		label += "; the axis does not begin at\u00a00"
	}
	return label
}

// DrawCut marks an axis on the left that does not begin at 0: a piece of it above its foot,
// broken by two strokes.
func (f *Frame) DrawCut(s *Sheet) {
	if f.Y.Low <= 0 {
		return
	}
	size := s.Size.Text
	at := Point{f.Plot.X0, f.Plot.Y1 - 0.75*size}
	s.Stroke(s.Theme.Muted, s.Size.Thin, nil, Point{at.X, f.Plot.Y1}, Point{at.X, f.Plot.Y1 - 1.5*size})
	s.Stroke(s.Theme.Background, 0.3*size, nil, Point{at.X - 0.3*size, at.Y + 0.1*size}, Point{at.X + 0.3*size, at.Y - 0.1*size})
	for _, y := range []float64{-0.15 * size, 0.15 * size} {
		s.Stroke(s.Theme.Ink, 1.2*s.Size.Thin, nil, Point{at.X - 0.3*size, at.Y + y + 0.1*size}, Point{at.X + 0.3*size, at.Y + y - 0.1*size})
	}
}

// Draw draws the grid and the axes, but for what stands below one that has no numbers,
// and returns what finds room for labels inside the plot, but for a margin.
func (f *Frame) Draw(s *Sheet, margin float64) (*Placer, error) {
	size, t := s.Size.Text, s.Theme
	place := &Placer{Sheet: s, Area: f.Plot.Grow(-margin)}
	for _, v := range f.values {
		grid := []Point{{f.Plot.X0, f.Y.At(v)}, {f.Plot.X1, f.Y.At(v)}}
		s.Stroke(t.Grid, s.Size.Thin, nil, grid...)
		place.Avoid(grid, 0.03)
		s.Text(words.Number(v, f.decimals), f.Plot.X0-f.gap, f.Y.At(v)+0.35*size, AlignRight, false, size, t.Muted)
	}
	s.Stroke(t.Muted, s.Size.Thin, nil, Point{f.Plot.X0, f.Plot.Y1}, Point{f.Plot.X1, f.Plot.Y1})
	if f.both {
		s.Stroke(t.Muted, s.Size.Thin, nil, Point{f.Plot.X0, f.Plot.Y0}, Point{f.Plot.X0, f.Plot.Y1})
	}
	if f.label == "" {
		return place, nil
	}
	return place, s.HorizontalAxis(f.X, f.Plot.Y1, f.label)
}
