package said

import (
	"fmt"
	"math"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/words"
	"counterpoise/sim/person"
)

// GainName is what would be measured, in words.
func GainName(g person.Gain) string {
	if g.Scan {
		return "a body-composition scan"
	}
	return words.PlainOf(g.Measure)
}

// NextText says what no tape takes away of the main quantity's range, and what to measure
// next; empty where that would not help.
func NextText(a *PersonAnswer) string {
	m := a.Primary()
	q, _ := m.Quantity(m.Main)
	text, today := Floor(a, m, func(w float64) string { return WidthText(m, w) }), WidthText(m, q.All.Width())
	if len(m.Plan) == 0 || WidthText(m, m.Next[0].Width) == today {
		return text
	}
	first := fmt.Sprintf("next %s leaves %s", GainName(m.Plan[0]), WidthText(m, m.Plan[0].Width))
	if text != "" {
		text += " " + words.Capital(first)
	} else {
		text = fmt.Sprintf("%s of the %s that %s ranges over (5–95 %%)", first, today, words.Noun(m.Main, m.Model))
	}
	for _, g := range m.Plan[1:] {
		text += fmt.Sprintf(", then %s %s", GainName(g), WidthText(m, g.Width))
	}
	if best := m.Next[0]; best.Scan {
		text += fmt.Sprintf("; a body-composition scan alone %s", WidthText(m, best.Width))
	}
	return text + "."
}

// Floor says what no tape takes away of the range of a model's main quantity, its widths
// as format writes them; empty where that is nothing.
func Floor(a *PersonAnswer, m *person.ModelResult, format func(float64) string) string {
	q, ok := m.Quantity(m.Main)
	if !ok || !(m.Floor > 0) {
		return ""
	}
	by := "by the assumptions"
	if a.Person.Tests != nil {
		by += " and by the strength that the tests do not settle"
	}
	noun, floor, today := words.Noun(m.Main, m.Model), format(m.Floor), format(q.All.Width())
	switch {
	case len(m.Next) == 0:
		return fmt.Sprintf("no tape would narrow this: everything is measured, and %s still ranges over %s (5–95 %%), %s.", noun, today, by)
	case floor == today:
		return fmt.Sprintf("no tape would narrow this: with everything measured, %s would still range over %s (5–95 %%), %s.", noun, today, by)
	}
	return fmt.Sprintf("no tape would narrow this much: with everything measured, %s would still range over %s of today's %s (5–95 %%), %s.", noun, floor, today, by)
}

// WidthText writes the width of a range of a model's main demand.
func WidthText(m *person.ModelResult, width float64) string {
	_, scale := jsonform.Output(m.Main.Unit)
	return words.DemandOf(m.Main, m.Model).Number(width * scale)
}

// nextSentence says how far measuring would narrow a model's range at best, by
// the model as by says.
func nextSentence(m *person.ModelResult, by string) string {
	q, _ := m.Quantity(m.Main)
	if len(m.Next) == 0 || !(m.Next[0].Reduction >= 0.005) {
		return ""
	}
	text := fmt.Sprintf("Measuring %s next would narrow the 5–95 %% range of %s most%s: by %s",
		GainName(m.Next[0]), words.Noun(m.Main, m.Model), by, words.Share(m.Next[0].Reduction))
	if left := m.Floor / q.All.Width(); left > 0 && !math.IsNaN(left) {
		text += fmt.Sprintf("; no tape would narrow %s of it", words.Share(left))
	}
	return text + "."
}
