package holdstudy

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/montecarlo"
)

// The people who describe a selection: so many that its correlations are known to
// 0.003, and its quantiles at scores of ±3 (1 in 741) from 88 people each.
const selectedRows = 1 << 16

// The scores at which the marginal distributions of a selection are read off.
const (
	firstScore = -3.0
	scoreStep  = 0.25
	scoreCount = 25
)

// selectedPeople describes the people who meet conditions as a population of their
// own: their marginal distributions, and the correlations of their normal scores.
// A condition leaves the dependence not quite that of normal scores; that is the
// approximation. Regional masses are independent of the measurements for the same
// build, so that no condition changes them.
func selectedPeople(s anthro.Selection) (*anthro.Population, error) {
	people := anthro.NewPeople(selectedRows)
	// The people are part of the method, not of the answer: always the same.
	stream := montecarlo.NewStream(0, "holdstudy/selected "+s.Population.Name)
	if err := s.NewSampler().Draw(people, stream.Normals); err != nil {
		return nil, err
	}
	from := s.Population
	file := &datasets.People{
		Name: from.Name, Title: from.Title, Sex: from.Sex.String(), N: from.N, Provenance: from.Provenance,
		FirstScore: firstScore, ScoreStep: scoreStep,
	}
	var scores [anthro.NumMeasurements][]float64
	order := make([]int, selectedRows)
	knots := make([]float64, scoreCount)
	for m := range anthro.NumMeasurements {
		values := people.Value[m]
		for i := range order {
			order[i] = i
		}
		slices.SortFunc(order, func(a, b int) int {
			switch {
			case values[a] < values[b]:
				return -1
			case values[a] > values[b]:
				return 1
			}
			return a - b
		})
		scores[m] = make([]float64, selectedRows)
		for rank, i := range order {
			scores[m][i] = mathext.NormalQuantile((float64(rank) + 0.5) / selectedRows)
		}
		for k := range knots {
			at := share(firstScore+float64(k)*scoreStep, false)*selectedRows - 0.5
			low := int(math.Floor(at))
			a, b := values[order[low]], values[order[low+1]]
			knots[k] = a + (at-float64(low))*(b-a)
			if k > 0 && knots[k] <= knots[k-1] {
				return nil, fmt.Errorf("the people of %s who are selected all have one %s", from.Name, m)
			}
		}
		file.Measurements = append(file.Measurements, datasets.Quantiles{Measurement: m.String(), Unit: m.Unit(), Values: slices.Clone(knots)})
		row := make([]float64, m)
		for j := range row {
			row[j] = stat.Correlation(scores[m], scores[j], nil)
		}
		file.Correlation = append(file.Correlation, row)
	}
	return anthro.NewPopulation(file)
}
