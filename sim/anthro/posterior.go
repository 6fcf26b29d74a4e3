package anthro

import (
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
)

// posterior is the distribution of the scores of people of whom something is known:
// normal or, where the population is of two kinds of people, a mixture of two normal
// distributions of one covariance.
type posterior struct {
	*gaussian           // of the first kind
	beside    []float64 // what the second kind's mean has over the first's; nil for one kind
	second    float64   // how likely the people are of the second kind
	// distance is the squared Mahalanobis distance of what is known from the kind of
	// people to whom it is nearer.
	distance float64
}

// given returns the distribution of the scores given measurements.
func (p *Population) given(known []Known) *posterior {
	observe := func(ofSecond float64) (*gaussian, float64) {
		g, distance := newGaussian(p.within), 0.0
		for m := range g.mean {
			g.mean[m] = (ofSecond - p.kinds.Share) * p.kinds.Shift[m]
		}
		for _, k := range known {
			score, spread := p.read(k)
			distance += g.observe(int(k.Of), score, spread*spread)
		}
		return g, distance
	}
	first, distance := observe(0)
	left := &posterior{gaussian: first, distance: distance}
	if p.kinds.Share == 0 {
		return left
	}
	second, other := observe(1)
	left.beside = make([]float64, len(first.mean))
	for m := range left.beside {
		left.beside[m] = second.mean[m] - first.mean[m]
	}
	// Both kinds scatter alike, so that the densities differ by the distances alone.
	odds := float64(p.kinds.Share / (1 - p.kinds.Share) * math.Exp((distance-other)/2))
	left.second = 1
	if !math.IsInf(odds, 1) {
		left.second = odds / (1 + odds)
	}
	left.distance = min(distance, other)
	return left
}

// marginal returns the means of a measurement's score for the two kinds, and the
// standard deviation that both have.
func (l *posterior) marginal(m Measurement) (means [2]float64, spread float64) {
	means = [2]float64{l.mean[m], l.mean[m]}
	if l.beside != nil {
		means[1] += l.beside[m]
	}
	return means, math.Sqrt(max(0, l.covariance.At(int(m), int(m))))
}

// quantile returns the score of a measurement below which a share of the people lies.
func (l *posterior) quantile(m Measurement, share float64) float64 {
	means, spread := l.marginal(m)
	return mixedQuantile(l.second, means, spread, share)
}

// below returns the share of the people whose score of a measurement is less.
func (l *posterior) below(m Measurement, score float64) float64 {
	means, spread := l.marginal(m)
	if spread == 0 {
		if score > means[0] {
			return 1
		}
		return 0
	}
	if l.beside == nil {
		return math.NormalShare((score - means[0]) / spread)
	}
	return mixedBelow(l.second, means, spread, score)
}

// together returns the normal distribution with the mean and the covariance of all.
func (l *posterior) together() *gaussian {
	if l.beside == nil {
		return l.gaussian
	}
	g := newGaussian(l.covariance)
	for m, mean := range l.mean {
		g.mean[m] = mean + float64(l.second*l.beside[m])
	}
	linear.AddOuter(g.covariance, l.second*(1-l.second), l.beside)
	return g
}

// pick turns the uniform numbers that pick the kinds into 1 for people of the second kind
// and 0 for others, and returns their column; nil where there is one kind.
func (l *posterior) pick(column func(int) []float64) []float64 {
	if l.beside == nil {
		return nil
	}
	picked := column(kind)
	for i, u := range picked {
		picked[i] = 0
		if u < l.second {
			picked[i] = 1
		}
	}
	return picked
}
