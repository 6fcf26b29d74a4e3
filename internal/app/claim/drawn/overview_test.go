package drawn

import (
	"reflect"
	"strings"
	"testing"

	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/chart"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// The effect that a row tells is that of the draws, in words of its direction.
func TestOverviewEffects(t *testing.T) {
	r, _ := tested(t, claim.LeastDraws, nil, "hold: human-flag", "change: {arm_length: +10 cm}", "quantity: best_angle", "expect: decrease", "matters: 2 deg")
	d := r.Models[0].Pooled.Draws
	s := said.SizesOf(r.Claim, r.Models[0].Model.Statics)
	row := Overview([]*outcome.Result{r}).Rows[0]
	if row.Effect != s.Compared(*d.InUnit.P50) || row.Range != s.Span(d.InUnit) || row.Verdict.Word == "" {
		t.Errorf("%+v of %v", row, d.InUnit)
	}
	three, five := jsonform.Finite(3.0), jsonform.Finite(5.0)
	draws := func(x *float64) *outcome.Draws {
		return &outcome.Draws{InUnit: outcome.Summary{P5: x, P50: x, P95: x}}
	}
	hard := said.ClaimSizes{Sizes: words.SizesOf(hold.Difficulty, hold.Equilibrium)}
	for _, c := range []struct {
		draws          []*outcome.Draws
		none           bool
		effect, spread string
	}{
		{[]*outcome.Draws{draws(three), draws(five)}, false, "3.0 to 5.0 % harder", "3.0 to 5.0 %"},
		{[]*outcome.Draws{draws(three)}, false, "3.0 % harder", "3.0 %"},
		{[]*outcome.Draws{draws(three)}, true, "no change", ""},
		{nil, false, "", ""},
	} {
		effect, spread := overviewEffect(hard, c.draws, c.none)
		if plain := strings.NewReplacer("\u00a0", " "); plain.Replace(effect) != c.effect || plain.Replace(spread) != c.spread {
			t.Errorf("%q (%q), want %q (%q)", effect, spread, c.effect, c.spread)
		}
	}
}

// A claim that nobody can hold afterwards can be drawn on every size.
func TestOverviewOfTheImpossible(t *testing.T) {
	r, _ := tested(t, 0, nil, "hold: planche", "change: {arm_length: -25 cm}", "quantity: lean_angle", "expect: increase", "matters: 1 deg")
	o := Overview([]*outcome.Result{r})
	for _, size := range chart.Sizes {
		if _, err := chart.Inline(o, size, "o"); err != nil {
			t.Error(err)
		}
	}
}

// On every size each claim is shown once in all and once on a page, in the order of the holds.
func TestOverviewPages(t *testing.T) {
	var results []*outcome.Result
	for _, hold := range []string{"planche", "human-flag", "front-lever", "human-flag", "iron-cross", "push-up", "l-sit"} {
		r, _ := tested(t, 0, nil, "hold: "+hold, "change: {leg_length: +7 cm}", "quantity: "+quantityOf[hold], "expect: increase", "matters: 3 %")
		results = append(results, r)
	}
	for _, size := range chart.Sizes {
		var rows []chart.OverviewRow
		figures := OverviewFigures(results, size)
		for k, f := range figures {
			o := f.Figure.(chart.Overview)
			if err := chart.Fits(o, size, chart.Dark); err != nil {
				t.Error(err)
			}
			if all := k == 0; all != o.Tall || all && len(o.Rows) != len(results) {
				t.Errorf("%s: chart %d has %d rows", size.Name, k, len(o.Rows))
			} else if !all || len(figures) == 1 {
				rows = append(rows, o.Rows...)
			}
		}
		if len(rows) != len(results) {
			t.Fatalf("%s: %d rows for %d claims", size.Name, len(rows), len(results))
		}
		for i, want := range Overview(results).Rows {
			if !reflect.DeepEqual(rows[i], want) {
				t.Errorf("%s: row %d is %+v, want %+v", size.Name, i, rows[i], want)
			}
		}
	}
	if OverviewFigures(nil, chart.Slide) != nil {
		t.Error("a chart of no claims")
	}
}

var quantityOf = map[string]string{
	"planche": "lean_angle", "human-flag": "required_force", "front-lever": "shoulder_moment", "iron-cross": "shoulder_moment", "push-up": "hand_share", "l-sit": "hip_moment",
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
