// Package linear is arithmetic on columns of numbers and small matrices, with the same bits on
// every processor: sums run from the first to the last, and no product is fused with a sum.
// Columns that are combined must have one length.
package linear

import (
	"cmp"
	"slices"

	"counterpoise/sim/math"
)

// Sum is the sum of a column.
func Sum(x []float64) (sum float64) {
	for _, v := range x {
		sum += v
	}
	return sum
}

// Dot is the sum of the products of two columns.
func Dot(x, y []float64) (sum float64) {
	y = y[:len(x)]
	for i, v := range x {
		sum += float64(v * y[i])
	}
	return sum
}

// Add adds x to dst.
func Add(dst, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] += x[i]
	}
}

// Sub subtracts x from dst.
func Sub(dst, x []float64) {
	x = x[:len(dst)]
	for i := range dst {
		dst[i] -= x[i]
	}
}

// SubTo makes dst what x is more than y.
func SubTo(dst, x, y []float64) {
	x, y = x[:len(dst)], y[:len(dst)]
	for i := range dst {
		dst[i] = x[i] - y[i]
	}
}

// MinIdx is the place of the first of the least values.
func MinIdx(x []float64) int {
	return slices.Index(x, slices.Min(x))
}

// Mean is the mean of a column.
func Mean(x []float64) float64 { return Sum(x) / float64(len(x)) }

// MeanStdDev is the mean and the standard deviation of the population that a column is a sample
// of.
func MeanStdDev(x []float64) (mean, deviation float64) {
	mean = Mean(x)
	return mean, math.Sqrt(products(x, x, mean, mean) / float64(len(x)-1))
}

// StdDev is the standard deviation of the population that a column is a sample of.
func StdDev(x []float64) float64 {
	_, deviation := MeanStdDev(x)
	return deviation
}

// PopVariance is the variance of the column itself.
func PopVariance(x []float64) float64 {
	mean := Mean(x)
	return products(x, x, mean, mean) / float64(len(x))
}

// Covariance is that of the population that two columns are a sample of.
func Covariance(x, y []float64) float64 {
	return products(x, y, Mean(x), Mean(y)) / float64(len(x)-1)
}

// Correlation is the coefficient of correlation of two columns.
func Correlation(x, y []float64) float64 {
	mx, my := Mean(x), Mean(y)
	return products(x, y, mx, my) / math.Sqrt(products(x, x, mx, mx)*products(y, y, my, my))
}

// Order returns the places of the values from the least to the greatest, equal ones in their order.
func Order(values []float64) []int {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	return order
}

// Ranks returns the rank of every value, ties sharing their mean rank.
func Ranks(values []float64) []float64 {
	order := Order(values)
	ranked := make([]float64, len(values))
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && values[order[to]] == values[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			ranked[i] = float64(from+to-1) / 2
		}
		from = to
	}
	return ranked
}

// products is the sum of the products of what two columns are more than their means, less
// what rounding of the means adds to it (Chan, Golub and LeVeque 1983, the corrected
// two-pass algorithm).
func products(x, y []float64, mx, my float64) float64 {
	var sum, restX, restY float64
	for i, v := range x {
		dx, dy := v-mx, y[i]-my
		sum += float64(dx * dy)
		restX += dx
		restY += dy
	}
	return sum - restX*restY/float64(len(x))
}

// Quantile is the value below which a share of a sorted column lies, between its values by
// straight lines; NaN of a column with a NaN, which sorts first.
func Quantile(share float64, sorted []float64) float64 {
	if math.IsNaN(sorted[0]) {
		return sorted[0]
	}
	at := float64(share * float64(len(sorted)))
	i := int(max(math.Ceil(at)-1, 0))
	if i == 0 {
		return sorted[0]
	}
	t := float64(i+1) - at
	return float64(t*sorted[i-1]) + float64((1-t)*sorted[i])
}
