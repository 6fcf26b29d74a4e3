package pole

import "counterpoise/sim/math"

// gridPoints is how finely the range of a posture is searched before a minimum
// is refined: every 5 degrees for the flag.
const gridPoints = 15

// grid are the sines of the arm angles of the grid over the flag's whole range.
var grid = func() (sines [gridPoints]float64) {
	for j := range sines {
		sines[j] = math.Sin(LeastAngle + float64(float64(j)/(gridPoints-1)*(MostAngle-LeastAngle)))
	}
	return
}()

// pieces are the smooth functions of the mean sine whose largest value the best
// posture makes smallest, at one sine: the two conditions, or the meetings of
// uses (see share.go).
type pieces struct {
	f          *Body
	conditions bool
	two        [2]struct{ value, slope float64 } // two-condition: lift and turning
	uses       lines                             // equilibrium
	last       meeting                           // what decided at the last sine
}

// The pieces of the two-condition model, as meetings of one.
var (
	pieceLift    = meeting{0, alone}
	pieceTurning = meeting{1, alone}
)

// at evaluates the pieces at a mean sine and returns the largest, its value and
// its derivative by the sine.
func (p *pieces) at(s float64) (m meeting, value, slope float64) {
	if p.conditions {
		p.f.conditions(s, &p.two)
		m = pieceLift
		if p.two[1].value > p.two[0].value {
			m = pieceTurning
		}
	} else {
		p.f.lines(s, &p.uses)
		_, m = p.uses.divide(p.f.least, p.f.most, p.last)
		p.last = m
	}
	value, slope = p.of(m)
	return m, value, slope
}

// of returns one piece at the sine of the last call of at.
func (p *pieces) of(m meeting) (value, slope float64) {
	if p.conditions {
		return p.two[m.grows].value, p.two[m.grows].slope
	}
	return p.uses.peak(m, p.f.least, p.f.most)
}

// Best returns the mean sine in low..high at which the largest piece is
// smallest: the global minimum over a grid, each dip of which is refined.
func (f *Body) Best(conditions bool, low, high float64) float64 {
	p := pieces{f: f, conditions: conditions, last: usual}
	var sines, peaks [gridPoints]float64
	stretch := (high - low) / (sineMost - sineLeast)
	for j := range sines {
		sines[j] = low + float64((grid[j]-sineLeast)*stretch)
		_, peaks[j], _ = p.at(sines[j])
	}
	best, lowest := low, math.Inf(1)
	for j := range sines {
		before, after := max(j-1, 0), min(j+1, gridPoints-1)
		if peaks[j] > peaks[before] || peaks[j] > peaks[after] {
			continue
		}
		if s, peak := refine(&p, sines[before], sines[after]); peak < lowest {
			best, lowest = s, peak
		}
	}
	return best
}

// refine returns the minimum of the largest piece between low and high, where
// it falls at first and grows at last, and its value there.
//
// The minimum is either where a falling piece meets a growing one, or where one
// piece is level. The first is found by Newton's method on the difference of
// the two pieces, the second by the secant method on the slope; a step that
// leaves the bracket, or three that have not halved it, is replaced by bisection.
func refine(p *pieces, low, high float64) (s, peak float64) {
	falling, peakLow, slopeLow := p.at(low)
	growing, peakHigh, slopeHigh := p.at(high)
	if slopeLow >= 0 {
		return low, peakLow
	}
	if slopeHigh <= 0 {
		return high, peakHigh
	}
	at, width, stale := high, high-low, 0 // p is at this point
	for range 250 {
		fall, fallSlope := p.of(falling)
		grow, growSlope := p.of(growing)
		var next float64
		if falling != growing {
			next = at - (fall-grow)/(fallSlope-growSlope)
		} else {
			next = low - slopeLow*(high-low)/(slopeHigh-slopeLow)
		}
		if stale >= 3 || !(next > low && next < high) {
			next, stale = low+float64((high-low)/2), 0
		}
		at = next
		active, peak, slope := p.at(at)
		fall, fallSlope = p.of(falling)
		grow, growSlope = p.of(growing)
		// Where the falling and the growing piece meet on top, no step either way
		// goes down: that is the minimum, whatever the width of the bracket. A small
		// step alone proves nothing.
		const level = 1e-11
		if falling != growing && fallSlope <= 0 && growSlope >= 0 && peak-fall <= level*peak && peak-grow <= level*peak {
			return at, peak
		}
		// Nor does one where the slope left could not take more off over the whole
		// bracket.
		if math.Abs(slope)*(high-low) <= 1e-12*peak {
			return at, peak
		}
		switch {
		case slope < 0:
			low, peakLow, slopeLow, falling = at, peak, slope, active
		case slope > 0:
			high, peakHigh, slopeHigh, growing = at, peak, slope, active
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
