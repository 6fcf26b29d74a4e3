package hold

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

var hangUses = []Use{{Group: muscle.Grip, Angle: At(acrossTheBar), Load: gripForce}}

// OneArmHang and TwoArmHang hang straight down from a bar.
var (
	OneArmHang = hang("one-arm-hang", "One-arm hang", "The body hangs straight down from one hand, the other arm at the side.", 1)
	TwoArmHang = hang("two-arm-hang", "Two-arm hang", "The body hangs straight down from two hands.", 2)
)

func hang(name, title, description string, arms int) *Hold {
	return &Hold{
		Name: name, Title: title, Description: description,
		Plane:    "sagittal, seen from the side: everything hangs under the grip",
		Supports: []string{"each hand on the bar: a pin, horizontal and vertical force"},
		Free:     "none",
		LeavesOut: []string{
			"what a straight arm takes under a pull, which was never measured",
			"swinging, and what turns and tilts the body under one hand",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: legsTogether,
		Asks:        Always(withUses(hangUses, RequiredForce, GripForce, ElbowMoment, WristMoment)...),
		Assumptions: Always(strengths(hangUses)...),
		Uses:        Always(hangUses...),
		Solve: InEquilibrium(func(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
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
		}),
		Figure: func(b *body.Columns, i int, p Posture, held *Result, _ *assume.Set) (*Figure, error) {
			if _, err := held.Posed(RequiredForce); err != nil {
				return nil, err
			}
			q := NewFigure(b, i, statics.Vec{}, down, b.Rise[i])
			grip, name, holding := q.holding(arms, up, Fist)
			q.Legs(p.Legs, down, right)
			q.Support(name, grip, holding, right, up)
			q.Edge("bar", grip, grip)
			return q.Done()
		},
	}
}
