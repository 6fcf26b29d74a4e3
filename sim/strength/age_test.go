package strength_test

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/strength"
)

var bothSexes = []anthro.Sex{anthro.Male, anthro.Female}

func law(t *testing.T) *strength.Law {
	t.Helper()
	m := golden.Must(strength.TheModel())(t)
	return m.Law
}

// For one size, boys gain from 12 on, and more than girls; both sexes are strongest
// between 30 and 39, and lose every year after that.
func TestStrengthOverAge(t *testing.T) {
	l := law(t)
	for _, sex := range bothSexes {
		best := 12.0
		for age := 12.0; age <= 79; age++ {
			if l.OfAge(sex, age) > l.OfAge(sex, best) {
				best = age
			}
		}
		if best < 30 || best > 39 {
			t.Errorf("%s are strongest at %g", sex, best)
		}
		for age := 12.0; age < 79; age++ {
			now, next := l.OfAge(sex, age), l.OfAge(sex, age+1)
			if age < 28 && !(next > now) || age >= best && !(next < now) {
				t.Errorf("%s: %.4f at %g, %.4f a year later", sex, now, age, next)
			}
		}
		near(t, "no age is 30", l.OfAge(sex, 0), l.OfAge(sex, 30))
	}
	for age := 12.0; age < 18; age++ {
		if boys, girls := l.OfAge(anthro.Male, 18)/l.OfAge(anthro.Male, age), l.OfAge(anthro.Female, 18)/l.OfAge(anthro.Female, age); !(boys > girls) {
			t.Errorf("from %g to 18 boys gain %.3f, girls %.3f", age, boys, girls)
		}
	}
}

// Nobody's strength is known where nobody was measured, and what is not known is no
// number: of a body of that age every capacity that follows from it is none.
func TestStrengthOutsideTheSurveysAges(t *testing.T) {
	l := law(t)
	a, b, c := assume.Defaults(), body.New(1), hold.NewCapacity(1)
	b.Mass[0], b.Stature[0] = 70, 1.7
	for _, sex := range bothSexes {
		b.Sex = sex
		for age, known := range map[float64]bool{-1: false, 0.5: false, 11.9: false, 12: true, 79.9: true, 80: false, 300: false, math.NaN(): false, math.Inf(1): false} {
			b.Age[0] = age
			for _, byAge := range []float64{1, 0, 1.5} {
				a[assume.StrengthByAge] = byAge
				strength.OfReference(c, b, &a)
				for _, g := range []muscle.Group{muscle.Grip, muscle.ShoulderFlexion, muscle.ArmPush} {
					if got := c.Of[g][0]; math.IsNaN(got) == known || got <= 0 {
						t.Errorf("%s of %g years: %g in %s", sex, age, got, g)
					}
				}
			}
			if math.IsNaN(l.OfAge(sex, age)) == known {
				t.Errorf("%s of %g years: %g of the strength at 30", sex, age, l.OfAge(sex, age))
			}
		}
	}
}

// The same body is as strong as its years: all groups alike unless one says otherwise,
// and grip as it was measured whatever one says of the others.
func TestCapacityFollowsAge(t *testing.T) {
	l, a := law(t), assume.Defaults()
	b, c := body.New(2), hold.NewCapacity(2)
	copy(b.Mass, []float64{70, 70})
	copy(b.Stature, []float64{1.7, 1.7})
	copy(b.Age, []float64{33, 58})
	for _, sex := range bothSexes {
		b.Sex = sex
		lost := l.OfAge(sex, 58) / l.OfAge(sex, 33)
		for _, byAge := range []float64{0, 0.5, 1, 1.5} {
			a[assume.StrengthByAge] = byAge
			strength.OfReference(c, b, &a)
			for g := range muscle.ArmPull {
				want := math.Pow(lost, byAge)
				if g == muscle.Grip {
					want = lost
				}
				near(t, g.String(), c.Of[g][1]/c.Of[g][0], want)
			}
		}
	}
}

// Another survey's grip by age, Germany 2006-2014, as published in kilograms of the mean
// (Steiber 2016, PLoS ONE 11:e0163917, table S3): by how much people of an age are weaker
// than those of 30 to 34. Theirs are not of one size. Ours agrees within 5 % but for one:
// they keep their strength ten years longer, and women of 40 to 44 are stronger there
// than at 32, which ours are not; a known miss.
func TestGripByAgeInAnotherSurvey(t *testing.T) {
	l := law(t)
	for sex, table := range map[anthro.Sex]map[float64]float64{
		anthro.Male:   {22: 50.7, 27: 52.4, 32: 53.6, 37: 53.4, 42: 53.8, 47: 52.9, 52: 50.4, 57: 49.1, 62: 46.3, 67: 44.1, 72: 41.7},
		anthro.Female: {22: 32.5, 27: 33.6, 32: 33.3, 37: 34.2, 42: 34.5, 47: 33.4, 52: 32.2, 57: 30.0, 62: 29.0, 67: 27.6, 72: 26.0},
	} {
		for age, kilograms := range table {
			ours, theirs := l.OfAge(sex, age)/l.OfAge(sex, 32), kilograms/table[32]
			t.Logf("%s, %g: %.3f, there %.3f", sex, age, ours, theirs)
			missed := sex == anthro.Female && age == 42
			if within := math.Abs(ours/theirs-1) <= 0.05; within == missed {
				t.Errorf("%s of %g: %.3f of the strength at 32, in Germany %.3f", sex, age, ours, theirs)
			}
		}
	}
}

// Who carries more in the arms than others of that size and waist is stronger, and who
// carries it in the trunk is weaker, in all groups alike; whoever is built like the
// average of their size is the norm.
func TestCapacityFollowsTheArms(t *testing.T) {
	a := assume.Defaults()
	b, c := body.New(3), hold.NewCapacity(3)
	copy(b.Mass, []float64{70, 70, 70})
	copy(b.Stature, []float64{1.7, 1.7, 1.7})
	b.Regional[anthro.Arms][1], b.Regional[anthro.Trunk][2] = 0.1, 0.1
	for _, sex := range bothSexes {
		b.Sex = sex
		strength.OfPeople(c, b, &a)
		for g := range muscle.ArmPull {
			arms, trunk := c.Of[g][1]/c.Of[g][0], c.Of[g][2]/c.Of[g][0]
			if !(arms > 1.03 && arms < 1.06) || !(trunk > 0.96 && trunk < 0.98) {
				t.Errorf("%s of %s: 10 %% more arms make %.4f, 10 %% more trunk %.4f", g, sex, arms, trunk)
			}
			near(t, "the taught rule", c.Relative[1]/c.Relative[0], arms)
		}
	}
}
