package statics

import (
	"errors"
	"fmt"

	"counterpoise/sim/math"
)

// check validates the system and indexes it.
func (s *System) check() (*Solution, error) {
	sol := &Solution{index: map[string]int{}, children: map[string][]string{}}
	if math.IsNaN(s.Gravity) || math.IsInf(s.Gravity, 0) {
		return nil, errors.New("statics: gravity is not a number")
	}
	parent, root := map[string]string{}, ""
	for _, g := range s.Segments {
		switch {
		case g.Name == "":
			return nil, errors.New("statics: a segment has no name")
		case g.Name == g.Parent:
			return nil, fmt.Errorf("statics: segment %s is joined to itself", g.Name)
		case !g.Joint.finite() || !g.Centre.finite():
			return nil, fmt.Errorf("statics: segment %s: joint or centre is not a point", g.Name)
		case !(g.Mass >= 0) || math.IsInf(g.Mass, 0):
			return nil, fmt.Errorf("statics: segment %s: mass %g kg must be 0 or more", g.Name, g.Mass)
		}
		if _, twice := parent[g.Name]; twice {
			return nil, fmt.Errorf("statics: two segments are called %s", g.Name)
		}
		if g.Parent == "" {
			// The three equations are those of one body: two that nothing joins
			// could balance together and neither by itself.
			if root != "" {
				return nil, fmt.Errorf("statics: nothing joins segments %s and %s; join them or solve them one by one", root, g.Name)
			}
			root = g.Name
		}
		parent[g.Name] = g.Parent
		sol.children[g.Parent] = append(sol.children[g.Parent], g.Name)
	}
	if len(parent) == 0 {
		return nil, errors.New("statics: there is no segment")
	}
	for _, g := range s.Segments {
		steps := 0
		for at := g.Name; parent[at] != ""; at = parent[at] {
			if _, known := parent[parent[at]]; !known {
				return nil, fmt.Errorf("statics: segment %s is joined to the unknown segment %s", at, parent[at])
			}
			if steps++; steps > len(parent) {
				return nil, fmt.Errorf("statics: segment %s is joined to itself in a ring", g.Name)
			}
		}
	}
	on := func(what, segment string) error {
		if _, known := parent[segment]; !known {
			return fmt.Errorf("statics: %s acts on the unknown segment %q", what, segment)
		}
		return nil
	}
	for i, l := range s.Loads {
		if err := on(fmt.Sprintf("load %d", i+1), l.Segment); err != nil {
			return nil, err
		}
		if !l.At.finite() || !l.Force.finite() || math.IsNaN(l.Couple) || math.IsInf(l.Couple, 0) {
			return nil, fmt.Errorf("statics: load %d is not finite", i+1)
		}
	}
	for j, r := range s.Reactions {
		if err := on("reaction "+r.Name, r.Segment); err != nil {
			return nil, err
		}
		if _, twice := sol.index[r.Name]; twice || r.Name == "" {
			return nil, fmt.Errorf("statics: reactions need different names, found %q again or empty", r.Name)
		}
		if !r.At.finite() || !r.Direction.finite() {
			return nil, fmt.Errorf("statics: reaction %s is not finite", r.Name)
		}
		if l := r.Direction.Length(); r.Couple != (l == 0) || math.IsInf(l, 0) || !r.Couple && l < 1e-150 {
			return nil, fmt.Errorf("statics: reaction %s must have a direction, or be a couple without one", r.Name)
		}
		sol.index[r.Name] = j
	}
	for k, c := range s.Closures {
		if len(c.Terms) == 0 || math.IsNaN(c.Value) || math.IsInf(c.Value, 0) {
			return nil, fmt.Errorf("statics: closure %d (%s) has no terms or no value", k+1, c.Why)
		}
		for _, term := range c.Terms {
			if _, known := sol.index[term.Reaction]; !known {
				return nil, fmt.Errorf("statics: closure %d (%s) names the unknown reaction %q", k+1, c.Why, term.Reaction)
			}
			if math.IsNaN(term.Coefficient) || math.IsInf(term.Coefficient, 0) {
				return nil, fmt.Errorf("statics: closure %d (%s): a coefficient is not finite", k+1, c.Why)
			}
		}
	}
	return sol, nil
}
