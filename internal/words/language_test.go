package words

import (
	"slices"
	"strings"
	"testing"

	"counterpoise/sim/body"
	"counterpoise/sim/claim"
)

// Every language says of every length how much more or less of it there is.
func TestAmounts(t *testing.T) {
	for _, l := range Languages[1:] {
		for c := range body.NumChanges {
			if traits[c][l-1] == "" {
				t.Errorf("%s has no word for %v", l, c)
			}
		}
	}
	var of body.Amounts
	of[body.ArmLength].Metres, of[body.Size].Share = 0.1, -0.05
	for l, want := range map[Language]string{
		English: "10 cm more arm, 5 % less of every length", German: "10 cm mehr Arm, 5 % weniger von jeder Länge", Spanish: "10 cm más de brazo, 5 % menos de cada longitud",
	} {
		if got := strings.ReplaceAll(l.Amounts(of), "\u00a0", " "); got != want {
			t.Errorf("%s: %q, want %q", l, got, want)
		}
	}
	if got := English.Amounts(body.Amounts{}); got != "" {
		t.Errorf("nothing changed is %q", got)
	}
}

// Every language has every phrase, with as much to put in as English has, and an answer for
// every verdict.
func TestPhrases(t *testing.T) {
	for _, l := range Languages {
		for p := range numPhrases {
			text := phrases[l][p]
			if text == "" || strings.Count(text, "%s") != strings.Count(phrases[English][p], "%s") {
				t.Errorf("%s: phrase %d is %q", l, p, text)
			}
		}
		seen := map[string]claim.Verdict{}
		for v := range claim.Verdict(len(verdicts)) {
			text := l.Answer(v, claim.Increase)
			if other, twice := seen[text]; twice || text == "" {
				t.Errorf("%s: %v and %v are both %q", l, v, other, text)
			}
			seen[text] = v
		}
		if l.Answer(claim.Supported, claim.None) == l.Answer(claim.Supported, claim.Increase) {
			t.Errorf("%s: a claim that nothing happens is answered like one that something does", l)
		}
	}
}

// Sizes of effects come out in the language, with nothing English left in them.
func TestEffectsInLanguages(t *testing.T) {
	for _, c := range []struct {
		english string
		want    [NumLanguages]string
	}{
		{"0.2\u00a0% easier to 1.5\u00a0% harder", [...]string{"0.2\u00a0% easier to 1.5\u00a0% harder", "0,2\u00a0% leichter bis 1,5\u00a0% schwerer", "0,2\u00a0% más fácil a 1,5\u00a0% más difícil"}},
		{"36 to 44\u00a0% easier", [...]string{"36 to 44\u00a0% easier", "36 bis 44\u00a0% leichter", "36 a 44\u00a0% más fácil"}},
		{"no change", [...]string{"no change", "keine Änderung", "ningún cambio"}},
		{"100,000 women", [...]string{"100,000 women", "100.000 Frauen", "100.000 mujeres"}},
	} {
		for l, want := range c.want {
			if got := Language(l).Effect(c.english); got != want {
				t.Errorf("%s: %q, want %q", Language(l), got, want)
			}
		}
	}
	english := []string{"easier", "harder", "lower", "higher", "smaller", "larger", "closer", "wider"}
	for _, l := range Languages[1:] {
		for _, word := range english {
			if got := l.Effect(word); slices.Contains(english, got) {
				t.Errorf("%s: %q stays %q", l, word, got)
			}
		}
	}
}
