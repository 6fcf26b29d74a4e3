package claim

import (
	"context"
	"fmt"
	"math"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
)

// peopleScratch draws the people of one group after another.
type peopleScratch struct {
	samplers []*anthro.Sampler
	streams  []*montecarlo.Stream
	people   *anthro.People
}

func (t *test) newPeopleScratch(seed uint64) *peopleScratch {
	s := &peopleScratch{people: anthro.NewPeople(montecarlo.BlockRows)}
	for _, g := range t.groups {
		sampler, stream := g.selection.NewSampler(), montecarlo.NewStream(seed, Purpose(g.people.Population))
		if t.claim.Contrast == nil { // a contrast may tell people apart by anything
			sampler.LeaveOut(stream.PassNormals, g.unread()...)
		}
		s.samplers = append(s.samplers, sampler)
		s.streams = append(s.streams, stream)
	}
	return s
}

// unread returns the measurements that none of the group's builders looks at.
func (g *group) unread() []anthro.Measurement {
	common := g.builders[0].Unread()
	for _, b := range g.builders[1:] {
		also := b.Unread()
		common = slices.DeleteFunc(common, func(m anthro.Measurement) bool { return !slices.Contains(also, m) })
	}
	return common
}

// draw returns the first rows people of a block of a group.
func (s *peopleScratch) draw(group, block, rows int) (*anthro.People, error) {
	people := s.people.Slice(0, rows)
	return people, s.drawInto(people, group, block)
}

// drawInto fills people with the first people of a block of a group.
func (s *peopleScratch) drawInto(people *anthro.People, group, block int) error {
	s.streams[group].Reset(uint64(block))
	return s.samplers[group].Draw(people, s.streams[group].Normals)
}

// slice returns the first rows of a pair.
func (p *pair) slice(rows int) *pair {
	s := &pair{
		before: p.before.Slice(0, rows), after: p.after.Slice(0, rows),
		capBefore: p.capBefore.Slice(0, rows), capAfter: p.capAfter.Slice(0, rows),
		ratio: p.ratio[:rows], first: p.first.Slice(0, rows), room: p.room[:rows],
	}
	for r, changed := range p.changed {
		if changed != nil {
			s.changed[r] = changed.Slice(0, rows)
		}
	}
	return s
}

// run is the outcome of all bodies at the central assumptions.
type run struct {
	test    *test
	n       int
	tallies [][]*tally                // by group and lane
	moments [][][3]montecarlo.Moments // by group and lane
	samples []*sample                 // by group
	sink    Sink
}

// tileRows is how many bodies of a block are built, solved and counted before the
// next: few enough for all their columns to stay in the processor's nearer cache,
// which a block's do not. A run takes 3 % less time than with whole blocks, and
// less memory.
const tileRows = 512

// solveTile works through people, the rows of a block from the given one on.
func (w *worker) solveTile(out *block, p *pair, people *anthro.People, of blockOf, from int, table bool, a *assume.Set) error {
	closer := of.block < closerBlocks
	built := -1
	for l, lane := range w.lanes {
		if lane.builder != built {
			built = lane.builder
			if err := w.build(p, people, w.groups[of.group].builders[built], a); err != nil {
				return err
			}
		}
		w.solve(p, lane.model.Statics, closer)
		w.count(w.tallies[of.group][l], &out.moments[l], p, lane.model.Statics, closer)
		if table {
			w.fillRows(out.rows, from, of.group, l, p)
		}
		if out.sampled {
			out.sample.add(w.test, l, p)
		}
	}
	return nil
}

// run draws n bodies in all and counts what becomes of them.
func (t *test) run(ctx context.Context, n int, o *Options) (*run, error) {
	t.allot(n)
	blocks := t.blocks()
	r := &run{test: t, n: n}
	for range t.groups {
		r.tallies = append(r.tallies, t.newTallies())
		r.moments = append(r.moments, make([][3]montecarlo.Moments, len(t.lanes)))
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
		w := &worker{test: t, pair: t.newPair(tileRows), people: t.newPeopleScratch(o.Seed),
			scratch: make([]float64, tileRows)}
		for range t.groups {
			w.tallies = append(w.tallies, t.newTallies())
		}
		workers = append(workers, w)
		// Beyond the closer blocks nobody asks for more than the quantity and the posture.
		lean := w.pair.only(append([]hold.Demand{t.claim.Quantity}, postureDemands...))
		return func(index int, out *block) error {
			of := blocks[index]
			rows := montecarlo.Rows(t.groups[of.group].rows, of.block)
			people, err := w.people.draw(of.group, of.block, rows)
			if err != nil {
				return err
			}
			out.sample.reset()
			out.sampled = of.block < sampleBlocks
			clear(out.moments)
			tile := lean
			if of.block < closerBlocks {
				tile = w.pair
			}
			for from := 0; from < rows; from += tileRows {
				n := min(tileRows, rows-from)
				if n < tileRows {
					tile = tile.slice(n)
				}
				if err := w.solveTile(out, tile, people.Slice(from, from+n), of, from, r.sink != nil, &o.Assumptions.Centre); err != nil {
					return err
				}
			}
			return nil
		}
	}
	newOut := func() *block {
		out := &block{moments: make([][3]montecarlo.Moments, len(t.lanes)), sample: t.newSample()}
		if r.sink != nil {
			out.rows = newRows(layout, montecarlo.BlockRows)
		}
		return out
	}
	consume := func(index int, out *block) error {
		of := blocks[index]
		for l := range t.lanes {
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
			for l := range t.lanes {
				r.tallies[g][l].merge(w.tallies[g][l])
			}
		}
	}
	return r, nil
}

func (t *test) newTallies() []*tally {
	tallies := make([]*tally, len(t.lanes))
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
	for l := range r.test.lanes {
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
func (r *run) exact(lane int) bool {
	counted := false
	for g := range r.test.groups {
		y := r.tallies[g][lane]
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
		for l, lane := range r.test.lanes {
			if n := r.tallies[g][l].quantity.effect.NaNs(); n > 0 {
				return fmt.Errorf("claim: %s, %s: %s of %d bodies is not a number", lane.model, group.people.Population, r.test.claim.Quantity, n)
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

// draw is what one assumption draw says: by lane and group, and by lane for all.
type draw struct {
	shares  [][]shares    // by lane and group
	median  [][]float64   // of the effect, by lane and group
	percent [][]float64   // of the effect in per cent of the baseline, where the threshold is a share
	exact   []bool        // by lane
	effects [][][]float64 // by lane and group, of every body, while it is handed over; empty where some body has none
}

// draws are the assumption draws of a test.
type draws struct {
	points  []assumptionPoint
	draw    []draw
	crossed [][]*drivers.Crossed // draws by bodies, by lane and group; nil where some body had no finite effect
}

// drawAssumptions repeats the judgement over the assumption draws, on the same
// first bodies of every population.
func (t *test) drawAssumptions(ctx context.Context, o *Options) (*draws, error) {
	if o.Draws == 0 {
		return nil, nil
	}
	points, err := assumptionPoints(o)
	if err != nil {
		return nil, err
	}
	// What the change itself sets is not uncertain in the first body: it starts
	// from the central value in every draw.
	for name := range t.claim.Change.Assume {
		id, _ := assume.Parse(name)
		for k := range points {
			points[k].set[id] = o.Assumptions.Centre[id]
		}
	}
	d := &draws{points: points, draw: make([]draw, len(points))}
	for range t.lanes {
		crossed := make([]*drivers.Crossed, len(t.groups))
		for g := range crossed {
			crossed[g] = drivers.NewCrossed(o.DrawBodies)
		}
		d.crossed = append(d.crossed, crossed)
	}
	first := t.newPeopleScratch(o.Seed)
	people := make([]*anthro.People, len(t.groups))
	for g := range t.groups {
		people[g] = anthro.NewPeople(o.DrawBodies)
		for b := range montecarlo.Blocks(o.DrawBodies) {
			from := b * montecarlo.BlockRows
			part := people[g].Slice(from, from+montecarlo.Rows(o.DrawBodies, b))
			if err := first.drawInto(part, g, b); err != nil {
				return nil, err
			}
		}
	}
	newWorker := func() func(int, *draw) error {
		w := &worker{test: t, pair: t.newPair(o.DrawBodies), scratch: make([]float64, o.DrawBodies)}
		return func(index int, out *draw) error {
			for l := range t.lanes {
				out.exact[l] = true
			}
			for g, group := range t.groups {
				built := -1
				for l, lane := range t.lanes {
					if lane.builder != built {
						built = lane.builder
						if err := t.build(w.pair, people[g], group.builders[built], &points[index].set); err != nil {
							return err
						}
					}
					t.solve(w.pair, lane.model.Statics, false)
					c, exact := w.judgeOnly(w.pair)
					out.effects[l][g] = append(out.effects[l][g][:0], w.scratch...)
					out.shares[l][g] = c.shares()
					out.median[l][g] = median(w.scratch)
					out.percent[l][g] = 100 * median(w.shares)
					out.exact[l] = out.exact[l] && exact
				}
			}
			return nil
		}
	}
	newOut := func() *draw {
		out := &draw{exact: make([]bool, len(t.lanes))}
		for range t.lanes {
			out.shares = append(out.shares, make([]shares, len(t.groups)))
			out.median = append(out.median, make([]float64, len(t.groups)))
			out.percent = append(out.percent, make([]float64, len(t.groups)))
			out.effects = append(out.effects, make([][]float64, len(t.groups)))
		}
		return out
	}
	consume := func(index int, out *draw) error {
		kept := newOut()
		copy(kept.exact, out.exact)
		for l := range t.lanes {
			copy(kept.shares[l], out.shares[l])
			copy(kept.median[l], out.median[l])
			copy(kept.percent[l], out.percent[l])
			for g, effects := range out.effects[l] {
				switch {
				case d.crossed[l][g] == nil:
				case len(effects) < o.DrawBodies || slices.ContainsFunc(effects, func(e float64) bool { return math.IsInf(e, 0) }):
					d.crossed[l][g] = nil
				default:
					d.crossed[l][g].Add(effects)
				}
			}
		}
		d.draw[index] = *kept
		return nil
	}
	err = montecarlo.Run(ctx, montecarlo.Options{To: len(points), Workers: o.Workers, Progress: o.stage("assumptions")}, newWorker, newOut, consume)
	return d, err
}

// judgeOnly counts the effects of a pair against the threshold, keeps them in
// the scratch, as shares of their baselines beside it where the threshold is a
// share, and reports whether all of them are exactly none.
func (w *worker) judgeOnly(p *pair) (c counts, exact bool) {
	first, changed := p.first, p.changed[w.claim.Change.Posture]
	w.scratch, w.shares = w.scratch[:0], w.shares[:0]
	exact = true
	for i := range p.before.Rows() {
		e, ok := w.effect(first, changed, i)
		if !ok {
			continue
		}
		w.scratch = append(w.scratch, e)
		before := first.Value[w.claim.Quantity][i]
		if w.claim.Matters.Share > 0 && first.Possible[i] && changed.Possible[i] {
			w.shares = append(w.shares, relative(before, changed.Value[w.claim.Quantity][i]))
		}
		c.count(w.sign*e, w.claim.Matters.Of(before))
		exact = exact && !moves(e, before)
	}
	return c, exact
}

// median returns the median of values, which it sorts; NaN if there are none.
func median(values []float64) float64 {
	n := len(values)
	if n == 0 {
		return math.NaN()
	}
	slices.Sort(values)
	return (values[(n-1)/2] + values[n/2]) / 2
}
