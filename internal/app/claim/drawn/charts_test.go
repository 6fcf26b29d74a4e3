package drawn

import (
	"context"
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/chart"
	"counterpoise/internal/draw"
	"counterpoise/internal/golden"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
)

// tested tests a claim over a few bodies and returns what is said of it.
func tested(t *testing.T, draws int, fix map[assume.ID]float64, lines ...string) (*outcome.Result, string) {
	t.Helper()
	c, err := study.ReadClaim("f", []byte("claim: mine\nsays: Mine.\npeople: ansur2-women\n"+strings.Join(lines, "\n")+"\n"))
	if err != nil {
		t.Fatal(err)
	}
	o := claim.DefaultOptions()
	o.N, o.Draws = 3000, draws
	c.Assumptions = c.Assumed()
	for id, value := range fix {
		if err := c.Assumptions.Fix(id, value); err != nil {
			t.Fatal(err)
		}
	}
	r, err := outcome.Test(context.Background(), c, o)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := said.Text(&b, r); err != nil {
		t.Fatal(err)
	}
	if _, err := json.Marshal(said.Summarise(r, provenance.Stamp{})); err != nil {
		t.Error(err)
	}
	figures, err := Figures(r)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range draw.Paged(figures, draw.Slide) {
		if _, err := draw.Save(t.TempDir(), f.Name, f.Figure, draw.Slide, draw.Light); err != nil {
			t.Errorf("%v: %s: %v", lines, f.Name, err)
		}
	}
	return r, strings.Join(strings.Fields(b.String()), " ")
}

// What is said of holds without a choice of posture, word by word where it
// matters, and that every chart can be drawn.
func TestWordsForEveryKindOfHold(t *testing.T) {
	shortArms := map[assume.ID]float64{assume.PressureReach: 1, assume.ShoulderDrop: 0.3, assume.HipDrop: 0.08}
	for _, c := range []struct {
		lines []string
		fix   map[assume.ID]float64
		want  []string
		not   []string
	}{
		{[]string{"hold: front-lever", "change: {arm_length: +7 cm, mass: stays}", "quantity: shoulder_moment", "expect: increase", "matters: 3 %", "no_effect_because: They only hang at another angle."}, nil,
			[]string{"VERDICT: exactly no effect", "the shoulder moment stays the same for every body", "Nothing in this quantity depends on the change. They only hang at another angle.", "arm-trunk angle ", "lean angle "}, []string{"by posture", "break-even", "arm angle"}},
		{[]string{"hold: front-lever", "change: {size: +7 %}", "quantity: lean_angle", "expect: increase", "matters: 1 deg"}, nil,
			[]string{"the lean stays the same for every body", "so every angle stays the same."}, nil},
		{[]string{"hold: push-up", "pose: {bent: yes}", "change: {pose: {bent: no, feet_raised: 61 cm}}", "quantity: hand_share", "expect: increase", "matters: 0.02 BW"}, nil,
			[]string{"For the middle person the weight on the hands rises by 0.", "; nine in ten people: 0.", "foot share", "Pose push-up: bent; then feet raised 61 cm."}, nil},
		{[]string{"hold: push-up", "change: {pose: {kneeling: yes}}", "quantity: foot_share", "expect: increase", "matters: 5 %"}, nil,
			[]string{"the weight on the feet rises by", "Pose push-up: plain; then kneeling.", "5 % of the baseline or more"}, nil},
		{[]string{"hold: wall-handstand", "pose: {one_arm: yes, wall_distance: 15 cm}", "change: {leg_length: +5 cm}", "quantity: wall_push", "expect: decrease", "matters: 0.001 BW"}, nil,
			[]string{"the push of the wall falls by", "Pose wall-handstand: one arm, wall distance 15 cm."}, []string{"; then"}},
		{[]string{"hold: planche", "contrast: {by: span/stature}", "quantity: arm_trunk_angle", "expect: increase", "matters: 1 deg"}, nil,
			[]string{"The angle between arms and trunk, top group by span for stature against bottom group: Army women ", "cannot hold it"}, nil},
		{[]string{"hold: planche", "contrast: {by: span/stature}", "quantity: lean_angle", "expect: decrease", "matters: 1 deg"}, shortArms,
			[]string{"Army women cannot be compared: too many cannot take the posture", "cannot hold it"}, []string{"by beyond reach"}},
		{[]string{"hold: planche", "contrast: {by: span/stature}", "quantity: lean_angle", "expect: decrease", "matters: 1 %"}, map[assume.ID]float64{assume.PressureReach: 1},
			[]string{"% smaller", "cannot hold it"}, nil},
		{[]string{"hold: front-lever", "change: {arm_length: -60 %}", "quantity: lean_angle", "expect: increase", "matters: 1 deg"}, nil,
			[]string{"VERDICT: supported", "The lean cannot be compared for the middle person: most can take the posture only before the change or only after it", "0 at all (left out), 3,000 only after the change, 0 only before it"}, nil},
		{[]string{"hold: front-lever", "change: {arm_length: -35 %}", "quantity: lean_angle", "expect: none", "matters: 1 deg"}, nil,
			[]string{"VERDICT: contradicted", " only after the change, 0 only before it"}, nil},
		{[]string{"hold: human-flag", "change: {hand_spacing: +90 cm}", "quantity: required_force", "expect: increase", "matters: 0.01 BW"}, nil,
			[]string{"VERDICT: supported", " only after the change, 0 only before it"}, nil},
		{[]string{"hold: planche", "change: {leg_length: +2 cm}", "quantity: lean_angle", "expect: increase", "matters: 1 deg"},
			map[assume.ID]float64{assume.PressureReach: 1, assume.ShoulderDrop: 0.3, assume.HipDrop: 0.08, assume.HeelShare: 0, assume.GripReach: 0, assume.ShoulderSpan: 1},
			[]string{"cannot hold it"}, nil},
		{[]string{"hold: planche", "change: {added_mass: {upper_body: 3 kg}}", "expect: decrease", "matters: 1 %"}, nil,
			[]string{" % harder; nine in ten people: ", "break-even 10 % of the added mass"}, []string{"-0 %", "−0 %"}},
	} {
		_, text := tested(t, 0, c.fix, c.lines...)
		for _, want := range c.want {
			if !strings.Contains(text, want) {
				t.Errorf("%v: lacks %q:\n%s", c.lines, want, text)
			}
		}
		for _, not := range append(c.not, "NaN", "Inf", "%!") {
			if strings.Contains(text, not) {
				t.Errorf("%v: says %q:\n%s", c.lines, not, text)
			}
		}
	}
}

// Only a hold that leaves a choice of posture has curves over it.
func TestFiguresOfHolds(t *testing.T) {
	for hold, want := range map[string]string{
		"iron-cross": "effect",
		"human-flag": "effect requirement",
	} {
		r, _ := tested(t, claim.LeastDraws, nil, "hold: "+hold, "change: {arm_length: +7 cm}", "expect: increase", "matters: 3 %")
		figures, err := Figures(r)
		if err != nil {
			t.Fatal(err)
		}
		var names []string
		for _, f := range figures {
			names = append(names, f.Name)
		}
		if got := strings.Join(names, " "); got != want {
			t.Errorf("%s: figures %s, want %s", hold, got, want)
		}
	}
}

// However many models, every chart of the effect can be drawn.
func TestManyModelsTakeSeveralCharts(t *testing.T) {
	r, _ := tested(t, 0, nil, "hold: human-flag", "change: {arm_length: +10 cm}", "expect: increase", "matters: 1 %",
		"regional_masses: [table, residual, full]", "segments: [deleva-1996, dumas-2007]")
	for _, size := range draw.Sizes {
		panels := 0
		for _, page := range draw.Pages(effectChart(t, r), size) {
			panels += len(page.(chart.EffectDistribution).Panels)
			if err := draw.Fits(page, size, draw.Light); err != nil {
				t.Error(err)
			}
		}
		if panels != 6 {
			t.Errorf("%s: %d panels for 6 models", size.Name, panels)
		}
	}
}

// effectChart is the chart of the effect of a change.
func effectChart(t *testing.T, r *outcome.Result) chart.EffectDistribution {
	t.Helper()
	figures, err := Figures(r)
	if err != nil {
		t.Fatal(err)
	}
	return figures[0].Figure.(chart.EffectDistribution)
}

// Where only people was drawn, text and picture say so where they say the verdict,
// and no range passes for what nobody has measured; where more was, neither does.
func TestCentralAssumptionsAreNeverQuotedAlone(t *testing.T) {
	for draws, central := range map[int]bool{0: true, claim.LeastDraws: false} {
		r, text := tested(t, draws, nil, "hold: front-lever", "change: {legs: {form: tuck}}", "quantity: shoulder_moment", "expect: decrease")
		e := effectChart(t, r)
		for what, said := range map[string]string{"verdict": text[:strings.Index(text, "For the middle person")], "title": strings.ReplaceAll(e.Title, "\u00a0", " ")} {
			if strings.Contains(said, "at the central assumptions alone") != central {
				t.Errorf("%d draws, %s: %q", draws, what, said)
			}
		}
		if strings.Contains(e.Alt(), "by what nobody has measured") == central {
			t.Errorf("%d draws: %s", draws, e.Alt())
		}
	}
}

// The effect that a row tells is that of the draws, in words of its direction.
func TestOverviewEffects(t *testing.T) {
	r, _ := tested(t, claim.LeastDraws, nil, "hold: human-flag", "change: {arm_length: +10 cm}", "quantity: best_angle", "expect: decrease", "matters: 2 deg")
	d := r.Models[0].Pooled.Draws
	s := said.SizesOf(r.Claim, r.Models[0].Model.Statics)
	row := Overview([]*outcome.Result{r}).Rows[0]
	if row.Effect != words.Together(s.Compared(*d.InUnit.P50)+" ("+words.Interval(s.Signed(*d.InUnit.P5), s.Signed(*d.InUnit.P95))+")") || row.Verdict.Word == "" {
		t.Errorf("%+v of %v", row, d.InUnit)
	}
	three, five := jsonform.Finite(3.0), jsonform.Finite(5.0)
	draws := func(x *float64) *outcome.Draws {
		return &outcome.Draws{InUnit: outcome.Summary{P5: x, P50: x, P95: x}}
	}
	hard := said.ClaimSizes{Sizes: words.SizesOf(hold.Difficulty, hold.Equilibrium)}
	for _, c := range []struct {
		draws  []*outcome.Draws
		none   bool
		effect string
	}{
		{[]*outcome.Draws{draws(three), draws(five)}, false, "3.0 to 5.0 % harder"},
		{[]*outcome.Draws{draws(three)}, false, "3.0 % harder"},
		{[]*outcome.Draws{draws(three)}, true, "no change"},
		{[]*outcome.Draws{{InUnit: outcome.Summary{P5: jsonform.Finite(1.0), P50: three, P95: five}}}, false, "3.0 % harder (1.0 to 5.0 %)"},
		{[]*outcome.Draws{{InUnit: outcome.Summary{P5: jsonform.Finite(-1.0), P50: three, P95: five}}}, false, "3.0 % harder (−1.0 to +5.0 %)"},
		{nil, false, ""},
	} {
		if effect := strings.ReplaceAll(overviewEffect(hard, c.draws, c.none), "\u00a0", " "); effect != c.effect {
			t.Errorf("%q, want %q", effect, c.effect)
		}
	}
}

// What reaches without end is told and drawn, in stories too: with hands this much wider too many
// cannot reach in some draws.
func TestEffectWithoutEnd(t *testing.T) {
	r, text := tested(t, claim.LeastDraws, nil, "hold: human-flag", "change: {hand_spacing: +12 cm}", "quantity: difficulty", "expect: increase")
	if r.Models[0].Pooled.Draws.InUnit.P95 != nil || !strings.Contains(text, "to beyond reach") {
		t.Fatalf("it ends at %v: %s", r.Models[0].Pooled.Draws.InUnit.P95, text)
	}
	var first strings.Builder
	golden.OK(t, said.First(&first, r))
	if told := strings.Join(strings.Fields(first.String()), " "); !strings.Contains(told, "to beyond reach by what nobody has measured") {
		t.Errorf("the first screen tells no range: %s", told)
	}
	figures := golden.Must(Figures(r))(t)
	for _, l := range words.Languages {
		s := StoryOf(r, figures, l, "", "")
		for _, size := range draw.Sizes {
			if _, err := draw.Inline(s, size, "s"); err != nil {
				t.Errorf("%s, %s: %v", l, size.Name, err)
			}
		}
	}
}

// A claim that nobody can hold afterwards can be drawn on every size.
func TestOverviewOfTheImpossible(t *testing.T) {
	r, _ := tested(t, 0, nil, "hold: planche", "change: {arm_length: -25 cm}", "quantity: lean_angle", "expect: increase", "matters: 1 deg")
	o := Overview([]*outcome.Result{r})
	for _, size := range draw.Sizes {
		if _, err := draw.Inline(o, size, "o"); err != nil {
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
	for _, size := range draw.Sizes {
		var rows []chart.OverviewRow
		figures := OverviewFigures(results, size)
		for k, f := range figures {
			o := f.Figure.(chart.Overview)
			if err := draw.Fits(o, size, draw.Dark); err != nil {
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
	if OverviewFigures(nil, draw.Slide) != nil {
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

// Where the hands of several people go is in one title.
func TestHandsGo(t *testing.T) {
	people := []string{"men", "women", "boys"}
	for _, c := range []struct {
		metres []float64
		want   string
	}{
		{[]float64{0.19, 0.12}, "hands 19 cm (men) and 12 cm (women) further apart"},
		{[]float64{-0.02, -0.01}, "hands 2 cm (men) and 1 cm (women) closer together"},
		{[]float64{0.1, 0.1}, "hands 10 cm further apart"},
		{[]float64{0.1, -0.1}, "hands 10 cm further apart (men) and 10 cm closer together (women)"},
		{[]float64{0.1, 0.1, 0.2}, "hands 10 cm (men), 10 cm (women) and 20 cm (boys) further apart"},
		{[]float64{0, 0}, "hands where they were"},
		{[]float64{0.03, -0.02}, "hands 3 cm further apart (men) and 2 cm closer together (women)"},
	} {
		if got := strings.ReplaceAll(handsGo(c.metres, people), "\u00a0", " "); got != c.want {
			t.Errorf("%v: %q, want %q", c.metres, got, c.want)
		}
	}
}

// The hump of a group has the area of those who can take the posture, however much they differ.
func TestHumpsHaveTheirPeoplesArea(t *testing.T) {
	group := func(sd float64, able int) *claim.Members {
		m := &claim.Members{}
		for i := range 3000 {
			m.Demand = append(m.Demand, 1+sd*math.NormalQuantile((float64(i)+0.5)/3000))
			if i >= able {
				m.Demand[i] = math.Inf(1)
			}
		}
		return m
	}
	for _, c := range []struct {
		sd   float64
		able int
		area float64
	}{{0.1, 3000, 1}, {0.2, 3000, 1}, {0.1, 2000, 2.0 / 3}} {
		x := densityGrid(1, group(0.2, 3000))
		area := 0.0
		for _, y := range densityOf(x, 1, group(c.sd, c.able)) {
			area += y * (x[1] - x[0])
		}
		if math.Abs(area-c.area) > 0.01 {
			t.Errorf("%d of 3000 people of spread %g have an area of %.3f, want %.3f", c.able, c.sd, area, c.area)
		}
	}
}
