package hold

import (
	"math"
	"slices"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// PushUp is the straight body on hands and toes, or hands and knees, at rest.
var PushUp = pushUp()

func pushUp() *Hold {
	return &Hold{
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
			"movement: force plates read more while it lasts",
			"that whoever does it may choose where the floor's force points, to spare what is used most: push_direction is taken as it is assumed",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: legsTogether, Variants: []Variant{Bent, Kneeling, FeetRaised, HandsRaised},
		Asks: Always(withUses(pushUpUses, HandShare, FootShare, RequiredForce, ShoulderMoment, ElbowMoment, WristMoment, WristAngle,
			WaistMoment, LeanAngle)...),
		Assumptions: Always(strengths(pushUpUses, assume.PlankAngle, assume.PressureReach, assume.PushDirection, assume.BallShare, assume.ElbowAngle)...),
		Uses:        Always(pushUpUses...),
		Solve:       InEquilibrium(solvePushUp),
		Figure:      pushUpFigure,
	}
}

// What push-ups and planks use at the waist, which sags or bulges, and at the shoulders;
// where the floor's force points is for the performer to choose, so that the shoulders do
// not decide.
var (
	plankWaist = []Use{
		{Group: muscle.WaistForward, Angle: At(0), Load: oneWay(sagging, 1, 1)},
		{Group: muscle.WaistBackward, Angle: At(0), Load: oneWay(sagging, -1, 1)},
		{Group: muscle.ShoulderExtension, Angle: plankAngle, Load: oneWay(drawnDown, 1, 2), Reported: true, Note: plankNote},
		{Group: muscle.ShoulderFlexion, Angle: plankAngle, Load: oneWay(drawnDown, -1, 2), Reported: true, Note: plankNote},
	}
	pushUpUses = append(slices.Clone(plankWaist),
		Use{Group: muscle.ArmPush, Angle: At(0), Load: whenStraight(largestForce)},
		Use{Group: muscle.ElbowExtension, Angle: bentElbow, Load: whenBent(oneWay(folding, 1, 2))},
		Use{Group: muscle.ElbowFlexion, Angle: bentElbow, Load: whenBent(oneWay(folding, -1, 2))},
		Use{Group: muscle.WristFlexion, Load: size(atLimbs(" hand"), 2), AngleOf: bentBack, Reported: true, Unknown: Never(wristsUnknown)},
	)
)

const plankNote = "by pushing towards the shoulders whoever does it can unload them"

func plankAngle(_ Posture, a *assume.Set) float64 { return degrees(a[assume.PlankAngle]) }

// bentElbow is the flexion of the elbows.
func bentElbow(p Posture, a *assume.Set) float64 {
	if p.Pose.Is(Bent) {
		return math.Pi - degrees(a[assume.ElbowAngle])
	}
	return 0
}

func whenBent(load Oracle) Oracle { return whenBentIs(true, load) }

func whenStraight(load Oracle) Oracle { return whenBentIs(false, load) }

func whenBentIs(bent bool, load Oracle) Oracle {
	return func(s *Solved) (float64, error) {
		if s.Posture.Pose.Is(Bent) != bent {
			return 0, nil
		}
		return load(s)
	}
}

// sagging is the moment with which the muscles in front of the trunk keep the waist
// from sagging, the head being to the right.
func sagging(s *Solved) (float64, error) {
	m, err := s.Moment(JointWaist)
	return m, err
}

// drawnDown is the moment with which the muscles of both shoulders draw the arms to the
// feet, the head being to the right.
func drawnDown(s *Solved) (float64, error) {
	m, err := s.Moment(JointShoulders)
	return -m, err
}

// folding is the moment with which both elbows' extensors keep the arms from folding.
func folding(s *Solved) (float64, error) {
	m, err := s.Moment(JointElbows)
	return -m, err
}

// ForearmPlank is the straight body on forearms and toes.
var ForearmPlank = forearmPlank()

func forearmPlank() *Hold {
	return &Hold{
		Name: "forearm-plank", Title: "Forearm plank",
		Description: "The straight body face down on its forearms and the balls of its feet.",
		Plane:       "sagittal, seen from the side",
		Supports: []string{
			"both forearms: force ahead of the elbow by forearm_pressure, towards the shoulders as far as push_direction says",
			"both feet on their balls, at right angles to the shanks: horizontal and vertical force",
		},
		Free:      "none: plank_angle, between upper arms and trunk, and the upper arms' length fix the slope of the body",
		LeavesOut: []string{"a sagging or arched trunk", "that whoever does it may choose where the floor's force points"},
		Models:    equilibriumOnly, Rules: balanced, LegForms: legsTogether,
		Asks:        Always(withUses(plankWaist, HandShare, FootShare, ShoulderMoment, WaistMoment, LeanAngle)...),
		Assumptions: Always(strengths(plankWaist, assume.PlankAngle, assume.ForearmPressure, assume.PushDirection, assume.BallShare)...),
		Uses:        Always(plankWaist...),
		Solve:       InEquilibrium(solveForearmPlank),
		Figure:      forearmPlankFigure,
	}
}

func solvePushUp(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	columns := plankColumnsOf(out, NewJudge(out, pushUpUses, capacity, p, a))
	for i := range b.Rows() {
		upper, fore := b.UpperArm[i], b.Forearm[i]
		reach, bend := upper+fore, 0.0 // shoulder to wrist; between that line and the upper arm
		if p.Pose.Is(Bent) {
			reach = math.Sqrt(upper*upper + fore*fore - 2*upper*fore*math.Cos(a.Angle(assume.ElbowAngle)))
			bend = math.Acos((upper*upper + reach*reach - fore*fore) / (2 * upper * reach))
		}
		columns.plank(b, i, p, a, reach, bend, false)
	}
}

func solveForearmPlank(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	columns := plankColumnsOf(out, NewJudge(out, plankWaist, capacity, p, a))
	for i := range b.Rows() {
		columns.plank(b, i, p, a, b.UpperArm[i], 0, true)
	}
}

// plankColumns is what a push-up or plank is asked for.
type plankColumns struct {
	*Result
	judge                                     Judge
	onHands, onFeet, shoulders, waists, leans Column
	force, elbows, wrists, bent               Column
}

func plankColumnsOf(out *Result, judge Judge) plankColumns {
	return plankColumns{out, judge, out.Column(HandShare), out.Column(FootShare), out.Column(ShoulderMoment), out.Column(WaistMoment), out.Column(LeanAngle),
		out.Column(RequiredForce), out.Column(ElbowMoment), out.Column(WristMoment), out.Column(WristAngle)}
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
func (out *plankColumns) plank(b *body.Columns, i int, p Posture, a *assume.Set, reach, bend float64, onForearms bool) {
	kneeling := p.Pose.Is(Kneeling)
	legs := b.Hip[i] + b.Thigh[i] + b.Shank[i]
	length, before := legs+b.Ankle[i], a[assume.BallShare]*b.Foot[i]-b.Heel[i]
	if kneeling {
		length, before = b.Hip[i]+b.Thigh[i], 0
	}
	angle := a.Angle(assume.PlankAngle)
	x, y := length-reach*math.Cos(angle), reach*math.Sin(angle)-before
	raised := p.Pose[HandsRaised] - p.Pose[FeetRaised]
	slope, ok := out.SlopeOf(i, x, y, raised)
	if !ok {
		return
	}
	sin, cos := math.Sincos(slope)
	shoulder := length*cos - before*sin // ahead of the feet's support, as all that follows
	end := shoulder - reach*math.Cos(slope+angle)

	// Head, trunk, thighs, shanks, by their places along the body; then the feet.
	legShare := 2 * (b.ThighShare[i] + b.ShankShare[i])
	lower := 2 * b.ShankShare[i] * (b.Thigh[i] + b.ShankCentre[i])
	feet := 2 * b.FootShare[i]
	feetAt := shoulder - (legs+b.Ankle[i]/2)*cos + b.FootCentre[i]*sin
	if kneeling { // the floor bears the lower legs where they are
		legShare, lower, feet = 2*b.ThighShare[i], 0, 0
	}
	legsMoment := lower + 2*b.ThighShare[i]*b.ThighCentre[i] // about the hips
	share := b.HeadShare[i] + b.TrunkShare[i] + legShare
	moment := b.HeadShare[i]*b.HeadCentre[i] + b.TrunkShare[i]*b.TrunkCentre[i] + legShare*b.Hip[i] + legsMoment

	on := armsOnFloor(b, i, a, reach, bend, shoulder, end, onForearms)
	armsAt, hands := on.centre, on.press
	arms := 2 * b.ArmShare(i)
	carried := share + feet + arms
	high := reach * math.Sin(slope+angle)                        // of the shoulders
	level := a[assume.PushDirection] * (shoulder - hands) / high // horizontal over vertical force
	onHands := (share*shoulder - moment*cos + feet*feetAt + arms*armsAt) / (hands - level*raised)
	if !(onHands >= 0 && onHands <= carried) {
		out.Refuse(i)
		return
	}
	// Beyond the shoulders: the floor's force on the hands, and the arms' weight.
	drawn := (1-a[assume.PushDirection])*onHands*(hands-shoulder) - arms*(armsAt-shoulder)
	// Beyond the waist: what the floor gives the feet, which is level too, at the waist's
	// height over them, less the weights.
	waist := shoulder - b.Waist[i]*cos
	beyond := b.LowerTrunkShare[i]*(b.LowerTrunkCentre[i]-b.Waist[i]) + legShare*(b.Hip[i]-b.Waist[i]) + legsMoment
	height := (length-b.Waist[i])*sin + before*cos
	sags := (carried-onHands)*waist + level*onHands*height - beyond*cos - feet*(waist-feetAt)

	asked := [...]Asked{{Demand: math.Max(sags, 0)}, {Demand: math.Max(-sags, 0)},
		{Demand: math.Max(drawn, 0) / 2}, {Demand: math.Max(-drawn, 0) / 2}, {}, {}, {}, {}}
	if onForearms {
		out.judge.Row(i, asked[:4]...)
	} else {
		out.onStraightOrBentArms(b, i, asked[:], &on, onHands, level, math.Atan2(end-shoulder, high), bend != 0)
	}
	out.onHands.Set(i, onHands)
	out.onFeet.Set(i, carried-onHands)
	out.shoulders.Set(i, math.Abs(drawn))
	out.waists.Set(i, math.Abs(sags))
	out.leans.Set(i, math.Pi/2-slope)
}

// onStraightOrBentArms judges a push-up, what it asks of the arms included. The hands
// carry onHands and level times that forwards; the straight arm, or the line from the
// shoulder to the wrist, leans forwards from the vertical.
func (out *plankColumns) onStraightOrBentArms(b *body.Columns, i int, asked []Asked, on *onFloor, onHands, level, lean float64, isBent bool) {
	elbow := onHands*(on.press-on.elbow) + level*onHands*on.elbowHigh -
		2*b.ForearmShare[i]*b.ForearmCentre[i]/b.Forearm[i]*(on.wrist-on.elbow) - 2*b.HandShare[i]*(on.hand-on.elbow)
	wrist := onHands*(on.press-on.wrist) - 2*b.HandShare[i]*(on.hand-on.wrist)
	// The forearm from elbow to wrist.
	ahead, down := (on.wrist-on.elbow)/b.Forearm[i], on.elbowHigh/b.Forearm[i]
	force := 0.5 * onHands * math.Abs(level*ahead-down)
	back := math.Acos(ahead)
	if isBent {
		asked[5].Demand, asked[6].Demand = math.Max(elbow, 0)/2, math.Max(-elbow, 0)/2
	} else {
		asked[4].Demand = force
	}
	asked[7] = Asked{math.Abs(wrist) / 2, -back}
	out.judge.Row(i, asked...)
	out.force.Set(i, force)
	out.elbows.Set(i, math.Abs(elbow))
	out.wrists.Set(i, math.Abs(wrist))
	out.bent.Set(i, back)
}

// onFloor is where arms on the floor have their centre of mass, press, and have their
// joints and hands, ahead of the feet's support; and how high the elbows are.
type onFloor struct{ centre, press, elbow, wrist, hand, elbowHigh float64 }

func armsOnFloor(b *body.Columns, i int, a *assume.Set, reach, bend, shoulder, end float64, onForearms bool) (on onFloor) {
	upper, fore := b.UpperArm[i], b.Forearm[i]
	across := end - shoulder
	below := math.Sqrt(math.Max(0, reach*reach-across*across))
	on = onFloor{elbow: end, wrist: end, hand: end + b.HandCentre[i], press: end + a[assume.PressureReach]*b.Palm[i]}
	switch {
	case onForearms:
		on.wrist = end + fore
		on.hand = on.wrist + b.HandCentre[i]
		on.press = end + a[assume.ForearmPressure]*fore
	case bend != 0:
		// The line from the shoulder to the wrist is turned towards the feet.
		sin, cos := math.Sincos(bend)
		on.elbow = shoulder + upper/reach*(across*cos-below*sin)
		on.elbowHigh = below - upper/reach*(below*cos+across*sin)
	default:
		on.elbow = shoulder + across*upper/reach
		on.elbowHigh = below * fore / reach
	}
	on.centre = (b.UpperArmShare[i]*(shoulder+(on.elbow-shoulder)*b.UpperArmCentre[i]/upper) +
		b.ForearmShare[i]*(on.elbow+(on.wrist-on.elbow)*b.ForearmCentre[i]/fore) +
		b.HandShare[i]*on.hand) / b.ArmShare(i)
	return on
}

func pushUpFigure(b *body.Columns, i int, p Posture, held *Result, a *assume.Set) (*Figure, error) {
	return plankFigure(b, i, p, held, a, false)
}

func forearmPlankFigure(b *body.Columns, i int, p Posture, held *Result, a *assume.Set) (*Figure, error) {
	return plankFigure(b, i, p, held, a, true)
}

// plankFigure is the figure of a push-up or plank: the head is to the right.
func plankFigure(b *body.Columns, i int, p Posture, held *Result, a *assume.Set, onForearms bool) (*Figure, error) {
	lean, err := held.Posed(LeanAngle)
	if err != nil {
		return nil, err
	}
	slope := math.Pi/2 - lean
	axis, front := turned(math.Pi+slope), turned(slope-math.Pi/2)
	q := NewFigure(b, i, statics.Vec{}, axis, 0)

	// From the feet to the head the arm turns away by the plank angle.
	line := turned(math.Pi + slope + a.Angle(assume.PlankAngle))
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
		q.lean("left forearm", support, a)
	} else {
		elbow, wrist := bentArm(b, i, q.shoulders, line, p, a)
		for _, side := range sides {
			q.Arm(side, q.shoulders, elbow, wrist, FlatHand)
		}
		q.Joint(JointWrists, wrist, bothSides("hand")...)
		q.Joint(JointElbows, elbow, bothSides("forearm")...)
		support, level = wrist.Plus(right.Times(a[assume.PressureReach]*b.Palm[i])), wrist.Y
		q.Support(SupportHands, support, bothSides("hand"), right, up)
		q.lean("left hand", support, a)
	}
	q.Joint(JointShoulders, q.shoulders, bothSides("upper arm")...)

	stood := q.hip.Plus(axis.Times(b.Thigh[i])) // knees
	if p.Pose.Is(Kneeling) {
		left := statics.Vec{X: -1}
		for _, side := range [2]string{"first", "other"} {
			q.Leg(side, axis, left, left, 0)
			// The floor bears the lower legs.
			n := len(q.System.Segments)
			for _, s := range q.System.Segments[n-2:] {
				q.System.Loads = append(q.System.Loads, statics.Load{Segment: s.Name, At: s.Centre, Force: up.Times(s.Mass * statics.StandardGravity)})
			}
		}
		q.Support(SupportKnees, stood, []string{"first thigh", "other thigh"}, right, up)
	} else {
		for _, side := range [2]string{"first", "other"} {
			q.Leg(side, axis, axis, front, b.Ankle[i])
		}
		stood = q.Along(b.Hip[i] + b.Thigh[i] + b.Shank[i] + b.Ankle[i]).Plus(front.Times(a[assume.BallShare]*b.Foot[i] - b.Heel[i]))
		q.Support(SupportFeet, stood, []string{"first foot", "other foot"}, right, up)
	}
	q.Joint(JointHips, q.hip, "first thigh", "other thigh")

	middle := (stood.X + support.X) / 2
	if level == stood.Y || math.Abs(level-stood.Y) < 1e-9 {
		q.Floor("floor", level, stood.X-0.2*b.Stature[i], support.X+0.2*b.Stature[i])
		return q.Done()
	}
	floor, box := math.Min(level, stood.Y), math.Max(level, stood.Y)
	q.Floor("floor", floor, stood.X-0.2*b.Stature[i], support.X+0.2*b.Stature[i])
	if level > stood.Y {
		q.Floor("box", box, math.Max(middle, support.X-0.12*b.Stature[i]), support.X+0.15*b.Stature[i])
	} else {
		q.Floor("box", box, stood.X-0.15*b.Stature[i], stood.X+0.12*b.Stature[i])
	}
	return q.Done()
}

// lean states how far the floor's force on a hand or forearm points to the
// shoulders.
func (q *FigureBuilder) lean(segment string, at statics.Vec, a *assume.Set) {
	to := q.shoulders.Minus(at)
	q.Close("the floor's force on the hands points to the shoulders as far as push_direction says",
		statics.Term{Reaction: segment + ", horizontal", Coefficient: 1},
		statics.Term{Reaction: segment + ", vertical", Coefficient: -a[assume.PushDirection] * to.X / to.Y})
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
	fold := turned(math.Pi - a.Angle(assume.ElbowAngle))
	end := statics.Vec{X: upper}.Plus(fold.Times(fore))
	turn := turned(math.Atan2(line.Y, line.X) - math.Atan2(end.Y, end.X))
	rotate := func(v statics.Vec) statics.Vec {
		return statics.Vec{X: v.X*turn.X - v.Y*turn.Y, Y: v.X*turn.Y + v.Y*turn.X}
	}
	return shoulder.Plus(rotate(statics.Vec{X: upper})), shoulder.Plus(rotate(end))
}
