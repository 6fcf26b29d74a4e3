// Package wording puts answers for one person into sentences and into the summary
// that --json prints. It draws no pictures, so that a page's own program stays
// small. Every statement of a direction is read off the sign of a result.
package wording

import (
	"strings"

	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// Strap says under the program's name what it is.
const Strap = "simulated bodies drawn from surveys"

// NotValidated stands under every number about a hold for which no measured
// force has been published.
const NotValidated = "Model estimate, not validated by measured forces."

// CautionYoung is of those who still grow.
const CautionYoung = "Loads that adult bones can take may hurt the growth plates of children and youths: let a coach and a clinician decide, and practise such holds under supervision."

// Cautions are printed wherever somebody might act on a number.
const Cautions = "A statics estimate is not medical or training advice. Straight-arm holds load shoulders, elbows and wrists: " +
	"progress gradually, and with a qualified coach or clinician where there is pain or a history of injury. " +
	CautionYoung + " " +
	"A pole or bar must be rated for the load and installed to local code by a competent person."

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
