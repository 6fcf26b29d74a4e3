package report

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Overview is one chart of many claims, sorted by hold and, within a hold, as given. There
// must be a result.
func Overview(results []*outcome.Result) chart.Overview {
	sorted := slices.Clone(results)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].Claim.Hold.Name < sorted[j].Claim.Hold.Name })
	o := chart.Overview{Title: overviewTitle(results), Foot: overviewFoot(results)}
	var people []string
	for _, r := range sorted {
		if r.ForWhom != nil {
			for _, p := range r.ForWhom.People {
				people = appendNew(people, p.People)
			}
		}
	}
	for _, p := range people {
		kind, one := words.KindBriefly(p)
		o.People = append(o.People, chart.OverviewPeople{Kind: kind, One: one, Name: words.Sexes(p)})
		o.Key = words.KindsKey
	}
	for _, r := range sorted {
		o.Rows = append(o.Rows, overviewRow(r, people))
	}
	return o
}

// OverviewFigures is the overview of many claims at a size: one chart, on a page of A4 where
// it is higher than the size, and then also divided into pages that are not.
func OverviewFigures(results []*outcome.Result, size chart.Size) []Figure {
	if len(results) == 0 {
		return nil
	}
	o := Overview(results)
	pages := Paged([]Figure{{"overview-page", o}}, size)
	o.Tall = true
	all := []Figure{{"overview", o}}
	if len(pages) > 1 {
		all = append(all, pages...)
	}
	return all
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

// overviewRow is the row of one claim, with its marks for people.
func overviewRow(r *outcome.Result, people []string) chart.OverviewRow {
	c := r.Claim
	row := chart.OverviewRow{Group: c.Hold.Title, Label: written(c.Says, c.Name), Verdict: overviewMark(r.Verdict), Whom: make([]chart.OverviewMark, len(people))}
	var draws []*outcome.Draws
	model := c.Hold.Judging()[0]
	for i := range r.Models {
		if c.Contrast == nil {
			draws, model = append(draws, r.Models[i].Pooled.Draws), staticsOf(r.Models[0].Name)
		}
	}
	for i := range r.Contrast {
		draws, model = append(draws, r.Contrast[i].Draws), staticsOf(r.Contrast[0].Model)
	}
	row.Effect, row.Range = overviewEffect(sizesOf(c, model), draws, r.Verdict == claim.NoEffect)
	if r.ForWhom == nil {
		return row
	}
	for _, p := range r.ForWhom.People {
		mark := chart.OverviewMark{Mark: "–", Word: "not judged"}
		if p.Verdict != nil {
			mark = overviewMark(*p.Verdict)
		}
		row.Whom[slices.Index(people, p.People)] = mark
	}
	return row
}

func overviewMark(v claim.Verdict) chart.OverviewMark {
	w := words.Verdict(v)
	return chart.OverviewMark{Mark: w.Mark, Word: w.Short}
}

// overviewEffect says how large an effect is, of several models or people from the least to
// the most, and what nobody has measured leaves of it; empty where it cannot be told.
func overviewEffect(s sizes, draws []*outcome.Draws, none bool) (effect, spread string) {
	if none {
		return "no change", ""
	}
	var all *outcome.Summary
	var low, high float64
	for _, d := range draws {
		e := d.InUnit
		switch {
		case e.P50 == nil:
			continue
		case all == nil:
			all, low, high = &e, *e.P50, *e.P50
		default:
			low, high = min(low, *e.P50), max(high, *e.P50)
			all.P5, all.P95 = outcome.Number(min(val(all.P5), val(e.P5))), outcome.Number(max(val(all.P95), val(e.P95)))
		}
	}
	if all == nil {
		return "", ""
	}
	if s.signed(low) == s.signed(high) {
		return s.compared(low), s.span(*all)
	}
	return s.between(low, high), s.span(*all)
}
