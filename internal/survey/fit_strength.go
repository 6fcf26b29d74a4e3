package survey

import (
	"fmt"
	"math"
	"slices"

	"counterpoise/datasets"
	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/mat"
)

const (
	strengthFirst     = 18 // years; the range of the fit to size
	strengthLast      = 59
	strengthReference = 30
	strengthYoungest  = 12 // from where populations are
	strengthOldest    = 79 // the last age that the survey tells apart
)

// strengthKnots are those of the age curves in years: of the one that goes with
// the exponents, and of the one from youth to old age, which rises steeply at first.
var (
	youngKnots = []float64{18, 25, 35, 47, 59}
	allKnots   = []float64{12, 14, 16, 18, 25, 35, 50, 65, 79}
)

const strengthMethod = "Best of up to six readings of both hands. Left out: tested on one hand, seated, hands or wrists ever operated on for " +
	"arthritis or carpal tunnel, trials of questionable effort, women known to be pregnant. By sex, weights WTMEC2YR/2. " +
	"Exponents: ln grip on ln mass, ln stature and a natural cubic spline of age (knots 18, 25, 35, 47, 59), ages 18 to 59; " +
	"standard errors of the design by Taylor linearisation (SDMVSTRA, SDMVPSU; 32 degrees of freedom); residual SD weighted. Within: readings of one hand, a minute apart, weighted. " +
	"Build: the same with ln waist and the log-ratios of regional masses ln(head/legs), ln(trunk/legs), ln(arms/legs) of those scanned; the residual SD less what these three explain beyond the waist. " +
	"Arm lean: ln grip on ln lean mass of both arms without bone alone, ages 18 to 59. Age: with those exponents held, " +
	"ln grip at one size on a natural cubic spline of age (knots 12, 14, 16, 18, 25, 35, 50, 65, 79), ages 12 to 79, less its value at 30. " +
	"Rounded to 9 significant digits."

// fitStrength fits strength to size and age from the grip survey of both sexes.
func fitStrength(bySex map[anthro.Sex]*Grips) (*datasets.Size, error) {
	fit := &datasets.Size{
		Name: "nhanes-grip-2011-2014", Title: "Strength by mass, stature and age: best grip of US adults (NHANES 2011-2014)",
		Provenance: datasets.Provenance{
			Citation: "CDC/NCHS, National Health and Nutrition Examination Survey 2011-2014: grip test, body measures, demographics, whole-body dual-energy X-ray absorptiometry",
			Licence:  licenceOfNHANES,
			Method:   strengthMethod,
			Raw:      bySex[anthro.Male].files,
		},
		FirstAge: strengthYoungest, ReferenceAge: strengthReference,
		BySex: map[string]datasets.SizeFit{},
	}
	for sex, g := range bySex {
		one, err := fitStrengthSex(g)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", sex, err)
		}
		fit.BySex[sex.String()] = one
	}
	return fit, nil
}

func fitStrengthSex(g *Grips) (datasets.SizeFit, error) {
	size, err := fitSize(g, strengthFirst, strengthLast)
	if err != nil {
		return datasets.SizeFit{}, err
	}
	lean, leanN, err := fitArmLean(g, strengthFirst, strengthLast)
	if err != nil {
		return datasets.SizeFit{}, err
	}
	build, err := fitBuild(g, strengthFirst, strengthLast)
	if err != nil {
		return datasets.SizeFit{}, err
	}
	fit := datasets.SizeFit{
		N:               len(size.residuals),
		MassExponent:    estimate(size, 0),
		StatureExponent: estimate(size, 1),
		Covariance:      significant(size.covariance.At(0, 1)),
		Residual:        significant(size.spread),
		BuildN:          len(build.with.residuals),
		Build:           [3]datasets.Estimate{estimate(build.with, 0), estimate(build.with, 1), estimate(build.with, 2)},
		BuildResidual:   significant(math.Sqrt(size.spread*size.spread - build.explained())),
		ArmLeanN:        leanN,
		ArmLeanExponent: estimate(lean, 0),
		ArmLeanResidual: significant(lean.spread),
	}
	young := g.within(strengthFirst, strengthLast)
	mass, stature, total := 0.0, 0.0, 0.0
	within, twice := 0.0, 0.0
	for _, i := range young {
		if !math.IsNaN(g.Within[i]) {
			within += g.Weight[i] * g.Within[i]
			twice += g.Weight[i]
		}
		mass += g.Weight[i] * math.Log(g.Mass[i])
		stature += g.Weight[i] * math.Log(g.Stature[i])
		total += g.Weight[i]
	}
	mass, stature = mass/total, stature/total
	fit.Within = significant(math.Sqrt(within / twice))
	fit.Mass, fit.Stature = significant(math.Exp(mass)), significant(math.Exp(stature))
	a, b := size.coefficients[0], size.coefficients[1]
	curve, err := g.ageCurve(func(i int) float64 {
		return math.Log(g.Best[i]) - a*(math.Log(g.Mass[i])-mass) - b*(math.Log(g.Stature[i])-stature)
	})
	if err != nil {
		return datasets.SizeFit{}, err
	}
	reference := curve(strengthReference)
	fit.Grip = significant(math.Exp(reference))
	for age := strengthYoungest; age <= strengthOldest; age++ {
		fit.Age = append(fit.Age, significant(curve(float64(age))-reference))
	}
	return fit, nil
}

func estimate(f *designFit, k int) datasets.Estimate {
	return datasets.Estimate{Value: significant(f.coefficients[k]), Error: significant(f.error(k))}
}

// within lists the people from the first age to the last, both included.
func (g *Grips) within(first, last float64) []int {
	var list []int
	for i, age := range g.Age {
		if age >= first && age <= last {
			list = append(list, i)
		}
	}
	return list
}

// fitRows fits the logarithm of the best grip of the people listed to the rows
// that fill makes, of the given width.
func (g *Grips) fitRows(list []int, y func(i int) float64, width int, fill func(row []float64, i int)) (*designFit, error) {
	n := len(list)
	x := mat.NewDense(n, width, nil)
	values, weights, strata, units := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	for r, i := range list {
		fill(x.RawRowView(r), i)
		values[r], weights[r], strata[r], units[r] = y(i), g.Weight[i], g.Stratum[i], g.Unit[i]
	}
	return fitDesign(x, values, weights, strata, units)
}

func (g *Grips) logBest(i int) float64 { return math.Log(g.Best[i]) }

// fitSize fits strength to size: coefficient 0 is the exponent of mass, 1 that of
// stature, then the constant and the age curve.
func fitSize(g *Grips, first, last float64) (*designFit, error) {
	return g.fitRows(g.within(first, last), g.logBest, 3+len(youngKnots)-1, func(row []float64, i int) {
		row[0], row[1], row[2] = math.Log(g.Mass[i]), math.Log(g.Stature[i]), 1
		naturalSpline(row[3:], g.Age[i], youngKnots)
	})
}

// buildFit is strength by size, age and waist, with and without the regional masses.
type buildFit struct{ with, without *designFit }

// explained is how much of the variance between people the regional masses explain.
func (f *buildFit) explained() float64 {
	return f.without.spread*f.without.spread - f.with.spread*f.with.spread
}

// fitBuild fits strength to regional masses, for the same size, age and waist:
// coefficients 0 to 2 are those of the log-ratios of head, trunk and arms.
func fitBuild(g *Grips, first, last float64) (f buildFit, err error) {
	list := slices.DeleteFunc(g.within(first, last), func(i int) bool { return !(g.Waist[i] > 0 && g.Region[anthro.Head][i] > 0) })
	const ratios = int(anthro.NumRegions) - 1
	known := func(row []float64, i int) {
		row[0], row[1], row[2], row[3] = math.Log(g.Mass[i]), math.Log(g.Stature[i]), math.Log(g.Waist[i]), 1
		naturalSpline(row[4:], g.Age[i], youngKnots)
	}
	width := 4 + len(youngKnots) - 1
	if f.without, err = g.fitRows(list, g.logBest, width, known); err != nil {
		return f, err
	}
	f.with, err = g.fitRows(list, g.logBest, ratios+width, func(row []float64, i int) {
		of := anthro.LogRatios(g.masses(i))
		copy(row, of[:])
		known(row[ratios:], i)
	})
	return f, err
}

// fitArmLean fits strength to the lean mass of the arms alone: coefficient 0 is
// the exponent. It says how many people it has.
func fitArmLean(g *Grips, first, last float64) (*designFit, int, error) {
	list := slices.DeleteFunc(g.within(first, last), func(i int) bool { return !(g.ArmLean[i] > 0) })
	fit, err := g.fitRows(list, g.logBest, 2, func(row []float64, i int) {
		row[0], row[1] = math.Log(g.ArmLean[i]), 1
	})
	return fit, len(list), err
}

// ageCurve fits y to age alone, from 12 to 79.
func (g *Grips) ageCurve(y func(i int) float64) (func(age float64) float64, error) {
	fill := func(row []float64, age float64) {
		row[0] = 1
		naturalSpline(row[1:], age, allKnots)
	}
	width := len(allKnots)
	fit, err := g.fitRows(g.within(strengthYoungest, strengthOldest), y, width, func(row []float64, i int) { fill(row, g.Age[i]) })
	if err != nil {
		return nil, err
	}
	return func(age float64) float64 {
		row, sum := make([]float64, width), 0.0
		fill(row, age)
		for k, c := range fit.coefficients {
			sum += c * row[k]
		}
		return sum
	}, nil
}
