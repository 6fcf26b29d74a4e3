package body

import (
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/fault"
)

// Of a body under a load: the mass and the first moment of every segment are those of the
// body and of the mass at its point, worked out apart; the body itself is untouched, and is
// what traits are read of.
func TestLoads(t *testing.T) {
	where := map[Point]func(b *Columns, i int) (segment string, at float64, sides float64){
		AtHead:   func(b *Columns, i int) (string, float64, float64) { return "Head", b.HeadCentre[i], 1 },
		AtChest:  func(b *Columns, i int) (string, float64, float64) { return "Trunk", b.UpperTrunkCentre[i], 1 },
		AtWaist:  func(b *Columns, i int) (string, float64, float64) { return "Trunk", b.Waist[i], 1 },
		AtHips:   func(b *Columns, i int) (string, float64, float64) { return "Trunk", b.Hip[i], 1 },
		AtKnees:  func(b *Columns, i int) (string, float64, float64) { return "Thigh", b.Thigh[i], 2 },
		AtAnkles: func(b *Columns, i int) (string, float64, float64) { return "Shank", b.Shank[i], 2 },
		AtWrists: func(b *Columns, i int) (string, float64, float64) { return "Forearm", b.Forearm[i], 2 },
		AtHands:  func(b *Columns, i int) (string, float64, float64) { return "Hand", b.HandCentre[i], 2 },
	}
	segments := []string{"Head", "Trunk", "LowerTrunk", "Thigh", "Shank", "Foot", "UpperArm", "Forearm", "Hand"}
	for p := range NumPoints {
		for _, kg := range []float64{6, -1.5} {
			first, untouched := draw(t, "ansur2-women", Residual, DefaultSegments, 30), draw(t, "ansur2-women", Residual, DefaultSegments, 30)
			second := New(30)
			var load Load
			load[p] = kg
			golden.OK(t, load.Apply(second, first))
			before, after := fields(first), fields(second)
			for i := range first.Rows() {
				if err := second.Check(i); err != nil {
					t.Fatalf("%s: %v", p, err)
				}
				total := first.Mass[i] + kg
				if got := second.Weight(i) * second.Mass[i]; !(math.Abs(got-total) <= 1e-10) || second.Mass[i] != first.Mass[i] {
					t.Fatalf("%s: weighs %v kg with its load, want %v", p, got, total)
				}
				segment, at, sides := where[p](first, i)
				for _, s := range segments {
					mass, centre := before[s+"Share"][i]*first.Mass[i], before[s+"Centre"][i]
					moment := mass * centre
					if s == segment || s == "LowerTrunk" && (p == AtWaist || p == AtHips) {
						mass, moment = mass+kg/sides, moment+kg/sides*at
					}
					gotMass := after[s+"Share"][i] * total
					if got := gotMass * after[s+"Centre"][i]; !(math.Abs(gotMass-mass) <= 1e-10) || !(math.Abs(got-moment) <= 1e-10) {
						t.Fatalf("%s: %s has %v kg and %v kg·m, want %v and %v", p, s, gotMass, got, mass, moment)
					}
				}
				for trait := range NumTraits {
					if trait.Of(second, i) != trait.Of(first, i) {
						t.Fatalf("%s: the %s of the body moves with its load", p, trait)
					}
				}
			}
			for name, column := range fields(untouched) {
				for i, x := range column {
					if before[name][i] != x {
						t.Fatalf("%s: the load altered %s of the body itself", p, name)
					}
				}
			}
		}
	}
}

// What an assist cannot take off, and what nobody means.
func TestLoadsThatLift(t *testing.T) {
	b, dst := draw(t, "ansur2-women", Residual, DefaultSegments, 5), New(5)
	for _, c := range []struct {
		load Load
		want string
	}{
		{Load{AtChest: -150}, "leave nothing of a body of"},
		{Load{AtAnkles: -150, AtChest: 5}, "leave nothing of a body of"},
	} {
		if err := c.load.Apply(dst, b); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %v, want %q", c.load, err, c.want)
		}
	}
	// Those who are lighter are lifted whole; the others are as they would be alone.
	byMass := slices.Clone(b.Mass)
	slices.Sort(byMass)
	load := Load{AtHips: -byMass[2]}
	if err := load.Apply(dst, b); err != nil {
		t.Fatal(err)
	}
	for i, mass := range b.Mass {
		if got, want := dst.Carried()[i], max(0, 1-byMass[2]/mass); math.Abs(got-want) > 1e-12 {
			t.Errorf("a body of %v kg weighs %v of itself, want %v", mass, got, want)
		}
		if alone := New(1); dst.Carried()[i] > 0 {
			if err := load.Apply(alone, b.Slice(i, i+1)); err != nil || alone.TrunkCentre[0] != dst.TrunkCentre[i] || alone.HeadShare[0] != dst.HeadShare[i] {
				t.Errorf("body %d is another one alone, %v", i, err)
			}
		}
	}
	for field, load := range map[string]Load{"load.ankles": {AtAnkles: 900}, "assist.hips": {AtHips: -201}, "load.head": {AtHead: math.NaN()}, "load": {AtHead: 150, AtHips: 51}, "assist": {AtHead: -150, AtHips: -51}} {
		faults := fault.All(load.Check())
		if len(faults) != 1 || faults[0].Field != field || faults[0].Bounds == nil {
			t.Errorf("%v: %v, want a fault of %s", load, faults, field)
		}
	}
	if err := (Load{AtHips: -20, AtHead: 200}).Check(); err != nil {
		t.Error(err)
	}
}

// Points have a name each and at most one other, and both are found.
func TestPointNames(t *testing.T) {
	names := PointNames()
	for k, name := range names {
		if p, ok := ParsePoint(name); !ok || p.String() != name && p.Info().Worn != name {
			t.Errorf("%s is found as %v", name, p)
		}
		for _, other := range names[:k] {
			if other == name {
				t.Errorf("%s appears twice", name)
			}
		}
	}
	if _, ok := ParsePoint("tail"); ok {
		t.Error("a tail was found")
	}
}
