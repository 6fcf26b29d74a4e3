package chart

import (
	"errors"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"
)

// An Along shows a quantity over another: along a trait of people its middle and spread
// among them, and what the trait does if nothing else changes with it; or what a hold demands
// of one body over its free posture, with what is not known of it. Where a point is chosen,
// values far above it leave the picture at its top; it may lie off the line, as the best
// posture of the middle of many draws is not that of a middle body.
type Along struct {
	Title          string
	Says           string // the numbers of the ends; may be empty
	XLabel, YLabel string // quantity and unit
	Curve          Series // with its spread, if there is any
	Spread         string // what lies inside the spread, such as "nine in ten people"
	Alone          []float64
	AloneName      string // such as "the median body, its arms alone changed"; Alone is nil where it is empty
	Best           Mark   // the chosen point; without a label there is none
	Bodies         []Silhouette
	Foot           Foot
}

func (a Along) Heading() (string, Foot) { return a.Title, a.Foot }

// Alt implements Figure.
func (a Along) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Line chart: %s over %s.", a.YLabel, a.XLabel)
	for _, part := range []struct{ before, text, after string }{{" ", a.Says, ""}, {" Best: ", a.Best.Label, "."}, {" The band around the line: ", a.Spread, "."}, {" The dashed line is ", a.AloneName, "."}} {
		if part.text != "" {
			b.WriteString(part.before + part.text + part.after)
		}
	}
	b.WriteString(shown(a.Bodies))
	return described(a, &b)
}

func (a Along) Check() error {
	const kind = "along"
	c := a.Curve
	if err := labelled(kind, a.XLabel, a.YLabel, c.Name); err != nil {
		return err
	}
	if c.spread() != (a.Spread != "") || (a.Alone != nil) != (a.AloneName != "") {
		return wrong(kind, "a spread or the dashed line has no name, or there is none")
	}
	if err := checkSeries(c.Name, c.X, c.Y); err != nil {
		return err
	}
	if a.Best.Label != "" && (!drawable(a.Best.X, a.Best.Y) || a.Best.X < c.X[0] || a.Best.X > c.X[len(c.X)-1]) {
		return wrong(kind, "the mark is at (%v, %v)", a.Best.X, a.Best.Y)
	}
	if a.Alone != nil {
		if err := checkSeries(a.AloneName, c.X, a.Alone); err != nil {
			return err
		}
	}
	if err := checkSilhouettes(kind, a.Bodies); err != nil || !c.spread() {
		return err
	}
	return checkBand(c.Name, c.X, c.Low, c.High)
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
	span := max(high-low, 0.02*math.Abs(high), 1e-6)
	below, above := span, max(1.5*span, 0.25*math.Abs(high))
	if low >= 0 && low < 2*below {
		return 0, high + above // an axis that nearly reaches zero starts there
	}
	return low - below, high + above
}

func (a Along) Draw(s *sheet) error {
	size, t, c := s.size.text, s.theme, a.Curve
	var y scale
	y.low, y.high = a.yRange()
	err := beside(s, a.Bodies, []color.RGBA{t.Muted})
	if err != nil {
		return err
	}
	top := s.body.y0
	for _, text := range []string{y.cut(a.YLabel), a.Says} {
		if text == "" {
			continue
		}
		if top, err = s.paragraph(text, top, size); err != nil {
			return err
		}
		top += 0.5 * size
	}
	f := s.newFrame(top+0.3*size, y, 6, 0.5*size, s.halfNumber(c.X[len(c.X)-1]))
	if err := f.numbersBelow(s, scale{low: c.X[0], high: c.X[len(c.X)-1]}, a.XLabel); err != nil {
		return err
	}
	band, ink := mix(t.Background, t.Before, 0.17), t.textColorOn(t.Before, mix(t.Background, t.Before, 0.17))
	upper, lower, line := f.points(c.X, c.High), f.points(c.X, c.Low), f.points(c.X, c.Y)
	s.fill(band, clipPolygon(append(slices.Clone(upper), reversed(lower)...), f.plot)...)
	place, err := f.draw(s, 0.2*size)
	if err != nil {
		return err
	}
	f.drawCut(s)
	for _, piece := range append(clipLine(upper, f.plot), clipLine(lower, f.plot)...) {
		place.avoid(piece, 0.4)
	}
	gap := 0.5*s.size.thick + 0.3*size
	f.line(s, place, t.Before, s.size.thick, nil, line)
	if a.Alone != nil {
		alone := f.points(c.X, a.Alone)
		f.line(s, place, t.After, 0.7*s.size.thick, []float64{2.5 * s.size.thick, 1.5 * s.size.thick}, alone)
		if err := place.label(a.AloneName, alone, gap, true, size, t.textColorOn(t.After, band)); err != nil {
			return err
		}
	}
	if a.Best.Label == "" {
		err = place.label(c.Name, line, gap, true, size, ink)
	} else {
		radius, spot := 1.7*s.size.thick, point{f.x.at(a.Best.X), f.y.at(a.Best.Y)}
		place.take(spot, 1.2*radius)
		err = place.label(a.Best.Label, []point{spot}, gap+radius, true, size, ink)
		s.spot(t.Before, spot, radius)
	}
	if err != nil || a.Spread == "" {
		return err
	}
	return place.label(a.Spread, along(upper, f.plot), gap, false, size, ink)
}
