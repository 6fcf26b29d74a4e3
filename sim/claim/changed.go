package claim

import (
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/strength"
)

// Place says where the arms of changed bodies are, in the posture in which they
// are then held: first is what the first bodies are held at, which an absolute
// angle does not look at, and room, one element a body, keeps what the posture
// refers to.
func (arms *Arms) Place(next *hold.Posture, first *hold.Result, room []float64) {
	switch {
	case arms.Angle != nil:
		next.Rule, next.Angle = hold.GivenAngle, room
		for i := range room {
			room[i] = *arms.Angle
		}
	case arms.Turn != nil:
		next.Rule, next.Angle = hold.GivenAngle, room
		for i := range room {
			room[i] = first.Value[hold.ArmAngle][i] + *arms.Turn
		}
	case arms.Spacing != nil:
		next.Rule, next.Spacing = hold.GivenSpacing, room
		for i, spacing := range first.Value[hold.HandSpacing][:len(room)] {
			room[i] = spacing + arms.Spacing.Of(spacing)
		}
	}
}

// Strengthen turns the capacities of first bodies in can into those of the
// changed ones: size and working muscle give strength, and mass has to be
// carried. ratio is scratch, one element a body.
func (ch *Change) Strengthen(can *hold.Capacity, ratio []strength.Ratio, before, after *body.Columns, a *assume.Set) {
	strength.OfChange(can, ratio, &ch.Body, before, after, a)
}

// Selection returns those of the people whom the claim is about.
func (c *Claim) Selection(p People) (*anthro.Selection, error) { return c.selection(p) }

// Rule is what the posture rule asks of a hold.
func (r PostureRule) Rule() hold.Rule { return r.rule() }
