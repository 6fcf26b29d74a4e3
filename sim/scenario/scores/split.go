package scores

import (
	"cmp"
	"context"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/drivers"
	"counterpoise/sim/fault"
	"counterpoise/sim/linear"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// SplitOptions say how much to compute for [Function.Split].
type SplitOptions struct {
	drivers.Options // for the shares; Sink gets nothing

	Draws  int // of the assumptions, a power of two from 64; 0 means 256
	Bodies int // people behind each draw, from 64; 0 means 4096
}

// A Quantile is a value below which a share of the people lie, with the band in
// which the assumptions leave it, in the unit of the responses.
type Quantile struct {
	Share     float64
	AtCentre  float64 // at the central assumptions
	Low, High float64 // 5 and 95 % of the draws of the assumptions
}

// A Draw is one draw of the assumptions, and what it makes of the people.
type Draw struct {
	Assumptions     assume.Set
	Mean, Deviation float64
	P5, P50, P95    float64
	Impossible      int // people who cannot take the posture, left out
}

// A Split says how much of a demand's variance comes from people, how much from
// what nobody knows, and how much from the two together.
type Split struct {
	// Shares of the variance. They add up to 1 but for their errors. Interaction is
	// what an assumption does differently to different people.
	People, Assumptions, Interaction drivers.Estimate

	// Shares says how the shares were computed; nil where every assumption is
	// fixed, and then all of the variance is people.
	Shares *drivers.Result

	Quantiles []Quantile // of the people, at shares 0.05, 0.5 and 0.95
	Draws     []Draw
	Bodies    int // people behind each draw
}

// Split takes people and assumptions apart. The study must have one model.
//
// The shares of the variance are first-order and second-order indices of the two
// groups, which are independent. The quantiles come from a nested design: outside,
// draws of the assumptions from a scrambled Sobol' sequence; inside, the same people
// for every draw, who are those that a claim with the same seed meets, and who
// meet the study's conditions exactly.
func (f *Function) Split(ctx context.Context, o SplitOptions) (*Split, error) {
	if err := cmp.Or(f.oneModel(), f.everybody()); err != nil {
		return nil, err
	}
	o.Draws = cmp.Or(o.Draws, 256)
	o.Bodies = cmp.Or(o.Bodies, 4096)
	if o.Draws < 64 || o.Draws > 1<<16 || o.Draws&(o.Draws-1) != 0 {
		return nil, fault.New("assumption-draws", o.Draws, "found %d, allowed: powers of two from 64 to %d", o.Draws, 1<<16)
	}
	if o.Bodies < 64 || o.Bodies > 1<<20 {
		return nil, fault.New("bodies a draw", o.Bodies, "found %d, allowed: 64 to %d", o.Bodies, 1<<20)
	}
	s := &Split{Bodies: o.Bodies, People: drivers.Estimate{Value: 1, Low: 1, High: 1}}
	if len(f.free) > 0 {
		if err := f.shares(ctx, s, o.Options); err != nil {
			return nil, err
		}
	}
	return s, f.nest(ctx, s, o)
}

// The names of the two groups of a split.
const (
	peopleGroup      = "people"
	assumptionsGroup = "assumptions"
)

// shares fills in the shares of the variance.
func (f *Function) shares(ctx context.Context, s *Split, o drivers.Options) error {
	p := f.Problem()
	p.Groups = []drivers.Group{{Name: peopleGroup}, {Name: assumptionsGroup}}
	for i := range f.inputs {
		g := &p.Groups[0]
		if i >= bodyInputs {
			g = &p.Groups[1]
		}
		g.Inputs = append(g.Inputs, i)
	}
	o.Sink = nil
	// Two groups cost little, and pairs of them need many rows.
	o.Base = cmp.Or(o.Base, drivers.DefaultBase)
	o.Base *= 8
	r, err := drivers.Sobol(ctx, p, drivers.SobolOptions{Options: o, Estimator: drivers.Janon, SecondOrder: true})
	if err != nil {
		return err
	}
	of := func(kind drivers.Kind, groups ...string) drivers.Estimate {
		i, _ := r.Index(kind, groups...)
		return i.Estimate
	}
	s.Shares = r
	s.People, s.Assumptions = of(drivers.First, peopleGroup), of(drivers.First, assumptionsGroup)
	s.Interaction = of(drivers.Second, peopleGroup, assumptionsGroup)
	return nil
}

// nest fills in the draws and the quantiles.
func (f *Function) nest(ctx context.Context, s *Split, o SplitOptions) error {
	people := anthro.NewPeople(o.Bodies)
	if err := f.people.Source(o.Seed, true).Fill(people); err != nil {
		return err
	}
	sets, err := f.assumed(o.Draws, o.Seed)
	if err != nil {
		return err
	}
	err = montecarlo.Run(ctx, montecarlo.Options{To: len(sets), Workers: o.Workers},
		func() func(int, *Draw) error {
			e, y := f.newEvaluator(), make([]float64, 0, o.Bodies)
			return func(k int, out *Draw) error {
				var err error
				if y, err = e.crowd(y[:0], people, &sets[k]); err != nil {
					return err
				}
				*out = Draw{Assumptions: sets[k], Impossible: o.Bodies - len(y)}
				if len(y) < 2 {
					return f.impossibleFor(out.Impossible, o.Bodies)
				}
				out.Mean, out.Deviation = linear.MeanStdDev(y)
				slices.Sort(y)
				at := func(p float64) float64 { return linear.Quantile(p, y) }
				out.P5, out.P50, out.P95 = at(0.05), at(0.5), at(0.95)
				return nil
			}
		},
		func() *Draw { return &Draw{} },
		func(_ int, out *Draw) error {
			s.Draws = append(s.Draws, *out)
			return nil
		})
	if err != nil {
		return err
	}
	centre := s.Draws[0]
	if s.Draws = s.Draws[1:]; len(s.Draws) == 0 {
		s.Draws = []Draw{centre}
	}
	for _, q := range []struct {
		share float64
		of    func(*Draw) float64
	}{
		{0.05, func(d *Draw) float64 { return d.P5 }}, {0.5, func(d *Draw) float64 { return d.P50 }}, {0.95, func(d *Draw) float64 { return d.P95 }},
	} {
		values := make([]float64, len(s.Draws))
		for k := range values {
			values[k] = q.of(&s.Draws[k])
		}
		slices.Sort(values)
		s.Quantiles = append(s.Quantiles, Quantile{Share: q.share, AtCentre: q.of(&centre),
			Low: linear.Quantile(0.05, values), High: linear.Quantile(0.95, values)})
	}
	return nil
}

// assumed draws sets of assumptions, evenly, the middle first; the middle alone where none
// is free.
func (f *Function) assumed(draws int, seed uint64) ([]assume.Set, error) {
	u := &f.study.Assumptions
	sets := []assume.Set{u.Centre}
	if len(f.free) == 0 {
		return sets, nil
	}
	points := montecarlo.Columns(len(f.free), draws)
	if err := evenly(points, seed, "assumptions", 0); err != nil {
		return nil, err
	}
	for k := range draws {
		set := u.Centre
		for j, id := range f.free {
			set[id] = u.Low[id] + float64(points[j][k]*(u.High[id]-u.Low[id]))
		}
		sets = append(sets, set)
	}
	return sets, nil
}

// crowd appends the responses of those people who can take the posture, under the
// first model.
func (e *evaluator) crowd(y []float64, people *anthro.People, a *assume.Set) ([]float64, error) {
	e.own[0] = e.cases[0]
	e.own[0].Assume = a
	err := e.bench.Run(people, e.own, func(_ int, t *scenario.Tile) error {
		values := t.First.Result.Value[e.f.study.Of]
		for i, possible := range t.First.Result.Possible {
			if possible {
				y = append(y, e.f.study.scale()*values[i])
			}
		}
		return nil
	})
	return y, err
}

// oneModel reports a study of several models where one is needed.
func (f *Function) oneModel() error {
	if n := len(f.study.Models); n != 1 {
		return fault.New("models", n, "found %d, models are not averaged here: one at a time", n)
	}
	return nil
}
