package hold

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// Planche is the level body on two straight arms above flat hands.
var Planche = Complete(&Hold{
	Name: "planche", Title: "Planche",
	Description: "The body level above the floor, face down, on two straight arms that lean forward over flat hands.",
	Plane:       "sagittal, seen from the side",
	Supports:    []string{"both flat hands: vertical force ahead of the wrist by pressure_reach; no horizontal force"},
	Free:        "none: balance over the hands fixes the lean of the arms",
	LeavesOut: []string{
		"shoulder blades that spread and lower the chest, and bent elbows",
		"how far wrists bend back: leaning arms bend flat hands farther than any wrist can",
		"clearance under bent legs: long thighs need blocks",
	},
	LegForms: everyLegForm,
	Figure:   figureAt(LeanAngle, plancheFigure),
}, solvePlanche, plancheUses, []Demand{ShoulderMoment, LeanAngle, ArmTrunkAngle, RequiredForce, ElbowMoment, WristMoment, WristAngle, WaistMoment, HipMoment}, assume.PressureReach)

// What a planche uses. The floor pushes the hands up behind the elbows, and would stretch
// them further.
var plancheUses = []Use{
	{Group: muscle.ShoulderFlexion, Load: size(shoulderMoment, 2), AngleOf: armTrunkAngle},
	{Group: muscle.ArmPush, Angle: At(0), Load: largestForce},
	{Group: muscle.WaistBackward, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)},
	{Group: muscle.ElbowFlexion, Angle: At(0), Load: size(atLimbs(" forearm"), 2), Reported: true, Note: "bones and ligaments of a straight elbow help to carry its load"},
	{Group: muscle.WristFlexion, Load: size(atLimbs(" hand"), 2), AngleOf: minus(wristAngle), Reported: true, Unknown: Never(WristsUnknown)},
}

func solvePlanche(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	judge := NewJudge(out, plancheUses, capacity, p, a)
	columns := levelColumnsOf(out)
	elbows, wrists, bent := out.Column(ElbowMoment), out.Column(WristMoment), out.Column(WristAngle)
	legs := p.Legs.reach()
	for i := range b.Rows() {
		share, moment := rest(b, i, legs)
		lean, ok := out.AngleOf(i, plancheLean(b, i, share, moment, a))
		if !ok {
			continue
		}
		waist := beyondWaist(b, i, legs)
		press, _ := flatHands(b, i, a)
		elbow, wrist := onFlatHand(b, i, press, -b.Forearm[i]*math.Sin(lean))
		back := math.Pi/2 + lean
		judge.Row(i, Asked{max(moment, 0) / 2, math.Pi/2 - lean}, Asked{Demand: 0.5 * math.Cos(lean)}, Asked{Demand: max(waist, 0)},
			Asked{Demand: math.Abs(elbow)}, Asked{math.Abs(wrist), -back})
		columns.set(b, i, moment, lean, waist, legs)
		elbows.Set(i, math.Abs(2*elbow))
		wrists.Set(i, math.Abs(2*wrist))
		bent.Set(i, back)
	}
}

// plancheLean is the sine of the arms' lean: with the shoulders L_w·sin ψ ahead of
// the wrists, everything is over the point of pressure,
// L_w·sin ψ·(M₀ + m_arms·(1−k′)) + m_hands·x_hand − M₀·c = q.
func plancheLean(b *body.Columns, i int, share, moment float64, a *assume.Set) float64 {
	arm, armShare, armMoment := toWrist(b, i)
	press, hands := flatHands(b, i, a)
	return (press + moment - hands) / (float64(arm*(share+float64(2*armShare))) - float64(2*armMoment))
}

func plancheFigure(b *body.Columns, i int, p Posture, lean float64, a *assume.Set) *FigureBuilder {
	// The head is to the right; from the shoulders the arms go down and towards the feet.
	left := statics.Vec{X: -1}
	q := NewFigure(b, i, statics.Vec{}, left, 0)
	wrist := q.BothArms(turned(-math.Pi/2-lean), FlatHand)
	q.Legs(p.Legs, left, down)
	q.onHands(wrist, a, 0.3, 0.35)
	return q
}

// LSit is the body held up by two straight arms beside the hips, the trunk
// upright and the legs level before it.
var LSit = Complete(&Hold{
	Name: "l-sit", Title: "L-sit",
	Description: "The body held up by two straight arms beside the hips, the trunk upright, the straight legs level in front.",
	Plane:       "sagittal, seen from the side",
	Supports:    []string{"both hands on the floor or on blocks: vertical force ahead of the wrist by pressure_reach; no horizontal force"},
	Free:        "none: balance over the hands fixes the lean of the arms",
	LeavesOut: []string{
		"a trunk that leans or rounds, and shoulder blades that press down", "tightness at the back of the legs",
		"clearance under bent legs: they need blocks",
	},
	LegForms: []LegForm{Together, Straddle, OneLeg, Tuck},
	Figure:   figureAt(LeanAngle, lSitFigure),
}, solveLSit, lSitUses, []Demand{HipMoment, ShoulderMoment, RequiredForce, LeanAngle, ElbowMoment, WristMoment, WristAngle}, assume.PressureReach)

// What an L-sit uses.
var lSitUses = []Use{
	{Group: muscle.HipFlexion, Angle: raisedHip, Load: firstHip, Unknown: func(p Posture) string {
		if raisedHip(p, nil) > math.Pi/2 {
			return "the strength of the muscles that lift a thigh was never measured beyond a right angle"
		}
		return ""
	}},
	{Group: muscle.ArmPush, Angle: At(0), Load: largestForce},
	{Group: muscle.WaistForward, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)},
	{Group: muscle.ShoulderExtension, Load: size(shoulderMoment, 2), AngleOf: armTrunkAngle, Reported: true,
		Unknown: Never("the strength of the muscles that bring the arm down was never measured with the arm beside the trunk")},
	{Group: muscle.ElbowExtension, Angle: At(0), Load: size(atLimbs(" forearm"), 2), Reported: true, Note: "nobody knows how much the bones of a locked elbow carry"},
	{Group: muscle.WristFlexion, Load: size(atLimbs(" hand"), 2), AngleOf: minus(wristAngle), Reported: true, Unknown: Never(WristsUnknown)},
}

// raisedHip is the flexion of the first hip, rad.
func raisedHip(p Posture, _ *assume.Set) float64 {
	l := p.Legs.raised()
	if l.Form == Straddle {
		return math.Pi / 2
	}
	thigh, _ := l.directions()
	return math.Pi/2 + thigh[0]
}

// firstHip is the moment at the first hip, of the muscles that lift the thigh.
func firstHip(s *Solved) (float64, error) {
	m, err := s.Cut("first thigh")
	return max(m, 0), err
}

func solveLSit(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	judge := NewJudge(out, lSitUses, capacity, p, a)
	hips, shoulders, force, leans := out.Column(HipMoment), out.Column(ShoulderMoment), out.Column(RequiredForce), out.Column(LeanAngle)
	elbows, wrists, bent := out.Column(ElbowMoment), out.Column(WristMoment), out.Column(WristAngle)
	legs, first := p.Legs.raised().reach(), p.Legs.raised().first()
	for i := range b.Rows() {
		hip := legs.moment(b, i) // first moment of the legs ahead of the hips
		arm, _, armMoment := toWrist(b, i)
		press, hands := flatHands(b, i, a)
		// With the wrists L_w·sin ψ ahead of hips and shoulders, everything over the
		// point of pressure: hip + 2·m_arm·k′·L_w·sin ψ + m_hands·(L_w·sin ψ + x_hand) = L_w·sin ψ + q.
		lean, ok := out.AngleOf(i, (hip+hands-press)/(float64(arm*(1-float64(2*b.HandShare[i])))-float64(2*armMoment)))
		if !ok {
			continue
		}
		elbow, wrist := onFlatHand(b, i, press, b.Forearm[i]*math.Sin(lean))
		back := math.Pi/2 - lean
		// Cut at the shoulders or the waist: of all but the arms only the legs are ahead of them.
		judge.Row(i, Asked{Demand: max(first.moment(b, i), 0)}, Asked{Demand: 0.5 * math.Cos(lean)}, Asked{Demand: max(hip, 0)},
			Asked{math.Abs(hip) / 2, math.Abs(lean)}, Asked{Demand: math.Abs(elbow)}, Asked{math.Abs(wrist), -back})
		hips.Set(i, math.Abs(hip))
		shoulders.Set(i, math.Abs(hip))
		force.Set(i, 0.5*math.Cos(lean))
		leans.Set(i, lean)
		elbows.Set(i, math.Abs(2*elbow))
		wrists.Set(i, math.Abs(2*wrist))
		bent.Set(i, back)
	}
}

func lSitFigure(b *body.Columns, i int, p Posture, lean float64, a *assume.Set) *FigureBuilder {
	q := NewFigure(b, i, statics.Vec{}, down, 0)
	wrist := q.BothArms(turned(lean-math.Pi/2), FlatHand)
	q.Legs(p.Legs.raised(), right, up)
	q.onHands(wrist, a, 0.25, 0.5)
	return q
}

// raised returns the legs as seen from the level before an upright trunk: what
// is straight lies level, and a bent hip lifts the thigh past it by its flexion
// beyond a right angle.
func (l Legs) raised() Legs {
	if l.Form == OneLeg || l.Form == AdvancedTuck || l.Form == Tuck {
		l.Hip -= math.Pi / 2
	}
	return l
}

// DefaultWallDistance is from the hands to the wall where a pose gives none, m.
const DefaultWallDistance = 0.15

// WallHandstand is the handstand with the heels on a wall, on one arm or two.
var WallHandstand = Complete(&Hold{
	Name: "wall-handstand", Title: "Handstand against a wall",
	Description: "Upside down on straight arms, the straight body leaning its heels on a wall behind; on one arm, the other lies along the side.",
	Plane:       "sagittal, seen from the side; on one arm, sideways turning is left out",
	Supports: []string{
		"flat hands on the floor, fingers turned aside, force at the wrists: horizontal and vertical",
		"heels on the wall: horizontal push, and wall_friction times it upwards",
	},
	Free: "none: wall_distance, from the wrists to the wall, fixes the lean of the whole body (0.15 m unless given)",
	LeavesOut: []string{
		"an arched back, and closed shoulders", "the sideways balance on one arm",
		"balancing with wrists and fingers",
	},
	LegForms: legsTogether, Variants: []Variant{OneArm, WallDistance},
	Figure: figureAt(LeanAngle, handstandFigure),
}, solveHandstand, handstandUses, []Demand{WallPush, RequiredForce, LeanAngle, HandShare, ElbowMoment, WristMoment}, assume.WallFriction)

var handstandUses = []Use{{Group: muscle.ArmPush, Angle: At(0), Load: largestForce}}

func solveHandstand(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	judge := NewJudge(out, handstandUses, capacity, p, a)
	pushes, forces, elbows, wrists := out.Column(WallPush), out.Column(RequiredForce), out.Column(ElbowMoment), out.Column(WristMoment)
	leans, shares := out.Column(LeanAngle), out.Column(HandShare)
	hands, legs, friction := float64(standsOn(p)), Legs{}.reach(), a[assume.WallFriction]
	for i := range b.Rows() {
		share, moment := rest(b, i, legs)
		arm, armShare, armMoment := toWrist(b, i)
		raised := arm + b.Rise[i] // wrists to the shoulders at rest
		heels := raised + b.Hip[i] + b.Thigh[i] + b.Shank[i]
		lean, ok := out.AngleOf(i, p.Pose.Or(WallDistance)/heels)
		if !ok {
			continue
		}
		// First moment of everything about the wrists, along the body; the hands
		// that stand lie across the plane, at the wrists. A free arm points to the feet, its hand open.
		along := float64(share*raised) + moment + float64(hands*(float64(armShare*arm)-armMoment))
		if hands == 1 {
			along += float64(b.ArmShare(i)*raised) + armMoment + float64(b.HandShare[i]*(arm+b.HandCentre[i]))
		}
		sin, cos := math.Sincos(lean)
		push := along * sin / (heels * (cos + float64(friction*sin)))
		up := 1 - float64(friction*push)
		force := (float64(up*cos) + float64(push*sin)) / hands
		// Of all hands together; the floor pushes back to the wall as the wall to the floor.
		elbow := float64(b.Forearm[i]*(float64(push*cos)-float64(up*sin))) + float64(hands*sin*(float64(b.ForearmShare[i]*b.ForearmCentre[i])+float64(b.HandShare[i]*b.Forearm[i])))
		judge.Row(i, Asked{Demand: math.Abs(force)})
		pushes.Set(i, push)
		forces.Set(i, force)
		leans.Set(i, lean)
		shares.Set(i, up)
		elbows.Set(i, math.Abs(elbow))
		wrists.Set(i, 0) // the floor pushes at the wrists
	}
}

func handstandFigure(b *body.Columns, i int, p Posture, lean float64, a *assume.Set) *FigureBuilder {
	// The wall is on the right; the body faces away from it, the fingers point sideways.
	axis, front := turned(math.Pi/2-lean), turned(math.Pi-lean)
	arm, _, _ := toWrist(b, i)
	q := NewFigure(b, i, axis.Times(arm), axis, b.Rise[i])
	wrist, name, standing := q.holding(standsOn(p), axis.Times(-1), HandAside)
	q.Legs(Legs{}, axis, front)
	q.Support(name, wrist, standing, right, up)
	heels := q.Along(b.Hip[i] + b.Thigh[i] + b.Shank[i])
	q.Support(SupportHeels, heels, []string{"first foot", "other foot"}, right, up)
	q.Close("the wall's friction is wall_friction times its push",
		statics.Term{Reaction: "first foot, vertical", Coefficient: 1},
		statics.Term{Reaction: "first foot, horizontal", Coefficient: a[assume.WallFriction]}) // to the left, which is negative
	q.Floor("floor", wrist.Y, wrist.X-float64(0.3*b.Stature[i]), heels.X)
	q.Edge("wall", statics.Vec{X: heels.X, Y: wrist.Y}, statics.Vec{X: heels.X, Y: heels.Y + float64(0.12*b.Stature[i])})
	return q
}

// standsOn returns how many arms the body stands on.
func standsOn(p Posture) int {
	if p.Pose.Is(OneArm) {
		return 1
	}
	return 2
}
