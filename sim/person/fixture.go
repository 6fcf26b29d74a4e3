package person

import (
	"context"
	"math"

	"counterpoise/sim/hold"
	"counterpoise/sim/statics"
)

// figures is how many of the bodies drawn are placed as figures where no closed
// form gives the forces at the supports.
const figures = 256

// equilibrium returns the place of that model.
func (pr *problem) equilibrium() int {
	for l, m := range pr.models {
		if m == hold.Equilibrium {
			return l
		}
	}
	panic("person: no equilibrium")
}

// fixture returns what carries the person, over bodies and assumptions; nil where
// nobody can take the posture.
func (d *draws) fixture(ctx context.Context) (*Fixture, error) {
	l := d.equilibrium()
	if shareTrue(d.all[l].Possible) == 0 {
		return nil, nil
	}
	if d.hold == hold.HumanFlag {
		return d.pole(d.all[l]), nil
	}
	return d.supports(ctx, d.models[l])
}

// pole is the fixture of the human flag: the top hand pulls the pole towards the
// body, the bottom hand pushes it away, and both hang on it, by the assumed
// share.
func (d *draws) pole(r *hold.Result) *Fixture {
	h, spacing := r.Value[hold.HorizontalForce], r.Value[hold.HandSpacing]
	top, bottom, away, moment := make([]float64, len(h)), make([]float64, len(h)), make([]float64, len(h)), make([]float64, len(h))
	for i := range h {
		share := d.topShare(i)
		top[i], bottom[i], away[i], moment[i] = share, 1-share, -h[i], h[i]*spacing[i]
	}
	overturning := spreadOf(d.times(r, moment))
	return &Fixture{
		Forces: []FixtureForce{
			{hold.SupportTopHand, spreadOf(d.times(r, h)), spreadOf(d.times(r, top))},
			{hold.SupportBottomHand, spreadOf(d.times(r, away)), spreadOf(d.times(r, bottom))},
		},
		Overturning: &overturning,
	}
}

// supports is the fixture of any other hold, from the general statics of the
// first body of some groups.
func (d *draws) supports(ctx context.Context, m hold.Model) (*Fixture, error) {
	n := min(figures, len(d.assumed))
	stride := len(d.assumed) / n
	type forces struct {
		names []string
		of    []statics.Vec
	}
	found := make([]forces, n)
	err := d.run(ctx, n, func() func(int) error {
		s, held := newSolver(d.problem, 1), hold.NewResult(1, d.hold.Asks(m)...)
		return func(j int) error {
			k := j * stride
			s.build(d.people.Slice(d.from[k], d.from[k]+1), &d.assumed[k])
			s.solve(held, m, d.posture)
			if !held.Possible[0] {
				return nil
			}
			figure, err := d.hold.Figure(s.bodies, 0, d.posture, held, s.under)
			if err != nil {
				return err
			}
			solution, err := figure.System.Solve()
			if err != nil {
				return err
			}
			for _, support := range figure.Supports {
				force, err := figure.Force(solution, support.Name)
				if err != nil {
					return err
				}
				// What is nothing but rounding is nothing.
				weight := s.bodies.Mass[0] * statics.StandardGravity
				if math.Abs(force.X) < 1e-9*weight {
					force.X = 0
				}
				found[j].names = append(found[j].names, support.Name)
				found[j].of = append(found[j].of, force)
			}
			return nil
		}
	})
	if err != nil {
		return nil, err
	}
	var f *Fixture
	for _, first := range found {
		if first.names == nil {
			continue
		}
		f = &Fixture{}
		for at, name := range first.names {
			var across, down []float64
			for _, other := range found {
				if other.names != nil {
					// Of the person on the support, against that of the support on the person.
					across, down = append(across, 0-other.of[at].X), append(down, other.of[at].Y)
				}
			}
			f.Forces = append(f.Forces, FixtureForce{name, spreadOf(across), spreadOf(down)})
		}
		break
	}
	return f, nil
}
