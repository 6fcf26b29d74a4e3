package said

import (
	"strings"
	"testing"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Of pairs is told what the difference goes towards: of a contrast that makes something
// easier, how often it is easier for the one of the top group, over the same draws.
func TestPairs(t *testing.T) {
	tall := &claim.Contrast{By: anthro.Of(anthro.Stature), Share: 1.0 / 3}
	legs := &claim.Contrast{By: anthro.Ratio(anthro.TrochanterionHeight, anthro.Stature), Share: 1.0 / 3}
	summary := func(low, middle, high float64) outcome.Summary {
		return outcome.Summary{P5: new(low), P50: new(middle), P95: new(high)}
	}
	for _, test := range []struct {
		by              *claim.Contrast
		demand          hold.Demand
		effect, greater outcome.Summary
		want            string
	}{
		{tall, hold.Difficulty, summary(2.9, 4.7, 6.7), summary(0.54, 0.57, 0.6), "in 54 to 60 of 100 pairs it is harder for one of the tallest"},
		{tall, hold.Difficulty, summary(-6.7, -4.7, -2.9), summary(0.1, 0.2, 0.35), "in 65 to 90 of 100 pairs it is easier for one of the tallest"},
		{legs, hold.ShoulderMoment, summary(-4, -3, -2), summary(0.25, 0.25, 0.25), "in 75 of 100 pairs it is lower for one of the top group"},
		{legs, hold.ShoulderMoment, summary(-4, -3, -2), outcome.Summary{}, ""},
	} {
		c := &claim.Claim{Demand: test.demand, Contrast: test.by}
		if got, _ := Pairs(c, &outcome.Draws{InUnit: test.effect, Greater: test.greater}); got != test.want {
			t.Errorf("got %q, want %q", got, test.want)
		}
	}
}

// Sizes whose ends go different ways name both ways.
func TestBetween(t *testing.T) {
	s := words.SizesOf(hold.Difficulty, hold.Equilibrium)
	for _, test := range []struct {
		low, high float64
		want      string
	}{
		{1.7, 4.9, "1.7 to 4.9 % harder"}, {-4.9, -1.7, "1.7 to 4.9 % easier"}, {-1.2, 3, "1.2 % easier to 3.0 % harder"}, {0, 3, "0 to 3.0 % harder"}, {-3, 0, "0 to 3.0 % easier"}, {0, 0, "no change"},
	} {
		if got := strings.ReplaceAll(s.Between(test.low, test.high), "\u00a0", " "); got != test.want {
			t.Errorf("%g to %g: got %q, want %q", test.low, test.high, got, test.want)
		}
	}
}
