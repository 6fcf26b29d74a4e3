package report

import (
	"strings"
	"testing"

	"counterpoise/internal/outcome"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// A force that falls while the hold gets harder must not stand alone: neither in the
// headline nor in the sentence to quote. Turning both round turns the words round.
func TestDifficultyThatMovesTheOtherWayIsSaid(t *testing.T) {
	moved := func(force, difficulty float64) (*claim.Claim, *outcome.ModelResult) {
		m := &outcome.ModelResult{Model: scenario.Model{Statics: hold.Equilibrium}, Name: "equilibrium"}
		m.Pooled.Quantity.Effect.P50 = &force
		m.Pooled.Beside = map[string]outcome.Movement{hold.Difficulty.String(): {Effect: outcome.Summary{P50: &difficulty}}}
		return &claim.Claim{Demand: hold.RequiredForce, Scenario: scenario.Scenario{Change: &scenario.Change{}}}, m
	}
	for _, c := range []struct {
		force, difficulty float64
		want              string
	}{
		{-0.48, 1.525, ", but the difficulty (demand over capacity) rises by 1.525"},
		{0.48, -1.525, ", but the difficulty (demand over capacity) falls by 1.525"},
		{0.48, 1.525, ""},
		{-0.48, 0.0004, ""}, // nothing of it is left in the digits shown
		{-0.0004, 1.525, ""},
	} {
		if got := difficultyOtherWay(moved(c.force, c.difficulty)); got != c.want {
			t.Errorf("force %+g, difficulty %+g: %q, want %q", c.force, c.difficulty, got, c.want)
		}
	}
	claimed, m := moved(-0.48, 1.525)
	claimed.Demand = hold.ArmAngle // an angle is neither harder nor easier
	if got := difficultyOtherWay(claimed, m); got != "" {
		t.Errorf("an angle: %q", got)
	}
}

func TestDriverWordsClaimNoMoreThanTheDrawsShow(t *testing.T) {
	split, alike := map[string]int{"supported": 100, "contradicted": 28}, map[string]int{"supported": 128}
	for _, c := range []struct {
		verdicts    map[string]int
		correlation float64
		want        string
	}{
		{split, 0.9, "; what decides most: where the floor's force on the hands points in push-ups and planks (push_direction, rank correlation +0.90)"},
		{split, -0.18, "; no single assumption decides, the most telling: "},
		{alike, -0.9, "; what moves the effect most: "},
	} {
		got := driverWords(&outcome.Draws{N: 128, Verdicts: c.verdicts, Driver: &outcome.AssumptionDriver{Name: "push_direction", Correlation: c.correlation}})
		if !strings.HasPrefix(got, c.want) {
			t.Errorf("%v, %g: %q, want %q", c.verdicts, c.correlation, got, c.want)
		}
	}
	if got := driverWords(&outcome.Draws{N: 128, Verdicts: alike}); got != "" {
		t.Errorf("no driver: %q", got)
	}
}

// Where populations' verdicts differ the sentence says how, and which population tells
// best for whom the claim holds; a trait that tells nobody apart is not named.
func TestBodySentence(t *testing.T) {
	group := func(people string, v claim.Verdict, share, low, high float64) outcome.Outcome {
		return outcome.Outcome{People: people, Verdict: v, AsClaimed: outcome.Share{Value: share}, Trait: &outcome.Trait{Name: "stature", ShareLow: low, ShareHigh: high}}
	}
	sentence := func(pooled float64, groups ...outcome.Outcome) string {
		m := outcome.ModelResult{Name: "equilibrium", Groups: groups}
		m.Pooled.AsClaimed.Value = pooled
		return bodySentence(&outcome.Result{Models: []outcome.ModelResult{m}})
	}
	got := sentence(0.5, group("ansur2-men", claim.TooSmall, 0.1, 0.1, 0.2), group("ansur2-women", claim.DependsOnBody, 0.9, 0.3, 0.99))
	want := "Under equilibrium it is as claimed for 50 % of bodies (men 10 %, women 90 %); among women for 30 % of the third with the smallest stature " +
		"and 99.0 % of the third with the largest; the populations' verdicts differ: men “too small to matter”, women “depends on the body”."
	if got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	got = sentence(1, group("ansur2-men", claim.Supported, 1, 1, 1), group("ansur2-women", claim.Supported, 1, 1, 1))
	if want = "Under equilibrium it is as claimed for 100 % of bodies."; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}
