package person

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"

	"counterpoise/sim/hold"
)

func TestSmallest(t *testing.T) {
	random := rand.New(rand.NewChaCha8([32]byte{3}))
	for _, n := range []int{1, 2, 3, 17, 400} {
		for range 60 {
			values := make([]float64, n)
			for i := range values {
				values[i] = float64(random.IntN(1 + n/2)) // with ties
			}
			sorted := slices.Clone(values)
			slices.Sort(sorted)
			k := random.IntN(n)
			if got := smallest(values, k); got != sorted[k] || slices.Max(append([]float64{got}, values[:k]...)) > got || slices.Min(values[k:]) < got {
				t.Fatalf("the value of rank %d among %v is not %v", k, sorted, got)
			}
		}
	}
}

func TestQuantile(t *testing.T) {
	// Of 1, 2, 3, 7, 11, 19, 31: ranks 0.3, 3 and 5.7.
	for share, want := range map[float64]float64{0.05: 1.3, 0.5: 7, 0.95: 27.4} {
		if got := quantile([]float64{31, 7, 2, 1, 11, 3, 19}, share); !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("quantile %g: %v, want %v", share, got, want)
		}
	}
	if got := spreadOf(nil); got != (Spread{}) {
		t.Errorf("spread of nothing %v", got)
	}
	if got := spreadOf([]float64{3.7}); got != (Spread{3.7, 3.7, 3.7}) {
		t.Errorf("spread of one %v", got)
	}
	inf := math.Inf(1)
	if got := spreadOf([]float64{inf, inf, inf}); got != (Spread{inf, inf, inf}) {
		t.Errorf("spread of infinite %v", got)
	}
}

// Newtons are those of the bodies that can take the posture, each of its own weight.
func TestTimesWeights(t *testing.T) {
	r := hold.NewResult(4)
	r.Possible[0], r.Possible[2], r.Possible[3] = true, true, true
	d := &draws{mass: []float64{50, 60, 70, 90}}
	got := d.times(r, []float64{1, 2, 3, 0.5})
	if want := []float64{50 * 9.80665, 3 * 70 * 9.80665, 45 * 9.80665}; !floats.EqualApprox(got, want, 1e-9) {
		t.Errorf("%v N, want %v", got, want)
	}
}

// By hand: groups {3, 5}, {11, 17, 23}; mean 11.8; within 2 + 72 = 74 over 3
// degrees of freedom; between 2·7.8² + 3·5.2² = 202.8 over 1; typical size
// (5 − 13/5)/1 = 2.4; variance between (202.8 − 24.666…)/2.4 = 74.2222….
func TestComponents(t *testing.T) {
	within, between := components([]float64{3, 5, 11, 17, 23}, []int{4, 4, 9, 9, 9})
	meanWithin, variance := 74./3, (202.8-74./3)/2.4
	if !(math.Abs(within-meanWithin/(meanWithin+variance)) <= 1e-12) || !(math.Abs(within+between-1) <= 1e-12) {
		t.Errorf("components %v, %v", within, between)
	}
	for name, c := range map[string]struct {
		values          []float64
		group           []int
		within, between float64
	}{
		"nothing":       {nil, nil, 0, 0},
		"nothing moves": {[]float64{2.3, 2.3, 2.3}, []int{0, 0, 1}, 0, 0},
		"one group":     {[]float64{2.3, 2.9, 3.1}, []int{5, 5, 5}, 1, 0},
		"groups of one": {[]float64{2.3, 2.9, 3.1}, []int{0, 1, 2}, 0, 1},
		"equal means":   {[]float64{2, 4, 1, 5}, []int{0, 0, 1, 1}, 1, 0},
		"infinite":      {[]float64{2, 2, 5, math.Inf(1)}, []int{0, 0, 1, 1}, 0, 0},
		"equal within":  {[]float64{2, 2, 5, 5}, []int{0, 0, 1, 1}, 0, 1},
	} {
		if within, between := components(c.values, c.group); within != c.within || between != c.between {
			t.Errorf("%s: %v, %v", name, within, between)
		}
	}
}

func TestShareBelow(t *testing.T) {
	if got := shareBelow([]float64{7, 3, 5, 5}, 5); got != 0.5 {
		t.Errorf("share %v", got)
	}
	if got := shareBelow([]float64{7, 3, 5, 4}, 6); got != 0.75 {
		t.Errorf("share %v", got)
	}
}

func TestPool(t *testing.T) {
	one := &Result{Comparisons: []Comparison{{What: "foot_load", Unit: "kg", Error: 3, Inside: true}, {What: "arm_angle", Unit: "rad", Error: 0.2}}}
	two := &Result{Comparisons: []Comparison{{What: "foot_load", Unit: "kg", Error: -7}}}
	pooled := Pool(one, two)
	if len(pooled) != 2 {
		t.Fatalf("pooled %v", pooled)
	}
	p := pooled[0]
	// Mean −2, standard deviation √50, over √2: 5; root mean square √29.
	if p.What != "foot_load" || p.N != 2 || p.Inside != 1 || p.Coverage != 0.5 || p.MeanError != -2 || !(math.Abs(p.StandardError-5) <= 1e-12) || !(math.Abs(p.RootMeanSquare-math.Sqrt(29)) <= 1e-12) {
		t.Errorf("pooled %+v", p)
	}
	if !(p.CoverageLow > 0 && p.CoverageLow < 0.5 && p.CoverageHigh > 0.5 && p.CoverageHigh < 1) {
		t.Errorf("coverage %v..%v", p.CoverageLow, p.CoverageHigh)
	}
	if q := pooled[1]; q.N != 1 || q.MeanError != 0.2 || !math.IsNaN(q.StandardError) {
		t.Errorf("pooled %+v", q)
	}
	if Pool() != nil {
		t.Error("something out of nothing")
	}
}
