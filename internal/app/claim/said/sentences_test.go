package said

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
	around := func(x float64) outcome.Summary { return outcome.Summary{P5: new(x - 1), P50: &x, P95: new(x + 1)} }
	moved := func(force, difficulty float64) (*claim.Claim, *outcome.ModelResult) {
		m := &outcome.ModelResult{Model: scenario.Model{Statics: hold.Equilibrium}, Name: "equilibrium"}
		harder := around(difficulty)
		m.Pooled.Draws = &outcome.Draws{InUnit: around(force), Difficulty: &harder}
		return &claim.Claim{Demand: hold.RequiredForce, Scenario: scenario.Scenario{Change: &scenario.Change{}}}, m
	}
	for _, c := range []struct {
		force, difficulty float64
		want              string
	}{
		{-4.8, 15.25, "; but it gets 15 % harder (14 to 16 % over what nobody has measured)"},
		{4.8, -15.25, "; but it gets 15 % easier (14 to 16 % over what nobody has measured)"},
		{4.8, 15.25, ""},
		{-4.8, 0.04, ""}, // nothing of it is left in the digits shown
		{-0.04, 15.25, ""},
	} {
		if got := strings.ReplaceAll(difficultyOtherWay(moved(c.force, c.difficulty)), "\u00a0", " "); got != c.want {
			t.Errorf("force %+g, difficulty %+g: %q, want %q", c.force, c.difficulty, got, c.want)
		}
	}
	claimed, m := moved(-4.8, 15.25)
	m.Pooled.Draws.Difficulty = nil // of an angle, which is neither harder nor easier
	if got := difficultyOtherWay(claimed, m); got != "" {
		t.Errorf("an angle: %q", got)
	}
}

// What decides is named only where the verdict is open.
func TestDecisiveWords(t *testing.T) {
	decisive := &outcome.Decisive{Name: "push_direction", OfVerdict: outcome.Interval{Value: 0.9, Low: 0.8, High: 1}}
	for _, c := range []struct {
		high     float64
		decisive *outcome.Decisive
		want     string
	}{
		{0.6, decisive, "; where the floor's force on the hands points in push-ups and planks (push_direction) decides 90 % of that"},
		{0.6, nil, "; no single thing decides it"},
		{1, nil, ""},
	} {
		if got := decisiveWords(&outcome.Draws{N: 512, Agreement: outcome.Share{High: c.high}, Decisive: c.decisive}); got != c.want {
			t.Errorf("agreement up to %g: %q, want %q", c.high, got, c.want)
		}
	}
}

// Where populations' verdicts differ the sentence says how, and which population tells
// best for whom the claim holds; a trait that tells nobody apart is not named.
func TestBodySentence(t *testing.T) {
	group := func(people string, v claim.Verdict, share, low, high float64) outcome.Outcome {
		return outcome.Outcome{People: people, Verdict: v, Draws: &outcome.Draws{AsClaimed: outcome.Summary{P50: &share}}, Trait: &outcome.Trait{Name: "stature", ShareLow: low, ShareHigh: high}}
	}
	sentence := func(groups ...outcome.Outcome) string {
		return bodySentence(&outcome.Result{Models: []outcome.ModelResult{{Name: "equilibrium", Groups: groups}}})
	}
	got := sentence(group("ansur2-men", claim.NoDifference, 0.1, 0.1, 0.2), group("ansur2-women", claim.DependsOnBody, 0.9, 0.3, 0.99))
	want := "Army men “no difference that matters”, as claimed for 10 % of them; Army women “depends on the body”, as claimed for 90 % of them; " +
		"among Army women more often with larger stature. "
	if got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}
