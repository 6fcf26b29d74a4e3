// Package clubtable reads tables of measured people as clubs and classes have them: CSV
// or XLSX, with titles, averages and remarks, headers in the words of six languages, and
// units in the header, in the cells, or nowhere. It says back what it took each column
// for.
//
// It never guesses in silence, and one bad row never stops the rest: it is left out and
// named, with what would mend it.
package clubtable

import (
	"errors"
	"fmt"
	"slices"
	"sort"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
)

// Table is what was read of a table.
type Table struct {
	File    string
	Columns []Column // that were understood, in their order
	People  []Person // in the order of the table
	Left    Faults   // people left out, and why
	Notes   []string // what else should be known, a line each
}

// Column says what a column was taken for.
type Column struct {
	Header string
	Of     string // a measurement's name, sex, name or note
	Unit   string // of what has one; "" where each cell says its own
	// Guessed tells that the unit stands nowhere, and was chosen by what people measure.
	Guessed bool
}

// String is as in "Größe → stature, cm (guessed from the values)".
func (c Column) String() string {
	text := c.Header + " → " + strings.ReplaceAll(c.Of, "_", " ")
	if c.Unit != "" {
		text += ", " + c.Unit
	}
	if c.Guessed {
		text += " (guessed from the values)"
	}
	return text
}

// Plain reports whether the header says what is read in the program's own words.
func (c Column) Plain() bool {
	name, _, _ := strings.Cut(c.Header, "(")
	if called.Fold(name) == "person" {
		return true
	}
	of := called.Fold(c.Of)
	return strings.HasPrefix(called.Fold(c.Header), of) && (c.Unit == "" || strings.HasSuffix(called.Fold(c.Header), c.Unit))
}

// Person is one person of a table.
type Person struct {
	Line  int
	Name  string // never empty, and no two the same
	Sex   anthro.Sex
	Known []anthro.Known // in the order of the columns
	Again bool           // what is known was measured again, and is so

	file    string
	columns map[string]int    // where each measurement stands
	found   map[string]string // what stands there, with its unit
}

// Fault gives an error that people's measurements met, such as that nobody has them, its
// place in the table.
func (p *Person) Fault(err error) *study.Error {
	var placed *study.Error
	if errors.As((&study.Person{File: p.file, Line: p.Line, Found: p.found}).Fault(err, words.Metric), &placed) {
		return p.At(placed.Field, "%s", placed.Reason)
	}
	return p.At("", "%v", err)
}

// At is a fault of a field of the person; of none, it is of the whole row.
func (p *Person) At(field, format string, args ...any) *study.Error {
	return &study.Error{File: p.file, Line: p.Line, Column: p.columns[field], Field: field, Reason: fmt.Sprintf(format, args...)}
}

// Faults are of rows, in their order.
type Faults []*study.Error

// mostFaults is how many faults are told; as a rule they are one, in every row.
const mostFaults = 20

// Err joins the faults in the order of their places, or is nil.
func (f Faults) Err() error {
	sort.SliceStable(f, func(a, b int) bool {
		return f[a].Line < f[b].Line || f[a].Line == f[b].Line && f[a].Column < f[b].Column
	})
	var list []error
	for i, e := range f {
		if i == mostFaults {
			list = append(list, &study.Error{File: e.File, Reason: fmt.Sprintf("%d more have faults", len(f)-i)})
			break
		}
		list = append(list, e)
	}
	return errors.Join(list...)
}

// Read reads a table of measured people; file names it in messages. sex, where not nil,
// is everybody's; the table then has no column of it.
//
// Its error is that nothing of the table can be read: a *study.Error, or several joined.
func Read(file string, data []byte, sex *anthro.Sex) (*Table, error) {
	g, err := gridOf(file, data)
	if err != nil {
		return nil, err
	}
	r := &reader{Table: Table{File: file}, grid: g, all: sex}
	for _, n := range g.notes {
		r.note(0, "%s", n)
	}
	at, err := r.header()
	if err != nil {
		return nil, err
	}
	var rows []*row
	for _, cells := range g.rows[at+1:] {
		if row := r.row(cells); row != nil {
			rows = append(rows, row)
		}
		if len(rows) > anthro.MostSample {
			return nil, &study.Error{File: file, Line: rows[len(rows)-1].line, Reason: fmt.Sprintf("more than %d people, take fewer", anthro.MostSample)}
		}
	}
	r.guessUnits(rows)
	for _, row := range rows {
		r.person(row)
	}
	r.distinct()
	if len(r.ignored) > 0 {
		r.note(0, "ignored: %s", strings.Join(r.ignored, ", "))
	}
	for _, of := range []anthro.Measurement{anthro.Stature, anthro.Mass} {
		if !slices.ContainsFunc(r.columns, func(c column) bool { return c.kind == measured && c.of == of }) {
			r.note(0, "no column was read as the %s, so answers are wide; add one if you have it", map[anthro.Measurement]string{anthro.Stature: "height", anthro.Mass: "weight"}[of])
		}
	}
	if len(r.nobody) > 0 {
		r.note(0, "left out, belongs to nobody: %s", strings.Join(r.nobody, ", "))
	}
	for _, c := range r.columns {
		if c.kind != ignored {
			r.Columns = append(r.Columns, c.shown())
		}
	}
	switch {
	case len(r.People) > 0:
		return &r.Table, nil
	case len(r.Left) > 0:
		return nil, r.Left.Err()
	}
	return nil, &study.Error{File: file, Reason: "the table has a header, but no people"}
}

// reader is a table being read.
type reader struct {
	Table
	grid    *grid
	all     *anthro.Sex // of everybody, where the table does not say
	columns []column
	letters string      // for the sexes that are used, with a space behind each
	section *anthro.Sex // of the rows under a line such as "Women"
	ignored []string    // columns
	nobody  []string    // rows that are no people
}

// column is what a column of the table holds.
type column struct {
	meaning
	header  string
	unit    string
	guessed bool
}

func (c *column) shown() Column {
	of := map[kind]string{sexed: "sex", named: "name", first: "name", last: "name", number: "name", noted: "note", again: "measured again"}[c.kind]
	if c.kind == measured {
		of = c.of.String()
	}
	return Column{c.header, of, c.unit, c.guessed}
}

// note adds what should be known, of a line or of the table.
func (r *reader) note(line int, format string, args ...any) {
	r.Notes = append(r.Notes, (&study.Error{File: r.File, Line: line, Reason: fmt.Sprintf(format, args...)}).Error())
}

// fail leaves a row out.
func (r *reader) fail(line, at int, field, format string, args ...any) {
	r.Left = append(r.Left, &study.Error{File: r.File, Line: line, Column: at, Field: printable(field), Reason: fmt.Sprintf(format, args...)})
}

// mostHeader is within how many rows a header is looked for.
const mostHeader = 40

// headerRow finds the row that names the columns: the first of those with most headers
// that mean something. score is how many they are, 0 without a measurement.
func headerRow(rows [][]cell) (at, score int) {
	for i, cells := range rows[:min(len(rows), mostHeader)] {
		var seen []meaning
		measures := false
		for _, c := range cells[:min(len(cells), mostColumns)] {
			if m, _, ok := parseHeader(c.text); ok && !slices.Contains(seen, m) {
				seen = append(seen, m)
				measures = measures || m.kind == measured
			}
		}
		if measures && len(seen) > score {
			at, score = i, len(seen)
		}
	}
	return at, score
}

// turned is the grid with its rows as columns.
func turned(rows [][]cell) [][]cell {
	var list [][]cell
	for _, cells := range rows[:min(len(rows), mostColumns)] {
		for i, c := range cells[:min(len(cells), mostHeader)] {
			for len(list) <= i {
				list = append(list, nil)
			}
			list[i] = append(list[i], c)
		}
	}
	return list
}

// header reads the row that names the columns, and what stands right below as units.
func (r *reader) header() (at int, err error) {
	rows := r.grid.rows
	fail := func(line int, format string, args ...any) (int, error) {
		return 0, &study.Error{File: r.File, Line: line, Reason: fmt.Sprintf(format, args...)}
	}
	filled := slices.ContainsFunc(rows, func(cells []cell) bool { return !blank(cells) })
	at, score := headerRow(rows)
	_, other := headerRow(turned(rows))
	const example = "name, sex, height (cm), weight (kg), arm span (cm)"
	switch {
	case !filled:
		return fail(0, "the table is empty")
	case other > score && other > 1:
		return fail(0, "each person has a column; turn the table so that each has a row (in a spreadsheet: copy, paste special, transpose)")
	case score == 0:
		return fail(0, "no row names the columns; add one above the people, such as: %s", example)
	}
	cells := rows[at]
	line := cells[0].line
	if len(cells) > mostColumns {
		return fail(line, "the header has %d columns, at most %d are read", len(cells), mostColumns)
	}
	r.columns = make([]column, len(cells))
	var faults Faults
	for i, c := range cells {
		faults = append(faults, r.columnOf(&r.columns[i], c)...)
	}
	if err := faults.Err(); err != nil {
		return 0, err // what was meant by whole columns is not known
	}
	if at+1 < len(rows) && r.unitsRow(rows[at+1]) {
		at++
	}
	return at, r.sexKnown(rows[at+1:], line)
}

func blank(cells []cell) bool {
	return !slices.ContainsFunc(cells, func(c cell) bool { return c.text != "" })
}

// columnOf reads one header.
func (r *reader) columnOf(c *column, h cell) (faults Faults) {
	fail := func(format string, args ...any) {
		faults = append(faults, &study.Error{File: r.File, Line: h.line, Column: h.column, Field: printable(h.text), Reason: fmt.Sprintf(format, args...)})
	}
	c.header = printable(h.text)
	m, unit, ok := parseHeader(h.text)
	if !ok {
		if h.text != "" {
			r.ignored = append(r.ignored, c.header+didYouMean(h.text))
		}
		return nil
	}
	if m.kind != named && m.kind != noted {
		if i := slices.IndexFunc(r.columns, func(o column) bool { return o.kind != ignored && o.meaning == m }); i >= 0 {
			r.ignored = append(r.ignored, fmt.Sprintf("%s (there as %s before)", c.header, r.columns[i].header))
			return nil
		}
	}
	c.meaning = m
	switch {
	case m.kind == sexed && r.all != nil:
		fail("the table gives the sex of each person, but --sex says that all are %s; use only one of the two", *r.all)
	case m.kind == measured && m.of == anthro.Age:
		if unit != "" && unit != "years" {
			fail("ages are read in years, as in age or age (years)")
		}
	case m.kind == measured:
		if parts := remark.FindStringSubmatch(h.text); unit == "" && parts != nil {
			r.note(h.line, "%s: %q is not a known unit", c.header, printable(parts[2]))
		}
		c.unit = unit
		if unit != "" && !slices.Contains(unitsOf(m.of), unit) {
			fail("%s is not one of its units; allowed: %s", unit, strings.Join(unitsOf(m.of), ", "))
		}
	}
	return faults
}

// unitsRow takes a row that holds nothing but units for those of the columns above.
func (r *reader) unitsRow(cells []cell) bool {
	found := false
	for i, c := range cells {
		if c.text == "" || i >= len(r.columns) {
			continue
		}
		unit, ok := unitMeant(strings.Trim(c.text, "()[] "))
		if !ok {
			return false
		}
		if m := &r.columns[i]; m.kind == measured && m.unit == "" && slices.Contains(unitsOf(m.of), unit) {
			m.unit, found = unit, true
		}
	}
	return found
}

// distinct tells people of the same name apart.
func (r *reader) distinct() {
	taken := map[string]bool{}
	for i := range r.People {
		p := &r.People[i]
		name := p.Name
		for n := 2; taken[p.Name]; n++ {
			p.Name = fmt.Sprintf("%s (%d)", name, n)
		}
		if p.Name != name {
			r.note(p.Line, "a second %s, called %s here", name, p.Name)
		}
		taken[p.Name] = true
	}
}
