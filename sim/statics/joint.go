package statics

import (
	"fmt"

	"counterpoise/sim/math"
)

// Joint returns what the joint of a segment with its parent must carry: the
// moment and the force that the parent exerts on the segment there. It cuts at
// the joint and balances everything beyond it: with q the joint,
//
//	M = −Σ (r_i − q) × m_i·g − Σ (p_j − q) × R_j − Σ couples,  F = −Σ forces.
//
// For the root both are zero, to rounding: nothing holds it but the supports.
func (sol *Solution) Joint(segment string) (moment float64, force Vec, err error) {
	s := &sol.system
	beyond := map[string]bool{}
	var mark func(name string)
	mark = func(name string) {
		beyond[name] = true
		for _, child := range sol.children[name] {
			mark(child)
		}
	}
	var q Vec
	found := false
	for _, g := range s.Segments {
		if g.Name == segment {
			q, found = g.Joint, true
		}
	}
	if !found {
		return 0, Vec{}, fmt.Errorf("statics: unknown segment %q", segment)
	}
	mark(segment)
	act := func(at, f Vec) {
		moment -= at.Minus(q).Cross(f)
		force = force.Minus(f)
	}
	for _, g := range s.Segments {
		if beyond[g.Name] {
			act(g.Centre, Vec{0, -g.Mass * s.Gravity})
		}
	}
	for _, l := range s.Loads {
		if beyond[l.Segment] {
			act(l.At, l.Force)
			moment -= l.Couple
		}
	}
	for _, r := range s.Reactions {
		if !beyond[r.Segment] {
			continue
		}
		if r.Couple {
			moment -= sol.Value[r.Name]
			continue
		}
		act(r.At, sol.Force(r.Name))
	}
	if math.IsNaN(moment) || math.IsInf(moment, 0) || !force.finite() {
		return 0, Vec{}, fmt.Errorf("statics: the joint of segment %q carries more than can be computed with", segment)
	}
	return moment, force, nil
}
