package said

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
)

// Taught says what the lift-and-turn rule that is taught says of a claim, and why it
// parts from equilibrium, which judges. It is empty where the rule has no answer.
func Taught(r *outcome.Result) string {
	said := r.Taught
	if said == nil {
		return ""
	}
	text := "By " + words.TaughtRule + ": "
	if r.Claim.Contrast != nil {
		text += taughtContrast(r)
	} else {
		size, effect := SizesOf(r.Claim, said.Model.Statics), &said.Pooled.Quantity.Effect
		if r.Claim.Threshold().Share > 0 {
			effect = said.Pooled.Percent
		}
		if effect.P50 == nil {
			text += incomparable(size.Noun)
		} else {
			text += size.Moves(*effect.P50) + " for the median body (nine in ten people: " + size.Span(*effect) + ")"
		}
	}
	return text + ". " + words.TaughtWhy(said.Upwards) + partings(r)
}

// taughtContrast is what the rule says of every population of a contrast.
func taughtContrast(r *outcome.Result) string {
	var parts []string
	size := SizesOf(r.Claim, r.Taught.Model.Statics)
	for _, c := range r.Taught.Contrast {
		d := c.Median.High - c.Median.Low
		if r.Claim.Threshold().Share > 0 {
			d = 100 * d / c.Median.Low
		}
		if math.IsNaN(d) || math.IsInf(d, 0) {
			parts = append(parts, "the medians of "+words.Sexes(c.People)+" cannot be compared")
		} else {
			parts = append(parts, words.Sexes(c.People)+" "+size.Compared(d))
		}
	}
	top, bottom := words.Contrasted(r.Claim.Contrast)
	return size.Noun + ", " + strings.TrimPrefix(top, "the ") + " against " + strings.TrimPrefix(bottom, "the ") + ": " + strings.Join(parts, "; ")
}

// partings says, of a change of one body, what moves in equilibrium where the rule has
// it move the other way or not at all; else it is empty.
func partings(r *outcome.Result) string {
	if r.Claim.Contrast != nil || r.Claim.Change.Hold != nil {
		return ""
	}
	at := 0
	for at < len(r.Models) && r.Models[at].Model.Statics != hold.Equilibrium {
		at++
	}
	if at == len(r.Models) {
		return ""
	}
	m := &r.Models[at]
	way := func(model hold.Model, effect *float64) int {
		switch p := words.DemandOf(r.Claim.Demand, model); {
		case effect == nil || p.IsNothing(*effect):
			return 0
		case *effect < 0:
			return -1
		}
		return 1
	}
	if way(r.Taught.Model.Statics, r.Taught.Pooled.Quantity.Effect.P50) == way(hold.Equilibrium, m.Pooled.Draws.Effect.P50) {
		return ""
	}
	movement := func(d hold.Demand) *float64 {
		if d == r.Claim.Demand {
			return m.Pooled.Quantity.Effect.P50
		}
		return m.Pooled.Beside[d.String()].Effect.P50
	}
	force, moment := movement(hold.RequiredForce), movement(hold.ShoulderMoment)
	if force == nil || moment == nil {
		return ""
	}
	text := fmt.Sprintf(" In equilibrium, at the central assumptions, the force along the harder-working arm changes by %s and the larger shoulder moment by %s for the median body",
		words.DemandOf(hold.RequiredForce, hold.Equilibrium).Signed(*force), words.DemandOf(hold.ShoulderMoment, hold.Equilibrium).Signed(*moment))
	first, before := binding(m, 0)
	next, after := binding(m, 1)
	switch {
	case first == "" || next == "":
	case first == next:
		text += fmt.Sprintf("; the usual limit is the %s (%s of bodies before, %s after)", first, words.Share(before), words.Share(after))
	default:
		text += fmt.Sprintf("; the usual limit is the %s before (%s of bodies) and the %s after (%s)", first, words.Share(before), next, words.Share(after))
	}
	return text + "."
}

// binding returns what limits most bodies, and how many of them: before the change
// (0) or after it (1).
func binding(m *outcome.ModelResult, when int) (limit string, share float64) {
	for name, shares := range m.Pooled.Limits {
		if x := shares[when].Value; x > share || x == share && x > 0 && name < limit {
			limit, share = name, x
		}
	}
	return limit, share
}

// AddedText says what mass the change of a claim puts on or takes off, for the median
// body with 5–95 % of bodies; it is empty where it alters none that can be told.
func AddedText(r *outcome.Result) string {
	var parts []string
	for _, a := range r.Added {
		kilograms := func(x float64) string { return words.Added(a.Region, x, words.Metric) }
		if !words.TellsAdded(Val(a.Kilograms.P50)) {
			continue
		}
		text := kilograms(Val(a.Kilograms.P50))
		end := func(x *float64) string { return words.Change(Val(x), units.Mass, words.Metric) }
		if low, high := end(a.Kilograms.P5), end(a.Kilograms.P95); low != high {
			text += " (5–95 % of bodies: " + low + " to " + high + ")"
		}
		parts = append(parts, text)
	}
	return words.And(parts)
}
