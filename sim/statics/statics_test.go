package statics

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// random makes a tree of segments on three reactions and a shared rule.
func random(r *rand.Rand) *System {
	point := func() Vec { return Vec{4*r.Float64() - 2, 4*r.Float64() - 2} }
	s := &System{Gravity: StandardGravity}
	for i := range 6 {
		g := Segment{Name: fmt.Sprint("segment ", i), Mass: 0.5 + 9*r.Float64(), Centre: point(), Joint: point()}
		if i > 0 {
			g.Parent = fmt.Sprint("segment ", r.IntN(i))
		}
		s.Segments = append(s.Segments, g)
	}
	s.Loads = []Load{{Segment: "segment 2", At: point(), Force: Vec{30, -40}, Couple: 7}}
	a, b := point(), point()
	s.Reactions = []Reaction{
		{Name: "ax", Segment: "segment 4", At: a, Direction: Vec{1.7, 0.3}}, {Name: "ay", Segment: "segment 4", At: a, Direction: Vec{-0.2, 0.9}},
		{Name: "bx", Segment: "segment 5", At: b, Direction: Vec{0.6, -0.1}}, {Name: "by", Segment: "segment 5", At: b, Direction: Vec{0.1, 1.3}},
		{Name: "couple", Segment: "segment 0", Couple: true},
	}
	s.Closures = []Closure{
		{Why: "shared", Terms: []Term{{"ay", 0.4}, {"by", -0.6}}, Value: 3},
		{Why: "couple", Terms: []Term{{"couple", 1}, {"ax", 0.13}}, Value: 5},
	}
	return s
}

// transform moves every point and turns every direction.
func transform(s *System, point, direction func(Vec) Vec, couple float64) *System {
	c := *s
	c.Segments, c.Loads, c.Reactions, c.Closures = nil, nil, nil, append([]Closure(nil), s.Closures...)
	for _, g := range s.Segments {
		g.Joint, g.Centre = point(g.Joint), point(g.Centre)
		c.Segments = append(c.Segments, g)
	}
	for _, l := range s.Loads {
		l.At, l.Force, l.Couple = point(l.At), direction(l.Force), couple*l.Couple
		c.Loads = append(c.Loads, l)
	}
	for _, r := range s.Reactions {
		r.At, r.Direction = point(r.At), direction(r.Direction)
		c.Reactions = append(c.Reactions, r)
	}
	return &c
}

func near(t *testing.T, what string, got, want, scale float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-9*scale) {
		t.Fatalf("%s: %.15g, want %.15g", what, got, want)
	}
}

const forces = 500 // the size of the forces of a random system, N

// Moments may be taken about any pivot (proved in University Physics vol. 1,
// m58340), the whole may be moved, and its mirror image is held by the mirror
// image of the reactions.
func TestAnyPivotAnyPlaceAnyMirror(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 14))
	for range 300 {
		s := random(r)
		sol := solve(t, s)
		if sol.Residual > 1e-12 {
			t.Fatalf("residual %g", sol.Residual)
		}
		about := golden.Must(s.SolveAbout(Vec{5*r.Float64() - 3, 7 * r.Float64()}))(t)
		same := func(v Vec) Vec { return v }
		moved := solve(t, transform(s, func(v Vec) Vec { return v.Plus(Vec{2.3, -1.1}) }, same, 1))
		flip := func(v Vec) Vec { return Vec{-v.X, v.Y} }
		mirrored := transform(s, flip, flip, -1)
		for k := range mirrored.Closures { // a couple turns the other way in the mirror
			terms := append([]Term(nil), mirrored.Closures[k].Terms...)
			for j := range terms {
				if terms[j].Reaction == "couple" {
					terms[j].Coefficient = -terms[j].Coefficient
				}
			}
			mirrored.Closures[k].Terms = terms
		}
		mirror := solve(t, mirrored)
		for name, want := range sol.Value {
			near(t, name+" about a pivot", about.Value[name], want, forces)
			near(t, name+" moved", moved.Value[name], want, forces)
			if name == "couple" {
				want = -want
			}
			near(t, name+" mirrored", mirror.Value[name], want, forces)
		}
	}
}

// Twice the masses and loads give twice the forces; twice the lengths, with
// couples, twice the moments.
func TestScaling(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	for range 100 {
		s := random(r)
		s.Closures[0].Value, s.Closures[1] = 0, Closure{Why: "no couple", Terms: []Term{{"couple", 1}}}
		big := transform(s, func(v Vec) Vec { return v.Times(2.5) }, func(v Vec) Vec { return v.Times(3) }, 7.5)
		for i := range big.Segments {
			big.Segments[i].Mass *= 3
		}
		a, b := solve(t, s), solve(t, big)
		for name := range a.Value {
			near(t, name, b.Value[name], 3*a.Value[name], 3*forces)
		}
		for _, g := range s.Segments {
			ma, _, _ := a.Joint(g.Name)
			mb, _, _ := b.Joint(g.Name)
			near(t, g.Name, mb, 7.5*ma, 7.5*forces)
		}
	}
}

// Whatever is cut, the two sides agree: what the joint carries beyond the cut is
// balanced by everything before it, so at a root nothing is left.
func TestJointsFromBothSides(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 2))
	for range 200 {
		s := random(r)
		sol := solve(t, s)
		moment, force, err := sol.Joint("segment 0")
		if err != nil {
			t.Fatal(err)
		}
		near(t, "root moment", moment, 0, forces)
		near(t, "root force", force.Length(), 0, forces)
		// The near side of the cut at a child: its weights, loads and reactions,
		// with what the child passes on, balance about the child's joint.
		child := s.Segments[1]
		m, f, err := sol.Joint(child.Name)
		if err != nil {
			t.Fatal(err)
		}
		beyond := map[string]bool{child.Name: true}
		for _, g := range s.Segments[2:] {
			beyond[g.Name] = beyond[g.Parent]
		}
		q := child.Joint
		left, sum := -m, f.Times(-1)
		act := func(at, force Vec) { left += at.Minus(q).Cross(force); sum = sum.Plus(force) }
		for _, g := range s.Segments {
			if !beyond[g.Name] {
				act(g.Centre, Vec{0, -g.Mass * s.Gravity})
			}
		}
		for _, l := range s.Loads {
			if !beyond[l.Segment] {
				act(l.At, l.Force)
				left += l.Couple
			}
		}
		for _, x := range s.Reactions {
			if !beyond[x.Segment] {
				act(x.At, sol.Force(x.Name))
				if x.Couple {
					left += sol.Value[x.Name]
				}
			}
		}
		near(t, "moment from the near side", left, 0, forces)
		near(t, "force from the near side", sum.Length(), 0, forces)
	}
}

func TestRefusals(t *testing.T) {
	good := func() *System { return random(rand.New(rand.NewPCG(1, 1))) }
	for _, c := range []struct {
		want string
		harm func(*System)
	}{
		{"no segment", func(s *System) { s.Segments = nil }},
		{"mass NaN kg", func(s *System) { s.Segments[1].Mass = math.NaN() }},
		{"mass -1 kg", func(s *System) { s.Segments[1].Mass = -1 }},
		{"is not a point", func(s *System) { s.Segments[1].Centre.X = math.NaN() }},
		{"two segments are called", func(s *System) { s.Segments[2].Name, s.Segments[2].Parent = "segment 0", "" }},
		{"joined to itself", func(s *System) { s.Segments[1].Parent = "segment 1" }},
		{"in a ring", func(s *System) { s.Segments[0].Parent = "segment 1"; s.Segments[1].Parent = "segment 0" }},
		{"unknown segment", func(s *System) { s.Segments[1].Parent = "tail" }},
		{"unknown segment", func(s *System) { s.Reactions[0].Segment = "tail" }},
		{"unknown segment", func(s *System) { s.Loads[0].Segment = "tail" }},
		{"must have a direction", func(s *System) { s.Reactions[0].Direction = Vec{} }},
		{"different names", func(s *System) { s.Reactions[0].Name = "by" }},
		{"unknown reaction", func(s *System) { s.Closures[0].Terms[0].Reaction = "cz" }},
		{"not a number", func(s *System) { s.Gravity = math.NaN() }},
		{"no terms", func(s *System) { s.Closures[0].Terms = nil }},
		{"state 1 more closure or drop 1 reaction", func(s *System) { s.Closures = s.Closures[:1] }},
		{"nothing joins segments segment 0 and segment 3", func(s *System) { s.Segments[3].Parent = "" }},
		{"its terms cancel", func(s *System) { s.Closures[0].Terms = []Term{{"ay", 0.3}, {"ay", -0.1}, {"ay", -0.2}} }},
		{"its terms cancel", func(s *System) { s.Closures[0].Terms = []Term{{"ay", 0}} }},
		{"no value", func(s *System) { s.Closures[0].Value = math.NaN() }},
		{"a coefficient is not finite", func(s *System) { s.Closures[0].Terms[1].Coefficient = math.Inf(-1) }},
		{"reaction ax is not finite", func(s *System) { s.Reactions[0].At.Y = math.NaN() }},
		{"must have a direction", func(s *System) { s.Reactions[4].Direction = Vec{1, 2} }},
		{"load 1 is not finite", func(s *System) { s.Loads[0].Couple = math.Inf(1) }},
		{"load 1 is not finite", func(s *System) { s.Loads[0].Couple = math.NaN() }},
		{"load 1 is not finite", func(s *System) { s.Loads[0].At.Y = math.NaN() }},
		{"load 1 is not finite", func(s *System) { s.Loads[0].Force.X = math.Inf(-1) }},
		{"has no name", func(s *System) { s.Segments[5].Name = "" }},
		{"too large", func(s *System) { s.Segments[2].Mass, s.Gravity = 1e200, 1e200 }},
		{"too far apart", func(s *System) { s.Segments[2].Centre.X, s.Segments[3].Centre.X = -1.7e308, 1.7e308 }},
		{"unbalanced", func(s *System) { s.Reactions, s.Closures = s.Reactions[:2], nil }},
		{"no reaction", func(s *System) { s.Reactions, s.Closures = nil, nil }},
	} {
		s := good()
		c.harm(s)
		if _, err := s.Solve(); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want one with %q", err, c.want)
		}
	}
}

// What is left of the balance is told: rounding, next to nothing but seldom nothing.
func TestResidual(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 14))
	some := 0
	for range 100 {
		if sol := solve(t, random(r)); sol.Residual > 0 {
			some++
		} else if sol.Residual < 0 {
			t.Fatalf("residual %g", sol.Residual)
		}
	}
	if some < 50 {
		t.Errorf("only %d of 100 systems leave a rest", some)
	}
}

// Standard gravity is that of the third General Conference on Weights and Measures
// (1901), exact by its definition: 980.665 cm/s².
func TestStandardGravity(t *testing.T) {
	if got := StandardGravity * 100; !(math.Abs(got-980.665) <= 1e-9) {
		t.Errorf("%v cm/s²", got)
	}
}
