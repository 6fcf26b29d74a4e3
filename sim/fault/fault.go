// Package fault is how this library says that a value makes no sense: in which field,
// what was found and what is allowed. A reader of files adds the place.
package fault

import (
	"errors"
	"fmt"
	"strings"

	"counterpoise/sim/math"
)

// Error is one value that makes no sense.
type Error struct {
	Field  string  // as files name it, a part of a field behind a dot: "change.arm_length"
	Found  any     // what stands there, in SI units; nil where something is missing
	Bounds *Bounds // of a number that lies outside; nil for all else
	Reason string  // what is wrong and what is allowed, in words
}

func (e *Error) Error() string { return e.Field + ": " + e.Reason }

// New returns the fault of a field: what was found there, and what is wrong with it.
func New(field string, found any, format string, args ...any) *Error {
	return &Error{Field: field, Found: found, Reason: fmt.Sprintf(format, args...)}
}

// List collects faults.
type List []error

// Add adds a fault, unless it is nil.
func (l *List) Add(err error) {
	if err != nil {
		*l = append(*l, err)
	}
}

// Fail adds the fault of a field; see [New].
func (l *List) Fail(field string, found any, format string, args ...any) {
	*l = append(*l, New(field, found, format, args...))
}

// Count writes a whole number with commas between its thousands, which can be typed and
// copied: "100,000".
func Count(x float64) string {
	text := fmt.Sprintf("%.0f", x)
	for i := len(text) - 3; i > 0 && text[i-1] != '-'; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}

// Bounds are the ends between which a number makes sense, both included.
type Bounds struct {
	Least, Most float64
	Unit        string // "m", "rad", "kg" or ""
}

// Holds reports whether a number lies within the bounds; what is no number does not.
func (b Bounds) Holds(x float64) bool {
	const rounding = 1e-12 // of a number that was written in another unit, or counted up to
	return x >= b.Least-float64(rounding*math.Abs(b.Least)) && x <= b.Most+float64(rounding*math.Abs(b.Most))
}

// Check returns the *[Error] of a field whose number lies outside, or nil.
func (b Bounds) Check(field string, x float64) error {
	if b.Holds(x) {
		return nil
	}
	unit := strings.TrimRight(" "+b.Unit, " ")
	e := New(field, x, "%.4g%s is not possible, allowed: %.4g to %.4g%s", x, unit, b.Least, b.Most, unit)
	e.Bounds = &b
	return e
}

// Within returns the error with every fault in it moved into the field of that name:
// what is wrong with "arm_length" of a change is wrong with "change.arm_length" of a
// study. What holds no fault comes back as it is.
func Within(field string, err error) error {
	list := All(err)
	if len(list) == 0 {
		return err
	}
	moved := make([]error, len(list))
	for i, e := range list {
		inner := *e
		inner.Field = strings.TrimSuffix(field+"."+e.Field, ".")
		moved[i] = &inner
	}
	return errors.Join(moved...)
}

// All lists the faults in an error, joined ones in their order.
func All(err error) []*Error {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		var list []*Error
		for _, e := range many.Unwrap() {
			list = append(list, All(e)...)
		}
		return list
	}
	var one *Error
	if errors.As(err, &one) {
		return []*Error{one}
	}
	return nil
}
