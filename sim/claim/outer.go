package claim

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"counterpoise/sim/assume"
	"counterpoise/sim/drivers"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
)

// point is one draw of everything that is neither a person, nor a choice of the
// performer, nor a model.
type point struct {
	replicate int // whose people are held up
	set       assume.Set
	refit     []int // of the survey behind each population; the survey as it is where negative
}

// unknowns are what the outer loop draws: a number in [0, 1] for each.
type unknowns struct {
	t       *test
	assumed []assume.ID
	groups  []int // whose survey is refitted
}

// unknowns lists the free assumptions that bear on what any of the models gives, and the
// surveys that can be refitted. What the change itself sets is not uncertain in the
// first body.
func (t *test) unknowns() *unknowns {
	u := &unknowns{t: t}
	for _, id := range t.assumed.Free() {
		bears := slices.ContainsFunc(t.models, func(m model) bool { return t.claim.Bears(m.Statics, id) })
		if ch := t.claim.Change; bears && (ch == nil || !slices.Contains(ch.Assumed(), id)) {
			u.assumed = append(u.assumed, id)
		}
	}
	for g, of := range t.groups {
		if of.Selection.Population.Refits() > 0 {
			u.groups = append(u.groups, g)
		}
	}
	return u
}

func (u *unknowns) len() int { return len(u.assumed) + len(u.groups) }

// central is the point at which nothing is drawn.
func (u *unknowns) central(replicate int) point {
	p := point{replicate, u.t.assumed.Centre, make([]int, len(u.t.groups))}
	for g := range p.refit {
		p.refit[g] = -1
	}
	return p
}

// at is the point of a cube.
func (u *unknowns) at(replicate int, cube []float64) point {
	p := u.central(replicate)
	for j, id := range u.assumed {
		p.set[id] = u.t.assumed.Low[id] + float64(cube[j]*(u.t.assumed.High[id]-u.t.assumed.Low[id]))
	}
	for j, g := range u.groups {
		n := u.t.groups[g].Selection.Population.Refits()
		p.refit[g] = min(int(cube[len(u.assumed)+j]*float64(n)), n-1)
	}
	return p
}

// names are what the unknowns are called: assumptions by their names, a survey by
// SurveyOf its population's.
func (u *unknowns) names() []string {
	return append(names.Of(u.assumed), names.Each(u.groups, func(g int) string { return SurveyOf(u.t.groups[g].Population) })...)
}

// SurveyOf is what stands instead of an assumption's name where it is the survey of a
// population that would have come out otherwise with other people.
func SurveyOf(population string) string { return "survey of " + population }

// refitted holds the parts of a group by refit, made when first asked for.
type refitted struct {
	once []sync.Once
	part []*scenario.Part
	err  []error
}

// part returns a group's people under a refit.
func (t *test) part(g, refit int) (*scenario.Part, error) {
	of := t.groups[g]
	if refit < 0 {
		return of.Part, nil
	}
	r := of.refits
	r.once[refit].Do(func() { r.part[refit], r.err[refit] = t.claim.Refit(of.Part, refit) })
	return r.part[refit], r.err[refit]
}

func newRefitted(n int) *refitted {
	return &refitted{make([]sync.Once, n), make([]*scenario.Part, n), make([]error, n)}
}

// outer is what the draws say.
type outer struct {
	*unknowns
	// read is what each draw says of each population and of all together (the last), by
	// replicate, draw, model and population.
	read    draws
	points  [][]point     // by replicate and draw
	cubes   [][][]float64 // likewise, where anything is drawn
	crossed [][][]*drivers.Crossed
	looks   int
	fixed   bool          // nothing is drawn but people
	lean    bool          // no more is looked at than verdicts and effects
	decided [][]*Decisive // by model and population
	survey  [][]doubt     // by model and population, the last of them all together
}

func (t *test) newOuter(o *Options) *outer {
	d := &outer{unknowns: t.unknowns(), read: make(draws, Replicates), points: make([][]point, Replicates), cubes: make([][][]float64, Replicates)}
	d.fixed = o.Draws == 0 || d.len() == 0
	for range Replicates {
		d.crossed = append(d.crossed, t.newCrossed())
	}
	return d
}

// first is how many draws of each replicate are judged at the first look.
func (o *Options) first() int { return (max(o.Draws, LeastDraws) + Replicates - 1) / Replicates }

// judge judges draws until their verdicts are settled or they may double no more.
func (d *outer) judge(ctx context.Context, o *Options) error {
	for from, upto := 0, o.first(); ; from, upto = upto, 2*upto {
		if err := d.extend(ctx, from, upto, o); err != nil {
			return err
		}
		if d.looks++; d.fixed || d.settled() || d.looks > MostDoublings {
			return nil
		}
	}
}

// draw judges draws, and finds what the surveys and what decides an open verdict do.
func (t *test) draw(ctx context.Context, o *Options) (*outer, error) {
	d := t.newOuter(o)
	if err := d.judge(ctx, o); err != nil {
		return nil, err
	}
	if err := d.surveys(ctx, o); err != nil {
		return nil, err
	}
	return d, d.decisive(ctx, o)
}

// extend judges the draws from..upto-1 of every replicate. Where nothing is drawn they are
// all alike.
func (d *outer) extend(ctx context.Context, from, upto int, o *Options) error {
	for r := range Replicates {
		if d.fixed {
			d.points[r] = append(d.points[r], slices.Repeat([]point{d.central(r)}, upto-from)...)
			continue
		}
		sobol, err := montecarlo.NewScrambledSobol(d.len(), o.Seed, fmt.Sprintf("draws/%d", r))
		if err != nil {
			return err
		}
		for k := from; k < upto; k++ {
			cube := make([]float64, d.len())
			sobol.Point(uint64(k), cube)
			d.cubes[r], d.points[r] = append(d.cubes[r], cube), append(d.points[r], d.at(r, cube))
		}
	}
	of := func(index int) (replicate, k int) { return index % Replicates, from + index/Replicates }
	newWorker := func() func(int, *answer) error {
		a := d.t.newAssessor(o.Seed, stages[:])
		a.lean = d.lean
		return func(index int, out *answer) error {
			r, k := of(index)
			if d.fixed && k > 0 { // the first again
				return nil
			}
			return a.assess(out, &d.points[r][k])
		}
	}
	consume := func(index int, out *answer) error {
		r, k := of(index)
		if d.fixed && k > 0 {
			d.read[r] = append(d.read[r], d.read[r][0])
			return nil
		}
		d.read[r] = append(d.read[r], out.clone())
		for l, crossed := range d.crossed[r] {
			for g, c := range crossed {
				if c != nil && !addFinite(c, out.effects[l][g]) {
					crossed[g] = nil
				}
			}
		}
		return nil
	}
	return montecarlo.Run(ctx, montecarlo.Options{To: (upto - from) * Replicates, Workers: o.Workers, Progress: o.stage("draws")}, newWorker, d.t.newAnswer, consume)
}

// settled reports whether no verdict hangs on the number of draws.
func (d *outer) settled() bool {
	for l := range d.t.models {
		for g := range d.t.told() {
			if !verdict.Enough(d.verdicts(l, g), lookConfidence) {
				return false
			}
		}
	}
	return true
}

// settle returns the verdict of the draws on a population, or on all together, under a
// model. Where nothing but people is drawn, draws can disagree for one reason alone.
func (d *outer) settle(l, g int) (Verdict, Share) {
	v, agreement := verdict.Settle(d.verdicts(l, g), lookConfidence)
	if d.fixed && v == OpenAssumptions {
		v = OpenSampling
	}
	return v, agreement
}

// verdicts are those of the draws on a population under a model, by replicate.
func (d *outer) verdicts(l, g int) [][]Verdict {
	list := make([][]Verdict, len(d.read))
	for r, draws := range d.read {
		for _, read := range draws {
			list[r] = append(list[r], read[l][g].verdict)
		}
	}
	return list
}

// all are the readings of a population, or of all together, under a model: by
// replicate, one after another.
func (d *outer) all(l, g int) []*reading {
	var list []*reading
	for _, draws := range d.read {
		for k := range draws {
			list = append(list, &draws[k][l][g])
		}
	}
	return list
}

// exact reports whether a model shows exactly no effect on anybody in any draw.
func (d *outer) exact(l int) bool {
	counted := false
	for _, read := range d.all(l, len(d.t.groups)) {
		if !read.exact {
			return false
		}
		counted = counted || read.bodies > 0
	}
	return counted
}
