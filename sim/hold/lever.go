package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/statics"
)

// FrontLever and BackLever hang a level, straight body by straight arms from a
// bar: face up with the arms before the trunk, face down with the arms behind.
// Statics does not tell them apart but for bent legs; the muscles at work do.
var (
	FrontLever = lever("front-lever", "Front lever",
		"The body hangs level under a bar, face up, by two straight arms.", extensors, up, assume.AdductionCapacity)
	BackLever = lever("back-lever", "Back lever",
		"The body hangs level under a bar, face down, by two straight arms behind the back.", flexors, down, assume.AdductionCapacity, assume.FlexionShare)
)

// lever makes a lever held by the given muscles of each shoulder, whose strength
// rests on the given assumptions, and whose body faces front.
func lever(name, title, description string, muscles muscles, front statics.Vec, rests ...assume.ID) *Hold {
	return &Hold{
		Name: name, Title: title, Description: description,
		Plane:    "sagittal, seen from the side",
		Supports: []string{"both hands on the bar: a pin, horizontal and vertical force"},
		Free:     "none: balance fixes the lean of the arms, with the centre of mass under the bar",
		LeavesOut: []string{
			"bent elbows, and shoulder blades that glide",
			"the grip, and the strength of the trunk that keeps the body straight",
			"that the shoulders' strength depends on their angle",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: everyLegForm,
		Asks:        Always(ShoulderMoment, Difficulty, LeanAngle, ArmTrunkAngle, RequiredForce, WaistMoment, HipMoment),
		Assumptions: Always(rests...),
		Solve:       InEquilibrium(heldLevel(muscles, leverLean)),
		Use:         useOf(ShoulderMoment, muscles.both),
		Figure: func(b *body.Columns, i int, p Posture, held *Result, _ *assume.Set) (*Figure, error) {
			lean, err := held.Posed(LeanAngle)
			if err != nil {
				return nil, err
			}
			q := NewFigure(b, i, statics.Vec{}, right, 0)
			hands := q.BothArms(turned(math.Pi/2-lean), Fist)
			q.Legs(p.Legs, right, front)
			q.Support(SupportHands, hands, bothSides("hand"), right, up)
			q.Edge("bar", hands, hands)
			return q.Done()
		},
	}
}

// leverLean is the sine of the arms' lean: they lean towards the feet until
// everything hangs under the bar, L·sin ψ·(M₀ + 2·m_a·(1−k)) = M₀·c.
func leverLean(b *body.Columns, i int, share, moment float64, _ *assume.Set) float64 {
	return moment / (b.Arm(i)*(share+2*b.ArmShare(i)) - 2*b.ArmMoment(i))
}
