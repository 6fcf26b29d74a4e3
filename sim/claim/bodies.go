package claim

import (
	"context"
	"fmt"
	"math"

	"counterpoise/sim/montecarlo"
)

// run is the outcome of all bodies at the central assumptions.
type run struct {
	test    *test
	n       int
	tallies [][]*tally                // by group and model
	moments [][][3]montecarlo.Moments // by group and model
	samples []*sample                 // by group
	sink    Sink
}

// run draws n bodies in all and counts what becomes of them.
func (t *test) run(ctx context.Context, n int, o *Options) (*run, error) {
	t.allot(n)
	blocks := t.blocks()
	r := &run{test: t, n: n}
	for range t.groups {
		r.tallies = append(r.tallies, t.newTallies())
		r.moments = append(r.moments, make([][3]montecarlo.Moments, len(t.models)))
		r.samples = append(r.samples, t.newSample())
	}
	var layout Layout
	if o.Open != nil {
		layout = t.layout()
		sink, err := o.Open(layout, n)
		if err != nil {
			return nil, err
		}
		r.sink = sink
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
		out := &block{moments: make([][3]montecarlo.Moments, len(t.models)), sample: t.newSample()}
		if r.sink != nil {
			out.rows = newRows(layout, montecarlo.BlockRows)
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
			r.samples[of.group].append(out.sample)
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

// decided reports whether no share of any model is too close to p to call, for
// all people together and for each population.
func (r *run) decided() bool {
	for l := range r.test.models {
		if r.exact(l) {
			continue
		}
		var pooled counts
		for g := range r.test.groups {
			c := r.tallies[g][l].counts
			if c.total() > 0 && !decided(c, r.test.claim.Share, r.test.claim.Expect) {
				return false
			}
			pooled.add(c)
		}
		if pooled.total() > 0 && !decided(pooled, r.test.claim.Share, r.test.claim.Expect) {
			return false
		}
	}
	return true
}

// exactly is the largest effect, as a share of the baseline, that counts as
// exactly none, and rounding the largest where the baseline itself is next to
// nothing: forces in body weights, angles in radians and lengths in metres come
// out of numbers of the order of one.
const (
	exactly  = 1e-9
	rounding = 1e-14
)

// moves reports whether an effect is more than rounding.
func moves(effect, before float64) bool {
	return !(math.Abs(effect) < max(exactly*math.Abs(before), rounding))
}

// exact reports whether the model shows exactly no effect on anybody.
func (r *run) exact(model int) bool {
	counted := false
	for g := range r.test.groups {
		y := r.tallies[g][model]
		if y.moved {
			return false
		}
		counted = counted || y.counts.total() > 0
	}
	return counted
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

func (r *run) abandon() {
	if r.sink != nil {
		r.sink.Abort()
	}
}

func (r *run) keep() error {
	if r.sink == nil {
		return nil
	}
	return r.sink.Commit()
}
