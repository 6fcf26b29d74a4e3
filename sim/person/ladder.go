package person

import (
	"context"

	"counterpoise/sim/hold"
)

// Rung is one way to hold the legs, on the way to the full hold.
type Rung struct {
	Legs hold.Legs
	// Share is how many times what the full hold asks of an untrained adult's strength this
	// one does, draw by draw; Known is false where nobody knows, or nobody drawn can take
	// both postures.
	Share Spread
	Known bool
	// Tests are what would show it; nil where nobody knows, and where tests were done.
	Tests *Asks
}

// Ladder compares ways to hold the legs with the full hold, over the same bodies and
// assumptions: full is its answer, whose bodies drawn are still there.
func Ladder(ctx context.Context, full *Result, legs []hold.Legs) ([]Rung, error) {
	rungs := make([]Rung, len(legs))
	for i, l := range legs {
		r, err := full.withLegs(ctx, l)
		if err != nil {
			return nil, err
		}
		rungs[i].Legs = l
		rungs[i].Share, rungs[i].Known = r.against(full, hold.Difficulty)
		if rungs[i].Tests, err = AskUntested(ctx, r); err != nil {
			return nil, err
		}
	}
	return rungs, nil
}

// withLegs is the answer with the legs held otherwise, as far as those drawn tell it.
func (r *Result) withLegs(ctx context.Context, legs hold.Legs) (*Result, error) {
	if legs == r.Person.Legs {
		return r, nil
	}
	p := r.Person
	p.Legs = legs
	pr, err := prepare(p, r.Options)
	if err != nil {
		return nil, err
	}
	d, err := pr.draw(ctx, false)
	if err != nil {
		return nil, err
	}
	other := d.result(p)
	for l, m := range pr.scenario.Models[:pr.asked] {
		other.Models = append(other.Models, ModelResult{Model: m.Statics, All: d.all[l], PossibleAll: shareTrue(d.all[l].Possible)})
	}
	return other, nil
}

// against is how many times of what another answer's posture asks for this one's does,
// of a demand under the model that judges, draw by draw. ok is false where there is none.
func (r *Result) against(other *Result, d hold.Demand) (ratio Spread, ok bool) {
	one, two := r.Judging(), other.Judging()
	if one == nil || two == nil || one.All.Value[d] == nil || two.All.Value[d] == nil {
		return ratio, false
	}
	a, b := one.All, two.All
	var times []float64
	for i := range a.Possible {
		if a.Possible[i] && b.Possible[i] && b.Value[d][i] > 0 {
			times = append(times, a.Value[d][i]/b.Value[d][i])
		}
	}
	return spreadOf(times), len(times) > 0
}
