package hold

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// FrontLever and BackLever hang a level, straight body by straight arms from a
// bar: face up with the arms before the trunk, face down with the arms behind.
// Statics does not tell them apart but for bent legs; the muscles at work do.
var (
	FrontLever = lever("front-lever", "Front lever", "The body hangs level under a bar, face up, by two straight arms.", up, 1, frontLeverUses)
	BackLever  = lever("back-lever", "Back lever", "The body hangs level under a bar, face down, by two straight arms behind the back.", down, -1, backLeverUses)
)

// What the levers use. The bar pushes the hands up ahead of the elbows: before the
// trunk that bends the elbows, which their extensors alone prevent; behind it that
// stretches them, which bones and ligaments bear as well.
var (
	frontLeverUses = []Use{
		{Group: muscle.ShoulderExtension, Load: size(shoulderMoment, 2), AngleOf: armTrunkAngle},
		{Group: muscle.Grip, Angle: At(acrossTheBar), Load: gripForce},
		{Group: muscle.WaistForward, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)},
		{Group: muscle.ElbowExtension, Angle: At(0), Load: size(atLimbs(" forearm"), 2), Reported: true, Note: "nobody knows how much the bones of a locked elbow carry"},
		{Group: muscle.WristFlexion, Angle: At(0), Load: size(atLimbs(" hand"), 2), Reported: true, Note: "a hand can turn about a bar"},
	}
	backLeverUses = []Use{
		{Group: muscle.ShoulderFlexion, Load: size(shoulderMoment, 2), AngleOf: minus(armTrunkAngle),
			Unknown: Never("the strength of the muscles that lift the arm forwards was never measured with the arm behind the trunk")},
		{Group: muscle.Grip, Angle: At(acrossTheBar), Load: gripForce},
		{Group: muscle.WaistBackward, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)},
		{Group: muscle.ElbowFlexion, Angle: At(0), Load: size(atLimbs(" forearm"), 2), Reported: true, Note: "bones and ligaments of a straight elbow help to carry its load"},
	}
)

// acrossTheBar is the angle between the pull of a hanging body and the bar, rad.
const acrossTheBar = math.Pi / 2

// lever makes a lever whose body faces front, with the arms before the trunk or, where
// side is -1, behind it.
func lever(name, title, description string, front statics.Vec, side float64, uses []Use) *Hold {
	solve := func(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
		judge := NewJudge(out, uses, capacity, p, a)
		columns := levelColumnsOf(out)
		elbows, wrists, grips := out.Column(ElbowMoment), out.Column(WristMoment), out.Column(GripForce)
		legs := p.Legs.reach()
		for i := range b.Rows() {
			share, moment := rest(b, i, legs)
			lean, ok := out.AngleOf(i, leverLean(b, i, share, moment, a))
			if !ok {
				continue
			}
			waist := beyondWaist(b, i, legs)
			// Half the weight pulls up at each hand, L·sin ψ ahead of the shoulder.
			sin, fore := math.Sin(lean), b.Forearm[i]+b.Grip[i]
			elbow := float64(sin * (float64(0.5*fore) - float64(b.ForearmShare[i]*b.ForearmCentre[i]) - float64(b.HandShare[i]*fore)))
			wrist := float64(sin * b.Grip[i] * (0.5 - b.HandShare[i]))
			asked := [...]Asked{{max(moment, 0) / 2, side * (math.Pi/2 - lean)}, {Demand: 0.5}, {Demand: max(waist, 0)},
				{Demand: math.Abs(elbow)}, {Demand: math.Abs(wrist)}}
			judge.Row(i, asked[:len(uses)]...)
			columns.set(b, i, moment, lean, waist, legs)
			elbows.Set(i, math.Abs(2*elbow))
			wrists.Set(i, math.Abs(2*wrist))
			grips.Set(i, 0.5)
		}
	}
	return Complete(&Hold{
		Name: name, Title: title, Description: description,
		Plane:    "sagittal, seen from the side",
		Supports: []string{"both hands on the bar: a pin, horizontal and vertical force"},
		Free:     "none: balance fixes the lean of the arms, with the centre of mass under the bar",
		LeavesOut: []string{
			"bent elbows, and shoulder blades that glide",
			"the strength of a straight arm under a pull, which was never measured",
			"the hips, where bent legs reverse the load",
		},
		LegForms: everyLegForm,
		Figure: figureAt(LeanAngle, func(b *body.Columns, i int, p Posture, lean float64, _ *assume.Set) *FigureBuilder {
			q := NewFigure(b, i, statics.Vec{}, right, 0)
			hands := q.BothArms(turned(math.Pi/2-lean), Fist)
			q.Legs(p.Legs, right, front)
			q.Support(SupportHands, hands, bothSides("hand"), right, up)
			q.Edge("bar", hands, hands)
			return q
		}),
	}, solve, uses, []Demand{ShoulderMoment, LeanAngle, ArmTrunkAngle, RequiredForce, GripForce, ElbowMoment, WristMoment, WaistMoment, HipMoment})
}

// leverLean is the sine of the arms' lean: they lean towards the feet until
// everything hangs under the bar, L·sin ψ·(M₀ + 2·m_a·(1−k)) = M₀·c.
func leverLean(b *body.Columns, i int, share, moment float64, _ *assume.Set) float64 {
	return moment / (float64(b.Arm(i)*(share+float64(2*b.ArmShare(i)))) - float64(2*b.ArmMoment(i)))
}

var hangUses = []Use{{Group: muscle.Grip, Angle: At(acrossTheBar), Load: gripForce}}

// OneArmHang and TwoArmHang hang straight down from a bar.
var (
	OneArmHang = hang("one-arm-hang", "One-arm hang", "The body hangs straight down from one hand, the other arm at the side.", 1)
	TwoArmHang = hang("two-arm-hang", "Two-arm hang", "The body hangs straight down from two hands.", 2)
)

func hang(name, title, description string, arms int) *Hold {
	solve := func(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
		judge := NewJudge(out, hangUses, capacity, p, a)
		forces, grips := out.Column(RequiredForce), out.Column(GripForce)
		elbows, wrists := out.Column(ElbowMoment), out.Column(WristMoment)
		force := 1 / float64(arms)
		for i := range b.Rows() {
			judge.Row(i, Asked{Demand: force})
			forces.Set(i, force)
			grips.Set(i, force)
			elbows.Set(i, 0) // everything hangs under the hand
			wrists.Set(i, 0)
		}
	}
	return Complete(&Hold{
		Name: name, Title: title, Description: description,
		Plane:    "sagittal, seen from the side: everything hangs under the grip",
		Supports: []string{"each hand on the bar: a pin, horizontal and vertical force"},
		Free:     "none",
		LeavesOut: []string{
			"the strength of a straight arm under a pull, which was never measured",
			"swinging, and the turn and tilt of a body under one hand",
		},
		ArmsApart: arms == 1,
		LegForms:  legsTogether,
		Figure: figureAt(RequiredForce, func(b *body.Columns, i int, p Posture, _ float64, _ *assume.Set) *FigureBuilder {
			q := NewFigure(b, i, statics.Vec{}, down, b.Rise[i])
			grip, name, holding := q.holding(arms, up, Fist)
			q.Legs(p.Legs, down, right)
			q.Support(name, grip, holding, right, up)
			q.Edge("bar", grip, grip)
			return q
		}),
	}, solve, hangUses, []Demand{RequiredForce, GripForce, ElbowMoment, WristMoment})
}

// IronCross is the body upright between two rings on straight, level arms.
var IronCross = Complete(&Hold{
	Name: "iron-cross", Title: "Iron cross",
	Description: "The body upright between two rings, the straight arms level or a given angle below level.",
	Plane:       "frontal, seen from the front",
	Supports: []string{
		"each ring: a force along its cable, at the grip; the cables lean outwards with the hands " +
			"(rings_apart 0.50 m and cable_length 3 m unless given; competition rings, from memory)",
	},
	Free: "none; arms_low sets the arms below the level",
	LeavesOut: []string{
		"straps, or a false grip, that load the wrist", "slightly bent elbows",
		"the share of the elbows' muscles where the arms are turned",
	},
	LegForms: legsTogether, Variants: []Variant{ArmsLow, RingsApart, CableLength},
	Figure: figureAt(ShoulderMoment, crossFigure),
}, solveCross, crossUses, []Demand{ShoulderMoment, HandSpacing, RequiredForce, CableLean, ElbowMoment, WristMoment})

// What a cross uses. Arms up to 60 degrees low are at 30 degrees from the trunk or
// farther out, where adductors were measured.
var crossUses = []Use{
	{Group: muscle.ShoulderAdduction, Angle: func(p Posture, _ *assume.Set) float64 { return math.Pi/2 - p.Pose[ArmsLow] }, Load: shoulderMoment},
	{Group: muscle.ArmPush, Angle: At(0), Load: largestForce},
	{Group: muscle.ElbowFlexion, Angle: At(0), Load: atLimbs(" forearm"), Reported: true, Note: ElbowSideways},
}

func solveCross(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	judge := NewJudge(out, crossUses, capacity, p, a)
	moments, spacing, force := out.Column(ShoulderMoment), out.Column(HandSpacing), out.Column(RequiredForce)
	leans, elbows, wrists := out.Column(CableLean), out.Column(ElbowMoment), out.Column(WristMoment)
	low, sideways := math.Sincos(p.Pose[ArmsLow])
	apart, length := p.Pose.Or(RingsApart), p.Pose.Or(CableLength)
	for i := range b.Rows() {
		hands := b.ShoulderSpan[i] + float64(2*b.Arm(i)*sideways)
		lean, ok := out.AngleOf(i, (hands-apart)/(2*length))
		if !ok {
			continue
		}
		// The cable pulls the hand up with half the weight and inwards with its lean's
		// tangent of that; across the arm, upwards:
		sin, cos := math.Sincos(lean)
		inwards := 0.5 * sin / cos
		across, along := float64(0.5*sideways)-float64(inwards*low), float64(0.5*low)+float64(inwards*sideways)
		fore := b.Forearm[i] + b.Grip[i]
		moment := math.Abs(float64(across*b.Arm(i)) - float64(b.ArmMoment(i)*sideways))
		elbow := math.Abs(float64(across*fore) - float64((float64(b.ForearmShare[i]*b.ForearmCentre[i])+float64(b.HandShare[i]*fore))*sideways))
		judge.Row(i, Asked{Demand: moment}, Asked{Demand: math.Abs(along)}, Asked{Demand: elbow})
		moments.Set(i, moment)
		spacing.Set(i, hands)
		force.Set(i, math.Abs(along))
		leans.Set(i, lean)
		elbows.Set(i, elbow)
		wrists.Set(i, math.Abs(float64(across*b.Grip[i])-float64(b.HandShare[i]*b.Grip[i]*sideways)))
	}
}

func crossFigure(b *body.Columns, i int, p Posture, _ float64, _ *assume.Set) *FigureBuilder {
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
		length, out := p.Pose.Or(CableLength), float64(p.Pose.Or(RingsApart)/2)-math.Abs(grip.X)
		cable := statics.Vec{X: of.way * out, Y: math.Sqrt(float64(length*length) - float64(out*out))}
		q.Support(of.side+" hand", grip, []string{of.side + " hand"}, right, up)
		q.Close("the ring's force acts along its cable",
			statics.Term{Reaction: of.side + " hand, horizontal", Coefficient: cable.Y},
			statics.Term{Reaction: of.side + " hand, vertical", Coefficient: -cable.X})
		q.Edge("cable", grip, grip.Plus(cable.Times(math.Min(1, 0.5*b.Stature[i]/length))))
	}
	q.Legs(p.Legs, down, statics.Vec{})
	return q
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
