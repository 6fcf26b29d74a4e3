package said

import (
	"math"
	"slices"

	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/scenario"
)

const (
	alike   = 0.99  // of what is used most: gives out with it
	noticed = 0.005 // the least relative change that is told
)

// limits are the groups of one body that give out first, those used most.
func limits(in *hold.Hold, m hold.Model, of *scenario.HeldBody) (list []muscle.Group) {
	for _, u := range in.Uses(m) {
		use := of.Held.Value[hold.UseOf(u.Group)]
		if !u.Reported && len(use) > 0 && use[0] >= alike*of.Held.Value[hold.Difficulty][0] && !slices.Contains(list, u.Group) {
			list = append(list, u.Group)
		}
	}
	slices.Sort(list)
	return list
}

// Reason says of one body held in two ways what gives out first in the second and, where
// the main force and the difficulty go apart, that they do: "The force along the
// harder-working arm falls by 2 %, and yet it gets 4 % harder. Gives out first now: grip;
// at its best: push along the arm." It is empty where all is as one expects: the same
// gives out, and both go one way. first names the first way.
func Reason(in *hold.Hold, m hold.Model, before, after *scenario.HeldBody, first string) string {
	if before == nil || after == nil || !in.Tells(m, hold.Difficulty, before.Posture) || !in.Tells(m, hold.Difficulty, after.Posture) {
		return ""
	}
	size := func(b *scenario.HeldBody, d hold.Demand) float64 {
		x := math.Abs(b.Held.Value[d][0])
		if d.Unit == "BW" || d.Unit == "BW·m" {
			x *= b.Body.Mass[0]
		}
		return x
	}
	main := in.Asks(m)[0]
	force, harder := size(after, main)/size(before, main)-1, size(after, hold.Difficulty)/size(before, hold.Difficulty)-1
	apart := main != hold.Difficulty && force*harder < 0 && min(math.Abs(force), math.Abs(harder)) >= noticed
	was, now := limits(in, m, before), limits(in, m, after)
	if !apart && slices.Equal(was, now) {
		return ""
	}
	text := ""
	if apart {
		percent := func(x float64) string { return words.Percent(math.Abs(x), 0) }
		if math.Abs(force) < 0.01 || math.Abs(harder) < 0.01 {
			percent = func(x float64) string { return words.Percent(math.Abs(x), 1) }
		}
		text = words.Capital(words.PlainNoun(main)) + " " + words.Way(force, "rises", "falls") + " by " + percent(force) +
			", and yet it gets " + percent(harder) + " " + words.Way(harder, "harder", "easier") + ". "
	}
	name := func(groups []muscle.Group) string {
		list := make([]string, len(groups))
		for i, g := range groups {
			list[i] = words.GroupPlainly(g)
		}
		return words.And(list)
	}
	without := func(list, of []muscle.Group) []muscle.Group {
		return slices.DeleteFunc(slices.Clone(list), func(g muscle.Group) bool { return slices.Contains(of, g) })
	}
	come, gone := without(now, was), without(was, now)
	switch {
	case len(come)+len(gone) == 0:
		text += "What gives out first is asked for " + words.Way(harder, "more", "less") + ": " + name(now) + "."
	case len(come) == 0:
		text += "Gives out first now: " + name(now) + "; no longer: " + name(gone) + "."
	case len(gone) == 0:
		text += "Gives out first now too: " + name(come) + "."
	default:
		text += "Gives out first now: " + name(now) + "; " + first + ": " + name(was) + "."
	}
	return words.NoBreak(text)
}
