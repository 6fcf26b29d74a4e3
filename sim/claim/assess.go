package claim

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/drivers"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// stages are how many bodies of a population a draw is judged on: the first, then more
// while a share of them is too close to call. A contrast, whose medians are noisier than
// a paired share, takes contrastFactor times as many.
var stages = [...]int{256, 1024, 4096}

const contrastFactor = 4

// spreadSteps is into how many equal parts a reading's quantiles divide people.
const spreadSteps = 100

// reading is what one draw says of one population, or of all together, under one model.
type reading struct {
	verdict  Verdict
	bodies   int    // held up, of a contrast in each of the two groups
	excluded int    // that cannot take the pose before or after
	counts   counts // of a change, of one population
	shares   shares // likewise, of all together too
	exact    bool   // nothing moves
	// The median effect, or the difference of the groups' medians, and how people or
	// pairs differ around it, in the demand's unit; before and after are medians, of a
	// contrast those of the bottom and the top group.
	median, p5, p95, before, after float64
	percent                        float64                               // the median in per cent of the baseline
	spread                         [spreadSteps + 1]float32              // quantiles of the effects in the claim's unit
	greater                        float64                               // of a contrast: top over bottom, person by person
	under                          [scenario.NumPostureRules]ruleReading // of the first bodies, by another rule
	difficulty                     float64                               // of the first bodies: its median change, in per cent; see test.besideDifficulty
}

// ruleReading is what a draw says under another rule of posture.
type ruleReading struct {
	shares shares
	median float64 // effect in the claim's unit
}

// inUnit is the median in the claim's unit: per cent of the baseline where the
// threshold is a share, else the demand's own.
func (r *reading) inUnit(c *Claim) float64 {
	if c.inPercent() {
		return r.percent
	}
	return r.median
}

// answer is what one draw says, by model and population, and the effects of the first
// bodies, empty where some body has none.
type answer struct {
	read    [][]reading
	effects [][][]float64
}

func (t *test) newAnswer() *answer {
	a := &answer{}
	for range t.models {
		a.read = append(a.read, make([]reading, len(t.groups)+1))
		a.effects = append(a.effects, make([][]float64, len(t.groups)))
	}
	return a
}

func (a *answer) clone() [][]reading {
	read := make([][]reading, len(a.read))
	for l := range read {
		read[l] = slices.Clone(a.read[l])
	}
	return read
}

// assessor reads points. It belongs to one goroutine.
type assessor struct {
	*test
	seed    uint64
	factor  int
	quick   bool                        // takes the first stage's people for enough, and does not join populations
	all     bool                        // takes every stage's people, however clear they are
	sources map[[2]int]*scenario.Source // by group and refit
	bench   *scenario.Bench
	people  *anthro.People
	key     []float64     // of a contrast
	tallies [][]drawTally // by model and group
	// Of all populations together.
	effects, relatives, before, after heavy
}

func (t *test) newAssessor(seed uint64) *assessor {
	asked := t.drawDemands()
	a := &assessor{test: t, seed: seed, factor: 1, sources: map[[2]int]*scenario.Source{}}
	if t.claim.Contrast != nil {
		a.factor = contrastFactor
	}
	a.bench = scenario.NewBench(stages[0], asked, asked, t.setup.Rules...)
	a.people = anthro.NewPeople(stages[len(stages)-1] * a.factor)
	a.key = make([]float64, a.people.Rows())
	for range t.models {
		a.tallies = append(a.tallies, make([]drawTally, len(t.groups)))
	}
	return a
}

// assess reads a point.
func (a *assessor) assess(out *answer, p *point) error {
	for g := range a.groups {
		if err := a.group(out, g, p); err != nil {
			return err
		}
	}
	for l := range a.models {
		if !a.quick {
			a.together(out.read[l], l)
		}
	}
	return nil
}

// group holds up people of one population until what they say is clear.
func (a *assessor) group(out *answer, g int, p *point) error {
	part, err := a.part(g, p.refit[g])
	if err != nil {
		return err
	}
	id := [2]int{g, p.refit[g]}
	source := a.sources[id]
	if source == nil {
		source = part.SourceFor(a.seed, scenario.Purpose(part.Population)+"/draws", a.claim.Contrast != nil)
		a.sources[id] = source
	}
	for l := range a.models {
		a.tallies[l][g].reset()
	}
	cases := a.cases(part, &p.set)
	from, block := 0, 0
	for s, stage := range stages {
		upto := stage * a.factor
		people := a.people.Slice(from, upto)
		for at := from; at < upto; at, block = at+montecarlo.BlockRows, block+1 {
			of := a.people.Slice(at, min(at+montecarlo.BlockRows, upto))
			if err := source.Block(of, p.replicate*blocksOfReplicate+block); err != nil {
				return err
			}
		}
		for k := range cases {
			cases[k].EveryRule = s == 0 && !a.quick
		}
		if c := a.claim.Contrast; c != nil {
			c.By.Values(a.key[from:upto], people)
		}
		err := a.bench.Run(people, cases, func(l int, tile *scenario.Tile) error {
			a.tallies[l][g].add(a.test, tile, s == 0)
			return nil
		})
		if err != nil {
			return err
		}
		from = upto
		clear := true
		for l := range a.models {
			y := &a.tallies[l][g]
			if s == 0 {
				out.effects[l][g] = append(out.effects[l][g][:0], y.effects...)
			}
			if a.claim.Contrast != nil {
				clear = y.contrast(&out.read[l][g], a.test, a.key[:upto]) && clear
				continue
			}
			clear = y.counts.clear(a.claim.Share, a.claim.Expect) && clear
		}
		if clear && !a.all || a.quick {
			break
		}
	}
	if a.claim.Contrast == nil {
		for l := range a.models {
			if err := a.tallies[l][g].change(&out.read[l][g], a.test); err != nil {
				return fmt.Errorf("claim: %s, %s: %w", a.models[l], part.Population, err)
			}
		}
	}
	return nil
}

// blocksOfReplicate is more blocks than the people of a replicate take.
const blocksOfReplicate = 16

// others are the rules that the posture of the changed body could follow as well.
func (t *test) others() (rules []scenario.PostureRule) {
	ch := t.claim.Change
	if ch == nil || ch.Arms != nil {
		return nil
	}
	for _, rule := range t.setup.Rules {
		if rule != ch.Posture {
			rules = append(rules, rule)
		}
	}
	return rules
}

// drawTally gathers the bodies of one draw, population and model.
type drawTally struct {
	counts        counts
	under         [scenario.NumPostureRules]counts
	underEffects  [scenario.NumPostureRules][]float64 // in the claim's unit
	effects       []float64                           // of the bodies that count
	relatives     []float64                           // in per cent of the baselines
	before, after []float64                           // of those that take the posture; of a contrast before is of all, infinite if need be
	difficulties  []float64                           // of the first bodies; see test.difficulties
	excluded      int
	exact         bool
}

func (y *drawTally) reset() {
	*y = drawTally{effects: y.effects[:0], relatives: y.relatives[:0], before: y.before[:0], after: y.after[:0], underEffects: y.underEffects, difficulties: y.difficulties[:0], exact: true}
	for rule := range y.underEffects {
		y.underEffects[rule] = y.underEffects[rule][:0]
	}
}

// add takes a tile, and of the first bodies what becomes of them under every rule.
func (y *drawTally) add(t *test, tile *scenario.Tile, first bool) {
	if t.claim.Contrast != nil {
		y.before = t.values(y.before, tile)
		return
	}
	matters, d := t.claim.Threshold(), t.claim.Demand
	was, is := tile.First.Result, tile.Second.Result
	for i := range was.Possible {
		e, ok := t.effect(was, is, i)
		if !ok {
			y.excluded++
			continue
		}
		before, after := was.Value[d][i], is.Value[d][i]
		y.effects = append(y.effects, e)
		y.counts.count(t.sign*e, matters.Of(before))
		y.exact = y.exact && !moves(e, before)
		if was.Possible[i] {
			y.before = append(y.before, before)
		}
		if is.Possible[i] {
			y.after = append(y.after, after)
		}
		share := e // infinite where one of both cannot take the posture
		if !math.IsInf(e, 0) {
			share = 100 * relative(before, after)
		}
		y.relatives = append(y.relatives, share)
	}
	if !first {
		return
	}
	y.difficulties = t.difficulties(y.difficulties, tile)
	for _, rule := range t.others() {
		is := tile.Under[rule]
		for i := range was.Possible {
			e, ok := t.effect(was, is, i)
			if !ok {
				continue
			}
			y.under[rule].count(t.sign*e, matters.Of(was.Value[d][i]))
			if t.claim.inPercent() && !infinite(e) {
				e = 100 * relative(was.Value[d][i], is.Value[d][i])
			}
			y.underEffects[rule] = append(y.underEffects[rule], e)
		}
	}
}

// change reads what was gathered of a change.
func (y *drawTally) change(r *reading, t *test) error {
	slices.Sort(y.effects)
	slices.Sort(y.relatives)
	slices.Sort(y.before)
	slices.Sort(y.after)
	if len(y.effects) > 0 && math.IsNaN(y.effects[0]) {
		return fmt.Errorf("%s of a body is not a number", t.claim.Demand)
	}
	*r = reading{bodies: len(y.effects), excluded: y.excluded, counts: y.counts, exact: y.exact, greater: math.NaN()}
	r.read(t, y.effects, y.relatives)
	r.before, r.after = montecarlo.Quantile(y.before, 0.5), montecarlo.Quantile(y.after, 0.5)
	r.difficulty = medianOf(y.difficulties)
	for _, rule := range t.others() {
		slices.Sort(y.underEffects[rule])
		r.under[rule] = ruleReading{y.under[rule].shares(), montecarlo.Quantile(y.underEffects[rule], 0.5)}
	}
	r.shares = y.counts.shares()
	r.verdict = t.sized(t.claim.ruled(r.shares), r)
	return nil
}

// read sets the quantiles from sorted effects, and from the same in per cent of the
// baselines.
func (r *reading) read(t *test, effects, relatives []float64) {
	r.percent = montecarlo.Quantile(relatives, 0.5)
	r.median, r.p5, r.p95 = montecarlo.Quantile(effects, 0.5), montecarlo.Quantile(effects, 0.05), montecarlo.Quantile(effects, 0.95)
	in := effects
	if t.claim.inPercent() {
		in = relatives
	}
	for k := range r.spread {
		r.spread[k] = float32(montecarlo.Quantile(in, float64(k)/spreadSteps))
	}
}

// newCrossed returns room for the effects of a replicate's first people in every draw.
func (t *test) newCrossed() [][]*drivers.Crossed {
	if t.claim.Contrast != nil {
		return nil
	}
	var list [][]*drivers.Crossed
	for range t.models {
		crossed := make([]*drivers.Crossed, len(t.groups))
		for g := range crossed {
			crossed[g] = drivers.NewCrossed(stages[0])
		}
		list = append(list, crossed)
	}
	return list
}

// addFinite adds effects to a crossed design if there is one of each body.
func addFinite(c *drivers.Crossed, effects []float64) bool {
	if len(effects) < stages[0] || slices.ContainsFunc(effects, infinite) {
		return false
	}
	c.Add(effects)
	return true
}

// together joins the populations' readings of one draw at their weights.
func (a *assessor) together(out []reading, l int) {
	all, groups := &out[len(a.groups)], out[:len(a.groups)]
	*all = groups[0]
	if len(groups) == 1 || a.claim.Contrast != nil {
		return
	}
	*all = reading{exact: true, greater: math.NaN()}
	counted := 0.0
	effects, relatives, before, after := a.effects[:0], a.relatives[:0], a.before[:0], a.after[:0]
	for g, of := range groups {
		y, share := &a.tallies[l][g], a.groups[g].Share
		all.bodies, all.excluded, all.exact = all.bodies+of.bodies, all.excluded+of.excluded, all.exact && of.exact
		if of.bodies > 0 {
			counted += share
			all.shares.add(of.shares, share)
		}
		effects, relatives = effects.add(y.effects, share), relatives.add(y.relatives, share)
		before, after = before.add(y.before, share), after.add(y.after, share)
	}
	all.shares = all.shares.over(counted)
	all.read(a.test, effects.even(), relatives.even())
	all.verdict = a.sized(a.claim.ruled(all.shares), all)
	if a.besideDifficulty() {
		difficulties := a.relatives[:0]
		for g := range groups {
			difficulties = difficulties.add(a.tallies[l][g].difficulties, a.groups[g].Share)
		}
		all.difficulty = montecarlo.Quantile(difficulties.even(), 0.5)
	}
	for _, rule := range a.others() {
		under := a.relatives[:0]
		for g := range groups {
			under = under.add(a.tallies[l][g].underEffects[rule], a.groups[g].Share)
		}
		all.under[rule].median = montecarlo.Quantile(under.even(), 0.5)
	}
	all.before, all.after = montecarlo.Quantile(before.even(), 0.5), montecarlo.Quantile(after.even(), 0.5)
	a.effects, a.relatives, a.before, a.after = effects, relatives, before, after
}

// heavy are values with weights.
type heavy []struct{ value, weight float64 }

// add takes values that share a weight evenly.
func (h heavy) add(values []float64, weight float64) heavy {
	for _, v := range values {
		h = append(h, struct{ value, weight float64 }{v, weight / float64(len(values))})
	}
	return h
}

// even puts the values in order and returns as many of equal weight as tell their
// quantiles.
func (h heavy) even() []float64 {
	if len(h) == 0 {
		return nil
	}
	slices.SortFunc(h, func(a, b struct{ value, weight float64 }) int { return cmp.Compare(a.value, b.value) })
	total := 0.0
	for _, v := range h {
		total += v.weight
	}
	out, k, sum := make([]float64, 10*spreadSteps), 0, h[0].weight
	for i := range out {
		for at := (float64(i) + 0.5) / float64(len(out)) * total; sum < at && k < len(h)-1; sum += h[k].weight {
			k++
		}
		out[i] = h[k].value
	}
	return out
}
