package person

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sync"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

const (
	// tileRows is how many bodies are built and solved together: few enough for
	// their columns to stay in the processor's nearer cache.
	tileRows = 512
	// groupRows is the least number of bodies behind each draw of the assumptions,
	// enough to tell what varies within from what varies between.
	groupRows = 16
	// comparedPeople is how many of the population a percentile is taken of.
	comparedPeople = 4096
	// rankedDraws is how many draws what to measure next is ranked by.
	rankedDraws = 2048
	// planned is how many measurements a plan has.
	planned = 3
)

// Answer computes what the hold asks of the person.
//
// Everyone drawn is held up twice: at the central assumptions, and under a draw
// of the assumptions (a scrambled Sobol' sequence, each point shared by a few
// bodies). The errors of bad input are *FieldError and those of
// anthro.Population.Condition.
func Answer(ctx context.Context, p Person, o Options) (*Result, error) {
	pr, err := prepare(p, o)
	if err != nil {
		return nil, err
	}
	d, err := pr.draw(ctx, pr.hold.Parts != nil)
	if err != nil {
		return nil, err
	}
	if err := d.compare(ctx); err != nil {
		return nil, err
	}
	res := &Result{
		Person: p, Population: pr.population, Conditioned: pr.left, Hold: pr.hold, Options: o,
		People: d.people, Draw: d.group, Assumed: d.assumed,
	}
	if res.Models, err = d.sumUp(ctx); err != nil {
		return nil, err
	}
	if err := d.measured(ctx, res); err != nil {
		return nil, err
	}
	if res.Fixture, err = d.fixture(ctx); err != nil {
		return nil, err
	}
	res.Ranks = d.ranks()
	res.Notes = pr.notes(res)
	return res, nil
}

// draws is everyone drawn, held up.
type draws struct {
	*problem
	people  *anthro.People
	group   []int // draw of the assumptions of each person
	from    []int // first person of each group, and the number of people
	assumed []assume.Set
	central []*hold.Result // by model, at the central assumptions
	all     []*hold.Result // by model, assumptions drawn
	mass    []float64
	crowd   []*hold.Result // by model, of the whole population
	others  *anthro.People // who they are, where their shares are counted
	// ranking ranks by the first people drawn; it is made when first asked for.
	ranking func() (*anthro.Ranking, error)

	// By angle of the curve and model: the largest part of the first few bodies of
	// every group, at the central assumptions and at their own.
	angles               []float64
	peaksBody, peaksAll  [][][]float64
	curveRows, curveEach int
}

// draw draws people and holds them up, with the ribbons of curves or without.
func (pr *problem) draw(ctx context.Context, ribbons bool) (*draws, error) {
	n := pr.options.Draws
	d := &draws{problem: pr, people: anthro.NewPeople(n), group: make([]int, n)}
	if err := d.assumptions(); err != nil {
		return nil, err
	}
	if ribbons {
		d.startCurves()
	}
	for _, m := range pr.models {
		d.central = append(d.central, hold.NewResult(n, pr.hold.Asks(m)...))
		d.all = append(d.all, hold.NewResult(n, pr.hold.Asks(m)...))
	}
	purpose := "person/" + pr.left.Population.Name // the same draws whoever the person is placed among
	err := d.run(ctx, montecarlo.Blocks(n), func() func(int) error {
		sampler, stream, s := pr.left.NewSampler(), montecarlo.NewStream(pr.options.Seed, purpose), newSolver(pr, tileRows)
		return func(block int) error {
			from, rows := block*montecarlo.BlockRows, montecarlo.Rows(n, block)
			stream.Reset(uint64(block))
			if err := sampler.Draw(d.people.Slice(from, from+rows), stream.Normals); err != nil {
				return err
			}
			for at := from; at < from+rows; at += tileRows {
				to := min(at+tileRows, from+rows)
				s.build(d.people.Slice(at, to), &pr.options.Assumptions.Centre)
				for l, m := range pr.models {
					s.solve(d.central[l].Slice(at, to), m, pr.posture)
				}
			}
			return nil
		}
	})
	if err != nil {
		return nil, err
	}
	d.mass = d.people.Value[anthro.Mass]
	d.ranking = sync.OnceValues(func() (*anthro.Ranking, error) { return d.left.NewRanking(d.people.Slice(0, min(rankedDraws, n))) })
	return d, d.vary(ctx)
}

// assumptions draws the assumptions and deals the people out among them: a power
// of two of points, which is when a Sobol' sequence is most even.
func (d *draws) assumptions() error {
	n, points := d.options.Draws, 1
	for 2*points*groupRows <= n {
		points *= 2
	}
	free := d.options.Assumptions.Free()
	d.assumed = make([]assume.Set, points)
	point := make([]float64, len(free))
	var sobol *montecarlo.Sobol
	if len(free) > 0 {
		var err error
		if sobol, err = montecarlo.NewScrambledSobol(len(free), d.options.Seed, "assumptions"); err != nil {
			return err
		}
	}
	for k := range points {
		if sobol != nil {
			sobol.Point(uint64(k), point)
		}
		d.assumed[k] = d.options.Assumptions.At(point)
		d.from = append(d.from, k*n/points)
	}
	d.from = append(d.from, n)
	for k := range points {
		for i := d.from[k]; i < d.from[k+1]; i++ {
			d.group[i] = k
		}
	}
	return nil
}

// vary holds everyone up under their own draw of the assumptions.
func (d *draws) vary(ctx context.Context) error {
	return d.run(ctx, len(d.assumed), func() func(int) error {
		s := newSolver(d.problem, d.options.Draws/len(d.assumed)+1)
		return func(k int) error {
			from, to := d.from[k], d.from[k+1]
			s.build(d.people.Slice(from, to), &d.assumed[k])
			for l, m := range d.models {
				s.solve(d.all[l].Slice(from, to), m, d.posture)
			}
			if d.angles != nil {
				d.peaks(d.peaksAll, s, k)
				s.build(d.people.Slice(from, to), &d.options.Assumptions.Centre)
				d.peaks(d.peaksBody, s, k)
			}
			return nil
		}
	})
}

// compare holds up people of the whole population, at the central assumptions.
func (d *draws) compare(ctx context.Context) error {
	for _, m := range d.models {
		d.crowd = append(d.crowd, hold.NewResult(comparedPeople, d.hold.Asks(m)...))
	}
	if d.population.Resampled() {
		d.others = anthro.NewPeople(comparedPeople)
	}
	return d.run(ctx, montecarlo.Blocks(comparedPeople), func() func(int) error {
		sampler, people := d.population.NewSampler(), anthro.NewPeople(montecarlo.BlockRows)
		stream, s := montecarlo.NewStream(d.options.Seed, "people/"+d.population.Name), newSolver(d.problem, montecarlo.BlockRows)
		return func(block int) error {
			from, rows := block*montecarlo.BlockRows, montecarlo.Rows(comparedPeople, block)
			stream.Reset(uint64(block))
			drawn := people.Slice(0, rows)
			if d.others != nil {
				drawn = d.others.Slice(from, from+rows)
			}
			if err := sampler.Draw(drawn, stream.Normals); err != nil {
				return err
			}
			s.build(drawn, &d.options.Assumptions.Centre)
			for l, m := range d.models {
				s.solve(d.crowd[l].Slice(from, from+rows), m, d.posture)
			}
			return nil
		}
	})
}

// run does independent pieces of work, which write where no other does.
func (pr *problem) run(ctx context.Context, pieces int, newWorker func() func(int) error) error {
	type nothing struct{}
	return montecarlo.Run(ctx, montecarlo.Options{To: pieces, Workers: pr.options.Workers},
		func() func(int, *nothing) error {
			work := newWorker()
			return func(k int, _ *nothing) error { return work(k) }
		},
		func() *nothing { return &nothing{} },
		func(int, *nothing) error { return nil })
}

// solver builds bodies and holds them up. One goroutine, one solver.
type solver struct {
	*problem
	room     *body.Columns
	capacity *hold.Capacity

	bodies *body.Columns // built last
	given  *hold.Capacity
	under  *assume.Set
}

func newSolver(pr *problem, rows int) *solver {
	return &solver{problem: pr, room: body.New(rows), capacity: hold.NewCapacity(rows)}
}

// build builds the bodies of people, each its own reference of strength.
func (s *solver) build(people *anthro.People, a *assume.Set) {
	s.bodies, s.given, s.under = s.room.Slice(0, people.Rows()), s.capacity.Slice(0, people.Rows()), a
	s.builder.Build(s.bodies, people, a)
	strength.OfReference(s.given, s.bodies, a)
}

// solve holds the bodies built last up.
func (s *solver) solve(out *hold.Result, m hold.Model, posture hold.Posture) {
	s.hold.Solve(out, s.bodies, s.given, posture, m, s.under)
}

// sumUp sums the models up.
func (d *draws) sumUp(ctx context.Context) ([]ModelResult, error) {
	models := make([]ModelResult, d.asked)
	var pieces []func() error
	for l := range models {
		model, m := d.models[l], &models[l]
		*m = ModelResult{
			Model: model, Main: d.hold.Asks(model)[0], Body: d.central[l], All: d.all[l],
			PossibleBody: shareTrue(d.central[l].Possible), PossibleAll: shareTrue(d.all[l].Possible),
		}
		pieces = append(pieces, func() error { return d.next(l, m) }, func() (err error) {
			if m.Median, err = d.problem.median().Hold(model, hold.Best, 0); err == nil {
				m.Curve = d.curve(l, m.Median)
			}
			return err
		})
		asks := d.hold.Asks(model)
		m.Quantities = make([]Quantity, len(asks))
		for k, of := range asks {
			pieces = append(pieces, func() error {
				m.Quantities[k] = d.quantity(l, of)
				if q := &m.Quantities[k]; !finite(q.Body.Low+q.Body.Median+q.Body.High) || !finite(q.All.Low+q.All.Median+q.All.High) {
					return fmt.Errorf("person: %s of %s is not a number", of, d.hold.Name)
				}
				return nil
			})
		}
	}
	return models, d.run(ctx, len(pieces), func() func(int) error {
		return func(k int) error { return pieces[k]() }
	})
}

func shareTrue(flags []bool) float64 {
	n := 0
	for _, f := range flags {
		if f {
			n++
		}
	}
	return float64(n) / float64(len(flags))
}

// quantity sums one demand up.
func (d *draws) quantity(l int, of hold.Demand) Quantity {
	q := Quantity{Demand: of}
	body, _ := possible(d.central[l], of, nil)
	all, rows := possible(d.all[l], of, d.group)
	q.FromBody, q.FromAssumptions = components(all, rows)
	q.AbsoluteUnit = absoluteUnit(of)
	q.Body, q.All = spreadOf(body), spreadOf(all)
	switch lightest, heaviest := slices.Min(d.mass), slices.Max(d.mass); {
	case q.AbsoluteUnit == "":
	case lightest == heaviest: // the mass is known
		q.BodyAbsolute, q.AllAbsolute = q.Body.times(lightest*statics.StandardGravity), q.All.times(lightest*statics.StandardGravity)
	default:
		q.BodyAbsolute = spreadOf(d.times(d.central[l], d.central[l].Value[of]))
		q.AllAbsolute = spreadOf(d.times(d.all[l], d.all[l].Value[of]))
	}
	if crowd, _ := possible(d.crowd[l], of, nil); len(crowd) > 0 {
		q.Percentile = shareBelow(crowd, q.Body.Median)
	}
	return q
}

// absoluteUnit is that of a demand in newtons and metres, "" where it has none.
func absoluteUnit(of hold.Demand) string {
	switch of.Unit {
	case "BW":
		return "N"
	case "BW·m":
		return "N·m"
	}
	return ""
}

// possible returns a demand of the bodies that can take the posture, and which
// groups they belong to.
func possible(r *hold.Result, of hold.Demand, group []int) (values []float64, groups []int) {
	values = make([]float64, 0, len(r.Possible))
	if group != nil {
		groups = make([]int, 0, len(r.Possible))
	}
	for i, ok := range r.Possible {
		if !ok {
			continue
		}
		values = append(values, r.Value[of][i])
		if group != nil {
			groups = append(groups, group[i])
		}
	}
	return values, groups
}

// times turns a column in body weights into newtons, of the bodies that can take
// the posture.
func (d *draws) times(r *hold.Result, column []float64) []float64 {
	values := make([]float64, 0, len(column))
	for i, v := range column {
		if r.Possible[i] {
			values = append(values, v*(d.mass[i]*statics.StandardGravity))
		}
	}
	return values
}

// next ranks what could be measured next by the spread of the main quantity of a
// model, at the central assumptions.
func (d *draws) next(l int, m *ModelResult) error {
	values, _ := possible(d.central[l], m.Main, nil)
	width := spreadOf(values).Width()
	if !(width > 0) {
		return nil
	}
	rows := min(rankedDraws, d.options.Draws)
	people, answer := compact(d.people.Slice(0, rows), m.Body.Slice(0, rows), m.Main)
	if people.Rows() < LeastDraws/2 {
		return nil // hardly any body takes the posture: nothing to be ranked
	}
	prepare := d.ranking // of all people, for all models
	if people.Rows() < rows {
		prepare = func() (*anthro.Ranking, error) { return d.left.NewRanking(people) }
	}
	ranking, err := prepare()
	if err != nil {
		return err
	}
	rank := func(besides ...anthro.Measurement) ([]Gain, error) {
		gains, err := ranking.WhatNext(answer, besides...)
		var ranked []Gain
		for _, g := range gains {
			if g.Scan && d.options.Masses == body.Table {
				continue // has no part in the answer
			}
			left := math.Sqrt(1 - g.Explained)
			g.Width = width * left
			ranked = append(ranked, Gain{g, 1 - left})
		}
		return ranked, err
	}
	if m.Next, err = rank(); err != nil {
		return err
	}
	var learned []anthro.Measurement
	for gains := m.Next; ; {
		k := slices.IndexFunc(gains, func(g Gain) bool { return !g.Scan })
		if k < 0 {
			return nil
		}
		m.Plan, learned = append(m.Plan, gains[k]), append(learned, gains[k].Measure)
		if len(learned) == planned {
			return nil
		}
		if gains, err = rank(learned...); err != nil {
			return err
		}
	}
}

// compact returns the people who can take the posture and one demand of theirs.
func compact(people *anthro.People, r *hold.Result, of hold.Demand) (*anthro.People, []float64) {
	if !slices.Contains(r.Possible, false) {
		return people, r.Value[of]
	}
	answer, _ := possible(r, of, nil)
	some := anthro.NewPeople(len(answer))
	at := 0
	for i, ok := range r.Possible {
		if !ok {
			continue
		}
		for m := range people.Value {
			some.Value[m][at] = people.Value[m][i]
		}
		for k := range people.Residual {
			some.Residual[k][at] = people.Residual[k][i]
		}
		at++
	}
	return some, answer
}

// Median returns the body that is in the middle of those who have in common what is
// known of the person, as one row: every open measurement at its conditional
// median, and regional masses like the average's, or the scan's. Its errors are
// those of Answer.
func Median(p Person, o Options) (*anthro.People, error) {
	pr, err := prepare(p, o)
	if err != nil {
		return nil, err
	}
	return pr.medianPerson(), nil
}

// medianPerson has every open measurement at its conditional median, and regional
// masses like the average's, or the scan's.
func (pr *problem) medianPerson() *anthro.People {
	one := anthro.NewPeople(1)
	for m := range anthro.NumMeasurements {
		one.Value[m][0] = pr.left.Quantile(m, 0.5)
	}
	if pr.person.Scan != nil {
		scanned := anthro.LogRatios(*pr.person.Scan)
		expected := pr.population.Regional.Predict(one.Value[anthro.Stature][0], one.Value[anthro.Mass][0], one.Value[anthro.WaistCircumference][0])
		for r := range one.Residual {
			one.Residual[r][0] = scanned[r] - expected[r]
		}
	}
	return one
}

// ranks places the known measurements among the people: by the distribution of a
// survey, and by counting people of one's own, of whom too few have any one stature.
func (d *draws) ranks() []Rank {
	pr := d.problem
	if d.others != nil {
		var ranks []Rank
		for _, k := range pr.left.Known {
			ranks = append(ranks, Rank{Known: k, Percentile: shareBelow(d.others.Value[k.Of], k.Value), ForStature: math.NaN()})
		}
		return ranks
	}
	var stature []anthro.Known
	for _, k := range pr.left.Known {
		if k.Of == anthro.Stature {
			stature = append(stature, k)
		}
	}
	var ranks []Rank
	for _, k := range pr.left.Known {
		r := Rank{Known: k, Percentile: pr.population.ShareBelow(k.Of, k.Value), ForStature: math.NaN()}
		if len(stature) > 0 && k.Of != anthro.Stature {
			r.ForStature = pr.population.ShareBelow(k.Of, k.Value, stature...)
		}
		ranks = append(ranks, r)
	}
	return ranks
}

// notes says what is rare or should be known.
func (pr *problem) notes(r *Result) []string {
	var notes []string
	if pr.left.Rare != nil {
		notes = append(notes, "rare: "+pr.left.Rare.String())
	}
	if pr.person.Scan != nil && pr.options.Masses == body.Table {
		notes = append(notes, "the scan is not used: the regional masses are those of the segment table")
	}
	if note := pr.population.Note(); note != "" {
		notes = append(notes, note)
	}
	for i := range r.Models {
		m := &r.Models[i]
		if m.PossibleAll < 1 {
			notes = append(notes, fmt.Sprintf("%s: %.1f %% of the bodies drawn cannot take the posture; the answer is about the others", m.Model, 100*(1-m.PossibleAll)))
		}
	}
	return notes
}
