package drivers_test

import (
	"fmt"
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/drivers"
	"counterpoise/sim/montecarlo"
)

// Total indices in closed form: y = u² + c·v with u and v even over −1..1 and u seen by no
// correlation, has the variances 4/45 and c²/3.
func TestTotalOf(t *testing.T) {
	const replicates, rows, more, c, seeds = 16, 16, 32, 0.3, 200
	want := 4. / 45 / (4./45 + c*c/3)
	response := func(u, v float64) float64 { return 5 + u*u + c*v }
	held, mean := 0, 0.0
	for seed := range uint64(seeds) {
		base, exchanged := make([][]float64, replicates), make([][]float64, replicates)
		for r := range base {
			sobol := golden.Must(montecarlo.NewScrambledSobol(3, seed, fmt.Sprint("total/", r)))(t)
			x := make([]float64, 3)
			for k := range uint64(more) {
				sobol.Point(k, x)
				base[r] = append(base[r], response(2*x[0]-1, 2*x[1]-1))
				if k < rows {
					exchanged[r] = append(exchanged[r], response(2*x[2]-1, 2*x[1]-1))
				}
			}
		}
		e := drivers.TotalOf(base, exchanged, 0.95)
		if e.Low <= want && want <= e.High {
			held++
		}
		mean += e.Value / seeds
		if same := drivers.TotalOf(base, base, 0.95); same != (drivers.Estimate{}) {
			t.Fatalf("what changes nothing has the total index %+v", same)
		}
	}
	// Three standard errors of a count of 200, and of a mean of as many estimates that
	// scatter by less than 0.1.
	if least := 0.95*seeds - 3*math.Sqrt(seeds*0.95*0.05); float64(held) < least {
		t.Errorf("%d of %d intervals hold %g", held, seeds, want)
	}
	if !(math.Abs(mean-want) <= 3*0.1/math.Sqrt(seeds)) {
		t.Errorf("the mean estimate is %g, want %g", mean, want)
	}
}

func TestTotalOfNothing(t *testing.T) {
	for name, c := range map[string][2][][]float64{
		"constant": {{{3, 3}, {3, 3}}, {{3, 3}, {3, 3}}},
		"infinite": {{{1, 2}, {3, math.Inf(1)}}, {{1, 1}, {1, 1}}},
		"unknown":  {{{1, 2}, {3, 4}}, {{1, math.NaN()}, {1, 1}}},
	} {
		if e := drivers.TotalOf(c[0], c[1], 0.95); !math.IsNaN(e.Value) || !math.IsNaN(e.Low) || !math.IsNaN(e.High) {
			t.Errorf("%s: %+v", name, e)
		}
	}
}
