package strength_test

import (
	"math"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/strength"
)

// made is three made-up bodies with only what capacities depend on.
func made() *body.Columns {
	b := body.New(3)
	copy(b.Mass, []float64{61, 83, 104})
	copy(b.Stature, []float64{1.63, 1.78, 1.91})
	return b
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-12*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %.15g, want %.15g", what, got, want)
	}
}

// Size × s with mass × s^p: the force per body weight that a body can give falls
// as s^(−p(1−β)), the moment per body weight and stature likewise.
func TestSizeLaw(t *testing.T) {
	a := assume.Defaults()
	a[assume.SizeExponent], a[assume.StrengthExponent] = 2.4, 0.71
	b := made()
	first, after := hold.NewCapacity(3), hold.NewCapacity(3)
	strength.OfReference(first, b, &a)
	const s = 1.13
	mass := make([]float64, 3)
	ratio := make([]strength.Ratio, 3)
	for i := range mass {
		mass[i], ratio[i] = b.Mass[i]*math.Pow(s, 2.4), strength.OfSize(s, &a)
	}
	strength.Scale(after, first, ratio, b.Mass, mass)
	fall := math.Pow(s, -2.4*(1-0.71))
	for i := range mass {
		near(t, "axial", after.Axial[i], first.Axial[i]*fall)
		near(t, "relative", after.Relative[i], fall)
		near(t, "adduction per stature", after.Adduction[i]/(s*b.Stature[i]), first.Adduction[i]/b.Stature[i]*fall)
		near(t, "abduction per stature", after.Abduction[i]/(s*b.Stature[i]), first.Abduction[i]/b.Stature[i]*fall)
	}
}

// Published identity (Jaric 2002, Sports Med 32:615; arithmetic): with force ∝
// m^0.67 and geometric similarity, strength per weight falls as m^−0.33. The
// exponents are those of absolute strength; mind the sign.
func TestRelativeStrengthFallsWithMass(t *testing.T) {
	a := assume.Defaults()
	b := made()
	c := hold.NewCapacity(3)
	strength.OfPeople(c, b, strength.ByMass, strength.Reference{Mass: 83, Build: 0.04}, &a)
	near(t, "the mean person", c.Relative[1], 1)
	near(t, "heavier", c.Relative[2], math.Pow(104.0/83, -0.33))
	strength.OfPeople(c, b, strength.ByBuild, strength.Reference{Mass: 83, Build: 0.04}, &a)
	near(t, "by build", c.Relative[0], 1.63*1.63/61/0.04)
	near(t, "moment by build", c.Adduction[0], a[assume.AdductionCapacity]*1.63*c.Relative[0])
}

// Adding mass of exactly the break-even working share leaves the difficulty as
// it was, whatever the change of the required force.
func TestBreakEvenLeavesTheDifficulty(t *testing.T) {
	a := assume.Defaults()
	a[assume.ActiveShare], a[assume.StrengthExponent] = 0.21, 0.63
	for _, c := range []struct{ ratio, mass, added float64 }{{0.96, 72, 5}, {1.02, 58, 2.5}, {0.99, 90, 11}} {
		q := strength.BreakEven(c.ratio, c.mass, c.added, &a)
		gain := strength.OfAddedMass(c.mass, c.added, q, &a)
		difficulty := c.ratio * (c.mass + c.added) / c.mass / gain.Force
		near(t, "difficulty ratio", difficulty, 1)
		near(t, "lever", gain.Lever, 1)
	}
	// By hand: μ₀ = 0.15·80 = 12 kg; 6 kg of pure muscle make it 1.5 times.
	b := assume.Defaults()
	near(t, "gain", strength.OfAddedMass(80, 6, 1, &b).Force, math.Pow(1.5, 0.67))
	near(t, "fat", strength.OfAddedMass(80, 6, 0, &b).Force, 1)
	near(t, "more lost than there is", strength.OfAddedMass(80, -30, 1, &b).Force, 0)
}
