package survey

import (
	"fmt"
	"math"
	"slices"
	"sort"

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
	who := map[anthro.Sex]string{anthro.Male: "men", anthro.Female: "women"}[sex]
	n := s.People.Rows()
	fit := &datasets.People{
		Name: "ansur2-" + who, Title: "US Army " + who + " measured 2010-2012 (ANSUR II)", Sex: sex.String(), N: n,
		Provenance: datasets.Provenance{
			Citation: "Gordon C.C. et al. (2014), 2012 Anthropometric Survey of U.S. Army Personnel: Methods and Summary Statistics, NATICK/TR-15/007",
			Licence:  "work of the US Government, public domain (17 U.S.C. 105)",
			Method:   peopleMethod,
			Raw:      []datasets.Raw{s.file.record},
		},
		FirstScore: firstScore, ScoreStep: scoreStep,
	}
	var scores [anthro.NumVariables][]float64
	for m := range anthro.NumVariables {
		values, betweenBirthdays := s.People.Value[m], 0.0
		if m == anthro.Age {
			values, betweenBirthdays = overTheYear(values), 0.5
		}
		knots, err := fitMarginal(values, map[string]float64{"m": 1e6, "kg": 1e4, "years": 1e3}[m.Unit()])
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m, err)
		}
		fit.Measurements = append(fit.Measurements, datasets.Quantiles{Measurement: m.String(), Unit: m.Unit(), Values: knots})
		marginal, err := anthro.NewMarginal(firstScore, scoreStep, knots)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", m, err)
		}
		scores[m] = make([]float64, n)
		for i, v := range s.People.Value[m] {
			scores[m][i] = marginal.Score(v + betweenBirthdays)
		}
		row := make([]float64, m)
		for j := range row {
			row[j] = rounded(stat.Correlation(scores[m], scores[j], nil), 1e6)
		}
		fit.Correlation = append(fit.Correlation, row)
	}
	return fit, nil
}

// overTheYear returns ages in whole years, sorted, with the people of one age spread
// evenly from that birthday to the next.
func overTheYear(ages []float64) []float64 {
	spread := slices.Clone(ages)
	slices.Sort(spread)
	for from := 0; from < len(spread); {
		to := from
		for to < len(spread) && spread[to] == spread[from] {
			to++
		}
		for i, n := from, to-from; i < to; i++ {
			spread[i] += (float64(i-from) + 0.5) / float64(n)
		}
		from = to
	}
	return spread
}

// fitMarginal returns the values at the knots, rounded to 1/scale.
func fitMarginal(values []float64, scale float64) ([]float64, error) {
	sorted := append([]float64(nil), values...)
	sort.Float64s(sorted)
	n := float64(len(sorted))
	score := make([]float64, len(sorted))
	for i := range score {
		score[i] = distuv.UnitNormal.Quantile((float64(i) + 0.5) / n)
	}
	knots := make([]float64, knotCount)
	for k := range knots {
		knots[k] = localLinear(score, sorted, firstScore+float64(k)*scoreStep)
	}
	// Smoothing pulls in the tails a little: restore mean and spread.
	smooth, err := anthro.NewMarginal(firstScore, scoreStep, knots)
	if err != nil {
		return nil, err
	}
	gotMean, gotSpread := moments(smooth)
	mean, spread := stat.MeanStdDev(values, nil)
	for k := range knots {
		knots[k] = rounded(mean+(knots[k]-gotMean)*spread/gotSpread, scale)
	}
	return knots, nil
}

// localLinear returns the height at x of the straight line fitted to ys over xs
// with a normal kernel around x.
func localLinear(xs, ys []float64, x float64) float64 {
	// The error of a local line is least with a bandwidth that grows as the
	// density of points to the power -1/5 (Fan and Gijbels 1996, "Local
	// Polynomial Modelling"; from memory), and the scores are spread as
	// exp(-x²/2).
	h := bandwidth * math.Exp(x*x/10)
	var w, wx, wy, wxx, wxy float64
	for i := range xs {
		d := xs[i] - x
		k := math.Exp(-d * d / (2 * h * h))
		w += k
		wx += k * d
		wy += k * ys[i]
		wxx += k * d * d
		wxy += k * d * ys[i]
	}
	return (wxx*wy - wx*wxy) / (w*wxx - wx*wx)
}

// moments returns the mean and the standard deviation of a marginal, by the
// trapezoidal rule in the score, which converges at once for what falls off as
// the normal density does.
func moments(m *anthro.Marginal) (mean, spread float64) {
	const from, step, count = -10.0, 1.0 / 256, 20 * 256
	var first, second, total float64
	middle := m.Value(0)
	for i := range count + 1 {
		z := from + step*float64(i)
		p := distuv.UnitNormal.Prob(z)
		v := m.Value(z) - middle
		total += p
		first += p * v
		second += p * v * v
	}
	mean = first / total
	return middle + mean, math.Sqrt(second/total - mean*mean)
}

func rounded(x, scale float64) float64 { return math.Round(x*scale) / scale }
