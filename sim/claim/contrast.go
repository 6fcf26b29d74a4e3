package claim

import (
	"context"
	"fmt"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/columns"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/strength"
	"counterpoise/sim/verdict"
)

// ContrastResult is what one model says of a contrast among the people of one
// population.
type ContrastResult struct {
	Model   string
	People  string
	By      string // what they are told apart by
	Verdict Verdict

	// At the central assumptions: people in each of the two groups, where the bottom
	// group ends and the top group begins, their medians, and in how many pairs of a
	// person of either the one of the top group has the greater value: of difficulty, with strength
	// that differs as between untrained people of one sex, size, build and age.
	N          int
	Cut        Ends
	Median     Ends
	TopGreater float64
	// Impossible is how many of both groups cannot take the posture; what it asks
	// of them counts as infinite.
	Impossible int
	// MedianError is the standard error that the number of people leaves in the
	// difference of the medians, in the claim's unit.
	MedianError float64
	Draws       *Draws // nil of the rule that is taught
}

// Ends are the values for the bottom and the top group.
type Ends struct{ Low, High float64 }

// values appends the demand of a tile's bodies; of those who cannot take the posture
// it is infinite.
func (t *test) values(to []float64, tile *scenario.Tile) []float64 {
	column := tile.First.Result.Value[t.claim.Demand]
	for i, possible := range tile.First.Result.Possible {
		if possible {
			to = append(to, column[i])
		} else {
			to = append(to, t.hardest)
		}
	}
	return to
}

// contrastRun is people and their demands, in the order of drawing.
type contrastRun struct {
	test *test
	table
	key   [][]float64   // by group
	value [][][]float64 // by group and model
}

// runContrast draws everybody and holds them up at the central assumptions.
func (t *test) runContrast(ctx context.Context, o *Options) (*contrastRun, error) {
	t.allot(o.N)
	blocks := t.blocks()
	r := &contrastRun{test: t, key: make([][]float64, len(t.groups))}
	for range t.groups {
		r.value = append(r.value, make([][]float64, len(t.models)))
	}
	layout := t.layout()
	if err := r.open(o, layout, o.N); err != nil {
		return nil, err
	}
	type output struct {
		key   []float64
		value [][]float64   // by model
		rows  *columns.Rows // nil without a table
	}
	newWorker := func() func(int, *output) error {
		sources, bench, block := t.sources(o.Seed), t.newBench(), anthro.NewPeople(montecarlo.BlockRows)
		key := make([]float64, montecarlo.BlockRows)
		return func(index int, out *output) error {
			of := blocks[index]
			rows := montecarlo.Rows(t.groups[of.group].rows, of.block)
			people, key := block.Slice(0, rows), key[:rows]
			if err := sources[of.group].Block(people, of.block); err != nil {
				return err
			}
			t.claim.Contrast.By.Values(key, people)
			out.key = append(out.key[:0], key...)
			for l := range out.value {
				out.value[l] = out.value[l][:0]
			}
			return bench.Run(people, t.cases(t.groups[of.group].Part, &t.assumed.Centre), func(l int, tile *scenario.Tile) error {
				out.value[l] = t.values(out.value[l], tile)
				if out.rows != nil {
					t.fillRows(out.rows, of.group, l, key[tile.From:tile.From+tile.First.Bodies.Rows()], tile)
				}
				return nil
			})
		}
	}
	newOut := func() *output {
		out := &output{value: make([][]float64, len(t.models))}
		if r.sink != nil {
			out.rows = columns.NewRows(layout, montecarlo.BlockRows)
		}
		return out
	}
	consume := func(index int, out *output) error {
		g := blocks[index].group
		r.key[g] = append(r.key[g], out.key...)
		for l := range t.models {
			r.value[g][l] = append(r.value[g][l], out.value[l]...)
		}
		if r.sink != nil {
			return r.sink.Write(out.rows)
		}
		return nil
	}
	err := montecarlo.Run(ctx, montecarlo.Options{To: len(blocks), Workers: o.Workers, Progress: o.stage("bodies")}, newWorker, newOut, consume)
	if err != nil {
		r.abandon()
	}
	return r, err
}

// ends returns who is in the bottom and in the top group, and where the one ends and the
// other begins.
func (t *test) ends(key []float64) (bottom, top []int, cut Ends) {
	c := t.claim.Contrast
	low, high := c.Bottom, c.Top
	if !c.Stated() {
		sorted := slices.Sorted(slices.Values(key))
		n := int(c.Share * float64(len(sorted)))
		if n < 1 {
			return nil, nil, cut
		}
		low = anthro.Interval{Low: math.Inf(-1), High: sorted[n-1]}
		high = anthro.Interval{Low: sorted[len(sorted)-n], High: math.Inf(1)}
	}
	for i, k := range key {
		if k >= low.Low && k <= low.High {
			bottom = append(bottom, i)
		}
		if k >= high.Low && k <= high.High {
			top = append(top, i)
		}
	}
	return bottom, top, Ends{low.High, high.Low}
}

// at returns the values at some places.
func at(values []float64, places []int) []float64 {
	return names.Each(places, func(i int) float64 { return values[i] })
}

// differing is how people of one sex, size, build and age differ in strength, where that is what a
// contrast is about: a demand over it is divided by it.
type differing struct {
	sd          float64   // of the logarithm of what two people have over one another; 0 where nothing differs
	bottom, top []float64 // what the demands of the k-th of either group are multiplied by
}

// differing says how the people of a population differ in strength, with factors for so many pairs. All
// muscles of one person have the greatest part of it in common, which moves no posture. What each
// muscle has by itself counts as if one alone gave out; where the arms are free to be placed so that
// several give out together, as the mean of two. Nothing is said of athletes.
func (t *test) differing(g, pairs int) (d differing, err error) {
	populations := []*anthro.Population{t.groups[g].Selection.Population, t.groups[g].Selection.Population} // bottom, top
	if t.claim.Contrast.Sexes {
		women, men := t.sexes()
		populations[0], populations[1] = t.groups[men].Selection.Population, t.groups[women].Selection.Population
	}
	if t.claim.Demand != hold.Difficulty || populations[0].Athletes() != nil || populations[1].Athletes() != nil {
		return d, nil
	}
	model, err := strength.TheModel()
	if err != nil {
		return d, err
	}
	// An even sequence in two dimensions: the multiples of the powers of the inverse of the plastic number.
	for k, step := range []float64{0.7548776662466927, 0.5698402909980532} {
		spread, factors := model.SpreadOf(populations[k].Sex), make([]float64, pairs)
		own := spread.Own[muscle.ArmPush]
		if t.claim.Hold.Parts != nil {
			own /= math.Sqrt2
		}
		sd := math.Hypot(spread.Common, own)
		for i := range factors {
			_, u := math.Modf(float64((float64(i) + 0.5) * step))
			factors[i] = math.Exp(float64(sd * math.NormalQuantile(u)))
		}
		d.sd = math.Hypot(d.sd, sd)
		if k == 0 {
			d.bottom = factors
		} else {
			d.top = factors
		}
	}
	return d, nil
}

// apply makes everybody of two groups as strong as somebody of their size, where they were as strong as
// is usual.
func (d *differing) apply(groups *Groups) {
	for group, factors := range map[*Members][]float64{&groups.Bottom: d.bottom, &groups.Top: d.top} {
		for i := range min(len(factors), len(group.Demand)) {
			group.Demand[i] *= factors[i]
		}
	}
}

// told is how many populations a verdict is told of: women against men are one.
func (t *test) told() int {
	if c := t.claim.Contrast; c != nil && c.Sexes {
		return 1
	}
	return len(t.groups)
}

// sexes are the numbers of the women's and the men's population.
func (t *test) sexes() (women, men int) {
	if t.groups[0].Selection.Population.Sex == anthro.Male {
		return 1, 0
	}
	return 0, 1
}

// toldOf names the population of a verdict: of women against men the women's.
func (t *test) toldOf(g int) string {
	if c := t.claim.Contrast; c != nil && c.Sexes {
		g, _ = t.sexes()
	}
	return t.groups[g].Population
}

// checkSexes says why women cannot be compared with men.
func (t *test) checkSexes() error {
	if c := t.claim.Contrast; c == nil || !c.Sexes {
		return nil
	}
	if len(t.groups) != 2 || t.groups[0].Selection.Population.Sex == t.groups[1].Selection.Population.Sex {
		return fault.New("people", len(t.groups), "women are compared with men: one population of either is needed, such as us-women and us-men")
	}
	return nil
}

// fill adds to a result what each model says of each population.
func (r *contrastRun) fill(res *Result, d *outer) error {
	t := r.test
	for l, of := range t.models {
		var each []Verdict
		for g := range t.told() {
			c, err := r.compare(l, g)
			if err != nil {
				return err
			}
			c.Draws = d.summary(l, g)
			c.Verdict = c.Draws.verdict
			res.Contrast = append(res.Contrast, *c)
			each = append(each, c.Verdict)
		}
		res.Models = append(res.Models, ModelResult{Model: of.Model, Name: of.String(), Verdict: verdict.Together(each)})
	}
	return nil
}

// compare tells one model's groups of one population apart.
func (r *contrastRun) compare(l, g int) (*ContrastResult, error) {
	t := r.test
	var bottom, top []float64
	var cut Ends
	if t.claim.Contrast.Sexes {
		women, men := t.sexes()
		bottom, top = slices.Clone(r.value[men][l]), slices.Clone(r.value[women][l])
	} else {
		low, high, ends := t.ends(r.key[g])
		bottom, top, cut = at(r.value[g][l], low), at(r.value[g][l], high), ends
	}
	if len(bottom) < 2 || len(top) < 2 {
		return nil, fault.New("contrast", nil, "of %d people of %s %d are in the group below and %d in the one above, and 2 are needed in each: ask about people who are in them, or use more", t.groups[g].rows, t.toldOf(g), len(bottom), len(top))
	}
	greater, err := montecarlo.ProbabilityGreaterBy(top, bottom, t.differ[g].sd)
	if err != nil {
		return nil, err
	}
	c := &ContrastResult{
		Model: t.models[l].String(), People: t.toldOf(g), N: min(len(bottom), len(top)), TopGreater: greater,
		By: t.claim.Contrast.Name(), Cut: cut, Median: Ends{median(bottom), median(top)},
	}
	for _, group := range [][]float64{bottom, top} {
		slices.Sort(group)
		e := montecarlo.MedianError(int64(len(group)), func(p float64) float64 { return montecarlo.Quantile(group, p) })
		c.MedianError = math.Hypot(c.MedianError, e)
		for _, v := range group {
			if infinite(v) {
				c.Impossible++
			}
		}
	}
	if t.claim.inPercent() {
		c.MedianError *= 100 / math.Abs(c.Median.Low)
	}
	return c, nil
}

// contrast reads what was gathered of a contrast, and reports whether more people
// could hardly change the verdict. It fails where something is not a number.
func (y *drawTally) contrast(r *reading, t *test, of *crowd) (sure bool, err error) {
	bottom, top := at(y.before, of.bottom), at(y.before, of.top)
	if len(bottom) < 2 || len(top) < 2 { // so few are in a range
		*r = reading{early: r.early, verdict: NobodyHolds, greater: math.NaN()}
		return false, nil
	}
	return r.contrast(t, bottom, top, of.differ)
}

// contrast reads the bottom and the top group, whose order it changes, and reports whether
// more people could hardly change the verdict.
func (r *reading) contrast(t *test, bottom, top []float64, differ differing) (sure bool, err error) {
	pairs := make([]float64, 0, len(bottom))
	// People come in random order, so the k-th of either group make a random pair.
	for k := range min(len(top), len(bottom)) {
		high, low := top[k], bottom[k]
		if differ.sd > 0 {
			high, low = float64(high*differ.top[k]), float64(low*differ.bottom[k])
		}
		if d := high - low; !math.IsNaN(d) { // as where neither takes the posture
			pairs = append(pairs, d)
		}
	}
	slices.Sort(pairs)
	slices.Sort(bottom)
	slices.Sort(top)
	greater, err := montecarlo.ProbabilityGreaterBy(top, bottom, differ.sd)
	if err != nil {
		return false, fmt.Errorf("%s: %w", t.claim.Demand, err)
	}
	over := math.Abs(montecarlo.Quantile(bottom, 0.5))
	percents := make([]float64, 0, len(pairs)) // in order, as the pairs are
	for _, d := range pairs {
		if d /= over; !math.IsNaN(d) { // as where nothing is to be told in shares of nothing or of infinity
			percents = append(percents, 100*d)
		}
	}
	*r = reading{
		early: r.early, bodies: min(len(bottom), len(top)), shares: verdict.Counts{}.Shares(), greater: greater,
		before: montecarlo.Quantile(bottom, 0.5), after: montecarlo.Quantile(top, 0.5),
	}
	r.read(t, pairs, percents, false)
	r.median = r.after - r.before
	r.percent = 100 * r.median / over
	e, half := float64(t.sign*r.median), math.Hypot(halfWidth(bottom), halfWidth(top))
	r.verdict = t.sized(t.ruledDifference(e, r.before), r)
	low, high := t.ruledDifference(e-half, r.before), t.ruledDifference(e+half, r.before)
	// Where none is claimed, far apart either way is contradicted: then the sign must be
	// known as well.
	return low == high && (low != Contradicted || math.Abs(e) > half), nil
}

// halfWidth is half of the interval around the median of sorted values, from their
// order alone (the ranks that a binomial of one half leaves at verdict.BodiesConfidence).
func halfWidth(sorted []float64) float64 {
	n := float64(len(sorted))
	ranks := math.NormalQuantile((1+verdict.BodiesConfidence)/2) * math.Sqrt(n) / 2
	return (montecarlo.Quantile(sorted, min(0.5+ranks/n, 1)) - montecarlo.Quantile(sorted, max(0.5-ranks/n, 0))) / 2
}

// ruledDifference applies the rule to a difference of the groups' medians, in the
// expected direction. A difference from an infinite baseline, where most of the bottom
// group cannot take the posture, is infinite, or unknown where most of neither can.
func (t *test) ruledDifference(e, baseline float64) Verdict {
	threshold := t.claim.Threshold().Of(baseline)
	if math.IsInf(baseline, 0) {
		threshold = 0
	}
	return verdict.OfDifference(e, threshold, t.claim.Expect)
}

func infinite(x float64) bool { return math.IsInf(x, 0) }

// median returns the median of values, NaN if there are none.
func median(values []float64) float64 {
	return montecarlo.Quantile(slices.Sorted(slices.Values(values)), 0.5)
}
