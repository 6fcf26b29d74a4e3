package words

import (
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
)

// DimensionOf is the dimension of a measurement; ages are plain numbers.
func DimensionOf(m anthro.Measurement) units.Dimension {
	switch m {
	case anthro.Mass:
		return units.Mass
	case anthro.Age:
		return units.Number
	}
	return units.Length
}

// Measurement writes the value of a measurement.
func Measurement(m anthro.Measurement, value float64, s System) string {
	if m == anthro.Age {
		return WithUnit(Number(value, 0), m.Unit())
	}
	return Quantity(value, DimensionOf(m), s)
}

// Known writes a measurement with the standard deviation of its error, if it has one.
func Known(k anthro.Known, s System) string {
	if k.Of == anthro.Age && k.Error == 0 {
		return Number(k.Value, 0)
	}
	return Reading(k.Value, k.Error, DimensionOf(k.Of), s)
}

// Reading writes what was read, with the standard deviation of its error, if it has one.
func Reading(value, deviation float64, d units.Dimension, s System) string {
	text := Quantity(value, d, s)
	if deviation > 0 {
		text += " ± " + Size(deviation, d, s)
	}
	return text
}

// Rarity says what is unusual about a measurement.
func Rarity(r *anthro.Rarity, s System) string {
	of, given := r.Known.Of, ""
	if len(r.Given) > 0 {
		names := make([]string, len(r.Given))
		for i, m := range r.Given {
			names[i] = PlainOf(m)
		}
		given = " with that " + And(names)
	}
	between := func(i anthro.Interval) string {
		return Measurement(of, i.Low, s) + " to " + Measurement(of, i.High, s)
	}
	return Measurement(of, r.Known.Value, s) + ": of people in " + r.Population + given + ", 90 % have " + between(r.Ordinary) +
		" and all but 1 in " + Count(100_000) + " have " + between(r.Possible)
}

// Sexes names the people of the surveys by their sex, and others by their own name.
func Sexes(population string) string {
	switch population {
	case "ansur2-men":
		return "men"
	case "ansur2-women":
		return "women"
	}
	return population
}

// ToldApartBy names what people are told apart by.
func ToldApartBy(q anthro.Quantity) string {
	if words := PlainOf(q); words != "bmi" {
		return strings.ReplaceAll(words, "/", " for ")
	}
	return "body mass index"
}
