package hold

import "math"

// gridPoints is how finely the range of a posture is searched before a minimum
// is refined: every 5 degrees for the flag.
const gridPoints = 15

// grid are the arm angles of the grid over the flag's whole range, with their
// sines and cosines.
var grid = func() (g [gridPoints]struct{ angle, sine, cosine float64 }) {
	for j := range g {
		angle := FlagLeastAngle + float64(j)/(gridPoints-1)*(FlagMostAngle-FlagLeastAngle)
		g[j].angle, g[j].sine, g[j].cosine = angle, math.Sin(angle), math.Cos(angle)
	}
	return
}()

// minimise returns the point in low..high at which the largest piece is
// smallest: the global minimum over a grid, each dip of which is refined.
func minimise(f *flag, model Model, low, high float64) float64 {
	var value, slope [morePieces]float64
	var sines, peaks [gridPoints]float64
	if f.shift == 0 {
		for j := range grid {
			sines[j] = grid[j].sine
			peaks[j] = f.level(model, grid[j].angle, grid[j].sine, grid[j].cosine)
		}
	} else {
		stretch := (high - low) / (sineMost - sineLeast)
		for j := range sines {
			sines[j] = low + (grid[j].sine-sineLeast)*stretch
			n := f.pieces(model, sines[j], &value, &slope)
			peaks[j] = value[largest(&value, n)]
		}
	}
	best, lowest := low, math.Inf(1)
	for j := range sines {
		before, after := max(j-1, 0), min(j+1, gridPoints-1)
		if peaks[j] > peaks[before] || peaks[j] > peaks[after] {
			continue
		}
		if s, peak := refine(f, model, sines[before], sines[after]); peak < lowest {
			best, lowest = s, peak
		}
	}
	return best
}

// level returns the largest piece of a level body at an arm angle whose sine
// and cosine are known: what pieces gives, without the derivatives.
func (f *flag) level(model Model, angle, sine, cosine float64) float64 {
	h := (f.reach*sine + f.hang) / (f.span + 2*f.arm*cosine)
	strong := 1 + f.slope*(angle-slopeAngle)
	if model == TwoCondition {
		return max(h/sine, 0.5/cosine) / strong
	}
	axial := (h*sine + max(f.top, f.bottom)*cosine) / (f.axial * strong)
	level := f.arm*h*cosine + f.sag*sine
	top, bottom := level-f.arm*f.top*sine, level-f.arm*f.bottom*sine
	return max(axial,
		max(top, -bottom)/f.adduction,
		max(bottom, -top)/f.abduction)
}

// largest returns the index of the largest of the first n values.
func largest(value *[morePieces]float64, n int) int {
	at := 0
	for j := 1; j < n; j++ {
		if value[j] > value[at] {
			at = j
		}
	}
	return at
}

// refine returns the minimum of the largest piece between low and high, where
// it falls at first and grows at last, and its value there.
//
// The minimum is either where a falling piece meets a growing one, or where one
// piece is level. The first is found by Newton's method on the difference of
// the two pieces, the second by the secant method on the slope; a step that
// leaves the bracket, or three that have not halved it, is replaced by bisection.
func refine(f *flag, model Model, low, high float64) (s, peak float64) {
	var value, slope [morePieces]float64
	n := f.pieces(model, low, &value, &slope)
	falling := largest(&value, n)
	peakLow, slopeLow := value[falling], slope[falling]
	n = f.pieces(model, high, &value, &slope)
	growing := largest(&value, n)
	peakHigh, slopeHigh := value[growing], slope[growing]
	if slopeLow >= 0 {
		return low, peakLow
	}
	if slopeHigh <= 0 {
		return high, peakHigh
	}
	at, width, stale := high, high-low, 0 // value and slope are those at this point
	for range 250 {
		var next float64
		if falling != growing {
			next = at - (value[falling]-value[growing])/(slope[falling]-slope[growing])
		} else {
			next = low - slopeLow*(high-low)/(slopeHigh-slopeLow)
		}
		if stale >= 3 || !(next > low && next < high) {
			next, stale = low+(high-low)/2, 0
		}
		at = next
		n = f.pieces(model, at, &value, &slope)
		active := largest(&value, n)
		// Where the falling and the growing piece meet on top, no step either way
		// goes down: that is the minimum, whatever the width of the bracket. A small
		// step alone proves nothing.
		const level = 1e-11
		peak := value[active]
		if falling != growing && slope[falling] <= 0 && slope[growing] >= 0 &&
			peak-value[falling] <= level*peak && peak-value[growing] <= level*peak {
			return at, peak
		}
		// Nor does one where the slope left could not take more off over the whole
		// bracket.
		if math.Abs(slope[active])*(high-low) <= 1e-12*peak {
			return at, peak
		}
		switch g := slope[active]; {
		case g < 0:
			low, peakLow, slopeLow, falling = at, peak, g, active
		case g > 0:
			high, peakHigh, slopeHigh, growing = at, peak, g, active
		default:
			return at, peak
		}
		if high-low < 1e-14 {
			break
		}
		if high-low < width/2 {
			width, stale = high-low, 0
		} else {
			stale++
		}
	}
	if peakLow < peakHigh {
		return low, peakLow
	}
	return high, peakHigh
}
