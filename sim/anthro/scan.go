package anthro

import (
	"fmt"

	"counterpoise/sim/math"

	"gonum.org/v1/gonum/mat"
)

// Regional says how one person's regional masses are found. Its zero value
// draws them: people of the same measurements carry their mass differently.
type Regional struct {
	way    regionalWay
	masses [NumRegions]float64 // of a scan, kg
	ratios [NumRegions - 1]float64
}

type regionalWay int

const (
	drawnMasses regionalWay = iota
	averageMasses
	scannedMasses
)

// AverageRegional takes the person to carry their mass like the average of their
// stature, mass and waist: all residuals 0.
func AverageRegional() Regional { return Regional{way: averageMasses} }

// ScannedRegional takes the regional masses (kg, in the order of the regions)
// from a body-composition scan of the person. The residual is what the scan has
// over the prediction for stature, mass and waist; where one of these is drawn,
// it differs from row to row.
//
// The scan says nothing about the measurements in turn, although a heavy trunk
// makes a wide waist likely: those whom the survey measured were not scanned.
func ScannedRegional(masses [NumRegions]float64) (Regional, error) {
	for r, mass := range masses {
		if !(mass > 0) || math.IsInf(mass, 0) {
			return Regional{}, fmt.Errorf("the scan's %s has %g kg, must be positive and finite", Region(r), mass)
		}
	}
	return Regional{way: scannedMasses, masses: masses, ratios: LogRatios(masses)}, nil
}

// fill fills rows from..to-1 of the residuals, from rows of the measurements and
// from normals.
func (r *Regional) fill(p *Population, column func(int) []float64, values [NumVariables][]float64, residuals [NumRegions - 1][]float64, from, to int) {
	switch r.way {
	case drawnMasses:
		p.drawResiduals(column, values, residuals, from, to)
	case averageMasses:
		for i := range residuals {
			clear(residuals[i][from:to])
		}
	case scannedMasses:
		for k := from; k < to; k++ {
			predicted := p.Regional.Predict(values[Stature][k], values[Mass][k], values[WaistCircumference][k])
			for i := range residuals {
				residuals[i][k] = r.ratios[i] - predicted[i]
			}
		}
	}
}

// The scan's regions may miss the body's mass by this share (clothes, a meal,
// the machine).
const scanTolerance = 0.05

// ScanError tells that a scan does not belong to the person's measurements.
type ScanError struct {
	Total float64 // the scan's regions together, kg
	Mass  float64 // the person's, kg
	// Share is that of people, built like this one in stature, mass and waist,
	// whose regional masses are at least as unusual. It is 0 where the scan was
	// refused for its total already.
	Share float64
	// Scanned and Expected are shares of body mass, in the order of the regions.
	Scanned, Expected [NumRegions]float64
}

func (e *ScanError) Error() string {
	if math.Abs(e.Total/e.Mass-1) > scanTolerance {
		return fmt.Sprintf("the scan's regions add up to %.1f kg, the mass is %.1f kg: they may differ by %g %% at most", e.Total, e.Mass, 100*scanTolerance)
	}
	text := "fewer than 1 in 100,000 people have the scan's shares of body mass:"
	for r := range e.Scanned {
		text += fmt.Sprintf(" %s %.3f (expected %.3f)", Region(r), e.Scanned[r], e.Expected[r])
	}
	return text
}

// checkScan compares a scan with the measurements.
func (p *Person) checkScan() error {
	if p.regional.way != scannedMasses {
		return nil
	}
	e := &ScanError{Scanned: Shares(p.regional.ratios)}
	for _, mass := range p.regional.masses {
		e.Total += mass
	}
	e.Mass = e.Total
	for _, k := range p.Known {
		if k.Of == Mass {
			e.Mass = k.Value
		}
	}
	share, expected := p.scanShare()
	e.Expected = Shares(expected)
	if !(math.Abs(e.Total/e.Mass-1) <= scanTolerance) {
		return e
	}
	e.Share = share
	if !(share >= improbable) {
		return e
	}
	return nil
}

// scanShare returns the share of people like this one whose regional masses are
// at least as unusual as the scan's, and the log-ratios expected of them.
func (p *Person) scanShare() (share float64, expected [NumRegions - 1]float64) {
	model, from := &p.Population.Regional, [3]Measurement{Stature, Mass, WaistCircumference}
	expected = model.Predict(p.Quantile(Stature, 0.5), p.Quantile(Mass, 0.5), p.Quantile(WaistCircumference, 0.5))
	// The log-ratios vary by the model's residuals and, where a measurement is
	// open, with the prediction, here taken as linear in its score.
	var slope [len(expected)][len(from)]float64
	for k, m := range from {
		marginal, mean := p.Population.marginals[m], p.scores.mean[m]
		perScore := math.Log(marginal.Value(mean+0.5) / marginal.Value(mean-0.5))
		for i := range expected {
			slope[i][k] = model.Coefficients[i][1+k] * perScore
		}
	}
	covariance := mat.NewSymDense(len(expected), nil)
	wider := model.wider(p.Quantile(Stature, 0.5), p.Quantile(Mass, 0.5))
	for i := range expected {
		for j := range i + 1 {
			sum := model.Covariance[i][j] * wider[i] * wider[j]
			for a, ma := range from {
				for b, mb := range from {
					sum += float64(slope[i][a] * slope[j][b] * p.scores.covariance.At(int(ma), int(mb)))
				}
			}
			covariance.SetSym(i, j, sum)
		}
	}
	g, distance := newGaussian(covariance), 0.0
	for i := range expected {
		distance += g.observe(i, p.regional.ratios[i]-expected[i], 0)
	}
	return math.ChiSquaredAbove(distance, len(expected)), expected
}
