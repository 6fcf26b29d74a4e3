package clubtable

import (
	"slices"
	"strings"
	"sync"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
	"counterpoise/sim/math"
)

// What a unit must be ahead of the next, in the logarithm of the likelihood over all that
// stands in the column, and how unlikely a single value counts at most. Common practice,
// no source: e⁵ is 150 to 1.
const (
	ahead     = 5.0
	unlikely  = -20.0
	plausible = -7.0 // about 1 in 1,000
	sure      = 2.0  // of one value; 7 to 1
	mostly    = 3.0  // of two units of a person that they are of one system; 20 to 1
)

// guessUnits chooses the units of columns that have none, by what people of that sex
// and, but for the stature itself, that stature measure.
func (r *reader) guessUnits(rows []*row) {
	for pass := range 2 { // the stature first, by which the rest is judged
		for i := range r.columns {
			c := &r.columns[i]
			if c.kind == measured && c.unit == "" && c.of != anthro.Age && (c.of == anthro.Stature) == (pass == 0) {
				r.guessUnit(c, rows, newLikelihood())
			}
		}
	}
}

func (r *reader) guessUnit(c *column, rows []*row, likelihood likelihood) {
	var open []*reading
	var of []*row
	for _, row := range rows {
		for i := range row.cells {
			if cell := &row.cells[i]; cell.column == c && cell.unit == "" && finite(cell.amount) {
				open, of = append(open, cell), append(of, row)
			}
		}
	}
	if len(open) == 0 {
		return
	}
	best, most, next := "", math.Inf(-1), math.Inf(-1)
	for _, unit := range unitsOf(c.of) {
		if strings.Contains(unit, " ") {
			continue // of two parts, which no bare number has
		}
		sum := 0.0
		for i, cell := range open {
			if foreign(of[i]) {
				continue
			}
			sum += likelihood.of(of[i], c.of, cell.amount*units.Size(unit))
		}
		if sum > most {
			best, most, next = unit, sum, most
		} else {
			next = max(next, sum)
		}
	}
	if most-next < ahead {
		return // told where the values are needed
	}
	c.unit, c.guessed = best, true
	for i, cell := range open {
		fits := likelihood.of(of[i], c.of, cell.amount*units.Size(best))
		if other := map[string]string{"kg": "lb", "lb": "kg"}[best]; other != "" && foreign(of[i]) {
			// Who writes a height in inches mostly weighs in pounds, whatever the others do.
			switch fitsToo := likelihood.of(of[i], c.of, cell.amount*units.Size(other)) + mostly; {
			case fitsToo > fits+sure:
				cell.unit = cell.text + " " + other
				r.note(of[i].line, "%s: %s is read as %s", c.header, cell.text, cell.unit)
			case fitsToo > fits-sure:
				cell.unsure = true
			}
			continue
		}
		if fits > plausible {
			continue
		}
		for _, unit := range unitsOf(c.of) {
			if !strings.Contains(unit, " ") && likelihood.of(of[i], c.of, cell.amount*units.Size(unit)) > plausible/2 {
				cell.unit = cell.text + " " + unit
				r.note(of[i].line, "%s: %s is read as %s", c.header, cell.text, cell.unit)
				break
			}
		}
	}
}

// foreign reports whether a row has a length in other units than the rest of the table.
func foreign(of *row) bool { return slices.ContainsFunc(of.cells, reading.foreign) }

// likelihood judges single values by the public of each sex, adults or youths.
type likelihood map[string]*anthro.Population

var newLikelihood = sync.OnceValue(func() likelihood {
	l := likelihood{}
	for _, sex := range []anthro.Sex{anthro.Female, anthro.Male} {
		for _, name := range []string{anthro.PublicOf(sex), anthro.YouthsOf(sex)} {
			if p, err := anthro.Load(name); err == nil {
				l[name] = p
			}
		}
	}
	return l
})

// people are those among whom a row is judged.
func (l likelihood) people(row *row) *anthro.Population {
	for i := range row.cells {
		if c := &row.cells[i]; c.of == anthro.Age && c.unit == "" && anthro.Youth([]anthro.Known{{Of: anthro.Age, Value: c.amount}}) {
			return l[anthro.YouthsOf(row.sex)]
		}
	}
	return l[anthro.PublicOf(row.sex)]
}

// of is the logarithm of the share of people at least as far from the middle, bounded.
func (l likelihood) of(row *row, m anthro.Measurement, value float64) float64 {
	p := l.people(row)
	if p == nil || !(value > 0) {
		return unlikely
	}
	var given []anthro.Known
	if m != anthro.Stature {
		for i := range row.cells {
			if c := &row.cells[i]; c.of == anthro.Stature {
				if x, err := c.value(); err == nil && p.ShareBelow(anthro.Stature, x) > 1e-6 && p.ShareBelow(anthro.Stature, x) < 1-1e-6 {
					given = append(given, anthro.Known{Of: anthro.Stature, Value: x})
				}
			}
		}
	}
	below := p.ShareBelow(m, value, given...)
	return max(unlikely, math.Log(2*min(below, 1-below)))
}
