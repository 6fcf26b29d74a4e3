package hold

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
)

// The uses of the flag's capacities, for tests from outside.
const (
	PullTop, AbductTop, AbductBottom    = pullTop, abductTop, abductBottom
	PushBottom, AdductTop, AdductBottom = pushBottom, adductTop, adductBottom
	NumUses                             = numUses
)

// SolveSharing solves the flag in equilibrium with capacities that differ from use
// to use, a column each.
func SolveSharing(out *Result, b *body.Columns, can [NumUses][]float64, p Posture, a *assume.Set) {
	columns := flagCapacity(can)
	solveFlagWith(out, b, &columns, make([]float64, b.Rows()), p, Equilibrium, a)
}
