package hold_test

import (
	"math"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// onHands returns the mean share of body weight on the hands of drawn bodies.
func onHands(t *testing.T, population string, p hold.Pose, a assume.Set) float64 {
	t.Helper()
	r := solveHold(hold.PushUp, draw(t, population, body.Residual, 1000, a), hold.Posture{Pose: p})
	sum := 0.0
	for i, share := range r.Value[hold.HandShare] {
		if !r.Possible[i] {
			t.Fatalf("%s, %v: row %d is not possible", population, p, i)
		}
		sum += share
	}
	return sum / 1000
}

const (
	foot     = 0.3048 // m
	boxOfTwo = 2 * foot
)

// Push-ups held against force plates. Mier et al. 2014 (Int J Exerc Sci
// 7:161-168) gives means and standard deviations of 5-second holds by sex; Ebben
// et al. 2011 (J Strength Cond Res 25:2891-2894) peaks of the moving exercise of
// 14 men and 9 women, on boxes of 30.48 and 60.96 cm (as read in a second-hand
// account; those for the lower box from memory); Gouvali & Boudolos 2005 (J Strength
// Cond Res 19:146-151) 8 men. The level position is asked to lie within a standard
// deviation of Mier's means, the raised ones within 0.08 of Ebben's.
func TestHandLoadsOfForcePlates(t *testing.T) {
	a := assume.Defaults()
	mixed := func(p hold.Pose) float64 {
		return (14*onHands(t, "ansur2-men", p, a) + 9*onHands(t, "ansur2-women", p, a)) / 23
	}
	for _, c := range []struct {
		name               string
		got, want, allowed float64
	}{
		{"level, men (Mier)", onHands(t, "ansur2-men", hold.Pose{}, a), 0.670, 0.038},
		{"level, women (Mier)", onHands(t, "ansur2-women", hold.Pose{}, a), 0.651, 0.031},
		{"level, men (Gouvali)", onHands(t, "ansur2-men", hold.Pose{}, a), 0.664, 0.038},
		{"level (Ebben)", mixed(hold.Pose{}), 0.64, 0.08},
		{"feet raised 0.61 m (Ebben)", mixed(hold.Pose{hold.FeetRaised: boxOfTwo}), 0.74, 0.08},
		{"hands raised 0.61 m (Ebben)", mixed(hold.Pose{hold.HandsRaised: boxOfTwo}), 0.41, 0.08},
		{"feet raised 0.30 m (Ebben)", mixed(hold.Pose{hold.FeetRaised: foot}), 0.70, 0.08},
		{"hands raised 0.30 m (Ebben)", mixed(hold.Pose{hold.HandsRaised: foot}), 0.55, 0.08},
	} {
		t.Logf("%-30s model %.3f, measured %.3f", c.name, c.got, c.want)
		if math.Abs(c.got-c.want) > c.allowed {
			t.Errorf("%s: the model gives %.3f, measured %.3f, more than %.3f apart", c.name, c.got, c.want, c.allowed)
		}
	}
	// The misses, held where they are so that they stay stated: on knees 0.525 and
	// 0.515 (Mier) against a tenth of body weight less, arms bent 0.746 and 0.703.
	for _, c := range []struct {
		name       string
		population string
		pose       hold.Pose
		measured   float64
		low, high  float64 // measured minus model
	}{
		{"kneeling", "ansur2-men", hold.Pose{hold.Kneeling: 1}, 0.525, 0.06, 0.09},
		{"kneeling", "ansur2-women", hold.Pose{hold.Kneeling: 1}, 0.515, 0.05, 0.08},
		{"bent", "ansur2-men", hold.Pose{hold.Bent: 1}, 0.746, 0.06, 0.09},
		{"bent", "ansur2-women", hold.Pose{hold.Bent: 1}, 0.703, 0.02, 0.05},
	} {
		got := onHands(t, c.population, c.pose, a)
		t.Logf("%s, %s: model %.3f, measured %.3f", c.name, c.population, got, c.measured)
		if miss := c.measured - got; miss < c.low || miss > c.high {
			t.Errorf("%s, %s: the model gives %.3f, measured %.3f: a miss of %.3f, stated as %.2f to %.2f", c.name, c.population, got, c.measured, miss, c.low, c.high)
		}
	}
}

// The orderings that every force-plate study above found, for every body alone,
// at the defaults and with either assumption about the hands at either end of its
// range: feet raised > level > hands raised, bent > straight, knees < toes. (At
// both ends at once, 70° and 1, feet on the high box would take weight off.) At
// the defaults the lower box comes in between, as it did on the plates.
func TestOrderOfHandLoads(t *testing.T) {
	for _, population := range sexes {
		for _, hands := range [][2]float64{{80, 0.5}, {70, 0.5}, {90, 0.5}, {80, 0}, {80, 1}} {
			angle, direction := hands[0], hands[1]
			a := assume.Defaults()
			a[assume.PlankAngle], a[assume.PushDirection] = angle, direction
			b := draw(t, population, body.Residual, 300, a)
			shares := func(p hold.Pose) []float64 {
				return solveHold(hold.PushUp, b, hold.Posture{Pose: p}).Value[hold.HandShare]
			}
			order := [][]float64{shares(hold.Pose{hold.HandsRaised: boxOfTwo}), shares(hold.Pose{}), shares(hold.Pose{hold.FeetRaised: boxOfTwo})}
			if a == assume.Defaults() {
				order = [][]float64{order[0], shares(hold.Pose{hold.HandsRaised: foot}), order[1], shares(hold.Pose{hold.FeetRaised: foot}), order[2]}
			}
			bent, knees := shares(hold.Pose{hold.Bent: 1}), shares(hold.Pose{hold.Kneeling: 1})
			for i := range bent {
				for k := range order[1:] {
					if !(order[k][i] < order[k+1][i]) {
						t.Fatalf("%s, plank angle %g, push direction %g, row %d: %.4f on the hands, raising the feet by a step %.4f", population, angle, direction, i, order[k][i], order[k+1][i])
					}
				}
				level := order[len(order)/2][i]
				if !(bent[i] > level && knees[i] < level) {
					t.Fatalf("%s, row %d: level %.4f, bent %.4f, kneeling %.4f", population, i, level, bent[i], knees[i])
				}
			}
		}
	}
}

// The level position over all hand placements, as the band that unpublished
// placement leaves.
func TestLevelBand(t *testing.T) {
	a := assume.Defaults()
	a[assume.PlankAngle] = 90
	low := onHands(t, "ansur2-men", hold.Pose{}, a)
	a[assume.PlankAngle] = 70
	high := onHands(t, "ansur2-men", hold.Pose{}, a)
	t.Logf("level, men: %.3f to %.3f", low, high)
	if !(low < 0.64 && high > 0.67) {
		t.Errorf("the band %.3f to %.3f does not reach from Ebben's 0.64 to Mier's 0.67", low, high)
	}
}
