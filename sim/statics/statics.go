// Package statics solves rigid bodies at rest in a vertical plane: the reactions
// of supports, and the moment and force that each joint must carry.
//
// A System is segments with masses, joined into a tree by joints, known loads,
// and unknown reactions of stated direction. Force and moment balance of the
// whole gives three equations; supports that leave more unknowns than that are
// indeterminate by statics alone and need Closures, rules that are stated and
// not hidden in the solver. The solver is exact and clear rather than fast, and
// knows nothing of people.
//
// x points right and y up, lengths are in metres, forces in newtons, moments in
// newton metres, positive counterclockwise.
package statics

import "errors"

// StandardGravity is the standard acceleration of free fall, m/s² (CGPM 1901).
const StandardGravity = 9.80665

// Segment is one rigid body.
type Segment struct {
	Name   string
	Parent string // the segment it is joined to; "" for the root, of which there is one
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

// Mass is that of all segments, kg.
func (s *System) Mass() (mass float64) {
	for _, g := range s.Segments {
		mass += g.Mass
	}
	return mass
}

// CentreOfMass returns the centre of mass of all segments; both coordinates are
// NaN where nothing has mass.
func (s *System) CentreOfMass() Vec {
	var sum Vec
	for _, g := range s.Segments {
		sum = sum.Plus(g.Centre.Times(g.Mass))
	}
	mass := s.Mass()
	return Vec{sum.X / mass, sum.Y / mass}
}
