// Package outline makes holds out of descriptions: which part of the body points where,
// what carries it, and what is left open. An Outline is what somebody writes who has a
// hold in mind that package hold does not have.
//
// Of one description two things are made: a Solve that takes columns of bodies through it
// row by row without allocating, and a Figure for the general solver, which checks the
// former (package holdtest does) and is what pictures are drawn from. Both read the same
// directions of the parts and the same turn of the hands; where the joints are, what
// balances and what muscles bear each finds by itself.
//
// A body is a tree of straight parts in one vertical plane. Every part points in a
// direction, from its end nearer the shoulders to the other: against the level, or
// against the part that it is joined to. At most one angle may be left free, and a rule
// fixes it. Supports pass on forces at points of the body; what statics leaves open of
// them the performer chooses so that the muscle that is used most is used least, or a
// rule of the description closes.
//
// Lengths are in metres, angles in radians, forces in newtons.
package outline

import (
	"fmt"

	"counterpoise/sim/assume"
	"counterpoise/sim/names"
)

// View is the plane in which a hold is looked at.
type View int

// The views. In Side both arms and both legs fall on each other unless they are told
// apart; in Front the shoulders stand to either side of the trunk.
const (
	Side View = iota
	Front
	NumViews
)

var viewNames = names.List[View]{"side", "front"}

// String returns the view's name.
func (v View) String() string { return viewNames.Of(v) }

// MarshalText writes the view's name.
func (v View) MarshalText() ([]byte, error) { return viewNames.Marshal(v) }

// UnmarshalText reads a view's name.
func (v *View) UnmarshalText(text []byte) error { return viewNames.Unmarshal(v, text) }

// Facing is towards which side of the picture the belly looks, or the chest where the
// trunk is upright. It tells how joints bend in a hold that is seen from the side.
type Facing int

// The ways to face.
const (
	FacesUp Facing = iota
	FacesDown
	FacesLeft
	FacesRight
	NumFacings
)

var facingNames = names.List[Facing]{"up", "down", "left", "right"}

// String returns the way's name.
func (f Facing) String() string { return facingNames.Of(f) }

// MarshalText writes the way's name.
func (f Facing) MarshalText() ([]byte, error) { return facingNames.Marshal(f) }

// UnmarshalText reads a way's name.
func (f *Facing) UnmarshalText(text []byte) error { return facingNames.Unmarshal(f, text) }

// Part is a part of the body that points somewhere. Each is joined to the one before it
// in its chain: chest, abdomen, pelvis; chest, upper arm, forearm; pelvis, thigh, shank;
// chest, head.
type Part int

// The parts.
const (
	Chest Part = iota
	Abdomen
	Pelvis
	Head
	UpperArm
	Forearm
	Thigh
	Shank
	NumParts
)

var partNames = names.List[Part]{"chest", "abdomen", "pelvis", "head", "upper_arms", "forearms", "thighs", "shanks"}

// String returns the part's name.
func (p Part) String() string { return partNames.Of(p) }

// Paired is whether there are two of the part.
func (p Part) Paired() bool { return p >= UpperArm }

// Against is what an angle is measured against.
type Against int

// What angles are measured against.
const (
	// Neighbour is the part that this one is joined to: 0 is straight on, and positive
	// is the way in which the joint bends, towards the belly for spine, hips, elbows
	// and head, away from it for knees. Seen from the front elbows bend on in the way
	// in which the arm is raised, and thighs are spread.
	Neighbour Against = iota
	// Trunk is for upper arms: 0 with the arms at the sides, a quarter turn straight
	// before the chest (to the side, seen from the front), half a turn overhead, and
	// less than 0 behind the back.
	Trunk
	// Level is the horizontal: 0 to the right, a quarter turn straight up.
	Level
	NumAgainst
)

var againstNames = names.List[Against]{"bent", "raised", "level"}

// String returns the word that stands before such an angle in files.
func (a Against) String() string { return againstNames.Of(a) }

// MarshalText writes the word.
func (a Against) MarshalText() ([]byte, error) { return againstNames.Marshal(a) }

// UnmarshalText reads the word.
func (a *Against) UnmarshalText(text []byte) error { return againstNames.Unmarshal(a, text) }

// Angle is where a part points. The zero value is straight on from the part before.
type Angle struct {
	Against Against
	Value   float64 // rad
	Free    bool    // Outline.Free tells it, and Value does not
	// Assumed names an assumption that gives the angle instead of Value, such as
	// assume.PlankAngle; NoAssumption is the zero value's.
	Assumed Assumed
}

// Assumed is an assumption that gives a number, or none: 1 more than its assume.ID.
type Assumed int

// NoAssumption stands for a number that is given outright.
const NoAssumption Assumed = 0

// By returns the Assumed of an assumption.
func By(id assume.ID) Assumed { return Assumed(id) + 1 }

// ID returns the assumption, if there is one.
func (a Assumed) ID() (assume.ID, bool) { return assume.ID(a - 1), a != NoAssumption }

// MarshalText writes the assumption's name, nothing where there is none.
func (a Assumed) MarshalText() ([]byte, error) {
	if id, is := a.ID(); is {
		return []byte(id.String()), nil
	}
	return nil, nil
}

// UnmarshalText reads what MarshalText wrote.
func (a *Assumed) UnmarshalText(text []byte) error {
	id, known := assume.Parse(string(text))
	switch {
	case len(text) == 0:
		*a = NoAssumption
	case !known:
		return fmt.Errorf("unknown assumption %q", text)
	default:
		*a = By(id)
	}
	return nil
}

// Pair is the angle of the one part there is, or of the parts of both sides: the left or
// top one, or first leg, and the other. Parts of which there is one use First alone;
// where Differ is false the other is as the first.
type Pair struct {
	First, Other Angle
	Differ       bool
}

// Of returns the angle of a side, 0 or 1.
func (p *Pair) Of(side int) Angle {
	if side == 1 && p.Differ {
		return p.Other
	}
	return p.First
}

// Feet is how the feet are held.
type Feet int

// The ways to hold the feet.
const (
	Pointed  Feet = iota // in line with the shanks
	Standing             // at right angles to the shanks, as in standing
	NumFeet
)

var feetNames = names.List[Feet]{"pointed", "standing"}

// String returns the way's name.
func (f Feet) String() string { return feetNames.Of(f) }

// MarshalText writes the way's name.
func (f Feet) MarshalText() ([]byte, error) { return feetNames.Marshal(f) }

// UnmarshalText reads a way's name.
func (f *Feet) UnmarshalText(text []byte) error { return feetNames.Unmarshal(f, text) }

// Point is a point of the body at which something acts. Those of two sides mean both,
// unless they begin with a side.
type Point int

// The points.
const (
	Hands      Point = iota // where they grip, or press where they lie flat
	FirstHand               // the left or top one
	OtherHand               // the right or bottom one
	Forearms                // where they press on the floor, forearm_pressure from the elbow
	Elbows                  //
	Shoulders               // the middle of the shoulders
	UpperBack               // halfway down the chest, where shoulder blades lie on a bench
	Hips                    //
	Knees                   //
	Heels                   // the ankles' ends
	Balls                   // of standing feet
	FirstFoot               // the ankle of the left, top or first leg
	HeadTop                 // the crown
	WaistPoint              // where abdomen and pelvis meet: a belt
	NumPoints
)

var pointNames = names.List[Point]{"hands", "first hand", "other hand", "forearms", "elbows", "shoulders", "upper back", "hips", "knees", "heels", "balls of the feet",
	"first foot", "head", "waist"}

// String returns the point's name.
func (p Point) String() string { return pointNames.Of(p) }

// MarshalText writes the point's name.
func (p Point) MarshalText() ([]byte, error) { return pointNames.Marshal(p) }

// UnmarshalText reads a point's name.
func (p *Point) UnmarshalText(text []byte) error { return pointNames.Unmarshal(p, text) }

// Fixture is what supports the body at a point.
type Fixture int

// The fixtures, and which forces they pass on.
const (
	Bar     Fixture = iota // a hand around it, seen end-on: any force in the plane, no couple
	Pole                   // upright, a hand around it: any force in the plane, no couple
	Rings                  // a force along the cable
	Floor                  // upwards only; sideways where Support.Leans says how far
	Bench                  // the same, raised, under a part of the body
	Wall                   // away from it only; upwards where Support.Rubs says how much
	Partner                // a hand that holds: upwards or downwards
	NumFixtures
)

var fixtureNames = names.List[Fixture]{"bar", "pole", "rings", "floor", "bench", "wall", "partner"}

// String returns the fixture's name.
func (f Fixture) String() string { return fixtureNames.Of(f) }

// MarshalText writes the fixture's name.
func (f Fixture) MarshalText() ([]byte, error) { return fixtureNames.Marshal(f) }

// UnmarshalText reads a fixture's name.
func (f *Fixture) UnmarshalText(text []byte) error { return fixtureNames.Unmarshal(f, text) }

// Support is a place where the body is held up.
type Support struct {
	At Point
	On Fixture

	// Grips is of a floor: it passes on a level force as well, by friction or because a
	// foot or hand is braced there, as much as balance asks for.
	Grips bool
	// Leans is of hands or forearms on the floor: how far the floor's force points
	// towards the shoulders, 0 straight up and 1 through them. It closes what Grips
	// leaves open. Nil is no rule.
	Leans *Amount
	// Rubs is of a wall: what it carries of the weight, as a share of its push.
	Rubs *Amount

	// Fingers is of flat hands: how far their fingers are turned away from where they
	// point by themselves, rad, 0 to π. Seen from the side that is to the side of the head,
	// or before the chest of an upright trunk; seen from the front it is out of the
	// picture, and they turn outwards from an upright trunk, to the head of a level one.
	// What leaves the plane is foreshortened.
	Fingers float64
	// Press is of flat hands: how far ahead of the wrist they press, as a share of the
	// palm. Nil is the assumption pressure_reach.
	Press *Amount

	// Apart and Cable are of rings: the distance between the points from which they hang,
	// and the length of the cables from there to the hands; m.
	Apart, Cable float64

	// Grip is the share of a hand's strength that it can use there: less than 1 where it
	// holds badly. 0 is 1. OtherGrip is that of the other hand, 0 as the first.
	Grip, OtherGrip float64
}

// Amount is a number, or an assumption that gives it.
type Amount struct {
	Value   float64
	Assumed Assumed
}

// Of returns the number.
func (m Amount) Of(a *assume.Set) float64 {
	if id, is := m.Assumed.ID(); is {
		return a[id]
	}
	return m.Value
}

// Rule is what fixes the free angle.
type Rule int

// The rules.
const (
	// Balance: the weight lies over, or hangs under, the one place that carries it.
	Balance Rule = iota
	// Least: the performer takes the angle at which the muscle that is used most is used
	// least.
	Least
	// Higher: one point is higher than another by Value.
	Higher
	// Across: the level distance from one point to another is Value.
	Across
	NumRules
)

var ruleNames = names.List[Rule]{"balance", "least", "higher", "across"}

// String returns the rule's name.
func (r Rule) String() string { return ruleNames.Of(r) }

// MarshalText writes the rule's name.
func (r Rule) MarshalText() ([]byte, error) { return ruleNames.Marshal(r) }

// UnmarshalText reads a rule's name.
func (r *Rule) UnmarshalText(text []byte) error { return ruleNames.Unmarshal(r, text) }

// Free is the angle that is left free, of every part whose Angle says so.
type Free struct {
	From, To float64 // its range, rad, as its parts' Against counts it
	By       Rule
	Value    float64 // of Higher and Across, m
	Of, Over Point   // of Higher and Across: Of is higher than Over, or beside it, by Value
}

// Sharing says how two hands that are held apart divide the weight, where statics leaves
// it open.
type Sharing int

// The ways to share.
const (
	Chosen Sharing = iota // by the performer, so that the muscle that is used most is used least
	Alike                 // each the same upright force
	Given                 // the first hand the share Outline.Share
	NumSharings
)

var sharingNames = names.List[Sharing]{"chosen", "alike", "given"}

// String returns the way's name.
func (s Sharing) String() string { return sharingNames.Of(s) }

// MarshalText writes the way's name.
func (s Sharing) MarshalText() ([]byte, error) { return sharingNames.Marshal(s) }

// UnmarshalText reads a way's name.
func (s *Sharing) UnmarshalText(text []byte) error { return sharingNames.Unmarshal(s, text) }

// Force is a known force on the body: a band, a pulley, a spotter's hand, a scale under a
// foot. Weights that hang from the body are loads of the scenario.
type Force struct {
	At      Point
	Newtons float64
	Towards float64 // rad, against the level: a quarter turn is straight up
}

// Judged is a kind of joint or limb whose muscles may decide how hard a hold is.
type Judged int

// The kinds.
const (
	JudgedShoulders Judged = iota
	JudgedElbows           // bent ones; straight elbows are borne by bones as well
	JudgedWaist
	JudgedHips
	JudgedGrip // of hands that hold on
	JudgedPush // along straight arms
	NumJudged
)

var judgedNames = names.List[Judged]{"shoulders", "elbows", "waist", "hips", "grip", "push"}

// String returns the kind's name.
func (j Judged) String() string { return judgedNames.Of(j) }

// MarshalText writes the kind's name.
func (j Judged) MarshalText() ([]byte, error) { return judgedNames.Marshal(j) }

// UnmarshalText reads a kind's name.
func (j *Judged) UnmarshalText(text []byte) error { return judgedNames.Unmarshal(j, text) }

// Outline describes a hold.
type Outline struct {
	Name      string // as files name it: small letters, digits and hyphens
	Title     string
	Looks     string // what it looks like, in a sentence or two
	LeavesOut []string

	View  View
	Faces Facing // of Side

	Parts [NumParts]Pair
	// ShouldersRaised is whether the arms are overhead, so that the shoulders rise and the
	// trunk hangs, or stands, by shoulder_rise farther from the hands.
	ShouldersRaised bool
	// ArmsSpread is how far the arms leave the plane of a hold seen from the side, each to
	// its own side, rad: what is seen of them in the plane is shorter by its cosine.
	ArmsSpread float64
	// LegsApart is the same of the legs. A straddle that a study asks for is set there.
	LegsApart float64
	Feet      Feet
	// OneArm is whether the other arm holds nothing: it lies where Parts.Other says, its
	// hand open.
	OneArm bool

	Supports []Support
	Forces   []Force
	Free     *Free // nil where every angle is given
	Sharing  Sharing
	Share    float64 // of Given: the share of the weight of both hands at the first

	// LegForms says whether the legs may also be held in the trade's forms: straddle, one
	// leg, tucks. Supports at the legs rule that out.
	LegForms bool
	// ReportedOnly lists what does not decide how hard the hold is, and is told all the
	// same. Hips are always there unless HipsDecide.
	ReportedOnly []Judged
	HipsDecide   bool
	// ShoulderStrengthAt is the angle between arm and trunk at which the shoulders'
	// strength is taken, whatever the posture; nil is at the posture's own.
	ShoulderStrengthAt *float64

	// Text is the file that the description was read from, kept with what is computed.
	Text string
}
