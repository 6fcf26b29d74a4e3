package montecarlo

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// Newcombe (1998, Statistics in Medicine 17:857), table I, method 3: the four
// examples to four digits. From memory, not seen in print; each also has to
// solve the equation in TestWilsonSolvesScoreEquation.
func TestWilsonPublished(t *testing.T) {
	tests := []struct {
		successes, n int64
		low, high    float64
	}{
		{81, 263, 0.2553, 0.3662},
		{15, 148, 0.0624, 0.1605},
		{0, 20, 0, 0.1611},
		{1, 29, 0.0061, 0.1718},
	}
	for _, test := range tests {
		low, high := Wilson(test.successes, test.n, 0.95)
		// Half a unit of the last printed digit.
		if !(math.Abs(low-test.low) <= 0.00005) || !(math.Abs(high-test.high) <= 0.00005) {
			t.Errorf("%d of %d: %.6f to %.6f, want %v to %v", test.successes, test.n, low, high, test.low, test.high)
		}
	}
}

var wilsonCases = []struct {
	successes, n int64
	confidence   float64
}{
	{81, 263, 0.95}, {15, 148, 0.95}, {0, 20, 0.95}, {1, 29, 0.95}, {29, 29, 0.9}, {3, 7, 0.5},
	{1900, 2000, 0.99}, {1, 1, 0.99}, {9_500_123, 10_000_000, 0.99}, {2, 3_000_000_000, 0.999},
}

// The ends, put into the definition: (p̂ − p)² = z²·p·(1−p)/n.
func TestWilsonSolvesScoreEquation(t *testing.T) {
	for _, c := range wilsonCases {
		n, p := float64(c.n), float64(c.successes)/float64(c.n)
		z := distuv.UnitNormal.Quantile((1 + c.confidence) / 2)
		low, high := Wilson(c.successes, c.n, c.confidence)
		for _, end := range []float64{low, high} {
			if end == p {
				continue // an end at 0 or 1, where both sides are 0
			}
			left, right := (p-end)*(p-end), z*z*end*(1-end)/n
			// p − end loses digits when the interval is narrow.
			if tolerance := 1e-11 + 4e-16/math.Abs(p-end); !near(left, right, tolerance) {
				t.Errorf("%+v: at the end %v the equation has %v and %v", c, end, left, right)
			}
		}
		if !(0 <= low && low <= p && p <= high && high <= 1) || low == high {
			t.Errorf("%+v: from %v to %v", c, low, high)
		}
	}
}

func TestWilsonProperties(t *testing.T) {
	for _, c := range wilsonCases {
		low, high := Wilson(c.successes, c.n, c.confidence)
		// Failures mirror successes.
		mirroredLow, mirroredHigh := Wilson(c.n-c.successes, c.n, c.confidence)
		if !(math.Abs(low-(1-mirroredHigh)) <= 1e-15) || !(math.Abs(high-(1-mirroredLow)) <= 1e-15) {
			t.Errorf("%+v: %v to %v; of the failures %v to %v", c, low, high, mirroredLow, mirroredHigh)
		}
		// More confidence is a wider interval, more trials a narrower.
		wideLow, wideHigh := Wilson(c.successes, c.n, (1+c.confidence)/2)
		if wideLow > low || wideHigh < high || wideHigh-wideLow <= high-low {
			t.Errorf("%+v: more confidence gives %v to %v within %v to %v", c, wideLow, wideHigh, low, high)
		}
		narrowLow, narrowHigh := Wilson(4*c.successes, 4*c.n, c.confidence)
		if narrowHigh-narrowLow >= high-low {
			t.Errorf("%+v: four times the trials give %v to %v", c, narrowLow, narrowHigh)
		}
	}
	if low, high := Wilson(0, 0, 0.9); low != 0 || high != 1 {
		t.Errorf("no trials: %v to %v, want 0 to 1", low, high)
	}
	if low, _ := Wilson(0, 37, 0.9); low != 0 {
		t.Errorf("no successes: from %v, want 0", low)
	}
	if _, high := Wilson(37, 37, 0.9); high != 1 {
		t.Errorf("no failures: to %v, want 1", high)
	}
	mustPanic(t, func() { Wilson(-1, 5, 0.9) })
	mustPanic(t, func() { Wilson(6, 5, 0.9) })
	mustPanic(t, func() { Wilson(3, 5, 1) })
	mustPanic(t, func() { Wilson(3, 5, math.NaN()) })
}

// The interval covers the true share about as often as it says, summed exactly
// over the binomial distribution. It is known to waver with n·p; averaged over
// p it comes within a few tenths of a percent (Agresti and Coull 1998, The American
// Statistician 52:119).
func TestWilsonCoverage(t *testing.T) {
	const n = 60
	covered, shares := 0.0, 0
	for i := 5; i <= 95; i++ {
		p := float64(i) / 100
		b := distuv.Binomial{N: n, P: p}
		for k := range int64(n + 1) {
			if low, high := Wilson(k, n, 0.95); low <= p && p <= high {
				covered += b.Prob(float64(k))
			}
		}
		shares++
	}
	if c := covered / float64(shares); !(math.Abs(c-0.95) <= 0.005) {
		t.Errorf("covers %v, want 0.95 ± 0.005", c)
	}
}
