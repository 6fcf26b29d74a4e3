package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold/internal/pole"
	"counterpoise/sim/muscle"
)

// The uses of the flag's capacities, for tests from outside.
const (
	PullTop, AbductTop, AbductBottom    = pole.PullTop, pole.AbductTop, pole.AbductBottom
	PushBottom, AdductTop, AdductBottom = pole.PushBottom, pole.AdductTop, pole.AdductBottom
	NumUses                             = pole.NumUses
)

// SolveSharing solves the flag in equilibrium with capacities that differ from use to
// use, a column each, those along the arms growing with their angle by slopes, per radian.
func SolveSharing(out *Result, b *body.Columns, can [NumUses][]float64, pull, push float64, p Posture, a *assume.Set) {
	columns := pole.Capacity{Of: can, Slope: pole.Slopes{Pull: pull, Push: push}}
	for use := range columns.Factor {
		columns.Factor[use] = 1
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
	stance := stanceOf(p, a)
	var t pole.Shares
	var held pole.Held
	for from := 0; from < b.Rows(); {
		next := t.Share(b, &can, from, &stance)
		for i := from; i < next; i++ {
			if !t.Hold(&held, i-from, &can, i) {
				left++
			}
		}
		from = next
	}
	return left
}
