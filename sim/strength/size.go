package strength

import (
	"fmt"
	"sync"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/math"
)

// Law says how the strength of untrained adults grows with their size, changes
// with age, and differs between people of one size and age, as measured on
// grip. A force grows as
//
//	mass^a · stature^b
//
// whichever muscles give it: a grip's own lever, finger muscle over finger length,
// is the same at every size. It is multiplied by what age makes of it, and by what the
// regional masses do: who carries more in the arms than others of that size and waist
// is stronger, by 0.4 to 0.6 % for every per cent. A moment is a force on a lever that grows with
// stature, so it grows as mass^a · stature^(b+1).
type Law struct {
	bySex    [2]sizeLaw
	firstAge float64
}

type sizeLaw struct {
	sample        Sample
	grip          float64 // N
	mass, stature Exponent
	covariance    float64
	build         [anthro.NumRegions - 1]float64
	residual      float64
	within        float64
	age           []float64 // logarithms, a year apart
}

// Exponent is a measured exponent with its standard error.
type Exponent struct {
	Value, Error float64
}

// LoadLaw returns the embedded law.
var LoadLaw = sync.OnceValues(func() (*Law, error) {
	var file datasets.Size
	if err := datasets.Read("strength", "nhanes-grip-2011-2014", &file); err != nil {
		return nil, err
	}
	l := &Law{firstAge: float64(file.FirstAge)}
	for sex := range l.bySex {
		fit, ok := file.BySex[anthro.Sex(sex).String()]
		if !ok || !(fit.Grip > 0 && fit.Mass > 0 && fit.Stature > 0 && fit.BuildResidual > 0 && fit.Within > 0) || len(fit.Age) < 2 {
			return nil, fmt.Errorf("strength by size: no fit of sex %s", anthro.Sex(sex))
		}
		l.bySex[sex] = sizeLaw{
			sample: Sample{fit.Mass, fit.Stature, float64(file.ReferenceAge)}, grip: fit.Grip,
			mass: Exponent(fit.MassExponent), stature: Exponent(fit.StatureExponent), covariance: fit.Covariance,
			residual: fit.BuildResidual, within: fit.Within, age: fit.Age,
		}
		for r, of := range fit.Build {
			l.bySex[sex].build[r] = of.Value
		}
	}
	return l, nil
})

// Residual is the standard deviation, between people of one sex, size, build and age,
// of the logarithm of strength.
func (l *Law) Residual(sex anthro.Sex) float64 { return l.bySex[sex].residual }

// Within is the standard deviation, between one person's readings a minute apart,
// of the logarithm of strength.
func (l *Law) Within(sex anthro.Sex) float64 { return l.bySex[sex].within }

// OfAge is grip at an age, years, over that at 30, for the same size; an age of 0 is not
// known, and counts as 30. It is NaN at an age that nobody measured: before 12 and from
// 80 on.
func (l *Law) OfAge(sex anthro.Sex, age float64) float64 { return math.Exp(l.logOfAge(sex, age)) }

// logOfAge is its logarithm. Between two birthdays it is on a straight line.
func (l *Law) logOfAge(sex anthro.Sex, age float64) float64 {
	curve := l.bySex[sex].age
	at := age - l.firstAge
	switch {
	case age == 0:
		return 0
	case !(at >= 0 && at < float64(len(curve))):
		return math.NaN()
	}
	i := min(int(at), len(curve)-2)
	return curve[i] + float64(min(at-float64(i), 1)*(curve[i+1]-curve[i]))
}
