package anthro

import (
	"counterpoise/sim/math"
)

// Kinds is two kinds of people whose proportions differ, mixed in a population: a share
// of the people has normal scores that lie higher by Shift, measurement by measurement,
// than those of the rest; within a kind all is as in the other. Scores are those of the
// two together, with a mean of 0 and a variance of 1. The zero value is people of one
// kind.
type Kinds struct {
	Share float64 // of the second kind
	Shift [NumVariables]float64
}

// of returns the mean of a kind's scores, 0 or 1, and the standard deviation within.
func (k *Kinds) of(m Measurement) (means [2]float64, within float64) {
	d := k.Shift[m]
	return [2]float64{-k.Share * d, (1 - k.Share) * d}, math.Sqrt(1 - float64(k.Share*(1-k.Share)*d*d))
}

// Density returns the probability density of a measurement's scores.
func (k *Kinds) Density(m Measurement, score float64) float64 {
	means, within := k.of(m)
	return (float64((1-k.Share)*math.NormalDensity((score-means[0])/within)) + float64(k.Share*math.NormalDensity((score-means[1])/within))) / within
}

// Score returns the score below which a share of the people lies.
func (k *Kinds) Score(m Measurement, share float64) float64 {
	means, within := k.of(m)
	return mixedQuantile(k.Share, means, within, share)
}

// mixedQuantile returns the quantile of a mixture of two normal distributions of one
// standard deviation, of which the second has the given part.
func mixedQuantile(part float64, means [2]float64, spread, share float64) float64 {
	z := math.NormalQuantile(share)
	if part == 0 || means[0] == means[1] || math.IsInf(z, 0) {
		return means[0] + float64(spread*z)
	}
	// It lies between those of the two, and the distribution function is steep there or
	// nowhere: Newton's method, held in by bisection.
	low, high := min(means[0], means[1])+float64(spread*z), max(means[0], means[1])+float64(spread*z)
	x := float64((1-part)*means[0]) + float64(part*means[1]) + float64(spread*z)
	for range 100 {
		miss := mixedBelow(part, means, spread, x) - share
		if miss > 0 {
			high = x
		} else {
			low = x
		}
		slope := (float64((1-part)*math.NormalDensity((x-means[0])/spread)) + float64(part*math.NormalDensity((x-means[1])/spread))) / spread
		next := x - miss/slope
		if !(next > low && next < high) {
			next = low + float64((high-low)/2)
		}
		if math.Abs(next-x) <= 1e-13*max(1, math.Abs(x)) {
			return next
		}
		x = next
	}
	return x
}

// mixedBelow is the distribution function of that mixture.
func mixedBelow(part float64, means [2]float64, spread, x float64) float64 {
	return float64((1-part)*math.NormalShare((x-means[0])/spread)) + float64(part*math.NormalShare((x-means[1])/spread))
}

// pick turns a column of uniform numbers into one that, times the shift, is what a
// person's score has over the mean of all: whoever is of the second kind has a number
// below its share.
func (k *Kinds) pick(column []float64) {
	for i, u := range column {
		column[i] = -k.Share
		if u < k.Share {
			column[i] = 1 - k.Share
		}
	}
}
