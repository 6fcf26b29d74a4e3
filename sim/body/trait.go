package body

import (
	"fmt"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/fault"
	"counterpoise/sim/names"
)

// Trait is something that bodies have more or less of. All that is known of one
// stands in a row of the table below: what it is called, how it is read off a body,
// how a body is given more of it, and within which limits.
type Trait int

// The traits of which a body can be given more: the changes.
const (
	ArmLength Trait = iota
	ShoulderBreadth
	LegLength
	HandLength
	Size
	NumChanges
)

// The traits that are only read.
const (
	Stature Trait = NumChanges + iota
	Mass
	ForearmLength
	ShoulderSpan
	TrunkLength
	ThighLength
	FootLength
	HeadMassShare
	TrunkMassShare
	ArmsMassShare
	LegsMassShare
	NumTraits
)

// TraitInfo describes a trait and the change of a body that is called after it.
type TraitInfo struct {
	Name    string // as written in files
	Unit    string // "m", "kg", or "" for a share or a factor, which is changed by shares only
	Meaning string // from where to where

	// Bounds are what can be meant by more and less of it, in Unit; shares have their
	// own. Usual is how far people ask: the end of a slider, in Unit or as a share.
	Bounds fault.Bounds
	Usual  float64

	// The words of a change: "arms 10 cm longer", "1 cm more arm"; Short stands where
	// the sign tells the way, as in "arms +10 cm".
	Noun, More, Less string
	Short            string
	One              string

	// Measured is the measurement that gives this and nothing else of a body, or -1.
	Measured anthro.Measurement
}

// trait is a row of the table.
type trait struct {
	TraitInfo
	of     func(b *Columns, i int) float64
	apply  change  // copies the columns that it writes
	follow []girth // whose mass goes with the length; none where nothing does
}

const none anthro.Measurement = -1

// upTo are the bounds of a length that grows or shrinks by at most so many metres: more than
// ten standard deviations between people.
func upTo(metres float64) fault.Bounds { return fault.Bounds{Least: -metres, Most: metres, Unit: "m"} }

// traits is the table. A new change is a row here, and a row of its test.
var traits = [NumTraits]trait{
	ArmLength: {
		TraitInfo: TraitInfo{Name: "arm_length", Unit: "m", Meaning: "shoulder centre to centre of grip", Bounds: upTo(0.4), Usual: 0.15,
			Noun: "arms", More: "longer", Less: "shorter", Short: "arms", One: "arm", Measured: none},
		of: (*Columns).Arm,
		apply: stretching("arms of %.3f m cannot be shortened by %.3f m", (*Columns).Arm,
			func(b *Columns, i int) float64 { return b.UpperArm[i] + b.Forearm[i] },
			func(b *Columns) []*[]float64 {
				return []*[]float64{&b.UpperArm, &b.UpperArmCentre, &b.Forearm, &b.ForearmCentre}
			}),
		follow: []girth{
			{func(b *Columns) []float64 { return b.UpperArmShare }, func(b *Columns) []float64 { return b.UpperArm }},
			{func(b *Columns) []float64 { return b.ForearmShare }, func(b *Columns) []float64 { return b.Forearm }},
		},
	},
	ShoulderBreadth: {
		TraitInfo: TraitInfo{Name: "shoulder_breadth", Unit: "m", Meaning: "biacromial breadth", Bounds: upTo(0.3), Usual: 0.08,
			Noun: "shoulders", More: "broader", Less: "narrower", Short: "shoulders", One: "shoulder breadth", Measured: anthro.BiacromialBreadth},
		of: func(b *Columns, i int) float64 { return b.ShoulderSpan[i] / b.SpanShare },
		apply: func(dst *Columns, by Amount, _ *assume.Set) error {
			dst.copies(&dst.ShoulderSpan)
			share := dst.SpanShare
			for i := range dst.ShoulderSpan {
				wider := by.Of(dst.ShoulderSpan[i] / share)
				if dst.ShoulderSpan[i] += float64(share * wider); !(dst.ShoulderSpan[i] > 0) {
					return fmt.Errorf("body: shoulders cannot be narrowed by %.3f m", -wider)
				}
			}
			return nil
		},
	},
	LegLength: {
		TraitInfo: TraitInfo{Name: "leg_length", Unit: "m", Meaning: "hip centre to ankle", Bounds: upTo(0.5), Usual: 0.15,
			Noun: "legs", More: "longer", Less: "shorter", Short: "legs", One: "leg", Measured: none},
		of: (*Columns).leg,
		apply: taller(stretching("legs of %.3f m cannot be shortened by %.3f m", (*Columns).leg, (*Columns).leg,
			func(b *Columns) []*[]float64 { return []*[]float64{&b.Thigh, &b.ThighCentre, &b.Shank, &b.ShankCentre} })),
		follow: []girth{
			{func(b *Columns) []float64 { return b.ThighShare }, func(b *Columns) []float64 { return b.Thigh }},
			{func(b *Columns) []float64 { return b.ShankShare }, func(b *Columns) []float64 { return b.Shank }},
		},
	},
	HandLength: {
		TraitInfo: TraitInfo{Name: "hand_length", Unit: "m", Meaning: "wrist to fingertip, the palm and the grip in proportion", Bounds: upTo(0.2), Usual: 0.03,
			Noun: "hands", More: "longer", Less: "shorter", Short: "hand length", One: "hand", Measured: anthro.HandLength},
		of: (*Columns).hand,
		apply: stretching("hands of %.3f m cannot be shortened by %.3f m", (*Columns).hand, (*Columns).hand,
			func(b *Columns) []*[]float64 { return []*[]float64{&b.Hand, &b.Palm, &b.Grip, &b.HandCentre} }),
		follow: []girth{{func(b *Columns) []float64 { return b.HandShare }, func(b *Columns) []float64 { return b.Hand }}},
	},
	Size: {
		TraitInfo: TraitInfo{Name: "size", Meaning: "every length, and mass with it", Usual: 0.15,
			Noun: "every length", More: "larger", Less: "smaller", Short: "size", One: "of every length", Measured: none},
		of: func(*Columns, int) float64 { return 1 },
		// Mass grows by the factor to the assumption size_exponent.
		apply: func(dst *Columns, by Amount, a *assume.Set) error {
			dst.copies(append(dst.lengths(), &dst.Mass)...)
			dst.enlarge(1+by.Share, sizeMass(by.Share, a))
			return nil
		},
	},
	Stature:        read("stature", "m", "stature", anthro.Stature, func(b *Columns, i int) float64 { return b.Stature[i] }),
	Mass:           read("mass", "kg", "body mass", anthro.Mass, func(b *Columns, i int) float64 { return b.Mass[i] }),
	ForearmLength:  read("forearm_length", "m", "elbow to wrist", anthro.ForearmLength, func(b *Columns, i int) float64 { return b.Forearm[i] }),
	ShoulderSpan:   read("shoulder_span", "m", "separation of the shoulder centres", none, func(b *Columns, i int) float64 { return b.ShoulderSpan[i] }),
	TrunkLength:    read("trunk_length", "m", "shoulder line to hip centres", none, func(b *Columns, i int) float64 { return b.Hip[i] }),
	ThighLength:    read("thigh_length", "m", "hip centre to knee", none, func(b *Columns, i int) float64 { return b.Thigh[i] }),
	FootLength:     read("foot_length", "m", "heel to toe", anthro.FootLength, func(b *Columns, i int) float64 { return b.Foot[i] }),
	HeadMassShare:  read("head_mass_share", "", "share of body mass in head and neck", none, func(b *Columns, i int) float64 { return b.HeadShare[i] }),
	TrunkMassShare: read("trunk_mass_share", "", "share of body mass in the trunk", none, func(b *Columns, i int) float64 { return b.TrunkShare[i] }),
	ArmsMassShare:  read("arms_mass_share", "", "share of body mass in both arms", none, func(b *Columns, i int) float64 { return 2 * b.ArmShare(i) }),
	LegsMassShare:  read("legs_mass_share", "", "share of body mass in both legs", none, func(b *Columns, i int) float64 { return 2 * b.LegShare(i) }),
}

var traitNames = names.Rows[Trait](traits[:], func(row *trait) string { return row.Name })

// read is the row of a trait that is only read.
func read(name, unit, meaning string, measured anthro.Measurement, of func(*Columns, int) float64) trait {
	return trait{TraitInfo: TraitInfo{Name: name, Unit: unit, Meaning: meaning, Measured: measured},
		of: of}
}

// change is how a body is given more of a trait.
type change func(dst *Columns, by Amount, a *assume.Set) error

// taller makes stature go with the legs; what is a share of stature stays as it is.
func taller(legs change) change {
	return func(dst *Columns, by Amount, a *assume.Set) error {
		dst.copies(&dst.Stature)
		for i := range dst.Stature {
			dst.Stature[i] += by.Of(dst.leg(i))
		}
		return legs(dst, by, a)
	}
}

// stretching makes a change of a length that stretches some columns in proportion:
// the amount is one of the whole length, and the part of it that gives takes all of it.
func stretching(cannot string, whole, part func(*Columns, int) float64, columns func(*Columns) []*[]float64) change {
	numbers := numbersOf(columns)
	return func(dst *Columns, by Amount, _ *assume.Set) error {
		var room [8][]float64
		list := dst.copied(room[:0], numbers)
		for i := range dst.Rows() {
			longer := by.Of(whole(dst, i))
			stretch := 1 + longer/part(dst, i)
			if !(stretch > 0) {
				return fmt.Errorf("body: "+cannot, whole(dst, i), -longer)
			}
			for _, column := range list {
				column[i] *= stretch
			}
		}
		return nil
	}
}

// Info returns what the table says of the trait.
func (t Trait) Info() TraitInfo { return traits[t].TraitInfo }

// String returns the trait's name as written in files.
func (t Trait) String() string { return traitNames.Of(t) }

// Of reads the trait off body i, without what it carries, in its unit.
func (t Trait) Of(b *Columns, i int) float64 { return traits[t].of(b.Bare(), i) }

// Column is the name of a column that holds the trait: its own, which ends in its unit.
func (t Trait) Column() string {
	if unit := traits[t].Unit; unit != "" {
		return traits[t].Name + "_" + unit
	}
	return traits[t].Name
}

// ParseTrait finds a trait by its name.
func ParseTrait(name string) (Trait, bool) { return traitNames.Find(name) }

// Check reports an amount that is not one of the trait's: no number, a length of
// what has none, or beyond the bounds. The errors are *[fault.Error].
func (t Trait) Check(by Amount) error {
	row := &traits[t]
	if t >= NumChanges && by != (Amount{}) {
		return fault.New(row.Name, by, "it cannot change alone, leave this out")
	}
	return by.check(row.Name, row.Bounds)
}
