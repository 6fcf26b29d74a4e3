package survey

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
)

// refitCount is how many times each data set is fitted to resampled people: a
// standard deviation of so many is itself known to 9 %.
const refitCount = 64

const peopleRefitMethod = "Fitted anew to each of 64 resamples of the people, drawn with replacement as if they were a " +
	"simple random sample (bootstrap: Efron 1979, Ann Stat 7:1). Parameters in the order of the file: knots, then correlations. " +
	"Deviations from the fit to all people, in steps of 1/127 of the largest."

const regionalRefitMethod = "Fitted anew 64 times with one of the two sampling units of each stratum at twice its weight and the other " +
	"left out, at random (rescaled bootstrap: Rao and Wu 1988, J Am Stat Assoc 83:231). Parameters: the regression's coefficients, the lower " +
	"triangle of the residual covariance, the waist's coefficients. Deviations from the fit to all people, in steps of 1/127 of the largest."

// refitPeople returns how the fit of the people varies when they are resampled.
func refitPeople(s *Soldiers, sex anthro.Sex, fit *datasets.People) (*datasets.Refits, error) {
	return refitted(fit.Name, peopleRefitMethod, fit, peopleParameters, func(k int) (*datasets.People, error) {
		return fitPeople(s.resampled(montecarlo.NewStream(uint64(k), "refit/"+fit.Name)), sex)
	})
}

// refitted returns how the parameters of a fit vary that is made again and again.
func refitted[F any](of, method string, fit *F, parameters func(*F) []float64, again func(k int) (*F, error)) (*datasets.Refits, error) {
	refits := make([][]float64, refitCount)
	for k := range refits {
		other, err := again(k)
		if err != nil {
			return nil, fmt.Errorf("refit %d: %w", k, err)
		}
		refits[k] = parameters(other)
	}
	return packed(of, method, parameters(fit), refits), nil
}

func peopleParameters(fit *datasets.People) []float64 {
	var parameters []float64
	for _, m := range fit.Measurements {
		parameters = append(parameters, m.Values...)
	}
	parameters = append(parameters, slices.Concat(fit.Correlation...)...)
	if fit.Mixture != nil {
		parameters = append(append(parameters, fit.Mixture.Share), fit.Mixture.Shift...)
	}
	return parameters
}

// refitRegional returns how the fit of one sex's regional masses varies when the
// survey's sampling units are resampled.
func refitRegional(s *Scans, name string, fit *datasets.RegionalFit) (*datasets.Refits, error) {
	return refitted(name, regionalRefitMethod, fit, regionalParameters, func(k int) (*datasets.RegionalFit, error) {
		resampled := *s
		var err error
		if resampled.Weight, err = resampledUnits(s.Weight, s.Stratum, s.Unit, montecarlo.NewStream(uint64(k), "refit/"+name)); err != nil {
			return nil, err
		}
		again, err := fitRegionalSex(&resampled, fit.Spread != [3]float64{})
		return &again, err
	})
}

// resampledUnits returns the weights of a sample of which the sampling units are
// resampled: of the m of a stratum m-1 are drawn, with replacement, each time they are at
// m/(m-1) times their weight (rescaled bootstrap: Rao and Wu 1988, J Am Stat Assoc
// 83:231). Of two, one is left out and the other doubled.
func resampledUnits(weight, stratum, unit []float64, stream *montecarlo.Stream) ([]float64, error) {
	units := map[float64][]float64{} // by stratum
	for i, s := range stratum {
		units[s] = names.Once(units[s], unit[i])
	}
	type place struct{ stratum, unit float64 }
	times := map[place]float64{}
	for _, s := range slices.Sorted(maps.Keys(units)) {
		m := len(units[s])
		if m < 2 {
			return nil, fmt.Errorf("stratum %g has a single sampling unit", s)
		}
		slices.Sort(units[s])
		for range m - 1 {
			times[place{s, units[s][int(float64(m)*stream.Float64())]}] += float64(m) / float64(m-1)
		}
	}
	resampled := make([]float64, len(weight))
	for i, w := range weight {
		resampled[i] = w * times[place{stratum[i], unit[i]}]
	}
	return resampled, nil
}

func regionalParameters(fit *datasets.RegionalFit) []float64 {
	var parameters []float64
	for _, row := range fit.Coefficients {
		parameters = append(parameters, row[:]...)
	}
	for i, row := range fit.ResidualCovariance {
		parameters = append(parameters, row[:i+1]...)
	}
	parameters = append(parameters, fit.WaistCoefficients[:]...)
	if fit.Spread != [3]float64{} {
		parameters = append(parameters, fit.Spread[:]...)
	}
	return parameters
}

// packed writes the refits as bytes.
func packed(of, method string, fitted []float64, refits [][]float64) *datasets.Refits {
	p := &datasets.Refits{Of: of, Method: method, N: len(refits), Step: make([]float64, len(fitted))}
	for j := range fitted {
		largest := 0.0
		for _, refit := range refits {
			largest = max(largest, math.Abs(refit[j]-fitted[j]))
		}
		p.Step[j] = shortened(largest / 127)
	}
	for _, refit := range refits {
		for j, value := range refit {
			steps := 0.0
			if p.Step[j] > 0 {
				steps = min(max(math.Round((value-fitted[j])/p.Step[j]), -127), 127)
			}
			p.Deviations = append(p.Deviations, byte(int8(steps)))
		}
	}
	return p
}

// shortened rounds to four significant digits.
func shortened(x float64) float64 {
	if x == 0 {
		return 0
	}
	scale := math.Pow(10, 3-math.Floor(math.Log10(x)))
	return math.Round(x*scale) / scale
}
