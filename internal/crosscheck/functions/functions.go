// Package functions holds the models on which the sensitivity analysis is compared with
// closed forms and with other people's programs. Tests and the crosscheck import it.
package functions

import (
	"fmt"
	"math"

	"counterpoise/sim/drivers"
)

// RowWise makes a model of a function of one row.
func RowWise(f func(x []float64) float64) func() drivers.Model {
	return func() drivers.Model {
		var x []float64
		return func(out []float64, in [][]float64) error {
			if x == nil {
				x = make([]float64, len(in))
			}
			for i := range out {
				for j, column := range in {
					x[j] = column[i]
				}
				out[i] = f(x)
			}
			return nil
		}
	}
}

// Names are those of n inputs.
func Names(n int) []string {
	s := make([]string, n)
	for i := range s {
		s[i] = fmt.Sprintf("x%d", i+1)
	}
	return s
}

// unit is a problem whose inputs are uniform on (0, 1).
func unit(inputs int, model func() drivers.Model) drivers.Problem {
	return drivers.Problem{Inputs: Names(inputs), Sampler: drivers.Uniform(inputs), NewModel: model}
}

// Ishigami is the function of Ishigami and Homma (1990) with a = 7, b = 0.1,
// inputs uniform on (−π, π), here on (0, 1).
func Ishigami() drivers.Problem {
	return unit(3, RowWise(func(u []float64) float64 {
		x1, x2, x3 := math.Pi*(2*u[0]-1), math.Pi*(2*u[1]-1), math.Pi*(2*u[2]-1)
		return math.Sin(x1) + 7*math.Pow(math.Sin(x2), 2) + 0.1*math.Pow(x3, 4)*math.Sin(x1)
	}))
}

// G is Sobol's g-function: the product of (|4u−2| + a)/(1 + a).
func G(a ...float64) drivers.Problem {
	return unit(len(a), RowWise(func(u []float64) float64 {
		y := 1.0
		for i, ai := range a {
			y *= (math.Abs(4*u[i]-2) + ai) / (1 + ai)
		}
		return y
	}))
}

// The ranges of the inputs of Force.
var (
	forceLow  = [12]float64{.58, .32, .42, .89, .46, .06, .74, .00, .45, .3, -.3, -.1}
	forceHigh = [12]float64{.68, .40, .53, .91, .52, .14, 1.0, .03, .65, .7, .3, .1}
)

// Force is the grip force of a side hold at an arm angle of 41° over 12 uncertain
// inputs: the model of testdata/bench/drivers/openturns_sobol.py.
func Force() drivers.Problem { return unit(12, func() drivers.Model { return Forces }) }

// Forces is the model of Force.
func Forces(out []float64, in [][]float64) error {
	const angle = 41 * math.Pi / 180
	sin, cos := math.Sincos(angle)
	for i := range out {
		at := func(j int) float64 { return forceLow[j] + in[j][i]*(forceHigh[j]-forceLow[j]) }
		l := at(0) - (at(5)-.104)*.33 + (at(8)-.55)*.115
		b := at(1) * at(6) / .86
		c := (at(2) + at(7) - .015) * math.Cos(at(11))
		m, k, top := at(3), at(4), at(9)
		arm := (1 - m) / 2
		h := (m*(l*sin+c) + 2*arm*(1-k)*l*sin) / (b + 2*l*cos)
		out[i] = (h*sin + max(top, 1-top)*cos) / (1 + at(10)*(angle-.7))
	}
	return nil
}
