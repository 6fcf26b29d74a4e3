package person

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/statics"
)

const (
	// groupRows is the least number of bodies behind each draw of the assumptions,
	// enough to tell what varies within from what varies between.
	groupRows = 16
	// rankedDraws is how many draws what to measure next is ranked by.
	rankedDraws = 2048
	// refitRows is how many bodies in a row are drawn from one refit of the survey; the
	// next come from the next.
	refitRows = 128
	// planned is how many measurements a plan has.
	planned = 3
)

// Answer computes what the hold asks of the person.
//
// Bodies are drawn from the refits of the survey in turn, so that their spread has in it
// the survey's own error and the doubt of what was transferred to its people. Everyone
// drawn is held up twice: at the central assumptions, and under a draw
// of the assumptions (a scrambled Sobol' sequence, each point shared by a few
// bodies). The errors of bad input are *fault.Error and those of
// anthro.Population.Condition.
func Answer(ctx context.Context, p Person, o Options) (*Result, error) {
	pr, err := prepare(p, o)
	if err != nil {
		return nil, err
	}
	d, err := pr.draw(ctx, p.Hold.Parts != nil)
	if err != nil {
		return nil, err
	}
	if err := d.compare(ctx); err != nil {
		return nil, err
	}
	if err := d.measureAll(ctx); err != nil {
		return nil, err
	}
	res := d.result(p)
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
	res.Notes = pr.notes()
	return res, nil
}

// result is the answer for a person before anything is said of models.
func (d *draws) result(p Person) *Result {
	return &Result{
		Person: p, Population: d.population, Conditioned: d.left, Hold: p.Hold, Options: d.options,
		People: d.people, Draw: d.group, Assumed: d.assumed,
	}
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
	reach   []float64      // of the ankles from the shoulders, along the body; with all, of the human flag alone
	arm     []float64      // likewise, the length of the arms
	mass    []float64
	others  *anthro.People // of the whole population, where their shares are counted
	stands  []standing     // by model, where the person stands among them
	known   []*hold.Result // by model, of the median body, a row each draw of the assumptions
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
	n := pr.options.N
	d := &draws{problem: pr, people: anthro.NewPeople(n), group: make([]int, n), central: pr.newResults(n), all: pr.newResults(n)}
	if err := d.assumptions(); err != nil {
		return nil, err
	}
	if ribbons {
		d.startCurves()
	}
	if pr.scenario.Hold == hold.HumanFlag {
		d.reach, d.arm = make([]float64, n), make([]float64, n)
	}
	tiles := (n + refitRows - 1) / refitRows
	lefts, err := pr.refits(ctx, tiles)
	if err != nil {
		return nil, err
	}
	purpose := "person/" + pr.left.Population.Name // the same draws whoever the person is placed among
	err = d.run(ctx, tiles, func() func(int) error {
		bench, own := pr.newBench(), pr.own(true)
		cases := pr.cases(&pr.options.Assumptions.Centre, own)
		return func(tile int) error {
			from := tile * refitRows
			own.at(from)
			people := d.people.Slice(from, min(from+refitRows, n))
			if err := scenario.NewSource(lefts[tile%len(lefts)].NewSampler(), pr.options.Seed, purpose).Block(people, tile); err != nil {
				return err
			}
			return bench.Run(people, cases, func(l int, t *scenario.Tile) error {
				put(d.central[l], from+t.From, t.First.Result)
				for i := range t.First.Result.Possible {
					d.peaks(d.peaksBody, l, from+t.From+i, t, i)
				}
				return nil
			})
		}
	})
	if err != nil {
		return nil, err
	}
	d.mass = d.people.Value[anthro.Mass]
	d.ranking = sync.OnceValues(func() (*anthro.Ranking, error) { return d.left.NewRanking(d.people.Slice(0, min(rankedDraws, n))) })
	return d, d.vary(ctx)
}

// refits returns what is left of the person in each refit of the survey, up to so many, or
// of the survey itself where it has none.
func (pr *problem) refits(ctx context.Context, most int) ([]*anthro.Person, error) {
	lefts := make([]*anthro.Person, min(most, pr.left.Population.Refits()))
	if len(lefts) == 0 {
		return []*anthro.Person{pr.left}, nil
	}
	return lefts, pr.run(ctx, len(lefts), func() func(int) error {
		return func(k int) (err error) {
			lefts[k], err = pr.left.Refit(k)
			return err
		}
	})
}

// put copies what was asked of a tile into rows of a result from the given one on.
func put(dst *hold.Result, from int, src *hold.Result) {
	copy(dst.Possible[from:], src.Possible)
	copy(dst.Limit[from:], src.Limit)
	for d, column := range dst.Value {
		copy(column[from:], src.Value[d])
	}
}

// assumptions draws the assumptions and deals the people out among them: a power
// of two of points, which is when a Sobol' sequence is most even.
func (d *draws) assumptions() error {
	n, points := d.options.N, 1
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
	same := func(cases []scenario.Case) []scenario.Case { return cases }
	return d.holdUp(ctx, d.newBench, same, func(l, from int, t *scenario.Tile) {
		put(d.all[l], from, t.First.Result)
		for i := range t.First.Result.Possible {
			b := t.First.Bodies
			d.peaks(d.peaksAll, l, from+i, t, i)
			if d.reach != nil && l == 0 {
				d.reach[from+i], d.arm[from+i] = b.Rise[i]+b.Hip[i]+b.Thigh[i]+b.Shank[i], b.Arm(i)
			}
		}
	})
}

// holdUp holds everyone drawn up under their draw of the assumptions, in what of makes of the
// problem's cases, and hands each tile over with the number of its first person.
func (d *draws) holdUp(ctx context.Context, newBench func() *scenario.Bench, of func([]scenario.Case) []scenario.Case,
	each func(l, from int, t *scenario.Tile)) error {
	return d.run(ctx, len(d.assumed), func() func(int) error {
		bench, own := newBench(), d.own(true)
		return func(k int) error {
			from := d.from[k]
			own.at(from)
			return bench.Run(d.people.Slice(from, d.from[k+1]), of(d.cases(&d.assumed[k], own)), func(l int, t *scenario.Tile) error {
				each(l, from+t.From, t)
				return nil
			})
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

// sumUp sums the models up.
func (d *draws) sumUp(ctx context.Context) ([]ModelResult, error) {
	models := make([]ModelResult, d.asked)
	var pieces []func() error
	for l := range models {
		model, m := d.scenario.Models[l].Statics, &models[l]
		*m = ModelResult{
			Model: model, Main: d.scenario.Hold.Asks(model)[0], Body: d.central[l], All: d.all[l],
			PossibleBody: shareTrue(d.central[l].Possible), PossibleAll: shareTrue(d.all[l].Possible),
		}
		pieces = append(pieces, func() error { return d.next(l, m) }, func() error {
			median, err := d.median()
			if err != nil {
				return err
			}
			if m.Median, err = median.Hold(model, hold.Best, 0); err == nil && model.Judges() {
				m.Curve = d.curve(l, median, m.Median)
			}
			return err
		})
		asks := d.asks(l)
		m.Quantities = make([]Quantity, len(asks))
		for k, of := range asks {
			pieces = append(pieces, func() error {
				m.Quantities[k] = d.quantity(l, of)
				body, all := m.Quantities[k].Body, m.Quantities[k].All
				if !math.Finite(body.Low+body.Median+body.High) || !math.Finite(all.Low+all.Median+all.High) {
					return fmt.Errorf("person: %s of %s is not a number", of, d.scenario.Hold.Name)
				}
				return nil
			})
		}
	}
	err := d.run(ctx, len(pieces), func() func(int) error {
		return func(k int) error { return pieces[k]() }
	})
	for l := range models {
		models[l].recommend()
	}
	return models, err
}

// asks are the demands that are told under a model.
func (pr *problem) asks(l int) []hold.Demand {
	m := pr.scenario.Models[l].Statics
	return told(pr.scenario.Hold.Told(m, pr.scenario.Posture()), m)
}

// told leaves out of what a model asks for the posture where the model is none that
// advice may rest on: nobody is to be told two places for their hands.
func told(asks []hold.Demand, m hold.Model) []hold.Demand {
	return slices.DeleteFunc(slices.Clone(asks), func(d hold.Demand) bool {
		return !m.Judges() && (d == hold.ArmAngle || d == hold.HandSpacing)
	})
}

// recommend makes the middle of the posture that of the median body, which pictures
// show: one number wherever it is told. See Quantity.
func (m *ModelResult) recommend() {
	if m.Median == nil || m.Curve == nil {
		return
	}
	for k := range m.Quantities {
		if q := &m.Quantities[k]; q.Demand == hold.ArmAngle || q.Demand == hold.HandSpacing {
			q.Body.Median = m.Median.Held.Value[q.Demand][0]
			q.All.Median = q.Body.Median
		}
	}
}

func shareTrue(flags []bool) float64 {
	return float64(names.HowMany(flags, func(f bool) bool { return f })) / float64(len(flags))
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
	q.Percentile = d.stands[l].spread(of)
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

// measureAll holds the median body up under every draw of the assumptions.
func (d *draws) measureAll(ctx context.Context) error {
	d.known = d.newResults(len(d.assumed))
	median := d.medianPerson()
	return d.run(ctx, len(d.assumed), func() func(int) error {
		bench, own := scenario.NewBench(1, scenario.DemandsOf(d.scenario.Hold), nil), d.own(true)
		return func(k int) error {
			own.at(k)
			return bench.Run(median, d.cases(&d.assumed[k], own)[:d.asked], func(l int, t *scenario.Tile) error {
				put(d.known[l], k, t.First.Result)
				return nil
			})
		}
	})
}

// next ranks what could be measured next by the spread of the main quantity of a
// model. The ranking is at the central assumptions; what it takes away of the square of
// the range is taken from that with the assumptions drawn, as far as the floor.
func (d *draws) next(l int, m *ModelResult) error {
	known, _ := possible(d.known[l], m.Main, nil)
	central, _ := possible(d.central[l], m.Main, nil)
	all, _ := possible(d.all[l], m.Main, nil)
	today, width := spreadOf(all).Width(), spreadOf(central).Width()
	m.Floor = min(spreadOf(known).Width(), today)
	if !(width > 0) {
		return nil
	}
	rows := min(rankedDraws, d.options.N)
	people, answer := compact(d.people.Slice(0, rows), m.Body.Slice(0, rows), m.Main)
	if people.Rows() < LeastN/2 {
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
			g.Width = math.Sqrt(max(float64(today*today)-float64(g.Explained*width*width), m.Floor*m.Floor))
			ranked = append(ranked, Gain{g, 1 - g.Width/today})
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
		some.CopyRow(at, people, i)
		at++
	}
	return some, answer
}

// notes says what is rare or should be known.
func (pr *problem) notes() []string {
	var notes []string
	if pr.left.Rare != nil {
		notes = append(notes, "rare: "+pr.left.Rare.String())
	}
	survey := pr.left.Population
	for _, k := range pr.left.Known {
		if counts := min(max(k.Value, survey.Ages().Low), survey.Ages().High); k.Of == anthro.Age && counts != k.Value {
			notes = append(notes, fmt.Sprintf("nobody in %s is %g years old, they are %g to %g: for build the person counts as %g", survey.Name, k.Value, survey.Ages().Low, survey.Ages().High, counts))
		}
	}
	if pr.person.Scan != nil && pr.options.Masses == body.Table {
		notes = append(notes, "the scan is not used: the regional masses are those of the segment table")
	}
	if note := pr.population.Note(); note != "" {
		notes = append(notes, note)
	}
	return append(notes, pr.testNotes()...)
}

// oddStrength is how many times the strength of an untrained adult, or what part of it, is so
// rare that a reading is rather a slip: training has 95 % of people between half and twice.
const oddStrength = 4

// testNotes says what is rare or should be known of tests of strength.
func (pr *problem) testNotes() []string {
	if pr.person.Tests.none() {
		return nil
	}
	untested := *pr
	untested.person.Tests = nil
	with, err := pr.median()
	without, err2 := untested.median()
	if err != nil || err2 != nil {
		return nil // the answer says it
	}
	var notes []string
	times := func(g muscle.Group) float64 { return with.held.Capacity.Of[g][0] / without.held.Capacity.Of[g][0] }
	odd := func(x float64) bool { return x > oddStrength || x < 1.0/oddStrength }
	var sides [NumWays][NumSides]bool
	for _, s := range pr.person.Tests.Scales {
		sides[s.Way][s.Side] = true
	}
	for way, of := range sides {
		if x := times(Way(way).Group()); slices.Contains(of[:], true) && odd(x) {
			notes = append(notes, fmt.Sprintf("what the scale read with the hand %s makes %.2g times the strength of an untrained adult of that size: check the reading and its unit", Way(way), x))
		}
		if of[Left] && of[Right] {
			notes = append(notes, fmt.Sprintf("both arms count as equally strong: in the middle of what they read with the hand %s", Way(way)))
		}
	}
	if len(pr.person.Tests.Scales) == 0 { // else that is what is odd
		most, far := muscle.Group(0), 0.0
		for g := range muscle.NumGroups {
			if by := math.Abs(math.Log(times(g))); by > far {
				most, far = g, by
			}
		}
		if x := times(most); odd(x) {
			notes = append(notes, fmt.Sprintf("what was held makes %.2g times the strength of an untrained adult of that size in %s: check for how long, and with how much, it was", x, strings.ReplaceAll(most.String(), "_", " ")))
		}
	}
	return notes
}
