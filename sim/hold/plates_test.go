package hold_test

import (
	"math"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

func TestPrint(t *testing.T) {
	for _, sex := range sexes {
		for _, A := range []float64{70, 75, 80, 85, 90} {
			a := assume.Defaults()
			a[assume.PlankAngle] = A
			b := draw(t, sex, body.Residual, 2000, a)
			for _, p := range []hold.Pose{{}, {hold.Bent: 1}, {hold.Kneeling: 1}, {hold.Kneeling: 1, hold.Bent: 1}, {hold.FeetRaised: .6096}, {hold.HandsRaised: .6096}, {hold.FeetRaised: .3048}, {hold.HandsRaised: .3048}} {
				r := solveHold(hold.PushUp, b, hold.Posture{Pose: p})
				m, s := meanSD(r.Value[hold.HandShare])
				t.Logf("%s A=%g %v %.3f ± %.3f", sex, A, p, m, s)
			}
		}
	}
}

func meanSD(x []float64) (m, s float64) {
	for _, v := range x {
		m += v
	}
	m /= float64(len(x))
	for _, v := range x {
		s += (v - m) * (v - m)
	}
	return m, math.Sqrt(s / float64(len(x)-1))
}
