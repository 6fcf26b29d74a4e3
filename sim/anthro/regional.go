package anthro

import (
	"fmt"

	"counterpoise/datasets"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/names"

	"gonum.org/v1/gonum/mat"
)

// Region is a part of the body as body-composition scans divide it: the arms
// are cut off through the shoulder joints, the legs obliquely through the necks
// of the thigh bones, the head under the chin. These are not the segments of
// segment tables.
type Region int

// The regions of a scan; Arms and Legs are both sides together.
const (
	Head Region = iota
	Trunk
	Arms
	Legs

	NumRegions // how many there are
)

var regions = names.List[Region]{"head", "trunk", "arms", "legs"}

// String returns the region's name, such as "trunk".
func (r Region) String() string { return regions.Of(r) }

// RegionalModel tells how people of one sex carry their mass: a linear model of
// the additive log-ratios (Aitchison 1986, "The Statistical Analysis of
// Compositional Data") of the regional masses, ln(region/legs) for Head, Trunk
// and Arms, on the logarithms of stature, mass and waist circumference.
//
// The residuals need no prediction to act on a segment table. Let a table's
// share of a region be multiplied by tilt = share/reference share, where the
// reference is the share predicted for the person's own stature, mass and waist.
// Then ln tilt of a region is its residual plus a term common to all regions
// (the logarithm of the two softmax denominators' ratio), and the common term
// drops out when the tilted shares are renormalised. So it is exact to multiply
// by exp(residual), with residual 0 for the legs.
type RegionalModel struct {
	// Coefficients are those of 1, ln stature (m), ln mass (kg) and ln waist
	// circumference (m), for Head, Trunk and Arms.
	Coefficients [NumRegions - 1][4]float64
	// Covariance is that of the residuals, where Spread is not 0 of people with a body
	// mass index of 25 kg/m².
	Covariance [NumRegions - 1][NumRegions - 1]float64
	// WaistCoefficients are those of 1, ln stature and ln mass in the survey's
	// prediction of ln waist circumference (m).
	WaistCoefficients [3]float64
	// Spread are the powers of the body mass index over 25 kg/m² with which the standard
	// deviations of the residuals go, from 18 to 45 kg/m².
	Spread [NumRegions - 1]float64

	Name   string                                  // of the data set
	widths *widths                                 // nil where Spread is 0
	factor [NumRegions - 1][NumRegions - 1]float64 // lower Cholesky factor of Covariance
}

// FirstRegional names the regional-mass models of populations that name none.
const FirstRegional = "nhanes-2003-2004"

// LoadRegional returns the regional-mass model of one sex from an embedded data set,
// such as FirstRegional.
func LoadRegional(name string, sex Sex) (RegionalModel, error) {
	var file datasets.Regional
	if err := datasets.Read("regional", name, &file); err != nil {
		return RegionalModel{}, err
	}
	fit, ok := file.BySex[sex.String()]
	if !ok {
		return RegionalModel{}, fmt.Errorf("regional masses %s: no entry for sex %s", name, sex)
	}
	model := RegionalModel{
		Coefficients: fit.Coefficients, Covariance: fit.ResidualCovariance, WaistCoefficients: fit.WaistCoefficients,
		Spread: fit.Spread, Name: name,
	}
	if err := model.factorise(); err != nil {
		return RegionalModel{}, fmt.Errorf("regional masses %s, %s: %w", name, sex, err)
	}
	return model, nil
}

// The body mass indices, kg/m², over which the residuals' spread was seen to grow, and
// the one at which it is that of the covariance.
const (
	leastSpread, mostSpread = 18.0, 45.0
	spreadAt                = 25.0
)

// SpreadIndex is what the logarithms of the residuals' standard deviations go with: that of the body
// mass index, kept within the ends, over where the spread is the covariance's.
func SpreadIndex(stature, mass float64) float64 {
	return math.Log(min(max(mass/(stature*stature), leastSpread), mostSpread) / spreadAt)
}

// wider returns how many times as far as the covariance says the residuals of people of
// that stature and mass lie apart.
func (r *RegionalModel) wider(stature, mass float64) (times [NumRegions - 1]float64) {
	index := SpreadIndex(stature, mass)
	for i, exponent := range r.Spread {
		times[i] = math.Exp(exponent * index)
	}
	return times
}

// widths is a table of what wider returns, at body mass indices evenly from the least to
// the most: powers would take as long as all else of drawing.
type widths [widthCells + 1][NumRegions - 1]float64

// widthCells are so many that straight lines between the table's entries are off by less
// than 1e-5.
const widthCells = 256

func (r *RegionalModel) tabulate() {
	if r.widths = nil; r.Spread == [NumRegions - 1]float64{} {
		return
	}
	r.widths = new(widths)
	for k := range r.widths {
		r.widths[k] = r.wider(1, leastSpread+float64((mostSpread-leastSpread)*float64(k)/widthCells))
	}
}

// Widen turns residuals drawn by the covariance into those of people of these statures
// and masses, row by row.
func (r *RegionalModel) Widen(residuals [NumRegions - 1][]float64, stature, mass []float64) {
	if r.widths == nil {
		return
	}
	const perIndex = widthCells / (mostSpread - leastSpread)
	for k, h := range stature {
		t := min(max((mass[k]/(h*h)-leastSpread)*perIndex, 0), widthCells)
		cell := min(int(t), widthCells-1)
		low, high, u := &r.widths[cell], &r.widths[cell+1], t-float64(cell)
		for i := range residuals {
			residuals[i][k] *= low[i] + float64(u*(high[i]-low[i]))
		}
	}
}

func (r *RegionalModel) factorise() error {
	r.tabulate()
	n := int(NumRegions) - 1
	covariance := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			covariance.SetSym(i, j, r.Covariance[i][j])
		}
	}
	lower, ok := linear.Factorize(covariance)
	if !ok {
		return fmt.Errorf("the residual covariance is not positive definite")
	}
	for i := range n {
		for j := range i + 1 {
			r.factor[i][j] = lower.At(i, j)
		}
	}
	return nil
}

// Predict returns the expected ln(region/legs) of the regional masses for Head,
// Trunk and Arms, given stature (m), mass (kg) and waist circumference (m). It
// is NaN where one of them is not positive.
func (r *RegionalModel) Predict(stature, mass, waist float64) [NumRegions - 1]float64 {
	h, m, w := math.Log(stature), math.Log(mass), math.Log(waist)
	var ratios [NumRegions - 1]float64
	for i, c := range &r.Coefficients {
		ratios[i] = c[0] + float64(c[1]*h) + float64(c[2]*m) + float64(c[3]*w)
	}
	return ratios
}

// Waist returns the waist circumference (m) that the regional model's survey
// predicts for a stature (m) and mass (kg): the median.
func (r *RegionalModel) Waist(stature, mass float64) float64 {
	c := &r.WaistCoefficients
	return math.Exp(c[0] + float64(c[1]*math.Log(stature)) + float64(c[2]*math.Log(mass)))
}

// Shares turns the logarithms ln(region/legs) for Head, Trunk and Arms into
// shares of body mass, in the order Head, Trunk, Arms, Legs; they sum to one.
func Shares(logRatios [NumRegions - 1]float64) [NumRegions]float64 {
	// Subtracting the largest keeps every exponential at 1 or below.
	largest := max(0, logRatios[Head], logRatios[Trunk], logRatios[Arms])
	var shares [NumRegions]float64
	sum := 0.0
	for i := range shares {
		ratio := 0.0
		if i < len(logRatios) {
			ratio = logRatios[i]
		}
		shares[i] = math.Exp(ratio - largest)
		sum += shares[i]
	}
	for i := range shares {
		shares[i] /= sum
	}
	return shares
}

// LogRatios is the inverse of Shares; masses serve as well as shares. It is NaN
// or infinite where a share is not positive.
func LogRatios(shares [NumRegions]float64) [NumRegions - 1]float64 {
	var ratios [NumRegions - 1]float64
	for i := range ratios {
		ratios[i] = math.Log(shares[i] / shares[Legs])
	}
	return ratios
}
