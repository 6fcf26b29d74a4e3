package said

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"counterpoise/internal/library"
	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// SortByHold puts results into the order in which a library shows them: by hold, then
// by name.
func SortByHold(results []*outcome.Result) {
	slices.SortStableFunc(results, func(a, b *outcome.Result) int {
		return cmp.Or(strings.Compare(a.Claim.Hold.Name, b.Claim.Hold.Name), strings.Compare(a.Claim.Name, b.Claim.Name))
	})
}

// Entry puts a result into the form of a library.
func Entry(r *outcome.Result) library.Claim {
	c := r.Claim
	e := library.Claim{
		Name: c.Name, Says: c.Says, Hold: c.Hold.Name, Change: ChangeSentence(c), Quantity: c.Demand.String(),
		Expect: c.Expect.String(), Matters: words.Threshold(c), Verdict: r.Verdict.String(), Headline: Headline(r), N: r.N,
	}
	row := func(model, people string, v claim.Verdict, d *outcome.Draws) {
		e.Models = append(e.Models, library.Row{
			Model: model, People: people, Verdict: v.String(), Unit: d.Unit, P50: d.InUnit.P50, P5: d.InUnit.P5, P95: d.InUnit.P95, Share: d.AsClaimed.P50,
		})
	}
	for i := range r.Models {
		if m := &r.Models[i]; c.Contrast == nil {
			row(m.Name, "", m.Verdict, m.Pooled.Draws)
		}
	}
	for i := range r.Contrast {
		d := &r.Contrast[i]
		row(d.Model, d.People, d.Verdict, d.Draws)
	}
	e.ForWhom = whomEntry(r)
	return e
}

// RowText prints a row's effect with its spread.
func RowText(row *library.Row, d hold.Demand) string {
	size := ClaimSizes{words.SizesOf(d, hold.Equilibrium)}
	if row.Unit != "%" {
		size.Signed = words.DemandOf(d, hold.Equilibrium).Signed
	}
	return size.spread(outcome.Summary{P5: row.P5, P50: row.P50, P95: row.P95})
}

// Counts returns how many results have each verdict, in the order of the verdicts.
func Counts(results []*outcome.Result) []VerdictCount {
	var counts []VerdictCount
	for v := claim.Supported; v <= claim.NobodyHolds; v++ {
		n := 0
		for _, r := range results {
			if r.Verdict == v {
				n++
			}
		}
		if n > 0 {
			counts = append(counts, VerdictCount{v, n})
		}
	}
	return counts
}

// VerdictCount is how many claims have a verdict.
type VerdictCount struct {
	Verdict claim.Verdict `json:"verdict"`
	N       int           `json:"n"`
}

// TableText writes an overview of results for the terminal, in their order.
func TableText(w io.Writer, results []*outcome.Result) error {
	t := &claimText{words.Writer{W: w}}
	last := ""
	for _, r := range results {
		c := r.Claim
		if c.Hold.Name != last {
			if last != "" {
				t.Line("")
			}
			t.Line("%s", c.Hold.Name)
			last = c.Hold.Name
		}
		t.Line("  %-26s %-28s matters: %s", c.Name, words.Verdict(r.Verdict), words.Threshold(c))
		for _, row := range Entry(r).Models {
			t.Line("    %-26s %-26s %s", row.Name(), row.Verdict, RowText(&row, c.Demand))
		}
		if r.ForWhom != nil {
			t.Wrap("    for whom: ", "      ", Whom(r.ForWhom))
		}
	}
	t.Line("")
	var parts []string
	for _, n := range Counts(results) {
		parts = append(parts, fmt.Sprintf("%d %s", n.N, words.Verdict(n.Verdict)))
	}
	t.Wrap("", "", fmt.Sprintf("%d claims: %s.", len(results), strings.Join(parts, ", ")))
	if depend := dependOnWhom(results); depend != "" {
		t.Wrap("", "", depend)
	}
	t.Wrap("", "", "Effects are on the median body, or between the groups' medians: the median over the draws, with 5–95 % of them.")
	t.Wrap("", "", "Model estimates. "+words.Cautions)
	return t.Err
}
