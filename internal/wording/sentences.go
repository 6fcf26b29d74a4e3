package wording

import (
	"fmt"
	"math"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// PersonSentences are what goes with the headline: what tests show, what the spread
// comes from, and what measuring would narrow it.
func PersonSentences(a *PersonAnswer, s words.System) []string {
	var sentences []string
	if a.Ready != nil {
		sentences = append(sentences, ReadinessHeadline(a.Ready, s))
	}
	possible := possibleModels(a)
	for _, m := range possible {
		by := ""
		if len(possible) > 1 {
			by = ", by " + m.Model.String()
		}
		main, _ := m.Quantity(m.Main)
		if main.FromBody+main.FromAssumptions > 0 {
			sentences = append(sentences, fmt.Sprintf("Of the spread of %s%s, %s comes from what is not known of the body and %s from what nobody measured, the assumptions.",
				words.Noun(m.Main, m.Model), by, words.Share(main.FromBody), words.Share(main.FromAssumptions)))
		}
		if len(m.Next) > 0 && m.Next[0].Reduction >= 0.005 {
			sentences = append(sentences, fmt.Sprintf("Of what could be measured next, %s would narrow what is not known of the body most%s: the 5–95 %% range of %s by %s.",
				GainName(m.Next[0]), by, words.Noun(m.Main, m.Model), words.Share(m.Next[0].Reduction)))
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

// ModelsDiffer says how the medians by a second model differ from those by the first;
// nothing where there are not two.
func ModelsDiffer(a *PersonAnswer, s words.System) []string {
	possible := possibleModels(a)
	if len(possible) != 2 {
		return nil
	}
	first, second := possible[0], possible[1]
	var sentences []string
	say := func(of hold.Demand, more, less, text string, size func(by, was float64) string) {
		a, ok := first.Quantity(of)
		b, also := second.Quantity(of)
		if !ok || !also {
			return
		}
		by, way := b.All.Median-a.All.Median, more
		if by < 0 {
			way = less
		}
		if far := size(math.Abs(by), math.Abs(a.All.Median)); far != size(0, 1) {
			sentences = append(sentences, fmt.Sprintf("By %s %s %s %s than by %s.", second.Model, text, far, way, first.Model))
		}
	}
	say(first.Main, "more", "less", words.Noun(first.Main, second.Model)+" is", func(by, was float64) string { return words.Percent(by/was, 0) })
	say(hold.HandSpacing, "wider apart", "closer together", "the hands are", func(by, _ float64) string { return words.Rough(by, units.Length, s) })
	return sentences
}
