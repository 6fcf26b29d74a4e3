package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/muscle"
)

// The uses of the flag's capacities, for tests from outside.
const (
	PullTop, AbductTop, AbductBottom    = pullTop, abductTop, abductBottom
	PushBottom, AdductTop, AdductBottom = pushBottom, adductTop, adductBottom
	NumUses                             = numUses
)

// SolveSharing solves the flag in equilibrium with capacities that differ from use to
// use, a column each, those along the arms growing with their angle by slopes, per radian.
func SolveSharing(out *Result, b *body.Columns, can [NumUses][]float64, pull, push float64, p Posture, a *assume.Set) {
	columns := flagCapacity{of: can, slope: armSlopes{pull, push}}
	for use := range columns.factor {
		columns.factor[use] = 1
	}
	waist := NewCapacity(b.Rows()) // which bears anything
	for g := range waist.Of {
		waist.Curve[g] = muscle.Flat
		for i := range waist.Of[g] {
			waist.Of[g][i] = math.Inf(1)
		}
	}
	solveFlagWith(out, b, &columns, waist, p, Equilibrium, a)
}

// LeftToSearch returns how many level bodies at their best posture are left without a
// certificate by the fast solution.
func LeftToSearch(b *body.Columns, capacity *Capacity, legs Legs, a *assume.Set) (left int) {
	can, p := capacity.ofFlag(), Posture{Legs: legs}
	out := flagColumnsOf(NewResult(b.Rows(), Difficulty), b, legs.reach(), 1)
	out.judge = NewJudge(out.Result, flagMuscles, capacity, p, a)
	out.solveLevel(b, &can, legs.reach(), a, func(int) { left++ })
	return left
}
