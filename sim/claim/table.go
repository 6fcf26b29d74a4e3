package claim

import (
	"strings"
	"unicode"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
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

// bodyColumns are the columns that describe the first body.
var bodyColumns = []body.Trait{
	body.Stature, body.Mass, body.ArmLength, body.ForearmLength, body.ShoulderSpan, body.TrunkLength, body.LegLength, body.ThighLength, body.FootLength,
	body.HeadMassShare, body.TrunkMassShare, body.ArmsMassShare, body.LegsMassShare,
}

// inSI says how what has a unit is told in the table of bodies, where the options do
// not: how the names of columns end, the unit, and the factor from the demand's own.
func inSI(unit string) (suffix, shown string, factor float64) {
	if unit == "" {
		return "_ratio", "", 1
	}
	return "_" + strings.ReplaceAll(strings.ToLower(unit), "·", "_"), unit, 1
}

// postureDemands are what tells a posture from another.
var postureDemands = []hold.Demand{hold.ArmAngle, hold.LeanAngle, hold.ArmTrunkAngle, hold.HandSpacing}

// bodyLayout returns the columns that describe the people and their first bodies.
func bodyLayout() Layout {
	l := Layout{[]Column{{"people", "", "index of the population in the claim's list", true, false}}}
	for _, t := range bodyColumns {
		l.Columns = append(l.Columns, Column{t.Column(), t.Info().Unit, t.Info().Meaning, false, false})
	}
	return l
}

// fillBodies writes the columns of bodyLayout from the given row on.
func fillBodies(r *Rows, from, group int, b *body.Columns) {
	rows := b.Rows()
	groups := r.Int[0][from : from+rows]
	for i := range groups {
		groups[i] = int32(group)
	}
	for k, t := range bodyColumns {
		column := r.Float[1+k][from : from+rows]
		for i := range column {
			column[i] = float32(t.Of(b, i))
		}
	}
}

// column is one demand in the table, of one model.
type column struct {
	hold.Demand
	when int
}

// When a demand is told in the table.
const (
	once = iota
	before
	after
	effect
)

var whens = [...]struct{ ending, words string }{{}, {"_before", ", first body"}, {"_after", ", changed body"}, {"_effect", ", changed minus first"}}

// columns are the demands that the table holds for a model: the claim's own, and what
// tells postures apart.
func (t *test) columns(m hold.Model) []column {
	own, beside := []int{before, after, effect}, []int{before, after}
	if t.claim.Contrast != nil {
		own, beside = []int{once}, []int{once}
	}
	var list []column
	add := func(d hold.Demand, when []int) {
		for _, w := range when {
			list = append(list, column{d, w})
		}
	}
	add(t.claim.Demand, own)
	for _, d := range postureDemands {
		if d != t.claim.Demand && t.setup.Gives(m, d) {
			add(d, beside)
		}
	}
	return list
}

// layout returns the columns of the claim's table: the bodies, of a contrast what people
// are told apart by, and for every model who takes the posture and the demands.
func (t *test) layout() Layout {
	l := bodyLayout()
	possible := "1 before the change, plus 2 after it: where the body can take the posture; "
	if c := t.claim.Contrast; c != nil {
		possible = "1 where the body can take the posture; "
		name := "told_apart_by"
		if ending, known := map[string]string{"m": "_m", "kg": "_kg", "kg/m2": "_kg_m2", "": "_ratio"}[c.By.Unit()]; known {
			name += ending
		}
		l.Columns = append(l.Columns, Column{name, strings.Replace(c.By.Unit(), "m2", "m²", 1), "what separates the groups:  " + c.By.String() + "; the cuts are in the summary", false, false})
	}
	for i := range t.models {
		m := &t.models[i]
		slug, name := slug(m.String()), m.String()
		m.first = len(l.Columns)
		l.Columns = append(l.Columns, Column{slug + "_possible", "", possible + name, true, false})
		for _, c := range m.columns {
			suffix, unit, _ := t.shown(c.Unit)
			l.Columns = append(l.Columns, Column{slug + "_" + c.Name + whens[c.when].ending + suffix, unit, c.Meaning + whens[c.when].words + "; " + name, false, false})
		}
	}
	return l
}

// slug turns a model's name into a part of a column name.
func slug(name string) string {
	parts := strings.FieldsFunc(strings.ToLower(name), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	return strings.Join(parts, "_")
}

func newRows(l Layout, n int) *Rows {
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

// fillRows writes a tile under one model, and with the first the bodies and what people
// are told apart by, if anything: key, a value a row.
func (t *test) fillRows(r *Rows, group, of int, key []float64, tile *scenario.Tile) {
	from, m, first := tile.From, t.models[of], tile.First.Result
	rows := len(first.Possible)
	r.N = from + rows
	float := func(j int) []float32 { return r.Float[j][from : from+rows] }
	if of == 0 {
		fillBodies(r, from, group, tile.First.Bodies)
		if key != nil {
			narrow(float(1+len(bodyColumns)), key, 1)
		}
	}
	possible := r.Int[m.first][from : from+rows]
	for i := range possible {
		possible[i] = 0
		if first.Possible[i] {
			possible[i] = 1
		}
		if t.setup.Change != nil && tile.Second.Result.Possible[i] {
			possible[i] += 2
		}
	}
	for k, c := range m.columns {
		j := m.first + 1 + k
		_, _, factor := t.shown(c.Unit)
		switch c.when {
		case after:
			narrow(float(j), tile.Second.Result.Value[c.Demand], factor)
		case effect:
			is, was, by := tile.Second.Result.Value[c.Demand], first.Value[c.Demand], float(j)
			shownWas, shownIs := float(j-2), float(j-1)
			for i := range by {
				switch {
				case possible[i] != 3:
					by[i] = 0
				case factor != 1: // so that what is shown adds up
					by[i] = shownIs[i] - shownWas[i]
				default:
					by[i] = float32(is[i] - was[i])
				}
			}
		default:
			narrow(float(j), first.Value[c.Demand], factor)
		}
	}
}

// narrow writes values times a factor.
func narrow(dst []float32, values []float64, factor float64) {
	values = values[:len(dst)]
	for i := range dst {
		dst[i] = float32(values[i] * factor)
	}
}
