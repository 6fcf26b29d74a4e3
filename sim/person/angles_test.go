package person

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/hold"
)

// The least and the greatest angle are possible, and hardly more is not; without a tilt
// they are the hold's own ends.
func TestAnglesAreEnds(t *testing.T) {
	for _, tilt := range []float64{0, 0.5, 0.78, -0.7} {
		p := coachs()
		p.Tilt = tilt
		b := golden.Must(NewMedianBody(p, quick()))(t)
		for _, m := range hold.HumanFlag.Models {
			possible := func(angle float64) bool {
				held, _ := b.solve(m, hold.GivenAngle, angle)
				return held.Possible[0]
			}
			least, most := b.Angles(m)
			if !possible(least) || !possible(most) || !possible((least+most)/2) {
				t.Errorf("tilt %g, %s: not possible from %g to %g", tilt, m, least, most)
			}
			if tilt == 0 {
				if least != hold.FlagLeastAngle || most != hold.FlagMostAngle {
					t.Errorf("without a tilt, %s: from %g to %g", m, least, most)
				}
				continue
			}
			const hardly = 1e-9
			if possible(least-hardly) || possible(most+hardly) || !(least > hold.FlagLeastAngle+0.1 && most < hold.FlagMostAngle-0.1) {
				t.Errorf("tilt %g, %s: possible beyond %g to %g", tilt, m, least, most)
			}
		}
	}
	p := coachs()
	p.Hold = hold.FrontLever
	b := golden.Must(NewMedianBody(p, quick()))(t)
	if least, most := b.Angles(hold.Equilibrium); least <= most || math.IsNaN(least) {
		t.Errorf("a hold without a choice of angle has it from %g to %g", least, most)
	}
}
