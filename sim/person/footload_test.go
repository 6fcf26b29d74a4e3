package person

import (
	"math"
	"testing"

	"counterpoise/sim/hold"
)

// The scale of each body is that body's own: H·d over the ankles' distance from the pole,
// in kilograms, for those who can take the posture alone.
func TestFootLoadOfEachBody(t *testing.T) {
	tilt := 0.2
	d := &draws{problem: &problem{person: Person{Tilt: tilt}}, mass: []float64{60, 70, 85}, arm: []float64{0.6, 0.65, 0.7}, reach: []float64{1.3, 1.4, 1.5}}
	held := hold.NewResult(3, hold.ArmAngle, hold.HorizontalForce, hold.HandSpacing)
	held.Possible = []bool{true, false, true}
	held.Value[hold.ArmAngle] = []float64{0.7, 0.8, 0.9}
	held.Value[hold.HorizontalForce] = []float64{0.5, 0.55, 0.6}
	held.Value[hold.HandSpacing] = []float64{1.1, 1.2, 1.3}
	got := d.footLoad(held)
	want := []float64{
		60 * 0.5 * 1.1 / (0.6*math.Sin(0.7) + 1.3*math.Cos(tilt)),
		85 * 0.6 * 1.3 / (0.7*math.Sin(0.9) + 1.5*math.Cos(tilt)),
	}
	if len(got) != len(want) {
		t.Fatalf("loads %v", got)
	}
	for i := range want {
		if !(math.Abs(got[i]-want[i]) <= 1e-12) {
			t.Errorf("load %v kg, want %v", got[i], want[i])
		}
	}
}
