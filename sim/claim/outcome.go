package claim

import (
	"math"
	"slices"
	"sort"

	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// Summary is a distribution over people, in the demand's own unit (SI, BW, rad).
// Values are infinite where bodies can no longer take the posture, and NaN where there
// are none; the mean is NaN where it is not counted.
type Summary struct{ P5, P50, P95, Mean float64 }

// Share is a share of bodies with its 99 % Wilson interval.
type Share struct {
	Value float64
	Low   float64
	High  float64
}

// Movement is a demand before and after the change, and the change itself.
type Movement struct{ Baseline, Changed, Effect Summary }

// Outcome is what one model says of one group of people, or of all together.
type Outcome struct {
	People  string
	N       int64
	Verdict Verdict

	AsClaimed Share // effect as claimed and large enough to matter
	TooSmall  Share
	Against   Share

	Excluded         int64 // cannot take the posture before or after
	BecameImpossible int64 // can no longer take it
	BecamePossible   int64

	Quantity Movement
	Closer   int64                            // the first bodies, which stand behind all that follows
	Beside   map[hold.Demand]Movement         // other demands
	Postures map[scenario.PostureRule]Summary // the effect under each posture rule
	Limits   map[hold.Limit][2]Share          // what binds, before and after
	// BreakEven is the working share of the added mass that would leave the
	// difficulty as it was.
	BreakEven *Summary
	Trait     *Trait
	// Percent is the effect in per cent of the baseline, where the threshold is
	// a share of it.
	Percent *Summary

	effect *montecarlo.Histogram // see EffectBins
	scale  float64
	rises  int64 // see Rises
}

// EffectBins returns how the effects spread over equal bins from low to high,
// as shares of the bodies that count; effects outside are left out. They are
// in per cent of the baseline where the claim's threshold is a share, else in the
// demand's own unit.
func (o *Outcome) EffectBins(low, high float64, bins int) []float64 {
	return o.effect.Shares(low/o.scale, high/o.scale, bins)
}

// EffectAt returns a quantile of the finite effects, those of the bodies that
// take the posture before and after, in the unit of EffectBins; NaN where there
// are none.
func (o *Outcome) EffectAt(p float64) float64 { return o.scale * finiteQuantile(o.effect, p) }

// EffectQuantile is EffectAt with the bodies for which the posture becomes
// impossible or possible counted as infinite, as in Quantity.Effect; NaN where
// nobody counts.
func (o *Outcome) EffectQuantile(p float64) float64 { return o.scale * o.effect.Quantile(p) }

// finiteQuantile returns a quantile of the finite values alone, NaN where there
// are none.
func finiteQuantile(h *montecarlo.Histogram, p float64) float64 {
	low, high := h.Quantile(0), h.Quantile(1)
	if !math.IsInf(low, 0) && !math.IsInf(high, 0) {
		return h.Quantile(p) // NaN where nothing was counted
	}
	last := float64(h.Count() - 1)
	if last == 0 {
		return math.NaN()
	}
	at := func(rank int) float64 { return h.Quantile(math.Min(float64(rank)/last, 1)) }
	// A rank may be off by rounding, and then halfway to an infinite neighbour, so
	// stay one clear of those.
	from, to, n := 0, int(last), int(h.Count())
	if math.IsInf(low, -1) {
		from = sort.Search(n, func(rank int) bool { return at(rank) > math.Inf(-1) }) + 1
	}
	if math.IsInf(high, 1) {
		to = sort.Search(n, func(rank int) bool { return at(rank) == math.Inf(1) }) - 2
	}
	if from > to {
		return math.NaN()
	}
	return h.Quantile((float64(from) + p*float64(to-from)) / last)
}

// Rises is the share of the bodies that count whose quantity grows by more than
// the threshold, whatever is expected.
func (o *Outcome) Rises() float64 { return share(o.rises, o.N).Value }

// Draws says how the outcome fares over the assumption draws.
type Draws struct {
	N         int
	Agreement float64 // share of the draws that give the most frequent verdict
	Verdicts  map[Verdict]int
	// AsClaimed and Against are the 5-95 % bands, over the draws, of the shares of
	// bodies for whom the claim holds and for whom the opposite does.
	AsClaimed Summary
	Against   Summary
	// MedianEffect is the 5-95 % band, over the draws, of the median effect.
	MedianEffect Summary
	// MedianPercent is the same of the effect in per cent of the baseline, where the
	// threshold is a share of it.
	MedianPercent *Summary
	Driver        *AssumptionDriver
	// Split says where the variance of the effect comes from; nil where some
	// body cannot take the posture in some draw, or nothing varies.
	Split *VarianceSplit

	medians []float64 // see MedianAt; sorted
}

// MedianAt returns a quantile, over the draws, of the median effect, infinite where
// the posture becomes impossible or possible for most, in the unit of
// Outcome.EffectBins; NaN where nobody takes the posture in any draw.
func (d *Draws) MedianAt(p float64) float64 {
	if len(d.medians) == 0 {
		return math.NaN()
	}
	return quantileOf(d.medians, p)
}

// VarianceSplit is the shares of an effect's variance that come from people, from
// the assumptions, and from what an assumption does differently to different
// people. They add up to 1.
type VarianceSplit struct {
	People      float64
	Assumptions float64
	Both        float64
}

// ModelResult is what one model says of the claim.
type ModelResult struct {
	Model   scenario.Model
	Name    string
	Verdict Verdict
	Pooled  Outcome
	Groups  []Outcome
	Draws   *Draws
}

// Result is the outcome of a test.
type Result struct {
	Claim       *Claim
	Verdict     Verdict
	InDirection bool
	N           int
	Seed        uint64
	Models      []ModelResult
	Contrast    []ContrastResult
	Taught      *Taught // nil where the rule has no answer
	Added       []Added
	Warnings    []string
	// Reweighted says, by population, how people were weighted to the claim's means.
	Reweighted map[string]*anthro.Reweighted
}

// result joins the bodies and the assumption draws into the verdict.
func (t *test) result(r *run, d *draws, o *Options) *Result {
	res := &Result{Claim: t.claim, N: r.n, Seed: o.Seed}
	var verdicts []Verdict
	for l := range t.models {
		m := t.modelResult(r, d, l)
		res.Models = append(res.Models, m)
		verdicts = append(verdicts, m.Verdict)
	}
	res.Verdict, res.InDirection = overall(verdicts)
	t.noteOfPeople(res)
	if d == nil {
		res.Warnings = append(res.Warnings, "no assumption draws: the verdict holds at the central assumptions only; add --assumption-draws 128")
	}
	return res
}

// modelResult applies the rules to one model.
func (t *test) modelResult(r *run, d *draws, l int) ModelResult {
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
		out.Trait = r.samples[g].strongest(l)
		if d != nil && out.Verdict != Undecided {
			out.Verdict, _ = common(d.verdicts(t, l, g))
		}
		m.Groups = append(m.Groups, out)
	}
	m.Pooled = t.outcome(pooled, &moments, l)
	m.Pooled.People = "all"
	m.Verdict = m.Pooled.Verdict
	if d != nil {
		verdicts := d.verdicts(t, l, -1)
		m.Draws = d.summary(t, l, verdicts)
		if m.Verdict != Undecided {
			m.Verdict, _ = common(verdicts)
		}
	}
	m.Pooled.Verdict = m.Verdict
	if r.exact(l) && (d == nil || d.exact(l)) {
		m.Verdict, m.Pooled.Verdict = NoEffect, NoEffect
		for g := range m.Groups {
			m.Groups[g].Verdict = NoEffect
		}
		return m
	}
	var each []Verdict
	for _, out := range m.Groups {
		if out.N > 0 {
			each = append(each, out.Verdict)
		}
	}
	m.Verdict = together(m.Verdict, each)
	return m
}

// outcome turns a tally into an outcome, judged at the central assumptions.
func (t *test) outcome(y *tally, moments *[3]montecarlo.Moments, of int) Outcome {
	c := t.claim
	model := t.models[of].Statics
	out := Outcome{
		N: y.counts.total(), Excluded: y.excluded, BecameImpossible: y.impossible, BecamePossible: y.possible,
		Closer: y.closer, Beside: map[hold.Demand]Movement{}, effect: &y.quantity.effect, scale: 1,
		rises: y.counts.plus,
	}
	if t.sign < 0 {
		out.rises = y.counts.minus
	}
	if c.Threshold().Share > 0 {
		percent := quantiles(&y.shares)
		percent.P5, percent.P50, percent.P95 = 100*percent.P5, 100*percent.P50, 100*percent.P95
		out.Percent, out.effect, out.scale = &percent, &y.shares, 100
	}
	claimed := y.counts.plus
	against := y.counts.minus
	if c.Expect == None {
		claimed, against = y.counts.zero, y.counts.plus+y.counts.minus
	}
	out.AsClaimed, out.TooSmall, out.Against = share(claimed, out.N), share(y.counts.zero, out.N), share(against, out.N)
	out.Verdict = Undecided
	if out.N > 0 && decided(y.counts, c.Share, c.Expect) {
		out.Verdict = judge(y.counts.shares(), c.Share, c.Expect)
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
	if c.Change.Arms == nil && len(t.setup.Rules) > 1 {
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
			shares[l] = [2]Share{share(counts[0][l], total[0]), share(counts[1][l], total[1])}
		}
	}
	return shares
}

func share(k, n int64) Share {
	if n == 0 {
		return Share{}
	}
	low, high := montecarlo.Wilson(k, n, decisionConfidence)
	return Share{float64(k) / float64(n), low, high}
}

func summarise(m *movement) Movement {
	return Movement{quantiles(&m.before), quantiles(&m.after), quantiles(&m.effect)}
}

// quantiles reads the 5, 50 and 95 % points.
func quantiles(h *montecarlo.Histogram) Summary {
	return Summary{h.Quantile(0.05), h.Quantile(0.5), h.Quantile(0.95), math.NaN()}
}

// sharesOf returns the shares of one draw for a group, or for all groups at
// their weights where group is negative.
func (d *draws) sharesOf(t *test, k, model, group int) shares {
	if group >= 0 {
		return d.draw[k].shares[model][group]
	}
	var pooled shares
	missing := 0.0 // the weight of groups in which nobody takes the posture
	for g := range t.groups {
		s, w := d.draw[k].shares[model][g], t.groups[g].Share
		if math.IsNaN(s.zero) {
			missing += w
			continue
		}
		pooled.plus += w * s.plus
		pooled.zero += w * s.zero
		pooled.minus += w * s.minus
	}
	if missing > 0 {
		rest := 1 - missing
		if missing == 1 || !(rest > 0) {
			rest = math.NaN()
		}
		pooled.plus, pooled.zero, pooled.minus = pooled.plus/rest, pooled.zero/rest, pooled.minus/rest
	}
	return pooled
}

// verdicts returns the verdict of every draw.
func (d *draws) verdicts(t *test, model, group int) []Verdict {
	v := make([]Verdict, len(d.draw))
	for k := range v {
		v[k] = judge(d.sharesOf(t, k, model, group), t.claim.Share, t.claim.Expect)
	}
	return v
}

func (d *draws) exact(model int) bool {
	for k := range d.draw {
		if !d.draw[k].exact[model] {
			return false
		}
	}
	return true
}

// summary reports how one model fares over the draws, all people together.
func (d *draws) summary(t *test, model int, verdicts []Verdict) *Draws {
	s := &Draws{N: len(d.draw), Verdicts: map[Verdict]int{}}
	for _, v := range verdicts {
		s.Verdicts[v]++
	}
	_, s.Agreement = common(verdicts)
	response := make([]float64, len(d.draw))
	medians, percents := make([]float64, len(d.draw)), make([]float64, len(d.draw))
	claimed, against := make([]float64, len(d.draw)), make([]float64, len(d.draw))
	for k := range d.draw {
		pooled := d.sharesOf(t, k, model, -1)
		claimed[k], against[k] = pooled.plus, pooled.minus
		if t.claim.Expect == None {
			claimed[k], against[k] = pooled.zero, pooled.plus+pooled.minus
		}
		response[k] = claimed[k] - against[k]
		for g := range t.groups {
			medians[k] += t.groups[g].Share * d.draw[k].median[model][g]
			percents[k] += t.groups[g].Share * d.draw[k].percent[model][g]
		}
	}
	s.Split = d.split(t, model)
	bears := t.bears(t.models[model].Statics)
	s.Driver = d.driver(t, bears, response)
	if s.Driver == nil {
		s.Driver = d.driver(t, bears, medians)
	}
	s.AsClaimed, s.Against = band(claimed), band(against)
	s.setMedians(t.claim, medians, percents)
	return s
}

// setMedians summarises the median effects of the draws, and the same in per cent
// where the threshold is a share. It sorts both.
func (d *Draws) setMedians(c *Claim, medians, percents []float64) {
	d.medians = numbers(medians)
	d.MedianEffect = band(d.medians)
	if c.Threshold().Share > 0 {
		d.medians = numbers(percents)
		percent := band(d.medians)
		d.MedianPercent = &percent
	}
}

// numbers sorts values and leaves out what is not a number, because nobody takes the
// posture. The slice is not to be used again but as it is returned.
func numbers(values []float64) []float64 {
	values = slices.DeleteFunc(values, math.IsNaN)
	sort.Float64s(values)
	return values
}

// quantileOf returns the nearest rank of sorted values.
func quantileOf(sorted []float64, p float64) float64 {
	return sorted[int(math.Round(p*float64(len(sorted)-1)))]
}

// band returns the 5, 50 and 95 % points of values, which it sorts; values that
// are not numbers, because nobody takes the posture, are left out.
func band(values []float64) Summary {
	values = numbers(values)
	if len(values) == 0 {
		return Summary{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	}
	return Summary{quantileOf(values, 0.05), quantileOf(values, 0.5), quantileOf(values, 0.95), math.NaN()}
}
