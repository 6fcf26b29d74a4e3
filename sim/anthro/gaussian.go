package anthro

import (
	"counterpoise/sim/math"

	"gonum.org/v1/gonum/mat"
)

// gaussian is a multivariate normal distribution that narrows with every
// observation.
type gaussian struct {
	mean       []float64
	covariance *mat.SymDense
}

// newGaussian returns a distribution with mean 0. It copies the covariance.
func newGaussian(covariance *mat.SymDense) *gaussian {
	n := covariance.SymmetricDim()
	g := &gaussian{mean: make([]float64, n), covariance: mat.NewSymDense(n, nil)}
	g.covariance.CopySym(covariance)
	return g
}

// observe conditions on variable k having been read as value, with an
// independent error of the given variance, and returns the square of how many
// standard deviations the reading lies from what was expected of it. The sum of
// what it returns over a number of observations is their squared Mahalanobis
// distance, whatever their order.
//
// A reading without error leaves variable k with exactly that mean and
// variances of exactly 0; one with an infinite variance tells nothing, nor does
// one without error of what is known already.
func (g *gaussian) observe(k int, value, variance float64) float64 {
	own := g.covariance.At(k, k)
	total := own + variance
	if total <= 0 || math.IsInf(total, 0) {
		return 0 // but NaN goes on, to be seen
	}
	miss := value - g.mean[k]
	for i := range g.mean {
		if i == k {
			continue
		}
		gain := g.covariance.At(i, k) / total
		g.mean[i] += float64(gain * miss)
		for j := range i + 1 {
			if j != k {
				g.covariance.SetSym(i, j, g.covariance.At(i, j)-float64(gain*g.covariance.At(j, k)))
			}
		}
	}
	// What is left of a covariance c with k is c - c·own/total, here without the
	// cancellation.
	kept := variance / total
	for i := range g.mean {
		g.covariance.SetSym(i, k, g.covariance.At(i, k)*kept)
	}
	if variance == 0 {
		g.mean[k] = value
	} else {
		g.mean[k] += float64(own / total * miss)
	}
	return miss * miss / total
}

// smallestPivot is the variance, of scores whose variance in the population is
// 1, below which a score counts as known: rounding in covariances near 1 leaves
// about 1e-16, and 1e-14 is a tenth of a micrometre of stature at most.
const smallestPivot = 1e-14

// factor fills dst, row by row, with a lower triangle whose product with its own
// transpose is the covariance (Cholesky's factor). What is known already has a
// row and a column of exactly 0.
func (g *gaussian) factor(dst *[NumVariables][NumVariables]float64) {
	*dst = [NumVariables][NumVariables]float64{}
	for j := range g.mean {
		pivot := g.covariance.At(j, j)
		for k := range j {
			pivot -= float64(dst[j][k] * dst[j][k])
		}
		if !(pivot > smallestPivot) {
			continue
		}
		dst[j][j] = math.Sqrt(pivot)
		for i := j + 1; i < len(g.mean); i++ {
			sum := g.covariance.At(i, j)
			for k := range j {
				sum -= float64(dst[i][k] * dst[j][k])
			}
			dst[i][j] = sum / dst[j][j]
		}
	}
}
