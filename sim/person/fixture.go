package person

import (
	"context"
	"slices"

	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/scenario"
	"counterpoise/sim/statics"
)

// figures is how many of the bodies drawn are placed as figures where no closed
// form gives the forces at the supports.
const figures = 256

// equilibrium returns the place of that model, -1 where the hold lacks it.
func (pr *problem) equilibrium() int {
	return slices.IndexFunc(pr.scenario.Models, func(m scenario.Model) bool { return m.Statics == hold.Equilibrium })
}

// fixture returns what carries the person, over bodies and assumptions; nil where
// nobody can take the posture, or no equilibrium is computed.
func (d *draws) fixture(ctx context.Context) (*Fixture, error) {
	l := d.equilibrium()
	if l < 0 || shareTrue(d.all[l].Possible) == 0 {
		return nil, nil
	}
	if d.scenario.Hold == hold.HumanFlag {
		return d.pole(d.all[l]), nil
	}
	return d.supports(ctx, l)
}

// pole is the fixture of the human flag: the top hand pulls the pole towards the
// body, the bottom hand pushes it away, and both hang on it.
func (d *draws) pole(r *hold.Result) *Fixture {
	h, spacing, share := r.Value[hold.HorizontalForce], r.Value[hold.HandSpacing], r.Value[hold.TopShare]
	top, bottom, away, moment := make([]float64, len(h)), make([]float64, len(h)), make([]float64, len(h)), make([]float64, len(h))
	for i := range h {
		top[i], bottom[i], away[i], moment[i] = share[i], 1-share[i], -h[i], h[i]*spacing[i]
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
func (d *draws) supports(ctx context.Context, l int) (*Fixture, error) {
	n := min(figures, len(d.assumed))
	stride := len(d.assumed) / n
	type forces struct {
		names []string
		of    []statics.Vec
	}
	found := make([]forces, n)
	err := d.run(ctx, n, func() func(int) error {
		bench, own := scenario.NewBench(1, d.scenario.Hold.Figured(hold.Equilibrium), nil), d.own(true)
		return func(j int) error {
			k := j * stride
			own.at(d.from[k])
			return bench.Run(d.people.Slice(d.from[k], d.from[k]+1), d.cases(&d.assumed[k], own)[l:l+1], func(_ int, t *scenario.Tile) error {
				var err error
				found[j].names, found[j].of, err = d.onSupports(t)
				return err
			})
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

// onSupports returns the forces of the supports on the body of a tile of one, and their
// names; none where it cannot take the posture.
func (d *draws) onSupports(t *scenario.Tile) (names []string, of []statics.Vec, err error) {
	held := &t.First
	if !held.Result.Possible[0] {
		return nil, nil, nil
	}
	figure, err := d.setup.Hold.Figure(held.Bodies, 0, d.setup.First, held.Result, &held.Assume)
	if err != nil {
		return nil, nil, err
	}
	solution, err := figure.System.Solve()
	if err != nil {
		return nil, nil, err
	}
	for _, support := range figure.Supports {
		force, err := figure.Force(solution, support.Name)
		if err != nil {
			return nil, nil, err
		}
		// What is nothing but rounding is nothing.
		if weight := held.Bodies.Mass[0] * statics.StandardGravity; math.Abs(force.X) < 1e-9*weight {
			force.X = 0
		}
		names, of = append(names, support.Name), append(of, force)
	}
	return names, of, nil
}
