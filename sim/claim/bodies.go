package claim

import (
	"context"
	"fmt"

	"counterpoise/sim/columns"
	"counterpoise/sim/drivers"
	"counterpoise/sim/montecarlo"
)

// run is the outcome of all bodies at the central assumptions.
type run struct {
	test    *test
	tallies [][]*tally                // by group and model
	moments [][][3]montecarlo.Moments // by group and model
	samples []*drivers.TraitSample    // by group
	table
}

// run draws n bodies in all and counts what becomes of them.
func (t *test) run(ctx context.Context, n int, o *Options) (*run, error) {
	t.allot(n)
	blocks := t.blocks()
	r := &run{test: t}
	for range t.groups {
		r.tallies = append(r.tallies, t.newTallies())
		r.moments = append(r.moments, make([][3]montecarlo.Moments, len(t.models)))
		r.samples = append(r.samples, drivers.NewTraitSample(len(traits), len(t.models)))
	}
	layout := t.layout()
	if err := r.open(o, layout, n); err != nil {
		return nil, err
	}
	var workers []*worker
	newWorker := func() func(int, *block) error {
		w := t.newWorker(o)
		workers = append(workers, w)
		return func(index int, out *block) error {
			return w.block(out, blocks[index], r.sink != nil)
		}
	}
	newOut := func() *block {
		out := &block{moments: make([][3]montecarlo.Moments, len(t.models)), sample: drivers.NewTraitSample(len(traits), len(t.models))}
		if r.sink != nil {
			out.rows = columns.NewRows(layout, montecarlo.BlockRows)
		}
		return out
	}
	consume := func(index int, out *block) error {
		of := blocks[index]
		for l := range t.models {
			for k := range out.moments[l] {
				r.moments[of.group][l][k].Merge(&out.moments[l][k])
			}
		}
		if out.sampled {
			r.samples[of.group].Append(out.sample)
		}
		if r.sink != nil {
			return r.sink.Write(out.rows)
		}
		return nil
	}
	progress := o.stage("bodies")
	err := montecarlo.Run(ctx, montecarlo.Options{To: len(blocks), Workers: o.Workers, Progress: progress}, newWorker, newOut, consume)
	if err != nil {
		r.abandon()
		return nil, err
	}
	for _, w := range workers {
		for g := range t.groups {
			for l := range t.models {
				r.tallies[g][l].merge(w.tallies[g][l])
			}
		}
	}
	if err := r.numbers(); err != nil {
		r.abandon()
		return nil, err
	}
	return r, nil
}

func (t *test) newTallies() []*tally {
	tallies := make([]*tally, len(t.models))
	for l := range tallies {
		tallies[l] = newTally(t)
	}
	return tallies
}

// stage returns the progress function of one stage, or nil.
func (o *Options) stage(name string) func(done, total int) {
	if o.Progress == nil {
		return nil
	}
	return func(done, total int) { o.Progress(name, done, total) }
}

// numbers fails where an effect is not a number, which a shares' count would
// take for one too small to matter.
func (r *run) numbers() error {
	for g, group := range r.test.groups {
		for l, m := range r.test.models {
			if n := r.tallies[g][l].quantity.effect.NaNs(); n > 0 {
				return fmt.Errorf("claim: %s, %s: %s of %d bodies is not a number", m.Model, group.Population, r.test.claim.Demand, n)
			}
		}
	}
	return nil
}

// table is the table of bodies, if there is to be one.
type table struct{ sink columns.Sink }

// open begins the table where one is asked for.
func (t *table) open(o *Options, layout columns.Layout, rows int) (err error) {
	if o.Open != nil {
		t.sink, err = o.Open(layout, rows)
	}
	return err
}

func (t table) abandon() {
	if t.sink != nil {
		t.sink.Abort()
	}
}

func (t table) keep() error {
	if t.sink == nil {
		return nil
	}
	return t.sink.Commit()
}
