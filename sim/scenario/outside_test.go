package scenario_test

import (
	"context"
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/scenario"
	"counterpoise/sim/scenario/scores"
	"counterpoise/sim/statics"
	"counterpoise/sim/sweep"
)

// perHand is a demand that no hold of this module asks for: what each hand of a body
// that hangs by two arms pulls with.
var perHand = &hold.DemandInfo{Name: "pull_of_each_hand", Unit: "BW", Meaning: "pull at each grip, the weight of a vest included"}

// vest is the weight of the vest, in body weights.
const vest = 0.25

// hangInAVest is a hold that only this test knows: a body that hangs from a bar.
var hangInAVest = &hold.Hold{
	Name: "hang-in-a-vest", Title: "Hang in a vest", Description: "A body in a heavy vest hangs from a bar by two arms.",
	Plane: "sagittal, seen from the side", Supports: []string{"each hand on the bar: vertical force"}, Free: "none",
	Models: []hold.Model{hold.Equilibrium}, Rules: []hold.Rule{hold.Best}, LegForms: []hold.LegForm{hold.Together},
	Asks:        hold.Always(perHand, hold.ShoulderMoment),
	Assumptions: hold.Always[assume.ID](),
	Solve: hold.InEquilibrium(func(out *hold.Result, b *body.Columns, _ *hold.Capacity, _ hold.Posture, _ *assume.Set) {
		pull, shoulder := out.Column(perHand), out.Column(hold.ShoulderMoment)
		for i := range b.Rows() {
			out.Allow(i, hold.NoLimit)
			pull.Set(i, (1+vest)/2)
			shoulder.Set(i, vest*b.Chest[i]) // so that something differs between bodies
		}
	}),
	Figure: func(b *body.Columns, i int, p hold.Posture, held *hold.Result, _ *assume.Set) (*hold.Figure, error) {
		down := statics.Vec{Y: -1}
		q := hold.NewFigure(b, i, statics.Vec{}, down, 0)
		for k, side := range []string{"left", "right"} {
			shoulder := statics.Vec{X: float64(2*k-1) * b.ShoulderSpan[i] / 2}
			elbow := shoulder.Plus(statics.Vec{Y: b.UpperArm[i]})
			grip := q.Arm(side, shoulder, elbow, elbow.Plus(statics.Vec{Y: b.Forearm[i]}), hold.Fist)
			q.Support(side+" hand", grip, []string{side + " hand"}, statics.Vec{Y: 1})
		}
		q.Legs(p.Legs, down, statics.Vec{})
		return q.Done()
	},
}

// A hold made outside the module, with a demand of its own, works in claims, for
// persons, in drivers and in sweeps.
func TestHoldFromOutside(t *testing.T) {
	ctx := context.Background()
	model := scenario.DefaultModel(hold.Equilibrium)
	of := scenario.Scenario{Hold: hangInAVest, People: scenario.Survey("ansur2-men", "ansur2-women"), Models: []scenario.Model{model}}

	claimed := of
	claimed.Change = &scenario.Change{Body: body.Change{Of: body.Amounts{body.Size: {Share: 0.1}}}}
	c := claimOf(claimed)
	c.Demand, c.Expect, c.Matters = hold.ShoulderMoment, claim.Increase, claim.Threshold{Share: 0.05}
	o := claim.DefaultOptions()
	o.N = 5000
	r, err := claim.Test(ctx, c, o)
	if err != nil || r.Verdict != claim.Supported {
		t.Errorf("claim: %v, %v", r, err)
	}
	c.Demand = perHand // which is the same for everybody
	if r, err = claim.Test(ctx, c, o); err != nil || r.Verdict != claim.NoEffect {
		t.Errorf("claim: %v, %v", r, err)
	}
	// And against a hold of the module.
	against := of
	against.Hold, against.Change = hold.FrontLever, &scenario.Change{Hold: hangInAVest}
	c = claimOf(against)
	c.Demand, c.Expect = hold.ShoulderMoment, claim.Decrease
	if r, err = claim.Test(ctx, c, o); err != nil || !r.Verdict.Settled() && r.Verdict != claim.OpenAssumptions {
		t.Errorf("claim: %v, %v", r, err)
	}

	p := person.Person{Sex: anthro.Female, Hold: hangInAVest, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.7}, {Of: anthro.Mass, Value: 62}}}
	options := person.DefaultOptions()
	options.N = person.LeastN
	a := golden.Must(person.Answer(ctx, p, options))(t)
	if q, ok := a.Models[0].Quantity(perHand); !ok || q.All.Low != 0.625 || q.AllAbsolute.Median != 0.625*62*statics.StandardGravity {
		t.Errorf("person: %+v", q)
	}
	if f := a.Fixture; f == nil || len(f.Forces) != 2 || f.Forces[0].Support != "left hand" {
		t.Errorf("fixture: %+v", f)
	}
	e, err := person.Apply(ctx, p, options, hold.Equilibrium, *claimed.Change)
	if err != nil || !(math.Abs(e.Quantities[1].Relative.Median-0.1) <= 1e-9) {
		t.Errorf("change: %+v, %v", e, err)
	}

	one := of
	one.People = of.People[:1]
	f := golden.Must(scores.New(scores.Study{Scenario: one, Of: hold.ShoulderMoment}))(t)
	shares, err := drivers.ShapleyPermutations(ctx, f.Problem(), drivers.Options{Base: 64, Seed: 1})
	if size, ok := shares.Index(drivers.ShapleyEffect, scores.SizeGroup); err != nil || !ok || size.Value < 0.1 {
		t.Errorf("drivers: %+v, %v", size, err)
	}

	study := sweepOf(one)
	study.Base.Hold = nil
	study.Demands = []hold.Demand{perHand, hold.ShoulderMoment}
	study.Axes = []sweep.Axis{
		{Of: "hold", Names: []string{"mine", "lever"}, Holds: []*hold.Hold{hangInAVest, hold.FrontLever}},
		{Of: "change.leg_length", Unit: "m", Values: []float64{0, 0.05}},
	}
	var pulls []float64
	err = sweep.Run(ctx, study, sweep.Options{Point: func(p *sweep.Point) error {
		pulls = append(pulls, p.Statistics[0][0])
		return nil
	}})
	if err != nil || len(pulls) != 4 || pulls[0] != 0.625 || !math.IsNaN(pulls[2]) {
		t.Errorf("sweep: %v, %v", pulls, err)
	}
}
