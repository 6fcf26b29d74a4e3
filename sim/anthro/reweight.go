package anthro

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/sim/fault"
	"counterpoise/sim/montecarlo"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Mean is the condition that a quantity has a mean among people, in SI units.
type Mean struct {
	Of    Quantity
	Value float64
}

// String returns the condition as in "mean mass 60 kg".
func (m Mean) String() string {
	return strings.TrimSpace(fmt.Sprintf("mean %s %.4g %s", m.Of, m.Value, m.Of.Unit()))
}

// Reweighted says to what people were reweighted, and at what price.
type Reweighted struct {
	Where  []Range // who was weighted
	Means  []Mean
	Before []Mean // the same means without weights
	// Effective is the effective sample size of the weights, as a share of the
	// people weighted (Kish): how many unweighted people would tell as much.
	Effective float64
}

// leastEffective is the effective share below which weights speak for so few of
// the people that these are no longer a basis for what is said of others.
const leastEffective = 0.05

// The people on whom weights are found: how many are wanted, how many are drawn
// for them at most, and how few will do.
const (
	poolRows  = 1 << 16
	poolDraws = 1 << 21
	poolLeast = 2000
)

// tilt is the density of reweighted people over that of the survey's, and a way
// to draw from it. The density is exp(lambda·(x - mean)), up to a factor; the
// independent normals behind a person are drawn around shift instead of 0, which
// takes up all of the density that is linear in them, and rejection sees to the
// rest.
type tilt struct {
	within []Range
	means  []Mean
	lambda []float64 // by mean
	shift  [NumMeasurements]float64
	bound  float64 // on the logarithm of the density over that of the normals drawn
}

// Reweight returns the population of the selected people, weighted so that each
// quantity has the mean that is asked for and, otherwise, as little as can be
// (entropy balancing: Hainmueller 2012, Political Analysis 20:25): weights
// exp(λ·x). What the means do not speak of goes along as it does among the
// survey's people; with no means at all it is just the people selected.
//
// λ is found on 65,536 drawn people, always the same (fewer where hardly anyone is
// selected): the means of those who are drawn later are off by no more than the
// standard error of that many. The sampler draws independent people, by
// rejection; the few whose density lies above what any of the 65,536 had are
// taken for as likely as that.
//
// Its errors: a mean that is not finite or given twice; people who are resampled
// or reweighted themselves; *RareError where too few people match; *MeansError
// where the means are out of reach or leave an effective sample below 5 %.
func (s Selection) Reweight(means []Mean) (*Population, error) { return s.reweight(means, poolRows) }

// reweight is Reweight with weights found on so many people.
func (s Selection) reweight(means []Mean, rows int) (*Population, error) {
	survey := s.Population
	if survey.survey != nil {
		return nil, fmt.Errorf("%s is no survey, but people resampled or reweighted already: only a survey can be reweighted", survey.Name)
	}
	target := make([]float64, len(means))
	quantities := make([]Quantity, len(means))
	for j, m := range means {
		if math.IsNaN(m.Value) || math.IsInf(m.Value, 0) {
			return nil, fmt.Errorf("the mean of %s is %g, must be finite", m.Of, m.Value)
		}
		if slices.Contains(quantities[:j], m.Of) {
			return nil, fmt.Errorf("the mean of %s is given twice", m.Of)
		}
		target[j], quantities[j] = m.Value, m.Of
	}
	fault := &MeansError{Population: survey.Name, Where: s.Where, Means: means}
	t := &tilt{within: s.Where, means: means}
	plain, err := s.pool(quantities, &t.shift, rows)
	if err != nil {
		return nil, err
	}
	even := make([]float64, plain.rows())
	for j := range means {
		column := plain.quantity[j]
		before := 0.0
		for _, x := range column {
			before += x / float64(len(column))
		}
		fault.Before = append(fault.Before, Mean{quantities[j], before})
		if low, high := slices.Min(column), slices.Max(column); !(target[j] > low && target[j] < high) {
			fault.Beyond, fault.Low, fault.High = &means[j], low, high
			return nil, fault
		}
	}
	var ok bool
	if t.lambda, ok = balance(plain.quantity, even, target); !ok {
		return nil, fault
	}
	if fault.Effective = effective(plain.weigh(t, even)); !(fault.Effective >= leastEffective) {
		return nil, fault
	}
	// Those people tell little of where the weights are large. People drawn around
	// there tell more.
	t.shift = plain.slope(t, even)
	shifted, err := s.pool(quantities, &t.shift, rows)
	if err != nil {
		return nil, err
	}
	design := make([]float64, shifted.rows())
	t.undoShift(shifted.normal[:], design)
	if t.lambda, ok = balance(shifted.quantity, design, target); !ok {
		return nil, fault
	}
	t.shift = shifted.slope(t, design)
	density := shifted.density(t)
	t.undoShift(shifted.normal[:], density)
	t.bound = slices.Max(density)
	weighted := &Population{
		Name: survey.Name, Title: survey.Title, Sex: survey.Sex, N: survey.N,
		Provenance: survey.Provenance, Regional: survey.Regional, survey: survey, tilt: t,
		Reweighted: &Reweighted{Where: s.Where, Means: means, Before: fault.Before, Effective: effective(plain.weigh(t, even))},
		quantiles:  &quantiles{},
	}
	return weighted, nil
}

// pool is a sample of selected people.
type pool struct {
	normal   [NumMeasurements][]float64 // the independent normals behind each
	quantity [][]float64
}

func (p *pool) rows() int { return len(p.normal[0]) }

// pool draws people, their normals shifted, in pairs on either side of the shift,
// so that what is linear in the normals has no noise.
func (s Selection) pool(quantities []Quantity, shift *[NumMeasurements]float64, rows int) (*pool, error) {
	sampler := s.newSampler(true)
	stream := montecarlo.NewStream(0, "anthro/reweight")
	behind := make([]float64, len(sampler.scratch))
	column := func(batch []float64, m int) []float64 {
		at := place(m) * batchRows
		return batch[at : at+batchRows]
	}
	normals := func(dst []float64) {
		clear(dst)
		for m := range shift {
			column := column(dst, m)
			half := column[:batchRows/2]
			stream.Normals(half)
			for i, z := range half {
				column[i], column[i+batchRows/2] = shift[m]+z, shift[m]-z
			}
		}
		copy(behind, dst)
	}
	p := &pool{quantity: make([][]float64, len(quantities))}
	for m := range p.normal {
		p.normal[m] = make([]float64, 0, rows+batchRows)
	}
	value := make([]float64, batchRows)
	drawn := 0
	for drawn < poolDraws && p.rows() < rows {
		sampler.draw(sampler.batch.Value, sampler.batch.Residual, 0, batchRows, normals)
		sampler.test()
		drawn += batchRows
		for m := range p.normal {
			p.normal[m] = appendMatching(p.normal[m], column(behind, m), sampler.match)
		}
		for j, q := range quantities {
			q.Values(value, sampler.batch)
			p.quantity[j] = appendMatching(p.quantity[j], value, sampler.match)
		}
	}
	if p.rows() < poolLeast {
		return nil, &RareError{Population: s.Population.Name, Where: s.Where, Matched: p.rows(), Drawn: drawn}
	}
	return p, nil
}

func appendMatching(to, from []float64, match []bool) []float64 {
	for i, ok := range match {
		if ok {
			to = append(to, from[i])
		}
	}
	return to
}

// density returns the logarithm of the density of reweighted people over that of
// the survey's, up to a constant.
func (p *pool) density(t *tilt) []float64 {
	density := make([]float64, p.rows())
	for j, l := range t.lambda {
		for i, x := range p.quantity[j] {
			density[i] += l * (x - t.means[j].Value)
		}
	}
	return density
}

// weigh returns the weights, adding up to 1, of people who have by their design
// weights with the logarithm given.
func (p *pool) weigh(t *tilt, design []float64) []float64 {
	weight := p.density(t)
	floats.Add(weight, design)
	normalise(weight)
	return weight
}

// slope returns the coefficients of the normals in a weighted linear regression
// of the density's logarithm on them: what is drawn around that shift has nearly
// the density wanted.
func (p *pool) slope(t *tilt, design []float64) [NumMeasurements]float64 {
	var slope [NumMeasurements]float64
	if len(t.lambda) == 0 {
		return slope // rounding alone
	}
	const n = int(NumMeasurements)
	weight := p.weigh(t, design)
	// Every column less its mean and times the root of the weight: products of such
	// columns are weighted covariances.
	reduce := func(column []float64) []float64 {
		mean := floats.Dot(weight, column)
		reduced := make([]float64, len(column))
		for i, x := range column {
			reduced[i] = math.Sqrt(weight[i]) * (x - mean)
		}
		return reduced
	}
	reduced := reduce(p.density(t))
	var normal [n][]float64
	squares, products := mat.NewSymDense(n, nil), mat.NewVecDense(n, nil)
	for a := range n {
		normal[a] = reduce(p.normal[a])
		products.SetVec(a, floats.Dot(normal[a], reduced))
		for b := range a + 1 {
			squares.SetSym(a, b, floats.Dot(normal[a], normal[b]))
		}
	}
	var factor mat.Cholesky
	solution := mat.NewVecDense(n, nil)
	if !factor.Factorize(squares) || factor.SolveVecTo(solution, products) != nil {
		return slope // no shift at all is right as well, only slower
	}
	copy(slope[:], solution.RawVector().Data)
	return slope
}

// apply shifts a batch of normals, and starts the logarithm of the density over
// that of what is so drawn.
func (t *tilt) apply(column func(int) []float64, density []float64) {
	clear(density)
	for m, shift := range t.shift {
		normal := column(m)
		for i := range normal {
			normal[i] += shift
			density[i] -= shift * normal[i]
		}
	}
}

// accept marks those people of a sampler's batch who are kept: the share that
// their density is of the bound, by the normals of the last column.
func (t *tilt) accept(s *Sampler) {
	for j, mean := range t.means {
		mean.Of.Values(s.quantity, s.batch)
		for i, x := range s.quantity {
			s.density[i] += t.lambda[j] * (x - mean.Value)
		}
	}
	chance := s.scratch[place(pick)*batchRows:][:batchRows]
	for i, density := range s.density {
		s.match[i] = s.match[i] && uniform(chance[i]) < math.Exp(density-t.bound)
	}
}

// undoShift adds to dst, row by row, the logarithm of the density of the survey's
// normals over that of the shifted ones, up to a constant.
func (t *tilt) undoShift(normal [][]float64, dst []float64) {
	for m, shift := range t.shift {
		for i, z := range normal[m][:len(dst)] {
			dst[i] -= shift * z
		}
	}
}

// MeansError tells that people cannot be reweighted to means, or hardly.
type MeansError struct {
	Population string
	Where      []Range
	Means      []Mean
	Before     []Mean // of the people without weights, as far as known
	// Beyond is a mean that lies outside of the range Low..High of the people, or
	// nil.
	Beyond    *Mean
	Low, High float64
	// Effective is the share of the people that the weights would leave, by Kish's
	// effective sample size; 0 where no weights give the means together.
	Effective float64
}

func (e *MeansError) Error() string {
	who := e.Population
	for i, r := range e.Where {
		who += map[bool]string{true: " where ", false: " and "}[i == 0] + r.String()
	}
	if b := e.Beyond; b != nil {
		return strings.TrimSpace(fmt.Sprintf("%s is out of reach: of %s people drawn from %s all have %.4g..%.4g %s", b, fault.Count(poolRows), who, e.Low, e.High, b.Of.Unit()))
	}
	wanted, have := make([]string, len(e.Means)), make([]string, len(e.Before))
	for i, m := range e.Means {
		wanted[i] = m.String()
	}
	for i, m := range e.Before {
		have[i] = m.String()
	}
	text := fmt.Sprintf("people of %s cannot be weighted to %s", who, strings.Join(wanted, " and "))
	if e.Effective > 0 {
		text += fmt.Sprintf(": that would rest on %.2g %% of them, at least %g %% are needed", 100*e.Effective, 100*leastEffective)
	} else {
		text += " together"
	}
	return text + "; without weights they have " + strings.Join(have, ", ")
}
