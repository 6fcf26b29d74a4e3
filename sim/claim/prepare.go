package claim

import (
	"context"
	"fmt"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/columns"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
)

// group is one population of the claim with its part of the bodies.
type group struct {
	*scenario.Part
	rows   int
	refits *refitted
}

// model is one model of the claim.
type model struct {
	scenario.Model
	columns []column // in the table, of the demands
	first   int      // the model's first column in the table, before these
}

// test is a claim made ready: everything that does not change from body to body.
type test struct {
	claim   *Claim
	setup   *scenario.Setup
	assumed assume.Uncertainty
	groups  []*group
	models  []model
	sign    float64 // of an effect in the expected direction
	// hardest is what the demand of a body counts as that cannot take the posture:
	// +Inf, or −Inf where the posture gives out at the low end, as arms do that are
	// too short however close to the trunk.
	hardest float64
	asked   []hold.Demand
	differ  []differing                                              // of a contrast, by population
	shown   func(unit string) (suffix, shown string, factor float64) // in the table
}

// sideDemands are reported beside the claim's own demand where the model gives
// them. A hold fixed by balance asks for little, so all of it is.
var sideDemands = []hold.Demand{
	hold.RequiredForce, hold.Difficulty, hold.ArmAngle, hold.HandSpacing,
	hold.ShoulderMoment, hold.WaistMoment,
}

// prepare checks the claim and loads what it names, to be judged.
func prepare(c *Claim) (*test, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	return ready(c, c.Judging())
}

// ready loads what a claim that was checked names, for some of its models.
func ready(c *Claim, models []scenario.Model) (*test, error) {
	t := &test{claim: c, setup: scenario.NewSetup(&c.Scenario), assumed: c.Assumed(), sign: 1, hardest: math.Inf(1)}
	if c.Expect == Decrease {
		t.sign = -1
	}
	if c.Demand == hold.FootShare || c.Demand == hold.ArmTrunkAngle {
		t.hardest = math.Inf(-1)
	}
	t.models = names.Each(models, func(m scenario.Model) model { return model{Model: m, columns: t.columns(m.Statics)} })
	parts, err := c.Parts()
	if err != nil {
		return nil, err
	}
	t.groups = names.Each(parts, func(p *scenario.Part) *group {
		return &group{Part: p, refits: newRefitted(p.Selection.Population.Refits())}
	})
	if err := t.checkSexes(); err != nil {
		return nil, err
	}
	if c.Contrast != nil {
		for g := range t.groups {
			d, err := t.differing(g, contrastFactor*stages[len(stages)-1])
			if err != nil {
				return nil, err
			}
			t.differ = append(t.differ, d)
		}
	}
	side := sideDemands
	for _, m := range c.Hold.Models {
		if len(t.setup.Rules) == 1 {
			side = append(side[:len(side):len(side)], c.Hold.Asks(m)...)
		}
	}
	for _, d := range append(side[:len(side):len(side)], c.Demand) {
		if scenario.Tells(t.setup.Hold, d, t.setup.First) && scenario.Tells(t.setup.Next, d, t.setup.Second) {
			t.asked = names.Once(t.asked, d)
		}
	}
	return t, nil
}

// notes adds to a result what is to be known of people who are not just drawn from a
// survey, and of what was taken for granted.
func (t *test) notes(res *Result, o *Options) {
	for i, g := range t.groups {
		p := g.Selection.Population
		if why := t.borrowed(i); why != "" {
			res.Warnings = append(res.Warnings, why+": the trait that separates the groups is correlated with the rest as in "+p.Survey().Name)
		}
		if p.Reweighted != nil {
			if res.Reweighted == nil {
				res.Reweighted = map[string]*anthro.Reweighted{}
			}
			res.Reweighted[p.Name] = p.Reweighted
		}
		if note := p.Note(); note != "" {
			res.Warnings = append(res.Warnings, note)
		}
		if p.Refits() == 0 {
			res.Warnings = append(res.Warnings, fmt.Sprintf("no interval says what measuring other people like %s would have changed", p.Name))
		}
	}
	if o.Draws == 0 {
		res.Warnings = append(res.Warnings, "only people were drawn: the verdict holds at the central assumptions only")
	}
}

// allot gives each group its part of n bodies.
func (t *test) allot(n int) {
	weights := names.Each(t.groups, func(g *group) float64 { return g.Weight })
	for i, rows := range scenario.Allot(weights, n) {
		t.groups[i].rows = rows
	}
}

// blocks lists the blocks of all groups in order.
func (t *test) blocks() []blockOf {
	var list []blockOf
	for g := range t.groups {
		for b := range montecarlo.Blocks(t.groups[g].rows) {
			list = append(list, blockOf{g, b})
		}
	}
	return list
}

type blockOf struct{ group, block int }

// cases are the ways in which people are held up: under every model, with the
// assumptions that are in a. Those of a contrast are held up beside each other.
func (t *test) cases(p *scenario.Part, a *assume.Set) []scenario.Case {
	cases := names.Each(t.models, func(m model) scenario.Case {
		return scenario.Case{Setup: t.setup, Model: m.Statics, Builder: p.Builder(m.Model), Assume: a, Apart: t.claim.Contrast != nil}
	})
	return cases
}

// newBench returns the room of one worker.
func (t *test) newBench() *scenario.Bench {
	return scenario.NewBench(scenario.TileRows, t.asked, t.asked, t.setup.Rules...)
}

// sources returns the sources of every group's people. A contrast may tell people
// apart by anything.
func (t *test) sources(seed uint64) []*scenario.Source {
	return names.Each(t.groups, func(g *group) *scenario.Source { return g.Source(seed, t.claim.Contrast != nil) })
}

// effect returns the change of the demand of row i in its own unit and whether the
// row counts: it does not where the first body cannot take the posture and the
// changed one cannot either. Becoming impossible is infinitely far in the harder
// direction, becoming possible in the easier one.
func (t *test) effect(first, changed *hold.Result, i int) (e float64, counts bool) {
	switch before, after := first.Possible[i], changed.Possible[i]; {
	case before && after:
		d := t.claim.Demand
		return changed.Value[d][i] - first.Value[d][i], true
	case before:
		return t.hardest, true
	case after:
		return -t.hardest, true
	}
	return 0, false
}

// Test tests the claim.
//
// It draws everything that is neither a person, nor a choice of the performer, nor a
// model, judges every draw on people of its own, and applies the verdict rule to what
// the draws say. Beside that it holds N people up at the central assumptions, for
// details and the table. The result depends on the claim and on N, Seed and Draws alone.
// ctx stops it.
func Test(ctx context.Context, c *Claim, o Options) (*Result, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	t, err := prepare(c)
	if err != nil {
		return nil, err
	}
	if t.shown = o.Shown; t.shown == nil {
		t.shown = columns.InSI
	}
	return t.test(ctx, &o)
}

// test draws, and holds up at the central assumptions.
func (t *test) test(ctx context.Context, o *Options) (res *Result, err error) {
	var central kept
	if t.claim.Contrast != nil {
		central, err = t.runContrast(ctx, o)
	} else {
		central, err = t.run(ctx, o.N, o)
	}
	if err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			central.abandon()
		}
	}()
	d, err := t.draw(ctx, o)
	if err != nil {
		return nil, err
	}
	res = &Result{Claim: t.claim, N: o.N, Seed: o.Seed, Draws: d.n(), Central: o.Draws == 0, draws: d}
	if err = central.fill(res, d); err != nil {
		return nil, err
	}
	verdicts := names.Each(res.Models, func(m ModelResult) Verdict { return m.Verdict })
	res.Verdict, res.InDirection = verdict.Overall(verdicts)
	t.notes(res, o)
	if res.Taught, err = t.claim.taught(ctx, o); err != nil {
		return nil, err
	}
	if res.Added, err = t.added(o.Seed); err != nil {
		return nil, err
	}
	if res.ForWhom, err = d.forWhom(ctx, o); err != nil {
		return nil, err
	}
	return res, central.keep()
}

// kept is everybody held up at the central assumptions.
type kept interface {
	fill(*Result, *outer) error // adds what came out
	abandon()                   // takes the table back
	keep() error
}
