package claim

import (
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/columns"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
	"counterpoise/sim/strength"
	"counterpoise/sim/verdict"
)

// movement is one demand before and after the change, and the change of it.
type movement struct{ before, after, effect montecarlo.Histogram }

func (m *movement) merge(o *movement) {
	m.before.Merge(&o.before)
	m.after.Merge(&o.after)
	m.effect.Merge(&o.effect)
}

// tally is everything that is counted of one group under one model, apart from
// means. It holds integers and extremes only, so that tallies can be merged in
// any order to the same result.
type tally struct {
	counted    int64 // bodies with an effect
	excluded   int64 // bodies that cannot take the pose before or after
	impossible int64 // bodies that cannot take it any more
	possible   int64 // bodies that can take it only now
	quantity   movement
	closer     int64      // bodies behind all that follows
	side       []movement // in the order of test.asked; those the model lacks stay empty
	postures   [scenario.NumPostureRules]montecarlo.Histogram
	limits     [2][hold.NumLimits]int64
	shares     montecarlo.Histogram // effect over baseline, where the threshold is a share
	breakEven  montecarlo.Histogram
}

func newTally(t *test) *tally { return &tally{side: make([]movement, len(t.asked))} }

func (y *tally) merge(o *tally) {
	y.counted += o.counted
	y.excluded += o.excluded
	y.impossible += o.impossible
	y.possible += o.possible
	y.quantity.merge(&o.quantity)
	y.closer += o.closer
	for d := range y.side {
		y.side[d].merge(&o.side[d])
	}
	for r := range y.postures {
		y.postures[r].Merge(&o.postures[r])
	}
	for k := range y.limits {
		for l := range y.limits[k] {
			y.limits[k][l] += o.limits[k][l]
		}
	}
	y.shares.Merge(&o.shares)
	y.breakEven.Merge(&o.breakEven)
}

// block is what a worker hands over in order: means, the rows for a table, and
// the first bodies for a closer look.
type block struct {
	moments [][3]montecarlo.Moments // by model: baseline, changed, effect
	rows    *columns.Rows           // nil without a table
	sample  *drivers.TraitSample
	sampled bool // whether sample holds this block's bodies
}

// worker owns the memory in which one goroutine works through blocks.
type worker struct {
	*test
	sources []*scenario.Source
	people  *anthro.People    // of the block at hand
	cases   [][]scenario.Case // by group
	// Beyond the closer blocks nobody asks for more than the claim's demand and the
	// posture.
	bench, lean *scenario.Bench
	scratch     []float64
	tallies     [][]*tally // by group and model
}

func (t *test) newWorker(o *Options) *worker {
	bench := t.newBench()
	w := &worker{
		test: t, sources: t.sources(o.Seed), people: anthro.NewPeople(montecarlo.BlockRows),
		bench: bench, lean: bench.Only(append([]hold.Demand{t.claim.Demand}, postureDemands...)...),
		scratch: make([]float64, scenario.TileRows),
	}
	for _, g := range t.groups {
		w.tallies = append(w.tallies, t.newTallies())
		w.cases = append(w.cases, t.cases(g.Part, &t.assumed.Centre))
	}
	return w
}

// block holds a block of people up and counts what becomes of them.
func (w *worker) block(out *block, of blockOf, table bool) error {
	people := w.people.Slice(0, montecarlo.Rows(w.groups[of.group].rows, of.block))
	if err := w.sources[of.group].Block(people, of.block); err != nil {
		return err
	}
	out.sample.Reset()
	out.sampled = of.block < sampleBlocks
	clear(out.moments)
	closer, bench := of.block < closerBlocks, w.lean
	if closer {
		bench = w.bench
	}
	cases := w.cases[of.group]
	for k := range cases {
		cases[k].EveryRule = closer
	}
	return bench.Run(people, cases, func(l int, tile *scenario.Tile) error {
		w.count(w.tallies[of.group][l], &out.moments[l], tile, w.models[l].Statics, closer)
		if table {
			w.fillRows(out.rows, of.group, l, nil, tile)
		}
		if out.sampled {
			w.test.sampled(out.sample, l, tile)
		}
		return nil
	})
}

// column returns the values of the rows that take the posture: all of them as they
// are, or some in the scratch.
func (w *worker) column(values []float64, possible []bool) []float64 {
	if !slices.Contains(possible, false) {
		return values[:len(possible)]
	}
	kept := w.scratch[:0]
	for i, v := range values {
		if possible[i] {
			kept = append(kept, v)
		}
	}
	return kept
}

// count adds the rows of a tile, held up under one model, to its tally and moments.
func (w *worker) count(y *tally, moments *[3]montecarlo.Moments, tile *scenario.Tile, model hold.Model, closer bool) {
	c := w.claim
	first, changed := tile.First.Result, tile.Second.Result
	rows := len(first.Possible)
	before, after := first.Value[c.Demand], changed.Value[c.Demand]
	effects := w.scratch[:0]
	everybody := !slices.Contains(first.Possible, false) && !slices.Contains(changed.Possible, false)
	if everybody { // nearly always, and worth a loop without a question
		effects = effects[:rows]
		linear.SubTo(effects, after, before)
	}
	for i := 0; i < rows && !everybody; i++ {
		e, ok := w.effect(first, changed, i)
		if !ok {
			y.excluded++
			continue
		}
		effects = append(effects, e)
		switch {
		case !changed.Possible[i]:
			y.impossible++
		case !first.Possible[i]:
			y.possible++
		}
	}
	y.counted += int64(len(effects))
	y.quantity.effect.AddAll(effects)
	moments[2].AddAll(effects) // Moments count infinite ones apart
	if c.inPercent() {
		y.shares.AddAll(w.relatives(first, changed))
	}
	kept := w.column(before, first.Possible)
	y.quantity.before.AddAll(kept)
	moments[0].AddAll(kept)
	kept = w.column(after, changed.Possible)
	y.quantity.after.AddAll(kept)
	moments[1].AddAll(kept)
	if !closer {
		return
	}
	y.closer += int64(rows)
	for k, d := range w.asked {
		if d == c.Demand || !w.setup.Gives(model, d) {
			continue
		}
		m := &y.side[k]
		m.before.AddAll(w.column(first.Value[d], first.Possible))
		m.after.AddAll(w.column(changed.Value[d], changed.Possible))
		m.effect.AddAll(w.differences(first, changed, d))
	}
	for i := range rows {
		if first.Possible[i] {
			y.limits[0][first.Limit[i]]++
		}
		if changed.Possible[i] {
			y.limits[1][changed.Limit[i]]++
		}
	}
	if c.Change.Arms == nil {
		for _, rule := range w.setup.Rules {
			y.postures[rule].AddAll(w.effects(first, tile.Under[rule]))
		}
	}
	if m := c.Change.Body.Mass; len(m) == 1 && c.Change.Body.Scale() == 1 && w.setup.Gives(model, hold.Difficulty) {
		kept, mass := w.scratch[:0], tile.First.Bodies.Mass
		for i := range rows {
			if first.Possible[i] && changed.Possible[i] {
				// The best posture does not change when all capacities grow by one
				// factor, so taking the gain out again leaves what dead weight would do.
				dead := changed.Value[hold.Difficulty][i] / first.Value[hold.Difficulty][i] * tile.Ratio[i].Force
				ratio := dead * mass[i] / tile.Second.Bodies.Mass[i]
				even := strength.BreakEven(ratio, mass[i], m[0].Kilograms, &tile.First.Assume)
				if !math.IsNaN(even) && !infinite(even) { // else nothing was asked before
					kept = append(kept, even)
				}
			}
		}
		y.breakEven.AddAll(kept)
	}
}

// differences returns changed − first of the rows that take both postures.
func (w *worker) differences(first, changed *hold.Result, d hold.Demand) []float64 {
	kept := w.scratch[:0]
	for i := range first.Possible {
		if first.Possible[i] && changed.Possible[i] {
			kept = append(kept, changed.Value[d][i]-first.Value[d][i])
		}
	}
	return kept
}

// effects returns the effects of the rows that count, infinite ones included.
func (w *worker) effects(first, changed *hold.Result) []float64 {
	kept := w.scratch[:0]
	for i := range first.Possible {
		if e, ok := w.effect(first, changed, i); ok {
			kept = append(kept, e)
		}
	}
	return kept
}

// relatives returns the effects over the sizes of the baselines of the rows that
// take both postures.
func (w *worker) relatives(first, changed *hold.Result) []float64 {
	kept := w.scratch[:0]
	before, after := first.Value[w.claim.Demand], changed.Value[w.claim.Demand]
	for i := range first.Possible {
		if first.Possible[i] && changed.Possible[i] {
			kept = append(kept, relative(before[i], after[i]))
		}
	}
	return kept
}

// relative is the change from before to after over the size of before: positive
// where it grows, whatever the sign of either, and infinite where something
// comes out of nothing.
func relative(before, after float64) float64 {
	switch {
	case before > verdict.Rounding:
		return after/before - 1
	case before < -verdict.Rounding:
		return 1 - after/before
	case math.Abs(after) <= verdict.Rounding:
		return 0
	}
	return math.Copysign(math.Inf(1), after)
}

// sampleBlocks is how many blocks of each population are kept for a closer
// look at what the effect goes with.
const sampleBlocks = 2

// closerBlocks is how many blocks of each population stand behind what is
// reported beside the claim's own quantity: other demands, the other posture
// rules, what binds. Medians of 65,536 bodies need no more.
const closerBlocks = 16

// traits are what an effect may go with, read off the first body.
var traits = []struct {
	name string
	of   body.Quantity
}{
	{"stature", body.Of(body.Stature)},
	{"body mass", body.Of(body.Mass)},
	{"mass for stature (BMI)", body.BodyMassIndex},
	{"arm length for stature", body.Ratio(body.ArmLength, body.Stature)},
	{"shoulder breadth for stature", body.Ratio(body.ShoulderSpan, body.Stature)},
	{"trunk length for stature", body.Ratio(body.TrunkLength, body.Stature)},
	{"leg length for stature", body.Ratio(body.LegLength, body.Stature)},
	{"share of mass in the arms", body.Of(body.ArmsMassShare)},
	{"share of mass in the legs", body.Of(body.LegsMassShare)},
}

// sampled appends the bodies of a tile under one model, with their effects, to a sample.
func (t *test) sampled(s *drivers.TraitSample, model int, tile *scenario.Tile) {
	first, changed, bodies := tile.First.Result, tile.Second.Result, tile.First.Bodies
	for i := range bodies.Rows() {
		for k := range traits {
			if model == 0 {
				s.Traits[k] = append(s.Traits[k], traits[k].of.At(nil, bodies, i))
			}
		}
		e, ok := t.effect(first, changed, i)
		claimed := 0.0
		var c verdict.Counts
		c.Count(t.sign*e, t.claim.Threshold().Of(first.Value[t.claim.Demand][i]))
		if t.claim.Expect == None && c.Zero > 0 || t.claim.Expect != None && c.Plus > 0 {
			claimed = 1
		}
		if !ok {
			e = math.NaN()
		}
		s.Effects[model], s.Claimed[model] = append(s.Effects[model], e), append(s.Claimed[model], claimed)
	}
}
