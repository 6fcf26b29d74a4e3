package chart

import (
	"errors"
	"fmt"
	"slices"
	"strings"
)

// An Along shows a quantity along a trait of people: its mean and its 5 to 95 % among
// people of that trait, and, if Alone is set, what the trait would do if nothing else
// changed with it.
type Along struct {
	Title          string
	Says           string // the numbers of the ends
	XLabel, YLabel string // quantity and unit
	X              []float64
	Mean           []float64 // among people at each X
	Low, High      []float64 // 5 and 95 % of people at each X
	Alone          []float64 // nil where nothing changes the trait alone
	AloneName      string    // such as "the median body, its arms alone changed"
	Foot           Foot
}

func (a Along) heading() (string, Foot) { return a.Title, a.Foot }

const (
	alongMean = "mean of people"
	alongBand = "5–95\u00a0% of people"
)

// Alt implements Figure.
func (a Along) Alt() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Line chart: %s against %s, with a band of %s. %s", a.YLabel, a.XLabel, alongBand, a.Says)
	if a.Alone != nil {
		fmt.Fprintf(&b, " The dashed line is %s.", a.AloneName)
	}
	return described(a, &b)
}

func (a Along) check() error {
	if err := labelled("along", a.XLabel, a.YLabel, a.Says); err != nil {
		return err
	}
	if err := errors.Join(checkSeries("mean", a.X, a.Mean), checkBand("along", a.X, a.Low, a.High)); err != nil {
		return err
	}
	if a.Alone == nil {
		return nil
	}
	if a.AloneName == "" {
		return wrong("along", "the dashed line has no name")
	}
	return checkSeries("alone", a.X, a.Alone)
}

func (a Along) draw(s *sheet) error {
	size, t := s.size.text, s.theme
	low, high := slices.Min(a.Low), slices.Max(a.High)
	for _, v := range a.Alone {
		low, high = min(low, v), max(high, v)
	}
	// Room above and below for the names.
	pad := max(0.18*(high-low), 1e-3*max(high, -low), 1e-12)
	y := scale{low: low - pad, high: high + pad}
	top, err := s.paragraph(a.Says, s.body.y0, size)
	if err != nil {
		return err
	}
	top, err = s.paragraph(y.cut(a.YLabel), top+0.5*size, size)
	if err != nil {
		return err
	}
	f := s.newFrame(top+0.8*size, y, 6, 0.5*size, size)
	if err := f.numbersBelow(s, scale{low: a.X[0], high: a.X[len(a.X)-1]}, a.XLabel); err != nil {
		return err
	}
	upper, lower, mean := f.points(a.X, a.High), f.points(a.X, a.Low), f.points(a.X, a.Mean)
	band := mix(t.Background, t.Before, 0.17)
	s.fill(band, append(slices.Clone(upper), reversed(lower)...)...)
	place, err := f.draw(s, 0.2*size)
	if err != nil {
		return err
	}
	f.drawCut(s)
	place.avoid(upper, 0.4)
	place.avoid(lower, 0.4)
	s.stroke(t.Before, s.size.thick, nil, mean...)
	place.avoid(mean, 1)
	if a.Alone != nil {
		alone := f.points(a.X, a.Alone)
		s.stroke(t.After, 0.7*s.size.thick, []float64{2.5 * s.size.thick, 1.5 * s.size.thick}, alone...)
		place.avoid(alone, 1)
		if err := place.label(a.AloneName, alone, 0.5*s.size.thick+0.3*size, true, size, t.textColorOn(t.After, band)); err != nil {
			return err
		}
	}
	if err := place.label(alongMean, mean, 0.5*s.size.thick+0.3*size, true, size, t.textColorOn(t.Before, band)); err != nil {
		return err
	}
	return place.label(alongBand, upper, 0.3*size, false, size, t.textColorOn(t.Before, band))
}
