package hold

import (
	"fmt"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/statics"
)

// Figure is one body in a hold, placed in the plane: the general statics problem
// and the points that a free-body diagram is drawn from. Metres; x points right
// and y up.
type Figure struct {
	System   *statics.System
	Bones    []Bone
	Joints   []Joint
	Supports []Support
	Mass     float64 // of the body alone, kg; 0 is that of the system
	// Facing is 1 where the belly lies counterclockwise of the line from the shoulders to
	// the feet, −1 where it lies clockwise, and 0 where the body faces the eye.
	Facing  float64
	Carried []Carried
	Pulls   []Pull
	Fixture []Edge // what the body is held by: pole, bar, floor, wall, cables
}

// Bone is one segment as a line between two joints. Limbs of two sides that
// fall on each other in the plane are all there.
type Bone struct {
	Segment  string
	From, To statics.Vec
}

// Joint is a cut at which moments are worth showing. The moments at the joints
// of Segments, which coincide in the plane, add up.
type Joint struct {
	Name     string // such as "shoulders" or "top shoulder"
	At       statics.Vec
	Segments []string // those whose joint it is
}

// Support is a point at which the outside holds the body; the forces of its
// Reactions, which coincide in the plane, add up.
type Support struct {
	Name      string // such as "both hands"
	At        statics.Vec
	Reactions []string
}

// Pull is a known force on the body that is no support's: a band's, a spotter's. It is
// among the system's loads, shared by the segments of both sides.
type Pull struct {
	Name  string // such as "pull at the hips"
	At    statics.Vec
	Force statics.Vec // N
}

// Carried is a mass that a segment carries at a point, kg; less than nothing where
// something is taken off there, straight up. The system's last loads are those that are
// not borne, in their order.
type Carried struct {
	Point     body.Point
	Segment   string
	At        statics.Vec
	Kilograms float64
	Borne     bool // by the floor, on which the segment lies
}

// Edge is a straight part of a fixture: a pole, bar, floor, wall, cable or box.
// A bar that is seen end-on has no length.
type Edge struct {
	Name     string
	From, To statics.Vec
}

// Moment returns what the muscles at a joint must give, N·m, counterclockwise
// on what lies beyond it.
func (f *Figure) Moment(sol *statics.Solution, joint string) (float64, error) {
	for _, j := range f.Joints {
		if j.Name != joint {
			continue
		}
		sum := 0.0
		for _, segment := range j.Segments {
			moment, _, err := sol.Joint(segment)
			if err != nil {
				return 0, err
			}
			sum += moment
		}
		return sum, nil
	}
	return 0, fmt.Errorf("hold: the figure has no joint %q", joint)
}

// Force returns the force of a support on the body, N.
func (f *Figure) Force(sol *statics.Solution, support string) (statics.Vec, error) {
	for _, s := range f.Supports {
		if s.Name != support {
			continue
		}
		var sum statics.Vec
		for _, r := range s.Reactions {
			sum = sum.Plus(sol.Force(r))
		}
		return sum, nil
	}
	return statics.Vec{}, fmt.Errorf("hold: the figure has no support %q", support)
}

// Names of the segments of every figure. Arms are two, left and right, where
// the body is seen from the side, else top and bottom.
const (
	SegmentChest       = "chest"
	SegmentMiddleTrunk = "middle trunk"
	SegmentPelvis      = "pelvis"
	SegmentHead        = "head"
)

// Names of joints and supports that holds share.
const (
	JointShoulders = "shoulders"
	JointWaist     = "waist"
	JointHips      = "hips"
	JointWrists    = "wrists"
	JointElbows    = "elbows"

	SupportHands    = "both hands"
	SupportHand     = "hand"
	SupportForearms = "both forearms"
	SupportForearm  = "forearm"
	SupportFeet     = "both feet"
	SupportFoot     = "lower foot"
	SupportKnees    = "both knees"
	SupportHeels    = "both heels"
)

// Posed returns the value of a demand that a figure is placed by, of a result of one
// row; the error is ErrNotPossible where the body cannot take the posture.
func (held *Result) Posed(d Demand) (float64, error) {
	if len(held.Possible) != 1 || !held.Possible[0] {
		return 0, ErrNotPossible
	}
	if held.Value[d] == nil {
		return 0, fmt.Errorf("hold: the result lacks %s, which the figure is placed by", d)
	}
	return held.Value[d][0], nil
}

// figureAt is the Figure of a hold that places its bodies at one demand.
func figureAt(d Demand, place func(b *body.Columns, i int, p Posture, at float64, a *assume.Set) *FigureBuilder) func(*body.Columns, int, Posture, *Result, *assume.Set) (*Figure, error) {
	return func(b *body.Columns, i int, p Posture, held *Result, a *assume.Set) (*Figure, error) {
		at, err := held.Posed(d)
		if err != nil {
			return nil, err
		}
		return place(b, i, p, at, a).Done()
	}
}

// ErrNotPossible: the body cannot take the posture.
var ErrNotPossible = fmt.Errorf("not possible for this body")
