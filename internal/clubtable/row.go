package clubtable

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"counterpoise/internal/called"
	"counterpoise/internal/nearest"
	"counterpoise/internal/study"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
)

// row is a person before the units are known.
type row struct {
	line  int
	name  string
	sex   anthro.Sex
	again bool
	cells []reading
	bad   bool
}

// reading is a measurement as it stands.
type reading struct {
	*column
	at   int
	text string
	unit string // that stands in the cell; "" where none does
	// amount is the number before the unit, or without one; text is read where it is NaN.
	amount float64
	unsure bool // whether it is in the unit of the others
}

// foreign reports whether a length was not read in the units of its column, but in those of the other
// system.
func (c reading) foreign() bool {
	metric := func(unit string) bool { return strings.HasSuffix(unit, "m") }
	return c.column.unit != "" && c.unit != "" && words.DimensionOf(c.of) == units.Length && metric(c.column.unit) != metric(c.unit)
}

// switched reports whether a length is in feet or inches in a column of metres.
func (c reading) switched() bool {
	metric := c.column.unit == "cm" || c.column.unit == "m" || c.column.unit == "mm"
	return metric && (strings.Contains(c.unit, " ft") || strings.HasSuffix(c.unit, " in"))
}

// sexKnown makes sure that the sex of people can be known, and reads which letters stand
// for the sexes.
func (r *reader) sexKnown(rows [][]cell, line int) error {
	at := slices.IndexFunc(r.columns, func(c column) bool { return c.kind == sexed })
	if at < 0 {
		sections := slices.ContainsFunc(rows, func(cells []cell) bool { _, ok := sectionOf(cells); return ok })
		if r.all == nil && !sections {
			return &study.Error{File: r.File, Line: line, Reason: "there is no column for the sex, which is needed to fill in what was not measured; add one (female, male), or use --sex if all are of one sex"}
		}
		return nil
	}
	for _, cells := range rows {
		if at < len(cells) {
			r.letters += called.Fold(cells[at].text) + " "
		}
	}
	return nil
}

// letter is the sex that a letter stands for among those that are used: m is a man, but
// where h is one a woman (mujer, mulher); d is a woman where u is a man (donna, uomo).
func (r *reader) letter(letter string) (anthro.Sex, bool) {
	used := func(l string) bool { return strings.Contains(" "+r.letters, " "+l+" ") }
	switch letter {
	case "f", "w":
		return anthro.Female, true
	case "h", "u":
		return anthro.Male, true
	case "m":
		if used("h") {
			return anthro.Female, !used("f") && !used("w")
		}
		return anthro.Male, true
	case "d":
		return anthro.Female, used("u")
	}
	return 0, false
}

// sexOf reads a cell of the sex.
func (r *reader) sexOf(text string) (anthro.Sex, bool) {
	word := called.Fold(text)
	if sex, ok := called.Sex(word); ok {
		return sex, true
	}
	return r.letter(word)
}

// sectionOf finds a line that says of whom the rows below are.
func sectionOf(cells []cell) (sex anthro.Sex, ok bool) {
	filled := 0
	for _, c := range cells {
		if c.text != "" {
			filled++
			sex, ok = called.Sex(c.text)
		}
	}
	return sex, ok && filled == 1
}

// row reads one person, but for the values; nil for a row that is none, or left out.
func (r *reader) row(cells []cell) *row {
	if blank(cells) {
		return nil
	}
	line := cells[0].line
	if sex, ok := sectionOf(cells); ok && !slices.ContainsFunc(r.columns, func(c column) bool { return c.kind == sexed }) {
		r.section = &sex
		return nil
	}
	if r.isHeader(cells) {
		return nil
	}
	p := &row{line: line}
	sexText, sexAt, says := "", 0, false
	var names [number + 1][]string
	for i, c := range cells {
		if c.text == "" || i >= len(r.columns) {
			continue
		}
		switch col := &r.columns[i]; col.kind {
		case named, first, last, number:
			names[col.kind] = append(names[col.kind], c.text)
		case sexed:
			sexText, sexAt = c.text, c.column
		case again:
			switch called.Fold(c.text) {
			case "yes", "ja", "oui", "si", "sim":
				p.again = true
			case "no", "nein", "non", "nao":
			default:
				r.fail(line, c.column, col.header, "found %q, allowed: yes, no", printable(c.text))
				p.bad = true
			}
		case measured:
			if !isMissing(c.text) {
				says = true
				p.cells = append(p.cells, reading{column: col, at: c.column, text: c.text})
			}
		}
	}
	p.name = nameOf(names, line)
	if isSummary(cells, isMissing(sexText)) {
		r.nobody = append(r.nobody, fmt.Sprintf("%q in row %d", printable(firstText(cells)), line))
		return nil
	}
	if !says && isMissing(sexText) {
		r.nobody = append(r.nobody, fmt.Sprintf("%q in row %d", printable(firstText(cells)), line))
		return nil
	}
	r.finish(p, cells, sexText, sexAt)
	if p.bad {
		return nil
	}
	return p
}

// isHeader finds a header that is there again.
func (r *reader) isHeader(cells []cell) bool {
	same := 0
	for i, c := range cells {
		if i < len(r.columns) && c.text != "" && printable(c.text) == r.columns[i].header && r.columns[i].kind != ignored {
			same++
		}
	}
	return same > 1
}

// finish reads the sex and the cells of a row, and finds what is wrong with it.
func (r *reader) finish(p *row, cells []cell, sexText string, sexAt int) {
	fail := func(at int, field, format string, args ...any) {
		r.fail(p.line, at, field, p.name+": "+format, args...)
		p.bad = true
	}
	for i, c := range cells {
		if c.text == "" || i < len(r.columns) {
			continue
		}
		if r.grid.comma == ',' {
			fail(c.column, "", "has %d cells but the header has %d: a comma inside a number may split it; save the table with semicolons, as .xlsx, or with decimal points", len(cells), len(r.columns))
		} else {
			fail(c.column, "", "%q is in a column without a header", printable(c.text))
		}
		return
	}
	sex, ok := anthro.Sex(0), false
	switch {
	case r.all != nil:
		sex, ok = *r.all, true
	case !isMissing(sexText):
		if sex, ok = r.sexOf(sexText); !ok && called.Fold(sexText) == "m" {
			fail(sexAt, "sex", "found %q, which means a woman next to h and a man next to f or w; write female or male", printable(sexText))
		} else if !ok {
			fail(sexAt, "sex", "found %q, allowed: female, male, f, m (or w, h and words of the language); the simulated bodies are women's or men's, so write the closer one", printable(sexText))
		}
	case r.section != nil:
		sex, ok = *r.section, true
	case sexText != "":
		fail(sexAt, "sex", "found %q, which stands for nothing known; write female or male", printable(sexText))
	default:
		fail(0, "sex", "is missing; write female or male")
	}
	p.sex = sex
	for i := range p.cells {
		if err := p.cells[i].parse(r.grid.comma); err != nil {
			fail(p.cells[i].at, p.cells[i].header, "found %q, %v", printable(p.cells[i].text), err)
		}
	}
	if slices.ContainsFunc(p.cells, reading.switched) {
		for i := range p.cells {
			if c := &p.cells[i]; c.of == anthro.Mass && c.unit == "" && c.column.unit == "kg" {
				fail(c.at, c.header, "found %q beside a length in feet or inches in a table of kilograms, which may be pounds; write its unit", printable(c.text))
			}
		}
	}
	if ok && len(p.cells) == 0 {
		fail(0, "", "nothing was measured; height and weight are enough")
	}
}

// person reads the values of a row, once the units of all columns are known.
func (r *reader) person(row *row) {
	p := Person{Line: row.line, Name: row.name, Sex: row.sex, Again: row.again, file: r.File, columns: map[string]int{}, found: map[string]string{}}
	bad := false
	for i := range row.cells {
		c := &row.cells[i]
		value, err := c.value()
		if err != nil {
			r.fail(row.line, c.at, c.header, "%s: found %q, %v", row.name, printable(c.text), err)
			bad = true
			continue
		}
		p.Known = append(p.Known, anthro.Known{Of: c.of, Value: value})
		p.columns[c.of.String()] = c.at
		p.found[c.of.String()] = c.written()
	}
	if !bad {
		r.People = append(r.People, p)
	}
}

// mostNamed is how many letters of a name are kept.
const mostNamed = 60

// nameOf puts a name together.
func nameOf(names [number + 1][]string, line int) string {
	parts := slices.Concat(names[first], names[named], names[last])
	if len(parts) == 0 {
		parts = names[number]
	}
	name := strings.Join(strings.Fields(strings.Map(func(c rune) rune {
		if !unicode.IsPrint(c) {
			return ' ' // it would rule the terminal on which the name is printed
		}
		return c
	}, strings.Join(parts, " "))), " ")
	if letters := []rune(name); len(letters) > mostNamed {
		name = strings.TrimSpace(string(letters[:mostNamed]))
	}
	if name == "" {
		return fmt.Sprintf("row %d", line)
	}
	return name
}

func isMissing(text string) bool {
	folded := called.Fold(text)
	return folded == "" && !strings.ContainsAny(text, "'\"") || slices.Contains(missing, folded)
}

func firstText(cells []cell) string {
	for _, c := range cells {
		if c.text != "" {
			return c.text
		}
	}
	return ""
}

// isSummary reports whether a row is a mean or a sum.
func isSummary(cells []cell, sexless bool) bool {
	text := firstText(cells)
	folded := " " + called.Fold(text) + " "
	starts := func(w string) bool { return strings.HasPrefix(folded, " "+w+" ") }
	return slices.ContainsFunc(summaries, starts) || sexless && slices.ContainsFunc(maybeSums, starts)
}

// didYouMean is the hint behind a header that means nothing, or nothing.
func didYouMean(header string) string {
	if parts := remark.FindStringSubmatch(header); parts != nil {
		header = parts[1]
	}
	folded := called.Fold(header)
	if len(folded) > 60 || len(folded) < 4 {
		return ""
	}
	known := called.MeasurementWords()
	for w := range meanings {
		known = append(known, w)
	}
	for m := range anthro.NumVariables {
		known = append(known, strings.ReplaceAll(m.String(), "_", " "))
	}
	slices.Sort(known) // maps have no order
	if near, ok := nearest.Nearest(folded, known); ok {
		return fmt.Sprintf(" (did you mean %s?)", near)
	}
	return ""
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
