package explorer

import (
	"math"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
)

// UnitsOf is how a page takes and shows quantities in one system of units.
type UnitsOf struct {
	System string     `json:"system"`
	Length UnitOf     `json:"length"` // of what is typed without a unit
	Mass   UnitOf     `json:"mass"`
	Angle  UnitOf     `json:"angle"`
	Time   UnitOf     `json:"time"`
	Steps  [2]Lengths `json:"steps"` // by which the hands are moved
	Bar    Lengths    `json:"bar"`   // that stands for distances in a picture
}

// UnitOf is a unit: as it is written, and its size in m, kg, degrees or seconds.
type UnitOf struct {
	Unit string  `json:"unit"`
	Size float64 `json:"size"`
}

// Lengths is a length with its text.
type Lengths struct {
	Metres float64 `json:"metres"`
	Text   string  `json:"text"`
}

// unitTables are those of all systems.
func unitTables() []UnitsOf {
	var list []UnitsOf
	for s := range words.System(len(words.Systems)) {
		of := func(d units.Dimension) UnitOf { return UnitOf{words.Unit(d, s), units.Size(words.Unit(d, s))} }
		lengths := []float64{0.01, 0.05, 0.5}
		if s == words.Imperial {
			lengths = []float64{units.Size("in") / 2, 2 * units.Size("in"), 2 * units.Size("ft")}
		}
		bar := words.Rough(lengths[2], units.Length, s)
		if s == words.Imperial {
			bar = words.Quantity(lengths[2], units.Length, s)
		}
		table := UnitsOf{System: words.Systems[s], Length: of(units.Length), Mass: of(units.Mass), Angle: UnitOf{"°", 1}, Time: of(units.Duration), Bar: Lengths{lengths[2], bar}}
		for i := range table.Steps {
			table.Steps[i] = Lengths{lengths[i], words.Rough(lengths[i], units.Length, s)}
		}
		list = append(list, table)
	}
	return list
}

// rangeTexts writes a range of lengths in metres or of angles in degrees, by system of
// units.
func rangeTexts(kind string, i Interval) map[string]string {
	texts := map[string]string{}
	for s, name := range words.Systems {
		write := func(x float64) string { return words.WithUnit(trimmed(x), "°") }
		if kind == "length" {
			write = func(x float64) string { return typed(x, units.Length, words.System(s), true) }
		}
		texts[name] = words.Interval(write(i.Least), write(i.Most))
	}
	return texts
}

// trimmed writes a number to a tenth, whole ones without.
func trimmed(x float64) string { return strings.TrimSuffix(words.Number(x, 1), ".0") }

// feetFrom is from which length on people write feet, m.
const feetFrom = 3 * 0.3048

// typed writes a quantity as people type it: to a tenth, in feet and inches where those
// are used and it is long.
func typed(x float64, d units.Dimension, s words.System, withUnit bool) string {
	if d == units.Length && s == words.Imperial && x >= feetFrom-1e-9 {
		return words.Quantity(x, d, s)
	}
	unit := words.Unit(d, s)
	if !withUnit {
		unit = ""
	}
	return words.WithUnit(trimmed(x/units.Size(words.Unit(d, s))), unit)
}

// ConvertRequest asks for what was typed in one system of units in another.
type ConvertRequest struct {
	From  string  `json:"from"`
	To    string  `json:"to"`
	Typed []Typed `json:"typed"`
}

// Typed is a text of a field and its kind, "length" or "mass".
type Typed struct {
	Kind string `json:"kind"`
	Text string `json:"text"`
}

// Converted are the texts in the other system, in the order of the request; what cannot
// be read is left as it was.
type Converted struct {
	Texts []string `json:"texts"`
}

// mostTyped is how many texts are converted at a time.
const mostTyped = 200

func convert(q *ConvertRequest) (*Converted, error) {
	f := &form{}
	for _, at := range []struct{ field, name string }{{"from", q.From}, {"to", q.To}} {
		if !f.oneOf(at.field, at.name, words.Systems[:]) {
			return nil, &RequestError{f.faults[0].Field, f.faults[0].Reason}
		}
	}
	if len(q.Typed) > mostTyped {
		return nil, &RequestError{"typed", "more than are converted at a time"}
	}
	to, _ := words.ParseSystem(q.To)
	f.system, _ = words.ParseSystem(q.From)
	c := &Converted{Texts: []string{}}
	for _, t := range q.Typed {
		d := units.Length
		if t.Kind == "mass" {
			d = units.Mass
		}
		text := t.Text
		if read, ok := f.quantity("typed", text, d); ok && math.Abs(read.Value) < 1e6 {
			text = typed(read.Value, d, to, read.PlusMinus > 0)
			if read.PlusMinus > 0 {
				text += " ± " + words.WithUnit(trimmed(read.PlusMinus/units.Size(words.Unit(d, to))), words.Unit(d, to))
			}
		}
		c.Texts = append(c.Texts, text)
	}
	return c, nil
}
