package claim

import (
	"strings"

	"counterpoise/sim/columns"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// postureDemands are what tells a posture from another.
var postureDemands = []hold.Demand{hold.ArmAngle, hold.LeanAngle, hold.ArmTrunkAngle, hold.HandSpacing}

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
func (t *test) layout() columns.Layout {
	l := columns.NewLayout()
	possible := "1 before the change, plus 2 after it: where the body can take the posture; "
	if c := t.claim.Contrast; c != nil {
		possible = "1 where the body can take the posture; "
		name := "told_apart_by"
		if ending, known := map[string]string{"m": "_m", "kg": "_kg", "kg/m2": "_kg_m2", "years": "_years", "": "_ratio"}[c.By.Unit()]; known {
			name += ending
		}
		l.Columns = append(l.Columns, columns.Column{Name: name, Unit: strings.Replace(c.By.Unit(), "m2", "m²", 1), Description: "what separates the groups:  " + c.By.String() + "; the cuts are in the summary"})
	}
	for i := range t.models {
		m := &t.models[i]
		slug, name := columns.Slug(m.String()), m.String()
		m.first = len(l.Columns)
		l.Columns = append(l.Columns, columns.Column{Name: slug + "_possible", Description: possible + name, Integer: true})
		for _, c := range m.columns {
			suffix, unit, _ := t.shown(c.Unit)
			l.Columns = append(l.Columns, columns.Column{Name: slug + "_" + c.Name + whens[c.when].ending + suffix, Unit: unit, Description: c.Meaning + whens[c.when].words + "; " + name})
		}
	}
	return l
}

// fillRows writes a tile under one model, and with the first the bodies and what people
// are told apart by, if anything: key, a value a row.
func (t *test) fillRows(r *columns.Rows, group, of int, key []float64, tile *scenario.Tile) {
	from, m, first := tile.From, t.models[of], tile.First.Result
	rows := len(first.Possible)
	r.N = from + rows
	float := func(j int) []float32 { return r.Float[j][from : from+rows] }
	if of == 0 {
		columns.Fill(r, from, group, tile.First.Bodies)
		if key != nil {
			columns.Narrow(float(1+len(columns.Traits)), key, 1)
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
			columns.Narrow(float(j), tile.Second.Result.Value[c.Demand], factor)
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
			columns.Narrow(float(j), first.Value[c.Demand], factor)
		}
	}
}
