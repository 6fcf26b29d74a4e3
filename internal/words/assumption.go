package words

import (
	"errors"
	"math"
	"strconv"

	"counterpoise/sim/assume"
)

// Assumptions are written as numbers alone. Those that are angles are radians inside, and
// degrees wherever people read or write them.

// AssumptionUnit says what the number of an assumption is of, as people have it.
func AssumptionUnit(id assume.ID) string {
	if unit := id.Info().Unit; unit != "rad" {
		return unit
	}
	return "degrees"
}

// AssumptionTold is the value of an assumption as people have it.
func AssumptionTold(id assume.ID, x float64) float64 {
	if id.Info().Unit != "rad" {
		return x
	}
	return Tidy(x * degrees)
}

// AssumptionMeant is the inverse of AssumptionTold.
func AssumptionMeant(id assume.ID, x float64) float64 {
	if id.Info().Unit != "rad" {
		return x
	}
	return x * math.Pi / 180
}

// AssumptionFault is an error with the range that an assumption cannot have as people
// have it; others come back as they are.
func AssumptionFault(err error) error {
	var e *assume.RangeError
	if !errors.As(err, &e) {
		return err
	}
	return errors.New(e.In(AssumptionUnit(e.ID), func(x float64) float64 { return AssumptionTold(e.ID, x) }))
}

// AssumptionRange writes a value or a range of an assumption as people type it.
func AssumptionRange(id assume.ID, low, high float64) string {
	return assume.RangeText(AssumptionTold(id, low), AssumptionTold(id, high))
}

// Assumption writes a value of an assumption.
func Assumption(id assume.ID, x float64) string { return Given(AssumptionTold(id, x)) }

// Assumed writes what is taken of an assumption and over which range, or that the
// performer chooses it and what it may be pinned to.
func Assumed(a assume.Assumption) string {
	typed := func(x float64) string { return Typed(AssumptionTold(a.ID, x), "") }
	if a.Choice {
		return "chosen unless pinned (" + typed(a.Least) + " to " + typed(a.Most) + ")"
	}
	return typed(a.Default) + " (" + typed(a.Low) + " to " + typed(a.High) + ")"
}

// Tidy takes off the digits in which a decimal and its binary form differ.
func Tidy(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', 12, 64), 64)
	if err != nil {
		return x
	}
	return y
}
