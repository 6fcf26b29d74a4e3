package person

import (
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

// Hold holds the body up under a model that the hold has: at its best posture, or at
// an arm angle (radians) or a hand spacing (m), where the hold has a choice of them.
// It returns nil where the body cannot take the posture.
func (b *MedianBody) Hold(m hold.Model, rule hold.Rule, value float64) (*Figure, error) {
	a := &b.options.Assumptions.Centre
	posture := b.posture
	switch posture.Rule = rule; rule {
	case hold.GivenAngle:
		posture.Angle = []float64{value}
	case hold.GivenSpacing:
		posture.Spacing = []float64{value}
	}
	held := hold.NewResult(1, b.hold.Asks(m)...)
	b.hold.Solve(held, b.bodies, b.given, posture, m, a)
	if !held.Possible[0] {
		return nil, nil
	}
	f := &Figure{Body: b.bodies, Held: held}
	var err error
	if f.Figure, err = b.hold.Figure(b.bodies, 0, posture, held, a); err != nil {
		return nil, err
	}
	if f.Solution, err = f.Figure.System.Solve(); err != nil {
		return nil, err
	}
	return f, nil
}
