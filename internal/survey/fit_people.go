package survey

import (
	"fmt"
	"math"
	"slices"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// The knots of a marginal. Beyond a score of 3 the largest sample here has five
// people on either side, too few to say more than a straight line does.
const (
	firstScore = -3.0
	scoreStep  = 0.25
	knotCount  = 25
	// bandwidth of the smoothing at a score of 0, in units of the score. It is
	// wide enough to run over the steps of the shortest lengths, read to a whole
	// millimetre (a fifth of a standard deviation of the ankle's height).
	bandwidth = 0.2
)

const peopleMethod = "Gaussian copula. Marginals: local-linear smoothing (Gaussian kernel, bandwidth 0.2 exp(z²/10)) of the sample's " +
	"quantiles against normal scores (i-1/2)/n, at 25 scores from -3 to 3; then shifted and scaled to the sample's mean and " +
	"standard deviation; values rounded to 1e-6 m, 1e-4 kg and 1e-3 years. Correlation: Pearson's, of the scores that the marginals " +
	"give the sample's values; rounded to 6 decimals. Ages are known in whole years: people of one age are spread evenly over it for " +
	"the marginal, and put in its middle for the correlation."

// fitPeople fits a population to the people of one sex in the Army's survey.
func fitPeople(s *Soldiers, sex anthro.Sex) (*datasets.People, error) {
	who := whoAre(sex)
	fit := &datasets.People{
		Name: "ansur2-" + who, Title: "US Army " + who + " measured 2010-2012 (ANSUR II)", Sex: sex.String(), N: s.People.Rows(),
		Provenance: datasets.Provenance{
			Citation: "Gordon C.C. et al. (2014), 2012 Anthropometric Survey of U.S. Army Personnel: Methods and Summary Statistics, NATICK/TR-15/007",
			Licence:  licenceOfArmy,
			Method:   peopleMethod,
			Raw:      []datasets.Raw{s.file.record},
		},
	}
	return fit, fitJoint(fit, &crowd{people: s.People})
}

func whoAre(sex anthro.Sex) string {
	return map[anthro.Sex]string{anthro.Male: "men", anthro.Female: "women"}[sex]
}

func youthsAre(sex anthro.Sex) string {
	return map[anthro.Sex]string{anthro.Male: "boys", anthro.Female: "girls"}[sex]
}

// crowd is people to fit a population to.
type crowd struct {
	people *anthro.People
	weight []float64 // of each person; nil where all weigh the same
	second []float64 // how likely each is of the second kind; nil where there is one kind
	told   bool      // that is known, and not to be found
}

// fitJoint fills in a population's distribution. Where there are two kinds of people,
// whom they were taken for serves to find the kinds: after a first fit, to all as of one
// kind, each person counts to either as much as they are likely to be of it.
func fitJoint(fit *datasets.People, c *crowd) error {
	if c.second != nil && !c.told {
		alike := *c
		alike.second = nil
		scores, err := fitOnce(fit, &alike)
		if err != nil {
			return err
		}
		if c.second, err = likelier(c, scores); err != nil {
			return err
		}
	}
	_, err := fitOnce(fit, c)
	return err
}

// fitOnce is fitJoint with the kinds as they are; it returns everybody's scores.
func fitOnce(fit *datasets.People, c *crowd) ([anthro.NumVariables][]float64, error) {
	fit.FirstScore, fit.ScoreStep, fit.Measurements, fit.Correlation = firstScore, scoreStep, nil, nil
	kinds := &anthro.Kinds{}
	if c.second != nil {
		kinds.Share = rounded(c.shareOfSecond(), 1e6)
	}
	var scores [anthro.NumVariables][]float64
	for m := range anthro.NumVariables {
		knots, own, err := c.fitVariable(m, kinds)
		if err != nil {
			return scores, fmt.Errorf("%s: %w", m, err)
		}
		scores[m] = own
		fit.Measurements = append(fit.Measurements, datasets.Quantiles{Measurement: m.String(), Unit: m.Unit(), Values: knots})
		row := make([]float64, m)
		for j := range row {
			row[j] = rounded(stat.Correlation(scores[m], scores[j], c.weight), 1e6)
		}
		fit.Correlation = append(fit.Correlation, row)
	}
	if c.second != nil {
		fit.Mixture = &datasets.Mixture{Share: kinds.Share, Shift: kinds.Shift[:]}
	}
	return scores, nil
}

// fitVariable returns the knots of a measurement's marginal and everybody's scores.
// Where there are two kinds of people it finds their shift, and sets it: by turns, since
// the scores' distribution goes by it and it by the scores.
func (c *crowd) fitVariable(m anthro.Measurement, kinds *anthro.Kinds) (knots, scores []float64, err error) {
	values, weights := c.sorted(m)
	betweenBirthdays := 0.0
	if m == anthro.Age {
		values, betweenBirthdays = overTheYear(values, weights), 0.5
	}
	normal := normalScores(weights, len(values))
	turns := 1
	if c.second != nil {
		turns = 3
	}
	for range turns {
		if knots, err = fitMarginal(values, weights, mixedScores(normal, m, kinds), m, kinds); err != nil {
			return nil, nil, err
		}
		marginal, err := anthro.NewMarginal(firstScore, scoreStep, knots)
		if err != nil {
			return nil, nil, err
		}
		scores = make([]float64, c.people.Rows())
		for i, v := range c.people.Value[m] {
			scores[i] = marginal.Score(v + betweenBirthdays)
		}
		if c.second != nil {
			kinds.Shift[m] = rounded(c.shift(scores), 1e6)
		}
	}
	return knots, scores, nil
}

// sorted returns the values of a measurement in their order, and the weights with them.
func (c *crowd) sorted(m anthro.Measurement) (values, weights []float64) {
	values = slices.Clone(c.people.Value[m])
	if c.weight == nil {
		slices.Sort(values)
		return values, nil
	}
	weights = slices.Clone(c.weight)
	stat.SortWeighted(values, weights)
	return values, weights
}

// shareOfSecond returns the share of the second kind.
func (c *crowd) shareOfSecond() float64 {
	second, all := 0.0, 0.0
	for i, w := range c.weight {
		all += w
		second += w * c.second[i]
	}
	return second / all
}

// shift returns how much higher the second kind's mean is.
func (c *crowd) shift(scores []float64) float64 {
	var sum, people [2]float64
	for i, w := range c.weight {
		for k, chance := range [2]float64{1 - c.second[i], c.second[i]} {
			sum[k] += w * chance * scores[i]
			people[k] += w * chance
		}
	}
	return sum[1]/people[1] - sum[0]/people[0]
}

// weigh is a weight, 1 where all weigh the same.
func weigh(weights []float64, i int) float64 {
	if weights == nil {
		return 1
	}
	return weights[i]
}

// overTheYear spreads people of one age in whole years, sorted, evenly from that
// birthday to the next.
func overTheYear(ages, weights []float64) []float64 {
	spread := slices.Clone(ages)
	for from := 0; from < len(ages); {
		to, people := from, 0.0
		for to < len(ages) && ages[to] == ages[from] {
			people += weigh(weights, to)
			to++
		}
		before := 0.0
		for i := from; i < to; i++ {
			w := weigh(weights, i)
			spread[i] += (before + w/2) / people
			before += w
		}
		from = to
	}
	return spread
}

// normalScores returns the standard normal scores of sorted people.
func normalScores(weights []float64, people int) []float64 {
	n, before := 0.0, 0.0
	for i := range people {
		n += weigh(weights, i)
	}
	scores := make([]float64, people)
	for i := range scores {
		w := weigh(weights, i)
		scores[i] = distuv.UnitNormal.Quantile((before + w/2) / n)
		before += w
	}
	return scores
}

// mixedScores turns sorted normal scores into those of the same shares among two kinds
// of people, from a table of them: they are almost in proportion.
func mixedScores(normal []float64, m anthro.Measurement, kinds *anthro.Kinds) []float64 {
	if kinds.Shift[m] == 0 {
		return normal
	}
	const most, step = 6.0, 1.0 / 32
	table := func(k int) float64 { return kinds.Score(m, distuv.UnitNormal.CDF(step*float64(k)-most)) }
	mixed := make([]float64, len(normal))
	cell, low, high := -1, 0.0, 0.0
	for i, z := range normal {
		t := (min(max(z, -most), most-step) + most) / step
		if k := int(t); k != cell {
			cell, low, high = k, table(k), table(k+1)
		}
		mixed[i] = low + (t-float64(cell))*(high-low)
	}
	return mixed
}

// fitMarginal returns the values of a measurement at the knots, rounded, from sorted
// values, their weights and their scores.
func fitMarginal(sorted, weights, score []float64, m anthro.Measurement, kinds *anthro.Kinds) ([]float64, error) {
	near, values, people := score, sorted, weights
	if weights != nil {
		near, values, people = gathered(score, sorted, weights)
	}
	knots := make([]float64, knotCount)
	for k := range knots {
		knots[k] = localLinear(near, values, people, firstScore+float64(k)*scoreStep)
	}
	scale := map[string]float64{"m": 1e6, "kg": 1e4, "years": 1e3}[m.Unit()]
	if m == anthro.Age {
		// Those of a survey end: stretched, they would go on.
		for k := range knots {
			least, most := sorted[0]+float64(k)/scale, sorted[len(sorted)-1]-float64(knotCount-1-k)/scale
			knots[k] = rounded(min(max(knots[k], least), most), scale)
		}
		return knots, nil
	}
	// Smoothing pulls in the tails a little: restore mean and spread.
	smooth, err := anthro.NewMarginal(firstScore, scoreStep, knots)
	if err != nil {
		return nil, err
	}
	gotMean, gotSpread := moments(smooth, m, kinds)
	mean, spread := stat.MeanStdDev(sorted, weights)
	for k := range knots {
		knots[k] = rounded(mean+(knots[k]-gotMean)*spread/gotSpread, scale)
	}
	return knots, nil
}

// gathered puts people with nearly the same score together, a tenth of the bandwidth at
// most: thousands of them into hundreds.
func gathered(score, sorted, weights []float64) (scores, values, people []float64) {
	const width = bandwidth / 10
	cell := math.Inf(-1)
	for i, z := range score {
		if at := math.Floor(z / width); at != cell {
			cell = at
			scores, values, people = append(scores, 0), append(values, 0), append(people, 0)
		}
		k := len(people) - 1
		people[k] += weights[i]
		scores[k] += weights[i] * (z - scores[k]) / people[k]
		values[k] += weights[i] * (sorted[i] - values[k]) / people[k]
	}
	return scores, values, people
}

// localLinear returns the height at x of the straight line fitted to ys over xs
// with their weights and a normal kernel around x.
func localLinear(xs, ys, weights []float64, x float64) float64 {
	// The error of a local line is least with a bandwidth that grows as the
	// density of points to the power -1/5 (Fan and Gijbels 1996, "Local
	// Polynomial Modelling"; from memory), and the scores are spread as
	// exp(-x²/2).
	h := bandwidth * math.Exp(x*x/10)
	var w, wx, wy, wxx, wxy float64
	for i := range xs {
		d := xs[i] - x
		k := math.Exp(-d*d/(2*h*h)) * weigh(weights, i)
		w += k
		wx += k * d
		wy += k * ys[i]
		wxx += k * d * d
		wxy += k * d * ys[i]
	}
	return (wxx*wy - wx*wxy) / (w*wxx - wx*wx)
}

// moments returns the mean and the standard deviation of a measurement, by the
// trapezoidal rule in the score, which converges at once for what falls off as
// the normal density does.
func moments(of *anthro.Marginal, m anthro.Measurement, kinds *anthro.Kinds) (mean, spread float64) {
	const from, step, count = -10.0, 1.0 / 256, 20 * 256
	var first, second, total float64
	middle := of.Value(0)
	for i := range count + 1 {
		z := from + step*float64(i)
		p := kinds.Density(m, z)
		v := of.Value(z) - middle
		total += p
		first += p * v
		second += p * v * v
	}
	mean = first / total
	return middle + mean, math.Sqrt(second/total - mean*mean)
}

func rounded(x, scale float64) float64 { return math.Round(x*scale) / scale }
