package said

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/scenario"
)

// ChangeWords says what is changed of a person and of how the hold is done.
func ChangeWords(p *person.Person, ch *scenario.Change, s words.System) string {
	of := scenario.Scenario{Hold: p.Hold, Legs: p.Legs, Pose: p.Pose, Tilt: p.Tilt, Load: p.Load, Change: ch}
	parts := words.BodyChange(&ch.Body, s)
	if text := words.LoadChangeIn(of.Load, of.LoadAfter(), s); text != "" {
		parts = append(parts, text)
	}
	if before, after := words.Posture(of.Posture()), words.Posture(of.PostureAfter()); before != after {
		parts = append(parts, words.Instead(after, before))
	}
	return words.List(parts, "nothing changed")
}

// addedBy says, in brackets, what mass goes with a change of lengths; what is added by
// name the change says itself.
func addedBy(e *person.Effect, ch *scenario.Change, s words.System) string {
	if len(ch.Body.Mass) > 0 {
		return ""
	}
	var parts []string
	for k, kg := range e.Added {
		if words.TellsAdded(kg) {
			parts = append(parts, words.Added(body.Whole[k], kg, s))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + words.And(parts) + ")"
}

// EffectHeadline says what a change does to a person, by the signs of its effects.
func EffectHeadline(e *person.Effect, p *person.Person, ch *scenario.Change, s words.System) string {
	what, name := words.Capital(ChangeWords(p, ch, s))+addedBy(e, ch, s), words.HeldIn(p.Hold, hold.Posture{}, p.Load, s)
	switch {
	case e.PossibleBefore == 0 && e.PossibleAfter == 0:
		return fmt.Sprintf("%s: no simulated body can take the posture of the %s, before or after.", what, name)
	case e.PossibleBefore == 0:
		return fmt.Sprintf("%s: %s of the simulated bodies can take the posture of the %s; none could before.", what, words.Share(e.PossibleAfter), name)
	case e.PossibleAfter == 0:
		return fmt.Sprintf("%s: no simulated body can take the posture of the %s any more.", what, name)
	}
	i := slices.IndexFunc(e.Quantities, func(m person.Moved) bool { return m.Demand == e.Judged })
	m, unknown := &e.Quantities[i], ""
	if e.Unknown != "" {
		unknown = " Whether that makes it easier or harder is not known: " + e.Unknown + "."
	}
	what += ": " + words.Noun(m.Demand, e.Model) + " of the " + name
	if e.Easier == 0 && e.Harder == 0 {
		return what + " stays exactly the same." + unknown
	}
	way, more := "less", "more"
	if m.Demand == hold.Difficulty {
		way, more = "easier", "harder"
	}
	share := e.Easier
	if e.Harder > e.Easier {
		way, share = more, e.Harder
	}
	text := fmt.Sprintf("%s %s. It is %s in %s of the draws", what, moves(m, s), way, words.Share(share))
	if e.Easier+e.Harder < 1 {
		text += " and the same in " + words.Share(1-e.Easier-e.Harder)
	}
	return text + "." + unknown
}

// moves says which way a demand's size moves, and by how much: as a share where that
// has a meaning for every draw.
func moves(m *person.Moved, s words.System) string {
	by := m.Relative
	format := func(x float64) string { return words.Change(x, units.Relative, s) }
	if m.Relative == (person.Spread{}) {
		by = m.Effect
		format = func(x float64) string { return words.Way(-x, "", "+") + words.DemandPrinter(m.Demand, s)(x) }
	}
	text := "hardly moves"
	if format(by.Median) != format(0) {
		text = words.Way(by.Median, "rises", "falls") + " by " + strings.TrimPrefix(format(math.Abs(by.Median)), "+")
	}
	return fmt.Sprintf("%s for the median draw (5–95 %% of the draws: %s to %s)", text, format(by.Low), format(by.High))
}
