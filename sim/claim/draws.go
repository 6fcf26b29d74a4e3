package claim

import (
	"context"
	"math"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
	"gonum.org/v1/gonum/stat"
)

// assumptionPoint is one draw of the assumptions.
type assumptionPoint struct {
	point []float64 // in the unit cube, by free assumption
	set   assume.Set
}

// assumptionPoints spreads the draws evenly over the ranges of the free
// assumptions: a scrambled Sobol' sequence.
func (t *test) assumptionPoints(o *Options) ([]assumptionPoint, error) {
	free := t.assumed.Free()
	points := make([]assumptionPoint, o.Draws)
	if len(free) == 0 {
		for k := range points {
			points[k] = assumptionPoint{nil, t.assumed.Centre}
		}
		return points, nil
	}
	sobol, err := montecarlo.NewScrambledSobol(len(free), o.Seed, "assumptions")
	if err != nil {
		return nil, err
	}
	for k := range points {
		points[k].point = make([]float64, len(free))
		sobol.Point(uint64(k), points[k].point)
		points[k].set = t.assumed.At(points[k].point)
	}
	return points, nil
}

// AssumptionDriver is the assumption that the outcome follows most closely.
type AssumptionDriver struct {
	Name string
	// Correlation is the rank correlation, over the draws, between the
	// assumption and the share of bodies as claimed less the share against.
	Correlation float64
}

// bears reports whether an assumption can bear on what a model gives of the claim.
func (t *test) bears(m hold.Model) func(assume.ID) bool {
	return func(id assume.ID) bool { return t.claim.Bears(m, id) }
}

// driver returns the assumption, of those that can bear on the outcome, whose
// ranks go most closely with those of response, one value a draw, or nil where
// response does not vary or is not known in every draw.
func (d *draws) driver(t *test, bears func(assume.ID) bool, response []float64) *AssumptionDriver {
	if slices.ContainsFunc(response, math.IsNaN) {
		return nil
	}
	ranked := ranks(response)
	var best *AssumptionDriver
	for j, id := range t.assumed.Free() {
		if !bears(id) {
			continue
		}
		values := make([]float64, len(d.points))
		for k := range values {
			values[k] = d.points[k].point[j]
		}
		r := stat.Correlation(ranks(values), ranked, nil)
		if math.IsNaN(r) || best != nil && math.Abs(r) <= math.Abs(best.Correlation) {
			continue
		}
		best = &AssumptionDriver{id.String(), r}
	}
	return best
}

// split takes the variance of the effect apart, over all populations together:
// that they differ is a part of how people differ.
func (d *draws) split(t *test, model int) *VarianceSplit {
	parts := make([]drivers.Components, len(t.groups))
	mean := 0.0
	for g, crossed := range d.crossed[model] {
		if crossed == nil {
			return nil
		}
		parts[g] = crossed.Components()
		mean += t.groups[g].Share * parts[g].Mean
	}
	var people, both, assumptions float64
	for g, p := range parts {
		w := t.groups[g].Share
		people += w * (p.Columns + (p.Mean-mean)*(p.Mean-mean))
		both += w * (p.Both + p.Rows)
		// A draw of the assumptions is the same for all populations: what it moves
		// in one and in the other counts as far as it goes together.
		for h := range parts {
			assumptions += w * t.groups[h].Share * stat.Covariance(d.crossed[model][g].Means(), d.crossed[model][h].Means(), nil)
		}
	}
	both = math.Max(both-assumptions, 0)
	total := people + both + assumptions
	if !(total > 0) {
		return nil
	}
	return &VarianceSplit{People: people / total, Assumptions: assumptions / total, Both: both / total}
}

// draw is what one assumption draw says: by model and group, and by model for all.
type draw struct {
	shares  [][]shares    // by model and group
	median  [][]float64   // of the effect, by model and group
	percent [][]float64   // of the effect in per cent of the baseline, where the threshold is a share
	exact   []bool        // by model
	effects [][][]float64 // by model and group, of every body, while it is handed over; empty where some body has none
}

// draws are the assumption draws of a test.
type draws struct {
	points  []assumptionPoint
	draw    []draw
	crossed [][]*drivers.Crossed // draws by bodies, by model and group; nil where some body had no finite effect
}

// drawAssumptions repeats the judgement over the assumption draws, on the same
// first bodies of every population.
func (t *test) drawAssumptions(ctx context.Context, o *Options) (*draws, error) {
	if o.Draws == 0 {
		return nil, nil
	}
	points, err := t.assumptionPoints(o)
	if err != nil {
		return nil, err
	}
	// What the change itself sets is not uncertain in the first body: it starts
	// from the central value in every draw.
	for _, id := range t.claim.Change.Assumed() {
		for k := range points {
			points[k].set[id] = t.assumed.Centre[id]
		}
	}
	d := &draws{points: points, draw: make([]draw, len(points))}
	for range t.models {
		crossed := make([]*drivers.Crossed, len(t.groups))
		for g := range crossed {
			crossed[g] = drivers.NewCrossed(o.DrawBodies)
		}
		d.crossed = append(d.crossed, crossed)
	}
	people := make([]*anthro.People, len(t.groups))
	for g, source := range t.sources(o.Seed) {
		people[g] = anthro.NewPeople(o.DrawBodies)
		if err := source.Fill(people[g]); err != nil {
			return nil, err
		}
	}
	newWorker := func() func(int, *draw) error {
		judges, bench := make([]drawTally, len(t.models)), t.newBench()
		return func(index int, out *draw) error {
			for l := range t.models {
				out.exact[l] = true
			}
			for g, group := range t.groups {
				for l := range judges {
					judges[l].reset()
				}
				err := bench.Run(people[g], t.cases(group, &points[index].set), func(l int, tile *scenario.Tile) error {
					judges[l].add(t, tile)
					return nil
				})
				if err != nil {
					return err
				}
				for l := range judges {
					j := &judges[l]
					out.effects[l][g] = append(out.effects[l][g][:0], j.effects...)
					out.shares[l][g] = j.counts.shares()
					out.median[l][g] = median(j.effects)
					out.percent[l][g] = 100 * median(j.relatives)
					out.exact[l] = out.exact[l] && j.exact
				}
			}
			return nil
		}
	}
	newOut := func() *draw {
		out := &draw{exact: make([]bool, len(t.models))}
		for range t.models {
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
		for l := range t.models {
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

// drawTally counts the effects of one draw on one group against the threshold.
type drawTally struct {
	counts    counts
	effects   []float64 // of the bodies that count
	relatives []float64 // as shares of the baselines, where the threshold is a share
	exact     bool      // all of them are exactly none
}

func (j *drawTally) reset() {
	j.counts, j.effects, j.relatives, j.exact = counts{}, j.effects[:0], j.relatives[:0], true
}

func (j *drawTally) add(t *test, tile *scenario.Tile) {
	first, changed, c := tile.First.Result, tile.Second.Result, t.claim
	matters := c.Threshold()
	for i, could := range first.Possible {
		e, ok := t.effect(first, changed, i)
		if !ok {
			continue
		}
		j.effects = append(j.effects, e)
		before := first.Value[c.Demand][i]
		if matters.Share > 0 && could && changed.Possible[i] {
			j.relatives = append(j.relatives, relative(before, changed.Value[c.Demand][i]))
		}
		j.counts.count(t.sign*e, matters.Of(before))
		j.exact = j.exact && !moves(e, before)
	}
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
