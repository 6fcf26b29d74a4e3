package anthro

import (
	"errors"

	"counterpoise/sim/math"
)

// Marginal is the distribution of one measurement, as the smooth increasing
// function that turns a standard normal score into a value. Between knots at
// equally spaced scores it is a cubic with a continuous first derivative that
// keeps the knots' order (Fritsch and Carlson 1980, SIAM J Numer Anal 17:238).
// Beyond the outer knots it goes on as a straight line at the outer knot's own
// slope: the tails are those of a normal distribution.
type Marginal struct {
	first, step, perStep float64
	knots                []float64
	// cells[k] has the coefficients of 1, u, u², u³ between knots k-1 and k, with
	// u the share of the way. The first and last cells are the straight tails, so
	// that the tails cost no branch.
	cells [][4]float64
}

// NewMarginal returns the marginal that takes the given values at the scores
// first, first+step, first+2·step and so on. There must be at least three
// values, finite and strictly increasing, and step must be positive.
func NewMarginal(first, step float64, values []float64) (*Marginal, error) {
	if len(values) < 3 {
		return nil, errors.New("a marginal needs at least three knots")
	}
	if !(step > 0) || math.IsInf(step, 0) || math.IsNaN(first) || math.IsInf(first, 0) {
		return nil, errors.New("a marginal needs finite scores with a positive step")
	}
	for i, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, errors.New("a knot of a marginal is not a finite number")
		}
		if i > 0 && v <= values[i-1] {
			return nil, errors.New("the knots of a marginal must increase")
		}
	}
	m := &Marginal{first: first, step: step, perStep: 1 / step, knots: append([]float64(nil), values...)}
	slopes := monotoneSlopes(values)
	last := len(values) - 1
	m.cells = make([][4]float64, len(values)+1)
	// The lower tail is written from one step before the first knot, as a cell
	// that holds for any u up to 1.
	m.cells[0] = [4]float64{values[0] - slopes[0], slopes[0]}
	for k := range last {
		rise := values[k+1] - values[k]
		m.cells[k+1] = [4]float64{
			values[k],
			slopes[k],
			float64(3*rise) - float64(2*slopes[k]) - slopes[k+1],
			slopes[k] + slopes[k+1] - float64(2*rise),
		}
	}
	m.cells[last+1] = [4]float64{values[last], slopes[last]}
	return m, nil
}

// monotoneSlopes returns the derivative at each knot, per step: that of the
// parabola through the knot and its two neighbours, held to at most three times
// either neighbouring rise. A cubic between increasing knots is monotone when
// both its end slopes are positive and within three times its rise (Fritsch and
// Carlson 1980, the square inside their region).
func monotoneSlopes(values []float64) []float64 {
	last := len(values) - 1
	slopes := make([]float64, len(values))
	for i := 1; i < last; i++ {
		before, after := values[i]-values[i-1], values[i+1]-values[i]
		slopes[i] = min((before+after)/2, 3*before, 3*after)
	}
	// At an end the parabola may fall; a tenth of the rise keeps the tail going.
	end := func(near, far float64) float64 { return min(max((float64(3*near)-far)/2, near/10), 3*near) }
	slopes[0] = end(values[1]-values[0], values[2]-values[1])
	slopes[last] = end(values[last]-values[last-1], values[last-1]-values[last-2])
	return slopes
}

// Value returns the value at a standard normal score. It is NaN for a score that
// is NaN or infinite.
func (m *Marginal) Value(score float64) float64 {
	value := [1]float64{score}
	m.Values(value[:], value[:])
	return value[0]
}

// Values fills dst with the values at the scores, element by element; dst and
// scores have the same length and may be the same slice.
func (m *Marginal) Values(dst, scores []float64) {
	if len(dst) != len(scores) {
		panic("anthro: columns of different length")
	}
	cells := m.cells
	for i, score := range scores {
		t := float64((score-m.first)*m.perStep) + 1
		// Rounding towards zero puts what lies less than a step below the lower
		// tail's cell into that cell, where it belongs. What is no cell's number
		// lies far out in a tail, or is no number.
		k := int(t)
		if uint(k) >= uint(len(cells)) {
			k = m.tail(t)
		}
		c := &cells[k]
		u := t - float64(k)
		dst[i] = c[0] + float64(u*(c[1]+float64(u*(c[2]+float64(u*c[3])))))
	}
}

// tail returns the number of the cell of a place in steps that lies outside all
// cells. For NaN it may be any: the value is NaN in all of them.
func (m *Marginal) tail(t float64) int {
	if t > 0 {
		return len(m.cells) - 1
	}
	return 0
}

// Score returns the standard normal score of a value, the inverse of Value, to
// about 1e-12. It is NaN for a value that is NaN.
func (m *Marginal) Score(value float64) float64 {
	if math.IsNaN(value) {
		return math.NaN()
	}
	// The number of knots not above value is the number of its cell.
	k, beyond := 0, len(m.knots)
	for k < beyond {
		if middle := (k + beyond) / 2; m.knots[middle] > value {
			beyond = middle
		} else {
			k = middle + 1
		}
	}
	c := &m.cells[k]
	at := func(u float64) float64 { return m.first + float64((float64(k-1)+u)*m.step) }
	if k == 0 || k == len(m.knots) {
		return at((value - c[0]) / c[1])
	}
	// Newton's method, held inside the bracket by bisection: the cell's cubic is
	// monotone but may be flat.
	// A step of Newton's this small leaves an error of the order of its square.
	const last = 1e-9
	low, high := 0.0, 1.0
	u := (value - c[0]) / (m.knots[k] - m.knots[k-1])
	for range 100 {
		miss := c[0] + float64(u*(c[1]+float64(u*(c[2]+float64(u*c[3]))))) - value
		if miss > 0 {
			high = u
		} else {
			low = u
		}
		next := u - miss/(c[1]+float64(u*(float64(2*c[2])+float64(u*3*c[3]))))
		enough := last
		if !(next > low && next < high) {
			next, enough = low+float64((high-low)/2), 1e-15
		}
		if math.Abs(next-u) < enough {
			u = next
			break
		}
		u = next
	}
	return at(u)
}
