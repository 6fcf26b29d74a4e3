package claim_test

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/muscle"
	"counterpoise/sim/scenario"
	"counterpoise/sim/strength"
)

// The pairs of a contrast are those of people who are held up with a strength of their own in every
// muscle, as untrained people of one size differ, to a hundredth.
func TestPairsDifferInStrength(t *testing.T) {
	text := "contrast: {by: sex}\nquantity: difficulty\nmodels: equilibrium\nexpect: increase\n"
	c := written(t, head+text)
	told := test(t, c, fixedN).Contrast[0].TopGreater
	usual, own := difficulties(t, c.Scenario, false), difficulties(t, c.Scenario, true)
	want := golden.Must(montecarlo.ProbabilityGreater(own[1], own[0]))(t)
	alike := golden.Must(montecarlo.ProbabilityGreater(usual[1], usual[0]))(t)
	if !(math.Abs(told-want) < 0.01) || !(alike > want+0.05) {
		t.Errorf("told %.3f; held up with strength of their own %.3f, with the usual %.3f", told, want, alike)
	}
}

// difficulties holds up men and women, with strength of their own or of the usual.
func difficulties(t *testing.T, s scenario.Scenario, own bool) (list [][]float64) {
	t.Helper()
	setup, centre := scenario.NewSetup(&s), s.Assumed().Centre
	for _, part := range golden.Must(s.Parts())(t) {
		people := anthro.NewPeople(8192)
		golden.OK(t, part.SourceFor(11, "pairs", true).Fill(people))
		model := golden.Must(strength.TheModel())(t)
		belief := golden.Must(strength.Condition(model.SpreadOf(part.Selection.Population.Sex), nil, nil))(t)
		uniform := montecarlo.NewStream(12, "strength of "+part.Population)
		one := scenario.Case{Setup: setup, Model: hold.Equilibrium, Builder: part.Builder(s.Models[0]), Assume: &centre, Apart: true}
		if own {
			one.Strength = func(h *scenario.Held, _ int) error {
				var y [muscle.NumGroups]float64
				for i := range h.Bodies.Rows() {
					belief.Draw(&y, uniform.Float64)
					for g := range y {
						h.Capacity.Of[g][i] *= math.Exp(y[g])
					}
				}
				return nil
			}
		}
		var values []float64
		golden.OK(t, scenario.NewBench(scenario.TileRows, []hold.Demand{hold.Difficulty}, nil).Run(people, []scenario.Case{one}, func(_ int, tile *scenario.Tile) error {
			values = append(values, tile.First.Result.Value[hold.Difficulty]...)
			return nil
		}))
		list = append(list, values)
	}
	return list
}
