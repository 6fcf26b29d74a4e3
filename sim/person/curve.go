package person

import (
	"math"

	"counterpoise/sim/hold"
)

// curveBodies is about how many bodies stand behind a ribbon.
const curveBodies = 512

// curveSteps is the number of angles of a curve: one a degree over the human
// flag's range.
const curveSteps = 71

// startCurves makes room for the ribbons.
func (d *draws) startCurves() {
	d.angles = make([]float64, curveSteps)
	for k := range d.angles {
		d.angles[k] = d.hold.LeastAngle + float64(k)/(curveSteps-1)*(d.hold.MostAngle-d.hold.LeastAngle)
	}
	d.curveEach = min(groupRows, (curveBodies+len(d.assumed)-1)/len(d.assumed))
	d.curveRows = d.curveEach * len(d.assumed)
	for _, peaks := range []*[][][]float64{&d.peaksBody, &d.peaksAll} {
		*peaks = make([][][]float64, len(d.models))
		for l := range *peaks {
			(*peaks)[l] = make([][]float64, curveSteps)
			for a := range (*peaks)[l] {
				(*peaks)[l][a] = make([]float64, d.curveRows)
			}
		}
	}
}

// peaks writes the largest part of the first few bodies of group k at every
// angle; NaN where a body cannot take the posture.
func (d *draws) peaks(peaks [][][]float64, s *solver, k int) {
	var room [8]float64
	for l := range d.asked {
		m := d.models[l]
		values := room[:len(d.hold.Parts(m))]
		for i := range d.curveEach {
			at := d.hold.PartsOf(s.bodies, s.given, i, d.posture, m, s.under)
			for a, angle := range d.angles {
				peak := math.NaN()
				if at(values, angle) {
					peak = largest(values)
				}
				peaks[l][a][k*d.curveEach+i] = peak
			}
		}
	}
}

func largest(values []float64) float64 {
	most := math.Inf(-1)
	for _, v := range values {
		if v > most { // max is a call in browsers
			most = v
		}
	}
	return most
}

// curve puts the curve of the median body and the ribbons together; nil where the
// hold leaves no choice of angle.
func (d *draws) curve(l int, median *Figure) *Curve {
	if d.angles == nil {
		return nil
	}
	model := d.models[l]
	c := &Curve{Parts: d.hold.Parts(model), BestAngle: math.NaN(), BestPeak: math.NaN(), BestSpacing: math.NaN()}
	c.Median = make([][]float64, len(c.Parts))
	s := newSolver(d.problem, 1)
	s.build(d.medianPerson(), &d.options.Assumptions.Centre)
	values := make([]float64, len(c.Parts))
	parts := d.hold.PartsOf(s.bodies, s.given, 0, d.posture, model, s.under)
	at := func(angle float64) bool { return parts(values, angle) }
	for a, angle := range d.angles {
		body, all := numbers(d.peaksBody[l][a]), numbers(d.peaksAll[l][a])
		// At the ends of a tilted body's range few can be there.
		if !at(angle) || 2*min(len(body), len(all)) < d.curveRows {
			continue
		}
		c.Angle = append(c.Angle, angle)
		for k, v := range values {
			c.Median[k] = append(c.Median[k], v)
		}
		c.Peak = append(c.Peak, largest(values))
		b, w := spreadOf(body), spreadOf(all)
		c.BodyLow, c.BodyHigh = append(c.BodyLow, b.Low), append(c.BodyHigh, b.High)
		c.AllLow, c.AllHigh = append(c.AllLow, w.Low), append(c.AllHigh, w.High)
	}
	if median != nil && at(median.Held.Value[hold.ArmAngle][0]) {
		c.BestAngle, c.BestPeak, c.BestSpacing = median.Held.Value[hold.ArmAngle][0], largest(values), median.Held.Value[hold.HandSpacing][0]
	}
	return c
}

// numbers returns the values that are numbers, in the same room.
func numbers(values []float64) []float64 {
	kept := values[:0]
	for _, v := range values {
		if !math.IsNaN(v) {
			kept = append(kept, v)
		}
	}
	return kept
}
