package said

import (
	"context"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"counterpoise/internal/outcome"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
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
		{tall, hold.Difficulty, summary(2.9, 4.7, 6.7), summary(0.54, 0.57, 0.6), "in 57 of 100 pairs it is harder for one of the tallest (54 to 60)"},
		{tall, hold.Difficulty, summary(-6.7, -4.7, -2.9), summary(0.1, 0.2, 0.35), "in 80 of 100 pairs it is easier for one of the tallest (65 to 90)"},
		{legs, hold.ShoulderMoment, summary(-4, -3, -2), summary(0.25, 0.25, 0.25), "in 75 of 100 pairs it is lower for one of the top group"},
		{legs, hold.ShoulderMoment, summary(-4, -3, -2), outcome.Summary{}, ""},
	} {
		c := &claim.Claim{Demand: test.demand, Contrast: test.by}
		if _, got, _ := Pairs(c, &outcome.Draws{InUnit: test.effect, Greater: test.greater}); got != test.want {
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

// The plates beside the model: the known misses are told as misses, the rest is close,
// and the level push-up of men is what the guides print.
func TestPlates(t *testing.T) {
	rows := Plates()
	misses := map[string]bool{"on knees, men": true, "on knees, women": true, "on knees, 8 men": true, "on knees, 14 men and 9 women": true, "arms bent, men": true}
	for _, r := range rows {
		if math.Abs(r.Model-r.Measured-r.Apart) > 1e-15 {
			t.Errorf("%s, %s: %g less %g is not %g", r.Position, r.Who, r.Model, r.Measured, r.Apart)
		}
		if missed := strings.HasPrefix(r.Says, "a miss"); missed != misses[r.Position+", "+r.Who] {
			t.Errorf("%s, %s: apart by %.3f, told as %q", r.Position, r.Who, r.Apart, r.Says)
		}
	}
	if level := rows[0]; level.Who != "men" || math.Abs(level.Model-0.639) > 0.002 {
		t.Errorf("level push-up of %s: %.4f, the guides print 0.639", level.Who, level.Model)
	}
}

// What is told of a claim is what the plates measured and what the model says in the
// same poses, done again here from the rows; the quote says it too.
func TestMeasuredOf(t *testing.T) {
	row := func(position, who string) PlateRow {
		for _, r := range Plates() {
			if r.Position == position && r.Who == who {
				return r
			}
		}
		t.Fatalf("nobody has measured %s of %s", position, who)
		return PlateRow{}
	}
	for _, c := range []struct {
		claim          string
		effects, poses int
		from, to, who  string // one of the effects
		quoted         string
	}{
		{"push-up-knees", 4, 8, "level, arms straight", "on knees", "women", "for such a change"},
		{"push-up-feet-raised", 2, 6, "level", "feet raised 0.61 m", "14 men and 9 women", "for such a change"},
		{"push-up-hands-raised", 2, 6, "on knees", "hands raised 0.30 m", "14 men and 9 women", "for such a change"},
		{"push-up-tall", 0, 4, "", "", "", hold.PlatesOnStature},
	} {
		shipped, err := study.ShippedClaim(c.claim)
		if err != nil {
			t.Fatal(err)
		}
		m := MeasuredOf(shipped)
		if m == nil || len(m.Effects) != c.effects || len(m.Poses) != c.poses {
			t.Errorf("%s: %+v", c.claim, m)
			continue
		}
		if !strings.Contains(m.Quoted, c.quoted) {
			t.Errorf("%s: quoted as %q", c.claim, m.Quoted)
		}
		found := c.effects == 0
		for _, e := range m.Effects {
			if e.From != c.from || e.To != c.to || e.Who != c.who {
				continue
			}
			found = true
			from, to := row(e.From, e.Who), row(e.To, e.Who)
			for _, x := range [][2]float64{
				{e.Measured, to.Measured - from.Measured}, {e.Model, to.Model - from.Model}, {e.Apart, e.Model - e.Measured},
				{e.MeasuredPercent, 100 * (to.Measured/from.Measured - 1)}, {e.ModelPercent, 100 * (to.Model/from.Model - 1)},
			} {
				if math.Abs(x[0]-x[1]) > 1e-12 {
					t.Errorf("%s: %+v: %g, want %g", c.claim, e, x[0], x[1])
				}
			}
			p := words.DemandOf(hold.HandShare, hold.Equilibrium)
			for _, x := range []float64{e.Measured, e.Model, e.Apart} {
				if !strings.Contains(m.Says, p.Signed(x)) {
					t.Errorf("%s: %s is not in %q", c.claim, p.Signed(x), m.Says)
				}
			}
		}
		if !found {
			t.Errorf("%s: no effect from %s to %s of %s: %+v", c.claim, c.from, c.to, c.who, m.Effects)
		}
		for _, r := range m.Poses {
			if study, _, _ := strings.Cut(r.Source, ","); c.effects == 0 && !strings.Contains(m.Quoted, study) {
				t.Errorf("%s: the quote does not name %s", c.claim, study)
			}
		}
		x := -0.1
		told := &outcome.Result{Claim: shipped, N: 1, Models: []outcome.ModelResult{{}}}
		told.Models[0].Pooled.Draws = alike(x)
		if shipped.Change != nil && !strings.Contains(Quotable(told), m.Quoted) {
			t.Errorf("%s: the quote leaves out what was measured: %s", c.claim, Quotable(told))
		}
	}
	for _, name := range []string{"longer-arms", "forearm-plank-instead"} {
		if c, err := study.ShippedClaim(name); err != nil || MeasuredOf(c) != nil {
			t.Errorf("%s: %+v (%v)", name, MeasuredOf(c), err)
		}
	}
}

// alike are draws that all have one median effect.
func alike(effect float64) *outcome.Draws {
	all := outcome.Summary{P5: &effect, P50: &effect, P95: &effect}
	return &outcome.Draws{Effect: all, InUnit: all}
}

func changeOf(pose hold.Pose) *scenario.Change { return &scenario.Change{Pose: &pose} }

// Nothing is compared across studies, whose people and ways differ.
func TestMeasuredWithinAStudy(t *testing.T) {
	c := &claim.Claim{Demand: hold.HandShare}
	c.Hold, c.Pose = hold.PushUp, hold.Pose{hold.Bent: 1}
	c.Change = changeOf(hold.Pose{hold.HandsRaised: 0.3})
	if m := MeasuredOf(c); m == nil || len(m.Effects) != 0 || len(m.Poses) != 4 {
		t.Errorf("bent, then hands raised: %+v", m)
	}
	c.Pose = hold.Pose{hold.Bent: 1, hold.FeetRaised: 0.3}
	c.Change = changeOf(hold.Pose{hold.Bent: 1, hold.Kneeling: 1})
	if m := MeasuredOf(c); m != nil {
		t.Errorf("poses that nobody has measured: %+v", m)
	}
}

// A pose in which the model misses the plates by more than the effect takes even the
// effect's direction away; one in which it misses by less does not, and where no pose
// is concerned there is nothing to say.
func TestPlatesAgainst(t *testing.T) {
	for _, c := range []struct {
		claim  string
		effect float64
		want   string
	}{
		{"push-up-hands-raised", 0.032, "not even the direction"},
		{"push-up-hands-raised", -0.032, "not even the direction"},
		{"push-up-knees", -0.190, "the effect on the middle person is 0.190 BW"},
		{"push-up-feet-raised", 0.087, ""},
	} {
		shipped, err := study.ShippedClaim(c.claim)
		if err != nil {
			t.Fatal(err)
		}
		m := outcome.ModelResult{}
		m.Pooled.Draws = alike(c.effect)
		result := &outcome.Result{Claim: shipped, N: 1, Models: []outcome.ModelResult{m}}
		got := PlatesAgainst(result)
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s, %+g: %q", c.claim, c.effect, got)
		}
		if outweighed := strings.Contains(c.want, "direction"); PlatesOutweigh(result) != outweighed ||
			strings.Contains(Quotable(result), "misses published force plates by at least as much") != outweighed {
			t.Errorf("%s, %+g: quoted as %q", c.claim, c.effect, Quotable(result))
		}
	}
}

// Changes are said in full, with their amounts and which way they go.
func TestChangeSentence(t *testing.T) {
	for name, want := range map[string]string{
		"longer-arms":              "arms 10 cm longer",
		"longer-arms-same-bars":    "arms 10 cm longer, the hands where they were",
		"l-sit-longer-arms":        "arms 5 cm shorter, mass as it was",
		"larger-body-force":        "every length 5 % larger",
		"wider-shoulders":          "shoulders 2 cm broader",
		"front-lever-lost-weight":  "5 kg less on the trunk",
		"more-upper-body-muscle":   "5 kg more on the upper body (50 % of it muscle that works in the hold)",
		"straddle":                 "legs in a straddle of 45° each instead of legs together",
		"planche-tuck-or-straddle": "legs in a straddle of 60° each instead of legs in the advanced tuck",
		"front-lever-one-leg":      "one leg straight and one tucked instead of legs together",
		"hands-as-wide-as-they-go": "hands as far apart as they go",
		"handstand-wall-push":      "wall distance 30 cm instead of 10 cm",
		"push-up-hands-raised":     "straight knees, hands raised 45 cm",
		"forearm-plank-instead":    "the forearm plank, instead of the push-up",
		"stronger-push":            "how strong untrained adults are: push along the arm, taken as 0.8 instead of 0.5",
		"cross-arms-lowered":       "arms low 15°",
		"cross-reach":              "the third of the people with the largest span for stature against the third with the smallest",
	} {
		c, err := study.ShippedClaim(name)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.ReplaceAll(ChangeSentence(c), "\u00a0", " "); got != want {
			t.Errorf("%s: got  %q\nwant %q", name, got, want)
		}
	}
	for _, name := range study.ClaimNames() {
		c, err := study.ShippedClaim(name)
		if err != nil {
			t.Fatal(err)
		}
		if text := ChangeSentence(c); text == "" || strings.Contains(text, "_") && c.Change.Assume == nil {
			t.Errorf("%s: %q", name, text)
		}
	}
}

// The brief quote of every shipped claim has at most 35 words in every language, and keeps the
// verdict, that it is an estimate, and of what nobody has measured all, or what was measured.
func TestBrief(t *testing.T) {
	for _, r := range Shipped(t) {
		for _, l := range words.Languages {
			text := Brief(r, l)
			if n := wordsIn(text); n > 35 {
				t.Errorf("%s, %s: %d words: %s", r.Claim.Name, l, n, text)
			}
			estimate, _, _ := strings.Cut(l.Say(words.PhraseEstimateOf, "x"), ",")
			verdict, _, _ := strings.Cut(answered(r, l), ":")
			want := []string{verdict[1:], estimate}
			for i, p := range Apart(r) {
				want[0] = l.Sexes(p.People) + ": " + saysOf(r, p, l)
				if i == 0 {
					want = append(want, want[0])
				}
			}
			by, plates := l.Say(words.PhraseByUnmeasured), platesBriefly(r, l)
			if _, _, sized := middleReach(r); plates != "" {
				want = append(want, plates)
			} else if sized && r.Verdict != claim.NoEffect && r.Verdict != claim.NobodyHolds && wordsIn(text+by) <= 35 {
				want = append(want, by)
			}
			if PlatesOutweigh(r) {
				want = append(want, l.Say(words.PhraseOutweighedBriefly))
			}
			for _, part := range want {
				if !strings.Contains(text, part) {
					t.Errorf("%s, %s: no %q in %s", r.Claim.Name, l, part, text)
				}
			}
		}
	}
}

// Where one answer is not for all, each of the people has their own, in the sentence, the list and
// the title; and a size that is open is told with the side of what was said on which it may lie.
func TestPartsAndOpenSizes(t *testing.T) {
	apart, open, rest := 0, 0, 0
	for _, r := range Shipped(t) {
		parts := Apart(r)
		if parts != nil {
			apart++
		}
		for _, l := range words.Languages {
			said := InOneSentence(r, l)
			for _, p := range parts {
				if who := l.Sexes(p.People); !strings.Contains(said, words.Capital(who)+": ") || l == words.English && !strings.Contains(Came(r), "for\u00a0"+who) {
					t.Errorf("%s: %q and %q say nothing of %s", r.Claim.Name, said, Came(r), who)
				}
			}
			if r.Verdict != claim.SizeOpen {
				continue
			}
			size, from, to := CountsAsSaid(r.Claim)
			low, high, _ := widestReach(r)
			if r.Claim.Expect == claim.Decrease {
				low, high = -high, -low
			}
			says := func(p words.Phrase) bool { return strings.Contains(said, strings.TrimPrefix(l.Say(p), "%s")) }
			if open++; says(words.PhraseSizeShort) != (high < size) || says(words.PhraseSizeLess) != (high >= size && low < from && high <= to) {
				t.Errorf("%s: %v to %v where %v to %v counts as said: %s", r.Claim.Name, low, high, from, to, said)
			}
		}
		ofHalf, half := *r, *r.Claim
		half.Share, ofHalf.Claim = 0.5, &half
		if sure := SureBriefly(&ofHalf, words.English); strings.Contains(sure, "nearly all") {
			t.Errorf("%s, of half of the bodies: %s", r.Claim.Name, sure)
		}
		if sure := SureBriefly(r, words.English); !r.Central && !strings.Contains(sure, "; 95 ") {
			t.Errorf("%s: %s", r.Claim.Name, sure)
		} else if strings.Contains(sure, " say ") {
			// What is not counted is named, if it is one in ten or more.
			counted, others := 1.0, strings.Contains(sure, ", others “")
			for _, p := range r.Parts() {
				_, n := mostFrequent(p.Draws)
				counted = min(counted, float64(n)/float64(p.Draws.N))
			}
			if counted < 0.85 && len(tally(r, words.English, ofHundred, func(string, claim.Verdict) string { return "" })) == 1 {
				if rest++; !others {
					t.Errorf("%s: %s", r.Claim.Name, sure)
				}
			}
		}
	}
	if rest == 0 {
		t.Error("no claim leaves draws to name")
	}
	if apart == 0 || open == 0 {
		t.Errorf("%d claims part people, %d leave the size open", apart, open)
	}
}

// How sure a result is takes three lines, each of which says something in every language, with the
// verdict of most draws for each of the people, and names what decides where the verdict is open.
func TestHowSure(t *testing.T) {
	for _, r := range Shipped(t) {
		for _, l := range words.Languages {
			lines := HowSure(r, l)
			for _, line := range lines {
				if line.Of == "" || !strings.HasSuffix(line.Says, ".") || strings.Contains(line.Says, "_") {
					t.Errorf("%s, %s: %+v", r.Claim.Name, l, line)
				}
			}
			if len(lines) != 3 {
				t.Errorf("%s: %d lines", r.Claim.Name, len(lines))
			}
			for _, d := range r.Contrast {
				if most, n := mostFrequent(d.Draws); !strings.Contains(lines[0].Says, l.Answer(most, r.Claim.Expect)) || !strings.Contains(lines[0].Says, l.Effect(words.Share(float64(n)/float64(d.Draws.N)))) {
					t.Errorf("%s, %s: %q", r.Claim.Name, l, lines[0].Says)
				}
			}
			if name, _ := deciding(r); r.Verdict == claim.OpenAssumptions && name != "" && !strings.Contains(lines[1].Says, l.Unknown(name)[1:]) {
				t.Errorf("%s, %s: %s does not stand in %q", r.Claim.Name, l, name, lines[1].Says)
			}
		}
	}
}

// tested tests all shipped claims, for everybody who is shipped, with so many bodies at the
// central assumptions.
func tested(n int) ([]*outcome.Result, error) {
	var results []*outcome.Result
	for _, name := range study.ClaimNames() {
		c, err := study.ShippedClaim(name)
		if err != nil {
			return nil, err
		}
		o := claim.DefaultOptions()
		o.N, o.Others = n, anthro.Names()
		r, err := outcome.Test(context.Background(), c, o)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		results = append(results, r)
	}
	return results, nil
}

// Tested is tested for the tests outside.
func Tested(t *testing.T, n int) []*outcome.Result {
	t.Helper()
	results, err := tested(n)
	if err != nil {
		t.Fatal(err)
	}
	return results
}

// shipped are they with few bodies, once.
var shipped = sync.OnceValues(func() ([]*outcome.Result, error) { return tested(2000) })

// Shipped are the results of all shipped claims, tested once.
func Shipped(t *testing.T) []*outcome.Result {
	t.Helper()
	results, err := shipped()
	if err != nil {
		t.Fatal(err)
	}
	if len(results) < 30 {
		t.Fatalf("%d claims are shipped", len(results))
	}
	return results
}

// Only what was measured is said to have been: the weight on the hands in push-ups.
func TestWhatIsSaidToBeMeasured(t *testing.T) {
	for name, want := range map[string]bool{
		"push-up-knees": true, "push-up-tall": true, "forearm-plank-instead": false, "longer-arms": false, "side-plank-shoulders": false,
	} {
		c, err := study.ShippedClaim(name)
		if err != nil {
			t.Fatal(err)
		}
		if MeasuredOnPlates(c) != want || (Validation(c) == words.NotValidated) == want {
			t.Errorf("%s: %q", name, Validation(c))
		}
	}
}

// Whether a verdict depends on the people is said of settled verdicts alone, by kinds of people
// where all of a kind are of one mind.
func TestWhom(t *testing.T) {
	type said struct {
		people  string
		verdict claim.Verdict
	}
	const notJudged = claim.Verdict(-1)
	for _, test := range []struct {
		said    []said
		depends bool
		want    string
	}{
		{[]said{{"us-women", claim.Supported}, {"us-men", claim.Supported}, {"gymnasts-men", notJudged}}, false, "The verdict does not depend on the people: supported for everybody judged. Not judged: people of gymnasts' sizes."},
		{[]said{{"us-women", claim.LessThanSaid}, {"ansur2-men", claim.Supported}}, false, "The verdict does not depend on the people: supported, though not by the same amount, for everybody judged."},
		{[]said{{"us-women", claim.NoEffect}, {"ansur2-men", claim.NoDifference}}, false, "The verdict does not depend on the people: no difference that matters for everybody judged."},
		{[]said{{"us-women", claim.OpenAssumptions}, {"us-men", claim.OpenSampling}}, false, "Not settled for anybody judged, so whether it depends on the people is not settled either."},
		{[]said{{"us-women", claim.Contradicted}, {"us-men", claim.OpenAssumptions}, {"ansur2-women", claim.Contradicted}, {"ansur2-men", claim.Contradicted}}, false,
			"Contradicted for women and soldiers, not settled for men: whether it depends on the people is not settled."},
		{[]said{{"us-women", claim.NoDifference}, {"us-men", claim.NoDifference}, {"ansur2-women", claim.Supported}, {"ansur2-men", claim.LessThanSaid}, {"us-girls", claim.NoDifference}}, true,
			"It depends on the people: no difference that matters for the public and youths; supported, though not by the same amount, for soldiers. The saying does not carry over from soldiers to the public."},
		{[]said{{"us-women", claim.Supported}, {"us-men", claim.Supported}, {"gymnasts-men", claim.DependsOnBody}, {"climbers-men", claim.Contradicted}, {"ansur2-men", claim.OpenAssumptions}}, true,
			"It depends on the people: supported for the public; depends on the body for people of gymnasts' sizes; contradicted for people of climbers' sizes; not settled for soldiers. What holds for the public does not carry over to people of gymnasts' sizes and people of climbers' sizes."},
		{[]said{{"us-women", claim.Supported}, {"us-men", claim.Contradicted}, {"ansur2-men", claim.Supported}}, true,
			"It depends on the people: supported for women and soldiers; contradicted for men. The saying does not carry over from soldiers to the public."},
	} {
		f := &outcome.ForWhom{}
		for _, s := range test.said {
			j := outcome.Judged{People: s.people}
			if s.verdict != notJudged {
				j.Verdict = &s.verdict
			}
			f.People = append(f.People, j)
		}
		if got := Whom(f); got != test.want || DependsOnWhom(f) != test.depends {
			t.Errorf("%v: got %q, %v\nwant %q", test.said, got, DependsOnWhom(f), test.want)
		}
	}
}

// Beside its answer a picture tells what the same is with the hands where they were, how hard the
// hold as a whole gets, and in how many pairs a contrast is so: in the direction that is claimed, of
// the first model, and of whom where there are several.
func TestAlsoBriefly(t *testing.T) {
	ends := func(low, middle, high float64) outcome.Summary {
		return outcome.Summary{P5: new(low), P50: new(middle), P95: new(high)}
	}
	change := func(demand hold.Demand, d *outcome.Draws) *outcome.Result {
		c := &claim.Claim{Demand: demand, Expect: claim.Increase, Matters: claim.Threshold{Share: 0.01}}
		c.Hold = hold.HumanFlag
		return &outcome.Result{Claim: c, Models: []outcome.ModelResult{{Name: "equilibrium", Pooled: outcome.Outcome{Draws: d}}}}
	}
	contrast := func(expect claim.Direction, people ...string) *outcome.Result {
		c := &claim.Claim{Demand: hold.Difficulty, Expect: expect, Contrast: &claim.Contrast{By: anthro.Of(anthro.Stature), Share: 1.0 / 3}}
		r := &outcome.Result{Claim: c}
		for k, model := range []string{"equilibrium", "two-condition"} {
			for g, name := range people {
				r.Contrast = append(r.Contrast, outcome.ContrastResult{Model: model, People: name, Draws: &outcome.Draws{Greater: ends(0.5, 0.57+0.1*float64(k)-0.06*float64(g), 0.72)}})
			}
		}
		return r
	}
	stay := map[string]outcome.Under{scenario.SameSpacing.String(): {Effect: ends(0.1, 6.5, 10)}}
	difficulty := ends(6.2, 29, 76)
	for _, c := range []struct {
		r    *outcome.Result
		l    words.Language
		want string
	}{
		{change(hold.Difficulty, &outcome.Draws{InUnit: ends(-0.2, 0.4, 1.5), Under: stay}), words.English, "With the hands where they were: 6.5 % harder (0.1 to 10 %)."},
		{change(hold.Difficulty, &outcome.Draws{InUnit: ends(0.1, 6.5, 10), Under: stay}), words.English, ""}, // the same
		{change(hold.Difficulty, &outcome.Draws{InUnit: ends(-0.2, 0.4, 1.5)}), words.English, ""},
		{change(hold.RequiredForce, &outcome.Draws{InUnit: ends(-27, -0.4, 16), Difficulty: &difficulty}), words.English, "The hold as a whole: 29 % harder (6.2 to 76 %)."},
		{change(hold.RequiredForce, &outcome.Draws{InUnit: ends(-27, -0.4, 16), Difficulty: &difficulty}), words.German, "Die Haltung als Ganzes: 29 % schwerer (6,2 bis 76 %)."},
		{contrast(claim.Increase, "us-men", "us-women"), words.English, "Of 100 pairs, one from each group, it is so in 57 (50 to 72) for men and 51 (50 to 72) for women."},
		{contrast(claim.Decrease, "us-men"), words.English, "Of 100 pairs, one from each group, it is so in 43 (28 to 50)."},
		{contrast(claim.Increase, "us-men"), words.German, "Von 100 Paaren, je eine Person aus jeder Gruppe, ist es bei 57 (50 bis 72) so."},
		{contrast(claim.None, "us-men"), words.English, ""},
	} {
		if got := strings.ReplaceAll(AlsoBriefly(c.r, c.l), "\u00a0", " "); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// The range that is told holds what nobody has measured leaves open of each of the people, as nearly
// as anybody would notice; told of the middle of all together it would not for two in five of the shipped
// claims.
func TestNobodyIsOutsideWhatIsTold(t *testing.T) {
	parted := 0
	for _, r := range Shipped(t) {
		if r.Central || len(r.Models) != 1 || r.Verdict == claim.DependsOnBody {
			continue
		}
		low, high, told := middleReach(r)
		if Each(r) != nil && r.Claim.Contrast == nil {
			parted++
		}
		if rows, parts := Entry(r).Models, r.Parts(); Each(r) != nil && Apart(r) == nil && len(rows) != len(parts) {
			t.Errorf("%s: %d rows in a list of claims, of %d parts", r.Claim.Name, len(rows), len(parts))
		}
		for _, p := range r.Parts() {
			e := p.Draws.InUnit
			if !told || e.P5 == nil || e.P95 == nil {
				continue
			}
			near := max(SizesOf(r.Claim, r.Models[0].Model.Statics).Little/2, farFrom*(high-low))
			if *e.P5 < low-near || *e.P95 > high+near {
				t.Errorf("%s, %s: %g to %g, told are %g to %g", r.Claim.Name, p.People, *e.P5, *e.P95, low, high)
			}
		}
	}
	if parted < 10 {
		t.Errorf("%d claims are told of each", parted)
	}
}
