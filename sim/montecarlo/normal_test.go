package montecarlo

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// A draw is the quantile at the middle of its cell of probability, on the side
// that the lowest bit says. gonum's quantile is Wichura's algorithm AS 241 (1988,
// Applied Statistics 37:477), good to 10⁻¹⁶.
func TestNormalIsTheQuantile(t *testing.T) {
	worst := 0.0
	check := func(u uint32) {
		p := (float64(u>>1) + 0.5) / (1 << 32)
		want := -distuv.UnitNormal.Quantile(p)
		if u&1 == 1 {
			want = -want
		}
		got := normal(u)
		worst = max(worst, math.Abs(got-want))
		if !(math.Abs(got-want) < 2e-9) {
			t.Fatalf("%#x: %v, want %v", u, got, want)
		}
	}
	for u := range uint32(4096) { // the far tail
		check(u)
		check(math.MaxUint32 - u)
	}
	for octave := 12; octave < 32; octave++ { // where cells meet
		for k := range uint32(32) {
			edge := (32 + k) << octave >> 5
			for _, u := range []uint32{edge - 3, edge - 2, edge - 1, edge, edge + 1, edge + 2} {
				check(u)
			}
		}
	}
	r := rand.New(rand.NewPCG(3, 5))
	for range 200_000 {
		check(r.Uint32() >> r.IntN(24))
	}
	t.Logf("largest error %.2g", worst)
	if far := normal(0); !(math.Abs(far-6.338) <= 0.01) {
		t.Errorf("farthest draw %v", far)
	}
}

func near(got, want, relative float64) bool {
	return math.Abs(got-want) <= relative*math.Abs(want)
}

// Moments up to the eighth, against (k−1)!! and the standard error that
// follows from E[x²ᵏ].
func TestNormalsMoments(t *testing.T) {
	const n = 4_000_000
	x := normalsOf(NewStream(21, "moments"), 0, n)
	var sums [9]float64
	for _, v := range x {
		p := 1.0
		for k := range sums {
			sums[k] += p
			p *= v
		}
	}
	moment := func(k int) float64 { // of the standard normal distribution
		if k%2 == 1 {
			return 0
		}
		m := 1.0
		for j := k - 1; j > 1; j -= 2 {
			m *= float64(j)
		}
		return m
	}
	for k := 1; k < len(sums); k++ {
		se := math.Sqrt((moment(2*k) - moment(k)*moment(k)) / n)
		if z := (sums[k]/n - moment(k)) / se; !(math.Abs(z) <= 4) {
			t.Errorf("mean of x^%d is %v, want %v: %.1f standard errors", k, sums[k]/n, moment(k), z)
		}
	}
}

// Shares beyond each limit, far out, on either side.
func TestNormalsTails(t *testing.T) {
	const n = 20_000_000
	limits := []float64{0.1, 0.27, 1, 2, 3, 3.5, 3.65, 3.8, 4, 4.5, 5}
	above, below := make([]float64, len(limits)), make([]float64, len(limits))
	s := NewStream(22, "tails")
	x := make([]float64, 1<<16)
	for block := range uint64(n/len(x) + 1) {
		s.Reset(block)
		s.Normals(x)
		for _, v := range x {
			for i, limit := range limits {
				if v > limit {
					above[i]++
				} else if v < -limit {
					below[i]++
				} else {
					break // limits ascend
				}
			}
		}
	}
	drawn := float64((n/len(x) + 1) * len(x))
	for i, limit := range limits {
		p := distuv.UnitNormal.CDF(-limit)
		for side, got := range map[string]float64{"above": above[i], "below": below[i]} {
			if z := (got - drawn*p) / math.Sqrt(drawn*p*(1-p)); !(math.Abs(z) <= 4) {
				t.Errorf("%v draws %s %v, want %.1f: %.1f standard errors", got, side, limit, drawn*p, z)
			}
		}
	}
}

// Kolmogorov and Smirnov's distance to the normal distribution, for 10⁶ draws;
// 1.95 is the 0.1 % point of Kolmogorov's limit distribution,
// 2·Σ(−1)ᵏ⁻¹exp(−2k²c²) = 0.001.
func TestNormalsKolmogorovSmirnov(t *testing.T) {
	const n = 1_000_000
	x := normalsOf(NewStream(23, "distance"), 0, n)
	slices.Sort(x)
	distance := 0.0
	for i, v := range x {
		f := distuv.UnitNormal.CDF(v)
		distance = max(distance, f-float64(i)/n, float64(i+1)/n-f)
	}
	if c := distance * math.Sqrt(n); c > 1.95 {
		t.Errorf("√n × distance is %v, want at most 1.95", c)
	}
}

// Equal cells of probability, fine enough that a slip in one cell of the table
// shows: chi-square over 1024 cells.
func TestNormalsChiSquare(t *testing.T) {
	const n, cells = 8_000_000, 1024
	counts := make([]float64, cells)
	s := NewStream(24, "cells")
	x := make([]float64, n/8)
	for block := range uint64(8) {
		s.Reset(block)
		s.Normals(x)
		for _, v := range x {
			counts[min(int(distuv.UnitNormal.CDF(v)*cells), cells-1)]++
		}
	}
	chi2, expected := 0.0, float64(n)/cells
	for _, c := range counts {
		chi2 += (c - expected) * (c - expected) / expected
	}
	// Mean cells−1, variance 2(cells−1).
	if z := (chi2 - (cells - 1)) / math.Sqrt(2*(cells-1)); !(math.Abs(z) <= 4) {
		t.Errorf("chi-square %v for %d cells: %.1f standard deviations", chi2, cells, z)
	}
}

// The two draws of one word have nothing to do with each other: pairs, 32 × 32
// cells.
func TestNormalsPairs(t *testing.T) {
	const n, cells = 4_000_000, 32
	var counts [cells][cells]float64
	x := normalsOf(NewStream(25, "pairs"), 0, n)
	cell := func(v float64) int { return min(int(distuv.UnitNormal.CDF(v)*cells), cells-1) }
	for i := 0; i < n; i += 2 {
		counts[cell(x[i])][cell(x[i+1])]++
	}
	chi2, expected := 0.0, float64(n/2)/(cells*cells)
	for _, row := range counts {
		for _, c := range row {
			chi2 += (c - expected) * (c - expected) / expected
		}
	}
	if z := (chi2 - (cells*cells - 1)) / math.Sqrt(2*(cells*cells-1)); !(math.Abs(z) <= 4) {
		t.Errorf("chi-square %v: %.1f standard deviations", chi2, z)
	}
}

func BenchmarkNormals(b *testing.B) {
	s := NewStream(1, "benchmark")
	dst := make([]float64, BlockRows)
	b.ReportAllocs()
	for b.Loop() {
		s.Normals(dst)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/BlockRows, "ns/normal")
}

// For comparison: the generator alone, and the standard library's normals over
// the same generator.
func BenchmarkNormalsStandardLibrary(b *testing.B) {
	r := rand.New(rand.NewChaCha8(Key(1, "benchmark", 0)))
	dst := make([]float64, BlockRows)
	for b.Loop() {
		for i := range dst {
			dst[i] = r.NormFloat64()
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/BlockRows, "ns/normal")
}

func BenchmarkUint64(b *testing.B) {
	s := NewStream(1, "benchmark")
	dst := make([]uint64, BlockRows)
	for b.Loop() {
		for i := range dst {
			dst[i] = s.Uint64()
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/BlockRows, "ns/word")
}
