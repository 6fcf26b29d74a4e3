package wording

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// BodyChange says a change of a body in a few words, each part for itself.
func BodyChange(ch *body.Change, s units.System) []string {
	var parts []string
	amount := func(name string, a body.Amount) {
		if a.Metres != 0 {
			parts = append(parts, name+" "+units.FormatChange(a.Metres, units.Length, s))
		}
		if a.Share != 0 {
			parts = append(parts, name+" "+units.FormatChange(a.Share, units.Relative, s))
		}
	}
	for t, by := range ch.Of {
		amount(body.Trait(t).Info().Noun, by)
	}
	for _, m := range ch.Mass {
		text := units.FormatChange(m.Kilograms, units.Mass, s) + " on the " + strings.ReplaceAll(m.Region.String(), "_", " ")
		if m.Working > 0 {
			text += fmt.Sprintf(" (%s of it working muscle)", Percent(m.Working))
		}
		parts = append(parts, text)
	}
	return parts
}

// TurnWords says what is changed of a person and of how the hold is done.
func TurnWords(p *person.Person, t *person.Turn, s units.System) string {
	parts := BodyChange(&t.Body, s)
	before := PostureWords(hold.Posture{Legs: p.Legs, Pose: p.Pose, Tilt: p.Tilt})
	after := PostureWords(hold.Posture{Legs: t.Legs, Pose: t.Pose, Tilt: t.Tilt})
	if before != after {
		plain := func(text string) string {
			if text == "" {
				return "the plain pose"
			}
			return text
		}
		parts = append(parts, plain(after)+" instead of "+plain(before))
	}
	if len(parts) == 0 {
		return "nothing changed"
	}
	return strings.Join(parts, ", ")
}

// EffectHeadline says what a change does to a person, by the signs of its effects.
func EffectHeadline(e *person.Effect, p *person.Person, t *person.Turn, h *hold.Hold, s units.System) string {
	what := Capital(TurnWords(p, t, s))
	name, _, _ := strings.Cut(h.Title, ",")
	name = WithinSentence(name)
	switch {
	case e.PossibleBefore == 0 && e.PossibleAfter == 0:
		return fmt.Sprintf("%s: neither before nor after can any body drawn take the posture of the %s.", what, name)
	case e.PossibleBefore == 0:
		return fmt.Sprintf("%s: %s of the bodies drawn can take the posture of the %s, and none could before.", what, Percent(e.PossibleAfter), name)
	case e.PossibleAfter == 0:
		return fmt.Sprintf("%s: no body drawn can take the posture of the %s any more.", what, name)
	}
	i := slices.IndexFunc(e.Quantities, func(m person.Moved) bool { return m.Demand == e.Judged })
	m := &e.Quantities[i]
	noun := Noun(m.Demand, e.Model)
	if e.Easier == 0 && e.Harder == 0 {
		return fmt.Sprintf("%s: %s of the %s stays exactly as it is.", what, noun, name)
	}
	text := fmt.Sprintf("%s: %s of the %s %s", what, noun, name, moves(m, s))
	ways := [2]string{"easier", "harder"}
	if m.Demand != hold.Difficulty {
		ways = [2]string{"less", "more"}
	}
	way, share := ways[0], e.Easier
	if e.Harder > e.Easier {
		way, share = ways[1], e.Harder
	}
	text += fmt.Sprintf(". It is %s in %s of the draws", way, Percent(share))
	if e.Easier+e.Harder < 1 {
		text += fmt.Sprintf(" and as it was in %s", Percent(1-e.Easier-e.Harder))
	}
	return text + "."
}

// moves says which way a demand's size moves, and by how much: as a share where that
// has a meaning for every draw.
func moves(m *person.Moved, s units.System) string {
	size, low, high := m.Relative.Median, m.Relative.Low, m.Relative.High
	format := func(x float64) string { return units.FormatChange(x, units.Relative, s) }
	if m.Relative == (person.Spread{}) {
		size, low, high = m.Effect.Median, m.Effect.Low, m.Effect.High
		format = func(x float64) string { return signed(PrinterOf(m.Demand, s), x) }
	}
	between := fmt.Sprintf("(5–95 %% of the draws: %s to %s)", format(low), format(high))
	plain := strings.TrimLeft(format(math.Abs(size)), "+")
	switch {
	case format(size) == format(0):
		return "hardly moves for the median draw " + between
	case size < 0:
		return "falls by " + plain + " for the median draw " + between
	}
	return "rises by " + plain + " for the median draw " + between
}

func signed(format func(float64) string, x float64) string {
	if x > 0 {
		return "+" + format(x)
	}
	return format(x)
}

// Capital begins a text with a capital letter.
func Capital(text string) string {
	for _, r := range text {
		return strings.ToUpper(string(r)) + text[len(string(r)):]
	}
	return text
}
