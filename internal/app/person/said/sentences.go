package said

import (
	"fmt"
	"slices"

	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// PersonSentences are what goes with the headline: what tests show, what the spread
// comes from, and what measuring would narrow it.
func PersonSentences(a *PersonAnswer, s words.System) []string {
	var sentences []string
	if a.Ready != nil {
		if says := ReadinessHeadline(a.Ready, s); says != "" {
			sentences = append(sentences, says)
		}
	}
	possible := judgingOf(possibleModels(a))
	for _, m := range possible {
		by := ""
		if len(possible) > 1 {
			by = ", by " + m.Model.String()
		}
		main, _ := m.Quantity(m.Main)
		if main.FromBody+main.FromAssumptions > 0 {
			open := "the body"
			if a.Person.Tests != nil {
				open += " and its strength"
			}
			sentences = append(sentences, fmt.Sprintf("Of the spread of %s%s, %s comes from what is not known about %s and %s from the assumptions, which nobody has measured.",
				words.Noun(m.Main, m.Model), by, words.Share(main.FromBody), open, words.Share(main.FromAssumptions)))
		}
		if next := nextSentence(m, by); next != "" {
			sentences = append(sentences, next)
		}
	}
	return sentences
}

// possibleModels are those under which some body can take the posture.
func possibleModels(a *PersonAnswer) []*person.ModelResult {
	var possible []*person.ModelResult
	for i := range a.Models {
		if m := &a.Models[i]; m.PossibleAll > 0 {
			possible = append(possible, m)
		}
	}
	return possible
}

// judgingOf returns those of the models that may be judged by.
func judgingOf(models []*person.ModelResult) []*person.ModelResult {
	return slices.DeleteFunc(slices.Clone(models), func(m *person.ModelResult) bool { return !m.Model.Judges() })
}

// Taught says what the lift-and-turn rule that is taught asks of a person, and why
// nothing rests on it: no place for the hands is told by it. It is empty where the rule
// has no answer.
func Taught(a *PersonAnswer, s words.System) string {
	for _, m := range possibleModels(a) {
		if m.Model.Judges() {
			continue
		}
		upwards := 0.0
		if b := m.Median; b != nil {
			upwards = hold.TaughtUpwards(b.Body, 0, b.Held, b.Posture)
		}
		q, _ := m.Quantity(m.Main)
		return fmt.Sprintf("By %s, %s is %s. %s", words.TaughtRule, words.Noun(m.Main, m.Model), QuantityText(q, s), words.TaughtWhy(upwards))
	}
	return ""
}

// Sharing says how the hands share the weight in the posture that is recommended, and
// what friction the pole must give, in the median body; empty where a hold asks for none.
func Sharing(m *person.ModelResult) string {
	if m.Median == nil {
		return ""
	}
	return words.Sharing(m.Median.Held)
}

// ModelsDiffer says what the rule that is taught says beside the model that judges;
// nothing where there is none.
func ModelsDiffer(a *PersonAnswer, s words.System) []string {
	if text := Taught(a, s); text != "" {
		return []string{text}
	}
	return nil
}
