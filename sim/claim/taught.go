package claim

import (
	"context"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/columns"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// Taught is what the lift-and-turn rule that is taught (hold.TwoCondition) says of a
// claim, at the central assumptions. It gives no verdict: its forces do not balance.
type Taught struct {
	Model    scenario.Model
	N        int
	Pooled   Outcome          // of a change; its verdict means nothing
	Contrast []ContrastResult // of a contrast, a population each
	// Upwards is what the two arm forces add up to upwards in the median body of the
	// first people, at its best angle before the change, BW: balance asks for 1.
	Upwards float64
}

// taughtBodies is how many bodies stand behind what the rule says at most.
const taughtBodies = 1 << 15

// rule returns the lift-and-turn rule as the claim's other models have masses and
// segments, and the hold, of the two, that it is about.
func (c *Claim) rule() (m scenario.Model, h *hold.Hold, posture hold.Posture, ok bool) {
	m, h, posture = c.Judging()[0], c.Hold, c.Posture()
	m.Statics = hold.TwoCondition
	if i := slices.IndexFunc(c.Models, func(m scenario.Model) bool { return !m.Statics.Judges() }); i >= 0 {
		m = c.Models[i]
	}
	setup := scenario.NewSetup(&c.Scenario)
	if !h.Has(m.Statics) {
		h, posture = setup.Next, setup.Second
	}
	return m, h, posture, h.Has(m.Statics) && setup.Gives(m.Statics, c.Demand)
}

// taught asks the rule about the claim; it returns nil where the rule has no answer.
func (c *Claim) taught(ctx context.Context, o *Options) (*Taught, error) {
	m, h, posture, ok := c.rule()
	if !ok {
		return nil, nil
	}
	alone := *c
	alone.Models = []scenario.Model{m}
	t, err := ready(&alone, alone.Models)
	if err != nil {
		return nil, err
	}
	t.shown = columns.InSI
	few := *o
	few.N, few.Open, few.Progress = min(o.N, taughtBodies), nil, nil
	said := &Taught{Model: m, N: few.N}
	if c.Contrast != nil {
		run, err := t.runContrast(ctx, &few)
		if err != nil {
			return nil, err
		}
		for g := range t.told() {
			groups, err := run.compare(0, g)
			if err != nil {
				return nil, err
			}
			said.Contrast = append(said.Contrast, *groups)
		}
	} else {
		run, err := t.run(ctx, few.N, &few)
		if err != nil {
			return nil, err
		}
		said.Pooled = run.model(nil, 0).Pooled
	}
	said.Upwards, err = t.upwards(m, h, posture)
	return said, err
}

// upwards is Taught.Upwards; 0 where the median body cannot take the posture.
func (t *test) upwards(m scenario.Model, h *hold.Hold, posture hold.Posture) (sum float64, err error) {
	s := scenario.Scenario{Hold: h, Legs: posture.Legs, Pose: posture.Pose, Tilt: posture.Tilt}
	population := t.groups[0].Selection.Population
	median := anthro.MedianOf(population, population.Quantile)
	alone := []scenario.Case{{Setup: scenario.NewSetup(&s), Model: m.Statics, Builder: t.groups[0].Builder(m), Assume: &t.assumed.Centre}}
	err = scenario.NewBench(1, []hold.Demand{hold.RequiredForce, hold.HandSpacing}, nil).Run(median, alone, func(_ int, tile *scenario.Tile) error {
		if held := tile.First.Result; held.Possible[0] {
			sum = hold.TaughtUpwards(tile.First.Bodies, 0, held, posture)
		}
		return nil
	})
	return sum, err
}
