package claim

import (
	"context"
	"slices"

	"counterpoise/sim/drivers"
	"counterpoise/sim/linear"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/verdict"
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

// decisive finds what decides the verdicts that the draws leave open, by model and
// population; nil where nothing does.
func (d *outer) decisive(ctx context.Context, o *Options) error {
	d.decided = make([][]*Decisive, len(d.t.models))
	var open []subject
	for l := range d.t.models {
		d.decided[l] = make([]*Decisive, len(d.t.groups))
		for g := range d.t.told() {
			if v, _ := d.settle(l, g); v == OpenAssumptions {
				most, _ := verdict.Frequent(d.verdicts(l, g), lookConfidence, Verdict.Direction)
				open = append(open, subject{l, g, most})
			}
		}
	}
	if len(open) == 0 {
		return nil
	}
	e := drivers.Exchanges[[][]reading]{Base: d.read, Ask: func(of, unknowns []int, from, upto int) ([][][][][]reading, error) {
		return d.exchange(ctx, open, of, unknowns, from, upto, o)
	}}
	for _, s := range open {
		e.Questions = append(e.Questions, s.verdict)
	}
	left, err := e.Run(d.len())
	if err != nil {
		return err
	}
	for _, k := range left {
		if best, ok := e.Decisive(k); ok {
			s := open[k]
			d.decided[s.l][s.g] = &Decisive{d.names()[best], Share(e.Total(best, s.verdict)), Share(e.Total(best, s.size))}
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

// exchange reads the draws from..upto-1 of every replicate once more, with each of the
// unknowns exchanged for another value, on the first people of the replicate, as far as
// it bears on some of the subjects. They are by unknown, replicate, draw, model and population.
func (d *outer) exchange(ctx context.Context, open []subject, on, unknowns []int, from, upto int, o *Options) ([][][][][]reading, error) {
	said := make([][][][][]reading, len(unknowns))
	for k := range said {
		said[k] = make([][][][]reading, Replicates)
	}
	of := func(index int) (replicate, draw, k int) {
		at := index / len(unknowns)
		return at / (upto - from), from + at%(upto-from), index % len(unknowns)
	}
	only := make([][]bool, len(d.t.models))
	for l := range only {
		only[l] = make([]bool, len(d.t.groups))
	}
	for _, k := range on {
		only[open[k].l][open[k].g] = true
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
				shares = append(shares, refit[l][g].shares.Claimed(t.claim.Expect))
			}
			if n > 0 {
				d.survey[l][g] = doubt{linear.StdDev(medians), linear.StdDev(shares)}
			}
		}
	}
	return nil
}
