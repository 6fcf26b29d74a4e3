package claim

import (
	"fmt"
	"strings"

	"counterpoise/sim/columns"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
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

// drawAt is a row of the table of draws: what a draw says of one population, or of all
// together where g is their number, under one model.
type drawAt struct {
	replicate, draw, model, people int
	*point
	*reading
}

// drawColumns are the columns of the table of draws, and what reads them off a row.
type drawColumns struct {
	columns.Layout
	readers []func(*drawAt) float64
	whole   int // the number of the row of all people together
}

// add adds a column; what nobody drawn has, because nobody takes the posture, is missing.
func (t *drawColumns) add(name, unit, meaning string, of func(*drawAt) float64) {
	t.Columns = append(t.Columns, columns.Column{Name: name, Unit: unit, Description: meaning, Missing: true})
	t.readers = append(t.readers, of)
}

// count is add of a whole number, which is never missing.
func (t *drawColumns) count(name, meaning string, of func(*drawAt) int) {
	t.Columns = append(t.Columns, columns.Column{Name: name, Description: meaning, Integer: true})
	t.readers = append(t.readers, func(at *drawAt) float64 { return float64(of(at)) })
}

// ofAll reads what only a population has: −1 of all together.
func (t *drawColumns) ofAll(of func(*drawAt) int) func(*drawAt) int {
	return func(at *drawAt) int {
		if at.people == t.whole {
			return -1
		}
		return of(at)
	}
}

// DrawTable returns the table of the draws: a row for each draw, population and model,
// and of a change of several populations one for all together, with everything that
// verdicts and what is told of the draws follow from. shown is as in Options.
func (r *Result) DrawTable(shown func(unit string) (suffix, shown string, factor float64)) (columns.Layout, *columns.Rows) {
	d := r.draws
	t := d.t
	if shown == nil {
		shown = columns.InSI
	}
	people := t.told()
	told := &drawColumns{whole: len(t.groups)}
	if people > 1 && t.claim.Contrast == nil {
		people++
	}
	d.drawn(told, shown)
	t.judged(told)
	t.moved(told, shown)

	rows := columns.NewRows(told.Layout, d.n()*len(t.models)*people)
	for replicate, draws := range d.read {
		for draw := range draws {
			for l := range t.models {
				for g := range people {
					at := &drawAt{replicate, draw, l, g, &d.points[replicate][draw], &draws[draw][l][g]}
					for j, read := range told.readers {
						x := read(at)
						if told.Columns[j].Integer {
							rows.Int[j][rows.N] = int32(x)
						} else {
							rows.Float[j][rows.N] = float32(x)
						}
					}
					rows.N++
				}
			}
		}
	}
	return told.Layout, rows
}

// drawn adds which draw a row is of, and what was drawn.
func (d *outer) drawn(t *drawColumns, shown func(unit string) (suffix, shown string, factor float64)) {
	t.count("replicate", "replicate: its draws are scrambled apart from the others', over people of its own", func(at *drawAt) int { return at.replicate })
	t.count("draw", "number of the draw in its replicate", func(at *drawAt) int { return at.draw })
	t.count("model", "index of the model in the summary's list", func(at *drawAt) int { return at.model })
	t.count("people", "index of the population in the claim's list; -1 for all together", t.ofAll(func(at *drawAt) int { return at.people }))
	t.count("refit", "number of the refit of the population's survey; -1 for the survey as it is", t.ofAll(func(at *drawAt) int { return at.refit[at.people] }))
	for _, id := range d.assumed {
		a := id.Info()
		ending, in, of, factor := "_ratio", "", a.Unit, 1.0
		if a.Unit == "rad" {
			ending, in, factor = shown(a.Unit)
			of = in
		}
		t.add(a.Name+ending, in, a.Meaning+", "+of, func(at *drawAt) float64 { return at.set[id] * factor })
	}
}

// judged adds what the bodies say, and what the rule makes of it.
func (t *test) judged(told *drawColumns) {
	expect := t.claim.Expect
	told.count("bodies", "bodies that count; of a contrast, in each of the two groups", func(at *drawAt) int { return at.bodies })
	if t.claim.Contrast != nil {
		told.add("top_greater_share", "", "share of the pairs in which the person of the top group has the greater value; of difficulty, with strength that differs between people of one size", func(at *drawAt) float64 { return at.greater })
	} else {
		told.count("excluded", "bodies that cannot take the posture before or after", func(at *drawAt) int { return at.excluded })
		for _, of := range []struct {
			name, meaning string
			share         func(verdict.Shares) float64
		}{
			{"as_claimed_share", "share of the bodies whose effect is in the claimed direction and matters", func(s verdict.Shares) float64 { return s.Claimed(expect) }},
			{"too_small_share", "share of the bodies whose effect is too small to matter", func(s verdict.Shares) float64 { return s.Zero }},
			{"against_share", "share of the bodies whose effect is in the other direction and matters", func(s verdict.Shares) float64 { return s.Against(expect) }},
		} {
			meaning := of.meaning + "; of all together, at the weights of their populations"
			told.add(of.name, "", meaning, func(at *drawAt) float64 { return of.share(at.shares) })
			for _, rule := range t.others() {
				name := rule.String() + "_" + of.name
				told.add(name, "", of.meaning+", with the posture of the changed body at "+rule.String(), func(at *drawAt) float64 {
					if at.people == told.whole && len(t.groups) > 1 {
						return math.NaN() // each population says for itself
					}
					return of.share(at.under[rule].shares)
				})
			}
		}
	}
	if t.claim.Contrast == nil {
		told.count("exact", "1 where the change alters nothing at all on any of them, else 0", func(at *drawAt) int {
			if at.exact {
				return 1
			}
			return 0
		})
	}
	codes := names.Each(names.UpTo(verdict.NumVerdicts), func(v Verdict) string { return fmt.Sprintf("%d %s", int(v), v) })
	told.count("verdict", "what the draw says: "+strings.Join(codes, ", "), func(at *drawAt) int { return int(at.verdict) })
}

// moved adds medians, and how people differ.
func (t *test) moved(told *drawColumns, shown func(unit string) (suffix, shown string, factor float64)) {
	c := t.claim
	suffix, unit, factor := shown(c.Demand.Unit)
	of, before, after := "effect", "before", "after"
	if c.Contrast != nil {
		of, before, after = "difference", "bottom_group", "top_group"
	}
	in := func(name, meaning string, of func(*drawAt) float64) {
		told.add(name+suffix, unit, meaning+": "+c.Demand.Meaning, func(at *drawAt) float64 { return of(at) * factor })
	}
	// A change is told of the first bodies, whom all draws of a replicate share.
	const fewer, more = "5 % of people, or pairs, have a smaller one", "95 % of people, or pairs, have a smaller one"
	in("median_"+before, "median "+strings.ReplaceAll(before, "_", " "), func(at *drawAt) float64 { return at.before })
	in("median_"+after, "median "+strings.ReplaceAll(after, "_", " "), func(at *drawAt) float64 { return at.after })
	in("p5_"+of, fewer, func(at *drawAt) float64 { return at.p5 })
	in("median_"+of, "median effect; of a contrast the difference of the groups' medians", func(at *drawAt) float64 { return at.median })
	in("p95_"+of, more, func(at *drawAt) float64 { return at.p95 })
	told.add("median_"+of+"_percent", "%", "median effect, or difference of the groups' medians, in per cent of the baseline", func(at *drawAt) float64 { return at.percent })
	if c.inPercent() {
		told.add("p5_"+of+"_percent", "%", fewer+", in per cent of the baseline", func(at *drawAt) float64 { return float64(at.spread[spreadSteps/20]) })
		told.add("p95_"+of+"_percent", "%", more+", in per cent of the baseline", func(at *drawAt) float64 { return float64(at.spread[spreadSteps-spreadSteps/20]) })
	}
	for _, rule := range t.others() {
		name, meaning := rule.String()+"_median_effect", "median effect with the posture of the changed body at "+rule.String()
		of := func(at *drawAt) float64 { return at.under[rule].median }
		if c.inPercent() {
			told.add(name+"_percent", "%", meaning+", in per cent of the baseline", of)
		} else {
			in(name, meaning, of)
		}
	}
	if t.besideDifficulty() {
		told.add("median_difficulty_effect_percent", "%", "median change of the difficulty, in per cent of the baseline", func(at *drawAt) float64 { return at.difficulty })
	}
}
