package drivers

import (
	"counterpoise/sim/montecarlo"
	"math"
	"testing"
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
