package statics

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// jointOf is what the joint of a segment passes on.
func jointOf(t *testing.T, sol *Solution, segment string) (moment float64, force Vec) {
	t.Helper()
	moment, force, err := sol.Joint(segment)
	if err != nil {
		t.Fatal(err)
	}
	return moment, force
}

// weightless replaces the weights by loads, so that a system can be turned with
// its gravity.
func weightless(s *System) *System {
	c := *s
	c.Segments, c.Loads = slices.Clone(s.Segments), slices.Clone(s.Loads)
	for i, g := range c.Segments {
		c.Loads = append(c.Loads, Load{Segment: g.Name, At: g.Centre, Force: Vec{0, -g.Mass * s.Gravity}})
		c.Segments[i].Mass = 0
	}
	return &c
}

// Turned with its gravity, a system keeps its reactions and its joint moments,
// and its joint forces turn with it.
func TestRotation(t *testing.T) {
	r := rand.New(rand.NewPCG(27, 18))
	for range 200 {
		s := random(r)
		angle := 2 * math.Pi * r.Float64()
		sin, cos := math.Sincos(angle)
		turn := func(v Vec) Vec { return Vec{cos*v.X - sin*v.Y, sin*v.X + cos*v.Y} }
		a, b := solve(t, s), solve(t, transform(weightless(s), turn, turn, 1))
		for name, want := range a.Value {
			near(t, name, b.Value[name], want, forces)
		}
		for _, g := range s.Segments {
			moment, force := jointOf(t, a, g.Name)
			turned, turnedForce := jointOf(t, b, g.Name)
			near(t, g.Name+" moment", turned, moment, forces)
			near(t, g.Name+" force", turnedForce.Minus(turn(force)).Length(), 0, forces)
		}
	}
}

// Statics is linear: the weights alone and the loads alone, the closures' values
// going with the weights, add up to both.
func TestSuperposition(t *testing.T) {
	r := rand.New(rand.NewPCG(16, 18))
	for range 200 {
		s := random(r)
		weights, loads := *s, *s
		weights.Loads = nil
		loads.Gravity = 0
		loads.Closures = slices.Clone(s.Closures)
		for k := range loads.Closures {
			loads.Closures[k].Value = 0
		}
		both, one, other := solve(t, s), solve(t, &weights), solve(t, &loads)
		for name, want := range both.Value {
			near(t, name, one.Value[name]+other.Value[name], want, forces)
		}
	}
}

// The order in which things are listed, a segment without mass, and a load along
// its own line of action change nothing.
func TestWhatDoesNotMatter(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 77))
	for range 200 {
		s := random(r)
		c := *s
		c.Segments, c.Loads, c.Reactions = slices.Clone(s.Segments), slices.Clone(s.Loads), slices.Clone(s.Reactions)
		c.Segments = append(c.Segments, Segment{Name: "glove", Parent: "segment 3", Joint: Vec{9, 8}, Centre: Vec{-7, 6}})
		c.Loads[0].At = c.Loads[0].At.Plus(c.Loads[0].Force.Times(0.013))
		slices.Reverse(c.Segments)
		slices.Reverse(c.Reactions)
		a, b := solve(t, s), solve(t, &c)
		for name, want := range a.Value {
			near(t, name, b.Value[name], want, forces)
		}
		for _, g := range s.Segments {
			want, _ := jointOf(t, a, g.Name)
			got, _ := jointOf(t, b, g.Name)
			near(t, g.Name, got, want, forces)
		}
	}
}

// A chain hung from its other end has the same joints seen from the other side:
// equal and opposite moments and forces.
func TestChainFromEitherEnd(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 669))
	for range 200 {
		s := random(r)
		n := len(s.Segments)
		joints := make([]Vec, n) // joints[i] is between segments i-1 and i
		for i := range n {
			joints[i] = s.Segments[i].Joint
			s.Segments[i].Parent = ""
			if i > 0 {
				s.Segments[i].Parent = s.Segments[i-1].Name
			}
		}
		other := *s
		other.Segments = slices.Clone(s.Segments)
		for i := range n {
			other.Segments[i].Parent = ""
			if i+1 < n {
				other.Segments[i].Parent, other.Segments[i].Joint = s.Segments[i+1].Name, joints[i+1]
			}
		}
		a, b := solve(t, s), solve(t, &other)
		for i := 1; i < n; i++ {
			moment, force := jointOf(t, a, s.Segments[i].Name)
			back, backForce := jointOf(t, b, s.Segments[i-1].Name)
			near(t, "moment", back, -moment, forces)
			near(t, "force", backForce.Plus(force).Length(), 0, forces)
		}
	}
}
