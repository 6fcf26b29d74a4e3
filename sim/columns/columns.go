// Package columns is how tables of bodies, or of draws, are handed on: what their columns are,
// and their rows.
package columns

import (
	"strings"
	"unicode"

	"counterpoise/sim/body"
	"counterpoise/sim/names"
)

// Column describes one column of the table of bodies.
type Column struct {
	Name        string // ends in its unit
	Unit        string
	Description string
	Integer     bool // held in Rows.Int, otherwise in Rows.Float
	Missing     bool // not a number where there is no such value
}

// Layout is the columns of the table of bodies, in order.
type Layout struct{ Columns []Column }

// Rows is a run of rows of the table of bodies: column j is Float[j] or, for an
// integer column, Int[j]. It is valid only during the call that receives it.
type Rows struct {
	N     int
	Float [][]float32
	Int   [][]int32
}

// Sink takes the table of bodies. Rows come in order; the table counts only
// after Commit, and Abort takes back what was written.
type Sink interface {
	Write(*Rows) error
	Commit() error
	Abort()
}

// Traits are the columns that describe the first body.
var Traits = []body.Trait{
	body.Stature, body.Mass, body.ArmLength, body.ForearmLength, body.ShoulderSpan, body.TrunkLength, body.LegLength, body.ThighLength, body.FootLength,
	body.HeadMassShare, body.TrunkMassShare, body.ArmsMassShare, body.LegsMassShare,
}

// InSI says how what has a unit is told in the table of bodies, where the options do
// not: how the names of columns end, the unit, and the factor from the demand's own.
func InSI(unit string) (suffix, shown string, factor float64) {
	if unit == "" {
		return "_ratio", "", 1
	}
	return "_" + strings.ReplaceAll(strings.ToLower(unit), "·", "_"), unit, 1
}

// NewLayout returns the columns that describe the people and their first bodies.
func NewLayout() Layout {
	people := Column{"people", "", "index of the population in the claim's list", true, false}
	return Layout{append([]Column{people}, names.Each(Traits, func(t body.Trait) Column {
		return Column{t.Column(), t.Info().Unit, t.Info().Meaning, false, false}
	})...)}
}

// Fill writes the columns of NewLayout from the given row on.
func Fill(r *Rows, from, group int, b *body.Columns) {
	rows := b.Rows()
	groups := r.Int[0][from : from+rows]
	for i := range groups {
		groups[i] = int32(group)
	}
	for k, t := range Traits {
		column := r.Float[1+k][from : from+rows]
		for i := range column {
			column[i] = float32(t.Of(b, i))
		}
	}
}

// Slug turns a model's name into a part of a column name.
func Slug(name string) string {
	parts := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return strings.Join(parts, "_")
}

// NewRows makes room for n rows.
func NewRows(l Layout, n int) *Rows {
	r := &Rows{Float: make([][]float32, len(l.Columns)), Int: make([][]int32, len(l.Columns))}
	for j, c := range l.Columns {
		if c.Integer {
			r.Int[j] = make([]int32, n)
		} else {
			r.Float[j] = make([]float32, n)
		}
	}
	return r
}

// Narrow writes values times a factor.
func Narrow(dst []float32, values []float64, factor float64) {
	values = values[:len(dst)]
	for i := range dst {
		dst[i] = float32(values[i] * factor)
	}
}
