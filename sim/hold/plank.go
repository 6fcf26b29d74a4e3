package hold

import (
	"fmt"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// PushUp is the straight body on hands and toes, or hands and knees, at rest.
var PushUp = Complete(&Hold{
	Name: "push-up", Title: "Push-up, held",
	Description: "The straight body face down on its hands and the balls of its feet (kneeling: its knees), arms straight or bent, feet or hands raised.",
	Plane:       "sagittal, seen from the side",
	Supports: []string{
		"both hands: force ahead of the wrist by pressure_reach, towards the shoulders as far as push_direction says",
		"both feet on their balls, at right angles to the shanks (kneeling: both knees, and the floor bears the lower legs): horizontal and vertical force",
	},
	Free: "none: plank_angle, between arms and trunk, and the arms' length fix the slope of the body",
	LeavesOut: []string{
		"a sagging or arched trunk",
		"movement, during which force plates read more",
	},
	LegForms: legsTogether, Variants: []Variant{Bent, Kneeling, FeetRaised, HandsRaised},
	Figure:   plankFigure(false),
	PlacedBy: []Demand{PushLean},
}, solvePushUp, pushUpUses, []Demand{HandShare, FootShare, PushLean, RequiredForce, ShoulderMoment, ElbowMoment, WristMoment, WristAngle, WaistMoment, LeanAngle},
	assume.PlankAngle, assume.PressureReach, assume.PushDirection, assume.BallShare, assume.ElbowAngle)

// The uses of push-ups and planks: the waist sags or bulges, the arms are drawn to the
// feet or to the head, and bent elbows fold or stretch. A plank has the first four. The
// shoulders do not decide, because whoever does it can unload them. The head is to the
// right, so that muscles which keep the waist from sagging turn what lies beyond it
// counterclockwise, those that draw the arms to the feet or stretch the elbows clockwise.
const (
	waistSags = iota
	waistBulges
	armsToFeet
	armsToHead
	armsPush
	elbowsFold
	elbowsStretch
	bentWrists
	numPlankUses
)

var (
	pushUpUses = []Use{
		waistSags:     {Group: muscle.WaistForward, Angle: At(0), Load: oneWay(momentAt(JointWaist, 1), 1, 1)},
		waistBulges:   {Group: muscle.WaistBackward, Angle: At(0), Load: oneWay(momentAt(JointWaist, 1), -1, 1)},
		armsToFeet:    {Group: muscle.ShoulderExtension, AngleOf: upperArmAngle, Load: oneWay(momentAt(JointShoulders, -1), 1, 2), Reported: true, Note: plankNote},
		armsToHead:    {Group: muscle.ShoulderFlexion, AngleOf: upperArmAngle, Load: oneWay(momentAt(JointShoulders, -1), -1, 2), Reported: true, Note: plankNote},
		armsPush:      {Group: muscle.ArmPush, Angle: At(0), Load: whenBentIs(false, largestForce)},
		elbowsFold:    {Group: muscle.ElbowExtension, Angle: bentElbow, Load: whenBentIs(true, oneWay(momentAt(JointElbows, -1), 1, 2))},
		elbowsStretch: {Group: muscle.ElbowFlexion, Angle: bentElbow, Load: whenBentIs(true, oneWay(momentAt(JointElbows, -1), -1, 2))},
		bentWrists:    {Group: muscle.WristFlexion, Load: size(atLimbs(" hand"), 2), AngleOf: minus(wristAngle), Reported: true, Unknown: Never(WristsUnknown)},
	}
	plankUses = pushUpUses[:armsPush:armsPush]
)

const plankNote = "a push towards the shoulders can unload them"

// bentElbow is the flexion of the elbows.
func bentElbow(p Posture, a *assume.Set) float64 {
	if p.Pose.Is(Bent) {
		return math.Pi - a[assume.ElbowAngle]
	}
	return 0
}

// whenBentIs is the oracle of a load of bent or of straight arms alone.
func whenBentIs(bent bool, load Oracle) Oracle {
	return func(s *Solved) (float64, error) {
		if s.Posture.Pose.Is(Bent) != bent {
			return 0, nil
		}
		return load(s)
	}
}

// upperArmAngle is the angle between an upper arm and the trunk.
func upperArmAngle(s *Solved) (float64, error) {
	arm, err := s.Bone("left upper arm")
	return math.Acos(arm.Dot(s.axis())), err
}

// pushLean is how far the force on the hands or forearms leans to the head, which is to
// the right.
func pushLean(s *Solved) (float64, error) {
	force, _, held := s.on(isArm)
	if !held {
		return 0, fmt.Errorf("no arm of the figure is held")
	}
	return -s.feetwards() * force.X / force.Y, nil
}

// ForearmPlank is the straight body on forearms and toes.
var ForearmPlank = Complete(&Hold{
	Name: "forearm-plank", Title: "Forearm plank",
	Description: "The straight body face down on its forearms and the balls of its feet.",
	Plane:       "sagittal, seen from the side",
	Supports: []string{
		"both forearms: force ahead of the elbow by forearm_pressure, towards the shoulders as far as push_direction says",
		"both feet on their balls, at right angles to the shanks: horizontal and vertical force",
	},
	Free:      "none: plank_angle, between upper arms and trunk, and the upper arms' length fix the slope of the body",
	LeavesOut: []string{"a sagging or arched trunk"},
	LegForms:  legsTogether,
	Figure:    plankFigure(true),
	PlacedBy:  []Demand{PushLean},
}, solveForearmPlank, plankUses, []Demand{HandShare, FootShare, PushLean, ShoulderMoment, WaistMoment, LeanAngle}, assume.PlankAngle, assume.ForearmPressure, assume.PushDirection, assume.BallShare)

func solvePushUp(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	columns := plankColumnsOf(out, NewJudge(out, pushUpUses, capacity, p, a))
	for i := range b.Rows() {
		upper, fore := b.UpperArm[i], b.Forearm[i]
		reach, bend := upper+fore, 0.0 // shoulder to wrist; between that line and the upper arm
		if p.Pose.Is(Bent) {
			reach = math.Sqrt(float64(upper*upper) + float64(fore*fore) - float64(2*upper*fore*math.Cos(a[assume.ElbowAngle])))
			bend = math.Acos((float64(upper*upper) + float64(reach*reach) - float64(fore*fore)) / (2 * upper * reach))
		}
		columns.plank(b, i, p, a, reach, bend, false)
	}
}

func solveForearmPlank(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	columns := plankColumnsOf(out, NewJudge(out, plankUses, capacity, p, a))
	for i := range b.Rows() {
		columns.plank(b, i, p, a, b.UpperArm[i], 0, true)
	}
}

// plankColumns is what a push-up or plank is asked for.
type plankColumns struct {
	*Result
	judge                                     Judge
	onHands, onFeet, shoulders, waists, leans Column
	force, elbows, wrists, bent, lean         Column
}

func plankColumnsOf(out *Result, judge Judge) plankColumns {
	return plankColumns{out, judge, out.Column(HandShare), out.Column(FootShare), out.Column(ShoulderMoment), out.Column(WaistMoment), out.Column(LeanAngle),
		out.Column(RequiredForce), out.Column(ElbowMoment), out.Column(WristMoment), out.Column(WristAngle), out.Column(PushLean)}
}

// plank solves a straight body on its feet or knees and on arms whose end, wrist
// or elbow, lies at the distance reach from the shoulders, under the angle
// plank_angle with the trunk. bend is the angle at the shoulder between that
// line and the upper arm, towards the feet.
//
// With γ the slope of the body, A = plank_angle and r = reach, the arms' end
// lies r·sin(γ+A) below the shoulders and r·cos(γ+A) towards the feet. The point
// on which the feet stand lies ℓ along the body and f before it. Equating heights,
//
//	(ℓ − r·cos A)·sin γ − (r·sin A − f)·cos γ = δ = hands raised − feet raised.
//
// The floor pushes the hands up by V and towards the shoulders, below which
// they lie by h, by κ·V·(x_S − x_h)/h, with κ = push_direction. About the feet,
//
//	V·(x_h − κ·δ·(x_S − x_h)/h) = Σ m·x.
//
// Friction leaves κ open, and whoever does it may choose it. It stays an assumption: by
// the choice that makes the largest use smallest, as in the flag, most bodies would have
// less weight on their hands with the feet on a higher box, where force plates found more.
func (out *plankColumns) plank(b *body.Columns, i int, p Posture, a *assume.Set, reach, bend float64, onForearms bool) {
	kneeling := p.Pose.Is(Kneeling)
	legs := b.Hip[i] + b.Thigh[i] + b.Shank[i]
	length, before := legs+b.Ankle[i], float64(a[assume.BallShare]*b.Foot[i])-b.Heel[i]
	if kneeling {
		length, before = b.Hip[i]+b.Thigh[i], 0
	}
	angle := a[assume.PlankAngle]
	x, y := length-float64(reach*math.Cos(angle)), float64(reach*math.Sin(angle))-before
	raised := p.Pose[HandsRaised] - p.Pose[FeetRaised]
	slope, ok := out.SlopeOf(i, x, y, raised)
	if !ok {
		return
	}
	sin, cos := math.Sincos(slope)
	shoulder := float64(length*cos) - float64(before*sin) // ahead of the feet's support, as all that follows
	end := shoulder - float64(reach*math.Cos(slope+angle))

	// Head, trunk, thighs, shanks, by their places along the body; then the feet.
	legShare := 2 * (b.ThighShare[i] + b.ShankShare[i])
	lower := 2 * b.ShankShare[i] * (b.Thigh[i] + b.ShankCentre[i])
	feet := 2 * b.FootShare[i]
	feetAt := shoulder - float64((legs+float64(b.Ankle[i]/2))*cos) + float64(b.FootCentre[i]*sin)
	if kneeling { // the floor bears the lower legs where they are
		legShare, lower, feet = 2*b.ThighShare[i], 0, 0
	}
	legsMoment := lower + float64(2*b.ThighShare[i]*b.ThighCentre[i]) // about the hips
	share := b.HeadShare[i] + b.TrunkShare[i] + legShare
	moment := float64(b.HeadShare[i]*b.HeadCentre[i]) + float64(b.TrunkShare[i]*b.TrunkCentre[i]) + float64(legShare*b.Hip[i]) + legsMoment

	on := armsOnFloor(b, i, a, reach, bend, shoulder, end, onForearms)
	arms := 2 * b.ArmShare(i)
	waist := shoulder - float64(b.Waist[i]*cos)
	beyond := float64(b.LowerTrunkShare[i]*(b.LowerTrunkCentre[i]-b.Waist[i])) + float64(legShare*(b.Hip[i]-b.Waist[i])) + legsMoment
	g := pushes{
		onFloor: on, weighs: float64(share*shoulder) - float64(moment*cos) + float64(feet*feetAt) + float64(arms*on.centre), carried: share + feet + arms,
		shoulder: shoulder, high: reach * math.Sin(slope+angle), raised: raised, arms: arms * (on.centre - shoulder),
		waist: waist, waistHigh: float64((length-b.Waist[i])*sin) + float64(before*cos), beyond: float64(beyond*cos) + float64(feet*(waist-feetAt)),
		fore: b.Forearm[i], hands: 2 * b.HandShare[i],
		forearms: float64(2*b.ForearmShare[i]*b.ForearmCentre[i]/b.Forearm[i]*(on.wrist-on.elbow)) + float64(2*b.HandShare[i]*(on.hand-on.elbow)),
		angle:    angle - bend, onForearms: onForearms, bent: bend != 0,
	}
	f := g.at(a[assume.PushDirection])
	if !(f.onHands >= 0 && f.onHands <= g.carried) {
		out.Refuse(i)
		return
	}
	signed := g.asked(&f)
	for k := range signed {
		signed[k].Demand = math.Max(signed[k].Demand, 0)
	}
	out.judge.Row(i, signed[:len(out.judge.uses)]...)
	out.lean.Set(i, f.lean)
	out.onHands.Set(i, f.onHands)
	out.onFeet.Set(i, g.carried-f.onHands)
	out.shoulders.Set(i, math.Abs(f.drawn))
	out.waists.Set(i, math.Abs(f.sags))
	out.leans.Set(i, math.Pi/2-slope)
	out.force.Set(i, f.push)
	out.elbows.Set(i, math.Abs(f.folds))
	out.wrists.Set(i, math.Abs(f.wrist))
	out.bent.Set(i, math.Acos((on.wrist-on.elbow)/g.fore))
}

// pushes is a body on the floor, but for where the floor's force on its hands points.
type pushes struct {
	onFloor
	weighs, carried        float64 // moment of all weights about the feet's support; weight on hands and feet
	shoulder, high, raised float64 // the shoulders ahead of that support and above the hands' floor; the latter over the feet's
	arms                   float64 // moment of the arms' weight about the shoulders
	waist, waistHigh       float64 // ahead of and above the feet's support
	beyond                 float64 // moment about the waist of the weights beyond it
	fore, hands, forearms  float64 // a forearm's length; the weight of both hands; the moment of what is beyond the elbows about them
	angle                  float64 // between upper arms and trunk
	onForearms, bent       bool
}

// pushed are the forces of a direction: on the hands, upwards; the moments that the
// muscles of the waist give against sagging, those of both shoulders towards the feet,
// both elbows' against folding and both wrists'; and the push along one straight arm. lean
// is the horizontal over the vertical force on the hands.
type pushed struct{ lean, onHands, sags, drawn, folds, wrist, push float64 }

// at returns the forces of a direction: 0 is straight up, 1 through the shoulders.
func (g *pushes) at(direction float64) (f pushed) {
	level := direction * (g.shoulder - g.press) / g.high
	f.lean = level
	f.onHands = g.weighs / (g.press - float64(level*g.raised))
	// Beyond the shoulders: the floor's force on the hands, and the arms' weight.
	f.drawn = float64((1-direction)*f.onHands*(g.press-g.shoulder)) - g.arms
	// Beyond the waist: what the floor gives the feet, which is level too, at the waist's
	// height over them, less the weights.
	f.sags = float64((g.carried-f.onHands)*g.waist) + float64(level*f.onHands*g.waistHigh) - g.beyond
	if g.onForearms {
		return f
	}
	f.folds = float64(f.onHands*(g.press-g.elbow+float64(level*g.elbowHigh))) - g.forearms
	f.wrist = float64(f.onHands*(g.press-g.wrist)) - float64(g.hands*(g.hand-g.wrist))
	f.push = 0.5 * f.onHands * math.Abs(float64(level*(g.wrist-g.elbow))-g.elbowHigh) / g.fore
	return f
}

// asked returns what the forces ask for each use; less than nothing where they ask it
// of its counterpart.
func (g *pushes) asked(f *pushed) (asked [numPlankUses]Asked) {
	asked[waistSags].Demand, asked[waistBulges].Demand = f.sags, -f.sags
	asked[armsToFeet], asked[armsToHead] = Asked{f.drawn / 2, g.angle}, Asked{-f.drawn / 2, g.angle}
	switch {
	case g.onForearms:
	case g.bent:
		asked[elbowsFold].Demand, asked[elbowsStretch].Demand = f.folds/2, -f.folds/2
	default:
		asked[armsPush].Demand = f.push
	}
	asked[bentWrists] = Asked{math.Abs(f.wrist) / 2, -math.Acos((g.wrist - g.elbow) / g.fore)}
	return asked
}

// onFloor is where arms on the floor have their centre of mass, press, and have their
// joints and hands, ahead of the feet's support; and how high the elbows are.
type onFloor struct{ centre, press, elbow, wrist, hand, elbowHigh float64 }

func armsOnFloor(b *body.Columns, i int, a *assume.Set, reach, bend, shoulder, end float64, onForearms bool) (on onFloor) {
	upper, fore := b.UpperArm[i], b.Forearm[i]
	across := end - shoulder
	below := math.Sqrt(math.Max(0, float64(reach*reach)-float64(across*across)))
	on = onFloor{elbow: end, wrist: end, hand: end + b.HandCentre[i], press: end + float64(a[assume.PressureReach]*b.Palm[i])}
	switch {
	case onForearms:
		on.wrist = end + fore
		on.hand = on.wrist + b.HandCentre[i]
		on.press = end + float64(a[assume.ForearmPressure]*fore)
	case bend != 0:
		// The line from the shoulder to the wrist is turned towards the feet.
		sin, cos := math.Sincos(bend)
		on.elbow = shoulder + float64(upper/reach*(float64(across*cos)-float64(below*sin)))
		on.elbowHigh = below - float64(upper/reach*(float64(below*cos)+float64(across*sin)))
	default:
		on.elbow = shoulder + across*upper/reach
		on.elbowHigh = below * fore / reach
	}
	on.centre = (float64(b.UpperArmShare[i]*(shoulder+(on.elbow-shoulder)*b.UpperArmCentre[i]/upper)) +
		float64(b.ForearmShare[i]*(on.elbow+(on.wrist-on.elbow)*b.ForearmCentre[i]/fore)) +
		float64(b.HandShare[i]*on.hand)) / b.ArmShare(i)
	return on
}

// plankFigure is the Figure of a push-up or plank: the head is to the right.
func plankFigure(onForearms bool) func(*body.Columns, int, Posture, *Result, *assume.Set) (*Figure, error) {
	return func(b *body.Columns, i int, p Posture, held *Result, a *assume.Set) (*Figure, error) {
		return placedPlank(b, i, p, held, a, onForearms)
	}
}

func placedPlank(b *body.Columns, i int, p Posture, held *Result, a *assume.Set, onForearms bool) (*Figure, error) {
	lean, err := held.Posed(LeanAngle)
	if err != nil {
		return nil, err
	}
	push, err := held.Posed(PushLean)
	if err != nil {
		return nil, err
	}
	slope := math.Pi/2 - lean
	axis, front := turned(math.Pi+slope), turned(slope-math.Pi/2)
	q := NewFigure(b, i, statics.Vec{}, axis, 0)
	q.Facing = facing(axis, down)

	// From the feet to the head the arm turns away by the plank angle.
	line := turned(math.Pi + slope + a[assume.PlankAngle])
	var support statics.Vec
	var level float64
	if onForearms {
		elbow := q.shoulders.Plus(line.Times(b.UpperArm[i]))
		for _, side := range sides {
			q.Arm(side, q.shoulders, elbow, elbow.Plus(right.Times(b.Forearm[i])), FlatHand)
		}
		q.Joint(JointElbows, elbow, bothSides("forearm")...)
		support, level = elbow.Plus(right.Times(a[assume.ForearmPressure]*b.Forearm[i])), elbow.Y
		q.Support(SupportForearms, support, bothSides("forearm"), right, up)
		q.leans("left forearm", push)
	} else {
		elbow, wrist := bentArm(b, i, q.shoulders, line, p, a)
		for _, side := range sides {
			q.Arm(side, q.shoulders, elbow, wrist, FlatHand)
		}
		q.Joint(JointWrists, wrist, bothSides("hand")...)
		if p.Pose.Is(Bent) {
			q.Joint(JointElbows, elbow, bothSides("forearm")...)
		}
		support, level = wrist.Plus(right.Times(a[assume.PressureReach]*b.Palm[i])), wrist.Y
		q.Support(SupportHands, support, bothSides("hand"), right, up)
		q.leans("left hand", push)
	}
	q.Joint(JointShoulders, q.shoulders, bothSides("upper arm")...)

	stood := q.hip.Plus(axis.Times(b.Thigh[i])) // knees
	if p.Pose.Is(Kneeling) {
		left := statics.Vec{X: -1}
		for _, side := range [2]string{"first", "other"} {
			q.Leg(side, axis, left, left, 0)
			q.Bear(2) // the lower leg
		}
		q.Support(SupportKnees, stood, []string{"first thigh", "other thigh"}, right, up)
	} else {
		for _, side := range [2]string{"first", "other"} {
			q.Leg(side, axis, axis, front, b.Ankle[i])
		}
		stood = q.Along(b.Hip[i] + b.Thigh[i] + b.Shank[i] + b.Ankle[i]).Plus(front.Times(float64(a[assume.BallShare]*b.Foot[i]) - b.Heel[i]))
		q.Support(SupportFeet, stood, []string{"first foot", "other foot"}, right, up)
	}
	q.Joint(JointHips, q.hip, "first thigh", "other thigh")

	middle := (stood.X + support.X) / 2
	if level == stood.Y || math.Abs(level-stood.Y) < 1e-9 {
		q.Floor("floor", level, stood.X-float64(0.2*b.Stature[i]), support.X+float64(0.2*b.Stature[i]))
		return q.Done()
	}
	floor, box := math.Min(level, stood.Y), math.Max(level, stood.Y)
	q.Floor("floor", floor, stood.X-float64(0.2*b.Stature[i]), support.X+float64(0.2*b.Stature[i]))
	if level > stood.Y {
		q.Floor("box", box, math.Max(middle, support.X-float64(0.12*b.Stature[i])), support.X+float64(0.15*b.Stature[i]))
	} else {
		q.Floor("box", box, stood.X-float64(0.15*b.Stature[i]), stood.X+float64(0.12*b.Stature[i]))
	}
	return q.Done()
}

// leans states how far the floor's force on a hand or forearm leans to the head.
func (q *FigureBuilder) leans(segment string, by float64) {
	q.Close("the floor's force on the hands leans as far as push_direction says",
		statics.Term{Reaction: segment + ", horizontal", Coefficient: 1},
		statics.Term{Reaction: segment + ", vertical", Coefficient: -by})
}

// bentArm returns elbow and wrist of an arm from the shoulder, whose wrist lies
// on the line: straight, or bent to the assumed angle with the elbow towards
// the feet.
func bentArm(b *body.Columns, i int, shoulder, line statics.Vec, p Posture, a *assume.Set) (elbow, wrist statics.Vec) {
	upper, fore := b.UpperArm[i], b.Forearm[i]
	if !p.Pose.Is(Bent) {
		elbow = shoulder.Plus(line.Times(upper))
		return elbow, elbow.Plus(line.Times(fore))
	}
	// Fold the forearm back from the upper arm by the elbow's angle, then turn
	// both until the wrist is on the line.
	fold := turned(math.Pi - a[assume.ElbowAngle])
	end := statics.Vec{X: upper}.Plus(fold.Times(fore))
	turn := turned(math.Atan2(line.Y, line.X) - math.Atan2(end.Y, end.X))
	rotate := func(v statics.Vec) statics.Vec {
		return statics.Vec{X: float64(v.X*turn.X) - float64(v.Y*turn.Y), Y: float64(v.X*turn.Y) + float64(v.Y*turn.X)}
	}
	return shoulder.Plus(rotate(statics.Vec{X: upper})), shoulder.Plus(rotate(end))
}

// SidePlank is the straight body on its side, on one forearm and the edge of the
// lower foot.
var SidePlank = Complete(&Hold{
	Name: "side-plank", Title: "Side plank",
	Description: "The straight body on its side, on one forearm under the shoulder and the edge of the lower foot; the other arm lies along the trunk.",
	Plane:       "frontal, seen from the front",
	Supports: []string{
		"forearm on the floor, across the plane: vertical force under the lower shoulder",
		"lower foot on its edge: vertical force at the ankle",
	},
	Free: "none: the upper arm's length fixes the slope of the body",
	LeavesOut: []string{
		"horizontal forces at forearm and foot", "a sagging waist", "the balance across the plane", "the breadth of hips and ankles",
	},
	LegForms: legsTogether,
	Figure:   figureAt(LeanAngle, sidePlankFigure),
}, solveSidePlank, sidePlankUses, []Demand{HandShare, FootShare, WaistMoment, LeanAngle})

var sidePlankUses = []Use{{Group: muscle.WaistSideways, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)}}

func solveSidePlank(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	judge := NewJudge(out, sidePlankUses, capacity, p, a)
	onArms, onFeet, waists, leans := out.Column(HandShare), out.Column(FootShare), out.Column(WaistMoment), out.Column(LeanAngle)
	legs := Legs{}.reach()
	for i := range b.Rows() {
		share, moment := rest(b, i, legs)
		length := b.Hip[i] + b.Thigh[i] + b.Shank[i]
		// The lower shoulder lies half the span across the body from the line's end:
		// length·sin γ − (b/2)·cos γ = upper arm.
		half := b.ShoulderSpan[i] / 2
		slope, ok := out.SlopeOf(i, length, half, b.UpperArm[i])
		if !ok {
			continue
		}
		sin, cos := math.Sincos(slope)
		middle := float64(length * cos)     // ahead of the ankle
		lower := middle + float64(half*sin) // the lower shoulder, and the elbow under it
		upper := middle - float64(half*sin)
		armShare := b.ArmShare(i)
		arm, _, openArm := toWrist(b, i)
		openArm += float64(b.HandShare[i] * (arm + b.HandCentre[i]))
		onArm := (float64(share*middle) - float64(moment*cos) + // head, trunk, legs
			float64(armShare*upper) - float64(openArm*cos) + // the arm along the trunk
			float64(armShare*lower)) / lower // the arm under the shoulder; its forearm lies across the plane
		if !(onArm >= 0 && onArm <= 1) {
			out.Refuse(i)
			continue
		}
		// Beyond the waist: weights less what the foot carries.
		waist := math.Abs(float64(beyondWaist(b, i, legs)*cos) - float64((1-onArm)*(middle-float64(b.Waist[i]*cos))))
		judge.Row(i, Asked{Demand: waist})
		onArms.Set(i, onArm)
		onFeet.Set(i, 1-onArm)
		waists.Set(i, waist)
		leans.Set(i, math.Pi/2-slope)
	}
}

func sidePlankFigure(b *body.Columns, i int, _ Posture, lean float64, _ *assume.Set) *FigureBuilder {
	slope := math.Pi/2 - lean
	axis := turned(slope + math.Pi) // the head is to the right
	across := turned(slope - math.Pi/2).Times(b.ShoulderSpan[i] / 2)
	q := NewFigure(b, i, statics.Vec{}, axis, 0)
	shoulder := q.shoulders.Plus(across)
	elbow := shoulder.Plus(down.Times(b.UpperArm[i]))
	// The forearm lies across the plane: seen in it, all of it is at the elbow.
	b = b.Bare()
	q.Segment("bottom upper arm", SegmentChest, shoulder, elbow, b.UpperArmShare[i], shoulder.Plus(down.Times(b.UpperArmCentre[i])))
	q.Segment("bottom forearm", "bottom upper arm", elbow, elbow, b.ForearmShare[i]+b.HandShare[i], elbow)
	q.StraightArm("top", q.shoulders.Minus(across), axis, OpenHand)
	q.Legs(Legs{}, axis, statics.Vec{})
	q.Joint("lower shoulder", shoulder, "bottom upper arm")
	q.Support(SupportForearm, elbow, []string{"bottom forearm"}, up)
	ankle := q.Along(b.Hip[i] + b.Thigh[i] + b.Shank[i])
	q.Support(SupportFoot, ankle, []string{"first foot"}, up)
	q.Floor("floor", elbow.Y, ankle.X-float64(0.15*b.Stature[i]), elbow.X+float64(0.2*b.Stature[i]))
	return q
}
