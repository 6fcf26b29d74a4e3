package said_test

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"counterpoise/internal/app/claim/drawn"
	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/chart"
	"counterpoise/internal/chart/curves"
	"counterpoise/internal/draw"
	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Every shipped claim's story can be drawn at its sizes in every language, says the saying in
// it, and says in words what the bars show.
func TestStoriesOfShippedClaims(t *testing.T) {
	for _, r := range said.Shipped(t) {
		t.Run(r.Claim.Name, func(t *testing.T) {
			t.Parallel()
			figures, err := drawn.Figures(r)
			if err != nil {
				t.Fatal(err)
			}
			told := map[string]bool{}
			for _, l := range words.Languages {
				story := drawn.StoryOf(r, figures, l, "https://example.org/evidence", "study of it")
				for _, size := range chart.StorySizes {
					if err := draw.Fits(story, size, draw.Light); err != nil {
						t.Errorf("%s, %s: %v", l, size, err)
					}
				}
				alt := story.Alt()
				if of := words.Capital(l.Noun(r.Claim.Demand)); of == "" || story.Zone.XLabel != of && r.Claim.Demand != hold.Difficulty {
					t.Errorf("%s: the axis says %q", l, story.Zone.XLabel)
				}
				if told[story.Saying] || !strings.Contains(alt, story.Answer) || !strings.Contains(alt, "https://example.org/evidence") || !strings.HasSuffix(alt, "study of it") {
					t.Errorf("%s: %s", l, alt)
				}
				told[story.Saying] = true
				if none := len(story.Bars) == 0; none != (r.Verdict == claim.NoEffect || r.Verdict == claim.NobodyHolds) {
					t.Errorf("%s: %v, and %d bars", l, r.Verdict, len(story.Bars))
				}
				for _, body := range story.Bodies { // each says what it is, not what it is not
					if strings.Contains(body.Caption, "instead of") || strings.Contains(body.Caption, "in place of") {
						t.Errorf("a body is called %q", body.Caption)
					}
				}
				for _, bar := range story.Bars {
					if !strings.Contains(alt, bar.Says) {
						t.Errorf("%s: the text does not say %q", l, bar.Says)
					}
				}
			}
		})
	}
}

// Every chart of every shipped claim can be drawn at every size, light and dark, and
// its description says where the numbers come from.
func TestChartsOfShippedClaims(t *testing.T) {
	results := said.Shipped(t)
	for _, r := range results {
		t.Run(r.Claim.Name, func(t *testing.T) {
			t.Parallel()
			figures, err := drawn.Figures(r)
			if err != nil {
				t.Fatal(err)
			}
			if len(figures) == 0 {
				t.Fatal("no chart")
			}
			for _, f := range figures {
				checkTitle(t, r, f.Figure)
				for _, size := range draw.Sizes {
					for _, page := range draw.Paged([]draw.Named{f}, size) {
						for _, theme := range draw.Themes {
							if err := draw.Fits(page.Figure, size, theme); err != nil {
								t.Errorf("%s: %v", page.Name, err)
							}
						}
						if alt := page.Figure.Alt(); !strings.Contains(alt, "US Army survey") || !strings.Contains(alt, strings.TrimSuffix(said.Validation(r.Claim), ".")) {
							t.Errorf("%s: the description does not say where the numbers come from: %s", page.Name, alt)
						}
					}
				}
				if _, err := draw.Inline(f.Figure, draw.Print, f.Name); err != nil {
					t.Errorf("%s inline: %v", f.Name, err)
				}
			}
		})
	}
}

// The overview shows every shipped claim with the verdict that it has, at every size.
func TestOverviewOfShippedClaims(t *testing.T) {
	results := said.Shipped(t)
	verdict := map[string]string{}
	for _, r := range results {
		verdict[r.Claim.Says] = said.Came(r)
	}
	for _, size := range draw.Sizes {
		for k, f := range drawn.OverviewFigures(results, size) {
			for _, theme := range draw.Themes {
				if err := draw.Fits(f.Figure, size, theme); err != nil {
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

// checkTitle says whether a chart says what the result says: the verdict and the sizes
// that the first screen has, and no more.
func checkTitle(t *testing.T, r *outcome.Result, f draw.Figure) {
	t.Helper()
	plain := func(text string) string { return strings.ReplaceAll(text, "\u00a0", " ") }
	var screen strings.Builder
	if err := said.First(&screen, r); err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(screen.String()), " ")
	switch f := f.(type) {
	case chart.EffectDistribution:
		title := plain(f.Title)
		before, behind, sized := words.Finding(r.Verdict, r.Claim.Expect)
		switch r.Verdict {
		case claim.LessThanSaid:
			behind = "less than"
		case claim.MoreThanSaid:
			behind = "more than"
		case claim.SizeOpen:
			behind = "" // on which side of what is said it may lie
		}
		if parts := said.Apart(r); parts != nil {
			before, behind = "for "+words.Sexes(parts[0].People), ""
		}
		for _, part := range []string{before, behind, plain(said.ChangeSentence(r.Claim))} {
			if !strings.Contains(strings.ToLower(title), strings.ToLower(part)) {
				t.Errorf("%q does not say %q", title, part)
			}
		}
		if !sized && regexp.MustCompile(`[0-9] (%|BW|°)`).MatchString(title[strings.LastIndex(title, ": "):]) {
			t.Errorf("%q says a size", title)
		}
		checkPanels(t, r, f)
	case chart.Contrast:
		title := plain(f.Title)
		if pairs := plain(f.PairsSay); !strings.Contains(text, pairs) {
			t.Errorf("the dots: %s, the first screen: %s", pairs, text)
		}
		for _, d := range r.Contrast {
			if strings.Contains(title, ", "+words.Sexes(d.People)+":") || len(r.Contrast) == 1 {
				before, behind, _ := words.Finding(d.Verdict, r.Claim.Expect)
				if !strings.Contains(title, before) || !strings.Contains(title, behind) || f.Median != *d.Draws.InUnit.P50 || len(f.Draws) != d.Draws.N {
					t.Errorf("%q of %s, %v", title, d.Verdict, f.Median)
				}
			}
		}
	case curves.RequirementCurve:
		for _, p := range f.Panels {
			for _, g := range []curves.Group{p.Before, p.After} {
				if want := fmt.Sprintf("hands %.0f cm apart", g.Best.X); !strings.Contains(plain(g.Best.Label), want) {
					t.Errorf("%q, want %s", g.Best.Label, want)
				}
			}
			// As the labels have it, so that nobody finds the difference of two of them elsewhere.
			moved := fmt.Sprintf("%.0f ", math.Abs(math.Round(p.After.Best.X)-math.Round(p.Before.Best.X)))
			if p.Least.Label != "" { // else where it is least, which is at neither
				moved = fmt.Sprintf("%.0f ", p.Least.X)
			}
			if !strings.Contains(plain(f.Title), moved) && moved != "0 " {
				t.Errorf("%q of hands that move %s", f.Title, moved)
			}
		}
	default:
		t.Errorf("a claim has a %T", f)
	}
}

// checkPanels holds that the panels of an effect are those of the draws.
func checkPanels(t *testing.T, r *outcome.Result, f chart.EffectDistribution) {
	t.Helper()
	var want []*outcome.ModelResult
	for i := range r.Models {
		if r.Models[i].Pooled.Draws.InUnit.P50 != nil {
			want = append(want, &r.Models[i])
		}
	}
	if len(want) != len(f.Panels) {
		t.Fatalf("%d panels, want %d: %q", len(f.Panels), len(want), f.Title)
	}
	for i, p := range f.Panels {
		m := want[i]
		if name := words.Capital(m.Name); !strings.HasPrefix(p.Model, name) || len(want) > 1 && !strings.HasPrefix(p.Model, name+": "+m.Verdict.String()) {
			t.Errorf("a panel says %q, want %s: %s", p.Model, name, m.Verdict)
		}
		if m.Verdict == claim.NoEffect {
			continue
		}
		if d := m.Pooled.Draws; p.Median != *d.InUnit.P50 || p.Low != d.MedianAt(0.05) || p.High != d.MedianAt(0.95) || len(p.Draws) != d.N {
			t.Errorf("%s: %v (%v to %v) of %d draws, want %v of %d", p.Model, p.Median, p.Low, p.High, len(p.Draws), d.InUnit, d.N)
		}
		for _, h := range p.People {
			d := m.Pooled.Draws
			for _, g := range m.Groups {
				if h.Name == words.Sexes(g.People) {
					d = g.Draws
				}
			}
			if h.Low != d.PeopleAt(0.05) || h.High != d.PeopleAt(0.95) {
				t.Errorf("%s: %q is from %v to %v, want %v to %v", p.Model, h.Says, h.Low, h.High, d.PeopleAt(0.05), d.PeopleAt(0.95))
			}
		}
	}
}
