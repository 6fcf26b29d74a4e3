package hold

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/statics"
)

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
			"the grip, which gives out first in most people",
			"swinging, and what turns and tilts the body under one hand",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: legsTogether,
		Asks:        Always(RequiredForce, Difficulty),
		Assumptions: Always(assume.AxialCapacity),
		Use:         useOf(RequiredForce, axially),
		Solve: InEquilibrium(func(out *Result, b *body.Columns, capacity *Capacity, _ Posture, _ *assume.Set) {
			forces, difficulty := out.Column(RequiredForce), out.Column(Difficulty)
			force := 1 / float64(arms)
			for i := range b.Rows() {
				out.Allow(i, LimitAxial)
				forces.Set(i, force)
				difficulty.Set(i, force/capacity.Axial[i])
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
