package hold

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/muscle"
)

// Solver fills out for every body; see [Hold.Solve].
type Solver = func(out *Result, bodies *body.Columns, capacity *Capacity, posture Posture, model Model, a *assume.Set)

// PartsOf evaluates the conditions of a posture of body i; see [Hold.PartsOf].
type PartsOf = func(bodies *body.Columns, capacity *Capacity, i int, posture Posture, model Model, a *assume.Set) func(values []float64, angle float64) bool

// A closed form counts in the weight of all that it holds up. What a body carries is no
// part of it: BW is the weight of the body alone, in which strength is told as well, and
// by which one and the same person is compared with and without a load.

// Carrying makes a Solve of one that knows no loads: bodies that carry something are held
// up as bodies of their weight, by what muscles give per that weight, and what is asked
// of them is told per weight of the body alone. Who is lifted whole can take no posture.
func Carrying(solve Solver) Solver {
	return func(out *Result, b *body.Columns, capacity *Capacity, p Posture, m Model, a *assume.Set) {
		carried := b.Carried()
		if carried == nil {
			solve(out, b, capacity, p, m, a)
			return
		}
		solve(out, b, out.under(capacity, carried), p, m, a)
		for d, column := range out.Value {
			if d.perWeight() && column != nil {
				for i, by := range carried {
					column[i] *= by
				}
			}
		}
		for i, by := range carried {
			if by == 0 {
				out.Refuse(i)
			}
		}
		if out.loads != nil {
			for k := range *out.loads {
				(*out.loads)[k].Demand *= carried[0] // of one body
			}
		}
	}
}

// CarryingParts makes a PartsOf of one that knows no loads.
func CarryingParts(partsOf PartsOf) PartsOf {
	return func(b *body.Columns, capacity *Capacity, i int, p Posture, m Model, a *assume.Set) func([]float64, float64) bool {
		if b.Carried() == nil {
			return partsOf(b, capacity, i, p, m, a)
		}
		if b.Weight(i) == 0 {
			return func([]float64, float64) bool { return false }
		}
		var one Result
		b = b.Slice(i, i+1)
		at := partsOf(b, one.under(capacity.Slice(i, i+1), b.Carried()), 0, p, m, a)
		return func(values []float64, angle float64) bool {
			possible := at(values, angle)
			if m == TwoCondition { // in weights; else shares of what muscles give
				for k := range values {
					values[k] *= b.Weight(0)
				}
			}
			return possible
		}
	}
}

// perWeight reports whether the demand is told in body weights.
func (d *DemandInfo) perWeight() bool { return d.Unit == "BW" || d.Unit == "BW·m" }

// under returns capacities per weight of bodies with what they carry, in room that the
// result keeps.
func (r *Result) under(capacity *Capacity, carried []float64) *Capacity {
	if r.room == nil || len(r.room.Relative) != len(carried) {
		r.room = NewCapacity(len(carried))
	}
	r.room.Curve = capacity.Curve
	divide := func(dst, of []float64) {
		for i, c := range carried {
			if c == 0 {
				c = 1 // refused after
			}
			dst[i] = of[i] / c
		}
	}
	for g := range muscle.NumGroups {
		divide(r.room.Of[g], capacity.Of[g])
	}
	divide(r.room.Relative, capacity.Relative)
	return r.room
}
