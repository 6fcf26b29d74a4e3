package statics

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// A rule is the same rule whatever it is multiplied by.
func TestClosureOfAnySize(t *testing.T) {
	for _, k := range []float64{1e-300, 1e-12, -3, 1e12, math.MaxFloat64} {
		s := door(true)
		for i := range s.Closures[0].Terms {
			s.Closures[0].Terms[i].Coefficient *= k
		}
		sol := solve(t, s)
		near(t, fmt.Sprintf("upper x, the rule times %g", k), sol.Value["upper x"], -100, 100)
		near(t, fmt.Sprintf("upper y, the rule times %g", k), sol.Value["upper y"], 200, 100)
	}
}

// Nor does a rule with a value depend on what it is multiplied by: 60 N more above
// than below.
func TestClosureWithValueOfAnySize(t *testing.T) {
	for _, k := range []float64{1e-300, 1e-12, -3, 1e12, 1e300} {
		s := door(true)
		for i := range s.Closures[0].Terms {
			s.Closures[0].Terms[i].Coefficient *= k
		}
		s.Closures[0].Value = 60 * k
		sol := solve(t, s)
		near(t, fmt.Sprintf("upper y, the rule times %g", k), sol.Value["upper y"], 230, 100)
		near(t, fmt.Sprintf("lower y, the rule times %g", k), sol.Value["lower y"], 170, 100)
	}
}

// The door's own answer, H = w·x/d, at sizes from a nanometre to a light year and
// far from the origin; the tolerance is the rounding of the coordinates.
func TestDoorOfAnySizeAnywhere(t *testing.T) {
	for _, k := range []float64{1e-9, 1e16} {
		s := transform(door(true), func(v Vec) Vec { return v.Times(k) }, func(v Vec) Vec { return v }, 1)
		near(t, fmt.Sprintf("times %g", k), solve(t, s).Value["upper x"], -100, 1e-3)
	}
	for _, away := range []float64{1e6, 1e9} {
		s := transform(door(true), func(v Vec) Vec { return v.Plus(Vec{away, -0.3 * away}) }, func(v Vec) Vec { return v }, 1)
		if got := solve(t, s).Value["upper x"]; !(math.Abs(got+100) <= 400*4*away*0x1p-52) {
			t.Errorf("%g m away: %.15g", away, got)
		}
	}
}

// Hinges closer together than the condition number allows count as one point,
// about which nothing holds the door.
func TestNearlySingular(t *testing.T) {
	apart := func(gap float64) *System {
		s := door(true)
		for i := range s.Reactions {
			s.Reactions[i].At.Y *= gap / 2
		}
		return s
	}
	const gap = 3e-6
	got := solve(t, apart(gap)).Value["lower x"]
	if want := 400 * 0.5 / gap; !(math.Abs(got/want-1) <= 1e-9) {
		t.Errorf("hinges %g m apart: %g N, want %g", gap, got, want)
	}
	for _, gap := range []float64{1e-10, 0} {
		if _, err := apart(gap).Solve(); !errors.Is(err, ErrNoEquilibrium) {
			t.Errorf("hinges %g m apart: %v, want no equilibrium", gap, err)
		}
	}
}

// Three forces through one point hold no moment about it, and no further rule
// mends that; where the weight passes through it too, a rule is what is missing.
func TestConcurrentReactions(t *testing.T) {
	at := func(x float64) *System {
		return beam(map[Vec]float64{{x, 0.7}: 400},
			Reaction{Name: "a", Direction: up}, Reaction{Name: "b", Direction: right}, Reaction{Name: "c", Direction: Vec{1, 3}})
	}
	if _, err := at(0.5).Solve(); !errors.Is(err, ErrNoEquilibrium) || errors.Is(err, ErrIndeterminate) {
		t.Errorf("weight beside the point: %v, want no equilibrium", err)
	}
	if _, err := at(0).Solve(); !errors.Is(err, ErrIndeterminate) || errors.Is(err, ErrNoEquilibrium) {
		t.Errorf("weight over the point: %v, want it indeterminate", err)
	}
}

// Rules that contradict each other in what balance leaves open are told as such.
func TestClosuresThatContradict(t *testing.T) {
	s := door(true)
	s.Closures = append(s.Closures, Closure{Why: "five newtons more above", Terms: []Term{{"upper y", 1}, {"lower y", -1}}, Value: 5})
	if _, err := s.Solve(); !errors.Is(err, ErrNoEquilibrium) || !strings.Contains(err.Error(), "contradicts") {
		t.Errorf("%v, want a contradiction", err)
	}
}

// Loads that are couples alone, and reactions that are: a couple C on the door
// gives its hinges ∓C/d, and a single couple holds it by itself.
func TestCouplesAlone(t *testing.T) {
	for _, couple := range []float64{3e-12, 3e9} {
		s := door(true)
		s.Loads = []Load{{Segment: "beam", Couple: couple}}
		near(t, "upper x", solve(t, s).Value["upper x"], couple/2, couple)
		s.Reactions, s.Closures = []Reaction{{Name: "wrist", Segment: "beam", Couple: true}}, nil
		near(t, "wrist", solve(t, s).Value["wrist"], -couple, couple)
	}
}

// A couple has no place: wherever it is said to act, it counts the same.
func TestCoupleHasNoPlace(t *testing.T) {
	for _, at := range []Vec{{0.4, 0.3}, {-3e9, 7e9}} {
		s := door(true)
		s.Loads = append(s.Loads, Load{Segment: "beam", At: at, Couple: 50})
		near(t, "upper x", solve(t, s).Value["upper x"], -100+50/2., 100)
	}
}

// A pin carries no couple. Two that cancel, up to what a posture found by
// iteration leaves over, are at rest on it; with more left over they are not.
func TestCouplesThatCancel(t *testing.T) {
	left := func(over float64) error {
		s := beam(nil, Reaction{Name: "x", Direction: right}, Reaction{Name: "y", Direction: up})
		s.Loads = []Load{{Segment: "beam", Couple: 3}, {Segment: "beam", Couple: -3 * (1 + over)}}
		_, err := s.Solve()
		return err
	}
	if err := left(1e-11); err != nil {
		t.Error(err)
	}
	if err := left(1e-6); !errors.Is(err, ErrNoEquilibrium) {
		t.Errorf("%v, want no equilibrium", err)
	}
}

// A knot is one point even where its place was computed in two ways, so that
// rounding gives its forces no levers.
func TestKnotToRounding(t *testing.T) {
	a, b := 0.1, 0.2
	at, again := Vec{0.3, 0.7}, Vec{a + b, 0.7}
	if at == again {
		t.Fatal("the two places are the same number: nothing is tested")
	}
	sol := solve(t, beam(map[Vec]float64{again: 5},
		Reaction{Name: "steep", At: at, Direction: Vec{-1, 2}}, Reaction{Name: "flat", At: at, Direction: Vec{2, 1}}))
	near(t, "steep", sol.Value["steep"], 2*5/math.Sqrt(5), 5)
	near(t, "flat", sol.Value["flat"], 5/math.Sqrt(5), 5)
}

func TestPivotOutOfReach(t *testing.T) {
	for _, pivot := range []Vec{{1e9, 2}, {math.NaN(), 2}, {2, math.Inf(1)}} {
		if _, err := door(true).SolveAbout(pivot); err == nil {
			t.Errorf("moments about %v were taken", pivot)
		}
	}
	sol := golden.Must(door(true).SolveAbout(Vec{-7000, 9000}))(t)
	near(t, "upper x", sol.Value["upper x"], -100, 400)
}

// A solution stays what it was when the caller goes on to change the system.
func TestSolutionIsItsOwn(t *testing.T) {
	s := door(true)
	s.Segments = append(s.Segments, Segment{Name: "handle", Parent: "beam", Joint: Vec{0.9, 0.2}, Mass: 3, Centre: Vec{1.1, 0.3}})
	s.Loads = append(s.Loads, Load{Segment: "handle", At: Vec{1.3, 0.4}, Force: Vec{0, -17}, Couple: 2})
	s.Gravity = StandardGravity
	sol := solve(t, s)
	wantMoment, wantForce, err := sol.Joint("handle")
	if err != nil {
		t.Fatal(err)
	}
	near(t, "handle", wantMoment, 3*StandardGravity*(1.1-0.9)+17*(1.3-0.9)-2, 1)
	wantHinge := sol.Force("lower x")
	s.Gravity, s.Segments[1].Mass, s.Reactions[2].Direction, s.Loads[1].Force = 1.6, 40, up, Vec{}
	moment, force, err := sol.Joint("handle")
	if err != nil || moment != wantMoment || force != wantForce || sol.Force("lower x") != wantHinge {
		t.Errorf("changed with the system: %g N·m, %v N, error %v", moment, force, err)
	}
}

// What does not exist is not zero.
func TestUnknownNames(t *testing.T) {
	sol := solve(t, door(true))
	if f := sol.Force("upper z"); !math.IsNaN(f.X) || !math.IsNaN(f.Y) {
		t.Errorf("an unknown reaction is %v", f)
	}
	if _, _, err := sol.Joint("window"); err == nil {
		t.Error("an unknown segment has a joint")
	}
	if c := door(true).CentreOfMass(); !math.IsNaN(c.X) || !math.IsNaN(c.Y) {
		t.Errorf("the centre of no mass is %v", c)
	}
}

// A moment in a joint that is beyond what can be computed with is an error, though the
// force is not.
func TestJointBeyondNumbers(t *testing.T) {
	const far = 1e304
	s := &System{
		Gravity:  StandardGravity,
		Segments: []Segment{{Name: "near"}, {Name: "far", Parent: "near", Centre: Vec{X: far}, Mass: 1e5}},
		Reactions: []Reaction{
			{Name: "x", Segment: "near", Direction: Vec{X: 1}},
			{Name: "y", Segment: "near", Direction: Vec{Y: 1}},
			{Name: "end", Segment: "near", At: Vec{X: far}, Direction: Vec{Y: 1}},
		},
	}
	sol := golden.Must(s.Solve())(t)
	if moment, force, err := sol.Joint("far"); err == nil || !strings.Contains(err.Error(), "more than can be computed with") {
		t.Errorf("%v N·m, %v N, %v", moment, force, err)
	}
}
