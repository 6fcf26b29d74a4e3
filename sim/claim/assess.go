package claim

import (
	"fmt"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
)

// stages are how many bodies of a population a draw is judged on: the first, then more
// while a share of them is too close to call. What is told of them beside shares is of the
// first alone, who are the same in every draw of a replicate, so that draws do not differ
// by who was met. A contrast, whose medians are what it is judged by and noisier than a
// paired share, takes contrastFactor times as many, and is told of all.
var stages = [...]int{256, 1024, 4096}

const contrastFactor = 4

func (c *Claim) factor() int {
	if c.Contrast != nil {
		return contrastFactor
	}
	return 1
}

// spreadSteps is into how many equal parts a reading's quantiles divide people.
const spreadSteps = 100

// reading is what one draw says of one population, or of all together, under one model.
type reading struct {
	verdict  Verdict
	early    early
	bodies   int            // that count, of a contrast in each of the two groups
	excluded int            // that take the posture neither before nor after
	counts   verdict.Counts // of a change, of one population
	shares   verdict.Shares // likewise, of all together too
	exact    bool           // nothing moves
	// Of the first bodies, of a contrast of all: the median effect, or the difference of
	// the groups' medians, and how people or pairs differ around it, in the demand's unit;
	// before and after are medians, of a contrast those of the bottom and the top group.
	median, p5, p95, before, after float64
	percent                        float64                               // the median in per cent of the baseline
	spread                         [spreadSteps + 1]float32              // quantiles of the effects in the claim's unit
	greater                        float64                               // of a contrast: top over bottom, person by person
	under                          [scenario.NumPostureRules]ruleReading // by another rule
	difficulty                     float64                               // its median change, in per cent; see test.besideDifficulty
}

// early is what the first bodies say.
type early struct {
	verdict Verdict
	size    float64 // the median effect in the claim's unit
}

// ruleReading is what a draw says under another rule of posture.
type ruleReading struct {
	shares verdict.Shares
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
	stages  []int                       // of bodies
	lean    bool                        // looks at no other rule of posture
	brief   bool                        // of quantiles reads the median effect alone
	only    [][]bool                    // by model and group: reads no other, and does not join populations; all where nil
	sources map[[2]int]*scenario.Source // by group and refit
	bench   *scenario.Bench
	crowds  []crowd
	chosen  *anthro.People // scratch: of a contrast
	tallies [][]drawTally  // by model and group
	reads   []int          // scratch
	lists   []montecarlo.Weighted
	even    [2][]float64
}

// crowd is people of one population, drawn as far as they were asked for.
type crowd struct {
	people           *anthro.People
	replicate, refit int
	rows, blocks     int
	// Of a contrast: what each is told apart by, each one's place among those held up,
	// negative of who was not, how many were, and the places of its two groups.
	key         []float64
	differ      differing
	place       []int
	held        int
	bottom, top []int
}

// reset forgets who was held up.
func (c *crowd) reset() {
	c.held = 0
	for k := range c.place {
		c.place[k] = -1
	}
}

// choose finds the two groups of a contrast among the first people, and returns those of
// them who were not held up yet: nobody else bears on it.
func (a *assessor) choose(of *crowd, upto int) *anthro.People {
	of.bottom, of.top, _ = a.ends(of.key[:upto])
	from := of.held
	for _, group := range [][]int{of.bottom, of.top} {
		for k, row := range group {
			if of.place[row] < 0 {
				a.chosen.CopyRow(of.held-from, of.people, row)
				of.place[row] = of.held
				of.held++
			}
			group[k] = of.place[row]
		}
	}
	return a.chosen.Slice(0, of.held-from)
}

// newAssessor returns an assessor that holds up the given stages' bodies at most.
func (t *test) newAssessor(seed uint64, stages []int) *assessor {
	a := &assessor{test: t, seed: seed, sources: map[[2]int]*scenario.Source{}}
	a.stages = names.Each(stages, func(n int) int { return n * t.claim.factor() })
	asked, most := t.drawDemands(), a.stages[len(stages)-1]
	a.bench = scenario.NewBench(min(most, scenario.TileRows), asked, asked, t.setup.Rules...)
	for g := range t.groups {
		c := crowd{people: anthro.NewPeople(most)}
		if t.claim.Contrast != nil {
			c.key, c.place, c.differ = make([]float64, most), make([]int, most), t.differ[g]
		}
		a.crowds = append(a.crowds, c)
	}
	if t.claim.Contrast != nil {
		a.chosen = anthro.NewPeople(most)
	}
	for range t.models {
		a.tallies = append(a.tallies, make([]drawTally, len(t.groups)))
	}
	return a
}

// assess reads a point.
func (a *assessor) assess(out *answer, p *point) error {
	if c := a.claim.Contrast; c != nil && c.Sexes {
		return a.assessSexes(out, p)
	}
	for g := range a.groups {
		if err := a.group(out, g, p); err != nil {
			return err
		}
	}
	for l := range a.models {
		if a.only == nil {
			a.together(out.read[l], l)
		}
	}
	return nil
}

// assessSexes holds up women and men, as many of either, until what they say is clear.
func (a *assessor) assessSexes(out *answer, p *point) error {
	women, men := a.sexes()
	for l := range a.models {
		a.tallies[l][women].reset()
		a.tallies[l][men].reset()
	}
	from := 0
	for s, upto := range a.stages {
		for g := range a.groups {
			part, err := a.part(g, p.refit[g])
			if err != nil {
				return err
			}
			people, err := a.meet(g, p, part, from, upto)
			if err != nil {
				return err
			}
			err = a.bench.Run(people, a.cases(part, &p.set), func(l int, tile *scenario.Tile) error {
				a.tallies[l][g].add(a.test, tile, s == 0, false)
				return nil
			})
			if err != nil {
				return err
			}
		}
		from = upto
		clear := true
		for l, m := range a.models {
			read := &out.read[l][0]
			sure, err := read.contrast(a.test, slices.Clone(a.tallies[l][men].before), slices.Clone(a.tallies[l][women].before), a.differ[0])
			if err != nil {
				return fmt.Errorf("claim: %s: %w", m, err)
			}
			if s == 0 {
				read.early = early{read.verdict, read.inUnit(a.claim)}
			}
			clear = clear && sure
		}
		if clear {
			break
		}
	}
	for l := range a.models {
		out.read[l][len(a.groups)] = out.read[l][0]
	}
	return nil
}

// group holds up people of one population until what they say is clear.
func (a *assessor) group(out *answer, g int, p *point) error {
	part, err := a.part(g, p.refit[g])
	if err != nil {
		return err
	}
	cases, models := a.cases(part, &p.set), a.reads[:0] // of the models that are read
	for l := range a.models {
		if a.only == nil || a.only[l][g] {
			a.tallies[l][g].reset()
			cases[len(models)] = cases[l]
			models = append(models, l)
		}
	}
	if cases, a.reads = cases[:len(models)], models; len(cases) == 0 {
		return nil
	}
	crowd := &a.crowds[g]
	crowd.reset()
	from := 0
	for s, upto := range a.stages {
		people, err := a.meet(g, p, part, from, upto)
		if err != nil {
			return err
		}
		if a.claim.Contrast != nil {
			people = a.choose(crowd, upto)
		}
		for k := range cases {
			cases[k].EveryRule = s == 0 && !a.lean
		}
		err = a.bench.Run(people, cases, func(k int, tile *scenario.Tile) error {
			a.tallies[models[k]][g].add(a.test, tile, s == 0, cases[k].EveryRule)
			return nil
		})
		if err != nil {
			return err
		}
		from = upto
		clear := true
		for _, l := range models {
			y, read := &a.tallies[l][g], &out.read[l][g]
			if s == 0 {
				out.effects[l][g] = append(out.effects[l][g][:0], y.effects...)
				y.first(read, a.test, a.brief)
			}
			sure, err := y.judge(read, a.test, crowd)
			if err != nil {
				return fmt.Errorf("claim: %s, %s: %w", a.models[l], part.Population, err)
			}
			if s == 0 {
				read.early = early{read.verdict, read.inUnit(a.claim)}
			}
			clear = clear && sure
		}
		if clear {
			break
		}
	}
	return nil
}

// meet returns people of one population under a point: those of its replicate, whom
// every draw meets in the same order.
func (a *assessor) meet(g int, p *point, part *scenario.Part, from, upto int) (*anthro.People, error) {
	id, c := [2]int{g, p.refit[g]}, &a.crowds[g]
	if c.replicate != p.replicate || c.refit != p.refit[g] {
		c.replicate, c.refit, c.rows, c.blocks = p.replicate, p.refit[g], 0, 0
	}
	source := a.sources[id]
	if source == nil {
		source = part.SourceFor(a.seed, scenario.Purpose(part.Population)+"/draws", a.claim.Contrast != nil)
		a.sources[id] = source
	}
	for ; c.rows < upto; c.blocks++ {
		next := min(c.rows+montecarlo.BlockRows, upto)
		if err := source.Block(c.people.Slice(c.rows, next), p.replicate*blocksOfReplicate+c.blocks); err != nil {
			return nil, err
		}
		c.rows = next
	}
	people := c.people.Slice(from, upto)
	if of := a.claim.Contrast; of != nil {
		of.By.Values(c.key[from:upto], people)
	}
	return people, nil
}

// blocksOfReplicate is more blocks than the people of a replicate take.
const blocksOfReplicate = 16

// others are the rules that the posture of the changed body could follow as well.
func (t *test) others() []scenario.PostureRule {
	ch := t.claim.Change
	if ch == nil || ch.Arms != nil {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(t.setup.Rules), func(rule scenario.PostureRule) bool { return rule == ch.Posture })
}

// drawTally gathers the bodies of one draw, population and model.
type drawTally struct {
	counts   verdict.Counts
	excluded int
	exact    bool
	wrong    bool // some effect is not a number
	// Of the first bodies alone, but of a contrast, where before is of all who were held
	// up, in that order, infinite where one cannot take the posture.
	before, after []float64 // of those that take the posture
	effects       []float64 // of those that count
	relatives     []float64 // in per cent of the baselines
	under         [scenario.NumPostureRules]verdict.Counts
	underEffects  [scenario.NumPostureRules][]float64 // in the claim's unit
	difficulties  []float64                           // see test.difficulties
}

func (y *drawTally) reset() {
	*y = drawTally{effects: y.effects[:0], relatives: y.relatives[:0], before: y.before[:0], after: y.after[:0], underEffects: y.underEffects, difficulties: y.difficulties[:0], exact: true}
	for rule := range y.underEffects {
		y.underEffects[rule] = y.underEffects[rule][:0]
	}
}

// add takes a tile; first tells whether it is of the first bodies, and rules whether they
// were held up under every rule.
func (y *drawTally) add(t *test, tile *scenario.Tile, first, rules bool) {
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
		y.counts.Count(t.sign*e, matters.Of(before))
		y.exact = y.exact && !verdict.Moves(e, before)
		y.wrong = y.wrong || math.IsNaN(e)
		if !first {
			continue
		}
		y.effects = append(y.effects, e)
		if was.Possible[i] {
			y.before = append(y.before, before)
		}
		if is.Possible[i] {
			y.after = append(y.after, after)
		}
		y.relatives = append(y.relatives, percent(e, before, after))
	}
	if first {
		y.difficulties = t.difficulties(y.difficulties, tile)
	}
	if !rules {
		return
	}
	for _, rule := range t.others() {
		is := tile.Under[rule]
		for i := range was.Possible {
			e, ok := t.effect(was, is, i)
			if !ok {
				continue
			}
			y.under[rule].Count(t.sign*e, matters.Of(was.Value[d][i]))
			if t.claim.inPercent() {
				e = percent(e, was.Value[d][i], is.Value[d][i])
			}
			y.underEffects[rule] = append(y.underEffects[rule], e)
		}
	}
}

// percent is an effect in per cent of the baseline, infinite where it is.
func percent(effect, before, after float64) float64 {
	if infinite(effect) {
		return effect
	}
	return 100 * relative(before, after)
}

// first reads what is told of the first bodies of a change, briefly of their median
// effect alone.
func (y *drawTally) first(r *reading, t *test, brief bool) {
	if t.claim.Contrast != nil {
		return
	}
	*r = reading{greater: math.NaN()}
	slices.Sort(y.effects)
	slices.Sort(y.relatives)
	r.read(t, y.effects, y.relatives, brief)
	if brief {
		return
	}
	r.before, r.after = medianOf(y.before), medianOf(y.after)
	r.difficulty = medianOf(y.difficulties)
	for _, rule := range t.others() {
		r.under[rule] = ruleReading{y.under[rule].Shares(), medianOf(y.underEffects[rule])}
	}
}

// judge applies the rule to the bodies so far, after first, and reports whether more of
// them could hardly change what it says. It fails where something is not a number.
func (y *drawTally) judge(r *reading, t *test, of *crowd) (sure bool, err error) {
	if t.claim.Contrast != nil {
		return y.contrast(r, t, of)
	}
	if y.wrong {
		return false, fmt.Errorf("%s of a body is not a number", t.claim.Demand)
	}
	r.bodies, r.excluded, r.exact = int(y.counts.Total()), y.excluded, y.exact
	r.counts, r.shares = y.counts, y.counts.Shares()
	r.verdict = t.sized(t.claim.ruled(r.shares), r)
	return y.counts.Clear(t.claim.Share, t.claim.Expect), nil
}

// read sets the quantiles from sorted effects, and from the same in per cent of the
// baselines, briefly the medians alone.
func (r *reading) read(t *test, effects, relatives []float64, brief bool) {
	r.percent, r.median = montecarlo.Quantile(relatives, 0.5), montecarlo.Quantile(effects, 0.5)
	if brief {
		return
	}
	r.p5, r.p95 = montecarlo.Quantile(effects, 0.05), montecarlo.Quantile(effects, 0.95)
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

// together joins the populations' readings of one draw: a body weighs as much as its
// population's share of all says, over how many of that were held up.
func (a *assessor) together(out []reading, l int) {
	all, groups := &out[len(a.groups)], out[:len(a.groups)]
	*all = groups[0]
	if len(groups) == 1 || a.claim.Contrast != nil {
		return
	}
	*all = reading{exact: true, greater: math.NaN()}
	counted := 0.0
	for g, of := range groups {
		all.bodies, all.excluded, all.exact = all.bodies+of.bodies, all.excluded+of.excluded, all.exact && of.exact
		if of.bodies > 0 {
			weight := a.groups[g].Share * float64(of.bodies) / float64(of.bodies+of.excluded)
			counted += weight
			all.shares.Add(of.shares, weight)
		}
	}
	all.shares = all.shares.Over(counted)
	even := func(k int, of func(*drawTally) []float64) []float64 {
		a.lists = a.lists[:0]
		for g := range groups {
			a.lists = append(a.lists, montecarlo.Weighted{Values: of(&a.tallies[l][g]), Weight: a.groups[g].Share})
		}
		a.even[k] = montecarlo.MergeWeighted(a.even[k][:0], 10*spreadSteps, a.lists)
		return a.even[k]
	}
	effects := even(0, func(y *drawTally) []float64 { return y.effects })
	all.read(a.test, effects, even(1, func(y *drawTally) []float64 { return y.relatives }), a.brief)
	all.verdict = a.sized(a.claim.ruled(all.shares), all)
	if a.brief {
		return
	}
	median := func(of func(*drawTally) []float64) float64 { return montecarlo.Quantile(even(0, of), 0.5) }
	all.before = median(func(y *drawTally) []float64 { return y.before })
	all.after = median(func(y *drawTally) []float64 { return y.after })
	all.difficulty = median(func(y *drawTally) []float64 { return y.difficulties })
	for _, rule := range a.others() {
		all.under[rule].median = median(func(y *drawTally) []float64 { return y.underEffects[rule] })
	}
}

// besideDifficulty reports whether draws tell the difficulty beside the claim's demand: a
// force or a moment may fall while the hold gets harder.
func (t *test) besideDifficulty() bool {
	c := t.claim
	return c.Contrast == nil && (c.Demand.Unit == "BW" || c.Demand.Unit == "BW·m") && slices.Contains(t.asked, hold.Difficulty)
}

// drawDemands are the demands that draws ask for.
func (t *test) drawDemands() []hold.Demand {
	asked := append([]hold.Demand{t.claim.Demand}, postureDemands...)
	if t.besideDifficulty() {
		asked = append(asked, hold.Difficulty)
	}
	return asked
}

// difficulties adds the changes of the difficulty of a tile's bodies, in per cent.
func (t *test) difficulties(list []float64, tile *scenario.Tile) []float64 {
	if !t.besideDifficulty() {
		return list
	}
	was, is := tile.First.Result, tile.Second.Result
	for i := range was.Possible {
		switch e, ok := t.effect(was, is, i); {
		case ok && infinite(e):
			list = append(list, e)
		case ok:
			list = append(list, 100*relative(was.Value[hold.Difficulty][i], is.Value[hold.Difficulty][i]))
		}
	}
	return list
}

// medianOf sorts values and returns their median, NaN of none.
func medianOf(values []float64) float64 {
	slices.Sort(values)
	return montecarlo.Quantile(values, 0.5)
}
