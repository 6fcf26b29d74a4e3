package said

import (
	"strings"
	"testing"

	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
)

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

// The brief quote of every shipped claim has at most 35 words, and keeps the verdict, the
// size, that nobody has measured all of it, the people, and that it is an estimate.
func TestBrief(t *testing.T) {
	for _, r := range Shipped(t) {
		text := Brief(r)
		if n := wordsIn(text); n > 35 {
			t.Errorf("%s: %d words: %s", r.Claim.Name, n, text)
		}
		want := []string{words.Verdict(r.Verdict).Short, "Model estimate", words.Kind(r.Claim.People[0].Population)}
		if _, _, sized := middleReach(r); sized && r.Verdict != claim.NoEffect && r.Verdict != claim.NobodyHolds {
			want = append(want, "by what nobody has measured")
		}
		for _, part := range want {
			if !strings.Contains(text, part) && !(part == words.Kind(r.Claim.People[0].Population) && strings.Contains(text, PeopleWords(r))) {
				t.Errorf("%s: no %q in %s", r.Claim.Name, part, text)
			}
		}
	}
}

// How sure a result is takes three lines, each of which says something, with the share of
// the draws of each of the people, and names what decides where the verdict is open.
func TestHowSure(t *testing.T) {
	for _, r := range Shipped(t) {
		lines := HowSure(r)
		for _, line := range lines {
			if line.Of == "" || !strings.HasSuffix(line.Says, ".") || strings.Contains(line.Says, "_") {
				t.Errorf("%s: %+v", r.Claim.Name, line)
			}
		}
		if len(lines) != 3 {
			t.Errorf("%s: %d lines", r.Claim.Name, len(lines))
		}
		for _, d := range r.Contrast {
			if want := eachVerdict(d.Draws)[0]; !strings.Contains(lines[0].Says, want) {
				t.Errorf("%s: no %q in %q", r.Claim.Name, want, lines[0].Says)
			}
		}
		if name, _ := deciding(r); r.Verdict == claim.OpenAssumptions && name != "" && !strings.Contains(strings.ToLower(lines[1].Says), strings.ToLower(plainDecider(name))) {
			t.Errorf("%s: %s does not stand in %q", r.Claim.Name, name, lines[1].Says)
		}
	}
}
