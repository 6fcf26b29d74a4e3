package study

import (
	"errors"
	"fmt"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/names"
)

// Fault gives an error that computing an answer for the person met its place in
// the file, in the units that people write: one *Error, or several joined.
// Errors that are not about what the file says are returned as they are.
func (p *Person) Fault(err error, s words.System) error {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		return errors.Join(names.Each(many.Unwrap(), func(e error) error { return p.Fault(e, s) })...)
	}
	var improbable *anthro.ImprobableError
	var contradiction *anthro.ContradictionError
	var scan *anthro.ScanError
	var field *fault.Error
	switch {
	case errors.As(err, &improbable):
		text := words.Rarity(&improbable.Rarity, s)
		shown := words.Measurement(improbable.Known.Of, improbable.Known.Value, s)
		if found := p.Found[improbable.Known.Of.String()]; found != "" && shown[strings.LastIndex(shown, " ")+1:] != found[strings.LastIndex(found, " ")+1:] {
			text = "found " + found + ", which is " + text // told in another unit than it is written in
		}
		if slip := improbable.Slip; slip != nil {
			in := "?"
			if len(slip.Of) > 1 {
				in = " in all lengths?"
			}
			text += fmt.Sprintf("; %s would fit: %s%s", words.Measurement(improbable.Known.Of, slip.Value, s), slip.Text, in)
		}
		if improbable.Nobody {
			of := improbable.Known.Of
			text += fmt.Sprintf("; nobody has it, and what was measured again may be %s to %s", words.Measurement(of, improbable.Has.Low, s), words.Measurement(of, improbable.Has.High, s))
		} else if !p.Again {
			text += " (if a second measurement gives the same, write " + Again + ": yes)"
		}
		return p.at(improbable.Known.Of.String(), text)
	case errors.As(err, &contradiction):
		// The greater is always one measurement, the lesser may be a sum.
		return p.at(contradiction.Greater, fmt.Sprintf("%s must be more than %s, which is %s",
			words.Quantity(contradiction.GreaterValue, units.Length, s), contradiction.Lesser, words.Quantity(contradiction.LesserValue, units.Length, s)))
	case errors.As(err, &scan):
		return p.at("scan", scan.Error())
	case errors.As(err, &field):
		return p.at(field.Field, words.Fault(field))
	}
	return err
}

// at is a fault of a field, on the line of the top-level field that it is in.
func (p *Person) at(field, reason string) error {
	top := field
	if i := strings.IndexAny(field, ".["); i >= 0 {
		top = field[:i]
	}
	line, ok := p.lines[top]
	switch {
	case !ok && top == "assist": // which a file may leave to who runs it
		return &Error{Field: "--assist", Reason: reason}
	case !ok:
		line = p.Line
	}
	return &Error{File: p.File, Line: line, Field: field, Reason: reason}
}
