package scores

import (
	"cmp"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// A Trend is a demand along a trait, at the central assumptions.
type Trend struct {
	Trait body.Quantity

	// X is the mean of the trait in groups of equally many people, in the trait's
	// unit, increasing; Mean, Low and High are the mean and the 5 and 95 % points
	// of the demand among the people of each group, who differ in all else as
	// people of that trait do. StandardError is the mean's.
	X, Mean, Low, High, StandardError []float64
	N                                 int // people in all
	Unable                            int // more who were drawn, and cannot take the posture

	// Alone is the demand of the median body with nothing but the trait changed to
	// each X; nil where the trait cannot be changed alone. Where it differs from
	// Mean, what goes along with the trait in people makes the difference.
	Alone []float64
}

// trendPoints is the number of groups of a trend.
const trendPoints = 24

// Along follows the demand along a trait over n people, those that a claim with the
// same seed meets. Bodies that cannot take the posture are left out.
func (f *Function) Along(trait body.Quantity, n int, seed uint64) (*Trend, error) {
	if least := 20 * trendPoints; n < least || n > 1<<24 {
		return nil, fault.New("n", n, "found %d people, allowed: %d to %d", n, least, 1<<24)
	}
	if err := f.oneModel(); err != nil {
		return nil, err
	}
	type pair struct{ x, y float64 }
	pairs := make([]pair, 0, n)
	bench := scenario.NewBench(scenario.TileRows, []hold.Demand{f.study.Of}, nil)
	people, xs := anthro.NewPeople(min(n, montecarlo.BlockRows)), make([]float64, scenario.TileRows)
	source, cases := f.people.Source(seed, true), f.newEvaluator().cases[:1]
	add := func(_ int, t *scenario.Tile) error {
		x, values := xs[:t.People.Rows()], t.First.Result.Value[f.study.Of]
		trait.Values(x, t.People, t.First.Bodies)
		for i, possible := range t.First.Result.Possible {
			if possible {
				pairs = append(pairs, pair{x[i], f.study.scale() * values[i]})
			}
		}
		return nil
	}
	for block := range montecarlo.Blocks(n) {
		drawn := people.Slice(0, montecarlo.Rows(n, block))
		if err := source.Block(drawn, block); err != nil {
			return nil, err
		}
		if err := bench.Run(drawn, cases, add); err != nil {
			return nil, err
		}
	}
	if len(pairs) < n/2 {
		return nil, f.impossibleFor(n-len(pairs), n)
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.x, b.x) })
	c := &Trend{Trait: trait, N: len(pairs), Unable: n - len(pairs)}
	var y []float64
	for k := range trendPoints {
		group := pairs[k*len(pairs)/trendPoints : (k+1)*len(pairs)/trendPoints]
		y = y[:0]
		x := 0.0
		for _, p := range group {
			x += p.x / float64(len(group))
			y = append(y, p.y)
		}
		if k > 0 && !(x > c.X[k-1]) {
			return nil, fault.New("along", trait.String(), "%s is the same for too many people to follow a demand along it", trait)
		}
		mean, deviation := linear.MeanStdDev(y)
		slices.Sort(y)
		c.X, c.Mean = append(c.X, x), append(c.Mean, mean)
		c.Low, c.High = append(c.Low, linear.Quantile(0.05, y)), append(c.High, linear.Quantile(0.95, y))
		c.StandardError = append(c.StandardError, deviation/math.Sqrt(float64(len(y))))
	}
	f.alone(c)
	return c, nil
}

// alone fills in the demand of the median body with the trait alone changed.
func (f *Function) alone(c *Trend) {
	change, ok := c.Trait.Change()
	if !ok {
		return
	}
	w, err := f.newWeigher(f.MedianPerson())
	if err != nil {
		return
	}
	here := make([]float64, 1)
	c.Trait.Values(here, w.person, w.first)
	for _, x := range c.X {
		var t scenario.Change
		t.Body.Of[change].Metres = x - here[0]
		y, err := w.at(&t)
		if err != nil {
			c.Alone = nil // a body so changed cannot take the posture
			return
		}
		c.Alone = append(c.Alone, y)
	}
}
