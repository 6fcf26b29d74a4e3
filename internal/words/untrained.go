package words

import (
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// Untrained is how somebody untrained is spoken of.
type Untrained struct{ One, Whose, Many string }

var (
	untrainedAdults = [...]Untrained{anthro.Male: {"man", "his", "men"}, anthro.Female: {"woman", "her", "women"}}
	untrainedYouths = [...]Untrained{anthro.Male: {"boy", "his", "boys"}, anthro.Female: {"girl", "her", "girls"}}
)

// UntrainedOf returns the words for one of some people.
func UntrainedOf(people *anthro.Population) Untrained {
	if people.Young() {
		return untrainedYouths[people.Sex]
	}
	return untrainedAdults[people.Sex]
}

// UntrainedAmong is what one of several peoples is: an adult, a youth, or a person where
// there are both.
func UntrainedAmong(people []*anthro.Population) string {
	switch names.HowMany(people, (*anthro.Population).Young) {
	case 0:
		return "adult"
	case len(people):
		return "youth"
	}
	return "person"
}

// Times writes a multiple of somebody's strength: to a hundredth below two, else to a
// tenth.
func Times(x float64) string {
	if x < 1.995 {
		return Number(x, 2)
	}
	return Number(x, 1)
}

// Published writes a number with the range that what was published leaves open.
func Published(x float64, r scenario.Range, format func(float64) string) string {
	return format(x) + " (" + Interval(format(r.Low), format(r.High)) + ")"
}

// Could says which share of untrained adults could hold it, or between which shares it
// lies where what was published does not say.
func Could(u *scenario.Untrained) string {
	low, high := Percent(u.Published.Could.Low, 0), Percent(u.Published.Could.High, 0)
	switch {
	case !u.CouldKnown():
		return "not known, " + Interval(low, high)
	case low == high:
		return Share(u.Could)
	}
	return Share(u.Could) + " (" + Interval(low, high) + ")"
}

// GivesOutFirst names what gives out first: "grip of the hands"; what gives out together by
// the alphabet, as none of it comes before another.
func GivesOutFirst(u *scenario.Untrained) string {
	first, _ := u.First()
	return And(slices.Sorted(slices.Values(usesOf(first, false))))
}

// GiveOutNext names what decides next, each with how many times an untrained adult's
// strength it is asked for: "grip of the top hand (1.31)"; nothing where nothing does.
func GiveOutNext(u *scenario.Untrained) string {
	_, next := u.First()
	return And(usesOf(next, true))
}

func usesOf(uses []scenario.Use, shares bool) []string {
	list := make([]string, len(uses))
	for i, u := range uses {
		list[i] = u.Group.Of(u.Side)
		if shares {
			list[i] += " (" + Times(u.Share) + ")"
		}
	}
	return list
}
