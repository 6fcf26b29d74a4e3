package claim

import (
	"context"
	"slices"

	"counterpoise/sim/drivers"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
)

// Decisive is what an open verdict hangs on: the one unknown whose total index on it is
// above a half and above every other's, both as far as the draws can tell.
type Decisive struct {
	Name string // of an assumption, or SurveyOf a population
	// OfVerdict and OfEffect are its total indices: the share of the variance, over the
	// draws, of whether a draw gives the most frequent verdict, and of the median effect,
	// that would be left if all but this were known (Homma and Saltelli 1996), with 95 %
	// intervals. That of the effect is NaN where the effect is not always finite.
	OfVerdict, OfEffect Share
}

// decides is the least share of the verdict's variance of what decides it.
const decides = 0.5

// The design by which it is found out what decides: points of the draws once more, with
// one unknown exchanged for another value, give the same verdict or do not. Of an unknown
// behind half of the variance so many verdicts may be expected to turn: few are enough to
// leave out what hardly turns any, more what turns some, and many to measure the rest.
var turns = [...]float64{6, 20, 64}

// decisiveConfidence is the confidence of the intervals of total indices.
const decisiveConfidence = 0.95

// decisive finds what decides the verdicts that the draws leave open, by model and
// population; nil where nothing does.
func (d *outer) decisive(ctx context.Context, o *Options) error {
	d.decided = make([][]*Decisive, len(d.t.models))
	var open []subject
	for l := range d.t.models {
		d.decided[l] = make([]*Decisive, len(d.t.groups))
		for g := range d.t.told() {
			if v, _ := d.settle(l, g); v == OpenAssumptions {
				most, _ := frequent(d.verdicts(l, g), lookConfidence, Verdict.Direction)
				open = append(open, subject{l, g, most})
			}
		}
	}
	if len(open) == 0 {
		return nil
	}
	e := &exchanges{base: d.read, said: make([]draws, d.len()), ask: func(open []subject, unknowns []int, from, upto int) ([]draws, error) {
		return d.exchange(ctx, open, unknowns, from, upto, o)
	}}
	left, err := e.run(open)
	if err != nil {
		return err
	}
	for _, s := range left {
		if best, ok := e.decisive(s); ok {
			d.decided[s.l][s.g] = &Decisive{d.names()[best], e.total(best, s.verdict), e.total(best, s.size)}
		}
	}
	return nil
}

// subject is a model's population whose verdict the draws leave open.
type subject struct {
	l, g int
	most Verdict // of the draws
}

// verdict and size are what indices are of: whether a draw says as most do, and its
// median effect.
func (s subject) verdict(read [][]reading) float64 {
	if read[s.l][s.g].early.verdict.Direction() == s.most {
		return 1
	}
	return 0
}

func (s subject) size(read [][]reading) float64 { return read[s.l][s.g].early.size }

// draws are readings by replicate, draw, model and population.
type draws [][][][]reading

// exchanges are what the first draws of every replicate would have said with one unknown
// exchanged.
type exchanges struct {
	base draws
	said []draws // by unknown
	left []int   // the unknowns that may decide something
	ask  func(of []subject, unknowns []int, from, upto int) ([]draws, error)
}

// run asks about all unknowns, and again about those that may decide something, of the
// subjects of which they may, which it returns.
func (e *exchanges) run(open []subject) (left []subject, err error) {
	for j := range e.said {
		e.left = append(e.left, j)
		e.said[j] = make(draws, len(e.base))
	}
	from := 0
	left = open
	for _, turned := range turns {
		upto := e.rows(turned, open)
		if upto == from || len(e.left) == 0 {
			continue
		}
		said, err := e.ask(left, e.left, from, upto)
		if err != nil {
			return nil, err
		}
		for k, j := range e.left {
			for r := range e.said[j] {
				e.said[j][r] = append(e.said[j][r], said[k][r]...)
			}
		}
		may := func(j int, s subject) bool { return e.total(j, s.verdict).High >= decides }
		left = slices.DeleteFunc(slices.Clone(left), func(s subject) bool {
			return !slices.ContainsFunc(e.left, func(j int) bool { return may(j, s) })
		})
		e.left = slices.DeleteFunc(e.left, func(j int) bool {
			return !slices.ContainsFunc(left, func(s subject) bool { return may(j, s) })
		})
		from = upto
	}
	return left, nil
}

// rows is how many draws of each replicate are asked for so many verdicts to turn, as far
// as there are draws.
func (e *exchanges) rows(turned float64, open []subject) int {
	rows := 1
	for _, s := range open {
		var said []float64
		for _, of := range e.responses(e.base, s.verdict) {
			said = append(said, of...)
		}
		for variance := linear.PopVariance(said); rows < len(e.base[0]) && float64(rows*len(e.base))*variance < turned; {
			rows *= 2
		}
	}
	return min(rows, len(e.base[0]))
}

func (e *exchanges) responses(all draws, of func([][]reading) float64) [][]float64 {
	list := make([][]float64, len(all))
	for r, draws := range all {
		for _, read := range draws {
			list[r] = append(list[r], of(read))
		}
	}
	return list
}

// total is the total index of an unknown.
func (e *exchanges) total(j int, of func([][]reading) float64) Share {
	t := drivers.TotalOf(e.responses(e.base, of), e.responses(e.said[j], of), decisiveConfidence)
	return Share{t.Value, t.Low, t.High}
}

// decisive returns the unknown that decides for a subject, if one does.
func (e *exchanges) decisive(s subject) (best int, ok bool) {
	var most, next Share
	for _, j := range e.left {
		switch total := e.total(j, s.verdict); {
		case total.Value > most.Value:
			best, most, next = j, total, most
		case total.Value > next.Value:
			next = total
		}
	}
	lead := math.Hypot(most.Value-most.Low, next.High-next.Value)
	return best, most.Low > decides && most.Value-next.Value > lead
}

// exchange reads the draws from..upto-1 of every replicate once more, with each of the
// unknowns exchanged for another value, on the first people of the replicate, as far as
// it bears on the given subjects.
func (d *outer) exchange(ctx context.Context, on []subject, unknowns []int, from, upto int, o *Options) ([]draws, error) {
	said := make([]draws, len(unknowns))
	for k := range said {
		said[k] = make(draws, Replicates)
	}
	of := func(index int) (replicate, draw, k int) {
		at := index / len(unknowns)
		return at / (upto - from), from + at%(upto-from), index % len(unknowns)
	}
	only := make([][]bool, len(d.t.models))
	for l := range only {
		only[l] = make([]bool, len(d.t.groups))
	}
	for _, s := range on {
		only[s.l][s.g] = true
	}
	newWorker := func() func(int, *answer) error {
		a, fresh, other := d.t.newAssessor(o.Seed, stages[:1]), montecarlo.NewStream(o.Seed, "exchanged"), make([]float64, d.len())
		a.lean, a.brief, a.only = true, true, only
		return func(index int, out *answer) error {
			r, draw, k := of(index)
			fresh.Reset(uint64(r)<<32 | uint64(draw))
			for j := range other {
				other[j] = fresh.Float64()
			}
			cube := slices.Clone(d.cubes[r][draw])
			cube[unknowns[k]] = other[unknowns[k]]
			p := d.at(r, cube)
			return a.assess(out, &p)
		}
	}
	consume := func(index int, out *answer) error {
		r, _, k := of(index)
		said[k][r] = append(said[k][r], out.clone())
		return nil
	}
	run := montecarlo.Options{To: (upto - from) * Replicates * len(unknowns), Workers: o.Workers, Progress: o.stage("what decides")}
	return said, montecarlo.Run(ctx, run, newWorker, d.t.newAnswer, consume)
}

// doubt is how far the survey's own people leave something open.
type doubt struct{ median, share float64 }

// surveyed is on how many people of a population every refit of its survey is looked at, of
// a contrast contrastFactor times as many: as many as decide a close draw, for how many a
// refit moves over a border is a count, and varies as counts do.
const surveyed = 4096

// surveys finds how far the median effect and the share of bodies as claimed would have
// been others had the surveys met other people: their standard deviations over the
// refits, at the central assumptions and by the same chance of the same number of people,
// by model and population, the last all together. Where nothing is drawn the surveys are
// taken as they are.
func (d *outer) surveys(ctx context.Context, o *Options) error {
	t := d.t
	n := 0
	for _, g := range d.groups {
		if o.Draws > 0 {
			n = max(n, t.groups[g].Selection.Population.Refits())
		}
	}
	var read [][][]reading // by refit
	newWorker := func() func(int, *answer) error {
		a := t.newAssessor(o.Seed, []int{surveyed})
		a.lean, a.brief = true, true
		return func(k int, out *answer) error {
			p := d.central(0)
			for _, g := range d.groups {
				p.refit[g] = k % t.groups[g].Selection.Population.Refits()
			}
			return a.assess(out, &p)
		}
	}
	consume := func(_ int, out *answer) error {
		read = append(read, out.clone())
		return nil
	}
	if err := montecarlo.Run(ctx, montecarlo.Options{To: n, Workers: o.Workers}, newWorker, t.newAnswer, consume); err != nil {
		return err
	}
	d.survey = make([][]doubt, len(t.models))
	for l := range d.survey {
		d.survey[l] = make([]doubt, len(t.groups)+1)
		for g := range d.survey[l] {
			var medians, shares []float64
			for _, refit := range read {
				medians = append(medians, refit[l][g].inUnit(t.claim))
				shares = append(shares, refit[l][g].shares.claimed(t.claim.Expect))
			}
			if n > 0 {
				d.survey[l][g] = doubt{linear.StdDev(medians), linear.StdDev(shares)}
			}
		}
	}
	return nil
}
