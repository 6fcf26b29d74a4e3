// Package curves draws what is asked over an angle, a distance, a change or two of them: the
// requirement before and after, curves with what lies around them, lines and heat maps.
package curves

import (
	"errors"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/words"
)

// An Along shows a quantity over another: along a trait of people its middle and spread
// among them, and what the trait does if nothing else changes with it; or what a hold demands
// of one body over its free posture, with what is not known of it. Where a point is chosen,
// values far above it leave the picture at its top.
type Along struct {
	Title          string
	Says           string // the numbers of the ends, for the description; may be empty
	XLabel, YLabel string // quantity and unit
	Curve          Series // with its spread, if there is any
	Spread         string // what lies inside the spread, such as "nine in ten people"
	Alone          []float64
	Ends           bool    // whether the numbers of both ends are written, of the axis below and of the lines
	Decimals       [2]int  // of these numbers, below and along the line
	AloneName      string  // such as "the median body, its arms alone changed"; Alone is nil where it is empty
	Best           Mark    // the chosen point; without a label there is none
	Low, High      float64 // from where to where that may lie along X; the same where it is not known
	Was            Mark    // where on the line it was measured to be; without a label nowhere
	Own            Reach   // from where to where the chosen point may lie, along Y, when X is not held fast; without a label there is none
	Around         float64 // a height, below which the line is Less and above which More; where these are empty there is none
	Less, More     string
	Bodies         []bodies.Silhouette
	Foot           draw.Foot
}

// A Reach is from where to where something lies, with its label.
type Reach struct {
	Low, High float64
	Label     string
}

// Heading implements draw.Figure.
func (a Along) Heading() (string, draw.Foot) { return a.Title, a.Foot }

// Alt implements Figure.
func (a Along) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Line chart: %s over %s.", a.YLabel, a.XLabel)
	for _, part := range []struct{ before, text, after string }{{" ", a.Says, ""}, {" Best: ", a.Best.Label, "."}, {" On the line: ", a.shownWas().Label, "."}, {" A bar at the mark: ", a.Own.Label, "."}, {" ", a.sides(), "."}, {" The band around the line: ", a.Spread, "."}, {" The dashed line is ", a.AloneName, "."}} {
		if part.text != "" {
			b.WriteString(part.before + part.text + part.after)
		}
	}
	b.WriteString(bodies.Shown(a.Bodies))
	return draw.Described(a, &b)
}

// Check implements draw.Figure.
func (a Along) Check() error {
	const kind = "along"
	c := a.Curve
	if err := draw.Labelled(kind, a.XLabel, a.YLabel, c.Name); err != nil {
		return err
	}
	if c.spread() != (a.Spread != "") || (a.Alone != nil) != (a.AloneName != "") {
		return draw.Wrong(kind, "a spread or the dashed line has no name, or there is none")
	}
	if err := CheckSeries(c.Name, c.X, c.Y); err != nil {
		return err
	}
	if a.Best.Label != "" && (!draw.Drawable(a.Best.X, a.Best.Y, a.Low, a.High) || a.Best.X < c.X[0] || a.Best.X > c.X[len(c.X)-1]) {
		return draw.Wrong(kind, "the mark is at (%v, %v)", a.Best.X, a.Best.Y)
	}
	if a.Alone != nil {
		if err := CheckSeries(a.AloneName, c.X, a.Alone); err != nil {
			return err
		}
	}
	if a.Own.Label != "" && (!draw.Drawable(a.Own.Low, a.Own.High) || a.Own.Low > a.Own.High) {
		return draw.Wrong(kind, "the mark reaches from %v to %v", a.Own.Low, a.Own.High)
	}
	if (a.Less == "") != (a.More == "") || !draw.Drawable(a.Around) {
		return draw.Wrong(kind, "%q is below %v and %q above", a.Less, a.Around, a.More)
	}
	if err := bodies.CheckSilhouettes(kind, a.Bodies); err != nil || !c.spread() {
		return err
	}
	return checkBand(c.Name, c.X, c.Low, c.High)
}

// checkBand checks the ends of a spread.
func checkBand(name string, x, low, high []float64) error {
	if err := errors.Join(CheckSeries(name+", low", x, low), CheckSeries(name+", high", x, high)); err != nil {
		return err
	}
	for i := range x {
		if low[i] > high[i] {
			return fmt.Errorf("chart: %s: at %v low %v is above high %v", name, x[i], low[i], high[i])
		}
	}
	return nil
}

// yRange returns the ends of the vertical axis: around all lines, with room for their names,
// or around the mark and what is not known there.
func (a Along) yRange() (low, high float64) {
	c := a.Curve
	if a.Best.Label == "" {
		values := slices.Concat(c.Y, c.Low, c.High, a.Alone)
		low, high = slices.Min(values), slices.Max(values)
		pad := max(0.18*(high-low), 1e-3*max(high, -low), 1e-12)
		return low - pad, high + pad
	}
	low, high = a.Best.Y, a.Best.Y
	if c.spread() {
		low, high = min(low, slices.Min(c.Low)), max(high, slices.Min(c.High))
	}
	if a.Own.Label != "" {
		low, high = min(low, a.Own.Low), max(high, a.Own.High)
	}
	span := max(high-low, 0.02*math.Abs(high), 1e-6)
	below, above := span, max(1.5*span, 0.25*math.Abs(high))
	if low >= 0 && low < 2*below {
		return 0, high + above // an axis that nearly reaches zero starts there
	}
	return low - below, high + above
}

// Draw implements draw.Figure.
func (a Along) Draw(s *draw.Sheet) error {
	size, t, c := s.Size.Text, s.Theme, a.Curve
	var y draw.Scale
	y.Low, y.High = a.yRange()
	level, err := bodies.Beside(s, a.Bodies, []color.RGBA{t.Muted}, bodies.UsuallyAbove)
	if err != nil {
		return err
	}
	top, err := s.Paragraph(y.Cut(a.YLabel), s.Body.Y0, size)
	if err != nil {
		return err
	}
	f := s.NewFrame(top+0.8*size, y, 6, 0.5*size, s.HalfNumber(c.X[len(c.X)-1]))
	x := draw.Scale{Low: c.X[0], High: c.X[len(c.X)-1]}
	if a.Best.Label != "" && a.Low < a.High {
		room := 0.02 * (x.High - x.Low) // so that a range is not seen to end where the axis does
		x.Low, x.High = min(x.Low, a.Low-room), max(x.High, a.High+room)
	}
	axis, err := s.AxisHeight(a.XLabel, f.Plot.Width())
	if err != nil {
		return err
	}
	f.StandOn(x, f.Plot.Y1-axis)
	belowCut(s, f)
	level(f.Plot.Y0)
	band, ink := draw.Mix(t.Background, t.Before, 0.17), t.TextColorOn(t.Before, draw.Mix(t.Background, t.Before, 0.17))
	upper, lower, line := f.Points(c.X, c.High), f.Points(c.X, c.Low), f.Points(c.X, c.Y)
	s.Fill(band, draw.ClipPolygon(append(slices.Clone(upper), reversed(lower)...), f.Plot)...)
	place, err := f.Draw(s, 0.2*size)
	if err != nil {
		return err
	}
	f.DrawCut(s)
	if err := a.drawBelow(s, f); err != nil {
		return err
	}
	for _, piece := range append(draw.ClipLine(upper, f.Plot), draw.ClipLine(lower, f.Plot)...) {
		place.Avoid(piece, 0.4)
	}
	gap := 0.5*s.Size.Thick + 0.3*size
	f.Line(s, place, t.Before, s.Size.Thick, nil, line)
	if a.Alone != nil {
		alone := f.Points(c.X, a.Alone)
		f.Line(s, place, t.After, 0.7*s.Size.Thick, []float64{2.5 * s.Size.Thick, 1.5 * s.Size.Thick}, alone)
		if err := place.Label(a.AloneName, alone, gap, true, s.Size.Note(), t.TextColorOn(t.After, band)); err != nil {
			return err
		}
	}
	if a.Best.Label == "" {
		if err = place.Label(c.Name, line, gap, true, s.Size.Note(), ink); err == nil && a.Ends {
			a.tellEnds(s, f, place, gap, band)
		}
	} else {
		radius, spot := 1.7*s.Size.Thick, draw.Point{X: f.X.At(a.Best.X), Y: f.Y.At(a.Best.Y)}
		place.Take(spot, 1.2*radius)
		row := f.Plot.Y1 - 0.8*size
		stood(s, f, t.Before, spot, row, a.Low, a.High)
		place.Avoid([]draw.Point{spot, {X: spot.X, Y: f.Plot.Y1}}, 2)
		place.Avoid([]draw.Point{{X: f.X.Clamp(a.Low), Y: row}, {X: f.X.Clamp(a.High), Y: row}}, 1)
		beside := a.drawBeside(s, f, place, gap, band)
		err = place.Label(a.Best.Label, []draw.Point{spot}, gap+radius, true, size, ink)
		s.Spot(t.Before, spot, radius)
		if err == nil {
			err = beside()
		}
	}
	if err != nil || a.Spread == "" {
		return err
	}
	return place.Label(a.Spread, along(upper, f.Plot), gap, false, s.Size.Note(), ink)
}

// shownWas is the place on the line if it is within the picture, else without a label.
func (a Along) shownWas() Mark {
	if c := a.Curve; a.Was.Label == "" || a.Was.X < c.X[0] || a.Was.X > c.X[len(c.X)-1] {
		return Mark{}
	}
	was := a.Was
	was.Y = a.Curve.At(was.X)
	if low, high := a.yRange(); was.Y < low || was.Y > high {
		return Mark{}
	}
	return was
}

// levelled says whether there is a line below and above which it is something else, within the picture.
func (a Along) levelled() bool {
	low, high := a.yRange()
	return a.Less != "" && low < a.Around && a.Around < high
}

// sides says what it is below and above that line.
func (a Along) sides() string {
	if !a.levelled() {
		return ""
	}
	return fmt.Sprintf("A dashed line at %s: below it %s, above it %s", words.Given(a.Around), a.Less, a.More)
}

// drawBeside draws the line between two sides, how far the mark reaches, and where on the line it was
// measured to be, and returns what labels them once all is drawn that labels must keep off.
func (a Along) drawBeside(s *draw.Sheet, f *draw.Frame, place *draw.Placer, gap float64, band color.RGBA) (label func() error) {
	t, note := s.Theme, s.Size.Note()
	var labels []func() error
	put := func(text string, at []draw.Point, gap float64, bold bool, ink color.RGBA) {
		labels = append(labels, func() error { return place.Label(text, at, gap, bold, note, ink) })
	}
	if a.levelled() {
		at := func(share float64) draw.Point {
			return draw.Point{X: f.Plot.X0 + share*f.Plot.Width(), Y: f.Y.At(a.Around)}
		}
		s.Stroke(t.Muted, s.Size.Thin, []float64{4 * s.Size.Thin, 3 * s.Size.Thin}, at(0), at(1))
		more, less := "↑ "+a.More, "↓ "+a.Less
		width := max(draw.TextWidth(more, true, note), draw.TextWidth(less, true, note))
		left := a.clearAlong(f, at(0).Y, width+0.8*note, 2*note) + 0.4*note
		for k, text := range []string{more, less} {
			y := at(0).Y + []float64{-0.4, draw.Ascent + 0.4}[k]*note
			s.Text(text, left, y, draw.AlignLeft, true, note, t.TextColorOn(t.Muted, band))
			place.Avoid([]draw.Point{{X: left, Y: y - 0.4*note}, {X: left + width, Y: y - 0.4*note}}, note)
		}
		place.Avoid([]draw.Point{at(0), at(1)}, 1)
	}
	if reach := a.Own; reach.Label != "" {
		x, low, high, half := f.X.At(a.Best.X), f.Y.At(reach.Low), f.Y.At(reach.High), 0.3*s.Size.Text
		for _, piece := range [][]draw.Point{{{X: x, Y: low}, {X: x, Y: high}}, {{X: x - half, Y: low}, {X: x + half, Y: low}}, {{X: x - half, Y: high}, {X: x + half, Y: high}}} {
			s.Stroke(t.Ink, 1.4*s.Size.Thin, nil, piece...)
			place.Avoid(piece, 1)
		}
		put(reach.Label, []draw.Point{{X: x, Y: high}, {X: x, Y: low}, {X: x, Y: (low + high) / 2}}, 0.6*gap, false, t.Ink)
	}
	if was, radius := a.shownWas(), 1.2*s.Size.Thick; was.Label != "" {
		ring := draw.Point{X: f.X.At(was.X), Y: f.Y.At(was.Y)}
		s.Spot(t.After, ring, radius)
		s.Disc(t.Background, ring, 0.55*radius)
		place.Take(ring, radius)
		put(was.Label, []draw.Point{ring}, gap+radius, true, t.TextColorOn(t.After, band))
	}
	return func() (err error) {
		for _, label := range labels {
			if err == nil {
				err = label()
			}
		}
		return err
	}
}

// clearAlong is where along a height something so wide, and so far up and down, begins that is farthest
// from the line and the mark, at the left if that is clear of them.
func (a Along) clearAlong(f *draw.Frame, y, width, far float64) (left float64) {
	farthest := -1.0
	for k := range 9 {
		from := f.Plot.X0 + float64(k)/8*(f.Plot.Width()-width)
		clear := math.Inf(1)
		for i, p := range f.Points(a.Curve.X, a.Curve.Y) {
			if a.Curve.X[i] >= f.X.Low && p.X >= from-far && p.X <= from+width+far {
				clear = min(clear, math.Abs(p.Y-y))
			}
		}
		if mark := f.X.At(a.Best.X); mark > from-far && mark < from+width+far {
			clear = 0
		}
		if k == 0 && clear > far {
			return from
		}
		if clear > farthest {
			left, farthest = from, clear
		}
	}
	return left
}

// drawBelow draws the axis below the plot: round numbers, or those of its ends with as many between
// as have room beside them.
func (a Along) drawBelow(s *draw.Sheet, f *draw.Frame) error {
	if !a.Ends {
		return s.HorizontalAxis(f.X, f.Plot.Y1, a.XLabel)
	}
	size, base := s.Size.Text, f.Plot.Y1+(draw.AxisGap+draw.Ascent)*s.Size.Text
	var taken []draw.Rect
	put := func(v float64, text string, bold bool) {
		half, at := draw.TextWidth(text, bold, size)/2, f.X.At(v)
		box := draw.Rect{X0: at - half - 0.5*size, Y0: 0, X1: at + half + 0.5*size, Y1: 1}
		if slices.ContainsFunc(taken, box.Overlaps) {
			return
		}
		ink := s.Theme.Muted
		if bold {
			ink = s.Theme.Ink
		}
		taken = append(taken, box)
		s.Text(text, at, base, draw.AlignCenter, bold, size, ink)
	}
	for _, v := range []float64{f.X.Low, f.X.High} {
		put(v, words.Number(v, a.Decimals[0]), true)
	}
	values, decimals := draw.Ticks(f.X.Low, f.X.High, 8)
	for _, v := range values {
		put(v, words.Number(v, decimals), false)
	}
	lines, err := s.Balance(a.XLabel, false, size, f.Plot.Width())
	s.Lines(lines, (f.Plot.X0+f.Plot.X1)/2, f.Plot.Y1+(draw.AxisGap+1.35)*size, draw.AlignCenter, false, size, s.Theme.Muted)
	return err
}

// tellEnds writes what the lines are at their ends, where there is room.
func (a Along) tellEnds(s *draw.Sheet, f *draw.Frame, place *draw.Placer, gap float64, band color.RGBA) {
	for _, line := range []struct {
		y []float64
		c color.RGBA
	}{{a.Curve.Y, s.Theme.Before}, {a.Alone, s.Theme.After}} {
		if line.y == nil {
			continue
		}
		for _, i := range []int{0, len(line.y) - 1} {
			at := draw.Point{X: f.X.At(a.Curve.X[i]), Y: f.Y.At(line.y[i])}
			_ = place.Label(words.Number(line.y[i], a.Decimals[1]), []draw.Point{at}, gap, true, s.Size.Note(), s.Theme.TextColorOn(line.c, band)) // the axes say them too
		}
	}
}

// belowCut leaves room below the scale of an axis that does not begin at 0 for the mark that says
// so: what stands above the mark is to scale.
func belowCut(s *draw.Sheet, f *draw.Frame) {
	if f.Y.Low > 0 {
		f.Y.From -= 1.7 * s.Size.Text
	}
}
