package scenario_test

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// heldUp holds women of the survey up in a scenario, and calls each with every tile.
func heldUp(t *testing.T, s *scenario.Scenario, asked []hold.Demand, each func(*scenario.Tile)) {
	t.Helper()
	s.People, s.Models = scenario.Survey("ansur2-women"), []scenario.Model{scenario.DefaultModel(hold.Equilibrium)}
	golden.OK(t, s.Check())
	parts := golden.Must(s.Parts())(t)
	people := anthro.NewPeople(700) // more than a tile
	golden.OK(t, parts[0].Source(1, true).Fill(people))
	a := s.Assumed()
	cases := []scenario.Case{{Setup: scenario.NewSetup(s), Model: hold.Equilibrium, Builder: parts[0].Builder(s.Models[0]), Assume: &a.Centre}}
	golden.OK(t, scenario.NewBench(scenario.TileRows, asked, asked).Run(people, cases, func(_ int, tile *scenario.Tile) error {
		each(tile)
		return nil
	}))
}

// What somebody carries is told in the weight of the body alone, and takes nothing from
// what it can give: in a hang 10 kg are 10 kg more on the hand, and the difficulty grows
// by as much.
func TestLoadIsNoPartOfTheBody(t *testing.T) {
	asked := []hold.Demand{hold.RequiredForce, hold.Difficulty}
	for _, kg := range []float64{10, -10} {
		s := &scenario.Scenario{Hold: hold.OneArmHang, Change: &scenario.Change{Load: body.Load{body.AtHips: kg}}}
		heldUp(t, s, asked, func(tile *scenario.Tile) {
			for i, mass := range tile.First.Bodies.Mass {
				if tile.Second.Bodies.Mass[i] != mass {
					t.Fatalf("a body of %v kg weighs %v kg under a load", mass, tile.Second.Bodies.Mass[i])
				}
				want := 1 + kg/mass
				if got := tile.Second.Result.Value[hold.RequiredForce][i]; !(math.Abs(got-want) <= 1e-12) {
					t.Fatalf("%v kg: %v BW on the hand, want %v", kg, got, want)
				}
				if got := tile.Second.Result.Value[hold.Difficulty][i] / tile.First.Result.Value[hold.Difficulty][i]; !(math.Abs(got-want) <= 1e-12) {
					t.Fatalf("%v kg: difficulty %v of what it was, want %v", kg, got, want)
				}
			}
		})
	}
}

// A change under a load is that of the body alone, which then carries the load: as if the
// changed body had been loaded in the first place.
func TestChangeUnderALoad(t *testing.T) {
	asked := []hold.Demand{hold.Difficulty, hold.ShoulderMoment, hold.WaistMoment}
	longer := body.Change{Of: body.Amounts{body.LegLength: {Metres: 0.05}, body.Size: {Share: 0.1}}, Mass: []body.AddedMass{{Region: body.Arms, Kilograms: 2, Working: 0.5}}}
	load := body.Load{body.AtAnkles: 3, body.AtHips: -8}
	var want [][]float64
	take := func(tile *scenario.Tile) []float64 {
		var all []float64
		for _, d := range asked {
			all = append(all, tile.Second.Result.Value[d]...)
		}
		return all
	}
	heldUp(t, &scenario.Scenario{Hold: hold.FrontLever, Change: &scenario.Change{Body: longer, Load: load}}, asked,
		func(tile *scenario.Tile) { want = append(want, take(tile)) })
	k := 0
	heldUp(t, &scenario.Scenario{Hold: hold.FrontLever, Load: load, Change: &scenario.Change{Body: longer}}, asked, func(tile *scenario.Tile) {
		for i, got := range take(tile) {
			if got != want[k][i] || !(got > 0) {
				t.Fatalf("tile %d, value %d: %v, want %v", k, i, got, want[k][i])
			}
		}
		if tile.First.Bodies.Load() != load || tile.Second.Bodies.Load() != load {
			t.Fatal("a body lost its load")
		}
		k++
	})
}

// Where muscles bear a force alone, a load takes as much as an assist of its size gives.
func TestAssistIsALoadTheOtherWay(t *testing.T) {
	asked := []hold.Demand{hold.ShoulderMoment, hold.WaistMoment, hold.HipMoment}
	moments := func(kg float64) (all []float64) {
		heldUp(t, &scenario.Scenario{Hold: hold.Planche, Load: body.Load{body.AtKnees: kg}}, asked, func(tile *scenario.Tile) {
			for _, d := range asked {
				all = append(all, tile.First.Result.Value[d]...)
			}
		})
		return all
	}
	none, more, less := moments(0), moments(4), moments(-4)
	n := 0
	for i := range none {
		if none[i] == 0 || more[i] == 0 || less[i] == 0 {
			continue // cannot lean so far
		}
		n++
		if up, down := more[i]-none[i], none[i]-less[i]; !(up > 0) || !(math.Abs(up-down) <= 1e-12) {
			t.Fatalf("value %d: a load adds %v, an assist takes off %v", i, up, down)
		}
	}
	if n < len(none)/2 {
		t.Fatalf("only %d of %d can be compared", n, len(none))
	}
}
