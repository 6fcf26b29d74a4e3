// Package assume holds the assumptions of the model: the numbers that nobody
// measured on the person, by name, with their defaults, ranges and sources.
//
// All of them are dimensionless (shares, exponents, places in a range, angles in radians),
// so that a body scaled by any factor stays geometrically similar under the same
// assumptions.
package assume

import (
	"fmt"

	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
)

// ID names one assumption; it is an index into a Set.
type ID int

// The assumptions. Their meaning, default and range are in All.
const (
	ShoulderDrop ID = iota
	GripReach
	ShoulderSpan
	ShoulderRise
	HipDrop
	HeelShare
	TopShare
	StrengthExponent
	ActiveShare
	UpperBodySplit
	SizeExponent
	PressureReach
	PlankAngle
	ElbowAngle
	BallShare
	ForearmPressure
	WallFriction
	PushDirection
	StrengthByMass
	StrengthByStature
	StrengthByAge
	firstStrength // of the groups of muscles, in their order: see StrengthOf
	Count         = firstStrength + ID(muscle.NumGroups-1)
)

// StrengthOf returns the assumption about a group's strength. What a straight arm
// takes under a pull has none: nothing is known of it.
func StrengthOf(g muscle.Group) ID { return firstStrength + ID(g) }

// OfStrength reports whether the assumption is about the strength of untrained people.
func (id ID) OfStrength() bool { return id >= StrengthByMass && id < Count }

// Assumption describes one assumption.
type Assumption struct {
	ID      ID
	Name    string  // as written in files and on the command line
	Symbol  string  // as in the formulas
	Default float64 // dimensionless, see Unit
	Low     float64 // lower end of the range that the uncertainty analysis covers
	High    float64 // upper end of that range
	Least   float64 // the smallest value that makes sense at all
	Most    float64 // the largest value that makes sense at all
	Unit    string  // what the number is a multiple of, in words
	Meaning string
	Source  string
	Choice  bool // the performer chooses it unless it is pinned: Default, Low and High are Chosen
}

// sixth is π/6, in its last digit as it comes out of what people write.
const sixth = 0.5235987755982988

// assumptions lists every assumption in the order of the IDs.
var assumptions = withStrengths([Count]Assumption{
	ShoulderDrop: {Name: "shoulder_drop", Symbol: "δ", Default: 0.104, Low: 0.06, High: 0.14, Least: 0, Most: 0.3,
		Unit: "share of upper-arm length", Meaning: "how far the centre of the shoulder joint lies below the acromion",
		Source: "common practice in gait models, no single source; wide range"},
	GripReach: {Name: "grip_reach", Symbol: "ρ", Default: 0.55, Low: 0.45, High: 0.65, Least: 0, Most: 1,
		Unit: "share of palm length", Meaning: "distance from the wrist to the centre of the grip",
		Source: "consistent with the elbow-to-grip length of the 2012 US Army survey"},
	ShoulderSpan: {Name: "shoulder_span", Symbol: "f", Default: 0.86, Low: 0.74, High: 1, Least: 0.3, Most: 1.3,
		Unit: "share of biacromial breadth", Meaning: "distance between the two shoulder joint centres, arms overhead",
		Source: "estimate, no source: less than between the acromia, and less still as the collar bones rise"},
	ShoulderRise: {Name: "shoulder_rise", Symbol: "ε", Default: 0.015, Low: 0, High: 0.03, Least: -0.02, Most: 0.08,
		Unit: "share of stature", Meaning: "how far the shoulders rise when the arms go overhead",
		Source: "estimate, no source"},
	HipDrop: {Name: "hip_drop", Symbol: "η", Default: 0, Low: -0.01, High: 0.02, Least: -0.05, Most: 0.08,
		Unit: "share of stature", Meaning: "how far the hip joint centre lies below the trochanterion",
		Source: "estimate, no source"},
	HeelShare: {Name: "heel_share", Symbol: "h", Default: 0.25, Low: 0.2, High: 0.3, Least: 0, Most: 0.6,
		Unit: "share of foot length", Meaning: "distance from the heel forward to the ankle",
		Source: "estimate, no source"},
	TopShare: {Name: "top_share", Symbol: "λ", Default: Chosen, Low: Chosen, High: Chosen, Least: 0, Most: 1,
		Unit: "share of body weight", Meaning: "vertical force that the top hand carries",
		Source: "the performer chooses it with the angle of the arms: statics does not fix it (two hinges), muscles can move it", Choice: true},
	StrengthExponent: {Name: "strength_exponent", Symbol: "β", Default: 0.67, Low: 0.47, High: 0.75, Least: 0, Most: 1.5,
		Unit: "exponent", Meaning: "how a body's strength grows with its working muscle: to this power",
		Source: "0.67: Jaric 2002, Sports Med 32:615; fitted exponents of forces run from 0.47 to 0.75; those of moments include a lever, which is counted separately"},
	ActiveShare: {Name: "active_share", Symbol: "a", Default: 0.15, Low: 0.08, High: 0.25, Least: 0.01, Most: 0.6,
		Unit: "share of body mass", Meaning: "muscle that works in the hold",
		Source: "estimate, no source"},
	UpperBodySplit: {Name: "upper_body_split", Symbol: "", Default: 0.3, Low: 0.2, High: 0.4, Least: 0, Most: 1,
		Unit: "share of the added mass", Meaning: "share of an upper-body gain on the two arms; the rest is on the upper trunk",
		Source: "estimate, no source"},
	SizeExponent: {Name: "size_exponent", Symbol: "p", Default: 3, Low: 2, High: 3, Least: 0, Most: 4,
		Unit: "exponent", Meaning: "how mass grows when a body is enlarged: with size to this power",
		Source: "3 keeps the shape; real adults differ as stature^2.1 (Heymsfield et al. 2014, Am J Clin Nutr 100:1455)"},
	PressureReach: {Name: "pressure_reach", Symbol: "q", Default: 0.5, Low: 0, High: 1, Least: 0, Most: 1,
		Unit: "share of palm length", Meaning: "how far ahead of the wrist a flat hand presses on the floor",
		Source: "between the heel of the hand and the base of the fingers; the middle is an estimate"},
	PlankAngle: {Name: "plank_angle", Symbol: "A", Default: 4 * math.Pi / 9, Low: 7 * math.Pi / 18, High: math.Pi / 2, Least: sixth, Most: 5 * math.Pi / 6,
		Unit: "rad", Meaning: "angle between arms and trunk in push-ups and planks: where the hands are put",
		Source: "estimate, no source: force-plate studies do not publish it"},
	ElbowAngle: {Name: "elbow_angle", Symbol: "", Default: math.Pi / 2, Low: 4 * math.Pi / 9, High: 5 * math.Pi / 9, Least: sixth, Most: math.Pi,
		Unit: "rad", Meaning: "angle between upper arm and forearm where arms are bent",
		Source: "common practice, no source: upper arms level at the bottom of a push-up"},
	BallShare: {Name: "ball_share", Symbol: "", Default: 0.74, Low: 0.70, High: 0.78, Least: 0.4, Most: 1,
		Unit: "share of foot length", Meaning: "distance from the heel to the ball of the foot, on which a plank stands",
		Source: "2012 US Army survey: ball of foot over foot length 0.741 (SD 0.015) in men, 0.739 (0.013) in women"},
	ForearmPressure: {Name: "forearm_pressure", Symbol: "", Default: 0.4, Low: 0.1, High: 0.7, Least: 0, Most: 1,
		Unit: "share of forearm length", Meaning: "how far from the elbow a forearm presses on the floor",
		Source: "estimate, no source"},
	WallFriction: {Name: "wall_friction", Symbol: "μ", Default: 0, Low: -0.4, High: 0.4, Least: -1.5, Most: 1.5,
		Unit: "share of the wall's push", Meaning: "what the wall carries of the weight: upwards is positive; a smooth wall carries nothing",
		Source: "friction may act either way up to its coefficient; the range is an estimate"},
	PushDirection: {Name: "push_direction", Symbol: "κ", Default: 0.5, Low: 0, High: 1, Least: 0, Most: 1.5,
		Unit: "0 is straight up, 1 through the shoulders", Meaning: "where the floor's force on the hands points in push-ups and planks; the performer chooses it within friction",
		Source: "the performer's choice, not a property of the body; force plates gave the vertical part only; the range is what friction allows without strain at the shoulders"},
	StrengthByMass: {Name: "strength_by_mass", Default: 0, Low: -2, High: 2, Least: -4, Most: 4,
		Unit: "standard errors", Meaning: "error of the measured exponent of strength by mass, between people",
		Source: "the fit to grip strength, NHANES 2011-2014; 95 % lies within two standard errors"},
	StrengthByStature: {Name: "strength_by_stature", Default: 0, Low: -2, High: 2, Least: -4, Most: 4,
		Unit: "standard errors", Meaning: "error of the measured exponent of strength by stature, between people of the same mass",
		Source: "the fit to grip strength, NHANES 2011-2014; 95 % lies within two standard errors"},
	StrengthByAge: {Name: "strength_by_age", Default: 1, Low: 0, High: 1.5, Least: 0, Most: 3,
		Unit: "exponent", Meaning: "how closely strength follows grip with age: each other muscle group changes as grip to this power, at the same size",
		Source: "that grip represents all groups is an assumption. 0: no decline that counts before 49 to 55 years, in 51 groups of 543 people (Stoll et al. 2000, Clin Rheumatol 19:105, abstract), nor in most shoulder tests of 400 people of 20 to 59 (Bradley and Pierpoint 2023, Int J Sports Phys Ther, abstract). " +
			"1: shoulders fell with age in all 20 tests of 120 people (Hughes et al. 1999, abstract). 1.5: women's knees lost 9.3 % a decade where their grip lost 6.2 (Hunter et al. 2000, J Gerontol A 55:B264, abstract)"},
})

// withStrengths adds the assumptions about the strength of the groups.
func withStrengths(list [Count]Assumption) [Count]Assumption {
	for g := range muscle.NumGroups - 1 {
		i := g.Info()
		list[StrengthOf(g)] = Assumption{
			Name: i.Name + "_strength", Default: 0.5, Low: 0, High: 1, Least: 0, Most: 1,
			Unit:    "place in the range of the published norms",
			Meaning: "untrained adults' strength in " + i.Says + ": 0 the lowest published norm, ½ the norm used, 1 the highest",
			Source:  "the norms of strength, each with its sources; the range of the mean, not of people",
		}
	}
	return list
}

// All returns the description of every assumption, in the order of the IDs.
func All() []Assumption { return names.Each(names.UpTo(Count), ID.Info) }

// Info returns the description of one assumption.
func (id ID) Info() Assumption {
	a := assumptions[id]
	a.ID = id
	return a
}

var assumptionNames = names.Rows[ID](assumptions[:], func(a *Assumption) string { return a.Name })

// String returns the assumption's name.
func (id ID) String() string { return assumptionNames.Of(id) }

// Parse finds an assumption by its name.
func Parse(name string) (ID, bool) { return assumptionNames.Find(name) }

// Set is one value for every assumption, indexed by ID.
type Set [Count]float64

// Chosen is the value of what the performer chooses as long as nobody pins it. It
// is no assumption then: nothing is drawn, and a hold finds the value itself.
const Chosen = -1

// Pinned returns the value of what else the performer chooses, and whether somebody
// pinned it.
func (s *Set) Pinned(id ID) (value float64, pinned bool) { return s[id], s[id] != Chosen }

// Named returns the values by name, without what the performer chooses.
func (s *Set) Named() map[string]float64 {
	named := map[string]float64{}
	for id := range Count {
		if _, pinned := s.Pinned(id); pinned || !id.Info().Choice {
			named[id.String()] = s[id]
		}
	}
	return named
}

// Defaults returns the default of every assumption.
func Defaults() Set {
	var s Set
	for i := range assumptions {
		s[i] = assumptions[i].Default
	}
	return s
}

// Uncertainty is what is believed about the assumptions: a central value each
// and the range over which the uncertainty analysis spreads it. An assumption
// whose Low equals its High is taken as known.
type Uncertainty struct {
	Centre, Low, High Set
}

// DefaultUncertainty returns the defaults with their ranges.
func DefaultUncertainty() Uncertainty {
	u := Uncertainty{Centre: Defaults()}
	for i := range assumptions {
		u.Low[i], u.High[i] = assumptions[i].Low, assumptions[i].High
	}
	return u
}

// Fix takes one assumption as known. It fails on a value that makes no sense.
func (u *Uncertainty) Fix(id ID, value float64) error { return u.Spread(id, value, value) }

// Spread gives one assumption a range of its own, centred on its middle. It
// fails on a range that is the wrong way round or holds values that make no
// sense. A choice that is set to Chosen is the performer's again.
func (u *Uncertainty) Spread(id ID, low, high float64) error {
	a := id.Info()
	if a.Choice && low == Chosen && high == Chosen {
		u.Centre[id], u.Low[id], u.High[id] = Chosen, Chosen, Chosen
		return nil
	}
	if !(low >= a.Least && low <= high && high <= a.Most) {
		return &RangeError{id, low, high}
	}
	u.Centre[id], u.Low[id], u.High[id] = low+float64((high-low)/2), low, high
	return nil
}

// RangeError is a range that an assumption cannot have.
type RangeError struct {
	ID        ID
	Low, High float64
}

func (e *RangeError) Error() string {
	return e.In(e.ID.Info().Unit, func(x float64) float64 { return x })
}

// In is the error with its numbers turned into another unit.
func (e *RangeError) In(unit string, turned func(float64) float64) string {
	a, text := e.ID.Info(), RangeText(turned(e.Low), turned(e.High))
	if e.Low >= a.Least && e.High <= a.Most {
		return fmt.Sprintf("assumption %s: the range %s is the wrong way round", a.Name, text)
	}
	return fmt.Sprintf("assumption %s: %s is not allowed, it must lie in %g..%g (%s)", a.Name, text, turned(a.Least), turned(a.Most), unit)
}

// RangeText writes a value or a range of an assumption as Set reads it: "0.5..0.7".
func RangeText(low, high float64) string {
	if low == high {
		return fmt.Sprintf("%g", low)
	}
	return fmt.Sprintf("%g..%g", low, high)
}

// Free lists the assumptions that are not taken as known.
func (u *Uncertainty) Free() []ID {
	var free []ID
	for i := range Count {
		if u.Low[i] < u.High[i] {
			free = append(free, i)
		}
	}
	return free
}

// At returns the assumptions at a point of the unit cube: point has one
// coordinate in [0, 1] for each free assumption, in the order of Free; each
// runs evenly over its range. Assumptions that are known keep their value.
func (u *Uncertainty) At(point []float64) Set {
	s := u.Centre
	k := 0
	for i := range Count {
		if u.Low[i] < u.High[i] {
			s[i] = u.Low[i] + float64(point[k]*(u.High[i]-u.Low[i]))
			k++
		}
	}
	return s
}
