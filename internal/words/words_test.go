package words

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/statics"
)

// writes checks what a table of values is written as.
func writes[T any](t *testing.T, write func(T) string, cases []wanted[T]) {
	t.Helper()
	for _, c := range cases {
		if got := write(c.value); got != c.want {
			t.Errorf("%v: %q, want %q", c.value, got, c.want)
		}
	}
}

type wanted[T any] struct {
	value T
	want  string
}

// One rule for shares: what is not whole is never none or all, and small and large ones
// keep a decimal, so that 0.3 % is never "under 1 %".
func TestShare(t *testing.T) {
	writes(t, Share, []wanted[float64]{
		{0, "0 %"}, {0.0004, "under 0.1 %"}, {0.003, "0.3 %"}, {0.0994, "9.9 %"}, {0.1, "10 %"}, {0.504, "50 %"},
		{0.9, "90 %"}, {0.934, "93.4 %"}, {0.9995, "over 99.9 %"}, {1, "100 %"},
	})
}

// Thousands have commas, from a thousand on.
func TestCount(t *testing.T) {
	writes(t, Count[int], []wanted[int]{{0, "0"}, {999, "999"}, {1000, "1,000"}, {100_000, "100,000"}, {10_000_000, "10,000,000"}, {-4000, "-4,000"}, {-400, "-400"}})
}

// What somebody chose is written as it was chosen.
func TestGiven(t *testing.T) {
	writes(t, Given, []wanted[float64]{{3.7, "3.7"}, {1.5, "1.5"}, {1, "1"}, {0.01, "0.01"}, {-2.25, "−2.25"}, {100 * 0.07, "7"}})
	writes(t, GivenChange, []wanted[float64]{{5, "+5"}, {0, "0"}, {-2.5, "−2.5"}})
	writes(t, Angle, []wanted[float64]{{22.5 * math.Pi / 180, "22.5°"}, {40 * math.Pi / 180, "40°"}, {-4 * math.Pi / 180, "−4°"}})
	writes(t, Length, []wanted[float64]{{0.61, "61 cm"}, {0.6125, "61.25 cm"}})
}

func TestThreshold(t *testing.T) {
	of := func(d hold.Demand, m claim.Threshold) *claim.Claim { return &claim.Claim{Demand: d, Matters: m} }
	writes(t, func(c *claim.Claim) string { return Threshold(c) }, []wanted[*claim.Claim]{
		{of(hold.Difficulty, claim.Threshold{Share: 0.037}), "3.7 % of the baseline"},
		{of(hold.Difficulty, claim.Threshold{Share: 0.015}), "1.5 % of the baseline"},
		{of(hold.Difficulty, claim.Threshold{Share: 0.01}), "1 % of the baseline"},
		{of(hold.HandSpacing, claim.Threshold{Absolute: 0.01}), "1.0 cm"},
		{of(hold.ArmAngle, claim.Threshold{Absolute: math.Pi / 180}), "1.0°"},
		{of(hold.RequiredForce, claim.Threshold{Absolute: 0.02}), "0.020 BW"},
		{of(hold.RequiredForce, claim.Threshold{}), "1 % of the baseline"},
		{of(hold.LeanAngle, claim.Threshold{}), "1.0°"},
	})
}

func TestClaimed(t *testing.T) {
	of := func(d hold.Demand, said *claim.Claimed) *claim.Claim { return &claim.Claim{Demand: d, Claimed: said} }
	writes(t, func(c *claim.Claim) string { return Claimed(c) }, []wanted[*claim.Claim]{
		{of(hold.Difficulty, nil), ""},
		{of(hold.Difficulty, &claim.Claimed{Share: true, Value: 0.5, Low: 0.4, High: 0.6}), "50 % of the baseline (40 to 60 % counts as said)"},
		{of(hold.HandShare, claim.ClaimedAbout(0.1, false)), "0.100 BW (0.075 to 0.125 BW counts as said)"},
		{of(hold.ArmAngle, claim.ClaimedAbout(math.Pi/9, false)), "20.0° (15.0 to 25.0° counts as said)"},
	})
}

func TestSigns(t *testing.T) {
	two := func(write func(float64, int) string) func(float64) string {
		return func(x float64) string { return write(x, 2) }
	}
	writes(t, two(Number), []wanted[float64]{{1.426, "1.43"}, {-0.001, "0.00"}, {-1, "−1.00"}, {math.Inf(-1), "−∞"}})
	writes(t, two(PercentChange), []wanted[float64]{{1.42, "+1.42 %"}, {-0.001, "+0.00 %"}, {-2, "−2.00 %"}})
	writes(t, Correlation, []wanted[float64]{{0.83, "+0.83"}, {0, "+0.00"}, {-0.004, "+0.00"}, {-0.5, "−0.50"}})
	writes(t, SignedEffect, []wanted[float64]{{3.44, "+3.4 %"}, {0, "0 %"}, {-0.01, "0 %"}, {-9.96, "−10 %"}, {math.Inf(1), BeyondReach}, {math.NaN(), BeyondReach}})
	writes(t, func(x float64) string { return StandardError(x, "m") }, []wanted[float64]{{0.00123, "0.12 cm"}, {0, "0 cm"}, {1e-7, "under 0.0001 cm"}})
	force := DemandOf(hold.RequiredForce, hold.Equilibrium)
	writes(t, force.Signed, []wanted[float64]{{0.0364, "+0.036 BW"}, {0.0001, "0 BW"}, {-1, "−1.000 BW"}, {math.NaN(), BeyondReach}, {math.Inf(1), BeyondReach}})
	writes(t, force.Finer().Number, []wanted[float64]{{-0.0364, "−0.0364 BW"}, {-0.00001, "0.0000 BW"}})
	writes(t, DemandOf(hold.HandSpacing, hold.Equilibrium).Number, []wanted[float64]{{0.943, "94.3 cm"}})
	writes(t, DemandOf(hold.ArmAngle, hold.Equilibrium).Number, []wanted[float64]{{41.26, "41.3°"}})
}

func TestPercentile(t *testing.T) {
	writes(t, Percentile, []wanted[float64]{
		{0.001, "below the 1st percentile"}, {0.01, "1st percentile"}, {0.02, "2nd percentile"}, {0.033, "3rd percentile"},
		{0.11, "11th percentile"}, {0.12, "12th percentile"}, {0.213, "21st percentile"}, {0.5, "50th percentile"}, {0.9, "90th percentile"},
		{0.99, "99th percentile"}, {0.9999, "above the 99th percentile"},
	})
	writes(t, Ordinal, []wanted[int]{{111, "111th"}, {121, "121st"}})
}

func TestSpread(t *testing.T) {
	for _, c := range []struct {
		middle, low, high float64
		format            func(float64) string
		want              string
	}{
		{0.951, 0.9, 1.0123, Printer(units.BodyWeights, Metric), "0.951 BW (0.900 to 1.012)"},
		{0.951, 0.951, 0.951, Printer(units.BodyWeights, Metric), "0.951 BW"},
		{0.9511, 0.9510, 0.9512, Printer(units.BodyWeights, Metric), "0.951 BW"},
		{0.95, 0.89, 1.02, DemandPrinter(hold.HandSpacing, Metric), "95.0 cm (89.0 to 102.0)"},
		{0.9525, 0.889, 1.0192, DemandPrinter(hold.HandSpacing, Imperial), "37 1/2 in (35 in to 40 1/8 in)"},
		{1.7, 1.6, 1.75, Printer(units.Length, Imperial), "5 ft 6.9 in (5 ft 3 in to 5 ft 8.9 in)"},
		{0.7, 0.6, 0.8, Printer(units.Angle, Metric), "40.1° (34.4° to 45.8°)"},
		{-34.2, -59.4, 12.3, RoughPrinter(units.Moment, Metric), "−34 N·m (−59 to 12)"},
		{135.58, 67.79, 271.16, RoughPrinter(units.Moment, Imperial), "100 lbf·ft (50 to 200)"},
	} {
		if got := Spread(c.middle, c.low, c.high, c.format); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

func TestOver(t *testing.T) {
	weight := func(s System) func(float64) string { return func(x float64) string { return Weight(x, s) } }
	for _, c := range []struct {
		values []float64
		format func(float64) string
		want   string
	}{
		{[]float64{735.5, 588.4}, weight(Metric), "60 to 75 kg"},
		{[]float64{588.4, 588.5}, weight(Metric), "60 kg"},
		{[]float64{70 * statics.StandardGravity}, weight(Imperial), "154 lb"},
		{[]float64{1.0, 0.7}, RoughPrinter(units.Angle, Metric), "40 to 57°"},
		{[]float64{0.889, 1.0192}, RoughPrinter(units.Length, Imperial), "35 to 40 1/8 in"},
		{[]float64{1.6, 1.75}, Printer(units.Length, Imperial), "5 ft 3 in to 5 ft 8.9 in"},
	} {
		if got := Over(c.values, c.format); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// A change is said in three lengths from one table, with the same numbers.
func TestBodyChange(t *testing.T) {
	ch := &body.Change{Mass: []body.AddedMass{{Region: body.Trunk, Kilograms: -2.5, Working: 0.2}}}
	ch.Of[body.ArmLength], ch.Of[body.ShoulderBreadth], ch.Of[body.Size] = body.Amount{Metres: 0.1}, body.Amount{Share: -0.025}, body.Amount{Share: 0.05}
	for _, c := range []struct {
		parts []string
		want  string
	}{
		{BodyChange(ch, Metric), "arms +10.0 cm, shoulders −2.5 %, every length +5.0 %, −2.5 kg on the trunk (20 % of it working muscle)"},
		{BodyChangeInFull(ch), "arms 10 cm longer, shoulders 2.5 % narrower, every length 5 % larger, 2.5 kg less on the trunk (20 % of it muscle that works in the hold)"},
	} {
		if got := List(c.parts, "nothing"); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
	if got := List(BodyChange(&body.Change{}, Metric), "nothing"); got != "nothing" {
		t.Error(got)
	}
}

// Half a degree of a posture is said.
func TestPosture(t *testing.T) {
	p := hold.Posture{Legs: hold.LegsIn(hold.Straddle, 22.5*math.Pi/180), Tilt: -4 * math.Pi / 180}
	p.Pose[hold.FeetRaised] = 0.61
	p.Pose[hold.Kneeling] = 1
	if got, want := Held(hold.HumanFlag, p, body.Load{body.AtAnkles: 2}), "human flag (straddle 22.5°, kneeling, feet raised 61 cm, tilted −4°, 2 kg at both ankles together)"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := HeldInFull(hold.PushUp, p, body.Load{}), "push-up (legs in a straddle of 22.5° each, kneeling, feet raised 61 cm, tilted by −4°)"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := Held(hold.LSit, hold.Posture{}, body.Load{}); got != "L-sit" {
		t.Error(got)
	}
}

func TestLoads(t *testing.T) {
	vest, more := body.Load{body.AtChest: 10}, body.Load{body.AtChest: 10, body.AtHips: -20.5, body.AtWrists: 1}
	for _, c := range []struct{ got, want string }{
		{Load(body.Load{}), ""},
		{Load(more), "10 kg on the chest, 20.5 kg taken off at the hips and 1 kg at both wrists together"},
		{LoadIn(vest, Imperial), "22.0 lb on the chest"},
		{LoadChange(vest, vest), ""},
		{LoadChange(body.Load{}, vest), "10 kg on the chest"},
		{LoadChange(vest, body.Load{}), "no load instead of 10 kg on the chest"},
		{LoadChange(vest, body.Load{body.AtAnkles: 1}), "1 kg at both ankles together instead of 10 kg on the chest"},
		{LoadChange(vest, body.Load{body.AtChest: 10, body.AtAnkles: 1}), "1 kg at both ankles together"},
		{HeldIn(hold.Planche, hold.Posture{}, vest, Imperial), "planche (22.0 lb on the chest)"},
		{Held(hold.Planche, hold.Posture{}, vest), "planche (10 kg on the chest)"},
		{fmt.Sprint(len(LoadNotes(body.Load{})), len(LoadNotes(vest)), len(LoadNotes(vest, more))), "0 1 2"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}

// Every verdict has its words, under the name that it has in the library.
func TestVerdicts(t *testing.T) {
	for v, w := range Verdicts() {
		if w.Name == "" || w.Short == "" || w.Mark == "" || w.Kind == "" || w.Brief == "" || w.Means(&claim.Claim{Share: 0.9}) == "" {
			t.Errorf("%v: %+v", claim.Verdict(v), w)
		}
		if VerdictMark(claim.Verdict(v).String()) != w.Mark {
			t.Errorf("%v has no mark", claim.Verdict(v))
		}
	}
	if n := len(Verdicts()); claim.Verdict(n-1) != claim.NobodyHolds {
		t.Errorf("%d verdicts have words", n)
	}
	of := &claim.Claim{Share: 0.9, Expect: claim.None}
	for text, want := range map[string]string{
		Verdict(claim.Supported).Means(of):                                                                                "For at least 90 % of bodies the effect is too small to matter, as claimed.",
		Verdict(claim.NoDifference).Means(&claim.Claim{Share: 0.95, Expect: claim.Increase}):                              "At least 95 % of bodies move by too little to matter.",
		Verdict(claim.NoDifference).Means(&claim.Claim{Share: 0.95, Expect: claim.Increase, Contrast: &claim.Contrast{}}): "The groups' medians differ by too little to matter.",
	} {
		if text != want {
			t.Errorf("got %q, want %q", text, want)
		}
	}
}

func TestText(t *testing.T) {
	for got, want := range map[string]string{
		Within("Human flag"): "human flag", Within("L-sit"): "L-sit", Capital("éa"): "Éa", Plain("arm_length"): "arm length",
		And([]string{"a"}): "a", And([]string{"a", "b", "c"}): "a, b and c", And(nil): "",
		NoBreak("1.2 BW·m, 3 % of 4 cm"): "1.2\u00a0BW·m, 3\u00a0% of 4\u00a0cm",
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// Every embedded population is of a survey that is spoken of in words.
func TestEverySurveyHasWords(t *testing.T) {
	for _, name := range anthro.Names() {
		s := SurveyOf(name)
		if s == nil || s.Credit == "" || s.Limits == "" || Sexes(name) == name || !strings.Contains(s.Who, "SEX") {
			t.Errorf("%s: %+v", name, s)
		}
	}
	for _, name := range anthro.Names() {
		if Kind(name) == name || Kind(name) == "" {
			t.Errorf("%s is of no kind", name)
		}
	}
	if got, want := Kinds([]string{"us-men", "ansur2-men", "ansur2-women", "club"}, []string{"us-women", "us-men", "ansur2-men", "ansur2-women", "club"}), "men, soldiers and club"; got != want {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	all := []string{"us-women", "us-men", "ansur2-men", "club.json"}
	if got, want := Drawn(all, func(name string) string { return "people of " + name }), "US women and men of 18 to 59, US Army men of a 2012 survey and people of club.json"; got != want {
		t.Errorf("got  %q\nwant %q", got, want)
	}
	if got := Credits([]string{"ansur2-men", "club.json"}); got != surveys["ansur2"].Credit {
		t.Errorf("%q", got)
	}
}

// A range that is open at an end is said to be.
func TestWhere(t *testing.T) {
	inf := math.Inf(1)
	writes(t, Where, []wanted[anthro.Range]{
		{anthro.Range{Of: anthro.BodyMassIndex, Low: 18.5, High: 22}, "bmi 18.5 to 22 kg/m2"},
		{anthro.Range{Of: anthro.Ratio(anthro.Span, anthro.Stature), Low: 1, High: inf}, "span/stature at least 1"},
		{anthro.Range{Of: anthro.Of(anthro.Stature), Low: -inf, High: 1.6}, "stature at most 1.6 m"},
	})
}

// A pose in which the model is known to miss force plates says so, with what the data says of
// them; another does not, nor does another hold.
func TestKnownMiss(t *testing.T) {
	kneeling, level := hold.Pose{hold.Kneeling: 1}, hold.Pose{}
	got := KnownMiss(hold.PushUp, kneeling)
	for _, p := range hold.ForcePlates() {
		if p.Pose == kneeling && p.Stated != 0 && !strings.Contains(got, p.Study()) {
			t.Errorf("%q does not name %s", got, p.Study())
		}
	}
	if !strings.Contains(got, "give too little") || KnownMiss(hold.PushUp, level) != "" || KnownMiss(hold.FrontLever, kneeling) != "" {
		t.Errorf("on the knees: %q; level: %q; a lever: %q", got, KnownMiss(hold.PushUp, level), KnownMiss(hold.FrontLever, kneeling))
	}
}
