package said

import (
	"strings"

	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// Spread writes a median with its 5–95 % range, or alone where nothing is left open.
func Spread(s person.Spread, format func(float64) string) string {
	return words.Spread(s.Median, s.Low, s.High, format)
}

// PostureOf says at which posture and by which model something was predicted.
func PostureOf(rule hold.Rule, model hold.Model) string {
	switch rule {
	case hold.GivenAngle:
		return "at the measured arm angle"
	case hold.GivenSpacing:
		return "at the measured hand spacing"
	}
	return "at the best posture by " + model.String()
}

// PoolOf sums up how the predictions for several persons did.
func PoolOf(answers []PersonAnswer) []person.Pooled {
	results := make([]*person.Result, len(answers))
	for i := range answers {
		results[i] = answers[i].Result
	}
	return person.Pool(results...)
}

// PersonNotes are the notes of a result, what is rare in the units of the text.
func PersonNotes(r *person.Result, s words.System) []string {
	var notes []string
	if rare := r.Conditioned.Rare; rare != nil {
		notes = append(notes, "rare, check it: "+words.PlainOf(rare.Known.Of)+" "+words.Rarity(rare, s))
	}
	for _, n := range r.Notes {
		if !strings.HasPrefix(n, "rare: ") {
			notes = append(notes, n)
		}
	}
	notes = append(notes, words.LoadNotes(r.Person.Load)...)
	for _, m := range r.Models {
		if m.PossibleAll < 1 && m.Model.Judges() {
			notes = append(notes, "some bodies that fit what was measured cannot be balanced so, however strong; the answer is about the others")
		}
	}
	return notes
}
