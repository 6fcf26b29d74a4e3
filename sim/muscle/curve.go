package muscle

import "counterpoise/sim/math"

// MaxAngles is how many angles a Curve can have.
const MaxAngles = 8

// Curve is the strength of a group at angles of its joint, as factors of that at a
// reference angle. Between two angles it lies on a straight line; beyond the outermost
// it stays as there for Reach, and is not known farther away. A curve of no angle is
// known nowhere. It holds no pointers, so that one is made for every draw.
type Curve struct {
	N             int
	Angle, Factor [MaxAngles]float64 // the first N of each; rad, in growing order
	Reach         float64            // rad
}

// Flat is the curve of a strength that is the same at every angle.
var Flat = Curve{N: 1, Factor: [MaxAngles]float64{1}, Reach: math.Inf(1)}

// Add appends an angle, rad, beyond the last one.
func (c *Curve) Add(angle, factor float64) {
	c.Angle[c.N], c.Factor[c.N] = angle, factor
	c.N++
}

// Knows reports whether the strength at an angle, rad, is known.
func (c *Curve) Knows(angle float64) bool {
	const rounding = 1e-9
	return c.N > 0 && angle >= c.Angle[0]-c.Reach-rounding && angle <= c.Angle[c.N-1]+c.Reach+rounding
}

// At returns the factor at an angle, rad. Where the strength is not known it is that
// of the nearest angle.
func (c *Curve) At(angle float64) float64 {
	if c.N == 0 || math.IsNaN(angle) {
		return math.NaN()
	}
	last := c.N - 1
	switch {
	case angle <= c.Angle[0]:
		return c.Factor[0]
	case angle >= c.Angle[last]:
		return c.Factor[last]
	}
	i := 1
	for c.Angle[i] < angle {
		i++
	}
	t := (angle - c.Angle[i-1]) / (c.Angle[i] - c.Angle[i-1])
	return c.Factor[i-1] + float64(t*(c.Factor[i]-c.Factor[i-1]))
}
