package montecarlo

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"counterpoise/internal/golden"

	"gonum.org/v1/gonum/stat"
)

// awkward returns n numbers of both signs over many octaves, with ties.
func awkward(seed uint64, n int) []float64 {
	r := rand.New(NewStream(seed, "awkward"))
	xs := make([]float64, n)
	for i := range xs {
		switch r.IntN(5) {
		case 0:
			xs[i] = math.Round(10 * r.NormFloat64()) // ties, zeros
		case 1:
			xs[i] = -math.Exp(8 * r.NormFloat64())
		default:
			xs[i] = math.Exp(8 * r.NormFloat64())
		}
	}
	return xs
}

func TestHistogramQuantileWithinStatedError(t *testing.T) {
	for _, n := range []int{1, 2, 3, 7, 100, 12345} {
		xs := awkward(uint64(n), n)
		var h Histogram
		h.AddAll(xs)
		slices.Sort(xs)
		if h.Count() != int64(n) || h.Min() != xs[0] || h.Max() != xs[n-1] {
			t.Fatalf("n = %d: count %d, from %v to %v; want from %v to %v", n, h.Count(), h.Min(), h.Max(), xs[0], xs[n-1])
		}
		// At (n−1)·p = k the quantile is the k-th value in ascending order from 0,
		// which is gonum's empirical quantile anywhere between k/n and (k+1)/n.
		for k := 0; k < n; k += 1 + n/500 {
			p := float64(k) / max(1, float64(n-1))
			if float64(n-1)*p != float64(k) {
				continue // p is rounded, and so would the rank be
			}
			want := stat.Quantile((float64(k)+0.5)/float64(n), stat.Empirical, xs, nil)
			if got := h.Quantile(p); !(math.Abs(got-want) <= HistogramError*math.Abs(want)) {
				t.Errorf("n = %d, rank %d: %v, want %v ± %v", n, k, got, want, HistogramError*want)
			}
		}
		// Between ranks: the definition, written out once more.
		r := rand.New(NewStream(5, "shares"))
		for range 300 {
			p := r.Float64()
			position := float64(n-1) * p
			k := int(position)
			below, above := xs[k], xs[min(k+1, n-1)]
			want := below + (position-float64(k))*(above-below)
			// The last ulps are rounding in want.
			allowed := (HistogramError + 1e-15) * max(math.Abs(below), math.Abs(above))
			if got := h.Quantile(p); !(math.Abs(got-want) <= allowed) {
				t.Errorf("n = %d, share %v: %v, want %v ± %v", n, p, got, want, allowed)
			}
		}
		if h.Quantile(0) != xs[0] || h.Quantile(1) != xs[n-1] {
			t.Errorf("n = %d: quantiles 0 and 1 are not the extremes", n)
		}
	}
}

// R's documentation of type 7: p[k] = (k − 1)/(n − 1). Small whole numbers fall
// on the lower edges of bins of their own, so the estimate errs upwards by half
// a bin at most.
func TestHistogramQuantileDefinition(t *testing.T) {
	var h Histogram
	h.AddAll([]float64{15, 20, 35, 40, 50})
	for p, want := range map[float64]float64{0: 15, 0.25: 20, 0.4: 29, 0.5: 35, 0.75: 40, 1: 50} {
		if got := h.Quantile(p); !(math.Abs(got-want) <= HistogramError*40) {
			t.Errorf("Quantile(%v) = %v, want %v", p, got, want)
		}
	}
}

// The error is attained: no smaller one could be stated.
func TestHistogramErrorIsTight(t *testing.T) {
	if HistogramError != 0x1p-11 {
		t.Errorf("the error is %v, want that of bins of an eleventh binary digit", HistogramError)
	}
	var h Histogram
	edge := math.Nextafter(1+HistogramError, 0)
	h.AddAll([]float64{0.5, 1, 1, 1, 1, 1, 1, 1, 1, edge, 3})
	if got := h.Quantile(0.8); got-1 < 0.8*HistogramError || got-1 > HistogramError {
		t.Errorf("eighth of eight ones: 1 + %v, want nearly %v", got-1, HistogramError)
	}
}

// Merged into an empty one, a histogram keeps its bytes, and an empty one adds nothing.
func TestHistogramMergesWithNothing(t *testing.T) {
	for _, values := range [][]float64{{0.3, 0.7, 2}, {-4, -2.5}, {3}, {math.Inf(1), 5, 6}} {
		var one, none, empty Histogram
		one.AddAll(values)
		want := golden.Must(one.MarshalBinary())(t)
		none.Merge(&one)
		one.Merge(&empty)
		for _, h := range []*Histogram{&none, &one} {
			if got, err := h.MarshalBinary(); err != nil || !bytes.Equal(got, want) {
				t.Errorf("%v: other bytes, or %v", values, err)
			}
			if h.Min() != slices.Min(values) || h.Max() != slices.Max(values) {
				t.Errorf("%v: from %v to %v", values, h.Min(), h.Max())
			}
		}
	}
}

func TestHistogramExactCells(t *testing.T) {
	inf := math.Inf(1)
	tests := []struct {
		name string
		xs   []float64
		want map[float64]float64
	}{
		{"all equal", []float64{0.3, 0.3, 0.3, 0.3}, map[float64]float64{0: 0.3, 0.31: 0.3, 1: 0.3}},
		{"zeros", []float64{-7, math.Copysign(0, -1), 0, 5e-324, 7}, map[float64]float64{0: -7, 0.25: 0, 0.5: 0, 0.6: 0, 0.75: 0, 1: 7}},
		{"infinite above", []float64{1, 2, 4, inf, inf}, map[float64]float64{0: 1, 0.5: 4, 0.51: inf, 0.75: inf, 1: inf}},
		{"infinite below", []float64{-inf, -inf, 3}, map[float64]float64{0: -inf, 0.5: -inf, 0.9: -inf, 1: 3}},
		{"only infinite", []float64{inf, inf}, map[float64]float64{0: inf, 0.3: inf, 1: inf}},
		{"both infinities", []float64{-inf, inf}, map[float64]float64{0: -inf, 0.5: math.NaN(), 1: inf}},
		{"ends of the range", []float64{-math.MaxFloat64, 0x1p-1022, math.MaxFloat64}, map[float64]float64{0: -math.MaxFloat64, 1: math.MaxFloat64}},
		{"nothing", nil, map[float64]float64{0: math.NaN(), 0.5: math.NaN(), 1: math.NaN()}},
		{"NaN", []float64{1, 2, math.NaN(), 3}, map[float64]float64{0: math.NaN(), 0.5: math.NaN(), 1: math.NaN()}},
	}
	for _, test := range tests {
		var h Histogram
		h.AddAll(test.xs)
		for p, want := range test.want {
			if got := h.Quantile(p); !same(got, want) {
				t.Errorf("%s: Quantile(%v) = %v, want %v", test.name, p, got, want)
			}
		}
		if got, want := h.Min(), test.want[0]; !same(got, want) {
			t.Errorf("%s: Min is %v, want %v", test.name, got, want)
		}
		if got, want := h.Max(), test.want[1]; !same(got, want) {
			t.Errorf("%s: Max is %v, want %v", test.name, got, want)
		}
	}
	var h Histogram
	h.AddAll([]float64{1, math.NaN(), inf, math.NaN()})
	if h.Count() != 2 || h.NaNs() != 2 {
		t.Errorf("%d values and %d NaN, want 2 and 2", h.Count(), h.NaNs())
	}
	for _, p := range []float64{-0.1, 1.1, math.NaN()} {
		mustPanic(t, func() { h.Quantile(p) })
	}
}

// same is == for which NaN is the same as NaN.
func same(a, b float64) bool { return a == b || a != a && b != b }

// Quantiles rise with p, scale with the values, and mirror with their sign.
func TestHistogramProperties(t *testing.T) {
	xs := awkward(77, 5000)
	var h, scaled, mirrored Histogram
	for _, x := range xs {
		h.Add(x)
		scaled.Add(8 * x)
		mirrored.Add(-x)
	}
	last := math.Inf(-1)
	for i := range 1001 {
		p := float64(i) / 1000
		q := h.Quantile(p)
		if q < last {
			t.Errorf("Quantile(%v) = %v, below %v", p, q, last)
		}
		last = q
		if got := scaled.Quantile(p); got != 8*q {
			t.Errorf("of values eight times as great: %v, want exactly %v", got, 8*q)
		}
	}
	// 1−p is exact for these, so the ranks mirror exactly.
	for i := range 513 {
		p := float64(i) / 512
		got, want := mirrored.Quantile(1-p), -h.Quantile(p)
		if !(math.Abs(got-want) <= 1e-12*math.Abs(want)) {
			t.Errorf("of the negatives at %v: %v, want %v", 1-p, got, want)
		}
	}
}

func TestHistogramOrderAndMerge(t *testing.T) {
	xs := append(awkward(78, 20000), math.Inf(1), math.Inf(-1), math.Inf(1), math.NaN())
	var whole Histogram
	whole.AddAll(xs)
	want := marshal(t, &whole)

	r := rand.New(NewStream(6, "order"))
	for range 5 {
		r.Shuffle(len(xs), func(i, j int) { xs[i], xs[j] = xs[j], xs[i] })
		// Cut unevenly, merge in any order, into an empty one and into one that
		// was used before.
		parts := make([]Histogram, 7)
		for _, x := range xs {
			parts[int(float64(len(parts))*r.Float64()*r.Float64())].Add(x)
		}
		r.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
		var merged Histogram
		merged.AddAll([]float64{1e99, -1e-99, math.NaN(), 0})
		merged.Reset()
		for i := range parts {
			before := marshal(t, &parts[i])
			merged.Merge(&parts[i])
			if !bytes.Equal(before, marshal(t, &parts[i])) {
				t.Error("Merge changed what it merged")
			}
		}
		if !bytes.Equal(marshal(t, &merged), want) {
			t.Error("the parts merged are not the whole")
		}
	}
	empty := marshal(t, new(Histogram))
	whole.Reset()
	if !bytes.Equal(marshal(t, &whole), empty) {
		t.Error("Reset does not empty")
	}
}

func marshal(t testing.TB, m interface{ MarshalBinary() ([]byte, error) }) []byte {
	t.Helper()
	return golden.Must(m.MarshalBinary())(t)
}

func TestHistogramBinary(t *testing.T) {
	for name, xs := range map[string][]float64{
		"empty":  nil,
		"one":    {-3.25},
		"many":   awkward(79, 3000),
		"zeros":  {0, 0, 4},
		"others": {math.Inf(1), math.NaN(), math.Inf(-1), math.NaN()},
	} {
		var h, back Histogram
		h.AddAll(xs)
		data := marshal(t, &h)
		back.AddAll([]float64{1, 2, 3}) // is replaced
		if err := back.UnmarshalBinary(data); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !bytes.Equal(marshal(t, &back), data) {
			t.Errorf("%s: other bytes after a round trip", name)
		}
		for i := range 101 {
			if p := float64(i) / 100; !same(back.Quantile(p), h.Quantile(p)) {
				t.Errorf("%s: Quantile(%v) is %v after a round trip, %v before", name, p, back.Quantile(p), h.Quantile(p))
			}
		}
		// It goes on counting as the first would.
		h.AddAll(awkward(80, 500))
		back.AddAll(awkward(80, 500))
		if !bytes.Equal(marshal(t, &back), marshal(t, &h)) {
			t.Errorf("%s: goes on differently after a round trip", name)
		}
	}
}

func TestHistogramBinaryRefuses(t *testing.T) {
	var h Histogram
	h.AddAll([]float64{-2.5, 0, 3, 3, 700, math.Inf(1)})
	good := marshal(t, &h)
	for cut := range good {
		refuse(t, good[:cut], fmt.Sprintf("cut after %d bytes", cut))
	}
	refuse(t, append(slices.Clone(good), 0), "a byte too much")
	edit := func(at int, b ...byte) []byte { return slices.Replace(slices.Clone(good), at, at+1, b...) }
	float := func(at int, x float64) []byte {
		b := slices.Clone(good)
		binary.BigEndian.PutUint64(b[at:], math.Float64bits(x))
		return b
	}
	counts := len(histogramHeader)
	// From 2 to 3: bins 0 and 1024 of the octave from 2.
	const octave = 1024                     // exponent of 2, biased
	encode := func(list ...uint64) []byte { // the number of values, then chunks
		b := []byte(histogramHeader)
		for _, n := range []uint64{0, 0, 0, 0, list[0]} {
			b = binary.AppendUvarint(b, n)
		}
		b = binary.BigEndian.AppendUint64(b, math.Float64bits(2))
		b = binary.BigEndian.AppendUint64(b, math.Float64bits(3))
		for _, n := range list[1:] {
			b = binary.AppendUvarint(b, n)
		}
		return b
	}
	if err := new(Histogram).UnmarshalBinary(encode(2, octave, 2, 0, 1, 1024, 1)); err != nil {
		t.Errorf("what the next ones are variants of: %v", err)
	}
	for name, data := range map[string][]byte{
		"bins descend":       encode(2, octave, 2, 1024, 1, 0, 1),
		"bin given twice":    encode(3, octave, 3, 0, 1, 1024, 1, 1024, 1),
		"bin of none":        encode(2, octave, 3, 0, 1, 9, 0, 1024, 1),
		"bin out of range":   encode(2, octave, 2, 0, 1, 2048, 1),
		"octave given twice": encode(2, octave, 1, 0, 1, octave, 1, 1024, 1),
		"octaves descend":    encode(3, octave, 2, 0, 1, 1024, 1, octave-1, 1, 7, 1),
		"empty octave":       encode(2, octave-1, 0, octave, 2, 0, 1, 1024, 1),
		"octave of NaN":      encode(2, octave, 1, 0, 1, topExponent, 1, 1024, 1),
		"too many":           encode(2, octave, 2, 0, 2, 1024, 1),
		"too few":            encode(2, octave, 1, 1024, 1),
		"another version":    edit(6, '2'),
		"one value more":     edit(counts+4, 6),
		"one zero more":      edit(counts+3, 2),
		"long form of 1":     edit(counts+2, 0x81, 0x00),
		"huge count":         edit(counts+2, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x01),
		"sum overflows":      edit(counts+2, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0x7f),
		"least is too great": float(counts+5, -2.4),
		"least is too small": float(counts+5, -2.6),
		"NaN as least":       float(counts+5, math.NaN()),
		"most is too small":  float(counts+13, 699),
		"infinite":           float(counts+13, math.Inf(1)),
	} {
		refuse(t, data, name)
	}
}

func refuse(t *testing.T, data []byte, what string) {
	t.Helper()
	var h Histogram
	h.Add(42)
	before := marshal(t, &h)
	if err := h.UnmarshalBinary(data); err == nil {
		t.Errorf("%s: no error", what)
	}
	if !bytes.Equal(marshal(t, &h), before) {
		t.Errorf("%s: an error changed the histogram", what)
	}
}

// Whatever is accepted is what MarshalBinary writes, and answers questions.
func FuzzHistogramUnmarshal(f *testing.F) {
	for _, xs := range [][]float64{nil, {1}, {-2.5, 0, 3, 3, 700, math.Inf(1)}, {math.NaN(), 1e-300, -1e300}} {
		var h Histogram
		h.AddAll(xs)
		f.Add(marshal(f, &h))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var h Histogram
		if h.UnmarshalBinary(data) != nil {
			return
		}
		if !bytes.Equal(marshal(t, &h), data) {
			t.Error("accepted bytes are not those written")
		}
		if h.NaNs() > 0 || h.Count() == 0 {
			return
		}
		for _, p := range []float64{0, 0.25, 0.7, 1} {
			if q := h.Quantile(p); !(q >= h.Min() && q <= h.Max()) && !(math.IsInf(h.Min(), -1) && math.IsInf(h.Max(), 1)) {
				t.Errorf("Quantile(%v) = %v is not between %v and %v", p, q, h.Min(), h.Max())
			}
		}
	})
}

func TestHistogramAllocations(t *testing.T) {
	xs := awkward(81, BlockRows)
	var h, into Histogram
	h.AddAll(xs)
	into.Merge(&h)
	if n := testing.AllocsPerRun(20, func() {
		h.Reset()
		h.AddAll(xs)
		h.Add(xs[7])
		into.Merge(&h)
		h.Quantile(0.4)
	}); n != 0 {
		t.Errorf("%v allocations, want none", n)
	}
}

func BenchmarkHistogramAddAll(b *testing.B) {
	xs := normalsOf(NewStream(1, "benchmark"), 0, BlockRows)
	for i := range xs {
		xs[i] = 1 + 0.1*xs[i]
	}
	var h Histogram
	b.ReportAllocs()
	for b.Loop() {
		h.AddAll(xs)
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/BlockRows, "ns/value")
}

func BenchmarkHistogramMerge(b *testing.B) {
	var h, into Histogram
	h.AddAll(normalsOf(NewStream(1, "benchmark"), 0, BlockRows))
	b.ReportAllocs()
	for b.Loop() {
		into.Merge(&h)
	}
}

func BenchmarkHistogramQuantile(b *testing.B) {
	var h Histogram
	h.AddAll(normalsOf(NewStream(1, "benchmark"), 0, BlockRows))
	b.ReportAllocs()
	for b.Loop() {
		h.Quantile(0.95)
	}
}
