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

// Summary is a distribution over people. Angles are in degrees; everything else
// is in the demand's own unit. An infinite value, from bodies that can no longer
// take the posture, is written as null.
type Summary struct {
	P5   *float64 `json:"p5"`
	P50  *float64 `json:"p50"`
	P95  *float64 `json:"p95"`
	Mean *float64 `json:"mean,omitempty"`
}

// Share is a share of bodies with its 99 % Wilson interval.
type Share struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// Movement is a demand before and after the change, and the change itself.
type Movement struct {
	Unit     string  `json:"unit"`
	Baseline Summary `json:"baseline"`
	Changed  Summary `json:"changed"`
	Effect   Summary `json:"effect"`
}

// Outcome is what one model says of one group of people, or of all together.
type Outcome struct {
	People  string  `json:"people"`
	N       int64   `json:"n"`
	Verdict Verdict `json:"verdict"`

	AsClaimed Share `json:"as_claimed"` // effect as claimed and large enough to matter
	TooSmall  Share `json:"too_small"`
	Against   Share `json:"against"`

	Excluded         int64 `json:"excluded"`          // cannot take the posture before or after
	BecameImpossible int64 `json:"became_impossible"` // can no longer take it
	BecamePossible   int64 `json:"became_possible"`

	Quantity Movement            `json:"quantity"`
	Closer   int64               `json:"closer_look_n"`      // the first bodies, which stand behind all that follows
	Beside   map[string]Movement `json:"beside"`             // other demands, by name
	Postures map[string]Summary  `json:"postures,omitempty"` // the effect under each posture rule
	Limits   map[string][2]Share `json:"limits,omitempty"`   // what binds, before and after
	// BreakEven is the working share of the added mass that would leave the
	// difficulty as it was.
	BreakEven *Summary `json:"break_even_working_share,omitempty"`
	Trait     *Trait   `json:"goes_with,omitempty"`
	// Percent is the effect in per cent of the baseline, where the threshold is
	// a share of it.
	Percent *Summary `json:"effect_percent,omitempty"`

	effect *montecarlo.Histogram // see EffectBins
	scale  float64
	rises  int64 // see Rises
}

// EffectBins returns how the effects spread over equal bins from low to high,
// as shares of the bodies that count; effects outside are left out. They are
// in per cent of the baseline where the claim's threshold is a share, else in
// the unit of output.
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
	N         int            `json:"n"`
	Agreement float64        `json:"agreement"` // share of the draws that give the most frequent verdict
	Verdicts  map[string]int `json:"verdicts"`
	// AsClaimed and Against are the 5-95 % bands, over the draws, of the shares of
	// bodies for whom the claim holds and for whom the opposite does.
	AsClaimed Summary `json:"as_claimed"`
	Against   Summary `json:"against"`
	// MedianEffect is the 5-95 % band, over the draws, of the median effect.
	MedianEffect Summary `json:"median_effect"`
	// MedianPercent is the same of the effect in per cent of the baseline, where the
	// threshold is a share of it.
	MedianPercent *Summary          `json:"median_effect_percent,omitempty"`
	Driver        *AssumptionDriver `json:"driver,omitempty"`
	// Split says where the variance of the effect comes from; nil where some
	// body cannot take the posture in some draw, or nothing varies.
	Split *VarianceSplit `json:"variance,omitempty"`

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
	People      float64 `json:"people"`
	Assumptions float64 `json:"assumptions"`
	Both        float64 `json:"both"`
}

// ModelResult is what one model says of the claim.
type ModelResult struct {
	Model   scenario.Model `json:"model"`
	Name    string         `json:"name"`
	Verdict Verdict        `json:"verdict"`
	Pooled  Outcome        `json:"pooled"`
	Groups  []Outcome      `json:"groups"`
	Draws   *Draws         `json:"draws,omitempty"`
}

// Result is the outcome of a test.
type Result struct {
	Claim       *Claim             `json:"-"`
	Verdict     Verdict            `json:"verdict"`
	InDirection bool               `json:"models_differ_in_direction"`
	N           int                `json:"n"`
	Seed        uint64             `json:"seed"`
	Assumptions map[string]float64 `json:"assumptions"`
	Models      []ModelResult      `json:"models"`
	Contrast    []ContrastResult   `json:"contrast,omitempty"`
	Warnings    []string           `json:"warnings,omitempty"`
	// Reweighted says, by population, how people were weighted to the claim's means.
	Reweighted map[string]*anthro.Reweighted `json:"reweighted,omitempty"`
}

// result joins the bodies and the assumption draws into the verdict.
func (t *test) result(r *run, d *draws, o *Options) *Result {
	res := &Result{Claim: t.claim, N: r.n, Seed: o.Seed, Assumptions: t.assumed.Centre.Named()}
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
		Closer: y.closer, Beside: map[string]Movement{}, effect: &y.quantity.effect, scale: *inUnit(c.Demand, 1),
		rises: y.counts.plus,
	}
	if t.sign < 0 {
		out.rises = y.counts.minus
	}
	if c.Matters.Share > 0 {
		percent := plain(&y.shares)
		for _, q := range []*float64{percent.P5, percent.P50, percent.P95} {
			if q != nil {
				*q *= 100
			}
		}
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
	out.Quantity = summarise(c.Demand, &y.quantity)
	for k, s := range []*Summary{&out.Quantity.Baseline, &out.Quantity.Changed, &out.Quantity.Effect} {
		if moments[k].Count() > 0 {
			s.Mean = inUnit(c.Demand, moments[k].Mean())
		}
	}
	for k, d := range t.asked {
		if d != c.Demand && t.setup.Gives(model, d) {
			out.Beside[d.String()] = summarise(d, &y.side[k])
		}
	}
	if c.Change.Arms == nil && len(t.setup.Rules) > 1 {
		out.Postures = map[string]Summary{}
		for _, rule := range t.setup.Rules {
			out.Postures[rule.String()] = quantiles(c.Demand, &y.postures[rule])
		}
	}
	out.Limits = limits(&y.limits)
	if y.breakEven.Count() > 0 {
		s := plain(&y.breakEven)
		out.BreakEven = &s
	}
	return out
}

// limits turns the counts of what binds into shares; what never binds is left
// out, and so is that nothing does.
func limits(counts *[2][hold.NumLimits]int64) map[string][2]Share {
	var total [2]int64
	for k := range counts {
		for _, n := range counts[k] {
			total[k] += n
		}
	}
	shares := map[string][2]Share{}
	for l := range hold.NumLimits {
		if l != hold.NoLimit && counts[0][l]+counts[1][l] > 0 {
			shares[l.String()] = [2]Share{share(counts[0][l], total[0]), share(counts[1][l], total[1])}
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

func summarise(d hold.Demand, m *movement) Movement {
	_, unit := ColumnUnit(d)
	return Movement{unit, quantiles(d, &m.before), quantiles(d, &m.after), quantiles(d, &m.effect)}
}

// quantiles reads the 5, 50 and 95 % points in the unit of output.
func quantiles(d hold.Demand, h *montecarlo.Histogram) Summary {
	s := plain(h)
	for _, q := range []**float64{&s.P5, &s.P50, &s.P95} {
		if *q != nil {
			*q = inUnit(d, **q)
		}
	}
	return s
}

// inUnit converts to the unit of output: degrees for angles.
func inUnit(d hold.Demand, x float64) *float64 {
	if d.Unit == "rad" {
		x *= 180 / math.Pi
	}
	return &x
}

func plain(h *montecarlo.Histogram) Summary {
	at := func(p float64) *float64 {
		if h.Count() == 0 {
			return nil
		}
		return number(h.Quantile(p))
	}
	return Summary{P5: at(0.05), P50: at(0.5), P95: at(0.95)}
}

// number is x, or nil where it is infinite or not a number at all.
func number(x float64) *float64 {
	if math.IsInf(x, 0) || math.IsNaN(x) {
		return nil
	}
	return &x
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
	s := &Draws{N: len(d.draw), Verdicts: map[string]int{}}
	for _, v := range verdicts {
		s.Verdicts[v.String()]++
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
	identity := func(x float64) *float64 { return &x }
	s.AsClaimed, s.Against = band(claimed, identity), band(against, identity)
	s.setMedians(t.claim, medians, percents)
	return s
}

// setMedians summarises the median effects of the draws, and the same in per cent
// where the threshold is a share. It sorts both.
func (d *Draws) setMedians(c *Claim, medians, percents []float64) {
	medians = numbers(medians)
	convert := func(x float64) *float64 { return inUnit(c.Demand, x) }
	d.MedianEffect = band(medians, convert)
	if c.Matters.Share > 0 {
		d.medians = numbers(percents)
		percent := band(d.medians, func(x float64) *float64 { return &x })
		d.MedianPercent = &percent
		return
	}
	d.medians = make([]float64, len(medians))
	for k, x := range medians {
		d.medians[k] = *convert(x)
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
func band(values []float64, convert func(float64) *float64) Summary {
	values = numbers(values)
	if len(values) == 0 {
		return Summary{}
	}
	at := func(p float64) *float64 {
		v := quantileOf(values, p)
		if math.IsInf(v, 0) {
			return nil
		}
		return convert(v)
	}
	return Summary{P5: at(0.05), P50: at(0.5), P95: at(0.95)}
}
