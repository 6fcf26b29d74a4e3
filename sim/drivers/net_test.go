package drivers

import (
	"math"
	"testing"

	"counterpoise/sim/montecarlo"
)

// Scrambling keeps the net: in every dimension each interval of length 2⁻ᵐ holds
// exactly one of the first 2ᵐ points, and the first two dimensions of Sobol's
// sequence are a (0, 2)-sequence, so that every rectangle 2⁻ᵏ × 2ᵏ⁻ᵐ does.
func TestNetIsEven(t *testing.T) {
	const m, dimensions = 10, 40
	n := newNet(dimensions, 5, "test")
	for replicate := range 3 {
		x := montecarlo.Columns(dimensions, 1<<m)
		n.fill(replicate, 0, x)
		for j := range dimensions {
			seen := make([]bool, 1<<m)
			for _, v := range x[j] {
				if !(v > 0 && v < 1) {
					t.Fatalf("coordinate %v", v)
				}
				cell := int(v * (1 << m))
				if seen[cell] {
					t.Fatalf("replicate %d, dimension %d: two points in cell %d", replicate, j, cell)
				}
				seen[cell] = true
			}
		}
		for k := range m + 1 {
			seen := make([]bool, 1<<m)
			for i := range x[0] {
				cell := int(x[0][i]*float64(int(1)<<k))<<(m-k) | int(x[1][i]*float64(int(1)<<(m-k)))
				if seen[cell] {
					t.Fatalf("replicate %d: two points in a rectangle of 2^-%d by 2^-%d", replicate, k, m-k)
				}
				seen[cell] = true
			}
		}
	}
}

// Unscrambled, the direction numbers give the published points of Joe and Kuo
// (their example of ten points in three dimensions).
func TestNetDirections(t *testing.T) {
	want := [][]float64{{0, 0, 0}, {.5, .5, .5}, {.75, .25, .25}, {.25, .75, .75}, {.375, .375, .625},
		{.875, .875, .125}, {.625, .125, .875}, {.125, .625, .375}, {.1875, .3125, .9375}, {.6875, .8125, .4375}}
	n := newNet(3, 1, "test")
	for i, point := range want {
		for j := range 3 {
			var x uint32
			for k := range netDigits {
				if (i^i>>1)>>k&1 == 1 {
					x ^= n.sequence[j][k]
				}
			}
			if got := float64(x) * 0x1p-32; got != point[j] {
				t.Errorf("point %d, dimension %d: %v, published %v", i, j, got, point[j])
			}
		}
	}
}

// Points do not depend on how they are cut into runs, and replicates differ.
func TestNetRuns(t *testing.T) {
	n := newNet(5, 9, "test")
	whole := montecarlo.Columns(5, 256)
	n.fill(2, 0, whole)
	part := montecarlo.Columns(5, 32)
	for _, first := range []int{32, 224, 96} {
		n.fill(1, first, part)
		if part[3][7] == whole[3][first+7] {
			t.Error("replicates 1 and 2 are alike")
		}
		n.fill(2, first, part)
		for j := range part {
			for i := range part[j] {
				if part[j][i] != whole[j][first+i] {
					t.Fatalf("from %d on: point %d differs", first, i)
				}
			}
		}
	}
}

// Over replicates every point is uniform and its coordinates are uncorrelated:
// mean ½ and covariance 0 within 5 standard errors, √(1/12n) and 1/12√n.
func TestNetPointsAreUniform(t *testing.T) {
	const replicates = 4000
	n := newNet(4, 3, "test")
	x := montecarlo.Columns(4, 8)
	var sums [4]float64
	var product float64
	for r := range replicates {
		n.fill(r, 0, x)
		for j := range sums {
			sums[j] += x[j][5] - 0.5
		}
		product += (x[1][5] - 0.5) * (x[3][5] - 0.5)
	}
	for j, s := range sums {
		if z := s / replicates / math.Sqrt(1.0/12/replicates); !(math.Abs(z) <= 5) {
			t.Errorf("dimension %d: the mean is %.1f standard errors off", j, z)
		}
	}
	if z := product / replicates * 12 * math.Sqrt(replicates); !(math.Abs(z) <= 5) {
		t.Errorf("covariance of two coordinates: %.1f standard errors", z)
	}
}

// Options are allowed up to their ends and refused beyond.
func TestEndsOfOptions(t *testing.T) {
	for _, c := range []struct {
		name    string
		o       Options
		allowed bool
	}{
		{"none", Options{}, true},
		{"base 2", Options{Base: 2}, true}, {"base 1", Options{Base: 1}, false}, {"base 3", Options{Base: 3}, false}, {"base -2", Options{Base: -2}, false},
		{"base 2^30", Options{Base: 1 << 30}, true}, {"base 2^31", Options{Base: 1 << 31}, false},
		{"replicates 4", Options{Replicates: 4}, true}, {"replicates 3", Options{Replicates: 3}, false},
		{"replicates 2^20", Options{Replicates: 1 << 20}, true}, {"replicates 2^20+1", Options{Replicates: 1<<20 + 1}, false},
		{"confidence 0.999", Options{Confidence: 0.999}, true}, {"confidence 1", Options{Confidence: 1}, false}, {"confidence -0.1", Options{Confidence: -0.1}, false},
		{"until", Options{Until: 1e-9, MaxEvaluations: 1}, true}, {"until without end", Options{Until: 1e-9}, false},
		{"until -1", Options{Until: -1, MaxEvaluations: 1}, false}, {"until infinity", Options{Until: math.Inf(1), MaxEvaluations: 1}, false},
		{"an end of 0", Options{Until: 0.1, MaxEvaluations: 0}, false}, {"an end below 0", Options{Until: 0.1, MaxEvaluations: -1}, false},
		{"an end alone", Options{MaxEvaluations: 1}, false},
		{"workers 0", Options{Workers: 0}, true}, {"workers 1", Options{Workers: 1}, true}, {"workers -1", Options{Workers: -1}, false},
	} {
		if _, err := c.o.checked(); (err == nil) != c.allowed {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	for _, c := range []struct {
		name    string
		o       MorrisOptions
		allowed bool
	}{
		{"none", MorrisOptions{}, true},
		{"trajectories 4", MorrisOptions{Trajectories: 4}, true}, {"trajectories 3", MorrisOptions{Trajectories: 3}, false},
		{"trajectories 2^24", MorrisOptions{Trajectories: 1 << 24}, true}, {"trajectories 2^24+1", MorrisOptions{Trajectories: 1<<24 + 1}, false},
		{"levels 4", MorrisOptions{Levels: 4}, true}, {"levels 2", MorrisOptions{Levels: 2}, false}, {"levels 5", MorrisOptions{Levels: 5}, false},
		{"levels 2^16", MorrisOptions{Levels: 1 << 16}, true}, {"levels 2^16+2", MorrisOptions{Levels: 1<<16 + 2}, false},
		{"confidence 0.5", MorrisOptions{Confidence: 0.5}, true}, {"confidence 1", MorrisOptions{Confidence: 1}, false}, {"confidence -1", MorrisOptions{Confidence: -1}, false},
		{"workers 1", MorrisOptions{Workers: 1}, true}, {"workers -1", MorrisOptions{Workers: -1}, false},
	} {
		if _, err := c.o.checked(); (err == nil) != c.allowed {
			t.Errorf("elementary effects, %s: %v", c.name, err)
		}
	}
}
