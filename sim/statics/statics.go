// Package statics solves rigid bodies at rest in a vertical plane: the reactions
// of supports, and the moment and force that each joint must carry.
//
// A System is segments with masses, joined into trees by joints, known loads,
// and unknown reactions of stated direction. Force and moment balance of the
// whole gives three equations; supports that leave more unknowns than that are
// indeterminate by statics alone and need Closures, rules that are stated and
// not hidden in the solver. The solver is exact and clear rather than fast, and
// knows nothing of people.
//
// x points right and y up, lengths are in metres, forces in newtons, moments in
// newton metres, positive counterclockwise.
package statics

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// StandardGravity is the standard acceleration of free fall, m/s² (CGPM 1901).
const StandardGravity = 9.80665

// Vec is a point or a vector of the plane.
type Vec struct{ X, Y float64 }

// Plus returns v + w.
func (v Vec) Plus(w Vec) Vec { return Vec{v.X + w.X, v.Y + w.Y} }

// Minus returns v − w.
func (v Vec) Minus(w Vec) Vec { return Vec{v.X - w.X, v.Y - w.Y} }

// Times returns v scaled by k.
func (v Vec) Times(k float64) Vec { return Vec{k * v.X, k * v.Y} }

// Cross returns the component of v × w out of the plane: the moment of the
// force w at the point v about the origin.
func (v Vec) Cross(w Vec) float64 { return v.X*w.Y - v.Y*w.X }

// Dot returns v · w.
func (v Vec) Dot(w Vec) float64 { return v.X*w.X + v.Y*w.Y }

// Length returns |v|.
func (v Vec) Length() float64 { return math.Hypot(v.X, v.Y) }

func (v Vec) finite() bool {
	return !math.IsNaN(v.X) && !math.IsNaN(v.Y) && !math.IsInf(v.X, 0) && !math.IsInf(v.Y, 0)
}

// Segment is one rigid body.
type Segment struct {
	Name   string
	Parent string // the segment it is joined to; "" for a root
	Joint  Vec    // where it is joined to Parent
	Mass   float64
	Centre Vec // of mass
}

// Load is a known force, or a known couple, on a segment.
type Load struct {
	Segment string
	At      Vec
	Force   Vec
	Couple  float64
}

// Reaction is one unknown: a force along Direction at a point of a segment, or
// a couple where Direction is zero and Couple is true. Its value is positive
// along Direction, or counterclockwise.
type Reaction struct {
	Name      string
	Segment   string
	At        Vec
	Direction Vec // of any length but zero
	Couple    bool
}

// Term is a multiple of one reaction in a Closure.
type Term struct {
	Reaction    string
	Coefficient float64
}

// Closure is a rule that statics does not give: the terms add up to Value.
type Closure struct {
	Why   string // in words, for messages
	Terms []Term
	Value float64
}

// System is everything that Solve needs.
type System struct {
	Gravity   float64 // m/s², downwards; 0 for none
	Segments  []Segment
	Loads     []Load
	Reactions []Reaction
	Closures  []Closure
}

// Errors that a caller may want to tell apart.
var (
	// ErrIndeterminate: the equations leave some reaction open.
	ErrIndeterminate = errors.New("statically indeterminate")
	// ErrNoEquilibrium: no reactions of the stated kinds hold the body.
	ErrNoEquilibrium = errors.New("no equilibrium")
)

// Solution holds the reactions of a System.
type Solution struct {
	// Value holds each reaction by name, N or N·m.
	Value map[string]float64
	// Residual is what is left of the force and moment balance, over the size
	// of the loads.
	Residual float64

	system   *System
	index    map[string]int
	children map[string][]string
}

// Solve finds the reactions, taking moments about the origin.
func (s *System) Solve() (*Solution, error) { return s.SolveAbout(Vec{}) }

// SolveAbout finds the reactions, taking moments about a pivot of the caller's
// choice; any gives the same.
//
// It returns an error that wraps ErrIndeterminate where the three equations of
// the whole and the closures leave a reaction open, and one that wraps
// ErrNoEquilibrium where they contradict each other.
func (s *System) SolveAbout(pivot Vec) (*Solution, error) {
	sol, err := s.check()
	if err != nil {
		return nil, err
	}
	unknowns, rows := len(s.Reactions), 3+len(s.Closures)
	if unknowns == 0 {
		return nil, errors.New("statics: there is no reaction to solve for")
	}
	if !pivot.finite() {
		return nil, errors.New("statics: the pivot is not a point")
	}
	// Moments are divided by a length of the system, so that all rows are
	// forces and of one size.
	length := s.size(pivot)
	a, b := mat.NewDense(rows, unknowns, nil), mat.NewVecDense(rows, nil)
	for j, r := range s.Reactions {
		if r.Couple {
			a.Set(2, j, 1) // solved for as couple over length, so that all unknowns are forces
			continue
		}
		u := r.Direction.Times(1 / r.Direction.Length())
		a.Set(0, j, u.X)
		a.Set(1, j, u.Y)
		a.Set(2, j, r.At.Minus(pivot).Cross(u)/length)
	}
	force, moment, scale := s.known(pivot)
	b.SetVec(0, -force.X)
	b.SetVec(1, -force.Y)
	b.SetVec(2, -moment/length)
	for k, c := range s.Closures {
		for _, term := range c.Terms {
			j := sol.index[term.Reaction]
			coefficient := term.Coefficient
			if s.Reactions[j].Couple {
				coefficient *= length
			}
			a.Set(3+k, j, a.At(3+k, j)+coefficient)
		}
		b.SetVec(3+k, c.Value)
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return nil, errors.New("statics: the equations could not be factorised")
	}
	const singular = 1e-10
	rank := svd.Rank(singular)
	if rank < unknowns {
		return nil, fmt.Errorf("statics: %w: %d unknown reactions, %d independent equations (3 of balance, %d closures); state %d more closures or fix fewer points",
			ErrIndeterminate, unknowns, rank, len(s.Closures), unknowns-rank)
	}
	var x mat.VecDense
	svd.SolveVecTo(&x, b, rank)
	sol.Value = make(map[string]float64, unknowns)
	for j, r := range s.Reactions {
		v := x.AtVec(j)
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return nil, fmt.Errorf("statics: %w: reaction %s is not finite", ErrNoEquilibrium, r.Name)
		}
		if r.Couple {
			v *= length
		}
		sol.Value[r.Name] = v
	}
	if scale == 0 {
		scale = 1
	}
	for k, c := range s.Closures {
		left := -c.Value
		for _, term := range c.Terms {
			left += term.Coefficient * sol.Value[term.Reaction]
		}
		if math.Abs(left) > 1e-9*math.Max(scale, math.Abs(c.Value)) {
			return nil, fmt.Errorf("statics: %w: closure %d (%s) cannot be kept", ErrNoEquilibrium, k+1, c.Why)
		}
	}
	for j, r := range s.Reactions {
		v := sol.Value[s.Reactions[j].Name]
		if r.Couple {
			moment += v
			continue
		}
		f := r.Direction.Times(v / r.Direction.Length())
		force = force.Plus(f)
		moment += r.At.Minus(pivot).Cross(f)
	}
	sol.Residual = math.Max(force.Length(), math.Abs(moment)/length) / scale
	if sol.Residual > 1e-9 {
		return nil, fmt.Errorf("statics: %w: the supports leave %.3g of the load unbalanced", ErrNoEquilibrium, sol.Residual)
	}
	return sol, nil
}

// known sums the weights and loads: their force, their moment about the pivot,
// and the sum of their sizes.
func (s *System) known(pivot Vec) (force Vec, moment, scale float64) {
	for _, g := range s.Segments {
		w := Vec{0, -g.Mass * s.Gravity}
		force = force.Plus(w)
		moment += g.Centre.Minus(pivot).Cross(w)
		scale += w.Length()
	}
	for _, l := range s.Loads {
		force = force.Plus(l.Force)
		moment += l.At.Minus(pivot).Cross(l.Force) + l.Couple
		scale += l.Force.Length()
	}
	return force, moment, scale
}

// size is a length of the system: the farthest point from the pivot at which
// something acts, at least a tenth of a millimetre.
func (s *System) size(pivot Vec) float64 {
	length := 1e-4
	for _, r := range s.Reactions {
		if !r.Couple {
			length = math.Max(length, r.At.Minus(pivot).Length())
		}
	}
	for _, g := range s.Segments {
		length = math.Max(length, g.Centre.Minus(pivot).Length())
	}
	for _, l := range s.Loads {
		length = math.Max(length, l.At.Minus(pivot).Length())
	}
	return length
}

// check validates the system and indexes it.
func (s *System) check() (*Solution, error) {
	sol := &Solution{system: s, index: map[string]int{}, children: map[string][]string{}}
	if math.IsNaN(s.Gravity) || math.IsInf(s.Gravity, 0) {
		return nil, errors.New("statics: gravity is not a number")
	}
	parent := map[string]string{}
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
		parent[g.Name] = g.Parent
		sol.children[g.Parent] = append(sol.children[g.Parent], g.Name)
	}
	if len(parent) == 0 {
		return nil, errors.New("statics: there is no segment")
	}
	for name := range parent {
		steps := 0
		for at := name; parent[at] != ""; at = parent[at] {
			if _, known := parent[parent[at]]; !known {
				return nil, fmt.Errorf("statics: segment %s is joined to the unknown segment %s", at, parent[at])
			}
			if steps++; steps > len(parent) {
				return nil, fmt.Errorf("statics: segment %s is joined to itself in a ring", name)
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

// Force returns a reaction as a vector; a couple has none.
func (sol *Solution) Force(reaction string) Vec {
	j, known := sol.index[reaction]
	if !known || sol.system.Reactions[j].Couple {
		return Vec{}
	}
	d := sol.system.Reactions[j].Direction
	return d.Times(sol.Value[reaction] / d.Length())
}

// CentreOfMass returns the centre of mass of all segments; it is the zero
// point where nothing has mass.
func (s *System) CentreOfMass() Vec {
	var sum Vec
	var mass float64
	for _, g := range s.Segments {
		sum = sum.Plus(g.Centre.Times(g.Mass))
		mass += g.Mass
	}
	if mass == 0 {
		return Vec{}
	}
	return sum.Times(1 / mass)
}

// Joint returns what the joint of a segment with its parent must carry: the
// moment and the force that the parent exerts on the segment there. It cuts at
// the joint and balances everything beyond it: with q the joint,
//
//	M = −Σ (r_i − q) × m_i·g − Σ (p_j − q) × R_j − Σ couples,  F = −Σ forces.
//
// For a root both are zero, to rounding: nothing holds it but the supports.
func (sol *Solution) Joint(segment string) (moment float64, force Vec, err error) {
	s := sol.system
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
	return moment, force, nil
}
