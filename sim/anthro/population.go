package anthro

import (
	"fmt"
	"math"

	"counterpoise/datasets"

	"gonum.org/v1/gonum/mat"
)

// Columns of independent normals that one person takes: a score for each
// measurement and a residual for each log-ratio of regional masses.
const (
	numResiduals = int(NumRegions) - 1
	numColumns   = int(NumMeasurements) + numResiduals
)

// Population is a model of the people that one survey measured, such people
// reweighted to stated means (see Selection.Reweight), or measured people of one's
// own (see NewSample). It is not changed once loaded, and may be shared between
// goroutines.
type Population struct {
	Name       string
	Title      string
	Sex        Sex
	N          int // people measured
	Provenance datasets.Provenance
	Regional   RegionalModel
	SHA256     string      // of the file, in hexadecimal, for people of one's own; else ""
	Reweighted *Reweighted // nil for people as they were measured

	// Of a survey.
	marginals   [NumMeasurements]*Marginal
	correlation *mat.SymDense
	factor      [NumMeasurements][NumMeasurements]float64 // lower Cholesky factor of correlation
	fitted      *datasets.People

	// Of people who are no survey: the one behind them, and how they differ.
	survey    *Population
	sample    *sample // one of these two
	file      []byte  // of people of one's own
	tilt      *tilt
	quantiles *quantiles
}

// Names returns the embedded populations, sorted.
func Names() []string { return datasets.Names("people") }

// Load returns an embedded population by its name or, where the name has a slash
// or a dot, people of one's own from the file of that path. The error for an
// unknown name lists the names there are.
func Load(name string) (*Population, error) {
	if IsFile(name) {
		return loadSample(name)
	}
	var file datasets.People
	if err := datasets.Read("people", name, &file); err != nil {
		return nil, fmt.Errorf("people: %w", err)
	}
	population, err := NewPopulation(&file)
	if err != nil {
		return nil, fmt.Errorf("people %s: %w", name, err)
	}
	return population, nil
}

// NewPopulation returns the population that a fitted file describes, with the
// embedded model of regional masses.
func NewPopulation(file *datasets.People) (*Population, error) {
	sex, ok := ParseSex(file.Sex)
	if !ok {
		return nil, fmt.Errorf("unknown sex %q", file.Sex)
	}
	n := int(NumMeasurements)
	if len(file.Measurements) != n || len(file.Correlation) != n {
		return nil, fmt.Errorf("%d measurements and %d rows of correlations, must be %d of both", len(file.Measurements), len(file.Correlation), n)
	}
	p := &Population{Name: file.Name, Title: file.Title, Sex: sex, N: file.N, Provenance: file.Provenance, fitted: file}
	for m := range NumMeasurements {
		q := &file.Measurements[m]
		if q.Measurement != m.String() || q.Unit != m.Unit() {
			return nil, fmt.Errorf("measurement %d is %s in %s, must be %s in %s", m, q.Measurement, q.Unit, m, m.Unit())
		}
		marginal, err := NewMarginal(file.FirstScore, file.ScoreStep, q.Values)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m, err)
		}
		p.marginals[m] = marginal
	}
	p.correlation = mat.NewSymDense(n, nil)
	for i := range n {
		if len(file.Correlation[i]) != i {
			return nil, fmt.Errorf("row %d of the correlations has %d entries, must have %d", i, len(file.Correlation[i]), i)
		}
		p.correlation.SetSym(i, i, 1)
		for j, r := range file.Correlation[i] {
			if math.IsNaN(r) || r <= -1 || r >= 1 {
				return nil, fmt.Errorf("correlation of %s with %s is %g", Measurement(i), Measurement(j), r)
			}
			p.correlation.SetSym(i, j, r)
		}
	}
	var cholesky mat.Cholesky
	if !cholesky.Factorize(p.correlation) {
		return nil, fmt.Errorf("the correlations are not positive definite")
	}
	var lower mat.TriDense
	cholesky.LTo(&lower)
	for i := range n {
		for j := range i + 1 {
			p.factor[i][j] = lower.At(i, j)
		}
	}
	var err error
	p.Regional, err = LoadRegional(sex)
	return p, err
}

// Marginal returns the distribution of one measurement in a survey. It is nil for
// people who are none; Quantile is there for all.
func (p *Population) Marginal(m Measurement) *Marginal { return p.marginals[m] }

// Correlation returns the correlation matrix of the normal scores of the
// measurements of a survey, in their order; it is a copy.
func (p *Population) Correlation() *mat.SymDense {
	c := mat.NewSymDense(int(NumMeasurements), nil)
	c.CopySym(p.correlation)
	return c
}

// NewSampler returns a sampler of everybody in the population.
func (p *Population) NewSampler() *Sampler { return Selection{Population: p}.NewSampler() }
