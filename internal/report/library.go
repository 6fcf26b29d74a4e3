package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// SortByHold puts results into the order in which a library shows them: by hold, in
// the order in which holds are listed, then by name.
func SortByHold(results []*claim.Result) {
	names := hold.Names()
	slices.SortStableFunc(results, func(a, b *claim.Result) int {
		if d := slices.Index(names, a.Claim.Hold) - slices.Index(names, b.Claim.Hold); d != 0 {
			return d
		}
		return strings.Compare(a.Claim.Name, b.Claim.Name)
	})
}

// EffectRow is what one model says of a claim, for an overview. Median, P5 and P95
// are in the claim's unit: per cent of the baseline where what matters is a share of
// it, else the quantity's. Of a contrast they are the difference of the medians with
// its 95 % interval.
type EffectRow struct {
	Model            string
	Verdict          claim.Verdict
	Median, P5, P95  *float64
	Percent, Between bool // whether in per cent; whether of a contrast
}

// EffectRows returns the rows of a result.
func EffectRows(r *claim.Result) []EffectRow {
	var rows []EffectRow
	for _, m := range r.Models {
		if r.Claim.Contrast != nil {
			break
		}
		row := EffectRow{Model: m.Name, Verdict: m.Verdict}
		e := m.Pooled.Quantity.Effect
		if m.Pooled.Percent != nil {
			e, row.Percent = *m.Pooled.Percent, true
		}
		row.Median, row.P5, row.P95 = e.P50, e.P5, e.P95
		rows = append(rows, row)
	}
	for i := range r.Contrast {
		c := &r.Contrast[i]
		rows = append(rows, EffectRow{
			Model: c.Model + ", " + c.People, Verdict: c.Verdict, Between: true,
			Median: &c.Difference.Value, P5: &c.Difference.Low, P95: &c.Difference.High,
		})
	}
	return rows
}

// Text prints a row's effect with its spread.
func (e *EffectRow) Text(d hold.Demand) string {
	number := func(x *float64) string {
		if e.Percent && x != nil {
			return SignedPercent(*x)
		}
		return Number(d, x, true)
	}
	return fmt.Sprintf("%s (%s to %s)", number(e.Median), number(e.P5), number(e.P95))
}

// SignedPercent prints an effect in per cent of the baseline, to two digits below ten.
func SignedPercent(x float64) string {
	text := ofItself(x)
	switch {
	case strings.Trim(text, "0. \u00a0%") == "":
		return "±" + text
	case x < 0:
		return "−" + text
	}
	return "+" + text
}

// Counts returns how many results have each verdict, in the order of the verdicts.
func Counts(results []*claim.Result) []VerdictCount {
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

// LibraryText writes an overview of results for the terminal, in their order.
func LibraryText(w io.Writer, results []*claim.Result) error {
	t := &textWriter{w: w}
	last := ""
	for _, r := range results {
		c := r.Claim
		if c.Hold != last {
			if last != "" {
				t.line("")
			}
			t.line("%s", c.Hold)
			last = c.Hold
		}
		t.line("  %-26s %-28s matters: %s", c.Name, r.Verdict, threshold(c))
		for _, row := range EffectRows(r) {
			t.line("    %-26s %-26s %s", row.Model, row.Verdict, row.Text(c.Quantity))
		}
	}
	t.line("")
	var parts []string
	for _, n := range Counts(results) {
		parts = append(parts, fmt.Sprintf("%d %s", n.N, n.Verdict))
	}
	t.wrap("", "", fmt.Sprintf("%d claims: %s.", len(results), strings.Join(parts, ", ")))
	t.wrap("", "", "Effects are those of the median body, with 5–95 % of bodies; of a contrast the difference of the groups' medians, with its 95 % interval.")
	t.wrap("", "", "Model estimates. "+Cautions)
	return t.err
}
