package report

import (
	"strings"
	"testing"

	"counterpoise/internal/study"
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
		"straddle":                 "legs in a straddle of 45° each in place of legs together",
		"planche-tuck-or-straddle": "legs in a straddle of 60° each in place of legs in the advanced tuck",
		"front-lever-one-leg":      "one leg straight and one tucked in place of legs together",
		"hands-as-wide-as-they-go": "hands as far apart as they go",
		"handstand-wall-push":      "wall distance 30 cm in place of 10 cm",
		"push-up-hands-raised":     "straight knees, hands raised 45 cm",
		"forearm-plank-instead":    "the forearm plank, in place of the push-up",
		"stronger-push":            "how strong untrained adults are: push along the arm, taken as 0.8 in place of 0.5",
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
