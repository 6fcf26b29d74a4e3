package hold

import (
	"math"
	"testing"
)

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
