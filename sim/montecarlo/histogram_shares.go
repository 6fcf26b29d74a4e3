package montecarlo

import "counterpoise/sim/math"

// Shares returns how the values spread over equal bins from low to high: the
// share of all Count values in each. Values outside are in no bin; one on the
// edge of two belongs to the upper, one at high to the last. A value lies where
// the middle of its own fine bin lies, so it may be counted one bin off where it
// is within HistogramError of an edge.
//
// Shares panics if low is not below high or bins is not positive.
func (h *Histogram) Shares(low, high float64, bins int) []float64 {
	if !(low < high) || bins < 1 {
		panic("montecarlo: shares need low < high and at least one bin")
	}
	counts := make([]int64, bins)
	put := func(x float64, n int64) {
		x = min(max(x, h.min), h.max)
		if n > 0 && x >= low && x <= high {
			counts[min(int((x-low)/(high-low)*float64(bins)), bins-1)] += n
		}
	}
	put(0, h.zeros)
	for key, slot := range h.slots {
		if slot == 0 {
			continue
		}
		sign := 1.0
		if key&signBit != 0 {
			sign = -1
		}
		for bin, n := range h.chunks[slot-1] {
			if n > 0 {
				bits := uint64(key&^signBit)<<fractionBits | uint64(bin)<<(fractionBits-binBits) | 1<<(fractionBits-binBits-1)
				put(sign*math.Float64frombits(bits), n)
			}
		}
	}
	shares := make([]float64, bins)
	for i, n := range counts {
		shares[i] = float64(n) / float64(h.Count())
	}
	return shares
}
