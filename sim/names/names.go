// Package names gives the values of an enumeration the names that files write: it
// writes them, finds them again, and survives a value that is none of them. Beside these
// stand the few functions of lists that package slices lacks.
package names

import (
	"fmt"
	"slices"
	"strings"
)

// List is the names of the values 0, 1, … of an enumeration.
type List[E ~int] []string

// Rows takes the names out of a table with a row for every value.
func Rows[E ~int, R any](rows []R, name func(*R) string) List[E] {
	list := make(List[E], len(rows))
	for i := range rows {
		list[i] = name(&rows[i])
	}
	return list
}

// Of returns the name of a value, or its type and number if it has none.
func (l List[E]) Of(e E) string {
	if e < 0 || int(e) >= len(l) {
		return fmt.Sprintf("%T(%d)", e, int(e))
	}
	return l[e]
}

// Find returns the value that bears the name.
func (l List[E]) Find(name string) (E, bool) {
	i := slices.Index(l, name)
	return E(max(i, 0)), i >= 0
}

// Marshal is the MarshalText of an enumeration. Its error is that of a value without a
// name.
func (l List[E]) Marshal(e E) ([]byte, error) {
	if e < 0 || int(e) >= len(l) {
		return nil, fmt.Errorf("%s has no name", l.Of(e))
	}
	return []byte(l[e]), nil
}

// Unmarshal is the UnmarshalText of an enumeration. Its error lists the names.
func (l List[E]) Unmarshal(e *E, text []byte) error {
	found, ok := l.Find(string(text))
	if !ok {
		return fmt.Errorf("unknown name %q of a %T, known: %s", text, found, strings.Join(l, ", "))
	}
	*e = found
	return nil
}

// Of lists the names of values; nil where there are none.
func Of[T fmt.Stringer](values []T) []string { return Each(values, T.String) }

// Each lists what is made of each element of a list, such as its name; nil where there are
// none.
func Each[A, B any](list []A, of func(A) B) []B {
	if len(list) == 0 {
		return nil
	}
	all := make([]B, len(list))
	for i, a := range list {
		all[i] = of(a)
	}
	return all
}

// All lists the names of the first n values of an enumeration.
func All[E interface {
	~int
	String() string
}](n E) []string {
	return Each(UpTo(n), E.String)
}

// UpTo lists 0, 1, … n−1: the first n values of an enumeration, or n places.
func UpTo[E ~int](n E) []E {
	list := make([]E, n)
	for e := range n {
		list[e] = e
	}
	return list
}

// HowMany counts the elements of a list of which something is so.
func HowMany[T any](list []T, is func(T) bool) (n int) {
	for _, v := range list {
		if is(v) {
			n++
		}
	}
	return n
}

// First returns the first element of a list of which something is so.
func First[T any](list []T, is func(T) bool) (first T, found bool) {
	if i := slices.IndexFunc(list, is); i >= 0 {
		return list[i], true
	}
	return first, false
}

// Once is the list with v at its end, unless it is in the list already.
func Once[T comparable](list []T, v T) []T {
	if slices.Contains(list, v) {
		return list
	}
	return append(list, v)
}
