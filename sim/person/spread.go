package person

import (
	"slices"

	"counterpoise/sim/linear"
	"counterpoise/sim/math"
)

// The ends of a spread.
const (
	lowShare  = 0.05
	highShare = 0.95
)

// spreadOf returns the spread of values, whose order it changes; all 0 without
// any.
func spreadOf(values []float64) Spread {
	if len(values) == 0 {
		return Spread{}
	}
	return Spread{Median: quantile(values, 0.5), Low: quantile(values, lowShare), High: quantile(values, highShare)}
}

// times returns the spread in another unit.
func (s Spread) times(factor float64) Spread {
	return Spread{s.Median * factor, s.Low * factor, s.High * factor}
}

// quantile interpolates between the order statistics and changes the order of the
// values, none of which may be NaN. Equal values give exactly that value, and
// infinite ones no NaN.
func quantile(values []float64, share float64) float64 {
	at := float64(share * float64(len(values)-1))
	k := int(at)
	below := smallest(values, k)
	if k+1 == len(values) || at == float64(k) {
		return below
	}
	above := slices.Min(values[k+1:])
	if above == below {
		return below
	}
	return below + float64((at-float64(k))*(above-below))
}

// smallest returns the value that is k-th from below, counted from 0, and moves
// it to its place: smaller ones stand before it, larger ones after it (Hoare
// 1961, "Algorithm 65: Find"). Sorting takes five times as long.
func smallest(values []float64, k int) float64 {
	for low, high := 0, len(values)-1; low < high; {
		pivot := values[low+(high-low)/2]
		i, j := low, high
		for i <= j {
			for values[i] < pivot {
				i++
			}
			for values[j] > pivot {
				j--
			}
			if i <= j {
				values[i], values[j] = values[j], values[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			high = j
		case k >= i:
			low = i
		default:
			return values[k]
		}
	}
	return values[k]
}

// shareBelow returns the share of values below x; equal ones count half.
func shareBelow(values []float64, x float64) float64 {
	sum := 0.0
	for _, v := range values {
		switch {
		case v < x:
			sum++
		case v == x:
			sum += 0.5
		}
	}
	return sum / float64(len(values))
}

// components splits the variance of values that come in groups into what is
// within the groups and what is between them (one-way analysis of variance,
// random effects), as shares that add up to 1; both are 0 where nothing varies.
// group is the group of each value, in increasing order.
func components(values []float64, group []int) (within, between float64) {
	if len(values) == 0 || slices.Min(values) == slices.Max(values) {
		return 0, 0
	}
	n := float64(len(values))
	mean := linear.Sum(values) / n
	var squaresWithin, squaresBetween, groups, sizes float64
	for from := 0; from < len(values); {
		to := from
		sum := 0.0
		for to < len(values) && group[to] == group[from] {
			sum += values[to]
			to++
		}
		size := float64(to - from)
		own := sum / size
		for _, v := range values[from:to] {
			squaresWithin += float64((v - own) * (v - own))
		}
		squaresBetween += float64(size * (own - mean) * (own - mean))
		groups++
		sizes += float64(size * size)
		from = to
	}
	if groups == 1 {
		return 1, 0
	}
	if groups == n {
		return 0, 1
	}
	meanWithin := squaresWithin / (n - groups)
	typical := (n - sizes/n) / (groups - 1)
	varianceBetween := max(0, (squaresBetween/(groups-1)-meanWithin)/typical)
	total := meanWithin + varianceBetween
	if !(total > 0) || math.IsInf(total, 0) {
		return 0, 0
	}
	return meanWithin / total, varianceBetween / total
}
