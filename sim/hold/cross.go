package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/statics"
)

// IronCross is the body upright between two rings on straight, level arms.
var IronCross = ironCross()

func ironCross() *Hold {
	return &Hold{
		Name: "iron-cross", Title: "Iron cross",
		Description: "The body upright between two rings, the straight arms level or a given angle below it.",
		Plane:       "frontal, seen from the front",
		Supports:    []string{"each ring: vertical force at the grip; the cables hang straight down"},
		Free:        "none; arms_low sets the arms below the level",
		LeavesOut: []string{
			"cables that are not vertical", "straps or a grip that bear on the wrist",
			"elbows that are not quite straight", "that the shoulders' strength depends on their angle",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: legsTogether, Variants: []Variant{ArmsLow},
		Asks:        always(ShoulderMoment, Difficulty, HandSpacing),
		Assumptions: always(assume.AdductionCapacity),
		Solve:       inEquilibrium(solveCross),
		Figure:      crossFigure,
	}
}

func solveCross(out *Result, b *body.Columns, capacity *Capacity, p Posture, _ *assume.Set) {
	moments, difficulty, spacing := out.Column(ShoulderMoment), out.Column(Difficulty), out.Column(HandSpacing)
	sideways := math.Cos(p.Pose[ArmsLow])
	for i := range b.Rows() {
		// Half the weight pulls up at the grip, the arm's own weight down: L·(½ − k·m_a).
		moment := math.Abs((0.5*b.Arm(i) - b.ArmMoment(i)) * sideways)
		out.Allow(i, LimitShoulders)
		moments.Set(i, moment)
		difficulty.Set(i, moment/capacity.Adduction[i])
		spacing.Set(i, b.ShoulderSpan[i]+2*b.Arm(i)*sideways)
	}
}

func crossFigure(b *body.Columns, i int, p Posture, held *Result, _ *assume.Set) (*Figure, error) {
	if _, err := posed(held, ShoulderMoment); err != nil {
		return nil, err
	}
	q := place(b, i, statics.Vec{}, down, statics.Vec{}, 0)
	for _, of := range []struct {
		side string
		way  float64
	}{{"left", -1}, {"right", 1}} {
		shoulder := statics.Vec{X: of.way * b.ShoulderSpan[i] / 2}
		sin, cos := math.Sincos(p.Pose[ArmsLow])
		grip := q.straight(of.side, shoulder, statics.Vec{X: of.way * cos, Y: -sin}, fist)
		q.joint(of.side+" shoulder", shoulder, of.side+" upper arm")
		q.support(of.side+" hand", grip, []string{of.side + " hand"}, up)
		q.edge("cable", grip, grip.Plus(up.Times(0.5*b.Stature[i])))
	}
	q.legs(p.Legs, down, statics.Vec{})
	return q.done()
}
