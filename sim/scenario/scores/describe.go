package scores

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/mat"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
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

// selectedPeople describes the people who meet conditions, or are of two kinds, as a
// population of their own: their marginal distributions, and the correlations of their normal scores.
// A condition leaves the dependence not quite that of normal scores; that is the
// approximation. Regional masses are independent of the measurements for the same
// build, so that no condition changes them.
func selectedPeople(s anthro.Selection) (*anthro.Population, error) {
	people, err := drawSelected(s)
	if err != nil {
		return nil, err
	}
	from, file := s.Population, describing(s.Population)
	var scores [anthro.NumVariables][]float64
	knots := make([]float64, scoreCount)
	for m := range described(from) {
		values := people.Value[m]
		scores[m] = make([]float64, selectedRows)
		order := linear.Order(values)
		for rank, i := range order {
			scores[m][i] = math.NormalQuantile((float64(rank) + 0.5) / selectedRows)
		}
		for k := range knots {
			at := float64(share(firstScore+float64(float64(k)*scoreStep), false)*selectedRows) - 0.5
			low := int(math.Floor(at))
			a, b := values[order[low]], values[order[low+1]]
			knots[k] = a + float64((at-float64(low))*(b-a))
			if k > 0 && knots[k] <= knots[k-1] {
				return nil, fmt.Errorf("the selected people of %s all have the same %s", from.Name, m)
			}
		}
		file.Measurements = append(file.Measurements, datasets.Quantiles{Measurement: m.String(), Unit: m.Unit(), Values: slices.Clone(knots)})
		row := make([]float64, m)
		for j := range row {
			row[j] = linear.Correlation(scores[m], scores[j])
		}
		file.Correlation = append(file.Correlation, row)
	}
	return anthro.NewPopulation(file)
}

// drawSelected draws the people who describe a selection. They are part of the
// method, not of the answer: always the same.
func drawSelected(s anthro.Selection) (*anthro.People, error) {
	people := anthro.NewPeople(selectedRows)
	stream := montecarlo.NewStream(0, "holdstudy/selected "+s.Population.Name)
	err := s.NewSampler().Draw(people, stream.Normals)
	for i := range people.Value[anthro.Age] {
		// Ages are those of the last birthday: the next may be near or far.
		const parts = 1 << 10
		people.Value[anthro.Age][i] += float64((float64(i%parts) + 0.5) / parts)
	}
	return people, err
}

// described is how many variables describe people: with their age where it is known.
func described(p *anthro.Population) anthro.Measurement {
	if p.HasAge() {
		return anthro.NumVariables
	}
	return anthro.NumMeasurements
}

// describing returns a population to be filled in.
func describing(p *anthro.Population) *datasets.People {
	return &datasets.People{
		Name: p.Name, Title: p.Title, Sex: p.Sex.String(), N: p.N, Provenance: p.Provenance,
		FirstScore: firstScore, ScoreStep: scoreStep, Regional: p.Regional.Name,
	}
}

// mostSingular bounds the condition number of the correlations of people of one's
// own. The surveys' are below 1,000.
const mostSingular = 1e7

// ownPeople describes people of one's own, a few values of what was measured, by a
// distribution without gaps: of the scores that they have in the survey behind them,
// the means, the standard deviations and the correlations; each measurement is then
// the survey's at that score. Its error is a *fault.Error where so few people
// were measured in so many ways that these follow from one another.
func ownPeople(s anthro.Selection) (*anthro.Population, error) {
	people, err := drawSelected(s)
	if err != nil {
		return nil, err
	}
	survey, file := s.Population.Survey(), describing(s.Population)
	few := func() error {
		measured := names.HowMany(names.UpTo(anthro.NumMeasurements), func(m anthro.Measurement) bool { return s.Population.Measured(m) > 0 })
		return &fault.Error{Field: "people", Reason: fmt.Sprintf("the %d people of %s are too few, or too similar, to correlate the %d measurements taken of them: "+
			"more people are needed, or fewer measurements of each", s.Population.N, s.Population.Name, measured)}
	}
	var scores [anthro.NumVariables][]float64
	variables := described(survey)
	correlation := mat.NewSymDense(int(variables), nil)
	for m := range variables {
		marginal := survey.Marginal(m)
		scores[m] = make([]float64, selectedRows)
		for i, v := range people.Value[m] {
			scores[m][i] = marginal.Score(v)
		}
		mean, deviation := linear.MeanStdDev(scores[m])
		knots := make([]float64, scoreCount)
		for k := range knots {
			knots[k] = marginal.Value(mean + float64(deviation*(firstScore+float64(float64(k)*scoreStep))))
			if k > 0 && !(knots[k] > knots[k-1]) {
				return nil, few()
			}
		}
		file.Measurements = append(file.Measurements, datasets.Quantiles{Measurement: m.String(), Unit: m.Unit(), Values: knots})
		row := make([]float64, m)
		for j := range row {
			row[j] = linear.Correlation(scores[m], scores[j])
			correlation.SetSym(int(m), j, row[j])
		}
		correlation.SetSym(int(m), int(m), 1)
		file.Correlation = append(file.Correlation, row)
	}
	if factor, ok := linear.Factorize(correlation); !ok || !(factor.Cond < mostSingular) {
		return nil, few()
	}
	return anthro.NewPopulation(file)
}
