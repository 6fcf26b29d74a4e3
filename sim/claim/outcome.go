package claim

import (
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
)

// Summary is a distribution over people, in the demand's own unit (SI, BW, rad).
// Values are infinite where bodies can no longer take the posture, and NaN where there
// are none; the mean is NaN where it is not counted.
type Summary struct{ P5, P50, P95, Mean float64 }

// Movement is a demand before and after the change, and the change itself.
type Movement struct{ Baseline, Changed, Effect Summary }

// Outcome is what one model says of one group of people, or of all together: by the
// draws, and in detail at the central assumptions.
type Outcome struct {
	People  string
	Verdict Verdict
	Draws   *Draws // nil of the rule that is taught

	// At the central assumptions, which are one draw of many.
	N                int64
	Excluded         int64 // cannot take the posture before or after
	BecameImpossible int64 // can no longer take it
	BecamePossible   int64
	Quantity         Movement
	Closer           int64                            // the first bodies, which stand behind all that follows
	Beside           map[hold.Demand]Movement         // other demands
	Postures         map[scenario.PostureRule]Summary // the effect under each posture rule
	Limits           map[hold.Limit][2]Share          // what binds, before and after
	// BreakEven is the working share of the added mass that would leave the
	// difficulty as it was.
	BreakEven *Summary
	Trait     *drivers.Trait
	// Percent is the effect in per cent of the baseline, where the threshold is
	// a share of it.
	Percent *Summary
	// MedianError is the standard error that the number of bodies leaves in the median
	// effect, in the claim's unit.
	MedianError float64
}

// ModelResult is what one model says of the claim.
type ModelResult struct {
	Model   scenario.Model
	Name    string
	Verdict Verdict
	Pooled  Outcome // of a change
	Groups  []Outcome
}

// Result is the outcome of a test.
type Result struct {
	Claim       *Claim
	Verdict     Verdict
	InDirection bool
	N           int // bodies at the central assumptions
	Draws       int // behind the verdict
	Seed        uint64
	Central     bool // nothing but people was drawn, so that verdicts hold at the central assumptions only
	Models      []ModelResult
	Contrast    []ContrastResult
	Taught      *Taught // nil where the rule has no answer
	Added       []Added
	Warnings    []string
	// ForWhom says what came out for each of the claim's populations and for the others
	// that were asked about; nil where none were.
	ForWhom []Judged
	// Reweighted says, by population, how people were weighted to the claim's means.
	Reweighted map[string]*anthro.Reweighted

	draws *outer
}

// fill adds to a result what each model says.
func (r *run) fill(res *Result, d *outer) error {
	res.Models = names.Each(names.UpTo(len(r.test.models)), func(l int) ModelResult { return r.model(d, l) })
	return nil
}

// model joins what the draws say of a model with the details at the central assumptions;
// d may be nil.
func (r *run) model(d *outer, l int) ModelResult {
	t := r.test
	m := ModelResult{Model: t.models[l].Model, Name: t.models[l].String()}
	pooled := newTally(t)
	var moments [3]montecarlo.Moments
	for g, group := range t.groups {
		pooled.merge(r.tallies[g][l])
		for k := range moments {
			moments[k].Merge(&r.moments[g][l][k])
		}
		out := t.outcome(r.tallies[g][l], &r.moments[g][l], l)
		out.People = group.Population
		if best, k := r.samples[g].Strongest(l); best != nil {
			best.Name, out.Trait = traits[k].name, best
		}
		m.Groups = append(m.Groups, out)
	}
	m.Pooled = t.outcome(pooled, &moments, l)
	m.Pooled.People = "all"
	if d == nil {
		return m
	}
	var each []Verdict
	exact := d.exact(l)
	for g := range m.Groups {
		out := &m.Groups[g]
		out.Draws = d.summary(l, g)
		if out.Verdict = out.Draws.verdict; exact && out.Verdict != NobodyHolds {
			out.Verdict = NoEffect
		}
		each = append(each, out.Verdict)
	}
	m.Pooled.Draws = d.whole(l, m.Groups)
	m.Verdict = verdict.Together(each)
	m.Pooled.Verdict = m.Verdict
	return m
}

// outcome turns a tally into the details of an outcome.
func (t *test) outcome(y *tally, moments *[3]montecarlo.Moments, of int) Outcome {
	c := t.claim
	model := t.models[of].Statics
	out := Outcome{
		N: y.counted, Excluded: y.excluded, BecameImpossible: y.impossible, BecamePossible: y.possible,
		Closer: y.closer, Beside: map[hold.Demand]Movement{},
	}
	if c.inPercent() {
		percent := quantiles(&y.shares)
		percent.P5, percent.P50, percent.P95 = 100*percent.P5, 100*percent.P50, 100*percent.P95
		out.Percent = &percent
		out.MedianError = 100 * montecarlo.MedianError(y.shares.Count(), y.shares.Quantile)
	} else {
		out.MedianError = montecarlo.MedianError(y.quantity.effect.Count(), y.quantity.effect.Quantile)
	}
	out.Quantity = summarise(&y.quantity)
	for k, s := range []*Summary{&out.Quantity.Baseline, &out.Quantity.Changed, &out.Quantity.Effect} {
		if moments[k].Count() > 0 {
			s.Mean = moments[k].Mean()
		}
	}
	for k, d := range t.asked {
		if d != c.Demand && t.setup.Gives(model, d) {
			out.Beside[d] = summarise(&y.side[k])
		}
	}
	if len(t.others()) > 0 {
		out.Postures = map[scenario.PostureRule]Summary{}
		for _, rule := range t.setup.Rules {
			out.Postures[rule] = quantiles(&y.postures[rule])
		}
	}
	out.Limits = limits(&y.limits)
	if y.breakEven.Count() > 0 {
		s := quantiles(&y.breakEven)
		out.BreakEven = &s
	}
	return out
}

// limits turns the counts of what binds into shares; what never binds is left
// out, and so is that nothing does.
func limits(counts *[2][hold.NumLimits]int64) map[hold.Limit][2]Share {
	var total [2]int64
	for k := range counts {
		for _, n := range counts[k] {
			total[k] += n
		}
	}
	shares := map[hold.Limit][2]Share{}
	for l := range hold.NumLimits {
		if l != hold.NoLimit && counts[0][l]+counts[1][l] > 0 {
			shares[l] = [2]Share{verdict.ShareOf(counts[0][l], total[0]), verdict.ShareOf(counts[1][l], total[1])}
		}
	}
	return shares
}

func summarise(m *movement) Movement {
	return Movement{quantiles(&m.before), quantiles(&m.after), quantiles(&m.effect)}
}

// quantiles reads the 5, 50 and 95 % points.
func quantiles(h *montecarlo.Histogram) Summary {
	return Summary{h.Quantile(0.05), h.Quantile(0.5), h.Quantile(0.95), math.NaN()}
}

// numbers sorts values and leaves out what is not a number, because nobody takes the
// posture. The slice is not to be used again but as it is returned.
func numbers(values []float64) []float64 {
	values = slices.DeleteFunc(values, math.IsNaN)
	slices.Sort(values)
	return values
}

// band returns the 5, 50 and 95 % points of values, which it sorts; values that
// are not numbers, because nobody takes the posture, are left out.
func band(values []float64) Summary {
	values = numbers(values)
	return Summary{montecarlo.Quantile(values, 0.05), montecarlo.Quantile(values, 0.5), montecarlo.Quantile(values, 0.95), math.NaN()}
}

// Added is the mass that a change puts on a region of body.Whole, kg, over bodies; negative
// where it takes some off.
type Added struct {
	Region    body.Region
	Kilograms Summary
}

// added returns what the claim's change adds to the first block of each of its people,
// with the regions that get none left out; nil where the change alters no mass.
func (t *test) added(seed uint64) ([]Added, error) {
	ch := t.claim.Change
	if ch == nil || !ch.Body.Weighs() {
		return nil, nil
	}
	var mass [len(body.Whole)][]float64
	for g, source := range t.sources(seed) {
		people := anthro.NewPeople(montecarlo.BlockRows)
		if err := source.Block(people, 0); err != nil {
			return nil, err
		}
		err := t.newBench().Run(people, t.cases(t.groups[g].Part, &t.assumed.Centre)[:1], func(_ int, tile *scenario.Tile) error {
			for i := range tile.First.Bodies.Rows() {
				for p, kg := range body.Added(tile.First.Bodies, tile.Second.Bodies, i) {
					mass[p] = append(mass[p], kg)
				}
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	var list []Added
	for p, kilograms := range mass {
		some := slices.ContainsFunc(kilograms, func(kg float64) bool { return verdict.Moves(kg, 1) })
		if some {
			list = append(list, Added{body.Whole[p], band(kilograms)})
		}
	}
	return list, nil
}
