package drivers_test

import (
	"fmt"
	"testing"

	"counterpoise/internal/crosscheck/functions"
	"counterpoise/internal/golden"
	"counterpoise/sim/drivers"
)

// Of 200 seeds, 90 to 99 % of the 95 % intervals are to hold the exact value. (A binomial
// number of 200 trials at 95 % is outside that 4 times in 1,000; the seeds are fixed.)
// Indices that are estimated without any noise are not counted.
func TestIntervalsCover(t *testing.T) {
	const seeds = 200
	a := []float64{0, 0.5, 3, 9, 99, 99}
	_, first, total, second := gIndices(a)
	linearCase := linearCases[0]
	dependent := linear(t, linearCase.beta, covariance(linearCase.sigma, linearCase.pairs))
	type exact map[drivers.Kind][]float64
	for _, c := range []struct {
		name  string
		exact exact
		run   func(o drivers.Options) (*drivers.Result, error)
	}{
		{"ishigami", exact{drivers.First: ishigamiFirst, drivers.Total: ishigamiTotal}, func(o drivers.Options) (*drivers.Result, error) {
			return drivers.Sobol(background, functions.Ishigami(), drivers.SobolOptions{Options: o})
		}},
		{"ishigami, Janon", exact{drivers.First: ishigamiFirst, drivers.Total: ishigamiTotal}, func(o drivers.Options) (*drivers.Result, error) {
			return drivers.Sobol(background, functions.Ishigami(), drivers.SobolOptions{Options: o, Estimator: drivers.Janon})
		}},
		{"g", exact{drivers.First: first, drivers.Total: total}, func(o drivers.Options) (*drivers.Result, error) {
			return drivers.Sobol(background, functions.G(a...), drivers.SobolOptions{Options: o, SecondOrder: true})
		}},
		{"shapley", exact{drivers.ShapleyEffect: linearCase.shapley}, func(o drivers.Options) (*drivers.Result, error) {
			return drivers.Shapley(background, dependent, o)
		}},
		{"shapley, permutations", exact{drivers.ShapleyEffect: linearCase.shapley}, func(o drivers.Options) (*drivers.Result, error) {
			return drivers.ShapleyPermutations(background, dependent, o)
		}},
		{"full and independent", exact{
			drivers.FullFirst: linearCase.fullFirst, drivers.FullTotal: linearCase.fullFirst,
			drivers.IndependentFirst: linearCase.independentT, drivers.IndependentTotal: linearCase.independentT,
		}, func(o drivers.Options) (*drivers.Result, error) {
			return drivers.FullAndIndependent(background, dependent, o)
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			covered := map[string]int{}
			for seed := range seeds {
				r := golden.Must(c.run(drivers.Options{Seed: uint64(seed), Base: 256, Workers: 1}))(t)
				for _, i := range r.Indices {
					var want float64
					if i.Kind == drivers.Second {
						var x, y int
						fmt.Sscanf(i.Groups[0]+i.Groups[1], "x%dx%d", &x, &y)
						want = second(x-1, y-1)
					} else {
						var x int
						fmt.Sscanf(i.Groups[0], "x%d", &x)
						want = c.exact[i.Kind][x-1]
					}
					if i.Low <= want && want <= i.High {
						covered[fmt.Sprint(i.Kind, i.Groups)]++
					} else {
						covered[fmt.Sprint(i.Kind, i.Groups)] += 0
					}
				}
			}
			for index, n := range covered {
				if n < seeds*90/100 || n > seeds*99/100 {
					t.Errorf("%s: %d of %d intervals hold the exact value", index, n, seeds)
				}
			}
		})
	}
}
