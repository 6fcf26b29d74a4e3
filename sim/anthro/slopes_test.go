package anthro

import (
	"math"
	"testing"
)

// Slopes at knots, by hand: that of the parabola through three knots, at most three times
// the smaller rise beside it; at the ends at least a tenth of the rise and at most three
// times it.
func TestMonotoneSlopes(t *testing.T) {
	for _, c := range []struct{ values, want []float64 }{
		{[]float64{0, 1, 3, 4}, []float64{0.5, 1.5, 1.5, 0.5}},
		{[]float64{0, 4, 4.1, 8}, []float64{5.95, 0.3, 0.3, 5.8}},
		{[]float64{0, 0.1, 5, 9}, []float64{0.01, 0.3, 4.45, 3.55}},
		{[]float64{0, 1, 1.01, 2}, []float64{1.495, 0.03, 0.03, 1.48}},
		{[]float64{0, 3, 4, 4.01}, []float64{4, 2, 0.03, 0.001}},
	} {
		got := monotoneSlopes(c.values)
		for i, want := range c.want {
			if !(math.Abs(got[i]-want) <= 1e-12) {
				t.Errorf("knots %v: slope %v at knot %d, want %v", c.values, got[i], i, want)
			}
		}
	}
}
