package linear

import (
	"math"
	"testing"
)

// The middle is that in rank of what counts, ties in the middle of their ranks; what is told in no
// draw counts for nothing.
func TestMiddleOf(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		columns []Ranked
		want    int
	}{
		{[]Ranked{{[]float64{5, 1, 3}, 1, nan}}, 2},
		{[]Ranked{{[]float64{7, 7, 7, 7, 7}, 6, 9}, {[]float64{9, 8, 3, 5, 4}, 1, nan}}, 3},               // all alike say nothing
		{[]Ranked{{[]float64{nan, nan, nan}, 6, 2}, {[]float64{2, 1, 3}, 1, nan}}, 0},                     // nor what is no number
		{[]Ranked{{[]float64{1, 2, 3, 4, math.Inf(1)}, 1, nan}, {[]float64{3, 1, 0, 5, 4}, 0.1, nan}}, 2}, // the heavier decides
		{[]Ranked{{[]float64{5, 1, 3}, 1, 4.9}, {[]float64{2, 4, 3}, 0.1, nan}}, 2},                       // between two of them, the other column tells
		{[]Ranked{{[]float64{5, 1, 3}, 1, 5}, {[]float64{2, 4, 3}, 0.1, nan}}, 0},                         // as one of them
		{[]Ranked{{[]float64{5, 1, 3}, 1, math.Inf(-1)}}, 1},
	} {
		if got := MiddleOf(c.columns...); got != c.want {
			t.Errorf("%v: %d, want %d", c.columns, got, c.want)
		}
	}
}
