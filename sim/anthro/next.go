package anthro

import (
	"cmp"
	"fmt"
	"slices"

	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/names"

	"gonum.org/v1/gonum/mat"
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
	r, err := p.NewRanking(people)
	if err != nil {
		return nil, err
	}
	return r.WhatNext(answer, besides...)
}

// Ranking is what WhatNext needs to know of drawn people, whatever the answer. It is
// not changed once made, and may be shared between goroutines.
type Ranking struct {
	rows      int
	open      []Measurement
	scan      []int       // columns of the residuals, if they are open
	variables [][]float64 // the open scores and the residuals, less their means
	joint     *mat.SymDense
}

// NewRanking prepares to rank by draws of the person.
func (p *Person) NewRanking(people *People) (*Ranking, error) {
	r := &Ranking{rows: people.Rows()}
	if few := 2 * numColumns; r.rows < few {
		return nil, fmt.Errorf("%d draws of a person are too few to rank measurements, must be %d or more", r.rows, few)
	}
	for m := range NumMeasurements {
		if p.exact[m] {
			continue
		}
		scores := names.Each(people.Value[m], p.Population.marginals[m].Score)
		r.open, r.variables = append(r.open, m), append(r.variables, centred(scores))
	}
	if p.regional.way == drawnMasses {
		for _, residual := range people.Residual {
			r.scan, r.variables = append(r.scan, len(r.variables)), append(r.variables, centred(residual))
		}
	}
	// Its last row is room for an answer.
	r.joint = mat.NewSymDense(len(r.variables)+1, nil)
	for i, a := range r.variables {
		for j, b := range r.variables[:i+1] {
			r.joint.SetSym(i, j, r.covariance(a, b))
		}
	}
	return r, nil
}

// centred returns a column less its mean.
func centred(column []float64) []float64 {
	mean, less := linear.Sum(column)/float64(len(column)), make([]float64, len(column))
	for i, x := range column {
		less[i] = x - mean
	}
	return less
}

// covariance returns that of two centred columns.
func (r *Ranking) covariance(a, b []float64) float64 { return linear.Dot(a, b) / float64(r.rows-1) }

// WhatNext is Person.WhatNext for the people of the ranking.
func (r *Ranking) WhatNext(answer []float64, besides ...Measurement) ([]Gain, error) {
	if len(answer) != r.rows {
		panic("anthro: columns of different length")
	}
	for i, a := range answer {
		if math.IsNaN(a) || math.IsInf(a, 0) {
			return nil, fmt.Errorf("the answer of person %d is %g, must be finite", i, a)
		}
	}
	joint, last, less := mat.NewSymDense(len(r.variables)+1, nil), len(r.variables), centred(answer)
	joint.CopySym(r.joint)
	for k, column := range r.variables {
		joint.SetSym(last, k, r.covariance(less, column))
	}
	joint.SetSym(last, last, r.covariance(less, less))

	var learned []int
	for _, m := range besides {
		if k := slices.Index(r.open, m); k >= 0 && !slices.Contains(learned, k) {
			learned = append(learned, k)
		}
	}
	sorted := slices.Sorted(slices.Values(answer))
	width := linear.Quantile(0.95, sorted) - linear.Quantile(0.05, sorted)
	gain := func(g Gain, more ...int) Gain {
		g.Explained = explained(joint, append(slices.Clone(learned), more...), r.rows)
		g.Width = width * math.Sqrt(1-g.Explained)
		return g
	}
	var gains []Gain
	for k, m := range r.open {
		if !slices.Contains(learned, k) {
			gains = append(gains, gain(Gain{Measure: m}, k))
		}
	}
	if len(r.scan) > 0 {
		gains = append(gains, gain(Gain{Scan: true}, r.scan...))
	}
	slices.SortStableFunc(gains, func(a, b Gain) int { return cmp.Compare(b.Explained, a.Explained) })
	return gains, nil
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
