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
		Asks:        Always(ShoulderMoment, Difficulty, HandSpacing),
		Assumptions: Always(assume.AdductionCapacity),
		Solve:       InEquilibrium(solveCross),
		Figure:      crossFigure,
		Use:         useOf(ShoulderMoment, func(s *Solved) float64 { return s.Capacity.Adduction[0] }),
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
		q.Support(of.side+" hand", grip, []string{of.side + " hand"}, up)
		q.Edge("cable", grip, grip.Plus(up.Times(0.5*b.Stature[i])))
	}
	q.Legs(p.Legs, down, statics.Vec{})
	return q.Done()
}
