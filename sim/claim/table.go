package claim

import (
	"math"
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

// narrow fills dst with the values.
func narrow(dst []float32, values []float64) {
	values = values[:len(dst)]
	for i := range dst {
		dst[i] = float32(values[i])
	}
}

// ColumnUnit says how a demand's unit ends a column name, and the unit that the
// file holds.
func ColumnUnit(d hold.Demand) (suffix, unit string) {
	switch d.Unit {
	case "BW":
		return "_bw", "BW"
	case "BW·m":
		return "_bw_m", "BW·m"
	case "rad":
		return "_deg", "deg"
	case "m":
		return "_m", "m"
	}
	return "_ratio", ""
}

// postureDemands are what tells a posture from another.
var postureDemands = []hold.Demand{hold.ArmAngle, hold.LeanAngle, hold.ArmTrunkAngle, hold.HandSpacing}

// posture returns the demands of the posture that a model gives beside the
// claim's demand.
func (t *test) posture(m hold.Model) []hold.Demand {
	var list []hold.Demand
	for _, d := range postureDemands {
		if d != t.claim.Demand && t.setup.Gives(m, d) {
			list = append(list, d)
		}
	}
	return list
}

// bodyLayout returns the columns that describe the people and their first bodies.
func bodyLayout() Layout {
	l := Layout{[]Column{{"people", "", "index of the population in the claim's list", true}}}
	for _, t := range bodyColumns {
		l.Columns = append(l.Columns, Column{t.Column(), t.Info().Unit, t.Info().Meaning, false})
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

// layout returns the columns of the claim's table.
func (t *test) layout() Layout {
	l := bodyLayout()
	for _, m := range t.models {
		slug, name := slug(m.String()), m.String()
		l.Columns = append(l.Columns, Column{slug + "_possible", "", "1 before the change, plus 2 after it: where the body can take the posture; " + name, true})
		add := func(d hold.Demand, when, what string) {
			suffix, unit := ColumnUnit(d)
			l.Columns = append(l.Columns, Column{slug + "_" + d.String() + when + suffix, unit, d.Meaning + ", " + what + "; " + name, false})
		}
		add(t.claim.Demand, "_before", "first body")
		add(t.claim.Demand, "_after", "changed body")
		add(t.claim.Demand, "_effect", "changed minus first")
		for _, d := range m.posture {
			add(d, "_before", "first body")
			add(d, "_after", "changed body")
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

// fillRows writes a tile under one model, and with the first the bodies.
func (t *test) fillRows(r *Rows, group, model int, tile *scenario.Tile) {
	b, from := tile.First.Bodies, tile.From
	rows := b.Rows()
	r.N = from + rows
	float := func(j int) []float32 { return r.Float[j][from : from+rows] }
	whole := func(j int) []int32 { return r.Int[j][from : from+rows] }
	if model == 0 {
		fillBodies(r, from, group, b)
	}
	j := 1 + len(bodyColumns)
	for l := range model {
		j += t.columnsOf(l)
	}
	first, changed := tile.First.Result, tile.Second.Result
	possible := whole(j)
	for i := range possible {
		possible[i] = 0
		if first.Possible[i] {
			possible[i]++
		}
		if changed.Possible[i] {
			possible[i] += 2
		}
	}
	j++
	write := func(d hold.Demand, from *hold.Result) {
		column, values := float(j), from.Value[d][:rows]
		j++
		if d.Unit != "rad" {
			narrow(column, values)
			return
		}
		for i, v := range values {
			column[i] = float32(v * (180 / math.Pi))
		}
	}
	q := t.claim.Demand
	write(q, first)
	write(q, changed)
	before, after, effect := float(j-2), float(j-1), float(j)
	values, next := first.Value[q][:rows], changed.Value[q][:rows]
	degrees := q.Unit == "rad"
	for i, possible := range possible {
		switch {
		case possible != 3:
			effect[i] = 0
		case degrees:
			effect[i] = after[i] - before[i]
		default:
			effect[i] = float32(next[i] - values[i])
		}
	}
	j++
	for _, d := range t.models[model].posture {
		write(d, first)
		write(d, changed)
	}
}

// columnsOf returns how many columns a model has.
func (t *test) columnsOf(model int) int {
	return 4 + 2*len(t.models[model].posture)
}

// contrastLayout returns the columns of a contrast's table: the bodies, what
// people are told apart by, and for every model the demand and the posture.
func (t *test) contrastLayout() Layout {
	l := bodyLayout()
	by := t.claim.Contrast.By
	name := "told_apart_by"
	if ending, known := map[string]string{"m": "_m", "kg": "_kg", "kg/m2": "_kg_m2", "": "_ratio"}[by.Unit()]; known {
		name += ending
	}
	l.Columns = append(l.Columns, Column{name, strings.Replace(by.Unit(), "m2", "m²", 1), "what the groups are told apart by: " + by.String() + "; the cuts are in the summary", false})
	for _, m := range t.models {
		slug, name := slug(m.String()), m.String()
		l.Columns = append(l.Columns, Column{slug + "_possible", "", "1 where the body can take the posture; " + name, true})
		for _, d := range t.contrastColumns(m) {
			suffix, unit := ColumnUnit(d)
			l.Columns = append(l.Columns, Column{slug + "_" + d.String() + suffix, unit, d.Meaning + "; " + name, false})
		}
	}
	return l
}

// contrastColumns are the demands that a contrast's table holds for a model.
func (t *test) contrastColumns(m model) []hold.Demand {
	return append([]hold.Demand{t.claim.Demand}, m.posture...)
}

// fillContrastRows writes a tile under one model, and with the first the bodies and
// what they are told apart by.
func (t *test) fillContrastRows(r *Rows, group, model int, key []float64, tile *scenario.Tile) {
	bodies, held, from := tile.First.Bodies, tile.First.Result, tile.From
	r.N = from + bodies.Rows()
	j := 1 + len(bodyColumns)
	if model == 0 {
		fillBodies(r, from, group, bodies)
		for i, v := range key {
			r.Float[j][from+i] = float32(v)
		}
	}
	j++
	for l := range model {
		j += 1 + len(t.contrastColumns(t.models[l]))
	}
	for i, possible := range held.Possible {
		r.Int[j][from+i] = 0
		if possible {
			r.Int[j][from+i] = 1
		}
	}
	for _, d := range t.contrastColumns(t.models[model]) {
		j++
		scale := *inUnit(d, 1)
		for i, v := range held.Value[d] {
			r.Float[j][from+i] = 0
			if held.Possible[i] {
				r.Float[j][from+i] = float32(v * scale)
			}
		}
	}
}
