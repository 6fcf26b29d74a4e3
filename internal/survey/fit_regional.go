package survey

import (
	"fmt"
	"math"
	"strconv"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"
	"counterpoise/sim/linear"

	"gonum.org/v1/gonum/mat"
)

const regionalMethod = "Ages 18 to 50. Region mass = bone mineral + fat + lean. Additive log-ratios ln(head/legs), " +
	"ln(trunk/legs), ln(arms/legs) of the regional masses, by sex, on 1, ln stature (m), ln mass (kg), ln waist " +
	"circumference (m); least squares weighted by the examination weight WTMEC2YR; residual covariance with the same " +
	"weights, times n/(n-4). ln waist on 1, ln stature, ln mass likewise. Rounded to 9 significant digits."

const publicRegionalMethod = "Ages 18 to 59, four cycles together, not known to be pregnant, everybody with six regions scanned validly and a waist. " +
	"Region mass = bone mineral + fat + lean. Log-ratios regressed as in nhanes-2003-2004, weighted by WTMEC2YR/4. The residuals' standard deviations go " +
	"with a power of the body mass index over 25 kg/m² (kept within 18 and 45): the slope of the logarithm of squared residuals on that of the index, by log-ratio, " +
	"with the same weights; their covariance is that of the residuals at 25 kg/m². Age is left out: it moves the masses by 0.3 % a year at most. Rounded to 9 significant digits."

const youthsRegionalMethod = "As nhanes-2011-2018, of everybody aged 12 to 17. Age is left out: for stature, mass and waist it moves boys' masses of head, trunk and arms over the legs' by 2 to 3 % a year, girls' by 0.4 to 1.4 %."

// The data sets of regional masses: that of all populations before the public's, and
// those of the public.
const (
	firstRegional  = anthro.FirstRegional
	publicRegional = "nhanes-2011-2018"
	youthsRegional = "nhanes-2011-2018-youths"
)

// regionalSets describes them.
var regionalSets = map[string]struct{ who, years, method string }{
	firstRegional:  {"adults aged 18 to 50", "2003-2004", regionalMethod},
	publicRegional: {"adults aged 18 to 59", "2011-2018", publicRegionalMethod},
	youthsRegional: {"youths aged 12 to 17", "2011-2018", youthsRegionalMethod},
}

// fitRegional fits the regional-mass models of a data set to the scans of both sexes.
func fitRegional(name string, bySex map[anthro.Sex]*Scans) (*datasets.Regional, error) {
	of := regionalSets[name]
	fit := &datasets.Regional{
		Name: name, Title: fmt.Sprintf("Regional body masses of US %s (NHANES %s)", of.who, of.years),
		Provenance: datasets.Provenance{
			Citation: "CDC/NCHS, National Health and Nutrition Examination Survey " + of.years + ": whole-body dual-energy X-ray absorptiometry, body measures, demographics",
			Licence:  licenceOfNHANES,
			Method:   of.method,
			Raw:      bySex[anthro.Male].files,
		},
		BySex: map[string]datasets.RegionalFit{},
	}
	for sex, s := range bySex {
		one, err := fitRegionalSex(s, name != firstRegional)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", sex, err)
		}
		fit.BySex[sex.String()] = one
	}
	return fit, nil
}

// fitRegionalSex fits the model of one sex; the residuals' spread goes with the body
// mass index if widening is set.
func fitRegionalSex(s *Scans, widening bool) (datasets.RegionalFit, error) {
	const outputs, inputs = int(anthro.NumRegions) - 1, 4
	n := len(s.Weight)
	fit := datasets.RegionalFit{N: n}
	ratios := mat.NewDense(n, outputs, nil)
	known := mat.NewDense(n, inputs, nil)
	for i := range n {
		known.SetRow(i, []float64{1, math.Log(s.Stature[i]), math.Log(s.Mass[i]), math.Log(s.Waist[i])})
		row := anthro.LogRatios(s.masses(i))
		ratios.SetRow(i, row[:])
	}
	coefficients, residuals, err := leastSquares(known, ratios, s.Weight)
	if err != nil {
		return fit, err
	}
	total := linear.Sum(s.Weight)
	if widening {
		if fit.Spread, err = narrow(residuals, s); err != nil {
			return fit, err
		}
	}
	for a := range outputs {
		for k := range inputs {
			fit.Coefficients[a][k] = significant(coefficients.At(k, a))
		}
		for b := range outputs {
			sum := 0.0
			for i, w := range s.Weight {
				sum += w * residuals.At(i, a) * residuals.At(i, b)
			}
			fit.ResidualCovariance[a][b] = significant(sum / total * float64(n) / float64(n-inputs))
		}
	}
	waist := mat.NewDense(n, 1, nil)
	for i := range n {
		waist.Set(i, 0, known.At(i, 3))
	}
	coefficients, _, err = leastSquares(known.Slice(0, n, 0, 3), waist, s.Weight)
	if err != nil {
		return fit, err
	}
	for k := range fit.WaistCoefficients {
		fit.WaistCoefficients[k] = significant(coefficients.At(k, 0))
	}
	return fit, nil
}

// narrow finds with which powers of the body mass index the residuals' standard
// deviations go, and turns the residuals into those of people of the index at which the
// model's covariance holds.
func narrow(residuals *mat.Dense, s *Scans) (exponents [3]float64, err error) {
	n := len(s.Weight)
	known, index := mat.NewDense(n, 2, nil), make([]float64, n)
	for i := range n {
		index[i] = anthro.SpreadIndex(s.Stature[i], s.Mass[i])
		known.SetRow(i, []float64{1, index[i]})
	}
	for r := range exponents {
		// A residual of just nothing has a logarithm without end: a thousandth is added,
		// a hundredth of their standard deviation.
		squares := mat.NewDense(n, 1, nil)
		for i := range n {
			squares.Set(i, 0, math.Log(math.Pow(residuals.At(i, r), 2)+1e-6))
		}
		slope, _, err := leastSquares(known, squares, s.Weight)
		if err != nil {
			return exponents, err
		}
		exponents[r] = significant(slope.At(1, 0) / 2)
		for i := range n {
			residuals.Set(i, r, residuals.At(i, r)*math.Exp(-exponents[r]*index[i]))
		}
	}
	return exponents, nil
}

// leastSquares returns the coefficients b that minimise the weighted squares of
// the residuals y - x·b, and those residuals.
func leastSquares(x, y mat.Matrix, weights []float64) (coefficients, residuals *mat.Dense, err error) {
	var wx, wy, b, fitted, e mat.Dense
	root := func(i, _ int, v float64) float64 { return v * math.Sqrt(weights[i]) }
	wx.Apply(root, x)
	wy.Apply(root, y)
	if err := b.Solve(&wx, &wy); err != nil {
		return nil, nil, err
	}
	fitted.Mul(x, &b)
	e.Sub(y, &fitted)
	return &b, &e, nil
}

// significant rounds to nine significant digits.
func significant(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 9, 64), 64)
	if err != nil {
		panic("survey: a printed number cannot be read")
	}
	return y
}
