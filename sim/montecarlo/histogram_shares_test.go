package montecarlo

import (
	"math"
	"testing"
)

func TestSharesCountByHand(t *testing.T) {
	var h Histogram
	for _, x := range []float64{-0.7, -0.31, 0, 0.12, 0.13, 0.9, 5, math.Inf(1), math.Inf(-1), -3} {
		h.Add(x)
	}
	got := h.Shares(-1, 1, 4)
	want := []float64{0.1, 0.1, 0.3, 0.1} // -0.7 | -0.31 | 0, 0.12, 0.13 | 0.9, of ten values
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("bin %d holds %g, want %g", i, got[i], want[i])
		}
	}
}
