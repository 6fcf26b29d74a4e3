package cli

import (
	"fmt"
	"io"
	"strings"

	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
)

// describePeople prints who people are and how their measurements spread.
func describePeople(w io.Writer, selection anthro.Selection) error {
	p := selection.Population
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s), %s, %s measured\n%s\n", p.Title, p.Name, p.Sex, words.Count(p.N), p.Provenance.Citation)
	if p.Resampled() {
		fmt.Fprintf(&b, "%s\n", p.Provenance.Method)
	}
	where := selection.Where
	if r := p.Reweighted; r != nil {
		where = r.Where
	}
	for _, condition := range where {
		fmt.Fprintf(&b, "Only those of %s.\n", condition)
	}
	if r := p.Reweighted; r != nil {
		for i, m := range r.Means {
			fmt.Fprintf(&b, "Reweighted to %s (before: %s).\n", m, words.Given(r.Before[i].Value))
		}
		fmt.Fprintf(&b, "Effective sample size: %s of the people weighted.\n", words.Percent(r.Effective, 1))
	}
	quantile, err := selection.Quantiles()
	if err != nil {
		return classify(err)
	}
	fmt.Fprintf(&b, "\n  %-22s %8s %8s %8s\n", "", "5 %", "median", "95 %")
	for m := range anthro.NumVariables {
		if m == anthro.Age && !p.HasAge() {
			continue
		}
		scale, unit, decimals := 100.0, "cm", 1
		switch m {
		case anthro.Mass:
			scale, unit = 1, "kg"
		case anthro.Age:
			scale, unit, decimals = 1, "years", 0
		}
		at := func(share float64) string { return words.Number(scale*quantile(m, share), decimals) }
		measured := ""
		if p.Resampled() {
			measured = fmt.Sprintf("  %*s of %s measured", len(words.Count(p.N)), words.Count(p.Measured(m)), words.Count(p.N))
		}
		fmt.Fprintf(&b, "  %-22s %8s %8s %8s %s%s  %s\n", m, at(0.05), at(0.5), at(0.95), unit, measured, m.Description())
	}
	_, err = io.WriteString(w, b.String())
	return err
}
