package words

import (
	"slices"
	"strings"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Every language says of every length how much more or less of it there is.
func TestAmounts(t *testing.T) {
	for _, l := range Languages[1:] {
		for c := range body.NumChanges {
			if traits[c][l-1][0] == "" || traits[c][l-1][1] == traits[c][l-1][2] {
				t.Errorf("%s has no words for %v", l, c)
			}
		}
	}
	var of body.Amounts
	of[body.ArmLength].Metres, of[body.Size].Share = 0.1, -0.05
	for l, want := range map[Language]string{
		English: "arms 10 cm longer, every length 5 % smaller", German: "Arme 10 cm länger, alle Längen 5 % kleiner", Spanish: "brazos 10 cm más largos, todas las medidas 5 % menores",
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

// Every language says of everything that nobody has measured what it is, each in its own words, and
// of every part of a pose and of every person in the middle.
func TestNothingIsWithoutWords(t *testing.T) {
	for _, l := range Languages {
		seen := map[string]assume.ID{}
		for _, a := range assume.All() {
			text := l.Unknown(a.Name)
			if other, twice := seen[text]; twice || text == "" || strings.HasSuffix(text, ": ") {
				t.Errorf("%s: %s and %s are both %q", l, a.Name, other, text)
			}
			seen[text] = a.ID
		}
		for _, of := range append(untrainedAdults[:], untrainedYouths[:]...) {
			if average, same := l.Average(of); average == "" || same == "" || average == same {
				t.Errorf("%s: %q, %q", l, average, same)
			}
		}
	}
	for _, l := range Languages[1:] {
		for v := range hold.NumVariants {
			if text := variantsOf[v][l-1]; text == "" || strings.Contains(text, "%s") != (v.Info().Unit != "") {
				t.Errorf("%s: %v is %q", l, v, text)
			}
		}
		for r := range body.NumRegions {
			if regionsOf[r][l-1] == "" {
				t.Errorf("%s has no words for mass on %v", l, r)
			}
		}
		for f := range hold.NumLegForms {
			if legForms[f][l-1] == "" {
				t.Errorf("%s has no words for legs %v", l, f)
			}
		}
	}
}

// People are named in the language, with none of the English left in it.
func TestPeopleInLanguages(t *testing.T) {
	for _, c := range []struct {
		population string
		want       [NumLanguages]string
	}{
		{"us-men", [...]string{"men", "Männer", "hombres"}},
		{"ansur2-women", [...]string{"Army women", "US-Soldatinnen", "mujeres soldado"}},
		{"climbers-men", [...]string{"men of climbers' sizes", "Männer mit Klettermaßen", "hombres con talla de escalador"}},
		{"my-women", [...]string{"my-women", "my-women", "my-women"}},
	} {
		for l, want := range c.want {
			if got := Language(l).Sexes(c.population); got != want {
				t.Errorf("%s: %s is %q, want %q", Language(l), c.population, got, want)
			}
		}
	}
	both := []string{"ansur2-men", "ansur2-women", "us-men"}
	for l, want := range [...]string{"soldiers and men", "US-Soldaten und Männer", "soldados estadounidenses y hombres"} {
		if got := Language(l).People(both, append(both, "us-women")); got != want {
			t.Errorf("%s: %q, want %q", Language(l), got, want)
		}
	}
}
