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

// made is three made-up men with only what capacities depend on; how old the second is
// nobody knows.
func made() *body.Columns {
	b := body.New(3)
	copy(b.Mass, []float64{61, 83, 104})
	copy(b.Stature, []float64{1.63, 1.78, 1.91})
	copy(b.Age, []float64{14, 0, 57})
	return b
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-12*math.Max(1, math.Abs(want))) {
		t.Errorf("%s: %.15g, want %.15g", what, got, want)
	}
}

// What OfReference fills is what the model says of each body at every angle that is
// known, per body weight; at any place in the ranges and any exponents it is what the
// model with these says.
func TestOfReference(t *testing.T) {
	model := golden.Must(strength.TheModel())(t)
	for _, sex := range []anthro.Sex{anthro.Male, anthro.Female} {
		a, b := assume.Defaults(), made()
		b.Sex = sex
		c := hold.NewCapacity(3)
		for _, moved := range []bool{false, true} {
			m := model
			if moved {
				a[assume.StrengthByMass], a[assume.StrengthByStature], a[assume.StrengthByAge] = 1.3, -0.7, 0.4
				m = model.Moved(1.3, -0.7)
			}
			strength.OfReference(c, b, &a)
			for g := range muscle.NumGroups {
				for angle := -1.2; angle < 3.2; angle += 0.1 {
					for i := range b.Rows() {
						want, known := m.Of(g, sex, strength.Sample{Mass: b.Mass[i], Stature: b.Stature[i], Age: b.Age[i]}, angle)
						if moved && g != muscle.Grip {
							// The norms are of adults of 24.
							want.Value *= math.Pow(m.Law.OfAge(sex, b.Age[i])/m.Law.OfAge(sex, 24), a[assume.StrengthByAge]-1)
						}
						if known != c.Curve[g].Knows(angle) {
							t.Fatalf("%s at %g: known %v, the model %v", g, angle, !known, known)
						}
						if got := c.Of[g][i] * c.Curve[g].At(angle) * b.Mass[i] * 9.80665; known && !(math.Abs(got/want.Value-1) <= 1e-12) {
							t.Errorf("%s at %g, row %d: %.12g, want %.12g", g, angle, i, got, want.Value)
						}
					}
				}
			}
		}
		// Anywhere in the range: at a published angle the place is exact.
		a = assume.Defaults()
		a[assume.StrengthOf(muscle.ShoulderAdduction)], a[assume.StrengthOf(muscle.ArmPush)] = 0.2, 1
		strength.OfReference(c, b, &a)
		for g, angle := range map[muscle.Group]float64{muscle.ShoulderAdduction: math.Pi / 2, muscle.ArmPush: 0, muscle.Grip: math.Pi / 2} {
			want, _ := model.Of(g, sex, strength.Sample{Mass: 83, Stature: 1.78}, angle)
			near(t, g.String(), c.Of[g][1]*c.Curve[g].At(angle)*83*9.80665, want.At(a[assume.StrengthOf(g)]))
		}
		if n := testing.AllocsPerRun(10, func() { strength.OfReference(c, b, &a) }); n != 0 {
			t.Errorf("%g allocations", n)
		}
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
	if after.Curve != first.Curve {
		t.Error("the angles of a changed body are others")
	}
	for i := range mass {
		near(t, "relative", after.Relative[i], fall)
		for g := range muscle.NumGroups {
			lever := 1.0
			if g.IsMoment() {
				lever = s
			}
			near(t, g.String(), after.Of[g][i], first.Of[g][i]*fall*lever)
		}
	}
}

// Between people strength follows the measured exponents, whatever the muscles, and the
// relative capacity of the two-condition model with it: an exponent of mass below one
// makes it fall per weight (Jaric 2002, Sports Med 32:615; arithmetic).
func TestBetweenPeople(t *testing.T) {
	a, b := assume.Defaults(), made()
	model := golden.Must(strength.TheModel())(t)
	mass, stature, _ := model.Law.Exponents(anthro.Male)
	c := hold.NewCapacity(3)
	strength.OfPeople(c, b, &a)
	want := math.Pow(104.0/83, mass.Value-1) * math.Pow(1.91/1.78, stature.Value) * model.Law.OfAge(anthro.Male, 57)
	near(t, "relative", c.Relative[2]/c.Relative[1], want)
	near(t, "push", c.Of[muscle.ArmPush][2]/c.Of[muscle.ArmPush][1], want)
	near(t, "adduction", c.Of[muscle.ShoulderAdduction][2]/c.Of[muscle.ShoulderAdduction][1], want*1.91/1.78)
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
