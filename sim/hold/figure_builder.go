package hold

import (
	"slices"
	"strings"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
)

var (
	right = statics.Vec{X: 1}
	up    = statics.Vec{Y: 1}
	down  = statics.Vec{Y: -1}
)

// HeadHalf is how far the crown lies beyond the head's centre, as a share of stature; no
// source, in pictures it is the head's radius.
const HeadHalf = 0.065

// FigureBuilder puts the segments of one body into the plane, metres. It shares no
// formula with the closed forms: it only walks from joint to joint.
type FigureBuilder struct {
	Figure
	b         *body.Columns
	i         int
	shoulders statics.Vec // middle of the shoulders
	axis      statics.Vec // unit vector from the shoulders along the chest
	rise      float64     // how far the trunk hangs below the shoulders, beyond rest
	head      statics.Vec // its centre
	waist     statics.Vec
	hip       statics.Vec
	load      body.Load
	borne     []string // segments that the floor bears where they are
}

// Spine is where the parts of a trunk point, away from the shoulders, and where the head
// does; all of length 1.
type Spine struct{ Chest, Abdomen, Pelvis, Head statics.Vec }

// NewFigure starts the figure of body i with head and trunk in one line. shoulders is
// their middle; axis, of length 1, points from there to the feet; rise is how far the
// trunk hangs below the shoulders beyond rest.
func NewFigure(b *body.Columns, i int, shoulders, axis statics.Vec, rise float64) *FigureBuilder {
	return NewBentFigure(b, i, shoulders, Spine{axis, axis, axis, axis.Times(-1)}, rise)
}

// NewBentFigure is NewFigure with a trunk that bends at the chest's end and at the
// waist, where it is cut. What the body carries is no part of its segments: Done hangs it
// where it is.
func NewBentFigure(b *body.Columns, i int, shoulders statics.Vec, spine Spine, rise float64) *FigureBuilder {
	load := b.Load()
	b = b.Bare()
	q := &FigureBuilder{b: b, i: i, shoulders: shoulders, axis: spine.Chest, rise: rise, load: load,
		Figure: Figure{System: &statics.System{Gravity: statics.StandardGravity}, Mass: b.Mass[i]}}
	// The upper part has what is left of the trunk's mass and of its moment.
	upper := b.TrunkShare[i] - b.MiddleTrunkShare[i] - b.LowerTrunkShare[i]
	centre := (float64(b.TrunkShare[i]*b.TrunkCentre[i]) - float64(b.MiddleTrunkShare[i]*b.MiddleTrunkCentre[i]) - float64(b.LowerTrunkShare[i]*b.LowerTrunkCentre[i])) / upper
	neck, chest := q.Along(0), q.Along(b.Chest[i])
	beyond := func(from, along statics.Vec, start, distance float64) statics.Vec {
		return from.Plus(along.Times(float64(distance) - start))
	}
	q.waist = beyond(chest, spine.Abdomen, b.Chest[i], b.Waist[i])
	q.hip = beyond(q.waist, spine.Pelvis, b.Waist[i], b.Hip[i])
	crown := beyond(neck, spine.Head, b.HeadCentre[i], HeadHalf*b.Stature[i])
	q.Segment(SegmentChest, "", neck, chest, upper, q.Along(centre))
	q.head = neck.Plus(spine.Head.Times(-b.HeadCentre[i]))
	q.Segment(SegmentHead, SegmentChest, neck, crown, b.HeadShare[i], q.head)
	q.Segment(SegmentMiddleTrunk, SegmentChest, chest, q.waist, b.MiddleTrunkShare[i], beyond(chest, spine.Abdomen, b.Chest[i], b.MiddleTrunkCentre[i]))
	q.Segment(SegmentPelvis, SegmentMiddleTrunk, q.waist, q.hip, b.LowerTrunkShare[i], beyond(q.waist, spine.Pelvis, b.Waist[i], b.LowerTrunkCentre[i]))
	q.Joint(JointWaist, q.waist, SegmentPelvis)
	return q
}

// Hip returns where the hips are, and Waist where abdomen and pelvis meet.
func (q *FigureBuilder) Hip() statics.Vec   { return q.hip }
func (q *FigureBuilder) Waist() statics.Vec { return q.waist }

// Along returns the point of the body's line at a distance from the shoulders
// at rest.
func (q *FigureBuilder) Along(distance float64) statics.Vec {
	return q.shoulders.Plus(q.axis.Times(float64(distance) + q.rise))
}

// Segment puts one segment, joined to its parent at from; share is that of the mass of
// the body alone; see body.Columns.Bare.
func (q *FigureBuilder) Segment(name, parent string, from, to statics.Vec, share float64, centre statics.Vec) {
	q.System.Segments = append(q.System.Segments, statics.Segment{
		Name: name, Parent: parent, Joint: from, Mass: share * q.b.Mass[q.i], Centre: centre,
	})
	q.Bones = append(q.Bones, Bone{Segment: name, From: from, To: to})
}

// Joint names a cut, at which the moments of the segments joined there add up.
func (q *FigureBuilder) Joint(name string, at statics.Vec, segments ...string) {
	q.Joints = append(q.Joints, Joint{name, at, segments})
}

// Hand is how a hand is held.
type Hand int

// The ways to hold a hand.

const (
	Fist      Hand = iota // on a grip: its mass counts there
	FlatHand              // on the floor, fingers to the right
	HandAside             // on the floor, across the plane: all of it is seen at the wrist
	OpenHand              // in line with the forearm
)

// Arm puts one arm with its elbow and wrist at the points given, and returns
// where the hand holds: the grip of a Fist, else the wrist.
func (q *FigureBuilder) Arm(side string, shoulder, elbow, wrist statics.Vec, h Hand) statics.Vec {
	fore := unit(elbow, wrist)
	switch h {
	case FlatHand:
		return q.FlatArm(side, shoulder, elbow, wrist, right)
	case HandAside:
		return q.FlatArm(side, shoulder, elbow, wrist, statics.Vec{})
	case OpenHand:
		return q.FlatArm(side, shoulder, elbow, wrist, fore)
	}
	q.arm(side, shoulder, elbow, wrist)
	holds := wrist.Plus(fore.Times(q.b.Grip[q.i]))
	q.Segment(side+" hand", side+" forearm", wrist, holds, q.b.HandShare[q.i], holds)
	return holds
}

// FlatArm puts one arm with its elbow and wrist at the points given, and a hand that
// lies along fingers from the wrist, of length 1 or, where it leaves the plane, shorter.
// It returns the wrist.
func (q *FigureBuilder) FlatArm(side string, shoulder, elbow, wrist, fingers statics.Vec) statics.Vec {
	q.arm(side, shoulder, elbow, wrist)
	q.Segment(side+" hand", side+" forearm", wrist, wrist.Plus(fingers.Times(q.b.Hand[q.i])), q.b.HandShare[q.i],
		wrist.Plus(fingers.Times(q.b.HandCentre[q.i])))
	return wrist
}

// arm puts upper arm and forearm. Where they leave the plane they are seen shorter, and
// their centres stay at the same part of them.
func (q *FigureBuilder) arm(side string, shoulder, elbow, wrist statics.Vec) {
	b, i := q.b, q.i
	part := func(from, to statics.Vec, centre, length float64) statics.Vec {
		return from.Plus(to.Minus(from).Times(centre / length))
	}
	q.Segment(side+" upper arm", SegmentChest, shoulder, elbow, b.UpperArmShare[i], part(shoulder, elbow, b.UpperArmCentre[i], b.UpperArm[i]))
	q.Segment(side+" forearm", side+" upper arm", elbow, wrist, b.ForearmShare[i], part(elbow, wrist, b.ForearmCentre[i], b.Forearm[i]))
}

// StraightArm puts one straight arm, and returns where the hand holds.
func (q *FigureBuilder) StraightArm(side string, shoulder, direction statics.Vec, h Hand) statics.Vec {
	elbow := shoulder.Plus(direction.Times(q.b.UpperArm[q.i]))
	return q.Arm(side, shoulder, elbow, elbow.Plus(direction.Times(q.b.Forearm[q.i])), h)
}

// sides are the names of the arms of a body that is seen from the side.
var sides = [2]string{"left", "right"}

// bothSides names a part of the arms that fall on each other.
func bothSides(part string) []string { return []string{sides[0] + " " + part, sides[1] + " " + part} }

// BothArms puts two straight arms that fall on each other, names their shoulders,
// and returns where the hands hold.
func (q *FigureBuilder) BothArms(direction statics.Vec, h Hand) (holds statics.Vec) {
	for _, side := range sides {
		holds = q.StraightArm(side, q.shoulders, direction, h)
	}
	q.Joint(JointShoulders, q.shoulders, bothSides("upper arm")...)
	return holds
}

// holding puts the two straight arms that hold the body, or one, the other open at
// the side. It returns where the hands hold, and the support and its segments.
func (q *FigureBuilder) holding(arms int, direction statics.Vec, h Hand) (at statics.Vec, support string, hands []string) {
	if arms == 2 {
		return q.BothArms(direction, h), SupportHands, bothSides("hand")
	}
	at = q.StraightArm("left", q.shoulders, direction, h)
	q.StraightArm("right", q.Along(0), q.axis, OpenHand)
	q.Joint(JointShoulders, q.shoulders, "left upper arm")
	return at, SupportHand, []string{"left hand"}
}

// onHands supports the body by flat hands alone, on a floor that reaches from behind
// the wrists to ahead of them, in shares of stature.
func (q *FigureBuilder) onHands(wrist statics.Vec, a *assume.Set, behind, ahead float64) {
	press, _ := flatHands(q.b, q.i, a)
	q.Joint(JointWrists, wrist, bothSides("hand")...)
	q.Support(SupportHands, wrist.Plus(right.Times(press)), bothSides("hand"), up)
	stature := q.b.Stature[q.i]
	q.Floor("floor", wrist.Y, wrist.X-float64(behind*stature), wrist.X+float64(ahead*stature))
}

// Legs puts both legs in a form, their straight direction along axis, feet
// pointed, and names the hips. Seen in the plane, a leg that leaves it is
// foreshortened: a straddle where the body is seen from the side, a bend where
// it is seen from the front.
func (q *FigureBuilder) Legs(l Legs, axis, front statics.Vec) {
	q.Facing = facing(axis, front)
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
		q.Leg(side, direct(thigh[k]), direct(shank[k]), direct(shank[k]), 0)
	}
	q.Joint(JointHips, q.hip, "first thigh", "other thigh")
}

// facing is the Facing of a body whose line to the feet runs along axis and whose belly
// looks to front; it is 0 where front is nothing.
func facing(axis, front statics.Vec) float64 {
	switch turn := float64(axis.X*front.Y) - float64(axis.Y*front.X); {
	case turn > 0:
		return 1
	case turn < 0:
		return -1
	}
	return 0
}

// Leg puts one leg, its parts along the directions, which are shorter than one
// where they leave the plane. The foot starts at the ankle; its centre lies
// below below the ankle, along the shank.
func (q *FigureBuilder) Leg(side string, thigh, shank, foot statics.Vec, below float64) {
	b, i := q.b, q.i
	knee := q.hip.Plus(thigh.Times(b.Thigh[i]))
	ankle := knee.Plus(shank.Times(b.Shank[i]))
	q.Segment(side+" thigh", SegmentPelvis, q.hip, knee, b.ThighShare[i], q.hip.Plus(thigh.Times(b.ThighCentre[i])))
	q.Segment(side+" shank", side+" thigh", knee, ankle, b.ShankShare[i], knee.Plus(shank.Times(b.ShankCentre[i])))
	sole := ankle.Plus(shank.Times(below))
	q.Segment(side+" foot", side+" shank", ankle, sole.Plus(foot.Times(b.Foot[i]-b.Heel[i])), b.FootShare[i],
		ankle.Plus(shank.Times(below/2)).Plus(foot.Times(b.FootCentre[i])))
}

// Support adds unknown forces along the directions at a point of each segment,
// alike for all of them, and names them together. The reactions are called after the
// segment: "left hand, horizontal" and "left hand, vertical".
func (q *FigureBuilder) Support(name string, at statics.Vec, segments []string, directions ...statics.Vec) {
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
			q.Close("both sides carry alike", statics.Term{Reaction: first, Coefficient: 1}, statics.Term{Reaction: reaction, Coefficient: -1})
		}
	}
	q.Supports = append(q.Supports, s)
}

// Close adds a rule that statics does not give: the terms, of reactions that Support
// named, add up to zero.
func (q *FigureBuilder) Close(why string, terms ...statics.Term) {
	q.System.Closures = append(q.System.Closures, statics.Closure{Why: why, Terms: terms})
}

// Edge draws a straight part of a fixture.
func (q *FigureBuilder) Edge(name string, from, to statics.Vec) {
	q.Fixture = append(q.Fixture, Edge{name, from, to})
}

// Floor draws a level fixture at a height, from one place to another.
func (q *FigureBuilder) Floor(name string, height, from, to float64) {
	q.Edge(name, statics.Vec{X: from, Y: height}, statics.Vec{X: to, Y: height})
}

// Bear lets the floor bear the last segments where they are, with what they carry.
func (q *FigureBuilder) Bear(segments int) {
	for _, s := range q.System.Segments[len(q.System.Segments)-segments:] {
		q.borne = append(q.borne, s.Name)
		q.System.Loads = append(q.System.Loads, statics.Load{Segment: s.Name, At: s.Centre, Force: up.Times(s.Mass * q.System.Gravity)})
	}
}

// Done hangs on the figure what the body carries, and hands it over.
func (q *FigureBuilder) Done() (*Figure, error) {
	for p, kg := range q.load {
		if kg != 0 {
			q.carry(body.Point(p), kg)
		}
	}
	return &q.Figure, nil
}

// carry hangs a mass at a point, of limbs half of it on each side.
func (q *FigureBuilder) carry(p body.Point, kg float64) {
	hang := func(segment string, at statics.Vec, kg float64) {
		borne := slices.Contains(q.borne, segment)
		q.Carried = append(q.Carried, Carried{p, segment, at, kg, borne})
		if !borne {
			q.System.Loads = append(q.System.Loads, statics.Load{Segment: segment, At: at, Force: down.Times(kg * q.System.Gravity)})
		}
	}
	b, i := q.b, q.i
	switch p {
	case body.AtHead:
		hang(SegmentHead, q.head, kg)
	case body.AtChest:
		hang(SegmentChest, q.Along(b.UpperTrunkCentre[i]), kg)
	case body.AtWaist:
		hang(SegmentPelvis, q.waist, kg)
	case body.AtHips:
		hang(SegmentPelvis, q.hip, kg)
	default:
		for k, bone := range q.Bones {
			across := p == body.AtHands && bone.Segment == "bottom forearm" && bone.From == bone.To // with its hand
			if !across && !strings.HasSuffix(bone.Segment, limbPoints[p]) {
				continue
			}
			at := bone.To
			if p == body.AtHands {
				at = q.System.Segments[k].Centre
			}
			hang(bone.Segment, at, kg/2)
		}
	}
}

// limbPoints are the segments whose far ends carry what is at a point of limbs; hands
// carry it at their centres.
var limbPoints = [body.NumPoints]string{body.AtKnees: " thigh", body.AtAnkles: " shank", body.AtWrists: " forearm", body.AtHands: " hand"}

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
