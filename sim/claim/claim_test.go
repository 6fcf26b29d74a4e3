package claim_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/outcome"
	"counterpoise/internal/study"
	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/columns"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"

	"gonum.org/v1/gonum/stat"
)

func shipped(t *testing.T, name string) *claim.Claim {
	t.Helper()
	return golden.Must(study.ShippedClaim(name))(t)
}

func written(t *testing.T, text string) *claim.Claim {
	t.Helper()
	return golden.Must(study.ReadClaim("test.yaml", []byte(text)))(t)
}

func test(t *testing.T, c *claim.Claim, change func(*claim.Options)) *claim.Result {
	t.Helper()
	o := claim.DefaultOptions()
	o.N, o.Draws, o.Shown = 20_000, claim.LeastDraws, outcome.Shown
	if change != nil {
		change(&o)
	}
	return golden.Must(claim.Test(context.Background(), c, o))(t)
}

// memory is a sink that keeps every row.
type memory struct {
	layout    columns.Layout
	float     map[string][]float64
	integer   map[string][]int32
	committed bool
}

func (m *memory) Write(r *columns.Rows) error {
	for j, c := range m.layout.Columns {
		if c.Integer {
			m.integer[c.Name] = append(m.integer[c.Name], r.Int[j][:r.N]...)
			continue
		}
		for _, v := range r.Float[j][:r.N] {
			m.float[c.Name] = append(m.float[c.Name], float64(v))
		}
	}
	return nil
}
func (m *memory) Commit() error { m.committed = true; return nil }
func (m *memory) Abort()        { m.float, m.integer = map[string][]float64{}, map[string][]int32{} }

func keep() (*memory, func(columns.Layout, int) (columns.Sink, error)) {
	m := &memory{}
	return m, func(l columns.Layout, rows int) (columns.Sink, error) {
		m.layout, m.float, m.integer = l, map[string][]float64{}, map[string][]int32{}
		return m, nil
	}
}

// What is reported at the central assumptions can be counted again from the table of
// bodies: quantiles and means.
func TestReportIsWhatTheTableHolds(t *testing.T) {
	m, open := keep()
	c := shipped(t, "straddle")
	c.Matters = claim.Threshold{Share: 0.055} // which some bodies' effect is above
	r := test(t, c, func(o *claim.Options) { o.N, o.Open, o.Draws = 12_345, open, 0 })
	if !m.committed {
		t.Fatal("the table was not kept")
	}
	for k, slug := range []string{"equilibrium"} {
		before, after, effect := m.float[slug+"_required_force_before_bw"], m.float[slug+"_required_force_after_bw"], m.float[slug+"_required_force_effect_bw"]
		if len(effect) != r.N {
			t.Fatalf("%d rows, want %d", len(effect), r.N)
		}
		claimed := 0
		for i := range effect {
			if !(math.Abs(after[i]-before[i]-effect[i]) <= 1e-6) {
				t.Fatalf("row %d: %g is not %g − %g", i, effect[i], after[i], before[i])
			}
			if -effect[i] > c.Matters.Share*before[i] {
				claimed++
			}
		}
		o := r.Models[k].Pooled
		if claimed == 0 || claimed == r.N {
			t.Errorf("%s: as claimed for %d of %d, which counts nothing", slug, claimed, r.N)
		}
		// The draws' people are others: all replicates hold up 4,096 at least.
		share := float64(claimed) / float64(r.N)
		if got, se := o.Draws.AsClaimed.P50, math.Sqrt(share*(1-share)/4096); !(math.Abs(got-share) <= 4*se) {
			t.Errorf("%s: as claimed for %g in the draws, counted %g", slug, got, share)
		}
		sorted := slices.Sorted(slices.Values(effect))
		for p, got := range map[float64]float64{0.05: o.Quantity.Effect.P5, 0.5: o.Quantity.Effect.P50, 0.95: o.Quantity.Effect.P95} {
			if want := stat.Quantile(p, stat.LinInterp, sorted, nil); !(math.Abs(got/want-1) <= 1e-3) {
				t.Errorf("%s: %g-quantile of the effect is %g, counted %g", slug, p, got, want)
			}
		}
		if got, want := o.Quantity.Effect.Mean, stat.Mean(effect, nil); !(math.Abs(got-want) <= 1e-7) {
			t.Errorf("%s: mean effect %g, counted %g", slug, got, want)
		}
	}
	people := m.integer["people"]
	if men := slices.Index(people, 1); men != 6172 && men != 6173 {
		t.Errorf("%d of %d rows are men, want half", men, r.N)
	}
}

// The same question gives the same answer to the last bit, whatever the workers.
func TestWorkersChangeNothing(t *testing.T) {
	for _, name := range []string{"longer-arms", "tall-people"} {
		var first []byte
		for _, workers := range []int{1, 8} {
			r := test(t, shipped(t, name), func(o *claim.Options) { o.Workers, o.N, o.Draws = workers, 9001, 0 })
			text := golden.Must(json.Marshal(outcome.Of(r)))(t)
			if first == nil {
				first = text
			} else if !bytes.Equal(first, text) {
				t.Errorf("%s: %d workers change the result", name, workers)
			}
		}
	}
}

// Verdicts that follow by hand. Longer arms at the best angle: the force of the
// taught rule falls for every body (common practice, no source), which gives no verdict. Size: no force in
// body weights changes, exactly; the difficulty grows by s^(p(1−β)), the same
// for every body. The saying about the straddle's tenth is about
// cos 45° on the legs alone: their part of the moment is under a half, so less
// than 0.15 of it goes.
func TestVerdictsThatFollowByHand(t *testing.T) {
	r := test(t, shipped(t, "longer-arms"), nil)
	if said := r.Taught.Pooled.Quantity.Effect; !(said.P95 < 0) {
		t.Errorf("longer arms by the rule that is taught: %+v", said)
	}
	if len(r.Models) != 1 || r.Models[0].Model.Statics != hold.Equilibrium || r.Verdict != r.Models[0].Verdict {
		t.Errorf("longer arms: %s, by %+v", r.Verdict, r.Models)
	}
	// 1.46 BW upwards, by another program.
	if up := r.Taught.Upwards; math.Abs(up-1.46) > 0.005 {
		t.Errorf("the arm forces of the rule that is taught add up to %.3f BW upwards", up)
	}
	// In equilibrium, with the share chosen, too few draws for any verdict say that longer
	// arms, their mass with them, make it harder at the best posture: about one in 25. Over
	// the capacities that were assumed before none does (sim/hold's
	// TestLongerArmsAreNoHarderAtTheBestPosture).
	if d := r.Models[0].Pooled.Draws; d.Verdicts[claim.Supported] > d.N/16 {
		t.Errorf("longer arms in equilibrium: %v, median effect up to %.2f %%", d.Verdicts, d.Percent.P95)
	}
	r = test(t, shipped(t, "larger-body-force"), nil)
	if r.Verdict != claim.NoEffect {
		t.Errorf("a larger body's force: %s", r.Verdict)
	}
	r = test(t, shipped(t, "larger-body-difficulty"), nil)
	want := 100 * (math.Pow(1.05, 3*0.33) - 1)
	for _, m := range r.Models {
		for _, q := range []float64{m.Pooled.Percent.P5, m.Pooled.Percent.P50, m.Pooled.Percent.P95} {
			if math.Abs(q-want) > 0.003*want { // the histogram's resolution is 0.05 %
				t.Errorf("%s: the difficulty grows by %.4f %%, want %.4f %%", m.Name, q, want)
			}
		}
		// Exponents of force, which are below 1, leave no doubt of the sign.
		if d := m.Pooled.Draws; m.Verdict != claim.Supported || !d.NeverFalls || d.Decisive != nil {
			t.Errorf("%s: %s, never falls %v, decided by %v", m.Name, m.Verdict, d.NeverFalls, d.Decisive)
		}
	}
	r = test(t, shipped(t, "hands-as-wide-as-they-go"), nil)
	// Who shares the weight as the shoulders like it best pushes about as hard with the
	// hands wide apart as at the best angle: the capacities decide which is more.
	if r.Verdict != claim.OpenAssumptions {
		t.Errorf("hands as wide as they go: %s", r.Verdict)
	}
	// Where arms push weakly for their shoulders the best hands are wide apart already.
	if m := r.Models[0].Pooled.Beside[hold.ShoulderMoment]; m.Changed.P50 < 1.25*m.Baseline.P50 {
		t.Errorf("hands as wide as they go: the shoulder moment goes from %g to %g BW·m, want it to grow by a quarter at least", m.Baseline.P50, m.Changed.P50)
	}
}

const head = `
claim: made-up
says: Made up.
hold: human-flag
people: [ansur2-men, ansur2-women]
`

// fixedN keeps n where it is and leaves the assumptions alone.
func fixedN(o *claim.Options) { o.N, o.Draws = 10_000, 0 }

// A posture that nobody can take any more counts as infinitely harder; one that
// nobody could take before and can now as infinitely easier; one that nobody
// can take at all is left out.
func TestImpossiblePostures(t *testing.T) {
	worse := test(t, written(t, head+"change: {hand_spacing: +90 cm}\nquantity: required_force\nexpect: increase\nmatters: 0.01 BW\n"), func(o *claim.Options) { o.Draws = 0 })
	for _, m := range worse.Models {
		if o := m.Pooled; o.BecameImpossible < o.N*9/10 || m.Verdict != claim.Supported {
			t.Errorf("%s: %d of %d can no longer hold it; %s", m.Name, o.BecameImpossible, o.N, m.Verdict)
		}
		if e := m.Pooled.Quantity.Effect.P95; !math.IsInf(e, 1) {
			t.Errorf("%s: the 95 %% effect is %g, want it beyond reach", m.Name, e)
		}
	}
	if _, err := json.Marshal(outcome.Of(worse)); err != nil {
		t.Errorf("infinite effects break the summary: %v", err)
	}
	never := test(t, written(t, head+"tilt: 45 deg\nchange: {arm_length: -10 cm}\nquantity: required_force\nexpect: increase\nmatters: 0.01 BW\n"), func(o *claim.Options) { o.Draws = 0 })
	for _, m := range never.Models {
		if o := m.Pooled; o.Excluded+o.N == 0 {
			t.Errorf("%s: nobody was counted", m.Name)
		}
	}
}

// Weights decide how many of each are drawn, and only people who meet the
// conditions are.
func TestPeopleOfAClaim(t *testing.T) {
	m, open := keep()
	c := written(t, strings.Replace(head, "people: [ansur2-men, ansur2-women]", "people: {from: [ansur2-men, ansur2-women], weights: {ansur2-men: 3}, where: {stature: 168..174 cm, bmi: ..25}}", 1)+
		"change: {arm_length: +1 cm}\nexpect: decrease\nmatters: 0.1 %\n")
	r := test(t, c, func(o *claim.Options) { o.Open, o.Draws, o.N = open, 0, 8000 })
	if r.Models[0].Groups[0].N != 6000 || r.Models[0].Groups[1].N != 2000 {
		t.Errorf("%d and %d drawn, want 6000 and 2000", r.Models[0].Groups[0].N, r.Models[0].Groups[1].N)
	}
	for i, h := range m.float["stature_m"] {
		if bmi := m.float["mass_kg"][i] / (h * h); h < 1.68-1e-6 || h > 1.74+1e-6 || bmi > 25+1e-4 {
			t.Fatalf("row %d: stature %.3f m and BMI %.2f were let through", i, h, bmi)
		}
	}
	c.Where = append(c.Where, anthro.Range{Of: anthro.BodyMassIndex, Low: 90, High: 95})
	_, err := claim.Test(context.Background(), c, claim.DefaultOptions())
	var rare *anthro.RareError
	if !errors.As(err, &rare) || !claim.IsInput(err) {
		t.Errorf("nobody has a BMI of 90: %v", err)
	}
}

// A contrast by what decides the quantity: the lighter third finds the flag
// easier by the capacity law, and relabelling the direction turns the verdict.
func TestContrast(t *testing.T) {
	text := strings.Replace(head, "human-flag", "human-flag", 1) + "contrast: {by: stature, groups: thirds}\nquantity: difficulty\nmatters: 1 %\nmodels: equilibrium\n"
	up := test(t, written(t, text+"expect: increase\n"), fixedN)
	down := test(t, written(t, text+"expect: decrease\n"), fixedN)
	for k, c := range up.Contrast {
		d := c.Draws
		if !(d.Effect.P50 > 0) || c.TopGreater < 0.5 || d.Greater.P50 < 0.5 || c.Median.High < c.Median.Low {
			t.Errorf("%+v: taller people should find it harder here", c)
		}
		turned := down.Contrast[k]
		if turned.Draws.Effect.P50 != d.Effect.P50 || turned.Draws.Greater.P50 != d.Greater.P50 {
			t.Errorf("the expected direction changed the difference: %+v, %+v", d.Effect, turned.Draws.Effect)
		}
		if c.Verdict != claim.Supported || turned.Verdict != claim.Contradicted {
			t.Errorf("%s one way, %s the other", c.Verdict, turned.Verdict)
		}
		// The central assumptions, on other people, are within what is drawn and what so
		// few people leave open of either.
		error := c.MedianError * math.Abs(c.Median.Low) / 100
		if difference := c.Median.High - c.Median.Low; !(math.Abs(difference-d.Effect.P50) < 3*math.Sqrt2*error) {
			t.Errorf("%g at the central assumptions, %+v over the draws", difference, d.Effect)
		}
	}
}

// Women are set against men whichever comes first, one verdict for both, each against the
// strength of an untrained person like them; whoever is not there cannot be compared.
func TestContrastOfSexes(t *testing.T) {
	text := "contrast: {by: sex}\nquantity: difficulty\nmodels: equilibrium\nexpect: increase\n"
	men := test(t, written(t, head+text), fixedN)
	women := test(t, written(t, strings.Replace(head, "[ansur2-men, ansur2-women]", "[ansur2-women, ansur2-men]", 1)+text), fixedN)
	for _, r := range []*claim.Result{men, women} {
		if len(r.Contrast) != 1 || r.Contrast[0].People != "ansur2-women" || r.Contrast[0].By != "sex" {
			t.Fatalf("%+v", r.Contrast)
		}
		if c := r.Contrast[0]; c.Verdict != claim.Supported || r.Verdict != claim.Supported || c.N != 5000 || !(c.TopGreater > 0.75 && c.TopGreater < 1) {
			t.Errorf("%+v", c)
		}
	}
	// The draws meet the surveys' refits in another order.
	if ratio := men.Contrast[0].Draws.Effect.P50 / women.Contrast[0].Draws.Effect.P50; men.Contrast[0].Median != women.Contrast[0].Median || !(math.Abs(ratio-1) < 0.05) {
		t.Errorf("%+v with the men first, %+v with the women first", men.Contrast[0], women.Contrast[0])
	}
	for _, people := range []string{"[ansur2-men, us-men]", "ansur2-women", "[ansur2-women, ansur2-men, us-men]"} {
		_, err := claim.Test(context.Background(), written(t, strings.Replace(head, "[ansur2-men, ansur2-women]", people, 1)+text), claim.DefaultOptions())
		if err == nil || !claim.IsInput(err) || !strings.Contains(err.Error(), "one population of either is needed") {
			t.Errorf("%s: %v", people, err)
		}
	}
}

// Stated groups are those people: their medians are those of people selected so.
func TestContrastOfStatedGroups(t *testing.T) {
	people := strings.Replace(head, "[ansur2-men, ansur2-women]", "us-women", 1)
	c := test(t, written(t, people+"contrast: {by: age, low: 20..29, high: 40..49}\nquantity: difficulty\nmodels: equilibrium\nexpect: increase\n"), fixedN).Contrast[0]
	if c.Cut != (claim.Ends{Low: 29, High: 40}) {
		t.Errorf("the groups end at %v", c.Cut)
	}
	for ages, got := range map[string]float64{"20..29": c.Median.Low, "40..49": c.Median.High} {
		of := strings.Replace(head, "[ansur2-men, ansur2-women]", "{from: us-women, where: {age: "+ages+"}}", 1)
		r := test(t, written(t, of+"contrast: {by: stature, groups: halves}\nquantity: difficulty\nmodels: equilibrium\nexpect: increase\n"), fixedN).Contrast[0]
		// The median lies between those of the shorter and the taller half.
		if !(got > r.Median.Low*0.97 && got < r.Median.High*1.03) {
			t.Errorf("ages %s: median %.3f, of the two halves by stature %v", ages, got, r.Median)
		}
	}
	few := people + "contrast: {by: stature, low: 1.0..1.1 m, high: 1.9..2.5 m}\nquantity: difficulty\nmodels: equilibrium\nexpect: increase\n"
	if _, err := claim.Test(context.Background(), written(t, few), claim.DefaultOptions()); err == nil || !strings.Contains(err.Error(), "0 are in the group below and 3 in the one above") {
		t.Errorf("nobody is that short: %v", err)
	}
}

func TestCancelledTestLeavesNothing(t *testing.T) {
	m, open := keep()
	ctx, cancel := context.WithCancel(context.Background())
	o := claim.DefaultOptions()
	o.Open = open
	o.Progress = func(string, int, int) { cancel() }
	if _, err := claim.Test(ctx, shipped(t, "longer-arms"), o); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want it cancelled", err)
	}
	if m.committed || len(m.float) > 0 {
		t.Error("rows were kept")
	}
}

func TestCheckReportsEveryFault(t *testing.T) {
	c := &claim.Claim{Share: 0.4, Matters: claim.Threshold{Share: -1}, Scenario: scenario.Scenario{People: []scenario.Group{{Population: "x", Weight: -1}}}}
	err := c.Check()
	for _, want := range []string{"claim:", "says:", "hold:", "people:", "change:", "share:", "models:"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: lacks a fault of %s", err, want)
		}
	}
}

// Adding mass of which the break-even share works changes the difficulty of the
// median body by nothing, in both models.
func TestBreakEvenShareBreaksEven(t *testing.T) {
	c := shipped(t, "more-upper-body-muscle")
	for k, m := range test(t, c, fixedN).Models {
		again := shipped(t, "more-upper-body-muscle")
		again.Change.Body.Mass[0].Working = m.Pooled.BreakEven.P50
		e := test(t, again, fixedN).Models[k].Pooled.Percent
		if math.Abs(e.P50) > 0.02 { // per cent: shares differ a little from body to body
			t.Errorf("%s: at the break-even share of %.3f the median difficulty moves by %.4f %%", m.Name, m.Pooled.BreakEven.P50, e.P50)
		}
	}
}

// What people are told apart by stands in the table under a name with its unit, years too.
func TestToldApartByYears(t *testing.T) {
	m, open := keep()
	test(t, shipped(t, "age-40"), func(o *claim.Options) { fixedN(o); o.Open = open })
	if ages := m.float["told_apart_by_years"]; len(ages) == 0 || slices.Max(ages) < 40 || slices.Max(ages) > 60 {
		t.Errorf("%d ages, the names are %v", len(ages), slices.Sorted(maps.Keys(m.float)))
	}
}

// A contrast can be done again from the table that it writes.
func TestContrastIsWhatTheTableHolds(t *testing.T) {
	m, open := keep()
	r := test(t, shipped(t, "tall-people"), func(o *claim.Options) { fixedN(o); o.Open = open })
	if !m.committed || len(m.float["stature_m"]) != r.N {
		t.Fatalf("committed %v, %d rows, want %d", m.committed, len(m.float["stature_m"]), r.N)
	}
	for _, c := range r.Contrast {
		var bottom, top []float64
		for i, h := range m.float["told_apart_by_m"] {
			if r.Claim.People[m.integer["people"][i]].Population != c.People {
				continue
			}
			if h != m.float["stature_m"][i] {
				t.Fatalf("row %d is told apart by %g, its stature is %g", i, h, m.float["stature_m"][i])
			}
			column := "equilibrium_difficulty_ratio"
			if h <= c.Cut.Low+1e-7 {
				bottom = append(bottom, m.float[column][i])
			}
			if h >= c.Cut.High-1e-7 {
				top = append(top, m.float[column][i])
			}
		}
		slices.Sort(bottom)
		slices.Sort(top)
		difference := stat.Quantile(0.5, stat.LinInterp, top, nil) - stat.Quantile(0.5, stat.LinInterp, bottom, nil)
		if told := c.Median.High - c.Median.Low; !(math.Abs(difference-told) <= 1e-3) {
			t.Errorf("%s, %s: difference %.5f, counted %.5f", c.Model, c.People, told, difference)
		}
	}
}
