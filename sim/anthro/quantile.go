package anthro

import (
	"sort"
	"sync"

	"counterpoise/sim/linear"
	"counterpoise/sim/montecarlo"
)

// quantileRows is how many people are drawn for quantiles.
const quantileRows = 1 << 15

// Quantile returns the value below which a share of the people have the
// measurement; share 0.5 is the median. The share must lie between 0 and 1. For
// people who are no survey it is that of 32,768 drawn people, always the same.
func (p *Population) Quantile(m Measurement, share float64) float64 {
	if p.survey == nil {
		checkShare(share)
		return p.value(m, p.kinds.Score(m, share))
	}
	p.quantiles.once.Do(func() {
		var err error
		if p.quantiles.at, err = (Selection{Population: p}).drawQuantiles(); err != nil {
			// Reweight has drawn thousands of them, and a sample has no conditions.
			panic("anthro: people cannot be drawn")
		}
	})
	return p.quantiles.at(m, share)
}

// Quantiles returns the function that Quantile is, of the people selected. Its
// error is that of a selection that hardly anyone matches.
func (s Selection) Quantiles() (func(m Measurement, share float64) float64, error) {
	if len(s.Where) == 0 {
		return s.Population.Quantile, nil
	}
	return s.drawQuantiles()
}

// quantiles are those of drawn people, from when somebody asks.
type quantiles struct {
	once sync.Once
	at   func(m Measurement, share float64) float64
}

func (s Selection) drawQuantiles() (func(m Measurement, share float64) float64, error) {
	people := NewPeople(quantileRows)
	if err := s.NewSampler().Draw(people, montecarlo.NewStream(0, "anthro/quantile").Normals); err != nil {
		return nil, err
	}
	for _, column := range people.Value {
		sort.Float64s(column)
	}
	return func(m Measurement, share float64) float64 {
		checkShare(share)
		return linear.Quantile(share, people.Value[m])
	}, nil
}

func checkShare(share float64) {
	if !(share >= 0 && share <= 1) {
		panic("anthro: share outside 0 to 1")
	}
}
