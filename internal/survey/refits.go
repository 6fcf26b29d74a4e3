package survey

import (
	"fmt"
	"math"
	"slices"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/montecarlo"
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
	n := s.People.Rows()
	resampled := &Soldiers{People: anthro.NewPeople(n), file: s.file}
	refits := make([][]float64, refitCount)
	for k := range refits {
		stream := montecarlo.NewStream(uint64(k), "refit/"+fit.Name)
		for i := range n {
			from := int(stream.Float64() * float64(n))
			for m := range anthro.NumVariables {
				resampled.People.Value[m][i] = s.People.Value[m][from]
			}
		}
		again, err := fitPeople(resampled, sex)
		if err != nil {
			return nil, fmt.Errorf("refit %d: %w", k, err)
		}
		refits[k] = peopleParameters(again)
	}
	return packed(fit.Name, peopleRefitMethod, peopleParameters(fit), refits), nil
}

func peopleParameters(fit *datasets.People) []float64 {
	var parameters []float64
	for _, m := range fit.Measurements {
		parameters = append(parameters, m.Values...)
	}
	return append(parameters, slices.Concat(fit.Correlation...)...)
}

// refitRegional returns how the fit of one sex's regional masses varies when the
// survey's sampling units are resampled.
func refitRegional(s *Scans, name string, fit *datasets.RegionalFit) (*datasets.Refits, error) {
	units := map[float64][]float64{} // by stratum
	var strata []float64
	for i, stratum := range s.Stratum {
		if units[stratum] == nil {
			strata = append(strata, stratum)
		}
		if !slices.Contains(units[stratum], s.Unit[i]) {
			units[stratum] = append(units[stratum], s.Unit[i])
		}
	}
	slices.Sort(strata)
	for _, stratum := range strata {
		slices.Sort(units[stratum])
		if n := len(units[stratum]); n != 2 {
			return nil, fmt.Errorf("stratum %g has %d sampling units, must have 2", stratum, n)
		}
	}
	refits := make([][]float64, refitCount)
	for k := range refits {
		// Men and women come from the same units.
		stream := montecarlo.NewStream(uint64(k), "refit/"+name)
		kept := map[float64]float64{}
		for _, stratum := range strata {
			kept[stratum] = units[stratum][int(2*stream.Float64())]
		}
		resampled := *s
		resampled.Weight = make([]float64, len(s.Weight))
		for i, w := range s.Weight {
			if kept[s.Stratum[i]] == s.Unit[i] {
				resampled.Weight[i] = 2 * w
			}
		}
		again, err := fitRegionalSex(&resampled)
		if err != nil {
			return nil, fmt.Errorf("refit %d: %w", k, err)
		}
		refits[k] = regionalParameters(&again)
	}
	return packed(name, regionalRefitMethod, regionalParameters(fit), refits), nil
}

func regionalParameters(fit *datasets.RegionalFit) []float64 {
	var parameters []float64
	for _, row := range fit.Coefficients {
		parameters = append(parameters, row[:]...)
	}
	for i, row := range fit.ResidualCovariance {
		parameters = append(parameters, row[:i+1]...)
	}
	return append(parameters, fit.WaistCoefficients[:]...)
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
