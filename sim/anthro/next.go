package anthro

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Gain is what one more measurement would tell of a computed answer.
type Gain struct {
	Measure Measurement // of no meaning where Scan is true
	Scan    bool        // a body-composition scan's regional masses, all together
	// Explained is the share of the answer's variance that would be gone: the
	// squared multiple correlation of the answer with the scores learned.
	Explained float64
	// Width is the 5-95 % range that would be left of the answer, in its unit:
	// today's, shrunk as the standard deviation would shrink.
	Width float64
}

// String names what would be measured.
func (g Gain) String() string {
	if g.Scan {
		return "scan"
	}
	return g.Measure.String()
}

// WhatNext ranks everything that is not known of the person by how much it would
// narrow an answer, most first. people are draws of the person and answer holds
// what was computed for each, finite. What has been decided on already may be
// named in besides; each gain is then that of the measurement together with
// these, so that measurements that tell the same do not crowd the ranking.
//
// It is linear regression of the answer on normal scores: exact for an answer
// that is a linear function of them, which is close for a narrow person. Chance
// correlations are allowed for by the adjusted R². A measurement known with an
// error counts as not known; the gain is that of knowing it exactly. A few
// thousand draws do: n leave a share a standard error of 0.8/√n at most.
func (p *Person) WhatNext(people *People, answer []float64, besides ...Measurement) ([]Gain, error) {
	rows := people.Rows()
	if len(answer) != rows {
		panic("anthro: columns of different length")
	}
	for i, a := range answer {
		if math.IsNaN(a) || math.IsInf(a, 0) {
			return nil, fmt.Errorf("the answer of person %d is %g, must be finite", i, a)
		}
	}
	if few := 2 * numColumns; rows < few {
		return nil, fmt.Errorf("%d draws of a person are too few to rank measurements, must be %d or more", rows, few)
	}
	// The variables: the open scores, the residuals if they are open, the answer.
	var columns [][]float64
	var open []Measurement
	for m := range NumMeasurements {
		if p.exact[m] {
			continue
		}
		scores := make([]float64, rows)
		for i, v := range people.Value[m] {
			scores[i] = p.Population.marginals[m].Score(v)
		}
		open, columns = append(open, m), append(columns, scores)
	}
	scan := []int{}
	if p.regional.way == drawnMasses {
		for _, residual := range people.Residual {
			scan, columns = append(scan, len(columns)), append(columns, residual)
		}
	}
	columns = append(columns, answer)
	joint := covariances(columns)

	var learned []int
	for _, m := range besides {
		if k := slices.Index(open, m); k >= 0 && !slices.Contains(learned, k) {
			learned = append(learned, k)
		}
	}
	sorted := slices.Clone(answer)
	sort.Float64s(sorted)
	width := stat.Quantile(0.95, stat.LinInterp, sorted, nil) - stat.Quantile(0.05, stat.LinInterp, sorted, nil)
	gain := func(g Gain, more ...int) Gain {
		g.Explained = explained(joint, append(slices.Clone(learned), more...), rows)
		g.Width = width * math.Sqrt(1-g.Explained)
		return g
	}
	var gains []Gain
	for k, m := range open {
		if !slices.Contains(learned, k) {
			gains = append(gains, gain(Gain{Measure: m}, k))
		}
	}
	if len(scan) > 0 {
		gains = append(gains, gain(Gain{Scan: true}, scan...))
	}
	sort.SliceStable(gains, func(i, j int) bool { return gains[i].Explained > gains[j].Explained })
	return gains, nil
}

// covariances returns the covariance matrix of columns.
func covariances(columns [][]float64) *mat.SymDense {
	rows := len(columns[0])
	data := mat.NewDense(rows, len(columns), nil)
	for k, column := range columns {
		data.SetCol(k, column)
	}
	c := mat.NewSymDense(len(columns), nil)
	stat.CovarianceMatrix(c, data, nil)
	return c
}

// explained returns the adjusted squared multiple correlation, not below 0, of
// the last variable with some of the others.
func explained(joint *mat.SymDense, others []int, rows int) float64 {
	last := joint.SymmetricDim() - 1
	before := joint.At(last, last)
	if !(before > 0) {
		return 0
	}
	g := newGaussian(joint)
	for _, k := range others {
		// What follows from those before it, to rounding, tells no more.
		if g.covariance.At(k, k) > 1e-9*joint.At(k, k) {
			g.observe(k, 0, 0)
		}
	}
	left := g.covariance.At(last, last) / before * float64(rows-1) / float64(rows-1-len(others))
	return max(0, min(1, 1-left))
}
