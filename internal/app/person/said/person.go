// Package said puts answers for one person into sentences, into the text on the terminal and
// into the summary that --json prints. It draws no pictures and writes no tables, so that a
// page's own program stays small. Every statement of a direction is read off the sign of a
// result.
package said

import (
	"fmt"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/statics"
)

// PersonAnswer is what is told of one person.
type PersonAnswer struct {
	*person.Result
	Ready *person.Readiness // nil where no model judges
	Notes []string          // what is rare or should be known, a sentence each
}

// Primary is the model that is told first where one must be picked: that which judges,
// or the only one there is.
func (a *PersonAnswer) Primary() *person.ModelResult {
	for i := range a.Models {
		if a.Models[i].Model.Judges() {
			return &a.Models[i]
		}
	}
	return &a.Models[0]
}

// Posture is how the person does the hold.
func (a *PersonAnswer) Posture() hold.Posture {
	return hold.Posture{Legs: a.Person.Legs, Pose: a.Person.Pose, Tilt: a.Person.Tilt}
}

// HoldWords names the hold with its posture.
func (a *PersonAnswer) HoldWords(s words.System) string {
	return words.HeldIn(a.Hold, a.Posture(), a.Person.Load, s)
}

// KnownWords says what was measured, each value with its error.
func (a *PersonAnswer) KnownWords(s words.System) string {
	parts := []string{a.Population.Sex.String()}
	for _, k := range a.Conditioned.Known {
		parts = append(parts, words.PlainOf(k.Of)+" "+words.Known(k, s))
	}
	if a.Person.Scan != nil {
		parts = append(parts, "a body-composition scan")
	}
	return strings.Join(parts, ", ")
}

// OpenWords says what was not measured.
func (a *PersonAnswer) OpenWords() string {
	taken, exact := 0, 0
	for _, k := range a.Conditioned.Known {
		if k.Of == anthro.Age {
			continue
		}
		taken++
		if k.Error == 0 {
			exact++
		}
	}
	var parts []string
	if left := int(anthro.NumMeasurements) - taken; left > 0 {
		parts = append(parts, fmt.Sprintf("the other %d measurements", left))
	}
	if taken > exact {
		parts = append(parts, "the stated errors")
	}
	if a.Person.Scan == nil && a.Options.Masses != body.Table {
		parts = append(parts, "how the mass is spread over the body")
	}
	if len(parts) == 0 {
		return "nothing has to be drawn"
	}
	return strings.Join(parts, " and ") + " drawn from similar people (" + a.Conditioned.Population.Name + ")"
}

// QuantityText prints one demand: in body weights, in newtons and, for a force,
// in the kilograms that weigh as much.
func QuantityText(q person.Quantity, s words.System) string {
	text := Spread(q.All, words.DemandPrinter(q.Demand, s))
	switch q.AbsoluteUnit {
	case "N":
		text += ", " + Spread(q.AllAbsolute, words.Printer(units.Force, s))
		if s == words.Metric {
			kilograms := func(newtons float64) string { return words.Quantity(newtons/statics.StandardGravity, units.Mass, s) }
			text += ", as " + Spread(q.AllAbsolute, kilograms)
		}
	case "N·m":
		text += ", " + Spread(q.AllAbsolute, words.RoughPrinter(units.Moment, s))
	}
	return text
}

// PersonHeadline is what a coach can say: the one or two numbers that the hold
// is about, over all models.
func PersonHeadline(a *PersonAnswer, s words.System) string {
	name, title := a.Person.Name, a.HoldWords(s)
	possible := possibleModels(a)
	if len(possible) == 0 {
		return fmt.Sprintf("%s cannot take the posture of the %s in any draw.", name, title)
	}
	var says []string
	var ends []float64
	open := false
	if judging := judgingOf(possible); len(judging) > 0 {
		possible = judging
	}
	for _, m := range possible {
		text := postureOfMedian(m, s)
		switch {
		case !m.Model.Judges():
			text += ", by " + words.TaughtRule + ", which gives no verdict"
		case len(possible) > 1:
			text += " (" + m.Model.String() + ")"
		}
		says = append(says, text)
		main, _ := m.Quantity(m.Main)
		ends, open = append(ends, main.AllAbsolute.Low, main.AllAbsolute.High), open || main.AllAbsolute.Width() > 0
	}
	main, _ := possible[0].Quantity(possible[0].Main)
	noun := strings.TrimPrefix(words.Noun(main.Demand, possible[0].Model), "the ")
	text := fmt.Sprintf("For %s, the %s takes a %s of about %s.", name, title, noun, strings.Join(says, ", or "))
	if rough := roughly(main.AbsoluteUnit, s); rough != nil && open {
		if all := words.Over(ends, rough); strings.Contains(all, " to ") {
			text += " The likely range is " + all + "."
		}
	}
	return text
}

// roughly prints what an absolute unit's values come to for a coach; it is nil where
// there is no such unit.
func roughly(unit string, s words.System) func(float64) string {
	switch unit {
	case "N":
		return func(x float64) string { return words.Weight(x, s) }
	case "N·m":
		return words.RoughPrinter(units.Moment, s)
	}
	return nil
}

// postureOfMedian says what one model asks for in the middle of what is left
// open: the main quantity and the posture that goes with it.
func postureOfMedian(m *person.ModelResult, s words.System) string {
	main, _ := m.Quantity(m.Main)
	text := words.DemandPrinter(m.Main, s)(main.All.Median)
	if main.AbsoluteUnit == "N" {
		text = words.Rough(main.All.Median, units.BodyWeights, s)
	}
	if rough := roughly(main.AbsoluteUnit, s); rough != nil {
		text = rough(main.AllAbsolute.Median) + " (" + text + ")"
	}
	for _, with := range []struct {
		of            hold.Demand
		before, after string
		in            units.Dimension
	}{
		{hold.HandSpacing, ", with the hands ", " apart", units.Length},
		{hold.ArmAngle, " and the arms ", " from the pole", units.Angle},
		{hold.LeanAngle, ", with a lean of ", "", units.Angle},
	} {
		if q, ok := m.Quantity(with.of); ok {
			at := words.Rough(q.All.Median, with.in, s)
			if with.of == hold.HandSpacing {
				at = words.Mark(q.All.Median, s)
			}
			text += with.before + at + with.after
		}
	}
	return text
}
