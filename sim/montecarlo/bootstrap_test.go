//go:build ignore

package montecarlo

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// The medians drawn are distributed like those of resamples that are really
// made: cumulative shares at every value, for odd and even sizes, with ties.
func TestMedianResamplerAgainstResampling(t *testing.T) {
	const draws = 200_000
	r := rand.New(NewStream(41, "resampling"))
	for _, sorted := range [][]float64{
		{3.5},
		{1, 4},
		{1, 2, 5},
		{-2, 0.5, 0.5, 8},
		{1, 2, 4, 7, 11, 16, 22},
		{1, 2, 2, 2, 4, 7, 11, 16, 22, 23},
	} {
		n := len(sorted)
		brute, drawn := make([]float64, draws), make([]float64, draws)
		resample := make([]float64, n)
		m := newMedianResampler(sorted, NewStream(42, "medians"))
		for i := range draws {
			for j := range resample {
				resample[j] = sorted[r.IntN(n)]
			}
			slices.Sort(resample)
			brute[i] = (resample[(n-1)/2] + resample[n/2]) / 2
			drawn[i] = m.median()
		}
		slices.Sort(brute)
		slices.Sort(drawn)
		for _, x := range slices.Compact(slices.Clone(brute)) {
			want, _ := slices.BinarySearch(brute, math.Nextafter(x, math.Inf(1)))
			got, _ := slices.BinarySearch(drawn, math.Nextafter(x, math.Inf(1)))
			p := float64(want) / draws
			se := math.Sqrt(2 * draws * p * (1 - p))
			if !(math.Abs(float64(got-want)) <= 4.5*se) {
				t.Errorf("n = %d: %d medians up to %v, want %d ± %.0f", n, got, x, want, se)
			}
		}
	}
}

// For odd n, P(resampled median ≤ x₍ⱼ₎) is a binomial tail: at least m of n draws
// are among the j least (Efron 1982, The Jackknife, the Bootstrap and Other
// Resampling Plans, section 10.1 in substance). No sampling on the side of the truth.
func TestMedianResamplerAgainstBinomial(t *testing.T) {
	const n, draws = 13, 400_000
	sorted := make([]float64, n)
	for i := range sorted {
		sorted[i] = float64(i * i)
	}
	m := newMedianResampler(sorted, NewStream(43, "medians"))
	var upTo [n]float64
	for range draws {
		v := m.median()
		for j, x := range sorted {
			if v <= x {
				upTo[j]++
			}
		}
	}
	for j, got := range upTo[:n-1] {
		b := distuv.Binomial{N: n, P: float64(j+1) / n}
		p := 1 - b.CDF(n/2)
		if z := (got - draws*p) / math.Sqrt(draws*p*(1-p)); !(math.Abs(z) <= 4) {
			t.Errorf("median up to rank %d in %v draws, want %.0f: %.1f standard errors", j, got, draws*p, z)
		}
	}
}

// 95 % intervals cover the true difference about 95 times in 100.
func TestBootstrapCoverage(t *testing.T) {
	const repeats, resamples, trueDifference = 1000, 1000, 0.3
	s := NewStream(44, "coverage data")
	x, y := make([]float64, 201), make([]float64, 150)
	bootstrap := NewStream(45, "coverage")
	covered := 0.0
	for range repeats {
		s.Normals(x)
		s.Normals(y)
		for i := range x {
			x[i] = trueDifference + 1.4*x[i]
		}
		got, err := BootstrapMedianDifference(x, y, 0.95, resamples, bootstrap)
		if err != nil {
			t.Fatal(err)
		}
		if got.Low <= trueDifference && trueDifference <= got.High {
			covered++
		}
	}
	// The percentile interval for a median is a little conservative.
	if c := covered / repeats; c < 0.93 || c > 0.97 {
		t.Errorf("covers %v, want 0.93 to 0.97", c)
	}
}

// The spread agrees with the large-sample error of a median, σ·√(π/2n).
func TestBootstrapWidth(t *testing.T) {
	const n, sigma = 40_001, 3.7
	x := normalsOf(NewStream(46, "x"), 0, n)
	y := normalsOf(NewStream(46, "y"), 0, n)
	for i := range x {
		x[i] = 10 + sigma*x[i]
		y[i] = 8 + sigma*y[i]
	}
	got, err := BootstrapMedianDifference(x, y, 0.95, 4000, NewStream(47, "width"))
	if err != nil {
		t.Fatal(err)
	}
	se := sigma * math.Sqrt(math.Pi/2/n) * math.Sqrt2
	if !(math.Abs(got.Difference-2) <= 4*se) {
		t.Errorf("difference %v, want 2 ± %v", got.Difference, se)
	}
	// The density at the median, on which the width depends, is itself estimated
	// from about √n values near it: an error of about n^(−1/4) in all.
	if width, want := got.High-got.Low, 2*1.96*se; !(math.Abs(width/want-1) <= 4*math.Pow(n, -0.25)/2) {
		t.Errorf("width %v, want %v", width, want)
	}
}

func TestBootstrapProperties(t *testing.T) {
	x, y := awkward(83, 301)[:300], awkward(84, 170)
	interval := func(x, y []float64, confidence float64) MedianDifference {
		t.Helper()
		got, err := BootstrapMedianDifference(x, y, confidence, 999, NewStream(48, "properties"))
		if err != nil {
			t.Fatal(err)
		}
		return got
	}
	base := interval(x, y, 0.9)
	if !(base.Low <= base.Difference && base.Difference <= base.High) {
		t.Errorf("%+v is not in order", base)
	}
	r := rand.New(NewStream(49, "order"))
	shuffled := slices.Clone(x)
	r.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	before := slices.Clone(shuffled)
	if got := interval(shuffled, y, 0.9); got != base {
		t.Errorf("in another order %+v, want %+v", got, base)
	}
	if !slices.Equal(shuffled, before) {
		t.Error("the group was changed")
	}
	// Scaling by a power of two is exact.
	scaled := func(xs []float64) []float64 {
		xs = slices.Clone(xs)
		for i := range xs {
			xs[i] *= 4
		}
		return xs
	}
	if got, want := interval(scaled(x), scaled(y), 0.9), (MedianDifference{4 * base.Difference, 4 * base.Low, 4 * base.High}); got != want {
		t.Errorf("of scaled values %+v, want %+v", got, want)
	}
	wide := interval(x, y, 0.99)
	if wide.Difference != base.Difference || wide.Low > base.Low || wide.High < base.High {
		t.Errorf("at more confidence %+v around %+v", wide, base)
	}
	if got := interval([]float64{2, 2, 2}, []float64{7, 7}, 0.9); got != (MedianDifference{-5, -5, -5}) {
		t.Errorf("of constants %+v", got)
	}
	// A few infinite values do no harm.
	few := append(slices.Clone(x), math.Inf(1))
	if got := interval(few, y, 0.9); math.IsInf(got.High, 0) || math.IsNaN(got.High) {
		t.Errorf("with one infinite value %+v", got)
	}
}

func TestBootstrapRefuses(t *testing.T) {
	inf, s := math.Inf(1), NewStream(50, "refuses")
	fine := []float64{1, 2, 4}
	for name, test := range map[string]struct {
		x, y       []float64
		confidence float64
		resamples  int
	}{
		"empty x":           {nil, fine, 0.9, 100},
		"empty y":           {fine, []float64{}, 0.9, 100},
		"NaN":               {fine, []float64{1, math.NaN(), 3}, 0.9, 100},
		"confidence 1":      {fine, fine, 1, 100},
		"confidence NaN":    {fine, fine, math.NaN(), 100},
		"few resamples":     {fine, fine, 0.9, 99},
		"both infinite":     {[]float64{inf, inf, 1}, []float64{inf, inf, 1}, 0.9, 100},
		"undefined medians": {[]float64{-inf, inf}, fine, 0.9, 100},
	} {
		if got, err := BootstrapMedianDifference(test.x, test.y, test.confidence, test.resamples, s); err == nil {
			t.Errorf("%s: %+v and no error", name, got)
		}
	}
	for name, test := range map[string][2][]float64{"empty x": {nil, fine}, "empty y": {fine, nil}, "NaN": {{math.NaN()}, fine}} {
		if got, err := ProbabilityGreater(test[0], test[1]); err == nil {
			t.Errorf("%s: %v and no error", name, got)
		}
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
		got, err := ProbabilityGreater(x, y)
		if err != nil {
			t.Fatal(err)
		}
		if want := pairs(x, y); got != want {
			t.Errorf("%d and %d values: %v, want %v", len(x), len(y), got, want)
		}
		if turned, _ := ProbabilityGreater(y, x); !(math.Abs(got+turned-1) <= 1e-15) {
			t.Errorf("%v and, turned round, %v do not make 1", got, turned)
		}
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
	got, err := ProbabilityGreater(x, y)
	if err != nil {
		t.Fatal(err)
	}
	want := distuv.UnitNormal.CDF(0.5 / math.Hypot(0.6, 1.1))
	// The variance of the estimate is below p(1−p)/min(n₁, n₂) (Birnbaum and Klose 1957).
	if se := math.Sqrt(want * (1 - want) / n); !(math.Abs(got-want) <= 4*se) {
		t.Errorf("%v, want %v ± %v", got, want, se)
	}
}

func BenchmarkBootstrapMedianDifference(b *testing.B) {
	for _, n := range []int{1000, 100_000} {
		x := normalsOf(NewStream(1, "x"), 0, n)
		y := normalsOf(NewStream(1, "y"), 0, n)
		b.Run(fmt.Sprintf("n=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			s := NewStream(1, "benchmark")
			for b.Loop() {
				if _, err := BootstrapMedianDifference(x, y, 0.95, 2000, s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
