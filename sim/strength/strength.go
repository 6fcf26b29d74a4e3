// Package strength says what bodies can give: how the capacity for force and
// moment grows with size, muscle and training, and what that makes of a hold's
// demands.
//
// Only ratios of capacity are needed to compare a body with a changed one; the
// capacities in body weights that the equilibrium model takes are assumptions.
package strength

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
)

// OfReference fills dst with the capacity of every body as its own reference:
// the assumed capacities, with the relative capacity 1.
func OfReference(dst *hold.Capacity, b *body.Columns, a *assume.Set) {
	for i := range b.Rows() {
		dst.Axial[i] = a[assume.AxialCapacity]
		dst.Adduction[i] = a[assume.AdductionCapacity] * b.Stature[i]
		dst.Abduction[i] = a[assume.AbductionCapacity] * b.Stature[i]
		dst.Relative[i] = 1
	}
}

// Ratio is how a change alters what one body can give, in newtons and newton
// metres.
type Ratio struct {
	Force float64 // changed over first force capacity
	Lever float64 // changed over first lever arm of the muscles; moment capacity changes by Force·Lever
}

// Scale turns the capacities of the first bodies into those of the changed
// ones: dst row i is first row i times the ratio, over the changed body's
// weight. before and after are the masses, kg. dst may be first.
func Scale(dst, first *hold.Capacity, ratio []Ratio, before, after []float64) {
	for i := range ratio {
		force := ratio[i].Force * before[i] / after[i]
		moment := force * ratio[i].Lever
		dst.Axial[i] = first.Axial[i] * force
		dst.Adduction[i] = first.Adduction[i] * moment
		dst.Abduction[i] = first.Abduction[i] * moment
		dst.Relative[i] = first.Relative[i] * force
	}
}

// OfSize returns the ratio for a body enlarged by the factor scale in every
// length, its mass by scale^size_exponent. Force grows with active muscle mass
// to the strength exponent (2/3 is the cross-section argument), lever arms with
// length.
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

// OfChange turns the capacities of first bodies in can into those of the changed
// ones: size and working muscle give strength, and mass has to be carried. ratio is
// scratch, one element a body.
func OfChange(can *hold.Capacity, ratio []Ratio, ch *body.Change, before, after *body.Columns, a *assume.Set) {
	scale := ch.Scale()
	size := OfSize(scale, a)
	for i := range ratio {
		ratio[i] = size
		if len(ch.Mass) == 0 {
			continue
		}
		mass, working := before.Mass[i]*math.Pow(scale, a[assume.SizeExponent]), 0.0
		for _, m := range ch.Mass {
			working += m.Working * m.Kilograms
		}
		ratio[i].Force *= OfAddedMass(mass, working, 1, a).Force
	}
	Scale(can, can, ratio, before.Mass, after.Mass)
}

// BreakEven returns the working share of added mass that leaves the difficulty
// as it was: with F the required force in body weights and m the mass, before
// and after,
//
//	q* = (a·m₀/Δm)·[((F₁/F₀)·(m₁/m₀))^(1/β) − 1].
//
// It is above 1 where even pure muscle would not pay, below 0 where dead weight
// in that place makes the hold easier.
func BreakEven(forceRatio, mass, added float64, a *assume.Set) float64 {
	heavier := (mass + added) / mass
	return a[assume.ActiveShare] * mass / added * (math.Pow(forceRatio*heavier, 1/a[assume.StrengthExponent]) - 1)
}

// Between says how the capacities of different people are compared.
type Between int

// The ways to compare.
const (
	// ByMass: force capacity grows with body mass to the strength exponent.
	ByMass Between = iota
	// ByBuild: force capacity grows with stature², whatever the fat on it.
	ByBuild
	NumBetween
)

var betweenNames = names.List[Between]{"by-mass", "by-build"}

// String returns the way's name as written in files.
func (w Between) String() string { return betweenNames.Of(w) }

// MarshalText writes the way's name.
func (w Between) MarshalText() ([]byte, error) { return betweenNames.Marshal(w) }

// UnmarshalText reads a way's name.
func (w *Between) UnmarshalText(text []byte) error { return betweenNames.Unmarshal(w, text) }

// ParseBetween finds a way by its name.
func ParseBetween(name string) (Between, bool) { return betweenNames.Find(name) }

// Reference is the mean person against whom people are compared.
type Reference struct {
	Mass  float64 // mean mass, kg
	Build float64 // mean of stature²/mass, m²/kg
}

// OfPeople fills dst with the capacities of different people, each relative to
// the reference person's: per body weight (mass/mean)^(β−1), or stature²/mass
// over its mean. Moment capacity has a lever arm that grows with stature.
func OfPeople(dst *hold.Capacity, b *body.Columns, way Between, reference Reference, a *assume.Set) {
	for i := range b.Rows() {
		var relative float64
		if way == ByBuild {
			relative = b.Stature[i] * b.Stature[i] / b.Mass[i] / reference.Build
		} else {
			relative = math.Pow(b.Mass[i]/reference.Mass, a[assume.StrengthExponent]-1)
		}
		dst.Axial[i] = a[assume.AxialCapacity] * relative
		dst.Adduction[i] = a[assume.AdductionCapacity] * b.Stature[i] * relative
		dst.Abduction[i] = a[assume.AbductionCapacity] * b.Stature[i] * relative
		dst.Relative[i] = relative
	}
}
