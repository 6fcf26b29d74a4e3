package claim

import (
	"fmt"
	"strings"
)

// DrawTable returns the table of the draws: a row for each draw, population and model,
// with everything that the verdict follows from. shown is as in Options.
func (r *Result) DrawTable(shown func(unit string) (suffix, shown string, factor float64)) (Layout, *Rows) {
	d := r.draws
	t, c := d.t, r.Claim
	if shown == nil {
		shown = inSI
	}
	type reader func(replicate, draw, l, g int, read *reading) float64
	var layout Layout
	var readers []reader
	add := func(name, unit, meaning string, integer bool, of reader) {
		layout.Columns = append(layout.Columns, Column{name, unit, meaning, integer})
		readers = append(readers, of)
	}
	add("replicate", "", "replicate: its draws are scrambled apart from the others', over people of its own", true,
		func(replicate, _, _, _ int, _ *reading) float64 { return float64(replicate) })
	add("draw", "", "number of the draw in its replicate", true, func(_, draw, _, _ int, _ *reading) float64 { return float64(draw) })
	add("model", "", "index of the model in the summary's list", true, func(_, _, l, _ int, _ *reading) float64 { return float64(l) })
	add("people", "", "index of the population in the claim's list", true, func(_, _, _, g int, _ *reading) float64 { return float64(g) })
	add("refit", "", "number of the refit of the population's survey; -1 for the survey as it is", true,
		func(replicate, draw, _, g int, _ *reading) float64 {
			return float64(d.points[replicate][draw].refit[g])
		})
	for _, id := range d.assumed {
		a := id.Info()
		ending, in, of, factor := "_ratio", "", a.Unit, 1.0
		if a.Unit == "rad" {
			ending, in, factor = shown(a.Unit)
			of = in
		}
		add(a.Name+ending, in, a.Meaning+", "+of, false,
			func(replicate, draw, _, _ int, _ *reading) float64 { return d.points[replicate][draw].set[id] * factor })
	}
	add("bodies", "", "bodies that count; of a contrast, in each of the two groups", true, func(_, _, _, _ int, read *reading) float64 { return float64(read.bodies) })
	suffix, unit, factor := shown(c.Demand.Unit)
	of, before, after := "effect", "before", "after"
	if c.Contrast != nil {
		of, before, after = "difference", "bottom_group", "top_group"
		add("top_greater_share", "", "share of the pairs in which the person of the top group has the greater value", false,
			func(_, _, _, _ int, read *reading) float64 { return read.greater })
	} else {
		add("excluded", "", "bodies that take the posture neither before nor after", true, func(_, _, _, _ int, read *reading) float64 { return float64(read.excluded) })
		add("as_claimed", "", "bodies whose effect is as claimed, in direction, and matters", true,
			func(_, _, _, _ int, read *reading) float64 { return float64(read.counts.plus) })
		add("too_small", "", "bodies whose effect is too small to matter", true, func(_, _, _, _ int, read *reading) float64 { return float64(read.counts.zero) })
		add("against", "", "bodies whose effect is the other way, and matters", true, func(_, _, _, _ int, read *reading) float64 { return float64(read.counts.minus) })
	}
	for _, v := range []struct {
		name, meaning string
		of            func(*reading) float64
	}{
		{"median_" + before, "median " + strings.ReplaceAll(before, "_", " "), func(r *reading) float64 { return r.before }},
		{"median_" + after, "median " + strings.ReplaceAll(after, "_", " "), func(r *reading) float64 { return r.after }},
		{"p5_" + of, "5 % of people, or pairs, have a smaller one", func(r *reading) float64 { return r.p5 }},
		{"median_" + of, "median effect; of a contrast the difference of the groups' medians", func(r *reading) float64 { return r.median }},
		{"p95_" + of, "95 % of people, or pairs, have a smaller one", func(r *reading) float64 { return r.p95 }},
	} {
		add(v.name+suffix, unit, v.meaning+": "+c.Demand.Meaning, false, func(_, _, _, _ int, read *reading) float64 { return v.of(read) * factor })
	}
	add("median_"+of+"_percent", "%", "the same in per cent of the baseline", false, func(_, _, _, _ int, read *reading) float64 { return read.percent })
	var codes []string
	for v := range numVerdicts {
		codes = append(codes, fmt.Sprintf("%d %s", int(v), v))
	}
	add("verdict", "", "what the draw says: "+strings.Join(codes, ", "), true, func(_, _, _, _ int, read *reading) float64 { return float64(read.verdict) })

	rows := newRows(layout, d.n()*len(t.models)*len(t.groups))
	for replicate, draws := range d.read {
		for draw := range draws {
			for l := range t.models {
				for g := range t.groups {
					for j, read := range readers {
						x := read(replicate, draw, l, g, &draws[draw][l][g])
						if layout.Columns[j].Integer {
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
	return layout, rows
}
