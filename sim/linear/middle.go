package linear

import (
	"cmp"
	"slices"

	"counterpoise/sim/math"
)

// Ranked is a number of every one of several things, which are ranked by it.
type Ranked struct {
	values         []float64
	counts, middle float64
}

// Rank ranks things by values, of which one is their middle (not a number: that of the values
// themselves), and which count so much beside others.
func Rank(values []float64, counts, middle float64) Ranked { return Ranked{values, counts, middle} }

// middleRank is where the middle lies among the ranks.
func (c Ranked) middleRank() float64 {
	twice := len(c.values)
	if !math.IsNaN(c.middle) {
		twice = 0
		for _, v := range c.values {
			twice += cmp.Compare(c.middle, v) + 1
		}
	}
	return float64(twice-1) / 2
}

// MiddleOf is the one of several things that is nearest to the middle of several columns, in
// rank. What is not told of each of them, and is no number, does not count.
func MiddleOf(columns ...Ranked) int {
	off := make([]float64, len(columns[0].values)) // from the middle ranks, squared
	for _, c := range columns {
		if slices.ContainsFunc(c.values, math.IsNaN) {
			continue
		}
		middle := c.middleRank()
		for k, rank := range Ranks(c.values) {
			d := rank - middle
			off[k] += float64(c.counts * d * d)
		}
	}
	return MinIdx(off)
}
