package report

import (
	"math"
	"reflect"
	"testing"

	"counterpoise/internal/chart"
	"counterpoise/internal/outcome"
	"counterpoise/sim/claim"
)

// What is claimed decides which way is right, and nothing else: said the other way
// round, every mark is mirrored and no text changes.
func TestOverviewIsMirrored(t *testing.T) {
	for matters, models := range map[string]string{"1 %": "[two-condition, equilibrium]", "0.01 BW": "[equilibrium]"} {
		var rows [2]chart.OverviewRow
		for k, expect := range []string{"increase", "decrease"} {
			r, _ := tested(t, claim.LeastDraws, nil, "hold: human-flag", "change: {arm_length: +10 cm}", "quantity: required_force", "expect: "+expect, "matters: "+matters, "models: "+models)
			o := Overview([]*outcome.Result{r})
			if len(o.Rows) != 1 || len(o.Rows[0].Marks) != len(r.Models) {
				t.Fatalf("%d rows", len(o.Rows))
			}
			rows[k] = o.Rows[0]
		}
		for i, up := range rows[0].Marks {
			down := rows[1].Marks[i]
			if up.Median == 0 || up.Median != -down.Median || up.P5 != -down.P95 || up.P95 != -down.P5 || up.Low != -down.High || up.High != -down.Low {
				t.Errorf("matters %s: %+v, mirrored %+v", matters, up, down)
			}
			if up.Text != down.Text || up.Range != down.Range {
				t.Errorf("matters %s: %s %s, mirrored %s %s", matters, up.Text, up.Range, down.Text, down.Range)
			}
		}
	}
}

// A mark is the summary's effect over the smallest that matters.
func TestOverviewMultiples(t *testing.T) {
	r, _ := tested(t, claim.LeastDraws, nil, "hold: human-flag", "change: {arm_length: +10 cm}", "quantity: best_angle", "expect: decrease", "matters: 2 deg")
	for i, mark := range Overview([]*outcome.Result{r}).Rows[0].Marks {
		m := r.Models[i]
		for _, c := range []struct {
			name      string
			got, want float64
		}{
			{"median", mark.Median, -*m.Pooled.Draws.InUnit.P50 / 2},
			{"5 %", mark.P5, -*m.Pooled.Draws.PeopleInUnit.P95 / 2},
			{"95 %", mark.P95, -*m.Pooled.Draws.PeopleInUnit.P5 / 2},
			{"low", mark.Low, -*m.Pooled.Draws.InUnit.P95 / 2},
			{"high", mark.High, -*m.Pooled.Draws.InUnit.P5 / 2},
		} {
			if math.Abs(c.got-c.want) > 1e-9*math.Abs(c.want) {
				t.Errorf("%s, %s: %v, want %v", m.Name, c.name, c.got, c.want)
			}
		}
	}
}

// Bodies that can hold it no longer are an effect without an end, on the side of what
// the quantity does.
func TestOverviewOfTheImpossible(t *testing.T) {
	for expect, side := range map[string]int{"increase": 1, "decrease": -1} {
		r, _ := tested(t, 0, nil, "hold: planche", "change: {arm_length: -25 cm}", "quantity: lean_angle", "expect: "+expect, "matters: 1 deg")
		if r.Models[0].Pooled.BecameImpossible == 0 {
			t.Fatal("everybody still holds it")
		}
		o := Overview([]*outcome.Result{r})
		mark := o.Rows[0].Marks[0]
		if side > 0 && !math.IsInf(mark.P95, 1) || side < 0 && !math.IsInf(mark.P5, -1) {
			t.Errorf("expect %s: from %v to %v", expect, mark.P5, mark.P95)
		}
		for _, size := range chart.Sizes {
			if _, err := chart.Inline(o, size, "o"); err != nil {
				t.Error(err)
			}
		}
	}
}

// On every size each claim is shown once, in the order of the holds, on one axis.
func TestOverviewPages(t *testing.T) {
	var results []*outcome.Result
	for _, hold := range []string{"planche", "human-flag", "front-lever", "human-flag", "iron-cross", "push-up", "l-sit"} {
		r, _ := tested(t, 0, nil, "hold: "+hold, "change: {leg_length: +7 cm}", "quantity: "+quantityOf[hold], "expect: increase", "matters: 3 %")
		results = append(results, r)
	}
	for _, size := range chart.Sizes {
		rows, limit := []chart.OverviewRow{}, 0.0
		for k, f := range OverviewFigures(results, size) {
			o := f.Figure.(chart.Overview)
			if k == 0 {
				limit = o.End()
			}
			if o.End() != limit {
				t.Errorf("%s: the axis ends at %v and %v", size.Name, limit, o.End())
			}
			if err := chart.Fits(o, size, chart.Dark); err != nil {
				t.Error(err)
			}
			rows = append(rows, o.Rows...)
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
