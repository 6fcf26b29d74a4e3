package report

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Overview is one chart of many claims, sorted by hold and, within a hold, as given. A
// claim about a contrast has a row for each population, for its groups are never
// pooled. There must be a result.
func Overview(results []*outcome.Result) chart.Overview {
	sorted := slices.Clone(results)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Claim.Hold.Name < sorted[j].Claim.Hold.Name })
	o := chart.Overview{Title: overviewTitle(results), Foot: overviewFoot(results)}
	for _, r := range results {
		for _, m := range r.Models {
			o.Models = appendNew(o.Models, m.Name)
		}
		for _, d := range r.Contrast {
			o.Models = appendNew(o.Models, d.Model)
		}
	}
	sort.SliceStable(o.Models, func(i, j int) bool { return staticsOf(o.Models[i]) < staticsOf(o.Models[j]) })
	for _, r := range sorted {
		o.Rows = append(o.Rows, overviewRows(r, o.Models)...)
	}
	for i, name := range o.Models {
		o.Models[i] = words.Capital(name)
	}
	return o
}

// OverviewFigures divides the overview of many claims into as few charts as show all
// of them at a size, on the same axis: overview, overview-2 and so on.
func OverviewFigures(results []*outcome.Result, size chart.Size) []Figure {
	if len(results) == 0 {
		return nil
	}
	o := Overview(results)
	o.Dense = len(chart.Pages(o, size)) > 1
	return Paged([]Figure{{"overview", o}}, size)
}

// staticsOf is the model of statics that the name of a model begins with.
func staticsOf(name string) hold.Model {
	statics, _, _ := strings.Cut(name, ",")
	m, _ := hold.ParseModel(statics)
	return m
}

func appendNew(list []string, name string) []string {
	if slices.Contains(list, name) {
		return list
	}
	return append(list, name)
}

// overviewTitle counts the verdicts; those that come to the same for somebody who
// scans the chart are counted together.
func overviewTitle(results []*outcome.Result) string {
	if len(results) == 1 {
		return quoted(results[0].Claim) + ": " + words.Verdict(results[0].Verdict).Name
	}
	var parts []string
	counted := map[string]int{}
	for _, r := range results {
		counted[words.Verdict(r.Verdict).Kind]++
	}
	for _, v := range words.Verdicts() {
		if n := counted[v.Kind]; n > 0 {
			parts = append(parts, fmt.Sprintf("%d\u00a0%s", n, v.Kind))
			delete(counted, v.Kind)
		}
	}
	return fmt.Sprintf("%d\u00a0claims: %s", len(results), strings.Join(parts, ", "))
}

func overviewFoot(results []*outcome.Result) chart.Foot {
	first := results[0]
	f := foot(first, peopleNames(first), "as shown")
	differ := false
	for _, r := range results[1:] {
		other := foot(r, peopleNames(r), "as shown")
		differ = differ || other.N != f.N
		f.N = min(f.N, other.N)
		if other.People != f.People {
			f.People = "as each claim says"
		}
		if other.Assumptions != f.Assumptions {
			f.Assumptions = "drawn as often as each claim needs"
		}
		if other.Source != f.Source {
			var all []string
			for _, r := range results {
				all = append(all, surveysOf(r.Claim.People)...)
			}
			f.Source = "counterpoise; bodies drawn from " + words.Credits(all) + ". " + NotValidated
		}
	}
	if differ {
		f.People += ", at least"
	}
	return f
}

// overviewRows are the rows of one claim.
func overviewRows(r *outcome.Result, models []string) []chart.OverviewRow {
	c := r.Claim
	row := chart.OverviewRow{Group: c.Hold.Title, Label: written(c.Says, c.Name), Verdict: words.Verdict(r.Verdict).Name, Marks: make([]*chart.OverviewMark, len(models)),
		NoEffect: c.Expect == claim.None, Contrast: c.Contrast != nil}
	if c.Contrast == nil {
		for i := range r.Models {
			m := &r.Models[i]
			row.Marks[slices.Index(models, m.Name)] = overviewMark(c, m.Pooled.Draws, m.Verdict == claim.NoEffect)
		}
		return []chart.OverviewRow{row}
	}
	var rows []chart.OverviewRow
	for _, p := range c.People {
		if !slices.ContainsFunc(r.Contrast, func(d outcome.ContrastResult) bool { return d.People == p.Population }) {
			continue // men, with whom women are compared
		}
		one := row
		one.Label = strings.TrimSuffix(row.Label, ".") + " (" + words.Sexes(p.Population) + ")"
		one.Marks = make([]*chart.OverviewMark, len(models))
		var verdicts, named []string
		for i := range r.Contrast {
			d := &r.Contrast[i]
			if d.People != p.Population {
				continue
			}
			verdicts = appendNew(verdicts, words.Verdict(d.Verdict).Name)
			named = append(named, d.Model+": "+words.Verdict(d.Verdict).Name)
			one.Marks[slices.Index(models, d.Model)] = overviewMark(c, d.Draws, false)
		}
		if one.Verdict = strings.Join(named, "; "); len(verdicts) == 1 {
			one.Verdict = verdicts[0]
		}
		rows = append(rows, one)
	}
	return rows
}

// overviewMark puts what the draws say into multiples of the claim's smallest effect that
// matters, in the direction that is claimed. It is nil where there is no effect to show.
func overviewMark(c *claim.Claim, d *outcome.Draws, none bool) *chart.OverviewMark {
	unit, zone := zoneOf(c)
	median, p5, p95, low, high := d.MedianAt(0.5), d.PeopleAt(0.05), d.PeopleAt(0.95), d.MedianAt(0.05), d.MedianAt(0.95)
	if none {
		median, p5, p95, low, high = 0, 0, 0, 0, 0
	}
	if math.IsNaN(median) || math.IsNaN(p5) || math.IsNaN(p95) {
		return nil
	}
	scale := 1.0
	if unit == "m" {
		unit, scale = "cm", 100
	}
	text := func(x float64) string { return words.Signed(scale*x, words.Finer(scale*zone)) }
	mark := &chart.OverviewMark{Text: withUnit(text(median), unit), Range: text(low) + " to " + text(high)}
	sign := 1.0
	if c.Expect == claim.Decrease {
		sign = -1
		p5, p95, low, high = p95, p5, high, low
	}
	for _, v := range []struct {
		to   *float64
		from float64
	}{{&mark.Median, median}, {&mark.P5, p5}, {&mark.P95, p95}, {&mark.Low, low}, {&mark.High, high}} {
		*v.to = sign * v.from / zone
	}
	return mark
}

// withUnit puts a unit behind a number, on one line with it; nothing behind what is
// beyond bounds.
func withUnit(number, unit string) string {
	if strings.HasSuffix(number, "∞") {
		return number
	}
	return words.OneLine(words.WithUnit(number, unit))
}
