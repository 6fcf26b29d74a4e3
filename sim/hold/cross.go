package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// IronCross is the body upright between two rings on straight, level arms.
var IronCross = ironCross()

func ironCross() *Hold {
	return &Hold{
		Name: "iron-cross", Title: "Iron cross",
		Description: "The body upright between two rings, the straight arms level or a given angle below it.",
		Plane:       "frontal, seen from the front",
		Supports: []string{
			"each ring: a force along its cable, at the grip; the cables lean outwards with the hands " +
				"(rings_apart 0.50 m and cable_length 3 m unless given; competition rings, from memory)",
		},
		Free: "none; arms_low sets the arms below the level",
		LeavesOut: []string{
			"straps or a grip that bear on the wrist", "elbows that are not quite straight",
			"that the elbows' muscles bear a part where the arms are turned for it",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: legsTogether, Variants: []Variant{ArmsLow, RingsApart, CableLength},
		Asks:        Always(withUses(crossUses, ShoulderMoment, HandSpacing, RequiredForce, CableLean, ElbowMoment, WristMoment)...),
		Assumptions: Always(strengths(crossUses)...),
		Uses:        Always(crossUses...),
		Solve:       InEquilibrium(solveCross),
		Figure:      crossFigure,
	}
}

// What a cross uses. Arms up to 60 degrees low are at 30 degrees from the trunk or
// farther out, where adductors were measured.
var crossUses = []Use{
	{Group: muscle.ShoulderAdduction, Angle: func(p Posture, _ *assume.Set) float64 { return math.Pi/2 - p.Pose[ArmsLow] }, Load: shoulderMoment},
	{Group: muscle.ArmPush, Angle: At(0), Load: largestForce},
	{Group: muscle.ElbowFlexion, Angle: At(0), Load: atLimbs(" forearm"), Reported: true,
		Note: "the elbow is bent sideways, which its ligaments bear; its flexors do only where the arm is turned for it"},
}

func solveCross(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	judge := NewJudge(out, crossUses, capacity, p, a)
	moments, spacing, force := out.Column(ShoulderMoment), out.Column(HandSpacing), out.Column(RequiredForce)
	leans, elbows, wrists := out.Column(CableLean), out.Column(ElbowMoment), out.Column(WristMoment)
	low, sideways := math.Sincos(p.Pose[ArmsLow])
	apart, length := p.Pose.Or(RingsApart), p.Pose.Or(CableLength)
	for i := range b.Rows() {
		hands := b.ShoulderSpan[i] + 2*b.Arm(i)*sideways
		lean, ok := out.AngleOf(i, (hands-apart)/(2*length))
		if !ok {
			continue
		}
		// The cable pulls the hand up with half the weight and inwards with its lean's
		// tangent of that; across the arm, upwards:
		inwards := 0.5 * math.Tan(lean)
		across, along := 0.5*sideways-inwards*low, 0.5*low+inwards*sideways
		fore := b.Forearm[i] + b.Grip[i]
		moment := math.Abs(across*b.Arm(i) - b.ArmMoment(i)*sideways)
		elbow := math.Abs(across*fore - (b.ForearmShare[i]*b.ForearmCentre[i]+b.HandShare[i]*fore)*sideways)
		judge.Row(i, Asked{Demand: moment}, Asked{Demand: math.Abs(along)}, Asked{Demand: elbow})
		moments.Set(i, moment)
		spacing.Set(i, hands)
		force.Set(i, math.Abs(along))
		leans.Set(i, lean)
		elbows.Set(i, elbow)
		wrists.Set(i, math.Abs(across*b.Grip[i]-b.HandShare[i]*b.Grip[i]*sideways))
	}
}

func crossFigure(b *body.Columns, i int, p Posture, held *Result, _ *assume.Set) (*Figure, error) {
	if _, err := held.Posed(ShoulderMoment); err != nil {
		return nil, err
	}
	q := NewFigure(b, i, statics.Vec{}, down, 0)
	for _, of := range []struct {
		side string
		way  float64
	}{{"left", -1}, {"right", 1}} {
		shoulder := statics.Vec{X: of.way * b.ShoulderSpan[i] / 2}
		sin, cos := math.Sincos(p.Pose[ArmsLow])
		grip := q.StraightArm(of.side, shoulder, statics.Vec{X: of.way * cos, Y: -sin}, Fist)
		q.Joint(of.side+" shoulder", shoulder, of.side+" upper arm")
		// The cable hangs from a point above, its length away from the hand.
		length, out := p.Pose.Or(CableLength), p.Pose.Or(RingsApart)/2-math.Abs(grip.X)
		cable := statics.Vec{X: of.way * out, Y: math.Sqrt(length*length - out*out)}
		q.Support(of.side+" hand", grip, []string{of.side + " hand"}, right, up)
		q.Close("the ring's force is along its cable",
			statics.Term{Reaction: of.side + " hand, horizontal", Coefficient: cable.Y},
			statics.Term{Reaction: of.side + " hand, vertical", Coefficient: -cable.X})
		q.Edge("cable", grip, grip.Plus(cable.Times(math.Min(1, 0.5*b.Stature[i]/length))))
	}
	q.Legs(p.Legs, down, statics.Vec{})
	return q.Done()
}

// cableLean is how far the force on the hands leans from the vertical, inwards positive.
func cableLean(s *Solved) (float64, error) {
	first, other, err := s.both()
	if err != nil {
		return 0, err
	}
	inwards := other.At.Minus(first.At)
	return math.Atan2(first.Force.X*inwards.X, first.Force.Y*math.Abs(inwards.X)), nil
}
