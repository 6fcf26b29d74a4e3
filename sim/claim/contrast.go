package claim

import (
	"context"
	"fmt"
	"math"
	"slices"
	"sort"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/fault"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// ContrastResult is what one model says of a contrast among the people of one
// population.
type ContrastResult struct {
	Model   string
	People  string
	N       int    // people in each of the two groups
	By      string // what they are told apart by
	Cut     Ends   // the bottom group lies below Low, the top group above High
	Median  Ends   // of the quantity in the bottom and in the top group
	Verdict Verdict

	// Difference is the top group's median less the bottom group's, with a 95 %
	// bootstrap interval.
	Difference Interval
	// TopGreater is the probability that a person of the top group has the
	// greater value than one of the bottom group.
	TopGreater float64
	// Impossible is how many of both groups cannot take the posture; what it asks
	// of them counts as infinite.
	Impossible int
	Draws      *Draws

	pairs montecarlo.Histogram // top less bottom, person by person; see PairBins
	scale float64
}

// PairBins returns how the differences between a person of the top group and
// one of the bottom group spread over equal bins from low to high, as shares of
// the pairs. They are in per cent of the bottom group's median where the
// claim's threshold is a share, else in the demand's own unit.
func (c *ContrastResult) PairBins(low, high float64, bins int) []float64 {
	return c.pairs.Shares(low/c.scale, high/c.scale, bins)
}

// PairAt returns a quantile of the finite differences, those between people who
// can take the posture, in the unit of PairBins; NaN where there are none.
func (c *ContrastResult) PairAt(p float64) float64 { return c.scale * finiteQuantile(&c.pairs, p) }

// PairQuantile is PairAt with those who cannot take the posture counted as infinite;
// NaN where there are no pairs.
func (c *ContrastResult) PairQuantile(p float64) float64 { return c.scale * c.pairs.Quantile(p) }

// Ends are the values for the bottom and the top group.
type Ends struct{ Low, High float64 }

// Interval is a value with its lower and upper limit.
type Interval struct{ Value, Low, High float64 }

// contrastConfidence and resamples belong to the bootstrap interval.
const (
	contrastConfidence = 0.95
	resamples          = 2000
)

// contrastDrawFactor is how many times DrawBodies stand behind each assumption
// draw of a contrast, whose difference of medians is noisier than a paired
// share.
const contrastDrawFactor = 2

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

// comparedCases are the ways in which people of a group are held up beside others.
func (t *test) comparedCases(g int, a *assume.Set) []scenario.Case {
	cases := t.cases(t.groups[g], a)
	for k := range cases {
		cases[k].Apart = true
	}
	return cases
}

// people and their demands, in the order of drawing, by group.
type contrastRun struct {
	key   [][]float64   // by group
	value [][][]float64 // by group and model
	sink  Sink
}

// contrast tests a contrast between people.
func (t *test) contrast(ctx context.Context, o Options) (*Result, error) {
	if o.N > o.MaxN {
		return nil, fmt.Errorf("claim: a contrast keeps every body in memory: n is %d, must be at most %d", o.N, o.MaxN)
	}
	t.allot(o.N)
	r, err := t.runContrast(ctx, &o)
	if err != nil {
		return nil, err
	}
	kept := false
	defer func() {
		if !kept && r.sink != nil {
			r.sink.Abort()
		}
	}()
	res := &Result{Claim: t.claim, N: o.N, Seed: o.Seed}
	points, err := t.assumptionPoints(&o)
	if err != nil {
		return nil, err
	}
	var verdicts []Verdict
	for l, of := range t.models {
		m := ModelResult{Model: of.Model, Name: of.String()}
		var each []Verdict
		for g := range t.groups {
			c, err := t.compare(r, l, g, &o)
			if err != nil {
				return nil, err
			}
			if o.Draws > 0 {
				if err := t.contrastDraws(ctx, c, l, g, points, &o); err != nil {
					return nil, err
				}
			}
			res.Contrast = append(res.Contrast, *c)
			each = append(each, c.Verdict)
		}
		m.Verdict = together(each[0], each)
		res.Models = append(res.Models, m)
		verdicts = append(verdicts, m.Verdict)
	}
	res.Verdict, res.InDirection = overall(verdicts)
	if r.sink != nil {
		kept = true
		if err := r.sink.Commit(); err != nil {
			return nil, err
		}
	}
	t.noteOfPeople(res)
	if o.Draws == 0 {
		res.Warnings = append(res.Warnings, "no assumption draws: the verdict holds at the central assumptions only; add --assumption-draws 128")
	}
	return res, nil
}

// runContrast draws everybody and holds them up at the central assumptions.
func (t *test) runContrast(ctx context.Context, o *Options) (*contrastRun, error) {
	blocks := t.blocks()
	r := &contrastRun{key: make([][]float64, len(t.groups))}
	for range t.groups {
		r.value = append(r.value, make([][]float64, len(t.models)))
	}
	layout := t.layout()
	if o.Open != nil {
		sink, err := o.Open(layout, o.N)
		if err != nil {
			return nil, err
		}
		r.sink = sink
	}
	type output struct {
		key   []float64
		value [][]float64 // by model
		rows  *Rows       // nil without a table
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
			return bench.Run(people, t.comparedCases(of.group, &t.assumed.Centre), func(l int, tile *scenario.Tile) error {
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
			out.rows = newRows(layout, montecarlo.BlockRows)
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
	if err != nil && r.sink != nil {
		r.sink.Abort()
	}
	return r, err
}

// split returns the values of the bottom and the top group and the cuts.
func (t *test) split(key, value []float64) (bottom, top []float64, cut Ends) {
	sorted := append([]float64(nil), key...)
	sort.Float64s(sorted)
	n := int(t.claim.Contrast.Share * float64(len(sorted)))
	if n < 1 {
		return nil, nil, cut
	}
	cut = Ends{sorted[n-1], sorted[len(sorted)-n]}
	for i, k := range key {
		if k <= cut.Low {
			bottom = append(bottom, value[i])
		}
		if k >= cut.High {
			top = append(top, value[i])
		}
	}
	return bottom, top, cut
}

// compare gives one model's verdict on one population.
func (t *test) compare(r *contrastRun, l, g int, o *Options) (*ContrastResult, error) {
	c := t.claim
	bottom, top, cut := t.split(r.key[g], r.value[g][l])
	if len(bottom) < 2 || len(top) < 2 {
		return nil, fault.New("n", t.groups[g].rows, "%d people of %s leave fewer than 2 in each group; use more", t.groups[g].rows, t.groups[g].Population)
	}
	stream := montecarlo.NewStream(o.Seed, "bootstrap/"+c.Name)
	stream.Reset(uint64(g))
	d, err := montecarlo.BootstrapMedianDifference(top, bottom, contrastConfidence, resamples, stream)
	if err != nil {
		if !slices.ContainsFunc(bottom, infinite) || !slices.ContainsFunc(top, infinite) {
			return nil, err
		}
		// About half of both groups cannot take the posture or more: there is nothing
		// between them that could be judged.
		d = montecarlo.MedianDifference{Difference: math.NaN(), Low: math.NaN(), High: math.NaN()}
	}
	greater, err := montecarlo.ProbabilityGreater(top, bottom)
	if err != nil {
		return nil, err
	}
	lower, upper := medianOf(bottom), medianOf(top)
	result := &ContrastResult{
		Model: t.models[l].String(), People: t.groups[g].Population, N: min(len(bottom), len(top)),
		By: c.Contrast.By.String(), Cut: cut, Median: Ends{lower, upper},
		Verdict:    t.judgeDifference(min(t.sign*d.Low, t.sign*d.High), max(t.sign*d.Low, t.sign*d.High), lower),
		Difference: Interval{d.Difference, d.Low, d.High}, TopGreater: greater,
		scale: 1,
	}
	for _, group := range [][]float64{bottom, top} {
		for _, v := range group {
			if infinite(v) {
				result.Impossible++
			}
		}
	}
	over := 1.0
	if c.Threshold().Share > 0 {
		over, result.scale = math.Abs(lower), 100
	}
	// People come in random order, so the k-th of either group make a random pair.
	for k := range min(len(top), len(bottom)) {
		// Not a number where neither takes the posture, or nothing is to be told in
		// shares of nothing or of infinity.
		if d := (top[k] - bottom[k]) / over; !math.IsNaN(d) {
			result.pairs.Add(d)
		}
	}
	return result, nil
}

// judgeDifference applies the contrast's rule to a difference in the expected
// direction and its interval. A difference from an infinite baseline, where most
// of the bottom group cannot take the posture, is infinite or unknown.
func (t *test) judgeDifference(low, high, baseline float64) Verdict {
	threshold := t.claim.Threshold().Of(baseline)
	if math.IsInf(baseline, 0) {
		threshold = 0
	}
	within, outside := TooSmall, Contradicted
	if t.claim.Expect == None {
		within = Supported
		if low > threshold {
			return outside
		}
	}
	switch {
	case low > threshold:
		return Supported
	case high < -threshold:
		return outside
	case low >= -threshold && high <= threshold:
		return within
	}
	return Undecided
}

func infinite(x float64) bool { return math.IsInf(x, 0) }

func medianOf(values []float64) float64 {
	sorted := append([]float64(nil), values...)
	sort.Float64s(sorted)
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}

// contrastDraws repeats the comparison over the assumption draws on the first
// people and replaces the verdict by the one that the draws hold in common. A
// draw is judged by its difference alone.
func (t *test) contrastDraws(ctx context.Context, c *ContrastResult, l, g int, points []assumptionPoint, o *Options) error {
	people := anthro.NewPeople(contrastDrawFactor * o.DrawBodies)
	if err := t.sources(o.Seed)[g].Fill(people); err != nil {
		return err
	}
	key := make([]float64, people.Rows())
	t.claim.Contrast.By.Values(key, people)
	type output struct{ difference, baseline float64 }
	differences, percents := make([]float64, len(points)), make([]float64, len(points))
	verdicts := make([]Verdict, len(points))
	newWorker := func() func(int, *output) error {
		bench, values := t.newBench(), make([]float64, 0, people.Rows())
		return func(k int, out *output) error {
			values = values[:0]
			err := bench.Run(people, t.comparedCases(g, &points[k].set)[l:l+1], func(_ int, tile *scenario.Tile) error {
				values = t.values(values, tile)
				return nil
			})
			bottom, top, _ := t.split(key, values)
			out.baseline = medianOf(bottom)
			out.difference = medianOf(top) - out.baseline
			return err
		}
	}
	consume := func(k int, out *output) error {
		e := t.sign * out.difference
		differences[k] = e
		percents[k] = 100 * out.difference / math.Abs(out.baseline)
		verdicts[k] = t.judgeDifference(e, e, out.baseline)
		return nil
	}
	err := montecarlo.Run(ctx, montecarlo.Options{To: len(points), Workers: o.Workers, Progress: o.stage("assumptions")}, newWorker, func() *output { return &output{} }, consume)
	if err != nil {
		return err
	}
	d := &draws{points: points}
	none := band(nil) // a draw is judged by one difference, there are no shares of bodies
	s := &Draws{N: len(points), Verdicts: map[Verdict]int{}, AsClaimed: none, Against: none, Driver: d.driver(t, t.bears(t.models[l].Statics), differences)}
	for _, v := range verdicts {
		s.Verdicts[v]++
	}
	verdict, agreement := common(verdicts)
	s.Agreement = agreement
	for k := range differences {
		differences[k] *= t.sign
	}
	s.setMedians(t.claim, differences, percents)
	c.Draws = s
	if c.Verdict != Undecided {
		c.Verdict = verdict
	}
	return nil
}
