package montecarlo_test

import (
	"slices"
	"testing"

	"counterpoise/sim/montecarlo"
)

func TestValuesOfSeveralMerged(t *testing.T) {
	even := montecarlo.MergeWeighted(nil, 1000, []montecarlo.Weighted{{Values: []float64{1, 4}, Weight: 1}, {Values: []float64{3}, Weight: 3}, {Values: []float64{2}, Weight: 5}})
	count := map[float64]int{}
	for _, v := range even {
		count[v]++
	}
	if !slices.IsSorted(even) || len(even) != 1000 || count[1] != 100 || count[2] != 500 || count[3] != 300 || count[4] != 100 {
		t.Errorf("of 1000 %v", count)
	}
	if got := montecarlo.MergeWeighted(nil, 1000, make([]montecarlo.Weighted, 2)); got != nil {
		t.Errorf("nobody is %v", got)
	}
}
