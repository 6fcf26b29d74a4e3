package sweep

import (
	"context"
	"slices"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// Parts keeps the outcomes of tasks, so that they need not be computed again. It
// is used from several goroutines, for different tasks.
type Parts interface {
	// Load returns what Save was given for the task, or nil where nothing usable is
	// kept.
	Load(task int) ([]byte, error)
	// Save keeps the outcome of a task.
	Save(task int, outcome []byte) error
}

// Options say how a sweep is run. The zero value runs all of it.
type Options struct {
	Workers int   // goroutines; 0 takes one a processor. It changes no result
	Parts   Parts // nil keeps nothing

	// Progress, where set, is told how many of the tasks are done; it is called from
	// one goroutine.
	Progress func(done, total int)
	// Point, where set, is given every point in order. The point is used again.
	Point func(*Point) error
	// Bodies, where set, is given every body of a study that keeps them, point by
	// point.
	Bodies func(*Rows) error
}

// prepared is a study with everything loaded that it names.
type prepared struct {
	study  *Study
	plan   plan
	parts  []*scenario.Part
	crowds map[string]*crowd // by the name of the axis of people; "" without one
	swept  bool              // there is such an axis
}

func (s *Study) prepare() (*prepared, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	p := &prepared{study: s, plan: s.plan(), crowds: map[string]*crowd{}}
	all := map[string][]scenario.Group{"": s.Base.People}
	names := []string{""}
	masses, segments := []body.Masses{s.Base.Models[0].Masses}, []string{s.Base.Models[0].Segments}
	for i := range s.Axes {
		switch a := &s.Axes[i]; a.Of {
		case "people":
			p.swept, names = true, a.Names
			for k, name := range a.Names {
				all[name] = a.People[k : k+1]
			}
		case "regional_masses":
			masses = nil
			for _, name := range a.Names {
				m, _ := body.ParseMasses(name)
				masses = append(masses, m)
			}
		case "segments":
			segments = a.Names
		}
	}
	// Everybody, and everything that builds bodies, at all points together.
	whole := s.Base
	whole.People, whole.Models = nil, nil
	for _, m := range masses {
		for _, table := range segments {
			whole.Models = append(whole.Models, scenario.Model{Masses: m, Segments: table})
		}
	}
	for _, name := range names {
		var parts []int
		var weights []float64
		for _, one := range all[name] {
			i := slices.IndexFunc(whole.People, func(g scenario.Group) bool { return g.Population == one.Population })
			if i < 0 {
				i = len(whole.People)
				whole.People = append(whole.People, one)
			}
			parts, weights = append(parts, i), append(weights, one.Weight)
		}
		p.crowds[name] = newCrowd(parts, scenario.Allot(weights, s.N))
	}
	var err error
	p.parts, err = whole.Parts()
	return p, err
}

// point is a point made ready: what does not change from body to body.
type point struct {
	setup   *scenario.Setup
	model   scenario.Model
	assumed assume.Set
	given   []int  // indices of the study's demands that the hold asks for
	crowd   *crowd // shared by points with the same people
}

func (p *prepared) point(s *setting) *point {
	r := &point{setup: scenario.NewSetup(&s.Scenario), model: s.Models[0], assumed: s.Assumptions.Centre}
	for d, demand := range p.study.Demands {
		if s.Hold.Tells(r.model.Statics, demand, r.setup.First) {
			r.given = append(r.given, d)
		}
	}
	name := ""
	if p.swept {
		name = s.People[0].Population
	}
	r.crowd = p.crowds[name]
	return r
}

// outcome is what a task hands over.
type outcome struct {
	tallies []tally // by point of the task
	rows    *Rows   // nil unless every body is kept
}

// worker is the memory of one goroutine.
type worker struct {
	*prepared
	design  *design
	drawers []*drawer
	bench   *scenario.Bench
	kept    []float64
	cases   []scenario.Case
	at      []float64
}

func (p *prepared) newWorker() (*worker, error) {
	design, err := p.study.design()
	if err != nil {
		return nil, err
	}
	w := &worker{prepared: p, design: design, at: make([]float64, len(p.study.Axes)), kept: make([]float64, scenario.TileRows),
		bench: scenario.NewBench(scenario.TileRows, []hold.Demand{hold.ArmAngle, hold.HandSpacing}, p.study.Demands)}
	w.drawers = names.Each(p.parts, func(part *scenario.Part) *drawer { return newDrawer(part, p.study.Seed) })
	return w, nil
}

// compute works through a task.
func (w *worker) compute(t task, out *outcome) error {
	points := make([]*point, t.to-t.from)
	for k := range points {
		w.design.coordinates(t.from+k, w.at)
		points[k] = w.point(w.study.setting(w.at))
	}
	for k := range points {
		out.tallies[k].reset()
	}
	if out.rows != nil {
		out.rows.Point, out.rows.N = t.from, 0
	}
	for block := t.low; block < t.high; block++ {
		// Points that follow each other with the same people go through a tile
		// together.
		for from := 0; from < len(points); {
			to := from + 1
			for to < len(points) && points[to].crowd == points[from].crowd {
				to++
			}
			if blocks := points[from].crowd.blocks; block < len(blocks) {
				if err := w.block(points[from:to], out.tallies[from:to], out.rows, blocks[block]); err != nil {
					return err
				}
			}
			from = to
		}
	}
	return nil
}

// block holds up a block of people at points that share them.
func (w *worker) block(points []*point, tallies []tally, rows *Rows, of crowdBlock) error {
	people, err := w.drawers[of.part].draw(of.block, of.rows)
	if err != nil {
		return err
	}
	w.cases = w.cases[:0]
	for _, p := range points {
		w.cases = append(w.cases, scenario.Case{Setup: p.setup, Model: p.model.Statics, Builder: w.parts[of.part].Builder(p.model), Assume: &p.assumed, ChangedOnly: true})
	}
	return w.bench.Run(people, w.cases, func(k int, tile *scenario.Tile) error {
		w.count(&tallies[k], points[k], tile.Second.Result)
		if rows != nil {
			rows.add(tile, points[k], w.study.Demands, of)
		}
		return nil
	})
}

// count adds a tile's bodies to the tally of the point.
func (w *worker) count(t *tally, p *point, held *hold.Result) {
	possible := 0
	for _, ok := range held.Possible {
		if ok {
			possible++
		}
	}
	t.bodies += int64(len(held.Possible))
	t.possible += int64(possible)
	for _, d := range p.given {
		values := held.Value[w.study.Demands[d]]
		if possible < len(held.Possible) {
			kept := w.kept[:0]
			for i, ok := range held.Possible {
				if ok {
					kept = append(kept, values[i])
				}
			}
			values = kept
		}
		t.demands[d].add(values)
	}
}

// encode returns the bytes of an outcome of the given number of points.
func (out *outcome) encode(points int) []byte {
	var b []byte
	for k := range out.tallies[:points] {
		b = out.tallies[k].append(b)
	}
	if out.rows != nil {
		b = out.rows.append(b)
	}
	return b
}

// decode replaces an outcome by the encoded one.
func (out *outcome) decode(data []byte, t task) (err error) {
	for k := range t.to - t.from {
		if data, err = out.tallies[k].decode(data); err != nil {
			return err
		}
	}
	if out.rows != nil {
		out.rows.Point = t.from
		return out.rows.decode(data)
	}
	if len(data) > 0 {
		return errDamaged
	}
	return nil
}

// Run runs the sweep and hands the points, and the bodies, over in order. The
// outcome depends on the study alone. ctx stops it; what Parts has kept by then is
// complete.
func Run(ctx context.Context, s *Study, o Options) error {
	p, err := s.prepare()
	if err != nil {
		return err
	}
	d, err := s.design()
	if err != nil {
		return err
	}
	point, whole := s.newPoint(), newTallies(chunkPoints, len(s.Demands))
	consume := func(index int, out *outcome) error {
		t := p.plan.task(index)
		tallies := out.tallies
		if p.plan.ranges > 1 {
			for k := range t.to - t.from {
				if index%p.plan.ranges == 0 {
					whole[k].reset()
				}
				whole[k].merge(&out.tallies[k])
			}
			tallies = whole
		}
		if o.Bodies != nil && out.rows != nil {
			if err := o.Bodies(out.rows); err != nil {
				return err
			}
		}
		if o.Point == nil || index%p.plan.ranges != p.plan.ranges-1 {
			return nil
		}
		for k := range t.to - t.from {
			point.Index = t.from + k
			d.coordinates(point.Index, point.Coordinates)
			if err := s.sum(point, &tallies[k]); err != nil {
				return err
			}
			if err := o.Point(point); err != nil {
				return err
			}
		}
		return nil
	}
	return p.run(ctx, o, 0, p.plan.tasks(), func(data []byte, t task, out *outcome) error { return out.decode(data, t) }, consume)
}

// Keep computes the tasks from..to-1 as far as o.Parts does not hold them
// already, and keeps them there; nothing is merged.
func Keep(ctx context.Context, s *Study, o Options, from, to int) error {
	p, err := s.prepare()
	if err != nil {
		return err
	}
	return p.run(ctx, o, from, to, func([]byte, task, *outcome) error { return nil }, func(int, *outcome) error { return nil })
}

func (p *prepared) run(ctx context.Context, o Options, from, to int, load func([]byte, task, *outcome) error, consume func(int, *outcome) error) error {
	s := p.study
	most := 0 // bodies of a task
	if s.Bodies {
		most = (p.plan.blocks/p.plan.ranges + 1) * montecarlo.BlockRows
	}
	var failed error
	newWorker := func() func(int, *outcome) error {
		w, err := p.newWorker()
		if err != nil {
			failed = err
		}
		return func(index int, out *outcome) error {
			if failed != nil {
				return failed
			}
			t := p.plan.task(index)
			if o.Parts != nil {
				data, err := o.Parts.Load(index)
				if err != nil {
					return err
				}
				if data != nil {
					return load(data, t, out)
				}
			}
			if err := w.compute(t, out); err != nil {
				return err
			}
			if o.Parts == nil {
				return nil
			}
			return o.Parts.Save(index, out.encode(t.to-t.from))
		}
	}
	newOut := func() *outcome {
		out := &outcome{tallies: newTallies(chunkPoints, len(s.Demands))}
		if s.Bodies {
			out.rows = newRows(len(s.Demands), most)
		}
		return out
	}
	return montecarlo.Run(ctx, montecarlo.Options{From: from, To: to, Workers: o.Workers, Progress: o.Progress}, newWorker, newOut, consume)
}
