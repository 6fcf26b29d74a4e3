package montecarlo

import (
	"math"
	"slices"
	"testing"

	"counterpoise/internal/golden"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Quantiles are those of the common definition 7 (Hyndman and Fan 1996, American
// Statistician 50:361), linear between order statistics.
func TestQuantileOfSorted(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		sorted  []float64
		p, want float64
	}{
		{[]float64{3}, 0.2, 3}, {[]float64{1, 2, 4}, 0, 1}, {[]float64{1, 2, 4}, 0.5, 2}, {[]float64{1, 2, 4}, 1, 4},
		{[]float64{1, 2, 4}, 0.25, 1.5}, {[]float64{1, 2, 4}, 0.75, 3}, {[]float64{1, 2, 4, 8}, 0.5, 3},
		{[]float64{1, 2, inf}, 0.5, 2}, {[]float64{1, 2, inf}, 0.75, inf}, {[]float64{-inf, 2, 3}, 0.25, -inf}, {[]float64{inf, inf}, 0.5, inf},
	} {
		if got := Quantile(c.sorted, c.p); got != c.want {
			t.Errorf("the %g-quantile of %v is %g, want %g", c.p, c.sorted, got, c.want)
		}
	}
	if got := Quantile(nil, 0.5); !math.IsNaN(got) {
		t.Errorf("the median of nothing is %g", got)
	}
	x := normalsOf(NewStream(8, "quantile"), 0, 1000)
	slices.Sort(x)
	// Mirrored values have mirrored quantiles.
	turned := slices.Clone(x)
	slices.Reverse(turned)
	for i := range turned {
		turned[i] = -turned[i]
	}
	for p := 0.0; p <= 1; p += 1. / 64 {
		if got, want := Quantile(turned, 1-p), -Quantile(x, p); !(math.Abs(got-want) <= 1e-14) {
			t.Errorf("the %g-quantile is %g, mirrored %g", p, want, got)
		}
	}
	if got, want := Quantile(x, 0.5), stat.Mean(x[499:501], nil); got != want {
		t.Errorf("the median of 1000 is %g, want %g", got, want)
	}
	for _, p := range []float64{-0.1, 1.1, math.NaN()} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("the %g-quantile is allowed", p)
				}
			}()
			Quantile(x, p)
		}()
	}
}

func TestProbabilityGreaterRefuses(t *testing.T) {
	fine := []float64{1, 2, 4}
	for name, test := range map[string][2][]float64{"empty x": {nil, fine}, "empty y": {fine, nil}, "NaN": {{math.NaN()}, fine}, "NaN in y": {fine, {1, math.NaN()}}} {
		if got, err := ProbabilityGreater(test[0], test[1]); err == nil {
			t.Errorf("%s: %v and no error", name, got)
		}
	}
	x, y := []float64{3, 1, 2}, []float64{5, 0}
	if _, err := ProbabilityGreater(x, y); err != nil || !slices.Equal(x, []float64{3, 1, 2}) || !slices.Equal(y, []float64{5, 0}) {
		t.Errorf("the groups are now %v and %v, %v", x, y, err)
	}
}

func TestProbabilityGreater(t *testing.T) {
	pairs := func(x, y []float64) float64 {
		halves := 0
		for _, a := range x {
			for _, b := range y {
				switch {
				case a > b:
					halves += 2
				case a == b:
					halves++
				}
			}
		}
		return float64(halves) / float64(2*len(x)*len(y))
	}
	rounded := func(seed uint64, n int) []float64 {
		x := normalsOf(NewStream(seed, "rounded"), 0, n)
		for i := range x {
			x[i] = math.Round(4 * x[i]) // many ties
		}
		return x
	}
	inf := math.Inf(1)
	for _, test := range [][2][]float64{
		{{3}, {2}}, {{2}, {3}}, {{2.5}, {2.5}},
		{{1, 5, 5, 7}, {5, 6, 0.5}},
		{{inf, 1, -inf}, {inf, inf, 2, -inf}},
		{rounded(51, 400), rounded(52, 137)},
		{awkward(85, 311), awkward(86, 200)},
	} {
		x, y := test[0], test[1]
		got := golden.Must(ProbabilityGreater(x, y))(t)
		if want := pairs(x, y); got != want {
			t.Errorf("%d and %d values: %v, want %v", len(x), len(y), got, want)
		}
		if turned, _ := ProbabilityGreater(y, x); !(math.Abs(got+turned-1) <= 1e-15) {
			t.Errorf("%v and, turned round, %v do not make 1", got, turned)
		}
	}
}

// Of lognormal groups whose pairs differ by more, the variances of the logarithms add up; with nothing
// more it is the same as without.
func TestProbabilityGreaterBy(t *testing.T) {
	const n = 100_000
	x, y := normalsOf(NewStream(57, "x"), 0, n), normalsOf(NewStream(57, "y"), 0, n)
	for i := range x {
		x[i], y[i] = math.Exp(0.3+0.2*x[i]), math.Exp(0.1*y[i])
	}
	for _, sd := range []float64{0.1, 0.25, 1} {
		want := distuv.UnitNormal.CDF(0.3 / math.Sqrt(0.2*0.2+0.1*0.1+sd*sd))
		if got := golden.Must(ProbabilityGreaterBy(x, y, sd))(t); !(math.Abs(got-want) < 0.003) {
			t.Errorf("%g more: %v, want %v", sd, got, want)
		}
	}
	if got, want := golden.Must(ProbabilityGreaterBy(x, y, 0))(t), golden.Must(ProbabilityGreater(x, y))(t); got != want {
		t.Errorf("nothing more: %v, want %v", got, want)
	}
	inf := math.Inf(1)
	if got := golden.Must(ProbabilityGreaterBy([]float64{inf, inf}, []float64{inf, inf}, 0.2))(t); got != 0.5 {
		t.Errorf("who cannot against who cannot: %v", got)
	}
	if _, err := ProbabilityGreaterBy(nil, y, 0.2); err == nil {
		t.Error("nobody was compared")
	}
}

// For normal groups Φ((μ₁−μ₂)/√(σ₁²+σ₂²)) (Owen, Craswell and Hanson 1964, Journal
// of the American Statistical Association 59:906).
func TestProbabilityGreaterNormal(t *testing.T) {
	const n = 100_000
	x := normalsOf(NewStream(53, "x"), 0, n)
	y := normalsOf(NewStream(53, "y"), 0, n)
	for i := range x {
		x[i] = 1.7 + 0.6*x[i]
		y[i] = 1.2 + 1.1*y[i]
	}
	got := golden.Must(ProbabilityGreater(x, y))(t)
	want := distuv.UnitNormal.CDF(0.5 / math.Hypot(0.6, 1.1))
	// The variance of the estimate is below p(1−p)/min(n₁, n₂) (Birnbaum and Klose 1957).
	if se := math.Sqrt(want * (1 - want) / n); !(math.Abs(got-want) <= 4*se) {
		t.Errorf("%v, want %v ± %v", got, want, se)
	}
}
