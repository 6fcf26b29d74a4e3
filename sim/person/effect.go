package person

import (
	"context"
	"fmt"
	"slices"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/statics"
)

// Effect is what a change does to a person, over bodies and assumptions: the same
// draws before and after.
type Effect struct {
	Model      hold.Model
	Quantities []Moved // in the hold's order
	// Judged is the quantity by which easier and harder are told: the difficulty, or
	// the hold's first where nothing is known to give out.
	Judged hold.Demand
	// Unknown says why the difficulty is not known before or after; "" where it is known
	// in both.
	Unknown string
	// The shares of the draws that can take the posture, before, after, and both times; the
	// quantities are of the last.
	PossibleBefore, PossibleAfter, PossibleBoth float64
	// Easier and Harder are the shares, among the draws that can take either posture,
	// in which the size of Judged falls and rises; becoming possible counts as easier,
	// and impossible as harder. What is left stays as it is, to rounding.
	Easier, Harder float64
	N              int // bodies drawn
	// Added is the mass put on each region of body.Whole of the median body, kg; 0 where
	// it cannot be held up before and after.
	Added         [len(body.Whole)]float64
	Before, After *scenario.HeldBody // of the median body, each at its best posture; nil where it cannot take it
}

// Moved is one demand before and after, over the draws that can take both postures.
type Moved struct {
	Demand hold.Demand
	// In the demand's own unit. Effect is after less before, draw by draw; Relative is
	// that as a share of before's size, all 0 where something was 0 before.
	Before, After, Effect, Relative Spread
	// AbsoluteUnit is "N" or "N·m" for forces and moments, else "".
	AbsoluteUnit                                  string
	BeforeAbsolute, AfterAbsolute, EffectAbsolute Spread
}

// stays is how much of itself a demand may change by rounding alone.
const stays = 1e-9

// Apply computes what a change does to a person under a model: of the body, and of how
// the hold is done. Its errors are those of Answer, and *fault.Error for a change that
// makes no sense, or leaves no body.
func Apply(ctx context.Context, p Person, o Options, model hold.Model, ch scenario.Change) (*Effect, error) {
	o.Models = []hold.Model{model}
	pr, err := prepare(p, o)
	if err != nil {
		return nil, err
	}
	setup, err := pr.changed(&ch)
	if err != nil {
		return nil, err
	}
	pr.scenario.Models = pr.scenario.Models[:1] // no fixture is asked for
	d, err := pr.draw(ctx, false)
	if err != nil {
		return nil, err
	}
	asked := p.Hold.Told(model, setup.First, setup.Second)
	after, mass := hold.NewResult(o.N, asked...), make([]float64, o.N)
	newBench := func() *scenario.Bench { return scenario.NewBench(scenario.TileRows, nil, asked) }
	changed := func(cases []scenario.Case) []scenario.Case {
		cases[0].Setup, cases[0].ChangedOnly = setup, true
		return cases
	}
	if err := d.holdUp(ctx, newBench, changed, func(_, from int, t *scenario.Tile) {
		copy(mass[from:], t.Second.Bodies.Mass)
		put(after, from, t.Second.Result)
	}); err != nil {
		return nil, err
	}
	both := names.Each(names.UpTo(len(mass)), func(i int) bool { return d.all[0].Possible[i] && after.Possible[i] })
	e := &Effect{
		Model: model, Judged: asked[0], N: o.N,
		PossibleBefore: shareTrue(d.all[0].Possible), PossibleAfter: shareTrue(after.Possible), PossibleBoth: shareTrue(both),
	}
	if slices.Contains(asked, hold.Difficulty) {
		e.Judged = hold.Difficulty
	} else if e.Unknown = p.Hold.Unknown(model, hold.Difficulty, setup.First); e.Unknown == "" {
		e.Unknown = p.Hold.Unknown(model, hold.Difficulty, setup.Second)
	}
	for _, of := range told(asked, model) {
		m, err := d.moved(of, d.all[0], after, mass)
		if err != nil {
			return nil, err
		}
		e.Quantities = append(e.Quantities, m)
	}
	e.judge(d.all[0], after)
	median, err := pr.median()
	if err != nil {
		return nil, err
	}
	if e.Before, err = median.Hold(model, hold.Best, 0); err != nil {
		return nil, err
	}
	if median, err = median.Changed(&ch); err != nil {
		return nil, err
	}
	if e.After, err = median.Hold(model, hold.Best, 0); err != nil {
		return nil, err
	}
	e.recommend()
	return e, nil
}

// recommend makes the middle of the posture that of the median body, as in an answer,
// and tells what mass that body was given.
func (e *Effect) recommend() {
	if e.Before == nil || e.After == nil {
		return
	}
	e.Added = body.Added(e.Before.Body, e.After.Body, 0)
	for k := range e.Quantities {
		m := &e.Quantities[k]
		before, after := e.Before.Held.Value[m.Demand], e.After.Held.Value[m.Demand]
		if m.Demand == hold.HandSpacing || m.Demand == hold.ArmAngle {
			m.Before.Median, m.After.Median = before[0], after[0]
			m.Effect.Median = after[0] - before[0]
			m.Effect.Low, m.Effect.High = min(m.Effect.Low, m.Effect.Median), max(m.Effect.High, m.Effect.Median)
			if m.Relative != (Spread{}) {
				m.Relative.Median = m.Effect.Median / math.Abs(before[0])
			}
		}
	}
}

// moved sums up how one demand moves.
func (d *draws) moved(of hold.Demand, before, after *hold.Result, mass []float64) (Moved, error) {
	m := Moved{Demand: of}
	var was, is, by, relative, wasAbsolute, isAbsolute, byAbsolute []float64
	share := true
	for i := range mass {
		if !before.Possible[i] || !after.Possible[i] {
			continue
		}
		a, b := before.Value[of][i], after.Value[of][i]
		was, is, by, relative = append(was, a), append(is, b), append(by, b-a), append(relative, (b-a)/math.Abs(a))
		share = share && a != 0
		a, b = float64(a*d.mass[i]*statics.StandardGravity), float64(b*mass[i]*statics.StandardGravity)
		wasAbsolute, isAbsolute, byAbsolute = append(wasAbsolute, a), append(isAbsolute, b), append(byAbsolute, b-a)
	}
	m.Before, m.After, m.Effect = spreadOf(was), spreadOf(is), spreadOf(by)
	if !math.Finite(m.Before.Median + m.After.Median + m.Effect.Median) {
		return m, fmt.Errorf("person: %s of %s is not a number", of, d.scenario.Hold.Name)
	}
	if share {
		m.Relative = spreadOf(relative)
	}
	if m.AbsoluteUnit = absoluteUnit(of); m.AbsoluteUnit != "" {
		m.BeforeAbsolute, m.AfterAbsolute, m.EffectAbsolute = spreadOf(wasAbsolute), spreadOf(isAbsolute), spreadOf(byAbsolute)
	}
	return m, nil
}

// judge counts for how many draws it gets easier and harder.
func (e *Effect) judge(before, after *hold.Result) {
	var n, easier, harder float64
	for i := range before.Possible {
		is, was := after.Possible[i], before.Possible[i]
		if !is && !was {
			continue
		}
		n++
		a, b := math.Abs(before.Value[e.Judged][i]), math.Abs(after.Value[e.Judged][i])
		switch {
		case !was, is && b < a-float64(stays*a):
			easier++
		case !is, b > a+float64(stays*a):
			harder++
		}
	}
	if n > 0 {
		e.Easier, e.Harder = easier/n, harder/n
	}
}
