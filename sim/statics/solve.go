package statics

import (
	"errors"
	"fmt"
	"slices"

	"counterpoise/sim/linear"
	"counterpoise/sim/math"

	"gonum.org/v1/gonum/mat"
)

const (
	// worstCondition is the condition number of the balanced equations beyond
	// which they count as singular: half of the digits would be lost.
	worstCondition = 1e8
	// unbalanced is the share of the loads that may stay unbalanced, so that a
	// posture found by iteration still counts as balanced, and rounding that of
	// the reactions, which can be many times the loads.
	unbalanced = 1e-9
	rounding   = 1e-13
	// samePoint is how far apart points may be, as a share of their distance from
	// the origin, and still be one that was computed in different ways.
	samePoint = 1e-14
	// farthestPivot is how far a pivot may be, in sizes of the system. Moments
	// about a farther one are nearly multiples of the forces.
	farthestPivot = 1e4
)

// Solution holds the reactions of a System.
type Solution struct {
	// Value holds each reaction by name, N or N·m.
	Value map[string]float64
	// Residual is what is left of the force and moment balance, over the sizes
	// of all loads and reactions.
	Residual float64

	system   System // a copy: the caller may go on to change theirs
	index    map[string]int
	children map[string][]string
}

// Solve finds the reactions, taking moments about the middle of the points at
// which something acts.
//
// It returns an error that wraps ErrNoEquilibrium where no values of the
// reactions satisfy the three equations of the whole and the closures, and one
// that wraps ErrIndeterminate where many do.
func (s *System) Solve() (*Solution, error) { return s.solve(nil) }

// SolveAbout is Solve with moments about a pivot of the caller's choice. Any
// gives the same, to rounding; one farther away than 10 000 times the size of
// the system is refused.
func (s *System) SolveAbout(pivot Vec) (*Solution, error) { return s.solve(&pivot) }

func (s *System) solve(about *Vec) (*Solution, error) {
	sol, err := s.check()
	if err != nil {
		return nil, err
	}
	unknowns := len(s.Reactions)
	if unknowns == 0 {
		return nil, errors.New("statics: there is no reaction to solve for")
	}
	middle, size := s.extent()
	if math.IsInf(size, 0) {
		return nil, errors.New("statics: the points are too far apart to compute with")
	}
	pivot, away, err := pivotOf(about, middle, size)
	if err != nil {
		return nil, err
	}
	loads := s.loads(size)
	if math.IsInf(loads, 0) {
		return nil, errors.New("statics: the loads are too large to add up")
	}

	// Moments are divided by the size of the system, couples are solved for as
	// couple over size, and closures by their largest coefficient, so that all
	// unknowns and rows are forces and of one size; with a far pivot, moments are
	// divided by its distance.
	lever := math.Max(1, away/size)
	a, b, err := s.equations(sol.index, pivot, size, lever)
	if err != nil {
		return nil, err
	}
	x, rank := linear.LeastSquares(a, b, 1/worstCondition)
	left, reactions, err := s.judge(x, a, b, middle, size, loads)
	if err != nil {
		return nil, err
	}
	if rank < unknowns {
		return nil, fmt.Errorf("statics: %w: %s, but %s (of 3 of balance and %s); state %s or drop %s",
			ErrIndeterminate, count(unknowns, "unknown reaction"), count(rank, "independent equation"),
			count(len(s.Closures), "closure"), count(unknowns-rank, "more closure"), count(unknowns-rank, "reaction"))
	}

	if left > 0 {
		sol.Residual = left / (loads + reactions)
	}
	sol.Value = make(map[string]float64, unknowns)
	for j, r := range s.Reactions {
		v := x[j]
		if r.Couple {
			if v *= size; math.IsInf(v, 0) {
				return nil, fmt.Errorf("statics: %w: reaction %s is not finite", ErrNoEquilibrium, r.Name)
			}
		}
		sol.Value[r.Name] = v
	}
	sol.system = System{
		Gravity:   s.Gravity,
		Segments:  slices.Clone(s.Segments),
		Loads:     slices.Clone(s.Loads),
		Reactions: slices.Clone(s.Reactions),
	}
	return sol, nil
}

// judge returns the sum of the sizes of the reactions and what they leave unbalanced. It fails
// where that is more than rounding, or a closure is not kept.
func (s *System) judge(x []float64, a *mat.Dense, b []float64, middle Vec, size, loads float64) (left, reactions float64, err error) {
	for j, r := range s.Reactions {
		if math.IsNaN(x[j]) || math.IsInf(x[j], 0) {
			return 0, 0, fmt.Errorf("statics: %w: reaction %s is not finite", ErrNoEquilibrium, r.Name)
		}
		reactions += math.Abs(x[j])
	}

	// What the values leave unbalanced is judged about the middle, whatever the
	// pivot, so that a poor pivot cannot hide an error.
	force, moment := s.known(middle, size)
	for j, r := range s.Reactions {
		f, m := r.act(middle, size)
		force = force.Plus(f.Times(x[j]))
		moment += float64(m * x[j])
	}
	left = math.Max(force.Length(), math.Abs(moment))
	// So written, a left that is not a number is an error too.
	if !(left <= float64(unbalanced*loads)+float64(rounding*reactions)) {
		return 0, 0, fmt.Errorf("statics: %w: %s under %s leave %.3g N of %.3g N unbalanced",
			ErrNoEquilibrium, count(len(x), "reaction"), count(len(s.Closures), "closure"), left, loads)
	}
	for k, c := range s.Closures {
		value := b[3+k]
		kept := linear.Dot(a.RawRowView(3+k), x)
		if !(math.Abs(kept-value) <= float64(unbalanced*(loads+math.Abs(value)))+float64(rounding*reactions)) {
			return 0, 0, fmt.Errorf("statics: %w: closure %d (%s) contradicts the other equations", ErrNoEquilibrium, k+1, c.Why)
		}
	}
	return left, reactions, nil
}

// pivotOf is the point about which moments are taken, by default the middle of the
// system, and how far from that it lies.
func pivotOf(about *Vec, middle Vec, size float64) (pivot Vec, away float64, err error) {
	if about == nil {
		return middle, 0, nil
	}
	if pivot = *about; !pivot.finite() {
		return pivot, 0, errors.New("statics: the pivot is not a point")
	}
	if away = pivot.Minus(middle).Length(); away > farthestPivot*size {
		return pivot, away, fmt.Errorf("statics: the pivot is %.3g m away from a system of %.3g m, too far to take moments about", away, size)
	}
	return pivot, away, nil
}

// equations are those of balance, of force and of moment about the pivot over lever, and
// then the closures: a·x = b for the reactions x.
func (s *System) equations(index map[string]int, pivot Vec, size, lever float64) (*mat.Dense, []float64, error) {
	rows := 3 + len(s.Closures)
	a, b := mat.NewDense(rows, len(s.Reactions), nil), make([]float64, rows)
	for j, r := range s.Reactions {
		force, moment := r.act(pivot, size)
		a.Set(0, j, force.X)
		a.Set(1, j, force.Y)
		a.Set(2, j, moment/lever)
	}
	force, moment := s.known(pivot, size)
	b[0] = -force.X
	b[1] = -force.Y
	b[2] = -moment / lever
	for k, c := range s.Closures {
		row := a.RawRowView(3 + k)
		value, ok := c.fill(row, s.Reactions, index, size)
		if !ok {
			return nil, nil, fmt.Errorf("statics: closure %d (%s): its terms cancel", k+1, c.Why)
		}
		b[3+k] = value
	}
	return a, b, nil
}

// act returns the force of a reaction of one newton, and its moment about the
// pivot over the size of the system. A couple of one newton times size has
// moment one.
func (r *Reaction) act(pivot Vec, size float64) (force Vec, moment float64) {
	if r.Couple {
		return Vec{}, 1
	}
	length := r.Direction.Length()
	force = Vec{r.Direction.X / length, r.Direction.Y / length}
	return force, over(r.At.Minus(pivot), size).Cross(force)
}

// fill adds a closure to a row of zeros, in forces, divided by its largest
// coefficient, and returns its value so divided; ok is false where nothing is
// left of the terms.
func (c *Closure) fill(row []float64, reactions []Reaction, index map[string]int, size float64) (value float64, ok bool) {
	largest := 0.0
	for _, term := range c.Terms {
		largest = math.Max(largest, math.Abs(term.Coefficient))
	}
	if largest == 0 {
		return 0, false
	}
	for _, term := range c.Terms {
		row[index[term.Reaction]] += term.Coefficient / largest
	}
	rest := 0.0
	for j := range row {
		if math.Abs(row[j]) < rounding { // terms that cancel, such as 0.3 − 0.1 − 0.2
			row[j] = 0
		}
		if reactions[j].Couple {
			row[j] *= size
		}
		rest = math.Max(rest, math.Abs(row[j]))
	}
	if rest == 0 {
		return 0, false
	}
	for j := range row {
		row[j] /= rest
	}
	return c.Value / largest / rest, true
}

// known sums the weights and loads: their force, and their moment about the
// pivot over the size of the system.
func (s *System) known(pivot Vec, size float64) (force Vec, moment float64) {
	for _, g := range s.Segments {
		w := Vec{0, -g.Mass * s.Gravity}
		force = force.Plus(w)
		moment += over(g.Centre.Minus(pivot), size).Cross(w)
	}
	for _, l := range s.Loads {
		force = force.Plus(l.Force)
		moment += over(l.At.Minus(pivot), size).Cross(l.Force) + l.Couple/size
	}
	return force, moment
}

// loads sums the sizes of the weights and loads, couples over the size of the
// system.
func (s *System) loads(size float64) float64 {
	sum := 0.0
	for _, g := range s.Segments {
		sum += math.Abs(g.Mass * s.Gravity)
	}
	for _, l := range s.Loads {
		sum += l.Force.Length() + math.Abs(l.Couple)/size
	}
	return sum
}

// extent returns the middle of the points at which a force acts, and the
// diagonal of the box around them. Where they are one point, to the rounding of
// its coordinates, the size is its distance from the origin, or one: taken as
// levers, the roundings would be moments like any other.
func (s *System) extent() (middle Vec, size float64) {
	low, high := Vec{math.Inf(1), math.Inf(1)}, Vec{math.Inf(-1), math.Inf(-1)}
	reach := func(p Vec) {
		low = Vec{math.Min(low.X, p.X), math.Min(low.Y, p.Y)}
		high = Vec{math.Max(high.X, p.X), math.Max(high.Y, p.Y)}
	}
	for _, r := range s.Reactions {
		if !r.Couple {
			reach(r.At)
		}
	}
	for _, g := range s.Segments {
		if g.Mass > 0 {
			reach(g.Centre)
		}
	}
	for _, l := range s.Loads {
		if l.Force != (Vec{}) {
			reach(l.At)
		}
	}
	if low.X > high.X {
		return Vec{}, 1
	}
	size = high.Minus(low).Length()
	if reach := math.Max(low.Length(), high.Length()); size <= samePoint*reach {
		size = reach
	}
	if size == 0 {
		size = 1
	}
	return low.Times(0.5).Plus(high.Times(0.5)), size
}

func over(v Vec, size float64) Vec { return Vec{v.X / size, v.Y / size} }

// count writes a number of things.
func count(n int, thing string) string {
	if n == 1 {
		return "1 " + thing
	}
	return fmt.Sprintf("%d %ss", n, thing)
}

// Force returns a reaction as a vector: zero for a couple, NaN where there is no
// reaction of that name.
func (sol *Solution) Force(reaction string) Vec {
	j, known := sol.index[reaction]
	if !known {
		return Vec{math.NaN(), math.NaN()}
	}
	if sol.system.Reactions[j].Couple {
		return Vec{}
	}
	d := sol.system.Reactions[j].Direction
	return over(d, d.Length()).Times(sol.Value[reaction])
}
