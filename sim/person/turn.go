package person

import (
	"context"
	"fmt"
	"math"
	"slices"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

// Turn is what a person may do about a hold: a change of the body, and how it is
// then done.
type Turn struct {
	Body body.Change
	Legs hold.Legs
	Pose hold.Pose
	Tilt float64 // radians
}

func (t *Turn) posture() hold.Posture { return hold.Posture{Legs: t.Legs, Pose: t.Pose, Tilt: t.Tilt} }

// apply makes dst the changed bodies of src, and can, which holds the capacities of
// src, theirs.
func (t *Turn) apply(dst, src *body.Columns, can *hold.Capacity, ratio []strength.Ratio, a *assume.Set) error {
	if err := t.Body.Apply(dst, src, a); err != nil {
		return &FieldError{"change", err.Error()}
	}
	strength.OfChange(can, ratio, &t.Body, src, dst, a)
	return nil
}

// Effect is what a turn does to a person, over bodies and assumptions: the same
// draws before and after.
type Effect struct {
	Model      hold.Model
	Quantities []Moved // in the hold's order
	// Judged is the quantity by which easier and harder are told: the difficulty, or
	// the hold's first where nothing is known to give out.
	Judged hold.Demand
	// The shares of the draws that can take the posture, before and after.
	PossibleBefore, PossibleAfter float64
	// Easier and Harder are the shares, among the draws that can take either posture,
	// in which the size of Judged falls and rises; becoming possible counts as easier,
	// and impossible as harder. What is left stays as it is, to rounding.
	Easier, Harder float64
	Draws          int
	Before, After  *Figure // of the median body, each at its best posture; nil where it cannot take it
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

// Apply computes what a turn does to a person under a model. Its errors are those of
// Answer, and *FieldError for a change that leaves no body.
func Apply(ctx context.Context, p Person, o Options, model hold.Model, turn Turn) (*Effect, error) {
	if wrong := turn.Body.Check(); wrong != nil {
		return nil, &FieldError{"change", wrong.Error()}
	}
	o.Models = []hold.Model{model}
	pr, err := prepare(p, o)
	if err != nil {
		return nil, err
	}
	turned := p
	turned.Legs, turned.Pose, turned.Tilt = turn.Legs, turn.Pose, turn.Tilt
	if _, err := prepare(turned, o); err != nil {
		return nil, err
	}
	pr.models = pr.models[:1] // no fixture is asked for
	d, err := pr.draw(ctx, false)
	if err != nil {
		return nil, err
	}
	after, mass := hold.NewResult(o.Draws, pr.hold.Asks(model)...), make([]float64, o.Draws)
	err = d.run(ctx, len(d.assumed), func() func(int) error {
		rows := o.Draws/len(d.assumed) + 1
		s, changed, ratio := newSolver(pr, rows), body.New(rows), make([]strength.Ratio, rows)
		return func(k int) error {
			from, to := d.from[k], d.from[k+1]
			s.build(d.people.Slice(from, to), &d.assumed[k])
			bodies := changed.Slice(0, to-from)
			if err := turn.apply(bodies, s.bodies, s.given, ratio[:to-from], s.under); err != nil {
				return err
			}
			copy(mass[from:to], bodies.Mass)
			pr.hold.Solve(after.Slice(from, to), bodies, s.given, turn.posture(), model, s.under)
			return nil
		}
	})
	if err != nil {
		return nil, err
	}
	e := &Effect{
		Model: model, Judged: pr.hold.Asks(model)[0], Draws: o.Draws,
		PossibleBefore: shareTrue(d.all[0].Possible), PossibleAfter: shareTrue(after.Possible),
	}
	if slices.Contains(pr.hold.Asks(model), hold.Difficulty) {
		e.Judged = hold.Difficulty
	}
	for _, of := range pr.hold.Asks(model) {
		m, err := d.moved(of, d.all[0], after, mass)
		if err != nil {
			return nil, err
		}
		e.Quantities = append(e.Quantities, m)
	}
	e.judge(d.all[0], after)
	median := pr.median()
	if e.Before, err = median.Hold(model, hold.Best, 0); err != nil {
		return nil, err
	}
	if median, err = median.Turned(turn); err != nil {
		return nil, err
	}
	e.After, err = median.Hold(model, hold.Best, 0)
	return e, err
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
		a, b = a*d.mass[i]*statics.StandardGravity, b*mass[i]*statics.StandardGravity
		wasAbsolute, isAbsolute, byAbsolute = append(wasAbsolute, a), append(isAbsolute, b), append(byAbsolute, b-a)
	}
	m.Before, m.After, m.Effect = spreadOf(was), spreadOf(is), spreadOf(by)
	if !finite(m.Before.Median + m.After.Median + m.Effect.Median) {
		return m, fmt.Errorf("person: %s of %s is not a number", of, d.hold.Name)
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
		can, could := after.Possible[i], before.Possible[i]
		if !can && !could {
			continue
		}
		n++
		a, b := math.Abs(before.Value[e.Judged][i]), math.Abs(after.Value[e.Judged][i])
		switch {
		case !could, can && b < a-stays*a:
			easier++
		case !can, b > a+stays*a:
			harder++
		}
	}
	if n > 0 {
		e.Easier, e.Harder = easier/n, harder/n
	}
}
