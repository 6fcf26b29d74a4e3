package hold

import (
	"fmt"
	"math"

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
	Fixture  []Edge // what the body is held by: pole, bar, floor, wall, cables
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
	segmentChest       = "chest"
	segmentMiddleTrunk = "middle trunk"
	segmentPelvis      = "pelvis"
	segmentHead        = "head"
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

var (
	right = statics.Vec{X: 1}
	up    = statics.Vec{Y: 1}
	down  = statics.Vec{Y: -1}
)

// headHalf is the radius of the head in pictures, as a share of stature.
const headHalf = 0.065

// placing puts the segments of one body into the plane. It shares no formula
// with the closed forms: it only walks from joint to joint.
type placing struct {
	Figure
	b         *body.Columns
	i         int
	shoulders statics.Vec // middle of the shoulders
	axis      statics.Vec // unit vector from the shoulders to the feet
	front     statics.Vec // unit vector to where the body faces; zero where that leaves the plane
	rise      float64     // how far the trunk hangs below the shoulders, beyond rest
	hip       statics.Vec
}

// place starts a figure with head and trunk, cut at the chest's end and at the
// waist.
func place(b *body.Columns, i int, shoulders, axis, front statics.Vec, rise float64) *placing {
	q := &placing{b: b, i: i, shoulders: shoulders, axis: axis, front: front, rise: rise,
		Figure: Figure{System: &statics.System{Gravity: statics.StandardGravity}}}
	// The upper part has what is left of the trunk's mass and of its moment.
	upper := b.TrunkShare[i] - b.MiddleTrunkShare[i] - b.LowerTrunkShare[i]
	centre := (b.TrunkShare[i]*b.TrunkCentre[i] - b.MiddleTrunkShare[i]*b.MiddleTrunkCentre[i] - b.LowerTrunkShare[i]*b.LowerTrunkCentre[i]) / upper
	q.hip = q.along(b.Hip[i])
	neck, chest, waist := q.along(0), q.along(b.Chest[i]), q.along(b.Waist[i])
	crown := q.along(b.HeadCentre[i] - headHalf*b.Stature[i])
	q.add(segmentChest, "", neck, chest, upper, q.along(centre))
	q.add(segmentHead, segmentChest, neck, crown, b.HeadShare[i], q.along(b.HeadCentre[i]))
	q.add(segmentMiddleTrunk, segmentChest, chest, waist, b.MiddleTrunkShare[i], q.along(b.MiddleTrunkCentre[i]))
	q.add(segmentPelvis, segmentMiddleTrunk, waist, q.hip, b.LowerTrunkShare[i], q.along(b.LowerTrunkCentre[i]))
	q.joint(JointWaist, waist, segmentPelvis)
	return q
}

// along returns the point of the body's line at a distance from the shoulders
// at rest.
func (q *placing) along(distance float64) statics.Vec {
	return q.shoulders.Plus(q.axis.Times(distance + q.rise))
}

// add puts one segment, joined to its parent at from.
func (q *placing) add(name, parent string, from, to statics.Vec, share float64, centre statics.Vec) {
	q.System.Segments = append(q.System.Segments, statics.Segment{
		Name: name, Parent: parent, Joint: from, Mass: share * q.b.Mass[q.i], Centre: centre,
	})
	q.Bones = append(q.Bones, Bone{Segment: name, From: from, To: to})
}

func (q *placing) joint(name string, at statics.Vec, segments ...string) {
	q.Joints = append(q.Joints, Joint{name, at, segments})
}

// hand is how a hand is held.
type hand int

const (
	fist  hand = iota // on a grip: its mass counts there
	flat              // on the floor, fingers to the right
	aside             // on the floor, across the plane: all of it is seen at the wrist
	open              // in line with the forearm
)

// arm puts one arm with its elbow and wrist at the points given, and returns
// where the hand holds: the grip of a fist, else the wrist.
func (q *placing) arm(side string, shoulder, elbow, wrist statics.Vec, h hand) statics.Vec {
	b, i := q.b, q.i
	upper, fore := unit(shoulder, elbow), unit(elbow, wrist)
	q.add(side+" upper arm", segmentChest, shoulder, elbow, b.UpperArmShare[i], shoulder.Plus(upper.Times(b.UpperArmCentre[i])))
	q.add(side+" forearm", side+" upper arm", elbow, wrist, b.ForearmShare[i], elbow.Plus(fore.Times(b.ForearmCentre[i])))
	centre, tip := wrist.Plus(fore.Times(b.Grip[i])), wrist.Plus(fore.Times(b.Grip[i]))
	holds := centre
	switch h {
	case flat:
		centre, tip, holds = wrist.Plus(right.Times(b.HandCentre[i])), wrist.Plus(right.Times(b.Hand[i])), wrist
	case aside:
		centre, tip, holds = wrist, wrist, wrist
	case open:
		centre, tip, holds = wrist.Plus(fore.Times(b.HandCentre[i])), wrist.Plus(fore.Times(b.Hand[i])), wrist
	}
	q.add(side+" hand", side+" forearm", wrist, tip, b.HandShare[i], centre)
	return holds
}

// straight puts one straight arm, and returns where the hand holds.
func (q *placing) straight(side string, shoulder, direction statics.Vec, h hand) statics.Vec {
	elbow := shoulder.Plus(direction.Times(q.b.UpperArm[q.i]))
	return q.arm(side, shoulder, elbow, elbow.Plus(direction.Times(q.b.Forearm[q.i])), h)
}

// sides are the names of the arms of a body that is seen from the side.
var sides = [2]string{"left", "right"}

func bothSides(part string) []string { return []string{sides[0] + " " + part, sides[1] + " " + part} }

// pair puts two straight arms that fall on each other, names their shoulders,
// and returns where the hands hold.
func (q *placing) pair(direction statics.Vec, h hand) (holds statics.Vec) {
	for _, side := range sides {
		holds = q.straight(side, q.shoulders, direction, h)
	}
	q.joint(JointShoulders, q.shoulders, bothSides("upper arm")...)
	return holds
}

// holding puts the two straight arms that hold the body, or one, the other open at
// the side. It returns where the hands hold, and the support and its segments.
func (q *placing) holding(arms int, direction statics.Vec, h hand) (at statics.Vec, support string, hands []string) {
	if arms == 2 {
		return q.pair(direction, h), SupportHands, bothSides("hand")
	}
	at = q.straight("left", q.shoulders, direction, h)
	q.straight("right", q.along(0), q.axis, open)
	q.joint(JointShoulders, q.shoulders, "left upper arm")
	return at, SupportHand, []string{"left hand"}
}

// onHands supports the body by flat hands alone, on a floor that reaches from behind
// the wrists to ahead of them, in shares of stature.
func (q *placing) onHands(wrist statics.Vec, a *assume.Set, behind, ahead float64) {
	press, _ := flatHands(q.b, q.i, a)
	q.joint(JointWrists, wrist, bothSides("hand")...)
	q.support(SupportHands, wrist.Plus(right.Times(press)), bothSides("hand"), up)
	stature := q.b.Stature[q.i]
	q.floor("floor", wrist.Y, wrist.X-behind*stature, wrist.X+ahead*stature)
}

// legs puts both legs in a form, their straight direction along axis, feet
// pointed, and names the hips. Seen in the plane, a leg that leaves it is
// foreshortened: a straddle where the body is seen from the side, a bend where
// it is seen from the front.
func (q *placing) legs(l Legs, axis, front statics.Vec) {
	thigh, shank := l.directions()
	direct := func(angle float64) statics.Vec {
		side := front
		if fromFront := front == (statics.Vec{}); fromFront && l.Form == Straddle {
			side = statics.Vec{X: -axis.Y, Y: axis.X}
		} else if !fromFront && l.Form == Straddle {
			side = statics.Vec{}
		}
		return axis.Times(math.Cos(angle)).Plus(side.Times(math.Sin(angle)))
	}
	for k, side := range [2]string{"first", "other"} {
		q.leg(side, direct(thigh[k]), direct(shank[k]), direct(shank[k]), 0)
	}
	q.joint(JointHips, q.hip, "first thigh", "other thigh")
}

// leg puts one leg, its parts along the directions, which are shorter than one
// where they leave the plane. The foot starts at the ankle; its centre lies
// below below the ankle, along the shank.
func (q *placing) leg(side string, thigh, shank, foot statics.Vec, below float64) {
	b, i := q.b, q.i
	knee := q.hip.Plus(thigh.Times(b.Thigh[i]))
	ankle := knee.Plus(shank.Times(b.Shank[i]))
	q.add(side+" thigh", segmentPelvis, q.hip, knee, b.ThighShare[i], q.hip.Plus(thigh.Times(b.ThighCentre[i])))
	q.add(side+" shank", side+" thigh", knee, ankle, b.ShankShare[i], knee.Plus(shank.Times(b.ShankCentre[i])))
	sole := ankle.Plus(shank.Times(below))
	q.add(side+" foot", side+" shank", ankle, sole.Plus(foot.Times(b.Foot[i]-b.Heel[i])), b.FootShare[i],
		ankle.Plus(shank.Times(below/2)).Plus(foot.Times(b.FootCentre[i])))
}

// support adds unknown forces along the directions at a point of each segment,
// alike for all of them, and names them together.
func (q *placing) support(name string, at statics.Vec, segments []string, directions ...statics.Vec) {
	s := Support{Name: name, At: at}
	for _, d := range directions {
		way := "vertical"
		if d.X != 0 {
			way = "horizontal"
		}
		first := ""
		for _, segment := range segments {
			reaction := segment + ", " + way
			q.System.Reactions = append(q.System.Reactions, statics.Reaction{Name: reaction, Segment: segment, At: at, Direction: d})
			s.Reactions = append(s.Reactions, reaction)
			if first == "" {
				first = reaction
				continue
			}
			q.System.Closures = append(q.System.Closures, statics.Closure{
				Why:   "both sides carry alike",
				Terms: []statics.Term{{Reaction: first, Coefficient: 1}, {Reaction: reaction, Coefficient: -1}},
			})
		}
	}
	q.Supports = append(q.Supports, s)
}

func (q *placing) edge(name string, from, to statics.Vec) {
	q.Fixture = append(q.Fixture, Edge{name, from, to})
}

// floor draws a level fixture at a height, from one place to another.
func (q *placing) floor(name string, height, from, to float64) {
	q.edge(name, statics.Vec{X: from, Y: height}, statics.Vec{X: to, Y: height})
}

// done hands over the figure.
func (q *placing) done() (*Figure, error) { return &q.Figure, nil }

// unit returns the direction from one point to another.
func unit(from, to statics.Vec) statics.Vec {
	d := to.Minus(from)
	return d.Times(1 / d.Length())
}

// turned returns the unit vector at an angle counterclockwise from the right.
func turned(angle float64) statics.Vec {
	sin, cos := math.Sincos(angle)
	return statics.Vec{X: cos, Y: sin}
}

// posed returns the value of a demand that a figure needs, or the error that
// the body cannot take the posture.
func posed(held *Result, d Demand) (float64, error) {
	if len(held.Possible) != 1 || !held.Possible[0] {
		return 0, ErrNotPossible
	}
	if held.Value[d] == nil {
		return 0, fmt.Errorf("hold: the result lacks %s, which the figure is placed by", d)
	}
	return held.Value[d][0], nil
}

// ErrNotPossible: the body cannot take the posture.
var ErrNotPossible = fmt.Errorf("not possible for this body")
