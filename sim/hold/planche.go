package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// Planche is the level body on two straight arms above flat hands.
var Planche = planche()

func planche() *Hold {
	return &Hold{
		Name: "planche", Title: "Planche",
		Description: "The body level above the floor, face down, on two straight arms that lean forward over flat hands.",
		Plane:       "sagittal, seen from the side",
		Supports:    []string{"both flat hands: vertical force ahead of the wrist by pressure_reach; no horizontal force"},
		Free:        "none: balance over the hands fixes the lean of the arms",
		LeavesOut: []string{
			"shoulder blades that spread and lower the chest, and bent elbows",
			"that wrists bend back only so far: the lean of the arms bends flat hands beyond what any wrist reaches",
			"room under bent legs: long thighs need blocks",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: everyLegForm,
		Asks: Always(withUses(plancheUses, ShoulderMoment, LeanAngle, ArmTrunkAngle, RequiredForce,
			ElbowMoment, WristMoment, WristAngle, WaistMoment, HipMoment)...),
		Assumptions: Always(strengths(plancheUses, assume.PressureReach)...),
		Uses:        Always(plancheUses...),
		Solve:       InEquilibrium(solvePlanche),
		Figure:      plancheFigure,
	}
}

// What a planche uses. The floor pushes the hands up behind the elbows, and would stretch
// them further.
var plancheUses = []Use{
	{Group: muscle.ShoulderFlexion, Load: size(shoulderMoment, 2), AngleOf: armTrunkAngle},
	{Group: muscle.ArmPush, Angle: At(0), Load: largestForce},
	{Group: muscle.WaistBackward, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)},
	{Group: muscle.ElbowFlexion, Angle: At(0), Load: size(atLimbs(" forearm"), 2), Reported: true, Note: "a straight elbow is borne by bones and ligaments as well"},
	{Group: muscle.WristFlexion, Load: size(atLimbs(" hand"), 2), AngleOf: bentBack, Reported: true, Unknown: Never(wristsUnknown)},
}

// bentBack is the angle of wrists that are bent back.
func bentBack(s *Solved) (float64, error) {
	angle, err := wristAngle(s)
	return -angle, err
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
		judge.Row(i, Asked{math.Abs(moment) / 2, math.Pi/2 - lean}, Asked{Demand: 0.5 * math.Cos(lean)}, Asked{Demand: math.Abs(waist)},
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
	return (press + moment - hands) / (arm*(share+2*armShare) - 2*armMoment)
}

func plancheFigure(b *body.Columns, i int, p Posture, held *Result, a *assume.Set) (*Figure, error) {
	lean, err := held.Posed(LeanAngle)
	if err != nil {
		return nil, err
	}
	// The head is to the right; from the shoulders the arms go down and towards the feet.
	left := statics.Vec{X: -1}
	q := NewFigure(b, i, statics.Vec{}, left, 0)
	wrist := q.BothArms(turned(-math.Pi/2-lean), FlatHand)
	q.Legs(p.Legs, left, down)
	q.onHands(wrist, a, 0.3, 0.35)
	return q.Done()
}
