package survey

import (
	"math"

	"counterpoise/sim/names"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// readings are what the public's tape says of the lengths of upper arm and thigh, as
// far as it goes: between other landmarks than the soldiers', over flesh, with an error
// of its own. What all people of a size read too much is taken for the tape's; what one
// reads more than another of that size is the body's and the tape's error.
type readings struct {
	arm, leg reading
}

// A reading is one length's: what each person has over what the transfer and the tape
// let expect, NaN where not read, and the variance of the tape's error.
type reading struct {
	over     []float64
	bias     [tapeInputs]float64
	variance float64
}

// tape returns what the tape reads too much of a person of a size and age.
func (r *reading) tape(stature, mass, age float64) (bias float64) {
	for k, x := range tapeOf(stature, mass, age) {
		bias += r.bias[k] * x
	}
	return bias
}

func tapeOf(stature, mass, age float64) [tapeInputs]float64 {
	return [tapeInputs]float64{1, stature, math.Log(mass / (stature * stature)), age}
}

// tapeInputs: 1, stature, ln body mass index, age. The tape's bias goes with all of
// them.
const tapeInputs = 4

// readTapes compares the readings of adults with a transfer.
func readTapes(a *Examined, waist []float64, t *transfer) (*readings, error) {
	r := &readings{}
	var err error
	if r.arm, err = readTape(a, waist, a.Arm, t, arm); err != nil {
		return nil, err
	}
	r.leg, err = readTape(a, waist, a.Leg, t, leg)
	return r, err
}

func readTape(a *Examined, waist, length []float64, t *transfer, of func(*[moved]float64) float64) (reading, error) {
	// Groups of the soldiers differ from what their size lets expect, and so are the
	// public's taken to.
	var group [numDescents]float64
	var spread, total float64
	for d, soldiers := range t.of {
		own := names.Each(soldiers, func(i int) float64 { return of(&t.residual[i]) })
		if len(own) > 1 {
			mean, deviation := stat.MeanStdDev(own, nil)
			group[d] = mean + of(&t.over[d])
			spread += float64(len(own)) * deviation * deviation
			total += float64(len(own))
		}
	}
	r := reading{over: make([]float64, len(length))}
	var rows []int
	for i, x := range length {
		if r.over[i] = math.NaN(); !math.IsNaN(x) && a.Weight[i] > 0 {
			rows = append(rows, i)
		}
	}
	known, miss, weight := mat.NewDense(len(rows), tapeInputs, nil), mat.NewDense(len(rows), 1, nil), make([]float64, len(rows))
	for k, i := range rows {
		in := tapeOf(a.Stature[i], a.Mass[i], a.Age[i])
		known.SetRow(k, in[:])
		expected := t.predict(a.Stature[i], a.Mass[i], waist[i], a.Age[i])
		miss.Set(k, 0, length[i]-of(&expected)-group[a.Descent[i]])
		weight[k] = a.Weight[i]
	}
	bias, left, err := leastSquares(known, miss, weight)
	if err != nil {
		return r, err
	}
	for k := range r.bias {
		r.bias[k] = bias.At(k, 0)
	}
	squares, people := 0.0, 0.0
	for k, i := range rows {
		e := left.At(k, 0)
		squares += weight[k] * e * e
		people += weight[k]
		r.over[i] = e + group[a.Descent[i]]
	}
	// The tape's error is what the readings scatter more than the soldiers' lengths do.
	r.variance = max(squares/people-spread/total, t.leastError*t.leastError)
	return r, nil
}

// resembles returns the logarithm of the density with which a person of the public would
// read what they do, had they a soldier's residuals; 0 where nothing was read.
func (r *readings) resembles(i int, residual *[moved]float64) float64 {
	log := 0.0
	for _, one := range []struct {
		of *reading
		y  float64
	}{{&r.arm, arm(residual)}, {&r.leg, leg(residual)}} {
		if d := one.of.over[i] - one.y; !math.IsNaN(d) {
			log -= d * d / (2 * one.of.variance)
		}
	}
	return log
}
