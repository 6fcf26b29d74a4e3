//go:build ignore

package claim_test

import (
	"fmt"
	"math"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
)

// exponentModel has one assumption open, the exponent β with which strength grows, so
// that what a larger body does to the difficulty follows by hand in every draw: it grows
// by s^(p(1−β)), the same for everybody.
func exponentModel(t *testing.T, text string, low, high float64) claim.ModelResult {
	t.Helper()
	c := written(t, text)
	c.Assumptions = c.Assumed()
	for id := range assume.Count {
		if err := c.Assumptions.Fix(id, c.Assumptions.Centre[id]); err != nil {
			t.Fatal(err)
		}
	}
	if err := c.Assumptions.Spread(assume.StrengthExponent, low, high); err != nil {
		t.Fatal(err)
	}
	return test(t, c, func(o *claim.Options) { o.N, o.MaxN, o.Draws = 2000, 2000, 128 }).Models[0]
}

// grows is by how many per cent the difficulty of a body 5 % larger grows.
func grows(beta float64) float64 {
	p := assume.Defaults()[assume.SizeExponent]
	return 100 * (math.Pow(1.05, p*(1-beta)) - 1)
}

const larger = head + "change: {size: +5 %}\nquantity: difficulty\nmodels: equilibrium\n"

// Quantiles over the draws are those of what the draws give: of 128 draws spread evenly
// over β one lies in each 128th of the range.
func TestQuantilesOverTheDraws(t *testing.T) {
	const low, high = 0.5, 0.9
	m := exponentModel(t, larger+"expect: increase\nmatters: 1 %\n", low, high)
	d := m.Draws
	for _, c := range []struct {
		p   float64
		got float64
	}{{0.05, d.MedianPercent.P5}, {0.5, d.MedianPercent.P50}, {0.95, d.MedianPercent.P95}} {
		// The effect falls with β. Beside a draw's place the histogram is 0.05 % wide.
		rank := math.Round(c.p * 127)
		most, least := grows(high-(high-low)*(rank+1)/128)*1.002, grows(high-(high-low)*rank/128)*0.998
		least, most = math.Min(least, most), math.Max(least, most)
		if c.got < least || c.got > most {
			t.Errorf("the %g-quantile of the median effects is %.4f %%, want %.4f to %.4f %%", c.p, c.got, least, most)
		}
		if at := d.MedianAt(c.p); at != c.got {
			t.Errorf("MedianAt(%g) is %v, in the summary %v", c.p, at, c.got)
		}
	}
	if least, most := d.MedianAt(0), d.MedianAt(1); !(least < d.MedianPercent.P5 && d.MedianPercent.P95 < most) {
		t.Errorf("the draws reach from %v to %v, 5–95 %% of them from %v to %v", least, most, d.MedianPercent.P5, d.MedianPercent.P95)
	}
	if d.MedianEffect.P5 >= d.MedianEffect.P50 || d.MedianEffect.P50 >= d.MedianEffect.P95 {
		t.Errorf("the median effects are %v, %v, %v", d.MedianEffect.P5, d.MedianEffect.P50, d.MedianEffect.P95)
	}
	// In the quantity's own unit they are that share of a usual body's.
	before := m.Pooled.Quantity.Baseline
	if of := d.MedianEffect.P50 / (d.MedianPercent.P50 / 100); !(of > before.P5 && of < before.P95) {
		t.Errorf("a median effect of %v is %v %% of %v, want of %v to %v", d.MedianEffect.P50, d.MedianPercent.P50, of, before.P5, before.P95)
	}
}

// Of the draws some have everybody as claimed and some nobody: bands, counts and verdict
// say how many, whichever direction is claimed, and none.
func TestShareOfTheDraws(t *testing.T) {
	const low, high = 0.5, 0.9
	for _, supported := range []float64{0.02, 0.25, 0.75, 0.98} { // of the draws, the effect is above the threshold
		threshold := grows(low + (high-low)*supported)
		above := int(math.Round(128 * supported))
		none, all := claim.TooSmall, claim.Supported
		for _, c := range []struct {
			expect           string
			atLeast, below   claim.Verdict // the verdicts of draws above the threshold and of the others
			claimed, against [2]bool
		}{
			{"increase", all, none, [2]bool{true, false}, [2]bool{false, false}},
			{"decrease", claim.Contradicted, none, [2]bool{false, false}, [2]bool{true, false}},
			{"none", claim.Contradicted, all, [2]bool{false, true}, [2]bool{true, false}},
		} {
			text := larger + fmt.Sprintf("expect: %s\nmatters: %.6f %%\n", c.expect, threshold)
			m := exponentModel(t, text, low, high)
			name := fmt.Sprintf("%s, %g of the draws above what matters", c.expect, supported)
			if got := m.Draws.Verdicts[c.atLeast]; got < above-2 || got > above+2 || got+m.Draws.Verdicts[c.below] != 128 {
				t.Errorf("%s: the draws say %v", name, m.Draws.Verdicts)
			}
			if most := math.Max(supported, 1-supported); !(math.Abs(m.Draws.Agreement-most) <= 2.5/128) {
				t.Errorf("%s: %g agree", name, m.Draws.Agreement)
			}
			want := claim.DependsOnAssumptions
			if supported > 0.95 {
				want = c.atLeast
			} else if supported < 0.05 {
				want = c.below
			}
			if m.Verdict != want {
				t.Errorf("%s: %s, want %s", name, m.Verdict, want)
			}
			// A share of the bodies is 1 or 0 in each draw, so a quantile over the draws
			// is 1 where more than the rest of the draws have it.
			for _, share := range []struct {
				of   string
				band claim.Summary
				in   [2]bool
			}{{"as claimed", m.Draws.AsClaimed, c.claimed}, {"against", m.Draws.Against, c.against}} {
				ones := 0.0
				if share.in[0] {
					ones += supported
				}
				if share.in[1] {
					ones += 1 - supported
				}
				for p, got := range map[float64]float64{0.05: share.band.P5, 0.5: share.band.P50, 0.95: share.band.P95} {
					want := 0.0
					if ones > 1-p {
						want = 1
					}
					if got != want {
						t.Errorf("%s: the %g-quantile of the share %s is %v, want %v", name, p, share.of, got, want)
					}
				}
			}
		}
	}
}

// A contrast that is claimed to be none is contradicted by a difference either way that
// matters and supported where none matters, at the central assumptions and in the draws.
func TestContrastOfNone(t *testing.T) {
	for _, c := range []struct {
		by, matters, expect string // what tells the groups apart, and the way that the difference has
		want                claim.Verdict
	}{
		{"stature", "0.1 %", "increase", claim.Contradicted},
		{"stature", "90 %", "increase", claim.Supported},
		{"stature/mass", "0.1 %", "decrease", claim.Contradicted},
	} {
		run := func(expect string) []claim.ContrastResult {
			text := head + "contrast: {by: " + c.by + ", groups: thirds}\nquantity: difficulty\nmodels: equilibrium\nmatters: " + c.matters + "\nexpect: " + expect + "\n"
			return test(t, written(t, text), func(o *claim.Options) { o.N, o.MaxN, o.Draws, o.DrawBodies = 6000, 6000, 128, 2000 }).Contrast
		}
		none := run("none")
		for k, way := range run(c.expect) {
			none := none[k]
			if way.Difference != none.Difference || (way.Difference.Value < 0) != (c.expect == "decrease") {
				t.Errorf("by %s: the difference is %+v where %s is expected, %+v where none is", c.by, way.Difference, c.expect, none.Difference)
			}
			if none.Verdict != c.want {
				t.Errorf("by %s, matters %s: none is %s, want %s; %+v", c.by, c.matters, none.Verdict, c.want, none.Difference)
			}
			said := way.Draws.Verdicts
			if none.Draws.Verdicts[claim.Contradicted] != said[claim.Supported]+said[claim.Contradicted] || none.Draws.Verdicts[claim.Supported] != said[claim.TooSmall] {
				t.Errorf("by %s, matters %s: the draws say %v where %s is expected, %v where none is", c.by, c.matters, said, c.expect, none.Draws.Verdicts)
			}
		}
	}
}
