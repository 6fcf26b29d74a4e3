package chart

import (
	"image/color"

	"counterpoise/internal/words"
)

// A frame is a plot with an axis of numbers on its left, whose label stands level above
// it, where it is easiest to read, and an axis below.
type frame struct {
	plot     rect
	x, y     scale
	label    string    // of the axis below
	values   []float64 // along the axis on the left
	decimals int
	gap      float64 // between them and the plot
	both     bool    // lines along both axes, not along the one below alone
}

// newFrame has its plot from top to the end of the body, with room for at most so many
// values on the left and for what the axis below needs on the right.
func (s *sheet) newFrame(top float64, y scale, most int, gap, right float64) *frame {
	f := &frame{plot: s.body, y: y, gap: gap}
	f.values, f.decimals = ticks(y.low, y.high, most)
	widest := 0.0
	for _, v := range f.values {
		widest = max(widest, textWidth(words.Number(v, f.decimals), false, s.size.text))
	}
	f.plot.y0 = top
	f.plot.x0 += widest + gap
	f.plot.x1 -= right
	return f
}

// standOn ends the plot where the axis below begins.
func (f *frame) standOn(x scale, bottom float64) {
	f.plot.y1 = bottom
	f.x, f.y.from, f.y.to = x, bottom, f.plot.y0
	f.x.from, f.x.to = f.plot.x0, f.plot.x1
}

// numbersBelow has the axis below an axis of numbers.
func (f *frame) numbersBelow(s *sheet, x scale, label string) error {
	height, err := s.axisHeight(label, f.plot.width())
	f.label = label
	f.standOn(x, f.plot.y1-height)
	return err
}

// points are the places of values.
func (f *frame) points(xs, ys []float64) []point {
	points := make([]point, len(xs))
	for i := range xs {
		points[i] = point{f.x.at(xs[i]), f.y.at(ys[i])}
	}
	return points
}

// line draws the pieces of a line inside the plot, and keeps labels off them.
func (f *frame) line(s *sheet, place *placer, c color.RGBA, width float64, dash []float64, points []point) {
	for _, piece := range clipLine(points, f.plot) {
		s.stroke(c, width, dash, piece...)
		place.avoid(piece, 1)
	}
}

// cut is a label of the axis on the left with the word that it does not begin at 0, if so.
func (y scale) cut(label string) string {
	if y.low > 0 {
		label += "; the axis does not begin at\u00a00"
	}
	return label
}

// drawCut marks an axis on the left that does not begin at 0 by two strokes at its foot.
func (f *frame) drawCut(s *sheet) {
	if f.y.low <= 0 {
		return
	}
	at, reach := point{f.plot.x0, f.plot.y1}, 0.3*s.size.text
	for _, x := range []float64{0, 0.35 * s.size.text} {
		s.stroke(s.theme.Ink, 1.2*s.size.thin, nil, point{at.x + x - 0.5*reach, at.y + reach}, point{at.x + x + 0.5*reach, at.y - reach})
	}
}

// draw draws the grid and the axes, but for what stands below one that has no numbers,
// and returns what finds room for labels inside the plot, but for a margin.
func (f *frame) draw(s *sheet, margin float64) (*placer, error) {
	size, t := s.size.text, s.theme
	place := &placer{sheet: s, area: f.plot.grow(-margin)}
	for _, v := range f.values {
		grid := []point{{f.plot.x0, f.y.at(v)}, {f.plot.x1, f.y.at(v)}}
		s.stroke(t.Grid, s.size.thin, nil, grid...)
		place.avoid(grid, 0.03)
		s.text(words.Number(v, f.decimals), f.plot.x0-f.gap, f.y.at(v)+0.35*size, alignRight, false, size, t.Muted)
	}
	s.stroke(t.Muted, s.size.thin, nil, point{f.plot.x0, f.plot.y1}, point{f.plot.x1, f.plot.y1})
	if f.both {
		s.stroke(t.Muted, s.size.thin, nil, point{f.plot.x0, f.plot.y0}, point{f.plot.x0, f.plot.y1})
	}
	if f.label == "" {
		return place, nil
	}
	return place, s.horizontalAxis(f.x, f.plot.y1, f.label)
}
