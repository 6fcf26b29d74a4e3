package hold_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// onHands returns the mean share of body weight on the hands of drawn bodies.
func onHands(t *testing.T, population string, p hold.Pose, a assume.Set) float64 {
	t.Helper()
	r := draw(t, population, body.Residual, 1000, a).Solve(hold.PushUp, hold.Posture{Pose: p}, hold.Equilibrium)
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

// Push-ups held against force plates, misses first in VALIDATION.md. Where the model agrees, a measured mean is
// asked to lie within a standard deviation of Mier's, or within 0.08 of peaks of the
// moving exercise. The misses are held where they are, to 0.015, so that they stay
// stated.
func TestHandLoadsOfForcePlates(t *testing.T) {
	a := assume.Defaults()
	misses := 0
	var missed, agreed strings.Builder
	for _, p := range hold.ForcePlates() {
		got := 0.0
		for population, n := range map[string]int{"ansur2-men": p.Men, "ansur2-women": p.Women} {
			if n > 0 {
				got += float64(n) * onHands(t, population, p.Pose, a) / float64(p.Men+p.Women)
			}
		}
		measured := fmt.Sprintf("%.3g", p.Measured)
		if p.SD > 0 {
			measured = fmt.Sprintf("%.3f ± %.3f", p.Measured, p.SD)
		}
		row := fmt.Sprintf("%s | %.3f | %s | %+.3f | %s; %s |\n", p.Position, got, measured, got-p.Measured, p.Who, p.Source)
		allowed := 0.08
		switch {
		case p.Stated != 0:
			misses++
			allowed = 0.015
		case p.SD > 0:
			allowed = p.SD
		case p.Men > 0 && p.Women == 0: // Gouvali & Boudolos held the position: Mier's spread
			allowed = 0.038
		}
		far := 0.03 // where it is not published how far people differ
		if p.SD > 0 {
			far = p.SD
		}
		if p.Stated != 0 || math.Abs(p.Measured-got) > far {
			missed.WriteString("| **miss:** " + row)
		} else {
			agreed.WriteString("| " + row)
		}
		if miss := p.Measured - got; !(math.Abs(miss-p.Stated) <= allowed) {
			t.Errorf("%s, %s: the model gives %.3f, measured %.3f: apart by %.3f, stated is %.3f within %.3f", p.Position, p.Who, got, p.Measured, miss, p.Stated, allowed)
		}
	}
	if misses != 5 {
		t.Errorf("%d misses are stated, 5 are known", misses)
	}
	golden.Section(t, "sim/VALIDATION.md", "force plates", "| push-up | model | measured | difference | who, source |\n|---|---|---|---|---|\n"+missed.String()+agreed.String())
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
			a[assume.PlankAngle], a[assume.PushDirection] = angle*math.Pi/180, direction
			b := draw(t, population, body.Residual, 300, a)
			shares := func(p hold.Pose) []float64 {
				return b.Solve(hold.PushUp, hold.Posture{Pose: p}, hold.Equilibrium).Value[hold.HandShare]
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
	a[assume.PlankAngle] = math.Pi / 2
	low := onHands(t, "ansur2-men", hold.Pose{}, a)
	a[assume.PlankAngle] = 7 * math.Pi / 18
	high := onHands(t, "ansur2-men", hold.Pose{}, a)
	t.Logf("level, men: %.3f to %.3f", low, high)
	if !(low < 0.64 && high > 0.67) {
		t.Errorf("the band %.3f to %.3f does not reach from Ebben's 0.64 to Mier's 0.67", low, high)
	}
}
