package montecarlo

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// The layers have equal areas, join without gap or overlap, end at the top of
// the curve, and their inner part is under it.
func TestZigguratTilesTheCurve(t *testing.T) {
	f := func(x float64) float64 { return math.Exp(-x * x / 2) }
	base := ziggurat[0]
	area := base.scale * 0x1p53 * f(zigguratStart)
	if tail := area - zigguratStart*f(zigguratStart); !near(tail, math.Sqrt(2*math.Pi)*distuv.UnitNormal.CDF(-zigguratStart), 1e-12) {
		t.Errorf("the base has %v for the tail", tail)
	}
	// 0.00492867323399 is the area in the program of Marsaglia and Tsang (2000), given
	// there to 12 digits: from memory.
	if !near(area, 0.00492867323399, 1e-11) {
		t.Errorf("area of a layer %v", area)
	}
	outer := zigguratStart
	for i, layer := range ziggurat[1:] {
		i++
		if got := layer.scale * 0x1p53; got != outer {
			t.Errorf("layer %d is %v wide, the one below leaves %v", i, got, outer)
		}
		if got := outer * (layer.ceiling - layer.floor); !near(got, area, 1e-12) {
			t.Errorf("area of layer %d is %v, of the base %v", i, got, area)
		}
		if i < 255 && !near(f(layer.inner), layer.ceiling, 1e-14) {
			t.Errorf("layer %d: curve at %v is %v, the ceiling %v", i, layer.inner, f(layer.inner), layer.ceiling)
		}
		if !near(f(outer), layer.floor, 1e-14) {
			t.Errorf("layer %d: curve at %v is %v, the floor %v", i, outer, f(outer), layer.floor)
		}
		outer = layer.inner
	}
	if outer != 0 || ziggurat[255].ceiling != 1 {
		t.Errorf("the top layer ends at %v, %v", outer, ziggurat[255].ceiling)
	}
}

// In the rest of a layer a point is kept with the probability that the curve
// gives it: up to the share of the height where the curve runs, no further.
// So few draws come this far that their distribution would not show a slip.
func TestZigguratRest(t *testing.T) {
	for i := 1; i < len(ziggurat); i++ {
		layer := &ziggurat[i]
		outer := layer.scale * 0x1p53
		for _, along := range []float64{0.1, 0.37, 0.5, 0.83} {
			x := layer.inner + along*(outer-layer.inner)
			v := (math.Exp(-x*x/2) - layer.floor) / (layer.ceiling - layer.floor)
			if !(v > 0 && v < 1) || !layer.underCurve(x, v-1e-9) || layer.underCurve(x, v+1e-9) {
				t.Errorf("layer %d at %v: the curve is at %v of the height", i, x, v)
			}
		}
	}
}

// The tail by itself, Kolmogorov and Smirnov's distance as below, and never short
// of where it starts.
func TestNormalTail(t *testing.T) {
	const n = 1_000_000
	s := NewStream(26, "tail")
	x := make([]float64, n)
	for i := range x {
		x[i] = s.normalTail()
	}
	slices.Sort(x)
	distance, start := 0.0, distuv.UnitNormal.CDF(-zigguratStart)
	for i, v := range x {
		f := 1 - distuv.UnitNormal.CDF(-v)/start
		distance = max(distance, f-float64(i)/n, float64(i+1)/n-f)
	}
	if c := distance * math.Sqrt(n); c > 1.95 || x[0] < zigguratStart {
		t.Errorf("from %v, √n × distance is %v, want at most 1.95", x[0], c)
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
		if z := (sums[k]/n - moment(k)) / se; math.Abs(z) > 4 {
			t.Errorf("mean of x^%d is %v, want %v: %.1f standard errors", k, sums[k]/n, moment(k), z)
		}
	}
}

// Shares beyond each limit, far into the part that the tail method makes, on
// either side.
func TestNormalsTails(t *testing.T) {
	const n = 20_000_000
	limits := []float64{0.1, 0.27, 1, 2, 3, 3.5, zigguratStart, 3.8, 4, 4.5, 5}
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
			if z := (got - drawn*p) / math.Sqrt(drawn*p*(1-p)); math.Abs(z) > 4 {
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

// Equal cells of probability, fine enough that a slip at the edge of one layer
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
	if z := (chi2 - (cells - 1)) / math.Sqrt(2*(cells-1)); math.Abs(z) > 4 {
		t.Errorf("chi-square %v for %d cells: %.1f standard deviations", chi2, cells, z)
	}
}

// The value within a layer does not depend on the layer's number: Doornik's
// objection to generators that use the same bits for both. Neighbouring draws
// in pairs, 32 × 32 cells.
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
	if z := (chi2 - (cells*cells - 1)) / math.Sqrt(2*(cells*cells-1)); math.Abs(z) > 4 {
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
