package claim

import (
	"context"
	"encoding/binary"
	"errors"
	"math"
	"sync"

	"counterpoise/sim/drivers"
	"counterpoise/sim/montecarlo"

	"gonum.org/v1/gonum/stat"
)

// Decisive is what leaves a verdict open more than all else together.
type Decisive struct {
	Name string // of an assumption, or SurveyOf a population
	// OfVerdict and OfEffect are its total indices: the share of the variance, over the
	// draws, of whether a draw gives the most frequent verdict, and of the median effect,
	// that would be left if all but this were known (Homma and Saltelli 1996), with 95 %
	// intervals. That of the effect is NaN where the effect is not always finite.
	OfVerdict, OfEffect Share
}

// decides is the share of the verdict's variance above which something decides.
const decides = 0.5

// Base sample and replicates of the design by which it is found out what decides.
const (
	decisiveBase       = 32
	decisiveReplicates = 8
)

// decisive finds what decides the verdicts that the draws leave open, by model and
// population; nil where nothing does.
func (d *outer) decisive(ctx context.Context, o *Options) error {
	d.decided = make([][]*Decisive, len(d.t.models))
	e := &echo{d: d, seed: o.Seed, said: map[string]*answer{}}
	for l := range d.t.models {
		d.decided[l] = make([]*Decisive, len(d.t.groups))
		for g := range d.t.groups {
			if v, _ := settle(d.verdicts(l, g), lookConfidence); v != OpenAssumptions || o.Draws == 0 {
				continue
			}
			most, _ := frequent(d.verdicts(l, g), lookConfidence, Verdict.Direction)
			verdict, err := e.totals(ctx, o, func(a *answer) float64 {
				if a.read[l][g].verdict.Direction() == most {
					return 1
				}
				return 0
			})
			if err != nil {
				return err
			}
			best := 0
			for k := range verdict {
				if verdict[k].Value > verdict[best].Value {
					best = k
				}
			}
			if len(verdict) == 0 || !(verdict[best].Value > decides) {
				continue
			}
			effect, err := e.totals(ctx, o, func(a *answer) float64 { return a.read[l][g].inUnit(d.t.claim) })
			if err != nil {
				return err
			}
			found := &Decisive{Name: d.names()[best], OfVerdict: verdict[best], OfEffect: Share{math.NaN(), math.NaN(), math.NaN()}}
			if effect != nil {
				found.OfEffect = effect[best]
			}
			d.decided[l][g] = found
		}
	}
	return nil
}

// echo answers points of the cube of unknowns on the people of the first replicate, and
// remembers what it said.
type echo struct {
	d    *outer
	seed uint64
	mu   sync.Mutex
	said map[string]*answer
}

// totals returns the total indices of the unknowns for a response; nil where it does not
// vary or is not always finite.
func (e *echo) totals(ctx context.Context, o *Options, of func(*answer) float64) ([]Share, error) {
	problem := drivers.Problem{Inputs: e.d.names(), Sampler: drivers.Uniform(e.d.len()), NewModel: func() drivers.Model {
		a, cube := e.d.t.newAssessor(e.seed), make([]float64, e.d.len())
		a.quick = true
		return func(out []float64, in [][]float64) error {
			for i := range out {
				for k := range cube {
					cube[k] = in[k][i]
				}
				said, err := e.ask(a, cube)
				if err != nil {
					return err
				}
				out[i] = of(said)
			}
			return nil
		}
	}}
	res, err := drivers.Sobol(ctx, problem, drivers.SobolOptions{Options: drivers.Options{
		Seed: o.Seed, Base: decisiveBase, Replicates: decisiveReplicates, Workers: o.Workers,
	}})
	var response *drivers.ResponseError
	if errors.Is(err, drivers.ErrConstant) || errors.As(err, &response) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var totals []Share
	for _, index := range res.Indices {
		if index.Kind == drivers.Total {
			totals = append(totals, Share{index.Value, index.Low, index.High})
		}
	}
	return totals, nil
}

// ask returns what is said at a point, by hearsay if it was asked before.
func (e *echo) ask(a *assessor, cube []float64) (*answer, error) {
	var key []byte
	for _, x := range cube {
		key = binary.LittleEndian.AppendUint64(key, math.Float64bits(x))
	}
	e.mu.Lock()
	said := e.said[string(key)]
	e.mu.Unlock()
	if said != nil {
		return said, nil
	}
	said = e.d.t.newAnswer()
	p := e.d.at(0, cube)
	if err := a.assess(said, &p); err != nil {
		return nil, err
	}
	said.effects = nil
	e.mu.Lock()
	defer e.mu.Unlock()
	e.said[string(key)] = said
	return said, nil
}

// surveyed is how far the survey's own people leave something open.
type surveyed struct{ median, share float64 }

// surveys finds how far the median effect and the share of bodies as claimed would have
// been others had the surveys met other people: their standard deviations over the
// refits, at the central assumptions and on the same people's chance, by model and
// population, the last all together.
func (d *outer) surveys(ctx context.Context, o *Options) error {
	t := d.t
	d.survey = make([][]surveyed, len(t.models))
	for l := range d.survey {
		d.survey[l] = make([]surveyed, len(t.groups)+1)
	}
	n := 0
	for _, g := range d.groups {
		n = max(n, t.groups[g].Selection.Population.Refits())
	}
	if n == 0 {
		return nil
	}
	newWorker := func() func(int, *answer) error {
		a := t.newAssessor(o.Seed)
		// How many people a refit moves over a border is a count, and varies as counts do: it
		// must be large for the refits to differ by what the survey leaves open alone.
		a.all = true
		return func(k int, out *answer) error {
			p := d.central(0)
			for _, g := range d.groups {
				p.refit[g] = k % t.groups[g].Selection.Population.Refits()
			}
			return a.assess(out, &p)
		}
	}
	medians := make([][][]float64, len(t.models))
	shares := make([][][]float64, len(t.models))
	for l := range t.models {
		medians[l], shares[l] = make([][]float64, len(t.groups)+1), make([][]float64, len(t.groups)+1)
	}
	consume := func(_ int, out *answer) error {
		for l := range t.models {
			for g := range out.read[l] {
				medians[l][g] = append(medians[l][g], out.read[l][g].inUnit(t.claim))
				shares[l][g] = append(shares[l][g], out.read[l][g].shares.claimed(t.claim.Expect))
			}
		}
		return nil
	}
	err := montecarlo.Run(ctx, montecarlo.Options{To: n, Workers: o.Workers}, newWorker, t.newAnswer, consume)
	if err != nil {
		return err
	}
	for l := range medians {
		for g := range medians[l] {
			d.survey[l][g] = surveyed{stat.StdDev(medians[l][g], nil), stat.StdDev(shares[l][g], nil)}
		}
	}
	return nil
}
