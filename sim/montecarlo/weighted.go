package montecarlo

import "counterpoise/sim/math"

// Weighted are values in order, of one weight each.
type Weighted struct {
	Values []float64
	Weight float64
}

// MergeWeighted appends to dst, up to a length of n, as many values of equal weight as tell the
// quantiles of all lists together, in order; none where the lists are empty. It uses the
// lists up.
func MergeWeighted(dst []float64, n int, lists []Weighted) []float64 {
	total, last := 0.0, math.NaN()
	for _, l := range lists {
		total += float64(float64(len(l.Values)) * l.Weight)
	}
	sum := 0.0
	for len(dst) < n {
		var least *Weighted
		for k := range lists {
			if l := &lists[k]; len(l.Values) > 0 && (least == nil || l.Values[0] < least.Values[0]) {
				least = l
			}
		}
		if least != nil {
			last, sum = least.Values[0], sum+least.Weight
			least.Values = least.Values[1:]
		} else if total == 0 {
			return dst
		}
		for len(dst) < n && (least == nil || sum >= (float64(len(dst))+0.5)/float64(n)*total) {
			dst = append(dst, last)
		}
	}
	return dst
}
