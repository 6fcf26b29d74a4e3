// Package strength says what bodies can give: the strength of untrained adults by
// group of muscles, joint angle, sex, size, build and age, how people differ from it, and how
// it grows with size and muscle.
//
// The unit of a hold's difficulty follows from it: times the strength of an untrained
// adult of the same sex, size, build and age. Training multiplies all groups, and so cancels
// wherever a body is compared with itself.
package strength

import (
	"fmt"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
)

// OfReference fills dst with the capacity of the median untrained adult of each body's
// sex, mass, stature, age and regional masses: each group's norm at the place in its range that its
// assumption says. Of an age at which nobody measured strength it is NaN. Relative is 1:
// every body is its own reference. It allocates nothing.
func OfReference(dst *hold.Capacity, b *body.Columns, a *assume.Set) {
	theModel().fill(dst, b, a)
	for i := range b.Rows() {
		dst.Relative[i] = 1
	}
}

// OfPeople is OfReference where different people are compared: the relative capacity
// is a force per body weight over that of the sample that norms were measured on, so
// that it follows the measured exponents of mass and stature, age and build, as all groups do.
func OfPeople(dst *hold.Capacity, b *body.Columns, a *assume.Set) {
	m := theModel()
	m.fill(dst, b, a)
	norms := m.Norms.samples[b.Sex]
	byMass, byStature := m.Law.bySex[b.Sex].moved(a[assume.StrengthByMass], a[assume.StrengthByStature])
	for i := range b.Rows() {
		aged := m.Law.logOfAge(b.Sex, b.Age[i]) - m.Law.logOfAge(b.Sex, norms.Age)
		dst.Relative[i] = math.Pow(b.Mass[i]/norms.Mass, byMass-1) * math.Pow(b.Stature[i]/norms.Stature, byStature) *
			math.Exp(float64(a[assume.StrengthByAge]*aged)+m.Law.bySex[b.Sex].built(b, i))
	}
}

// built is what the regional masses of body i add to the logarithm of strength.
func (s *sizeLaw) built(b *body.Columns, i int) float64 {
	return float64(s.build[anthro.Head]*b.Regional[anthro.Head][i]) + float64(s.build[anthro.Trunk]*b.Regional[anthro.Trunk][i]) + float64(s.build[anthro.Arms]*b.Regional[anthro.Arms][i])
}

// theModel is TheModel, whose data are built in and tested.
func theModel() *Model {
	m, err := TheModel()
	if err != nil {
		panic(err)
	}
	return m
}

// fill fills what muscles give, but for Relative.
func (m *Model) fill(dst *hold.Capacity, b *body.Columns, a *assume.Set) {
	law, norms := &m.Law.bySex[b.Sex], m.Norms.samples[b.Sex]
	byMass, byStature := law.moved(a[assume.StrengthByMass], a[assume.StrengthByStature])
	byAge := a[assume.StrengthByAge]
	perNewton := func(s Sample, lever, byAge float64) float64 {
		return math.Pow(s.Mass, -byMass) * math.Pow(s.Stature, -byStature-lever) * math.Exp(-byAge*m.Law.logOfAge(b.Sex, s.Age)) / standardGravity
	}
	grip, force, moment := perNewton(law.sample, 0, 1), perNewton(norms, 0, byAge), perNewton(norms, 1, byAge)
	// The law of size, age and build per body weight is the same for all forces, but for the
	// grip's own age, and of moments but for their lever.
	size, ofGrip := dst.Of[muscle.ArmPush], dst.Of[muscle.Grip]
	stature, age := b.Stature[:len(size)], b.Age[:len(size)]
	for i := range size {
		aged := m.Law.logOfAge(b.Sex, age[i])
		size[i] = math.Exp(float64((byMass-1)*math.Log(b.Mass[i])) + float64(byStature*math.Log(stature[i])) + float64(byAge*aged) + law.built(b, i))
		if ofGrip[i] = size[i]; byAge != 1 {
			ofGrip[i] *= math.Exp((1 - byAge) * aged)
		}
	}
	for g := range muscle.ArmPush {
		norm, column := m.Norms.curve(&dst.Curve[g], g, b.Sex, a[assume.StrengthOf(g)]), dst.Of[g][:len(size)]
		switch {
		case g == muscle.Grip:
			for i := range column {
				column[i] *= norm * grip
			}
		case g.IsMoment():
			for i, s := range size {
				column[i] = norm * moment * s * stature[i]
			}
		}
	}
	push := m.Norms.curve(&dst.Curve[muscle.ArmPush], muscle.ArmPush, b.Sex, a[assume.StrengthOf(muscle.ArmPush)])
	for i := range size {
		size[i] *= push * force
	}
	dst.Curve[muscle.ArmPull].N = 0 // nobody measured it
}

// Ratio is how a change alters what one body can give, in newtons and newton
// metres.
type Ratio struct {
	Force float64 // changed over first force capacity
	Lever float64 // changed over first lever arm of the muscles; moment capacity changes by Force·Lever

	perWeight float64 // Force per body weight, scratch of Scale
}

// Scale turns the capacities of the first bodies into those of the changed
// ones: dst row i is first row i times the ratio, over the changed body's
// weight. before and after are the masses, kg. dst may be first.
func Scale(dst, first *hold.Capacity, ratio []Ratio, before, after []float64) {
	dst.Curve = first.Curve
	for i := range ratio {
		ratio[i].perWeight = ratio[i].Force * before[i] / after[i]
		dst.Relative[i] = first.Relative[i] * ratio[i].perWeight
	}
	for g, column := range dst.Of {
		of, column := first.Of[g][:len(ratio)], column[:len(ratio)]
		if muscle.Group(g).IsMoment() {
			for i, r := range ratio {
				column[i] = of[i] * (r.perWeight * r.Lever)
			}
			continue
		}
		for i, r := range ratio {
			column[i] = of[i] * r.perWeight
		}
	}
}

// OfSize returns the ratio for a body enlarged by the factor scale in every
// length, its mass by scale^size_exponent. Force grows with active muscle mass
// to the strength exponent (2/3 is the cross-section argument), lever arms with
// length. A negative scale gives NaN.
func OfSize(scale float64, a *assume.Set) Ratio {
	return Ratio{Force: math.Pow(scale, a[assume.SizeExponent]*a[assume.StrengthExponent]), Lever: scale}
}

// OfAddedMass returns the ratio for a body of the given mass, kg, that gains
// added kilograms of which the share working is muscle that works in the hold:
//
//	(1 + q·Δm / (a·mass))^β
//
// A loss has added < 0; fat has working = 0.
func OfAddedMass(mass, added, working float64, a *assume.Set) Ratio {
	grown := 1 + working*added/(a[assume.ActiveShare]*mass)
	return Ratio{Force: math.Pow(math.Max(grown, 0), a[assume.StrengthExponent]), Lever: 1}
}

// OfChange fills dst with the capacities of the changed bodies, from those of the first
// ones, which may be dst: size and working muscle give strength, and mass has to be carried. ratio is
// scratch, one element a body. It fails on the first body that would lose all the
// muscle that works in the hold, or more, for a body without strength compares with
// nothing.
func OfChange(dst, first *hold.Capacity, ratio []Ratio, ch *body.Change, before, after *body.Columns, a *assume.Set) error {
	scale := ch.Scale()
	size := OfSize(scale, a)
	for i := range ratio {
		ratio[i] = size
		if len(ch.Mass) == 0 {
			continue
		}
		mass, working := before.Mass[i]*math.Pow(scale, a[assume.SizeExponent]), 0.0
		for _, m := range ch.Mass {
			working += float64(m.Working * m.Kilograms)
		}
		if active := float64(a[assume.ActiveShare] * mass); !(active+working > 0) {
			return fmt.Errorf("strength: a body of %.1f kg has %.1f kg of muscle that works in the hold (active_share %.3g) and cannot lose %.1f kg of it",
				mass, active, a[assume.ActiveShare], -working)
		}
		ratio[i].Force *= OfAddedMass(mass, working, 1, a).Force
	}
	Scale(dst, first, ratio, before.Mass, after.Mass)
	return nil
}

// BreakEven returns the working share of added mass that leaves the difficulty
// as it was: with F the required force in body weights and m the mass, before
// and after,
//
//	q* = (a·m₀/Δm)·[((F₁/F₀)·(m₁/m₀))^(1/β) − 1].
//
// It is above 1 where even pure muscle would not pay, below 0 where dead weight
// in that place makes the hold easier; no finite number where
// nothing is added.
func BreakEven(forceRatio, mass, added float64, a *assume.Set) float64 {
	heavier := (mass + added) / mass
	return a[assume.ActiveShare] * mass / added * (math.Pow(forceRatio*heavier, 1/a[assume.StrengthExponent]) - 1)
}
