package pole

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The best cosine satisfies its equation, within the range that the start is
// fitted for and far outside it. The equation's slope is above 1 in size.
func TestTurningIsARoot(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 13))
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	for _, test := range []struct {
		name                   string
		ratioLow, ratioHigh    float64
		halfLow, halfHigh, far float64
	}{
		{"fitted", 0.45, 1.1, 0.14, 0.46, 1e-4},
		{"beside", 0.3, 2, 0.05, 0.8, math.Inf(1)},
		{"far", 0.01, 60, 0, 9, math.Inf(1)},
	} {
		var b levelBodies
		for range 2000 {
			for k := range tileRows {
				b.arm[k], b.reach[k] = between(0.3, 0.9), between(0.3, 0.9)
				b.hang[k] = b.reach[k] * between(test.ratioLow, test.ratioHigh)
				b.span[k] = 2 * b.arm[k] * between(test.halfLow, test.halfHigh)
			}
			b.bestTurning(tileRows)
			for k, u := range b.rise {
				ratio, half := b.hang[k]/b.reach[k], b.span[k]/(2*b.arm[k])
				if off := math.Pow((1-u)*(1+u), 1.5) - ratio*(2*u*u+half*u-1); !(math.Abs(off) < 1e-11*(1+ratio*(1+half))) || !(u > 0 && u < 1) {
					t.Fatalf("%s: A %v, B %v: u %v is off by %g", test.name, ratio, half, u, off)
				}
				if start := turningStart(ratio, half); !(math.Abs(start-u) < test.far) {
					t.Fatalf("%s: A %v, B %v: the start %v is far from %v", test.name, ratio, half, start, u)
				}
			}
		}
	}
}

// The series and math.Asin agree to rounding on both sides of where one gives
// way to the other. The two products of x are below 1/2 and each is rounded twice
// (4 × 2⁻⁵⁴), the sum and math.Asin's own result are below 1 (2⁻⁵⁴ and 2⁻⁵³).
func TestArcsine(t *testing.T) {
	series := 0
	for sine := -0.9999; sine < 1; sine += 1.3e-4 {
		want := math.Asin(sine)
		if got := arcsine(sine); !(math.Abs(got-want) <= 7*0x1p-54) {
			t.Errorf("arcsine(%v) = %v, want %v", sine, got, want)
		}
		if math.Abs(want-commonAngle) < 0.109 {
			series++
		}
	}
	if series < 1000 {
		t.Errorf("only %d points on the series", series)
	}
}

// Turned by at most half a radian, sine and cosine are those of the sum, to rounding.
func TestTurn(t *testing.T) {
	for angle := 0.1; angle < 1.5; angle += 0.17 {
		for x := -0.5; x <= 0.5; x += 0.0037 {
			sin, cos := turn(math.Sin(angle), math.Cos(angle), x)
			if !(math.Abs(sin-math.Sin(angle+x)) <= 5e-16) || !(math.Abs(cos-math.Cos(angle+x)) <= 5e-16) {
				t.Fatalf("%g turned by %g: %.17g, %.17g", angle, x, sin-math.Sin(angle+x), cos-math.Cos(angle+x))
			}
		}
	}
}
