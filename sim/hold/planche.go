package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
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
			"that wrists bend back only so far", "room under bent legs: long thighs need blocks",
			"that the shoulders' strength depends on their angle",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: everyLegForm,
		Asks:        Always(ShoulderMoment, Difficulty, LeanAngle, ArmTrunkAngle, WristMoment, RequiredForce, WaistMoment, HipMoment),
		Assumptions: Always(assume.PressureReach, assume.AdductionCapacity, assume.FlexionShare),
		Solve:       InEquilibrium(solvePlanche),
		Figure:      plancheFigure,
		Use:         useOf(ShoulderMoment, muscles(flexors).both),
	}
}

func solvePlanche(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	heldLevel(flexors, plancheLean)(out, b, capacity, p, a)
	fillWrists(out, b, a)
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
