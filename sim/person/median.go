package person

import (
	"errors"

	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/scenario"
)

// MedianBody is the median body of a person: every open measurement at its
// conditional median, the assumptions at their central values. It can be held up
// again and again, which takes microseconds; one goroutine at a time.
type MedianBody struct {
	*problem
	held    *scenario.Held // one row
	posture hold.Posture
}

// NewMedianBody returns the median body of a person. The errors are those of Answer.
func NewMedianBody(p Person, o Options) (*MedianBody, error) {
	pr, err := prepare(p, o)
	if err != nil {
		return nil, err
	}
	return pr.median()
}

// median is the median body as it is.
func (pr *problem) median() (*MedianBody, error) {
	b := &MedianBody{problem: pr, posture: pr.setup.First}
	err := b.build(pr.setup, func(t *scenario.Tile) { b.held = &t.First })
	return b, err
}

// build builds the median person's body for a setup.
func (b *MedianBody) build(setup *scenario.Setup, take func(t *scenario.Tile)) error {
	cases := b.cases(&b.options.Assumptions.Centre, b.own(false))[:1]
	cases[0].Setup = setup
	return scenario.NewBench(1, nil, nil).Run(b.medianPerson(), cases, func(_ int, t *scenario.Tile) error {
		take(t) // its memory belongs to nobody else
		return nil
	})
}

// Changed returns the body changed, in the posture of the change. The error is a
// *fault.Error for a change that makes no sense, or leaves no body.
func (b *MedianBody) Changed(ch *scenario.Change) (*MedianBody, error) {
	setup, err := b.changed(ch)
	if err != nil {
		return nil, err
	}
	changed := &MedianBody{problem: b.problem, posture: setup.Second}
	err = changed.build(setup, func(t *scenario.Tile) { changed.held = &t.Second })
	return changed, err
}

// changed checks a change of the person, and makes it ready.
func (pr *problem) changed(ch *scenario.Change) (*scenario.Setup, error) {
	s := pr.scenario
	s.Change = ch
	err := s.Check()
	if ch.Hold != nil || ch.Arms != nil || ch.Posture != scenario.AtBest {
		err = errors.Join(err, fault.New("change", nil, "a person stays in the hold and takes the best posture: leave out hold, arms and posture"))
	}
	return scenario.NewSetup(&s), err
}

// solve holds the body up.
func (b *MedianBody) solve(m hold.Model, rule hold.Rule, value float64) (*hold.Result, hold.Posture) {
	posture := b.posture
	switch posture.Rule = rule; rule {
	case hold.GivenAngle:
		posture.Angle = []float64{value}
	case hold.GivenSpacing:
		posture.Spacing = []float64{value}
	}
	in := b.scenario.Hold
	out := hold.NewResult(1, in.Figured(m)...)
	b.held.Solve(out, in, posture, m)
	return out, posture
}

// Angles returns the least and the greatest arm angle, radians, at which the body can
// be held; least is above most where it can be held at none, and where the hold leaves
// no choice of angle.
func (b *MedianBody) Angles(m hold.Model) (least, most float64) {
	in := b.scenario.Hold
	if !in.Has(m) || !in.Places(hold.GivenAngle) {
		return 1, 0
	}
	best, _ := b.solve(m, hold.Best, 0)
	if !best.Possible[0] {
		return 1, 0
	}
	// What is possible is one range around the best.
	end := func(beyond float64) float64 {
		within := best.Value[hold.ArmAngle][0]
		if held, _ := b.solve(m, hold.GivenAngle, beyond); held.Possible[0] {
			return beyond
		}
		// Where rounding decides is no end to rely on: stay this far from it.
		const clear = 1e-10
		for math.Abs(beyond-within) > clear/4 {
			middle := (within + beyond) / 2
			if held, _ := b.solve(m, hold.GivenAngle, middle); held.Possible[0] {
				within = middle
			} else {
				beyond = middle
			}
		}
		return within + math.Copysign(min(clear, math.Abs(best.Value[hold.ArmAngle][0]-within)), best.Value[hold.ArmAngle][0]-within)
	}
	return end(in.LeastAngle), end(in.MostAngle)
}

// Hold holds the body up under a model that the hold has: at its best posture, or at
// an arm angle (radians) or a hand spacing (m), where the hold has a choice of them.
// It returns nil where the body cannot take the posture. Its errors are *fault.Error
// where the hold lacks the model or the rule, or the value is no number.
func (b *MedianBody) Hold(m hold.Model, rule hold.Rule, value float64) (*scenario.HeldBody, error) {
	in := b.scenario.Hold
	switch {
	case !in.Has(m):
		return nil, fault.New("models", int(m), "%s is not computed under it, only under %s", in.Name, scenario.NamesOf(in.Models))
	case !in.Places(rule):
		return nil, fault.New("posture", int(rule), "%s leaves no such choice of posture", in.Name)
	case rule == hold.GivenAngle && !math.Finite(value):
		return nil, fault.New("arm_angle", value, "%g is not a valid angle", value)
	case rule == hold.GivenSpacing && !math.Finite(value):
		return nil, fault.New("hand_spacing", value, "%g is not a valid length", value)
	}
	_, posture := b.solve(m, rule, value)
	held, err := b.held.Place(in, posture, m)
	if errors.Is(err, hold.ErrNotPossible) {
		return nil, nil
	}
	return held, err
}

// Median returns the body that is in the middle of those who have in common what is
// known of the person, as one row: every open measurement at its conditional
// median, and regional masses like the average's, or the scan's. Its errors are
// those of Answer.
func Median(p Person, o Options) (*anthro.People, error) {
	pr, err := prepare(p, o)
	if err != nil {
		return nil, err
	}
	return pr.medianPerson(), nil
}

// medianPerson has every open measurement at its conditional median, and regional
// masses like the average's, or the scan's.
func (pr *problem) medianPerson() *anthro.People {
	one := anthro.MedianOf(pr.left.Population, pr.left.Quantile)
	if pr.person.Scan != nil {
		scanned := anthro.LogRatios(*pr.person.Scan)
		expected := pr.population.Regional.Predict(one.Value[anthro.Stature][0], one.Value[anthro.Mass][0], one.Value[anthro.WaistCircumference][0])
		for r := range one.Residual {
			one.Residual[r][0] = scanned[r] - expected[r]
		}
	}
	return one
}
