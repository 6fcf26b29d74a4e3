package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/statics"
)

// Planche is the level body on two straight arms above flat hands.
var Planche = &Hold{
	Name: "planche", Title: "Planche",
	Description: "The body level above the floor, face down, on two straight arms that lean forward over flat hands.",
	Plane:       "sagittal, seen from the side",
	Supports:    []string{"both flat hands: vertical force ahead of the wrist by pressure_reach; no horizontal force"},
	Free:        "none: balance over the hands fixes the lean of the arms",
	LeavesOut: []string{
		"shoulder blades that spread and lower the chest, and bent elbows",
		"that wrists bend back only so far", "room under bent legs: long thighs need blocks",
		"that the shoulders' strength depends on their angle",
	},
	Models: equilibriumOnly, Rules: balanced, LegForms: everyLegForm,
	Asks:        always(ShoulderMoment, Difficulty, LeanAngle, ArmTrunkAngle, WristMoment, RequiredForce, WaistMoment, HipMoment),
	Assumptions: always(assume.PressureReach, assume.AdductionCapacity, assume.FlexionShare),
	Solve: solveRows(func(out *Result, b *body.Columns, capacity *Capacity, i int, p Posture, a *assume.Set) {
		legs := p.Legs.reach()
		share, moment := rest(b, i, legs)
		arm, armShare, armMoment := toWrist(b, i)
		press, hands := a[assume.PressureReach]*b.Palm[i], 2*b.HandShare[i]*b.HandCentre[i]
		// With the shoulders L_w·sin ψ ahead of the wrists, everything over the point
		// of pressure: L_w·sin ψ·(M₀ + m_arms·(1−k′)) + m_hands·x_hand − M₀·c = q.
		lean, ok := angleOf(out, i, (press+moment-hands)/(arm*(share+2*armShare)-2*armMoment))
		if !ok {
			return
		}
		out.Possible[i], out.Limit[i] = true, LimitShoulders
		out.set(ShoulderMoment, i, math.Abs(moment))
		out.set(Difficulty, i, math.Abs(moment)/(2*flexors(capacity, i, a)))
		out.set(LeanAngle, i, lean)
		out.set(ArmTrunkAngle, i, math.Pi/2-lean)
		out.set(WristMoment, i, math.Abs(press-hands))
		out.set(RequiredForce, i, 0.5*math.Cos(lean))
		out.set(WaistMoment, i, beyondWaist(b, i, legs))
		out.set(HipMoment, i, legs.moment(b, i))
	}),
	Figure: func(b *body.Columns, i int, p Posture, held *Result, a *assume.Set) (*Figure, error) {
		lean, err := posed(held, LeanAngle)
		if err != nil {
			return nil, err
		}
		// The head is to the right; from the shoulders the arms go down and towards the feet.
		left := statics.Vec{X: -1}
		q := place(b, i, statics.Vec{}, left, down, 0)
		wrist := q.pair(turned(-math.Pi/2-lean), flat)
		q.legs(p.Legs, left, down)
		q.joint(JointWrists, wrist, bothSides("hand")...)
		q.support(SupportHands, wrist.Plus(right.Times(a[assume.PressureReach]*b.Palm[i])), bothSides("hand"), up)
		q.floor("floor", wrist.Y, wrist.X-0.3*b.Stature[i], wrist.X+0.35*b.Stature[i])
		return q.done()
	},
}
