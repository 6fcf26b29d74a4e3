package montecarlo

import (
	"errors"
	"slices"

	"counterpoise/sim/math"
)

// Quantile returns the sample quantile of sorted values, as [Histogram.Quantile] does:
// NaN of none, infinite between a finite value and an infinite one. It panics if p is not
// in [0, 1].
func Quantile(sorted []float64, p float64) float64 {
	if !(p >= 0 && p <= 1) {
		panic("montecarlo: quantile of a share outside [0, 1]")
	}
	if len(sorted) == 0 {
		return math.NaN()
	}
	return interpolateRanks(int64(len(sorted)), p, func(rank int64) float64 { return sorted[rank] })
}

// ProbabilityGreater returns the probability that a value drawn from x is
// greater than one drawn from y, equal values counted half: the Mann–Whitney
// statistic over its greatest value, the "measure of stochastic superiority" of
// Vargha and Delaney (2000, Journal of Educational and Behavioral Statistics
// 25:101). An empty group and NaN are errors.
func ProbabilityGreater(x, y []float64) (float64, error) {
	x, y, err := sortedGroups(x, y)
	if err != nil {
		return 0, err
	}
	// For each x the number of smaller and of not greater y, in half pairs.
	var halves int64
	var smaller, notGreater int
	for _, v := range x {
		for smaller < len(y) && y[smaller] < v {
			smaller++
		}
		for notGreater < len(y) && y[notGreater] <= v {
			notGreater++
		}
		halves += int64(smaller + notGreater)
	}
	return float64(halves) / (2 * float64(len(x)) * float64(len(y))), nil
}

// evenKept is how many quantiles stand for a group.
const evenKept = 40

// ProbabilityGreaterBy is ProbabilityGreater where each value of x over each of y is multiplied by
// something that differs from pair to pair: sd is the standard deviation of its logarithm, which is
// normal with mean 0. No value may then be below 0, and 40 even quantiles of either group stand for all.
func ProbabilityGreaterBy(x, y []float64, sd float64) (float64, error) {
	if !(sd > 0) {
		return ProbabilityGreater(x, y)
	}
	x, y, err := sortedGroups(x, y)
	if err != nil {
		return 0, err
	}
	kept := func(sorted []float64) (logs [evenKept]float64) {
		for k := range logs {
			logs[k] = math.Log(Quantile(sorted, (float64(k)+0.5)/evenKept))
		}
		return logs
	}
	sum, of := 0.0, kept(y)
	for _, a := range kept(x) {
		for _, b := range of {
			if d := a - b; math.IsNaN(d) { // both without end, or nothing
				sum += 0.5
			} else {
				sum += math.NormalShare(d / sd)
			}
		}
	}
	return sum / (evenKept * evenKept), nil
}

// sortedGroups returns sorted copies.
func sortedGroups(x, y []float64) (sortedX, sortedY []float64, err error) {
	if len(x) == 0 || len(y) == 0 {
		return nil, nil, errors.New("montecarlo: a group to compare is empty")
	}
	x, y = slices.Clone(x), slices.Clone(y)
	slices.Sort(x) // NaN first
	slices.Sort(y)
	if math.IsNaN(x[0]) || math.IsNaN(y[0]) {
		return nil, nil, errors.New("montecarlo: NaN in a group to compare")
	}
	return x, y, nil
}

// MedianError is the standard error of a median, from the order of the values alone: half
// of what lies between the ranks a standard deviation of a binomial of one half away.
func MedianError(n int64, quantile func(p float64) float64) float64 {
	if n == 0 {
		return math.NaN()
	}
	ranks := min(0.5/math.Sqrt(float64(n)), 0.5)
	return (quantile(0.5+ranks) - quantile(0.5-ranks)) / 2
}
