package claim

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/drivers"
	"counterpoise/sim/montecarlo"

	"gonum.org/v1/gonum/stat"
)

// injected finds what decides a claim of which a draw is supported where says is above
// nothing, with that as its effect; asked is how often each unknown was exchanged.
func injected(t *testing.T, seed uint64, unknowns, rows int, says func(x []float64) float64) (e *drivers.Exchanges[[][]reading], points [][]float64, asked []int) {
	t.Helper()
	asked = make([]int, unknowns)
	reads := func(x []float64) [][]reading {
		size := says(x)
		v := NoDifference
		if size > 0 {
			v = Supported
		}
		return [][]reading{{{early: early{v, size}}}}
	}
	e = &drivers.Exchanges[[][]reading]{Questions: []func([][]reading) float64{subject{most: Supported}.verdict}}
	cubes := make([][][]float64, Replicates)
	for r := range Replicates {
		sobol := golden.Must(montecarlo.NewScrambledSobol(unknowns, seed, fmt.Sprint("injected/", r)))(t)
		var read [][][]reading
		for k := range rows {
			x := make([]float64, unknowns)
			sobol.Point(uint64(k), x)
			cubes[r], points, read = append(cubes[r], x), append(points, x), append(read, reads(x))
		}
		e.Base = append(e.Base, read)
	}
	fresh := montecarlo.NewStream(seed, "other values")
	e.Ask = func(_, list []int, from, upto int) ([][][][][]reading, error) {
		said := make([][][][][]reading, len(list))
		for k, j := range list {
			asked[j] += (upto - from) * Replicates
			for r := range Replicates {
				var read [][][]reading
				for _, x := range cubes[r][from:upto] {
					x = slices.Clone(x)
					x[j] = fresh.Float64()
					read = append(read, reads(x))
				}
				said[k] = append(said[k], read)
			}
		}
		return said, nil
	}
	if _, err := e.Run(unknowns); err != nil {
		t.Fatal(err)
	}
	return e, points, asked
}

// What decides is found whatever the shape of the response, and only where it does.
func TestWhatDecides(t *testing.T) {
	for name, c := range map[string]struct {
		says    func(x []float64) float64
		decides int     // the unknown; none where negative
		total   float64 // on the verdict, in closed form; not looked at where 0
	}{
		// A U, which no rank correlation sees.
		"a U alone":       {func(x []float64) float64 { return math.Abs(x[2]-0.5) - 0.25 }, 2, 1},
		"a narrow valley": {func(x []float64) float64 { return math.Abs(x[2]-0.5) - 0.08 }, 2, 1},
		"a U with others": {func(x []float64) float64 {
			return math.Abs(x[2]-0.5) - 0.25 + 0.05*(x[0]-0.5) + 0.05*(x[1]-0.5) + 0.02*(x[3]-0.5)
		}, 2, 0},
		"a slope": {func(x []float64) float64 { return x[4] - 0.4 + 0.2*(x[1]-0.5) }, 4, 0},
		// E[Var(y|x₁)]/Var(y) = (1/6)/(1/4) of either: more than a half, and no more than
		// the other.
		"two alike":     {func(x []float64) float64 { return x[0] + x[1] - 1 }, -1, 2. / 3},
		"a U of either": {func(x []float64) float64 { return math.Abs(x[0]-0.5) + math.Abs(x[3]-0.5) - 0.5 }, -1, 2. / 3},
		"five alike":    {func(x []float64) float64 { return x[0] + x[1] + x[2] + x[3] + x[4] - 2.5 }, -1, 0},
	} {
		named, total := 0, 0.0
		const seeds = 20
		for seed := range uint64(seeds) {
			e, points, asked := injected(t, seed, 6, 32, c.says)
			best, ok := e.Decisive(0)
			index := e.Total(max(c.decides, 0), e.Questions[0])
			total += index.Value / seeds
			switch {
			case ok && best == c.decides:
				named++
				if !(index.Low > drivers.Decides) {
					t.Errorf("%s: named at a total index of %+v", name, index)
				}
			case ok:
				named--
			}
			if name == "a U alone" {
				var at, size []float64
				for _, x := range points {
					at, size = append(at, x[2]), append(size, c.says(x))
				}
				if rho := stat.Correlation(at, size, nil); !(math.Abs(rho) < 0.02) {
					t.Errorf("the U has a correlation of %g: a test of nothing", rho)
				}
				if asked[5] >= asked[2] || asked[5]*4 > len(points) {
					t.Errorf("of %d draws what says nothing was exchanged in %d, what decides in %d", len(points), asked[5], asked[2])
				}
				if size := e.Total(2, subject{}.size); !(math.Abs(size.Value-1) < 0.25) {
					t.Errorf("total index on the effect %+v", size)
				}
			}
		}
		if c.decides >= 0 && named < seeds-1 || c.decides < 0 && named < -2 {
			t.Errorf("%s: named in %d of %d", name, named, seeds)
		}
		if c.total > 0 && !(math.Abs(total-c.total) < 0.04) {
			t.Errorf("%s: the mean total index is %g, want %g", name, total, c.total)
		}
	}
}

// A verdict that few draws turn is looked at more closely, as far as there are draws.
func TestExchangesWhereFewTurn(t *testing.T) {
	for _, c := range []struct {
		below      float64 // is decided otherwise by the first unknown
		rows       int
		few, asked int // of each replicate
	}{
		{0.5, 64, 2, 16}, {0.1, 64, 8, 64}, {0.1, 32, 8, 32}, {0.1, 4, 4, 4},
	} {
		_, _, asked := injected(t, 1, 2, c.rows, func(x []float64) float64 { return x[0] - c.below })
		if asked[0] != c.asked*Replicates || asked[1] != c.few*Replicates {
			t.Errorf("%g of %d draws a replicate turn: exchanged %v of all, want %d and %d a replicate", c.below, c.rows, asked, c.asked, c.few)
		}
	}
}
