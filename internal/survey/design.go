package survey

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// designFit is a linear fit to a survey's sample.
type designFit struct {
	coefficients []float64
	covariance   *mat.Dense // of the coefficients, by the design
	residuals    []float64
	spread       float64 // standard deviation of the residuals
	freedom      int     // sampling units less strata
}

// error returns the standard error of coefficient k.
func (f *designFit) error(k int) float64 { return math.Sqrt(f.covariance.At(k, k)) }

// fitDesign fits y to the columns of x, one row a person, by least squares with
// the survey's weights. The covariance of the coefficients b is that of the
// design by Taylor linearisation (Binder 1983, Int Stat Rev 51:279-292): with
// A = Σ w·x·xᵀ and the scores w·x·e added up within each sampling unit,
//
//	cov(b) = A⁻¹ · Σ over strata of m/(m−1)·Σ over units of (z−z̄)(z−z̄)ᵀ · A⁻¹
//
// m being the units of the stratum. It counts people of one unit as alike, which
// weights alone would not.
func fitDesign(x *mat.Dense, y, weights, strata, units []float64) (*designFit, error) {
	n, p := x.Dims()
	b, e, err := leastSquares(x, mat.NewDense(n, 1, y), weights)
	if err != nil {
		return nil, err
	}
	fit := &designFit{coefficients: make([]float64, p), residuals: make([]float64, n)}
	for k := range p {
		fit.coefficients[k] = b.At(k, 0)
	}
	a := mat.NewSymDense(p, nil)
	type place struct{ stratum, unit float64 }
	scores := map[place]*mat.VecDense{}
	var order []place // of first appearance: maps have none
	total, squares := 0.0, 0.0
	for i := range n {
		row, w := x.RowView(i), weights[i]
		fit.residuals[i] = e.At(i, 0)
		total += w
		squares += w * fit.residuals[i] * fit.residuals[i]
		a.SymRankOne(a, w, row)
		at := place{strata[i], units[i]}
		if scores[at] == nil {
			scores[at] = mat.NewVecDense(p, nil)
			order = append(order, at)
		}
		scores[at].AddScaledVec(scores[at], w*fit.residuals[i], row)
	}
	fit.spread = math.Sqrt(squares / total * float64(n) / float64(n-p))
	byStratum := map[float64][]*mat.VecDense{}
	var strataOrder []float64
	for _, at := range order {
		if byStratum[at.stratum] == nil {
			strataOrder = append(strataOrder, at.stratum)
		}
		byStratum[at.stratum] = append(byStratum[at.stratum], scores[at])
	}
	middle := mat.NewSymDense(p, nil)
	for _, s := range strataOrder {
		list := byStratum[s]
		m := len(list)
		if m < 2 {
			return nil, fmt.Errorf("stratum %.0f of the sample has a single sampling unit", s)
		}
		mean, d := mat.NewVecDense(p, nil), mat.NewVecDense(p, nil)
		for _, z := range list {
			mean.AddScaledVec(mean, 1/float64(m), z)
		}
		for _, z := range list {
			d.SubVec(z, mean)
			middle.SymRankOne(middle, float64(m)/float64(m-1), d)
		}
	}
	fit.freedom = len(order) - len(strataOrder)
	var inverse, half mat.Dense
	if err := inverse.Inverse(a); err != nil {
		return nil, err
	}
	half.Mul(&inverse, middle)
	fit.covariance = mat.NewDense(p, p, nil)
	fit.covariance.Mul(&half, &inverse)
	return fit, nil
}

// naturalSpline fills row with a basis of the natural cubic splines over the
// knots, the constant left out: x and, for each inner knot, a curve that is a
// straight line beyond the outer knots (Hastie, Tibshirani and Friedman 2009,
// The Elements of Statistical Learning, equations 5.4 and 5.5). It needs
// len(knots)−1 elements.
func naturalSpline(row []float64, x float64, knots []float64) {
	last := len(knots) - 1
	cube := func(t float64) float64 { t = max(t, 0); return t * t * t }
	d := func(k int) float64 {
		return (cube(x-knots[k]) - cube(x-knots[last])) / (knots[last] - knots[k])
	}
	row[0] = x
	for k := range last - 1 {
		row[k+1] = d(k) - d(last-1)
	}
}
