package words

import (
	"cmp"
	"math"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/body"
)

// BodyChange says a change of a person's body, each part for itself: "arms +5.0 cm",
// "+2.0 kg on the trunk".
func BodyChange(ch *body.Change, s System) []string {
	var parts []string
	for t, by := range ch.Of {
		noun := body.Trait(t).Info().Noun
		if by.Metres != 0 {
			parts = append(parts, noun+" "+Change(by.Metres, units.Length, s))
		}
		if by.Share != 0 {
			parts = append(parts, noun+" "+Change(by.Share, units.Relative, s))
		}
	}
	for _, m := range ch.Mass {
		text := Change(m.Kilograms, units.Mass, s) + " on the " + PlainOf(m.Region)
		if m.Working > 0 {
			text += " (" + Share(m.Working) + " of it working muscle)"
		}
		parts = append(parts, text)
	}
	return append(parts, stays(ch)...)
}

// stays says what does not go along with a change of a length.
func stays(ch *body.Change) []string {
	var parts []string
	if ch.MassStays {
		parts = append(parts, "mass as it was")
	}
	if ch.StatureStays {
		parts = append(parts, "stature as it was, the trunk shorter")
	}
	return parts
}

// BodyChangeInFull is it in full words: "arms 10 cm longer", "2 kg more on the trunk".
func BodyChangeInFull(ch *body.Change) []string {
	var parts []string
	for t, by := range ch.Of {
		info := body.Trait(t).Info()
		parts = append(parts, AmountInFull(info.Noun, info.More, info.Less, by)...)
	}
	for _, m := range ch.Mass {
		text := Given(math.Abs(m.Kilograms)) + " kg " + Way(m.Kilograms, "more", "less") + " on the " + PlainOf(m.Region)
		if m.Working > 0 {
			text += " (" + Given(100*m.Working) + " % of it muscle that works in the hold)"
		}
		parts = append(parts, text)
	}
	return append(parts, stays(ch)...)
}

// AmountInFull says by how much a length is changed, with the words for more and less.
func AmountInFull(noun, more, less string, a body.Amount) []string {
	say := func(size float64, unit string) string {
		return noun + " " + Given(math.Abs(size)) + " " + unit + " " + Way(size, more, less)
	}
	var parts []string
	if a.Metres != 0 {
		parts = append(parts, say(100*a.Metres, "cm"))
	}
	if a.Share != 0 {
		parts = append(parts, say(100*a.Share, "%"))
	}
	return parts
}

// Instead says what takes the place of what; what is empty is the plain pose.
func Instead(after, before string) string {
	return cmp.Or(after, "the plain pose") + " instead of " + cmp.Or(before, "the plain pose")
}

// List joins parts with commas, or says that there are none.
func List(parts []string, none string) string {
	if len(parts) == 0 {
		return none
	}
	return strings.Join(parts, ", ")
}
