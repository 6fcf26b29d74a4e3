package hold

import (
	"slices"

	"counterpoise/sim/body"
	"counterpoise/sim/math"
)

// Judges reports whether verdicts and advice may rest on the model: whether its forces
// balance. Those of TwoCondition, the lift-and-turn rule that is taught, do not: it is
// computed to be shown beside what judges. See TaughtUpwards.
func (m Model) Judges() bool { return m != TwoCondition }

// Judging lists the hold's models whose forces balance, in its order.
func (h *Hold) Judging() []Model {
	return slices.DeleteFunc(slices.Clone(h.Models), func(m Model) bool { return !m.Judges() })
}

// TaughtUpwards returns what the two arm forces of TwoCondition add up to upwards, BW,
// for body i held in the flag under that model: F·(cos α + cos β), with the cosines
// from the hands' spacing. In balance it would be 1. held needs RequiredForce and
// HandSpacing.
func TaughtUpwards(b *body.Columns, i int, held *Result, p Posture) float64 {
	cosines := (held.Value[HandSpacing][i] - float64(b.ShoulderSpan[i]*math.Cos(p.Tilt))) / b.Arm(i)
	return held.Value[RequiredForce][i] * cosines
}
