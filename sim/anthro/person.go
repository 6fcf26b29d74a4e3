package anthro

import (
	"fmt"
	"slices"

	"counterpoise/sim/fault"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
)

// Known is one measurement that was taken of a person.
type Known struct {
	Of    Measurement
	Value float64 // in SI units
	// Error is the standard deviation of the measurement's error, in the same
	// unit; 0 for a value to be taken as exact.
	Error float64
}

// mostAge is the greatest age that people may be told to have: they count as the oldest of
// those surveyed. How strong older people are nobody measured.
const mostAge = 79

// Person is what is known of one person of a population, and with it what is
// left open: the distribution of everything that was not measured. It is not
// changed once made, and may be shared between goroutines.
type Person struct {
	Population *Population
	Known      []Known // in the order of the measurements
	// Rare is nil for a person whose measurements, taken together, are like
	// those of at least 1 in 1,000 people; otherwise it says what stands out.
	Rare *Rarity

	regional Regional
	left     *posterior
	scores   *gaussian // what is left, as if of one kind of people
	factor   [NumVariables][NumVariables]float64
	exact    [NumVariables]bool
	value    [NumVariables]float64 // where exact
}

// Condition returns what is left of the population for a person of whom some
// measurements, any number of them, are known, in any order.
//
// The normal scores of the measurements are jointly normal, so conditioning is
// linear regression among scores. A measurement error counts as a normal error
// of the score, with the standard deviation of half the difference of the scores
// one error above and one below the value. Known values beyond what the survey
// saw take the marginal's straight tails.
//
// Who is plausible is judged against the public of the sex, also among soldiers.
//
// Its errors: a value that is no positive number, an error that is negative or
// not finite, a measurement given twice, an age that none of the people have, a
// *fault.Error; *ContradictionError for values that no
// body can have together; *ImprobableError for values that, together or one by
// itself, fewer than 1 in 100,000 people have; *ScanError for a scan that does not belong to
// the measurements.
func (p *Population) Condition(known []Known, regional Regional) (*Person, error) {
	return p.condition(known, regional, false)
}

// ConditionAgain is Condition for values that were measured again, and are so: those that
// fewer than 1 in 100,000 people have are rare, and only what nobody has is improbable.
func (p *Population) ConditionAgain(known []Known, regional Regional) (*Person, error) {
	return p.condition(known, regional, true)
}

func (p *Population) condition(known []Known, regional Regional, again bool) (*Person, error) {
	if p.survey != nil {
		return nil, fmt.Errorf("%s is not a survey, and only a survey can supply what was not measured on a person; take %s", p.Name, p.survey.Name)
	}
	known = slices.Clone(known)
	slices.SortStableFunc(known, func(a, b Known) int { return int(a.Of) - int(b.Of) })
	for i, k := range known {
		if k.Of < 0 || int(k.Of) >= p.variables() {
			return nil, fmt.Errorf("no measurement has the number %d", int(k.Of))
		}
		if !(k.Value > 0) || math.IsInf(k.Value, 0) {
			return nil, fmt.Errorf("%s is %g %s, must be positive and finite", k.Of, k.Value, k.Of.Unit())
		}
		if can := p.canBe(); k.Of == Age && (k.Value < can.Low || k.Value >= can.High+1) {
			return nil, fault.New(Age.String(), k.Value, "%s", p.ageRefused(k.Value))
		}
		if !(k.Error >= 0) || math.IsInf(k.Error, 0) {
			return nil, fmt.Errorf("the error of %s is %g %s, must be finite and not negative", k.Of, k.Error, k.Of.Unit())
		}
		if i > 0 && known[i-1].Of == k.Of {
			return nil, fmt.Errorf("%s is given twice: %g and %g %s", k.Of, known[i-1].Value, k.Value, k.Of.Unit())
		}
	}
	person := &Person{Population: p, Known: known, regional: regional}
	rare, err := p.judge().plausible(known, again)
	if err != nil {
		return nil, err
	}
	person.Rare = rare
	person.give()
	if err := person.checkScan(); err != nil {
		return nil, err
	}
	return person, nil
}

// give works out what is left of the population.
func (p *Person) give() {
	p.left = p.Population.given(p.Known)
	p.scores = p.left.together()
	p.left.factor(&p.factor)
	for _, k := range p.Known {
		if k.Error == 0 {
			p.exact[k.Of], p.value[k.Of] = true, k.Value
		}
	}
}

// Refit returns the person as one of the k-th refit of the population (see
// Population.Refit): what the survey's own error, and the doubt of what was transferred to
// its people, make of what was not measured. The regional masses stay those of the fit to
// all, and nothing is judged anew.
func (p *Person) Refit(k int) (*Person, error) {
	population, err := p.Population.Refit(k)
	if err != nil {
		return nil, err
	}
	population.Regional = p.Population.Regional
	again := &Person{Population: population, Known: p.Known, Rare: p.Rare, regional: p.regional}
	again.give()
	return again, nil
}

// read returns the score of a measurement and the standard deviation of its
// error.
func (p *Population) read(k Known) (score, spread float64) {
	// Nobody is anywhere near a score of 1000, and its square is still a number
	// to reckon with.
	const beyond = 1000
	m, value := p.marginals[k.Of], k.Value
	if k.Of == Age {
		// Between two birthdays; whoever is older than all counts as the oldest.
		value = min(max(value, p.ages.Low), p.ages.High) + 0.5
	}
	score = m.Score(value)
	if math.Abs(score) > beyond {
		score = math.Copysign(beyond, score)
		value = m.Value(score)
	}
	if k.Error > 0 {
		spread = (m.Score(value+k.Error) - m.Score(value-k.Error)) / 2
	}
	return score, spread
}

// NewSampler returns a sampler of people who have in common what is known of
// this person, and differ in everything else as the population does. An exact
// value is the same in every row, to the bit. It takes as many normals as the
// population's own sampler.
func (p *Person) NewSampler() *Sampler {
	s := Selection{Population: p.Population}.NewSampler()
	s.person = p
	return s
}

// Quantile returns the value below which the measurement lies for a share of the
// people who have in common what is known of this person; share 0.5 is the
// median. The share must lie between 0 and 1; at 0 and 1 the quantile is NaN,
// unless the value is known exactly.
func (p *Person) Quantile(m Measurement, share float64) float64 {
	if !(share >= 0 && share <= 1) {
		panic("anthro: share outside 0 to 1")
	}
	if p.exact[m] {
		return p.value[m]
	}
	return p.Population.value(m, p.left.quantile(m, share))
}

// ShareBelow returns the share of people, among those who have the given
// measurements, whose measurement m lies below the value: without any given, the
// share of the whole population. It is NaN for a value that is NaN. What is given
// is not checked as Condition does it.
func (p *Population) ShareBelow(m Measurement, value float64, given ...Known) float64 {
	score, _ := p.read(Known{Of: m, Value: value})
	return p.given(given).below(m, score)
}

// fill turns a batch of independent normals, column by column, into rows
// from..to-1 of people.
func (p *Person) fill(column func(int) []float64, values [NumVariables][]float64, residuals [NumRegions - 1][]float64, from, to int) {
	// From the last column up, as the population's own sampler does.
	seconds := p.left.pick(column)
	for i := len(p.scores.mean) - 1; i >= 0; i-- {
		dst := values[i][from:to]
		if p.exact[i] {
			for k := range dst {
				dst[k] = p.value[i]
			}
			continue
		}
		scores := column(i)
		combine(column, 0, i, p.factor[i][:])
		mean := p.left.mean[i]
		for k := range scores {
			scores[k] += mean
		}
		if seconds != nil {
			linear.AddScaled(scores, p.left.beside[i], seconds)
		}
		p.Population.Values(Measurement(i), dst, scores)
	}
	p.regional.fill(p.Population, column, values, residuals, from, to)
}
