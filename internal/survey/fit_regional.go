package survey

import (
	"fmt"
	"math"
	"strconv"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/mat"
)

const regionalMethod = "Ages 18 to 50. Region mass = bone mineral + fat + lean. Additive log-ratios ln(head/legs), " +
	"ln(trunk/legs), ln(arms/legs) of the regional masses, by sex, on 1, ln stature (m), ln mass (kg), ln waist " +
	"circumference (m); least squares weighted by the examination weight WTMEC2YR; residual covariance with the same " +
	"weights, times n/(n-4). ln waist on 1, ln stature, ln mass likewise. Rounded to 9 significant digits."

// fitRegional fits the regional-mass models to the scans of both sexes.
func fitRegional(bySex map[anthro.Sex]*Scans) (*datasets.Regional, error) {
	fit := &datasets.Regional{
		Name: "nhanes-2003-2004", Title: "Regional body masses of US adults aged 18 to 50 (NHANES 2003-2004)",
		Provenance: datasets.Provenance{
			Citation: "CDC/NCHS, National Health and Nutrition Examination Survey 2003-2004: whole-body dual-energy X-ray absorptiometry, body measures, demographics",
			Licence:  "work of the US Government, public domain; NCHS asks for statistical use only and no attempt to identify anyone",
			Method:   regionalMethod,
			Raw:      bySex[anthro.Male].files,
		},
		BySex: map[string]datasets.RegionalFit{},
	}
	for sex, s := range bySex {
		one, err := fitRegionalSex(s)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", sex, err)
		}
		fit.BySex[sex.String()] = one
	}
	return fit, nil
}

func fitRegionalSex(s *Scans) (datasets.RegionalFit, error) {
	const outputs, inputs = int(anthro.NumRegions) - 1, 4
	n := len(s.Weight)
	fit := datasets.RegionalFit{N: n}
	ratios := mat.NewDense(n, outputs, nil)
	known := mat.NewDense(n, inputs, nil)
	for i := range n {
		known.SetRow(i, []float64{1, math.Log(s.Stature[i]), math.Log(s.Mass[i]), math.Log(s.Waist[i])})
		var masses [anthro.NumRegions]float64
		for r := range masses {
			masses[r] = s.Region[r][i]
		}
		row := anthro.LogRatios(masses)
		ratios.SetRow(i, row[:])
	}
	coefficients, residuals, err := leastSquares(known, ratios, s.Weight)
	if err != nil {
		return fit, err
	}
	total := 0.0
	for _, w := range s.Weight {
		total += w
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
