package report

import (
	"context"
	"fmt"
	"math"
	"regexp"
	"strings"
	"sync"
	"testing"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
)

// shipped tests all shipped claims on few bodies and as few draws as there may be, once.
var shipped = sync.OnceValues(func() ([]*outcome.Result, error) {
	var results []*outcome.Result
	for _, name := range study.ClaimNames() {
		c, err := study.ShippedClaim(name)
		if err != nil {
			return nil, err
		}
		o := claim.DefaultOptions()
		o.N, o.Draws = 1000, claim.LeastDraws
		r, err := outcome.Test(context.Background(), c, o)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		results = append(results, r)
	}
	return results, nil
})

func shippedResults(t *testing.T) []*outcome.Result {
	t.Helper()
	results, err := shipped()
	if err != nil {
		t.Fatal(err)
	}
	if len(results) < 30 {
		t.Fatalf("%d claims are shipped", len(results))
	}
	return results
}

// Every chart of every shipped claim can be drawn at every size, light and dark, and
// its description says where the numbers come from.
func TestChartsOfShippedClaims(t *testing.T) {
	results := shippedResults(t)
	for _, r := range results {
		t.Run(r.Claim.Name, func(t *testing.T) {
			t.Parallel()
			figures, err := Figures(r)
			if err != nil {
				t.Fatal(err)
			}
			if len(figures) == 0 {
				t.Fatal("no chart")
			}
			for _, f := range figures {
				checkTitle(t, r, f.Figure)
				for _, size := range chart.Sizes {
					for _, page := range Paged([]Figure{f}, size) {
						for _, theme := range chart.Themes {
							if err := chart.Fits(page.Figure, size, theme); err != nil {
								t.Errorf("%s: %v", page.Name, err)
							}
						}
						if alt := page.Figure.Alt(); !strings.Contains(alt, "US Army survey") || !strings.Contains(alt, strings.TrimSuffix(Validation(r.Claim), ".")) {
							t.Errorf("%s: the description does not say where the numbers come from: %s", page.Name, alt)
						}
					}
				}
				if _, err := chart.Inline(f.Figure, chart.Print, f.Name); err != nil {
					t.Errorf("%s inline: %v", f.Name, err)
				}
			}
		})
	}
}

// The overview shows every shipped claim with the verdict that it has, at every size.
func TestOverviewOfShippedClaims(t *testing.T) {
	results := shippedResults(t)
	verdict := map[string]string{}
	for _, r := range results {
		verdict[r.Claim.Says] = words.Verdict(r.Verdict).Short
	}
	for _, size := range chart.Sizes {
		for k, f := range OverviewFigures(results, size) {
			for _, theme := range chart.Themes {
				if err := chart.Fits(f.Figure, size, theme); err != nil {
					t.Errorf("%s: %v", f.Name, err)
				}
			}
			told := map[string]bool{}
			for _, row := range f.Figure.(chart.Overview).Rows {
				told[row.Label] = true
				if row.Verdict.Word != verdict[row.Label] {
					t.Errorf("%s: %s, want %s", row.Label, row.Verdict.Word, verdict[row.Label])
				}
			}
			if k == 0 && len(told) != len(verdict) {
				t.Errorf("%s: %d claims, want %d", size.Name, len(told), len(verdict))
			}
		}
	}
}

var (
	inQuotes = regexp.MustCompile(`“[^”]*”`)
	// finding are words that say how a claim fared or which way something goes.
	finding = regexp.MustCompile(`(?i)\b(supported|contradicted|too small|depends|no effect|undecided|harder|easier|heavier|lighter|higher|lower|larger|smaller|wider|closer|more|less|rises|falls|proves|shows)\b`)
)

// checkTitle says whether the title of a chart, and what stands at the panels, claims
// what the result says and no more.
func checkTitle(t *testing.T, r *outcome.Result, f chart.Figure) {
	t.Helper()
	switch f := f.(type) {
	case chart.EffectDistribution:
		checkPanels(t, r, f)
	case chart.RequirementCurve:
		if word := finding.FindString(f.Title); word != "" {
			t.Errorf("%q says %s", f.Title, word)
		}
		before, after := fmt.Sprintf("%.2f", f.Before.Best.Y), fmt.Sprintf("%.2f", f.After.Best.Y)
		same := strings.Contains(f.Title, "stays at") || strings.Contains(f.Title, "before and after")
		if same != (before == after) || !strings.Contains(f.Title, before) || !strings.Contains(f.Title, after) || strings.Index(f.Title, before) > strings.LastIndex(f.Title, after) {
			t.Errorf("%q of %s and %s", f.Title, before, after)
		}
	default:
		t.Errorf("a claim has a %T", f)
	}
}

// checkPanels holds that the title and the panels of an effect say the verdicts and the
// sizes of the draws.
func checkPanels(t *testing.T, r *outcome.Result, f chart.EffectDistribution) {
	t.Helper()
	type told struct {
		model   string
		verdict claim.Verdict
		draws   *outcome.Draws
	}
	var want []told
	before, rest, _ := strings.Cut(inQuotes.ReplaceAllString(f.Title, ""), ": ")
	for _, m := range r.Models {
		if r.Claim.Contrast == nil && m.Pooled.Draws.InUnit.P50 != nil {
			want = append(want, told{m.Name, m.Verdict, m.Pooled.Draws})
		}
	}
	for _, d := range r.Contrast {
		// Of the sexes there is one, which needs no name of its own.
		if (before == ", "+words.Sexes(d.People) || before == "" && len(r.Contrast) == len(r.Models)) && d.Draws.InUnit.P50 != nil {
			want = append(want, told{d.Model, d.Verdict, d.Draws})
		}
	}
	if len(want) != len(f.Panels) {
		t.Fatalf("%d panels, want %d: %q", len(f.Panels), len(want), f.Title)
	}
	for i, p := range f.Panels {
		w := want[i]
		title, size, _ := strings.Cut(rest, "; median ")
		if name := words.Capital(w.model); len(want) > 1 {
			if !strings.HasPrefix(p.Model, name+": "+w.verdict.String()) {
				t.Errorf("a panel says %q, want %s: %s", p.Model, name, w.verdict)
			}
		} else if title != w.verdict.String() || w.verdict == claim.NoEffect != (size == "") || !strings.HasPrefix(p.Model, name) {
			t.Errorf("%q of %q, want %s of %s", f.Title, p.Model, w.verdict, name)
		}
		if w.verdict == claim.NoEffect {
			continue
		}
		if d := w.draws; p.Median != *d.InUnit.P50 || p.Low != d.MedianAt(0.05) || p.High != d.MedianAt(0.95) || len(p.Draws) != d.N || p.P5 != d.PeopleAt(0.05) {
			t.Errorf("%s: %v (%v to %v) of %d draws, want %v of %d", p.Model, p.Median, p.Low, p.High, len(p.Draws), d.InUnit, d.N)
		}
		if sign := math.Copysign(1, p.Median); size != "" && sign < 0 != strings.HasPrefix(size, "−") && strings.Trim(size, "±+−0.\u00a0%°") != "" {
			t.Errorf("%q of a median of %v", f.Title, p.Median)
		}
	}
}

// A claim whose words the font cannot write is drawn under its name.
func TestWordsThatCannotBeWritten(t *testing.T) {
	c := claim.Claim{Name: "long-arms", Says: "長い腕は不利だ."}
	if got := quoted(&c); got != "“long-arms”" {
		t.Errorf("it is called %s", got)
	}
	c.Says = "Long arms are in the way."
	if got := quoted(&c); got != "“Long arms are in the way”" {
		t.Errorf("it is called %s", got)
	}
}
