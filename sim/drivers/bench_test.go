package drivers_test

import (
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"counterpoise/internal/crosscheck/functions"
	"counterpoise/sim/drivers"
)

// The force of a side hold at a fixed arm angle over 12 independent inputs: the
// model of testdata/bench/drivers/openturns_sobol.py.
func BenchmarkSobol(b *testing.B) {
	p := functions.Force()
	b.ReportAllocs()
	var evaluations int64
	for b.Loop() {
		r, err := drivers.Sobol(background, p, drivers.SobolOptions{Options: drivers.Options{Base: 1 << 12}})
		if err != nil {
			b.Fatal(err)
		}
		evaluations += r.Evaluations
	}
	b.ReportMetric(float64(evaluations)/b.Elapsed().Seconds(), "evaluations/s")
}

// Ten groups of three inputs, all dependent.
func shapleyProblem(t testing.TB, groups int) drivers.Problem {
	d := 3 * groups
	beta := make([]float64, d)
	c := mat.NewSymDense(d, nil)
	for i := range d {
		beta[i] = math.Cos(1.7 * float64(i))
		for j := range i {
			c.SetSym(i, j, 0.6*math.Exp(-0.1*float64(i-j)))
		}
		c.SetSym(i, i, 1)
	}
	p := linear(t, beta, c)
	for g := range groups {
		p.Groups = append(p.Groups, drivers.Group{Name: fmt.Sprintf("g%d", g), Inputs: []int{3 * g, 3*g + 1, 3*g + 2}})
	}
	return p
}

func BenchmarkShapley(b *testing.B) {
	for _, c := range []struct {
		name   string
		groups int
		run    func(drivers.Problem, drivers.Options) (*drivers.Result, error)
	}{
		{"subsets/groups=10", 10, func(p drivers.Problem, o drivers.Options) (*drivers.Result, error) {
			return drivers.Shapley(background, p, o)
		}},
		{"permutations/groups=10", 10, func(p drivers.Problem, o drivers.Options) (*drivers.Result, error) {
			return drivers.ShapleyPermutations(background, p, o)
		}},
	} {
		b.Run(c.name, func(b *testing.B) {
			p := shapleyProblem(b, c.groups)
			b.ReportAllocs()
			var evaluations int64
			var widest float64
			for b.Loop() {
				r, err := c.run(p, drivers.Options{Until: 0.01, Base: 64, MaxEvaluations: 1 << 40})
				if err != nil {
					b.Fatal(err)
				}
				evaluations += r.Evaluations
				for _, i := range r.Indices {
					widest = max(widest, i.HalfWidth())
				}
			}
			b.ReportMetric(float64(evaluations)/b.Elapsed().Seconds(), "evaluations/s")
			b.ReportMetric(widest, "half-width")
		})
	}
}
