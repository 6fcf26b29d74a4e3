// Package people reads tables of measured people, as a club or a class keeps
// them, and makes people of them that can be drawn.
package people

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"regexp"
	"sort"
	"strings"
	"unicode"

	"counterpoise/internal/nearest"
	"counterpoise/internal/study"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
)

// MostBytes is how long a table may be.
const MostBytes = 4 << 20

// mostColumns is how many columns a table may have, most of which are of no use.
const mostColumns = 100

// mostFaults is how many faults of a table are told; as a rule they are one
// fault, in every row.
const mostFaults = 20

// Row is one person of a table.
type Row struct {
	Line  int
	Sex   anthro.Sex
	Known []anthro.Known // in the order of the columns
	Again bool           // what is known was measured again, and is so

	columns map[string]int // where each measurement stands
}

// table is a table being read.
type table struct {
	file   string
	sex    *anthro.Sex // of everybody, where the table does not say
	comma  rune
	faults []error
}

func (t *table) fail(line, column int, field, format string, args ...any) {
	t.faults = append(t.faults, &study.Error{File: t.file, Line: line, Column: column, Field: printable(field), Reason: fmt.Sprintf(format, args...)})
}

// err joins the faults in the order of their places, or is nil.
func (t *table) err() error {
	place := func(i int) (line, column int) {
		f := t.faults[i].(*study.Error)
		return f.Line, f.Column
	}
	sort.SliceStable(t.faults, func(a, b int) bool {
		line, column := place(a)
		otherLine, otherColumn := place(b)
		return line < otherLine || line == otherLine && column < otherColumn
	})
	if len(t.faults) > mostFaults {
		return errors.Join(append(t.faults[:mostFaults:mostFaults], &study.Error{File: t.file, Reason: "there are more faults"})...)
	}
	return errors.Join(t.faults...)
}

// Read reads a table of measured people: a header and a row for each, the columns
// separated by commas or, as spreadsheets do where the comma is the decimal sign,
// by semicolons. A header is the name of a measurement with its unit, as in
// "stature (cm)" or "mass_kg", or sex, or person or note, which are not kept.
// Cells are empty where nothing was measured; lines that start with # are
// comments. sex, where not nil, is everybody's; the table then has no such
// column.
//
// file names the table in messages. All faults are reported, one a line, up to
// twenty.
func Read(file string, data []byte, sex *anthro.Sex) ([]Row, error) {
	t := &table{file: file, sex: sex}
	if len(data) > MostBytes {
		return nil, &study.Error{File: file, Reason: fmt.Sprintf("is too long, at most %d bytes are read", MostBytes)}
	}
	if line := study.InvalidLine(data); line > 0 {
		return nil, &study.Error{File: file, Line: line, Reason: "the text is not UTF-8; save the table as CSV in UTF-8"}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	var tabs bool
	if t.comma, tabs = separator(data); tabs {
		return nil, &study.Error{File: file, Reason: "the columns are separated by tabs; save the table with commas or semicolons"}
	}
	r := csv.NewReader(bytes.NewReader(data))
	r.Comma, r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = t.comma, '#', -1, true
	header, err := r.Read()
	if errors.Is(err, io.EOF) {
		return nil, &study.Error{File: file, Reason: "the table is empty"}
	}
	if err != nil {
		return nil, t.syntax(err)
	}
	columns := t.header(r, header)
	if len(t.faults) > 0 {
		return nil, t.err() // without the header no cell has a meaning
	}
	var rows []Row
	for len(t.faults) <= mostFaults {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.faults = append(t.faults, t.syntax(err))
			break // where the next row starts is not known
		}
		if row, ok := t.row(r, columns, cells); ok {
			rows = append(rows, row)
		}
		if len(rows) > anthro.MostSample {
			t.fail(rows[anthro.MostSample].Line, 0, "", "more than %d people, take fewer", anthro.MostSample)
			break
		}
	}
	if len(t.faults) > 0 {
		return nil, t.err()
	}
	if len(rows) == 0 {
		return nil, &study.Error{File: file, Reason: "the table has a header, but no people"}
	}
	return rows, nil
}

// separator finds what separates the columns of the header: semicolons where it
// has any outside of quotes, else commas; tabs tells that there are only those.
func separator(data []byte) (comma rune, tabs bool) {
	for line := range bytes.Lines(data) {
		text := strings.TrimSpace(string(line))
		if text == "" || text[0] == '#' {
			continue
		}
		quoted, count := false, map[rune]int{}
		for _, r := range text {
			if r == '"' {
				quoted = !quoted
			} else if !quoted {
				count[r]++
			}
		}
		if count[';'] > 0 {
			return ';', false
		}
		return ',', count['\t'] > 0 && count[','] == 0
	}
	return ',', false
}

// syntax turns an error of the parser into a fault.
func (t *table) syntax(err error) error {
	var parse *csv.ParseError
	if !errors.As(err, &parse) {
		return &study.Error{File: t.file, Reason: err.Error()}
	}
	reason := parse.Err.Error()
	if errors.Is(parse.Err, csv.ErrQuote) || errors.Is(parse.Err, csv.ErrBareQuote) {
		reason = `a quotation mark that cannot stand here: a cell in quotes is quoted whole, and a mark in it is doubled, as in "5'8"""`
	}
	return &study.Error{File: t.file, Line: parse.Line, Column: parse.Column, Reason: reason}
}

// column is what a column of the table holds.
type column struct {
	header      string
	sex, again  bool
	measurement anthro.Measurement
	measured    bool
	unit        string
}

var withUnit = regexp.MustCompile(`^(.*?)\s*[(\[]\s*(.*?)\s*[)\]]$`)

// notKept are columns that tables of people have and that say nothing here.
var notKept = []string{"person", "note"}

// again names the column that says of whom what stands there was measured again.
const again = "measured_again"

// everyday are other words for the names of columns that are no measurements.
var everyday = map[string]string{"gender": "sex", "name": "person", "id": "person", "comment": "note"}

// header reads the headers.
func (t *table) header(r *csv.Reader, cells []string) []column {
	if len(cells) > mostColumns {
		line, _ := r.FieldPos(0)
		t.fail(line, 0, "", "the header has %d columns, at most %d are read", len(cells), mostColumns)
		return nil
	}
	columns := make([]column, len(cells))
	seen := map[string]string{}
	measured, sexed := false, false
	for i, cell := range cells {
		line, at := r.FieldPos(i)
		header := strings.TrimSpace(cell)
		c := &columns[i]
		c.header = header
		if header == "" {
			continue // a fault only where something stands below
		}
		name, unit := header, ""
		if m := withUnit.FindStringSubmatch(header); m != nil {
			name, unit = m[1], m[2]
		}
		name = strings.NewReplacer(" ", "_", "-", "_").Replace(strings.ToLower(strings.TrimSpace(name)))
		of, known := anthro.ParseMeasurement(name)
		if k := strings.LastIndexByte(name, '_'); !known && unit == "" && k > 0 {
			// As people draw writes them: stature_m.
			if of, known = anthro.ParseMeasurement(name[:k]); known {
				name, unit = name[:k], name[k+1:]
			}
		}
		if before, twice := seen[name]; twice {
			t.fail(line, at, header, "is there twice, first as %s", before)
			continue
		}
		seen[name] = printable(header)
		switch {
		case known && of == anthro.Age:
			measured = true
			c.measurement, c.measured = of, true
			if unit != "" && unit != of.Unit() {
				t.fail(line, at, header, "ages are read in years, as in age or age (years)")
			}
		case known && unit == "":
			example := "cm"
			if of == anthro.Mass {
				example = "kg"
			}
			t.fail(line, at, header, "needs its unit, as in %s (%s)", name, example)
		case known:
			measured = true
			c.measurement, c.measured, c.unit = of, true, unit
			if _, err := units.Parse("1 "+unit, words.DimensionOf(of)); err != nil {
				t.fail(line, at, header, "%v", err)
			}
		case name == again:
			c.again = true
		case name == "sex":
			sexed, c.sex = true, true
			if t.sex != nil {
				t.fail(line, at, header, "the table says the sex of each person, and somebody else said that all are %s; give one of the two", *t.sex)
			}
		case name == notKept[0] || name == notKept[1]:
		default:
			t.fail(line, at, header, "unknown column%s; allowed are sex, age, %s, %s, and measurements with their unit: %s",
				suggest(name), again, strings.Join(notKept, ", "), strings.Join(anthro.MeasurementNames(), ", "))
		}
	}
	if len(t.faults) > 0 {
		return nil
	}
	line, _ := r.FieldPos(0)
	if !measured {
		t.fail(line, 0, "", "no column is a measurement with its unit, as in stature (cm)")
	}
	if !sexed && t.sex == nil {
		t.fail(line, 0, "", "there is no column sex (female, male), and nobody said the sex of all")
	}
	return columns
}

// suggest is the "did you mean" of a message, or nothing.
func suggest(name string) string {
	usual, ok := everyday[name]
	if m, measured := anthro.MeasurementCalled(name); measured {
		usual, ok = m.String(), true
	}
	if ok {
		return fmt.Sprintf(" (did you mean %s?)", usual)
	}
	if len(name) > 60 {
		return ""
	}
	if near, ok := nearest.Nearest(name, append(anthro.MeasurementNames(), anthro.Age.String(), again, "sex", notKept[0], notKept[1])); ok {
		return fmt.Sprintf(" (did you mean %s?)", near)
	}
	return ""
}

// row reads one person; a row without anything in it is none.
func (t *table) row(r *csv.Reader, columns []column, cells []string) (Row, bool) {
	line, _ := r.FieldPos(0)
	row := Row{Line: line, columns: map[string]int{}}
	empty := true
	for i := range cells {
		cells[i] = strings.TrimSpace(cells[i])
		empty = empty && cells[i] == ""
	}
	if empty {
		return row, false
	}
	if len(cells) < len(columns) {
		t.fail(line, 0, "", "has %d cells, the header has %d; leave empty what was not measured", len(cells), len(columns))
		return row, false
	}
	faults, sexed := len(t.faults), t.sex != nil
	if sexed {
		row.Sex = *t.sex
	}
	for i, cell := range cells {
		if cell == "" {
			continue
		}
		_, at := r.FieldPos(i)
		if i >= len(columns) || columns[i].header == "" {
			t.fail(line, at, "", "%q stands in a column without a header", printable(cell))
			break
		}
		switch c := &columns[i]; {
		case c.again:
			row.Again = t.againOf(line, at, c, cell)
		case c.sex:
			row.Sex, sexed = t.sexOf(line, at, c, cell), true
		case c.measured:
			if value, ok := t.value(line, at, c, cell); ok {
				row.Known = append(row.Known, anthro.Known{Of: c.measurement, Value: value})
				row.columns[c.measurement.String()] = at
			}
		}
	}
	if len(t.faults) > faults {
		return row, false
	}
	switch {
	case !sexed:
		t.fail(line, 0, "sex", "is missing")
	case len(row.Known) == 0:
		t.fail(line, 0, "", "nothing was measured of this person")
	default:
		return row, true
	}
	return row, false
}

// againOf reads whether somebody was measured again.
func (t *table) againOf(line, at int, c *column, cell string) bool {
	switch strings.ToLower(cell) {
	case "yes":
		return true
	case "no":
		return false
	}
	t.fail(line, at, c.header, "found %q, allowed are yes, no", printable(cell))
	return false
}

func (t *table) sexOf(line, at int, c *column, cell string) anthro.Sex {
	switch strings.ToLower(cell) {
	case "f":
		return anthro.Female
	case "m":
		return anthro.Male
	}
	sex, ok := anthro.ParseSex(strings.ToLower(cell))
	if !ok {
		t.fail(line, at, c.header, "found %q, allowed are female, male, f, m", printable(cell))
	}
	return sex
}

// value reads a number in the unit of its column, in SI units.
func (t *table) value(line, at int, c *column, cell string) (float64, bool) {
	number := cell
	if t.comma == ';' && strings.Count(cell, ",") == 1 && !strings.Contains(cell, ".") {
		number = strings.Replace(cell, ",", ".", 1)
	}
	if strings.ContainsFunc(number, unicode.IsLetter) {
		t.fail(line, at, c.header, "found %q, must be a number, in %s; leave empty what was not measured", printable(cell), c.unit)
		return 0, false
	}
	q, err := units.Parse(number+" "+c.unit, words.DimensionOf(c.measurement))
	if err != nil {
		t.fail(line, at, c.header, "found %q: %v", printable(cell), err)
		return 0, false
	}
	if !(q.Value > 0) {
		t.fail(line, at, c.header, "found %q, must be positive", printable(cell))
		return 0, false
	}
	return q.Value, true
}

func printable(text string) string { return study.Printable(text, 60) }
