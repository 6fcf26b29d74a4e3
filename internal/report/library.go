package report

import (
	"cmp"
	"fmt"
	"io"
	"math"
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
	_, unit := outcome.ColumnUnit(c.Demand)
	if c.Threshold().Share > 0 {
		unit = "%"
	}
	for i := range r.Models {
		if c.Contrast != nil {
			break
		}
		m := &r.Models[i]
		effect := m.Pooled.Quantity.Effect
		if m.Pooled.Percent != nil {
			effect = *m.Pooled.Percent
		}
		e.Models = append(e.Models, library.Row{
			Model: m.Name, Verdict: m.Verdict.String(), Unit: unit,
			P50: effect.P50, P5: effect.P5, P95: effect.P95, Share: ptr(m.Pooled.AsClaimed.Value),
		})
	}
	for i := range r.Contrast {
		d := &r.Contrast[i]
		row := library.Row{Model: d.Model, People: d.People, Verdict: d.Verdict.String(), Unit: unit}
		row.P50, row.P5, row.P95 = InClaimUnit(c, d, d.Difference.Value), InClaimUnit(c, d, d.Difference.Low), InClaimUnit(c, d, d.Difference.High)
		e.Models = append(e.Models, row)
	}
	return e
}

// InClaimUnit returns a difference between the groups of a contrast in the unit of what
// matters: in per cent of the bottom group's median where that is a share. It is nil
// where it is beyond reach.
func InClaimUnit(c *claim.Claim, d *outcome.ContrastResult, x float64) *float64 {
	if c.Threshold().Share > 0 {
		x = 100 * x / math.Abs(d.Median.Low)
	}
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// RowText prints a row's effect with its spread.
func RowText(row *library.Row, d hold.Demand) string {
	spoken := words.DemandOf(d, hold.TwoCondition)
	number := func(x *float64) string {
		if row.Unit == "%" && x != nil {
			return words.NoBreak(words.SignedEffect(*x))
		}
		return spoken.Signed(val(x))
	}
	return fmt.Sprintf("%s (%s to %s)", number(row.P50), number(row.P5), number(row.P95))
}

// Counts returns how many results have each verdict, in the order of the verdicts.
func Counts(results []*outcome.Result) []VerdictCount {
	var counts []VerdictCount
	for v := claim.Supported; v <= claim.Undecided; v++ {
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
	t := &textWriter{w: w}
	last := ""
	for _, r := range results {
		c := r.Claim
		if c.Hold.Name != last {
			if last != "" {
				t.line("")
			}
			t.line("%s", c.Hold.Name)
			last = c.Hold.Name
		}
		t.line("  %-26s %-28s matters: %s", c.Name, words.Verdict(r.Verdict), words.Threshold(c))
		for _, row := range Entry(r).Models {
			t.line("    %-26s %-26s %s", row.Name(), row.Verdict, RowText(&row, c.Demand))
		}
	}
	t.line("")
	var parts []string
	for _, n := range Counts(results) {
		parts = append(parts, fmt.Sprintf("%d %s", n.N, words.Verdict(n.Verdict)))
	}
	t.wrap("", "", fmt.Sprintf("%d claims: %s.", len(results), strings.Join(parts, ", ")))
	t.wrap("", "", "Effects are those of the median body, with 5–95 % of bodies; of a contrast the difference of the groups' medians, with its 95 % interval.")
	t.wrap("", "", "Model estimates. "+Cautions)
	return t.err
}
