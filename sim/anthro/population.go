package anthro

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"counterpoise/datasets"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"

	"gonum.org/v1/gonum/mat"
)

// Columns of independent normals that one person takes from a source: one for each
// measurement and one for each log-ratio of regional masses. Ages have normals of
// their own.
const (
	numResiduals = int(NumRegions) - 1
	numColumns   = int(NumMeasurements) + numResiduals
)

// Population is a model of the people that one survey measured, such people
// reweighted to stated means (see Selection.Reweight) or to what was published of
// athletes (see Population.Athletes), or measured people of one's own (see NewSample). It is not changed once loaded, and may be shared between
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
	marginals   [NumVariables]*Marginal // without the last where no ages are known
	correlation *mat.SymDense
	within      *mat.SymDense                       // covariance of the scores within one kind of people
	factor      [NumVariables][NumVariables]float64 // lower Cholesky factor of within
	ages        Interval                            // of the youngest and the oldest
	kinds       Kinds
	fitted      *datasets.People

	// Of people who are no survey: the one behind them, and how they differ.
	survey    *Population
	sample    *sample            // one of these two
	athletes  *datasets.Athletes // to whose sizes they are weighted
	file      []byte             // of people of one's own
	tilt      *tilt
	quantiles *quantiles
}

// Load returns an embedded population by its name or, where the name has a slash
// or a dot, people of one's own from the file of that path. The error for an
// unknown name lists the names there are, or is what Missing says of it.
func Load(name string) (*Population, error) {
	if IsFile(name) {
		return loadSample(name)
	}
	if missing := Missing(name); missing != "" {
		return nil, errors.New(missing)
	}
	if file := athletes()[name]; file != nil {
		return athletesOf(file, -1)
	}
	if !slices.Contains(Surveys(), name) {
		return nil, fmt.Errorf("people: no people %q; there are %s", name, strings.Join(Names(), ", "))
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
// embedded model of regional masses. The file may leave out the age.
func NewPopulation(file *datasets.People) (*Population, error) {
	p, err := withoutRegional(file)
	if err != nil {
		return nil, err
	}
	p.Regional, err = LoadRegional(cmp.Or(file.Regional, FirstRegional), p.Sex)
	return p, err
}

// withoutRegional is NewPopulation but for the regional masses.
func withoutRegional(file *datasets.People) (*Population, error) {
	sex, ok := ParseSex(file.Sex)
	if !ok {
		return nil, fmt.Errorf("unknown sex %q", file.Sex)
	}
	n := len(file.Measurements)
	if all := int(NumVariables); n != all && n != all-1 || len(file.Correlation) != n {
		return nil, fmt.Errorf("%d measurements and %d rows of correlations, must be %d of both, or %d without the age", n, len(file.Correlation), all, all-1)
	}
	p := &Population{Name: file.Name, Title: file.Title, Sex: sex, N: file.N, Provenance: file.Provenance, fitted: file}
	for m := range Measurement(n) {
		q := &file.Measurements[m]
		if q.Measurement != m.String() || q.Unit != m.Unit() {
			return nil, fmt.Errorf("measurement %d is %s in %s, must be %s in %s", m, q.Measurement, q.Unit, m, m.Unit())
		}
		marginal, err := NewMarginal(file.FirstScore, file.ScoreStep, q.Values)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m, err)
		}
		p.marginals[m] = marginal
		if m == Age {
			// The last knot is on the day before a birthday, or rounded to that birthday.
			p.ages = Interval{math.Floor(q.Values[0]), math.Ceil(q.Values[len(q.Values)-1]) - 1}
		}
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
	if err := p.mix(file.Mixture); err != nil {
		return nil, err
	}
	lower, ok := linear.Factorize(p.within)
	if !ok {
		return nil, fmt.Errorf("the correlations are not positive definite")
	}
	for i := range n {
		for j := range i + 1 {
			p.factor[i][j] = lower.At(i, j)
		}
	}
	return p, nil
}

// mix takes the two kinds of people of a file, if there are two.
func (p *Population) mix(file *datasets.Mixture) error {
	p.within = p.Correlation()
	if file == nil {
		return nil
	}
	if !(file.Share > 0 && file.Share < 1) || len(file.Shift) != p.variables() {
		return fmt.Errorf("a mixture with a share of %g and %d shifts, must be between 0 and 1, and %d", file.Share, len(file.Shift), p.variables())
	}
	p.kinds.Share = file.Share
	copy(p.kinds.Shift[:], file.Shift)
	linear.AddOuter(p.within, -file.Share*(1-file.Share), file.Shift)
	return nil
}

// Mixed reports whether the population is of two kinds of people whose proportions
// differ.
func (p *Population) Mixed() bool { return p.Survey().kinds.Share > 0 }

// Marginal returns the distribution of one measurement in a survey. It is nil for
// people who are none; Quantile is there for all.
func (p *Population) Marginal(m Measurement) *Marginal { return p.marginals[m] }

// Correlation returns the correlation matrix of the normal scores of the
// measurements of a survey, and of the age where it is known, in their order; it is
// a copy.
func (p *Population) Correlation() *mat.SymDense {
	c := mat.NewSymDense(p.variables(), nil)
	c.CopySym(p.correlation)
	return c
}

// variables is how many a survey's people are described by: all, or all but the age.
func (p *Population) variables() int { return p.correlation.SymmetricDim() }

// Ages returns the ages of the youngest and the oldest; 0 and 0 where none are known.
func (p *Population) Ages() Interval { return p.Survey().ages }

// HasAge reports whether the people's ages are known.
func (p *Population) HasAge() bool { return p.Survey().marginals[Age] != nil }

// Values fills dst with a survey's values of a measurement, or with its ages at the last
// birthday, at the scores; both may be the same slice.
func (p *Population) Values(m Measurement, dst, scores []float64) {
	p.marginals[m].Values(dst, scores)
	if m == Age {
		for i, age := range dst {
			dst[i] = p.birthday(age)
		}
	}
}

// value is Values of one score.
func (p *Population) value(m Measurement, score float64) float64 {
	one := [1]float64{score}
	p.Values(m, one[:], one[:])
	return one[0]
}

// birthday returns an age in whole years, within those of the survey: tails end
// where its ages do.
func (p *Population) birthday(age float64) float64 {
	return min(max(math.Floor(age), p.ages.Low), p.ages.High)
}

// NewSampler returns a sampler of everybody in the population.
func (p *Population) NewSampler() *Sampler { return Selection{Population: p}.NewSampler() }
