// Package fault is how this library says that a value makes no sense: which field
// it stands in, what was found and what is allowed. A reader of files adds the place.
package fault

import (
	"errors"
	"strings"
)

// Error is one value that makes no sense. Field is its name as files write it, a
// part of it behind a dot, as in "change.arm_length".
type Error struct {
	Field   string
	Found   string // the value, with its unit
	Allowed string // what may stand there, such as "-1 m to +1 m"
}

func (e *Error) Error() string {
	return e.Field + ": " + e.Found + " is not possible, allowed are " + e.Allowed
}

// Within returns the error with every fault in it moved into the field of that name:
// what is wrong with "arm_length" of a change is wrong with "change.arm_length" of a
// claim. What holds no fault comes back as it is.
func Within(field string, err error) error {
	list := All(err)
	if len(list) == 0 {
		return err
	}
	moved := make([]error, len(list))
	for i, e := range list {
		moved[i] = &Error{strings.TrimSuffix(field+"."+e.Field, "."), e.Found, e.Allowed}
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
