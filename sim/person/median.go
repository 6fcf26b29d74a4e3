package person

import (
	"math"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/strength"
)

// MedianBody is the median body of a person: every open measurement at its
// conditional median, the assumptions at their central values. It can be held up
// again and again, which takes microseconds; one goroutine at a time.
type MedianBody struct {
	*problem
	bodies  *body.Columns // one row
	given   *hold.Capacity
	posture hold.Posture
}

// NewMedianBody returns the median body of a person. The errors are those of Answer.
func NewMedianBody(p Person, o Options) (*MedianBody, error) {
	pr, err := prepare(p, o)
	if err != nil {
		return nil, err
	}
	return pr.median(), nil
}

func (pr *problem) median() *MedianBody {
	s := newSolver(pr, 1)
	s.build(pr.medianPerson(), &pr.options.Assumptions.Centre)
	return &MedianBody{pr, s.bodies, s.given, pr.posture}
}

// Turned returns the body changed, in the pose of the turn. The error is a
// *FieldError for a change that leaves no body.
func (b *MedianBody) Turned(t Turn) (*MedianBody, error) {
	a := &b.options.Assumptions.Centre
	turned := &MedianBody{b.problem, body.New(1), hold.NewCapacity(1), t.posture()}
	strength.OfReference(turned.given, b.bodies, a)
	if err := t.apply(turned.bodies, b.bodies, turned.given, make([]strength.Ratio, 1), a); err != nil {
		return nil, err
	}
	return turned, nil
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
	held := hold.NewResult(1, b.hold.Asks(m)...)
	b.hold.Solve(held, b.bodies, b.given, posture, m, &b.options.Assumptions.Centre)
	return held, posture
}

// Angles returns the least and the greatest arm angle, radians, at which the body can
// be held; least is above most where it can be held at none, and where the hold leaves
// no choice of angle.
func (b *MedianBody) Angles(m hold.Model) (least, most float64) {
	if !b.hold.Places(hold.GivenAngle) {
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
	return end(b.hold.LeastAngle), end(b.hold.MostAngle)
}

// Hold holds the body up under a model that the hold has: at its best posture, or at
// an arm angle (radians) or a hand spacing (m), where the hold has a choice of them.
// It returns nil where the body cannot take the posture.
func (b *MedianBody) Hold(m hold.Model, rule hold.Rule, value float64) (*Figure, error) {
	held, posture := b.solve(m, rule, value)
	if !held.Possible[0] {
		return nil, nil
	}
	f := &Figure{Body: b.bodies, Held: held}
	var err error
	if f.Figure, err = b.hold.Figure(b.bodies, 0, posture, held, &b.options.Assumptions.Centre); err != nil {
		return nil, err
	}
	if f.Solution, err = f.Figure.System.Solve(); err != nil {
		return nil, err
	}
	return f, nil
}
