package montecarlo

import (
	"bytes"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"counterpoise/internal/golden"

	"gonum.org/v1/gonum/stat"
)

// exactMoments returns mean and variance from sums in 300-bit arithmetic.
func exactMoments(xs []float64) (mean, variance float64) {
	number := func(x float64) *big.Float { return new(big.Float).SetPrec(300).SetFloat64(x) }
	sum, squares, n := number(0), number(0), number(float64(len(xs)))
	for _, x := range xs {
		v := number(x)
		sum.Add(sum, v)
		squares.Add(squares, v.Mul(v, v))
	}
	m := number(0).Quo(sum, n)
	mean, _ = m.Float64()
	squares.Sub(squares, number(0).Mul(sum, m))
	variance, _ = squares.Quo(squares, n.Sub(n, number(1))).Float64()
	return mean, variance
}

func TestMomentsAgainstExactAndGonum(t *testing.T) {
	r := rand.New(NewStream(31, "moments"))
	const unit = 0x1p-52
	for _, test := range []struct {
		name  string
		n     int
		shift float64
	}{{"two", 2, 0.7}, {"few", 7, -3}, {"blocks", 50_000, 1.3}, {"mean far beyond the spread", 50_000, 3e7}} {
		xs := make([]float64, test.n)
		for i := range xs {
			xs[i] = test.shift + 0.4*r.NormFloat64()
		}
		var m Moments
		for part := range slices.Chunk(xs, BlockRows) {
			m.AddAll(part)
		}
		mean, variance := exactMoments(xs)
		// A few roundings of the mean. A wrong mean by d adds d² to the variance;
		// beyond that each square carries the rounding of its deviation.
		scale := max(math.Abs(test.shift), 1)
		if got := m.Mean(); !(math.Abs(got-mean) <= 4*unit*scale) {
			t.Errorf("%s: mean %v, want %v", test.name, got, mean)
		}
		if got := m.Variance(); !(math.Abs(got-variance) <= 16*unit*scale*variance) {
			t.Errorf("%s: variance %v, want %v (off by %v)", test.name, got, variance, got-variance)
		}
		gonumMean, gonumVariance := stat.MeanVariance(xs, nil)
		if !near(m.Mean(), gonumMean, 1e-13) || !near(m.Variance(), gonumVariance, 1e-9) {
			t.Errorf("%s: %v, %v; gonum has %v, %v", test.name, m.Mean(), m.Variance(), gonumMean, gonumVariance)
		}
		if m.Count() != int64(test.n) || m.Min() != slices.Min(xs) || m.Max() != slices.Max(xs) {
			t.Errorf("%s: count %d, from %v to %v", test.name, m.Count(), m.Min(), m.Max())
		}
	}
}

// The hardest of NIST's univariate sets: 1001 values of 10 000 000.2 followed
// and preceded by its neighbours .1 and .3. Certified mean 10000000.2 and standard
// deviation 0.1 (NumAcc4, NIST Statistical Reference Datasets; from memory, but
// plain from the data).
func TestMomentsNumAcc4(t *testing.T) {
	xs := []float64{10000000.2}
	for range 500 {
		xs = append(xs, 10000000.1, 10000000.3)
	}
	var m Moments
	m.AddAll(xs)
	// 10000000.1 is not a float64: each value is rounded by up to 2⁻³⁰.
	if got := m.Mean(); !(math.Abs(got-10000000.2) <= 0x1p-30) {
		t.Errorf("mean %v", got)
	}
	if got := math.Sqrt(m.Variance()); !(math.Abs(got-0.1) <= 2*0x1p-30) {
		t.Errorf("standard deviation %v", got)
	}
}

func TestMomentsSpecialValues(t *testing.T) {
	var m Moments
	undefined := func(what string) {
		t.Helper()
		for name, got := range map[string]float64{"mean": m.Mean(), "variance": m.Variance(), "min": m.Min(), "max": m.Max()} {
			if !math.IsNaN(got) {
				t.Errorf("%s: %s is %v, want NaN", what, name, got)
			}
		}
	}
	undefined("empty")
	m.AddAll([]float64{math.Inf(1), math.Inf(-1), math.Inf(1)})
	undefined("only infinities")
	if m.Infinite() != 3 || m.Count() != 0 {
		t.Errorf("%d infinite and %d finite, want 3 and 0", m.Infinite(), m.Count())
	}
	m.AddAll([]float64{2.5})
	if m.Mean() != 2.5 || !math.IsNaN(m.Variance()) {
		t.Errorf("one value: mean %v, variance %v", m.Mean(), m.Variance())
	}
	m.AddAll([]float64{5.5, math.Inf(-1), 7})
	if m.Mean() != 5 || m.Variance() != 5.25 || m.Min() != 2.5 || m.Max() != 7 || m.Infinite() != 4 {
		t.Errorf("mean %v, variance %v, from %v to %v, %d infinite", m.Mean(), m.Variance(), m.Min(), m.Max(), m.Infinite())
	}
	m.AddAll([]float64{3, math.NaN(), 4})
	undefined("NaN")
	if m.NaNs() != 1 || m.Count() != 5 {
		t.Errorf("%d NaN and %d values, want 1 and 5", m.NaNs(), m.Count())
	}
	// Equal values have no variance, however odd their digits.
	var equal Moments
	for range 9 {
		equal.AddAll([]float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1})
	}
	if equal.Mean() != 0.1 || equal.Variance() != 0 {
		t.Errorf("of equal values: mean %v, variance %v", equal.Mean(), equal.Variance())
	}
}

// Parts merged in the order of the blocks are, bit for bit, the parts added one
// after another, in one run or taken up from a checkpoint.
func TestMomentsMergeAndBinary(t *testing.T) {
	xs := awkward(82, 10*BlockRows)
	xs[4321] = math.Inf(1)
	var added, merged Moments
	for block := range slices.Chunk(xs, BlockRows) {
		added.AddAll(block)
		var part Moments
		part.AddAll(block)
		var back Moments
		golden.OK(t, back.UnmarshalBinary(marshal(t, &part)))
		merged.Merge(&back)
	}
	want := marshal(t, &added)
	if !bytes.Equal(marshal(t, &merged), want) {
		t.Errorf("merged %+v, added %+v", merged, added)
	}
	for cut := range want {
		refuseMoments(t, want[:cut])
	}
	refuseMoments(t, append(slices.Clone(want), 0))
	for _, bad := range []Moments{
		{count: 3, mean: 5, min: 1, max: 4}, {count: 3, mean: 2, m2: -1, min: 1, max: 4},
		{count: 3, mean: math.NaN(), min: 1, max: 4}, {count: 1, mean: 2, m2: 1, min: 2, max: 2},
		{count: 3, mean: 2, m2: math.NaN(), min: 1, max: 4}, {count: 1, mean: 2, min: 1, max: 3},
		{count: 2, mean: 2, m2: 1, min: math.Inf(-1), max: 3},
	} {
		refuseMoments(t, marshal(t, &bad))
	}
}

func refuseMoments(t *testing.T, data []byte) {
	t.Helper()
	m := Moments{count: 1, mean: 4, min: 4, max: 4}
	if err := m.UnmarshalBinary(data); err == nil {
		t.Errorf("accepted %q", data)
	}
	if m != (Moments{count: 1, mean: 4, min: 4, max: 4}) {
		t.Error("an error changed the moments")
	}
}

func FuzzMomentsUnmarshal(f *testing.F) {
	for _, xs := range [][]float64{nil, {1.5}, {-2, 3, math.Inf(1), math.NaN()}} {
		var m Moments
		m.AddAll(xs)
		f.Add(marshal(f, &m))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var m Moments
		if m.UnmarshalBinary(data) == nil && !bytes.Equal(marshal(t, &m), data) {
			t.Error("accepted bytes are not those written")
		}
	})
}

func BenchmarkMomentsAddAll(b *testing.B) {
	xs := normalsOf(NewStream(1, "benchmark"), 0, BlockRows)
	var m Moments
	b.ReportAllocs()
	for b.Loop() {
		m.AddAll(xs)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/BlockRows, "ns/value")
}
