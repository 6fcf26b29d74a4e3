package said

import (
	"fmt"
	"math"

	"counterpoise/internal/words"
	"counterpoise/sim/person"
)

// Place says at which percentile somebody is, with what is left open of it: "26th
// percentile (12th to 41st)". It is empty where there is none.
func Place(s person.Spread) string {
	if math.IsNaN(s.Median) {
		return ""
	}
	return words.Percentile(s.Median) + placeEnds(s)
}

// BriefPlace is Place without the noun, for columns of them: "26th (12th to 41st)".
func BriefPlace(s person.Spread) string {
	if math.IsNaN(s.Median) {
		return ""
	}
	return words.Place(s.Median) + placeEnds(s)
}

func placeEnds(s person.Spread) string {
	low, high := words.Place(s.Low), words.Place(s.High)
	if low == high {
		return ""
	}
	return " (" + low + " to " + high + ")"
}

// MainPlace says where the main quantity of the model that is told first puts the person
// among the people; empty where nothing does.
func MainPlace(a *PersonAnswer) string {
	m := a.Primary()
	q, ok := m.Quantity(m.Main)
	if !ok || math.IsNaN(q.Percentile.Median) {
		return ""
	}
	text := fmt.Sprintf("the %s %s", words.Label(m.Main), Place(q.Percentile))
	if a.Person.Tests != nil {
		text += " of untrained people"
	}
	return text
}
