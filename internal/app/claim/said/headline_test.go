package said

import (
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/columns"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// retold is a result of which all that is kept is its verdicts and what is agreed on:
// every number of its draws is counted again from the rows of draws.parquet, times
// stretch where it is an effect, and what is known at the central assumptions alone is
// left out.
type retold struct {
	t       *testing.T
	layout  columns.Layout
	rows    *columns.Rows
	percent bool
	ending  string // of columns in the quantity's own unit
	stretch float64
}

func retell(t *testing.T, r *outcome.Result, stretch float64) *outcome.Result {
	t.Helper()
	of := &retold{t: t, percent: r.Claim.Threshold().Share > 0, stretch: stretch}
	of.layout, of.rows = r.DrawTable()
	of.ending, _ = outcome.ColumnUnit(r.Claim.Demand)
	again := *r
	again.Models, again.Contrast, again.Taught = nil, nil, nil
	for l, m := range r.Models {
		one := outcome.ModelResult{Model: m.Model, Name: m.Name, Verdict: m.Verdict}
		if r.Claim.Contrast == nil {
			whole := -1
			if len(m.Groups) == 1 {
				whole = 0
			}
			one.Pooled = outcome.Outcome{Verdict: m.Pooled.Verdict, Draws: of.draws(m.Pooled.Draws, l, whole, "effect")}
			for g, group := range m.Groups {
				told := outcome.Outcome{People: group.People, Verdict: group.Verdict, Draws: of.draws(group.Draws, l, g, "effect")}
				if tr := group.Trait; tr != nil { // which way it goes is told, and by no number
					told.Trait = &outcome.Trait{Name: tr.Name, ShareHigh: tr.ShareHigh - tr.ShareLow}
				}
				one.Groups = append(one.Groups, told)
			}
		}
		again.Models = append(again.Models, one)
	}
	for i, c := range r.Contrast {
		g := i % len(r.Claim.People)
		again.Contrast = append(again.Contrast, outcome.ContrastResult{Model: c.Model, People: c.People, By: c.By, Unit: c.Unit, Verdict: c.Verdict,
			Draws: of.draws(c.Draws, i/len(r.Claim.People), g, "difference")})
	}
	return &again
}

// column returns the values of a column, of one model and population, by replicate; nil
// where there is no such column.
func (of *retold) column(name string, model, people int) [][]float64 {
	index := func(name string) int {
		return slices.IndexFunc(of.layout.Columns, func(c columns.Column) bool { return c.Name == name })
	}
	j := index(name)
	if j < 0 {
		return nil
	}
	models, groups, replicates := of.rows.Int[index("model")], of.rows.Int[index("people")], of.rows.Int[index("replicate")]
	list := make([][]float64, claim.Replicates)
	for row := range of.rows.N {
		if int(models[row]) != model || int(groups[row]) != people {
			continue
		}
		replicate := replicates[row]
		if of.layout.Columns[j].Integer {
			list[replicate] = append(list[replicate], float64(of.rows.Int[j][row]))
		} else {
			list[replicate] = append(list[replicate], float64(of.rows.Float[j][row]))
		}
	}
	return list
}

// quantiles are those of all values that are numbers, by linear interpolation between
// ranks (type 7 of Hyndman and Fan 1996).
func quantiles(replicates [][]float64, stretch float64) outcome.Summary {
	var all []float64
	for _, values := range replicates {
		for _, x := range values {
			if !math.IsNaN(x) {
				all = append(all, stretch*x)
			}
		}
	}
	slices.Sort(all)
	at := func(p float64) *float64 {
		if len(all) == 0 {
			return nil
		}
		rank := p * float64(len(all)-1)
		k := int(rank)
		x := all[k]
		if part := rank - float64(k); part > 0 {
			x += part * (all[k+1] - x)
		}
		return jsonform.Finite(x)
	}
	return outcome.Summary{P5: at(0.05), P50: at(0.5), P95: at(0.95)}
}

// centred takes out how the replicates' means differ.
func centred(replicates [][]float64) [][]float64 {
	var means []float64
	mean := 0.0
	for _, values := range replicates {
		sum := 0.0
		for _, x := range values {
			sum += x
		}
		means = append(means, sum/float64(len(values)))
		mean += means[len(means)-1] / float64(len(replicates))
	}
	if math.IsNaN(mean) || math.IsInf(mean, 0) {
		return replicates
	}
	moved := make([][]float64, len(replicates))
	for r, values := range replicates {
		for _, x := range values {
			moved[r] = append(moved[r], x-means[r]+mean)
		}
	}
	return moved
}

// draws are those of one model and population. told lends what is no number: what is
// agreed on, and what decides, which has a design of its own.
func (of *retold) draws(told *outcome.Draws, model, people int, effect string) *outcome.Draws {
	d := &outcome.Draws{
		Replicates: claim.Replicates, Verdicts: map[string]int{}, Unit: told.Unit,
		Agreement: told.Agreement, NeverRises: told.NeverRises, NeverFalls: told.NeverFalls, Decisive: told.Decisive,
	}
	column := func(name string) [][]float64 {
		values := of.column(name, model, people)
		if values == nil {
			of.t.Fatalf("draws.parquet has no column %s", name)
		}
		return values
	}
	for _, values := range column("verdict") {
		for _, v := range values {
			d.N++
			d.Verdicts[claim.Verdict(v).String()]++
		}
	}
	ending := of.ending
	if of.percent {
		ending = "_percent"
	}
	d.Effect = quantiles(centred(column("median_"+effect+of.ending)), of.stretch)
	d.Percent = quantiles(centred(column("median_"+effect+"_percent")), of.stretch)
	d.InUnit = quantiles(centred(column("median_"+effect+ending)), of.stretch)
	middle := func(name string) *float64 { return quantiles(column(name), of.stretch).P50 }
	d.PeopleInUnit = outcome.Summary{P5: middle("p5_" + effect + ending), P50: middle("median_" + effect + ending), P95: middle("p95_" + effect + ending)}
	if effect == "difference" {
		d.Greater = quantiles(column("top_greater_share"), 1)
		return d
	}
	d.AsClaimed, d.TooSmall, d.Against = quantiles(column("as_claimed_share"), 1), quantiles(column("too_small_share"), 1), quantiles(column("against_share"), 1)
	if told.Difficulty != nil {
		difficulty := quantiles(centred(column("median_difficulty_effect_percent")), of.stretch)
		d.Difficulty = &difficulty
	}
	for rule, u := range told.Under {
		if d.Under == nil {
			d.Under = map[string]outcome.Under{}
		}
		u.Effect = quantiles(centred(column(rule+"_median_effect"+ending)), of.stretch)
		d.Under[rule] = u
	}
	return d
}

// Every number of the headline and of the quote of every shipped claim is that of its
// draws: counted again from the rows of draws.parquet, with nothing at hand that is known
// at the central assumptions alone, they read the same to the letter.
func TestHeadlinesAndQuotesAreTheDraws(t *testing.T) {
	moved := 0
	for _, r := range Shipped(t) {
		again := retell(t, r, 1)
		if got, want := Headline(again), Headline(r); got != want {
			t.Errorf("%s: the rows of draws.parquet say\n%s\nthe headline says\n%s", r.Claim.Name, got, want)
		}
		if got, want := Quotable(again), Quotable(r); got != want {
			t.Errorf("%s: the rows of draws.parquet say\n%s\nthe quote says\n%s", r.Claim.Name, got, want)
		}
		if stretched := retell(t, r, 1.5); Headline(stretched) != Headline(r) && Quotable(stretched) != Quotable(r) {
			moved++
		} else if r.Verdict != claim.NoEffect && r.Verdict != claim.NobodyHolds && !still(r) {
			t.Errorf("%s: other draws would be told in the same words: %s", r.Claim.Name, Headline(r))
		}
	}
	if moved < 25 {
		t.Errorf("of only %d claims do other draws say otherwise", moved)
	}
}

// Nothing that is told of shipped claims has a number without a unit's space, a sign
// before nothing, or a capital behind a colon or a semicolon that is no name.
func TestHeadlinesReadWell(t *testing.T) {
	for _, r := range Shipped(t) {
		for _, text := range []string{Headline(r), Quotable(r), Taught(r)} {
			for _, odd := range []string{"±", "NaN", " 0.0\u00a0%", " 0.0 %", "(0.0 %", "−0 ", "+0 ", "  ", "..", "; .", " ,", ": ;", "%!", "; Men", ": Men", "; Women", "; The "} {
				if strings.Contains(text, odd) {
					t.Errorf("%s: %q in %s", r.Claim.Name, odd, text)
				}
			}
		}
	}
}

// Bodies beyond what the survey can tell are said, with both errors; fewer are not.
func TestBeyondTheSurvey(t *testing.T) {
	for _, c := range []struct {
		drawing, survey float64
		want            string
	}{
		{0.04, 0.44, "at the central assumptions, drawing leaves a standard error of 0.04 % in the median effect, and the survey's own sampling 0.44 %: more bodies would add nothing"},
		{0.045, 0.44, ""},
		{0.04, 0, ""}, // nothing is known of the survey
	} {
		if got := beyondSurvey(&c.drawing, &outcome.Draws{Unit: "%", SurveyError: &c.survey}); got != c.want {
			t.Errorf("%g beside %g: %q, want %q", c.drawing, c.survey, got, c.want)
		}
	}
	if got := beyondSurvey(nil, &outcome.Draws{SurveyError: new(1.0)}); got != "" {
		t.Errorf("without an error of drawing: %q", got)
	}
}

// Effects are told by their direction, and what is next to nothing as hardly a change.
func TestSizes(t *testing.T) {
	hard := ClaimSizes{words.SizesOf(hold.Difficulty, hold.Equilibrium)}
	low := ClaimSizes{words.SizesOf(hold.WaistMoment, hold.Equilibrium)}
	span := func(a, b, c float64) outcome.Summary { return outcome.Summary{P5: &a, P50: &b, P95: &c} }
	for _, c := range []struct{ got, want string }{
		{hard.Moves(-38.2), "it gets 38 % easier"},
		{hard.Moves(0.3), "it hardly changes, +0.3 %"},
		{hard.Moves(0.01), "it hardly changes"},
		{low.Moves(-3.44), "the waist moment falls by 3.4 %"},
		{low.Compared(3.44), "3.4 % higher"},
		{hard.Span(span(1.7, 3, 4.9)), "1.7 to 4.9 %"},
		{hard.Span(span(-41, -38, -36)), "36 to 41 %"},
		{hard.Span(span(-0.2, 0.3, 1.5)), "−0.2 to +1.5 %"},
		{hard.Span(span(0.01, 6, 10)), "0 to 10 %"},
		{hard.Span(outcome.Summary{P5: new(1.0), P50: new(2.0)}), "+1.0 % to " + words.BeyondReach},
		{hard.open(span(2, 2, 2)), ""},
		{hard.spread(span(-0.2, 0.3, 1.5)), "+0.3 % (−0.2 to +1.5 %)"},
	} {
		if got := strings.ReplaceAll(c.got, "\u00a0", " "); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// still reports whether no draw moves the median effect of a result: there is nothing to
// stretch.
func still(r *outcome.Result) bool {
	for _, m := range r.Models {
		if e := m.Pooled.Draws.InUnit; e.P5 == nil || e.P95 == nil || math.Abs(*e.P95-*e.P5) > 1e-9 {
			return false
		}
	}
	return r.Claim.Contrast == nil
}

// A force that falls while the hold gets harder must not stand alone: neither in the
// headline nor in the sentence to quote. Turning both round turns the words round.
func TestDifficultyThatMovesTheOtherWayIsSaid(t *testing.T) {
	around := func(x float64) outcome.Summary { return outcome.Summary{P5: new(x - 1), P50: &x, P95: new(x + 1)} }
	moved := func(force, difficulty float64) (*outcome.Result, *outcome.ModelResult) {
		m := &outcome.ModelResult{Model: scenario.Model{Statics: hold.Equilibrium}, Name: "equilibrium"}
		harder := around(difficulty)
		m.Pooled.Draws = &outcome.Draws{InUnit: around(force), Difficulty: &harder}
		return &outcome.Result{Claim: &claim.Claim{Demand: hold.RequiredForce, Scenario: scenario.Scenario{Change: &scenario.Change{}}}}, m
	}
	for _, c := range []struct {
		force, difficulty float64
		want              string
	}{
		{-4.8, 15.25, "; but it gets 15 % harder (14 to 16 % over what nobody has measured)"},
		{4.8, -15.25, "; but it gets 15 % easier (14 to 16 % over what nobody has measured)"},
		{4.8, 15.25, ""},
		{-4.8, 0.04, ""}, // nothing of it is left in the digits shown
		{-0.04, 15.25, ""},
	} {
		if got := strings.ReplaceAll(difficultyOtherWay(moved(c.force, c.difficulty)), "\u00a0", " "); got != c.want {
			t.Errorf("force %+g, difficulty %+g: %q, want %q", c.force, c.difficulty, got, c.want)
		}
	}
	claimed, m := moved(-4.8, 15.25)
	m.Pooled.Draws.Difficulty = nil // of an angle, which is neither harder nor easier
	if got := difficultyOtherWay(claimed, m); got != "" {
		t.Errorf("an angle: %q", got)
	}
}

// What decides is named only where the verdict is open.
func TestDecisiveWords(t *testing.T) {
	decisive := &outcome.Decisive{Name: "push_direction", OfVerdict: outcome.Interval{Value: 0.9, Low: 0.8, High: 1}}
	for _, c := range []struct {
		high     float64
		decisive *outcome.Decisive
		want     string
	}{
		{0.6, decisive, "; where the floor's force on the hands points in push-ups and planks (push_direction) decides 90 % of that"},
		{0.6, nil, "; no single thing decides it"},
		{1, nil, ""},
	} {
		if got := decisiveWords(&outcome.Draws{N: 512, Agreement: outcome.Share{High: c.high}, Decisive: c.decisive}); got != c.want {
			t.Errorf("agreement up to %g: %q, want %q", c.high, got, c.want)
		}
	}
}

// Where populations' verdicts differ the sentence says how, and which population tells
// best for whom the claim holds; a trait that tells nobody apart is not named.
func TestBodySentence(t *testing.T) {
	group := func(people string, v claim.Verdict, share, low, high float64) outcome.Outcome {
		return outcome.Outcome{People: people, Verdict: v, Draws: &outcome.Draws{AsClaimed: outcome.Summary{P50: &share}}, Trait: &outcome.Trait{Name: "stature", ShareLow: low, ShareHigh: high}}
	}
	sentence := func(groups ...outcome.Outcome) string {
		return bodySentence(&outcome.Result{Models: []outcome.ModelResult{{Name: "equilibrium", Groups: groups}}})
	}
	got := sentence(group("ansur2-men", claim.NoDifference, 0.1, 0.1, 0.2), group("ansur2-women", claim.DependsOnBody, 0.9, 0.3, 0.99))
	want := "Army men “no difference that matters”, as claimed for 10 % of them; Army women “depends on the body”, as claimed for 90 % of them; " +
		"among Army women more often with larger stature. "
	if got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}
