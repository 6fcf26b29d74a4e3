package strength

import (
	"sync"

	"counterpoise/sim/anthro"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
)

// Model says how strong untrained people are: norms of the groups, carried over
// to other sizes and ages by the law of size.
//
//	capacity = norm(group, sex, angle) · size, build and age · exp(z)
//
// z is how a person differs from others of that size, build and age.
type Model struct {
	Norms *Norms
	Law   *Law
}

// TheModel returns the model of the embedded norms and law.
var TheModel = sync.OnceValues(func() (*Model, error) {
	norms, err := LoadNorms()
	if err != nil {
		return nil, err
	}
	law, err := LoadLaw()
	return &Model{norms, law}, err
})

// moved returns the exponents of mass and stature of a force, moved by so many of
// their standard errors.
func (s *sizeLaw) moved(mass, stature float64) (ofMass, ofStature float64) {
	along := s.covariance / s.mass.Error
	return s.mass.Value + float64(mass*s.mass.Error),
		s.stature.Value + float64(mass*along) + float64(stature*math.Sqrt(float64(s.stature.Error*s.stature.Error)-float64(along*along)))
}

// Spread is how untrained people of one sex, size, build and age differ: standard
// deviations of the logarithm of strength.
type Spread struct {
	Common float64                   // of all groups together
	Own    [muscle.NumGroups]float64 // of each group by itself
}

// OwnSpread is the standard deviation of a group's own part of a person's
// strength (range 0.06 to 0.15). The forces of six people in all directions of
// the horizontal plane, each over their own mean, differed by less than 15 %
// though their strength differed more than twofold (Nijhof and Gabriel 2006, J
// Biomech 39:708, abstract). That is a bound on the largest of many differences;
// a third less is taken as the deviation. Nobody's correlations between groups
// were found.
const OwnSpread = 0.10

// SpreadOf returns how people of the sex differ: the common part is what size,
// regional masses and age leave unexplained of grip.
func (m *Model) SpreadOf(sex anthro.Sex) *Spread {
	s := &Spread{Common: m.Law.Residual(sex)}
	for g := range s.Own {
		s.Own[g] = OwnSpread
	}
	return s
}

// TrainingSpread is how far training may have moved all groups of somebody who was
// tested, as a standard deviation of the logarithm of strength: 95 % of people between
// half and twice (common practice, no source). It keeps the spread between untrained
// people from pulling the tests of a trained person down.
var TrainingSpread = math.Ln2 / 1.959963984540054

// Trained returns the spread of people of whom nobody knows whether they trained:
// training multiplies all groups, and so widens what they have in common.
func (s *Spread) Trained() *Spread {
	t := *s
	t.Common = math.Hypot(s.Common, TrainingSpread)
	return &t
}

// Load is what a hold asks of a group: the logarithm of the demand over the
// capacity of the median untrained adult of that sex, size and age.
type Load struct {
	Group muscle.Group
	Ratio float64
}
