package sweep

import (
	"context"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/segment"
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

// bodyModel is what bodies are built by.
type bodyModel struct {
	masses   body.Masses
	segments string
}

// prepared is a study with everything loaded that it names.
type prepared struct {
	study      *Study
	plan       plan
	selections []*anthro.Selection // by population
	names      []string            // of the populations
	builders   map[bodyModel][]*body.Builder
	crowds     []*crowd // by value of the axis of people, or the only one
	peopleAxis int      // −1 for none
}

func (s *Study) prepare() (*prepared, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	p := &prepared{study: s, plan: s.plan(), builders: map[bodyModel][]*body.Builder{}, peopleAxis: -1}
	all := [][]claim.People{s.Base.People}
	masses, segments := []body.Masses{s.Base.Model.Masses}, []string{s.Base.Model.Segments}
	for i := range s.Axes {
		switch a := &s.Axes[i]; a.Of {
		case "people":
			p.peopleAxis, all = i, nil
			for k := range a.People {
				all = append(all, a.People[k:k+1])
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
	for _, people := range all {
		var populations []int
		for _, one := range people {
			i := slices.Index(p.names, one.Population)
			if i < 0 {
				selection, err := s.claimOf(&s.Base).Selection(one)
				if err != nil {
					return nil, err
				}
				i = len(p.names)
				p.names, p.selections = append(p.names, one.Population), append(p.selections, selection)
			}
			populations = append(populations, i)
		}
		p.crowds = append(p.crowds, newCrowd(populations, allot(weights(people), s.N)))
	}
	for _, m := range masses {
		for _, table := range segments {
			key := bodyModel{m, table}
			for _, selection := range p.selections {
				builder, err := body.NewBuilder(selection.Population, m, table)
				if err != nil {
					return nil, fault("segments", "%v; known are %v", err, segment.Names())
				}
				p.builders[key] = append(p.builders[key], builder)
			}
		}
	}
	return p, nil
}

// crowdOf returns the people of a setting.
func (p *prepared) crowdOf(setting *Setting) *crowd {
	if p.peopleAxis < 0 {
		return p.crowds[0]
	}
	name := setting.People[0].Population
	return p.crowds[slices.Index(p.study.Axes[p.peopleAxis].Names, name)]
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
	bench   *bench
	cut     *bench // the bench cut to the rows at hand
	at      []float64
}

func (p *prepared) newWorker() (*worker, error) {
	design, err := p.study.design()
	if err != nil {
		return nil, err
	}
	w := &worker{prepared: p, design: design, bench: newBench(p.study.Demands), at: make([]float64, len(p.study.Axes))}
	w.cut = w.bench.slice(tileRows)
	for i, selection := range p.selections {
		w.drawers = append(w.drawers, newDrawer(selection, p.study.Seed, claim.Purpose(p.names[i])))
	}
	return w, nil
}

// compute works through a task.
func (w *worker) compute(t task, out *outcome) error {
	points := make([]*ready, t.to-t.from)
	for k := range points {
		w.design.coordinates(t.from+k, w.at)
		points[k] = w.ready(w.study.setting(w.at))
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
func (w *worker) block(points []*ready, tallies []tally, rows *Rows, of crowdBlock) error {
	people, err := w.drawers[of.population].draw(of.block, of.rows)
	if err != nil {
		return err
	}
	for from := 0; from < of.rows; from += tileRows {
		n := min(tileRows, of.rows-from)
		if w.cut.rows != n {
			w.cut = w.bench.slice(n)
		}
		w.cut.builder = nil // other people
		tile := people.Slice(from, from+n)
		for k, r := range points {
			held, err := w.cut.hold(r, tile, r.builders[of.population])
			if err != nil {
				return err
			}
			w.cut.count(&tallies[k], r, w.study.Demands)
			if rows != nil {
				rows.add(w.cut, held, r, w.study.Demands, of.population, of.first+from)
			}
		}
	}
	return nil
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
	room := 0 // for the bodies of a task
	if s.Bodies {
		room = (p.plan.blocks/p.plan.ranges + 1) * montecarlo.BlockRows
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
			out.rows = newRows(len(s.Demands), room)
		}
		return out
	}
	return montecarlo.Run(ctx, montecarlo.Options{From: from, To: to, Workers: o.Workers, Progress: o.Progress}, newWorker, newOut, consume)
}
