package person

import (
	"slices"

	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/scenario"
)

// curveBodies is about how many bodies stand behind a ribbon.
const curveBodies = 512

// startCurves makes room for the ribbons.
func (d *draws) startCurves() {
	d.angles = scenario.CurveAngles(d.scenario.Hold)
	d.curveEach = min(groupRows, (curveBodies+len(d.assumed)-1)/len(d.assumed))
	d.curveRows = d.curveEach * len(d.assumed)
	for _, peaks := range []*[][][]float64{&d.peaksBody, &d.peaksAll} {
		*peaks = make([][][]float64, d.asked)
		for l := range *peaks {
			(*peaks)[l] = make([][]float64, len(d.angles))
			for a := range (*peaks)[l] {
				(*peaks)[l][a] = make([]float64, d.curveRows)
			}
		}
	}
}

// peaks writes the largest part at every angle of the person, who is row i of a tile,
// held up under model l: of the first few of every group, where ribbons are asked for.
func (d *draws) peaks(peaks [][][]float64, l, person int, t *scenario.Tile, i int) {
	if d.angles == nil || l >= d.asked {
		return
	}
	k := d.group[person]
	if place := person - d.from[k]; place < d.curveEach {
		t.First.Peaks(peaks[l], k*d.curveEach+place, i, d.setup.Hold, d.setup.First, d.scenario.Models[l].Statics, d.angles)
	}
}

// curve puts the curve of the median body and the ribbons together; nil where the
// hold leaves no choice of angle. held is how the body is held best, nil where it
// cannot be.
func (d *draws) curve(l int, median *MedianBody, held *scenario.HeldBody) *Curve {
	if d.angles == nil {
		return nil
	}
	c := &Curve{}
	// At the ends of a tilted body's range few can be there.
	ribbons := func(a int) bool {
		body, all := numbers(d.peaksBody[l][a]), numbers(d.peaksAll[l][a])
		if 2*min(len(body), len(all)) < d.curveRows {
			return false
		}
		b, w := spreadOf(body), spreadOf(all)
		c.BodyLow, c.BodyHigh = append(c.BodyLow, b.Low), append(c.BodyHigh, b.High)
		c.AllLow, c.AllHigh = append(c.AllLow, w.Low), append(c.AllHigh, w.High)
		return true
	}
	var best *hold.Result
	if held != nil {
		best = held.Held
	}
	c.Curve = median.held.Curve(d.setup.Hold, d.setup.First, d.scenario.Models[l].Statics, d.angles, ribbons, best)
	return c
}

// numbers returns the values that are numbers, in the same room.
func numbers(values []float64) []float64 {
	return slices.DeleteFunc(values, math.IsNaN)
}
