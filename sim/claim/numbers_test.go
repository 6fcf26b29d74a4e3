package claim

import (
	"context"
	"math"
	"slices"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
)

var inf = math.Inf(1)

func TestRelative(t *testing.T) {
	for _, c := range []struct{ before, after, want float64 }{
		{2, 3, 0.5},
		{2, -3, -2.5},
		{-2, -3, -0.5}, // further below zero is a fall
		{-2, 3, 2.5},
		{0, 3, inf},
		{0, -3, -inf},
		{0, 0, 0},
		{1e-17, -3e-17, 0}, // rounding
	} {
		if got := relative(c.before, c.after); got != c.want {
			t.Errorf("from %g to %g: %g, want %g", c.before, c.after, got, c.want)
		}
	}
}

// A draw over several populations: a body weighs as its population's share of all, over
// how many of it were held up. Those who cannot take the posture are left out, and so are
// populations of which nobody can.
func TestPopulationsTogether(t *testing.T) {
	a := &assessor{
		test: &test{claim: &Claim{Share: 0.95, Matters: Threshold{Absolute: 0.01}}, setup: &scenario.Setup{}, sign: 1},
		tallies: [][]drawTally{{
			{effects: []float64{1, 2, 3, 4}, relatives: []float64{10, 20, 30, 40}, before: []float64{5, 5, 5, 5}, after: []float64{6, 7, 8, 9}},
			{effects: []float64{100, 200}, relatives: []float64{1000, 2000}, before: []float64{50, 50}, after: []float64{150, 250}},
			{},
		}},
	}
	for _, share := range []float64{0.2, 0.7, 0.1} {
		a.groups = append(a.groups, &group{Part: &scenario.Part{Share: share}})
	}
	out := []reading{
		{bodies: 4, counts: verdict.Counts{Plus: 1, Zero: 3}, shares: verdict.Shares{Plus: 0.25, Zero: 0.75, Minus: 0}, exact: true},
		{bodies: 2, excluded: 2, counts: verdict.Counts{Plus: 1, Minus: 1}, shares: verdict.Shares{Plus: 0.5, Zero: 0, Minus: 0.5}},
		{excluded: 4, shares: verdict.Counts{}.Shares(), exact: true},
		{},
	}
	a.together(out, 0)
	all := out[3]
	// The first weighs 0.2, the second, half of whom count, 0.35.
	want := verdict.Shares{Plus: (0.2*0.25 + 0.35*0.5) / 0.55, Zero: 0.2 * 0.75 / 0.55, Minus: 0.35 * 0.5 / 0.55}
	for _, d := range []float64{all.shares.Plus - want.Plus, all.shares.Zero - want.Zero, all.shares.Minus - want.Minus} {
		if !(math.Abs(d) <= 1e-15) {
			t.Errorf("%+v, want %+v", all.shares, want)
		}
	}
	if all.bodies != 6 || all.excluded != 6 || all.exact || all.verdict != DependsOnBody {
		t.Errorf("%+v", all)
	}
	// Each of the four weighs 0.05, each of the two 0.175: of 0.55 the middle is
	// passed with the fifth.
	if all.median != 100 || all.percent != 1000 || all.before != 50 || all.after != 150 || all.p5 != 1 || all.p95 != 200 {
		t.Errorf("%+v", all)
	}
}

// The far end of the harder direction is the low one for the weight on the feet,
// of which more is less on the hands, and for the angle between arms and trunk,
// at whose low end arms become too short.
func TestHarderDirection(t *testing.T) {
	for _, c := range []struct {
		hold string
		d    hold.Demand
		want float64
	}{
		{"push-up", hold.HandShare, inf}, {"push-up", hold.FootShare, -inf},
		{"front-lever", hold.LeanAngle, inf}, {"front-lever", hold.ArmTrunkAngle, -inf},
	} {
		d, want := c.d, c.want
		h, _ := hold.Parse(c.hold)
		c := &Claim{Name: "n", Says: "s", Demand: d, Matters: Threshold{Absolute: 0.01}, Share: 0.9, Scenario: scenario.Scenario{
			Hold: h, People: scenario.Survey("ansur2-men"), Change: &scenario.Change{Body: body.Change{Of: body.Amounts{body.Size: {Share: 0.07}}}},
			Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)}}}
		test := golden.Must(prepare(c))(t)
		can, cannot := hold.NewResult(1, d), hold.NewResult(1)
		can.Possible[0], can.Value[d][0] = true, 0.3
		if e, ok := test.effect(can, cannot, 0); e != want || !ok {
			t.Errorf("%s: no longer possible is %g", d, e)
		}
		if e, ok := test.effect(cannot, can, 0); e != -want || !ok {
			t.Errorf("%s: only now possible is %g", d, e)
		}
		if _, ok := test.effect(cannot, cannot, 0); ok {
			t.Errorf("%s: never possible counts", d)
		}
	}
}

// The variance of an effect is taken apart whole.
func TestVarianceOfTheEffect(t *testing.T) {
	c := aboutPeople(scenario.Group{Population: "ansur2-men", Weight: 2}, scenario.Group{Population: "ansur2-women", Weight: 1})
	c.Matters = Threshold{Absolute: 0.5} // more than any effect: nothing is left open
	o := quick()
	o.Draws = LeastDraws
	r := golden.Must(Test(context.Background(), c, o))(t)
	for _, m := range r.Models {
		v := m.Pooled.Draws.Split
		if v == nil || math.Abs(v.People+v.Assumptions+v.Both-1) > 1e-12 || !(v.People > 0.01 && v.Assumptions > 0.01 && v.Both >= 0) {
			t.Errorf("%s: %+v", m.Name, v)
		}
	}
}

// The variance over two populations, by hand: an effect of slope·A + offset + body, with
// A of the draw and the same for both, and body −1, 0 or 1.
func TestVarianceOverPopulations(t *testing.T) {
	slope, offset, weight := []float64{1, 3}, []float64{10, 12}, []float64{0.3, 0.7}
	draw := []float64{-2, -1, 0, 1, 2} // of variance 2.5
	test := &test{}
	for g := range slope {
		test.groups = append(test.groups, &group{Part: &scenario.Part{Share: weight[g]}})
	}
	d := &outer{unknowns: &unknowns{t: test}}
	for range 3 { // replicates, all alike
		var groups []*drivers.Crossed
		for g := range slope {
			crossed := drivers.NewCrossed(3)
			for _, a := range draw {
				middle := slope[g]*a + offset[g]
				crossed.Add([]float64{middle - 1, middle, middle + 1})
			}
			groups = append(groups, crossed)
		}
		d.crossed = append(d.crossed, [][]*drivers.Crossed{groups})
	}
	mean := 0.3*10 + 0.7*12
	people := 1 + 0.3*(10-mean)*(10-mean) + 0.7*(12-mean)*(12-mean)
	assumptions := (0.3*1 + 0.7*3) * (0.3*1 + 0.7*3) * 2.5
	both := (0.3*1+0.7*9)*2.5 - assumptions
	total := people + assumptions + both
	got := d.split(0)
	for name, pair := range map[string][2]float64{
		"people": {got.People, people / total}, "assumptions": {got.Assumptions, assumptions / total}, "both": {got.Both, both / total},
	} {
		if !(math.Abs(pair[0]-pair[1]) <= 1e-12) {
			t.Errorf("%s %v, want %v", name, pair[0], pair[1])
		}
	}
}

// A difference from a baseline that most cannot take, whichever end of the axis is the
// harder one, is judged by its sign alone; from any other by the threshold.
func TestDifferenceFromABaseline(t *testing.T) {
	for _, expect := range []Direction{Increase, None} {
		test := &test{claim: &Claim{Expect: expect, Matters: Threshold{Share: 0.1}}}
		outside := map[Direction]Verdict{Increase: Supported, None: Contradicted}[expect]
		within := map[Direction]Verdict{Increase: NoDifference, None: Supported}[expect]
		for _, c := range []struct {
			e, baseline float64
			want        Verdict
		}{
			{0.2, inf, outside}, {0.2, -inf, outside}, {inf, inf, outside}, {inf, -inf, outside}, {inf, 5, outside},
			{-0.3, inf, Contradicted}, {-0.3, -inf, Contradicted}, {-inf, 5, Contradicted},
			{0.2, 1, outside}, {0.2, -1, outside}, {-0.2, 1, Contradicted},
			{0.2, 5, within}, {-0.2, -5, within}, {0.5, 5, within}, {0.500001, 5, outside}, {0, 0, within},
			{math.NaN(), inf, NobodyHolds},
		} {
			if got := test.ruledDifference(c.e, c.baseline); got != c.want {
				t.Errorf("%s: %g from %g: %s, want %s", expect, c.e, c.baseline, got, c.want)
			}
		}
	}
}

// Half the width of a median's interval: of evenly spaced values as many steps as 2.576
// standard errors of the rank of the middle, √n/2 (the 0.995 quantile of the normal, by table).
func TestHalfWidth(t *testing.T) {
	for _, n := range []int{101, 400, 5001} {
		sorted := make([]float64, n)
		for i := range sorted {
			sorted[i] = float64(i) / 7
		}
		// A quantile's rank is a share of n − 1.
		want := 2.5758 * math.Sqrt(float64(n)) / 2 / 7 * float64(n-1) / float64(n)
		if got := halfWidth(sorted); !(math.Abs(got/want-1) <= 1e-4) {
			t.Errorf("of %d: %g, want %g", n, got, want)
		}
	}
	few := []float64{1, 2, 3}
	if got := halfWidth(few); got != 1 {
		t.Errorf("of three: %g, want all they span", got)
	}
}

func TestMedian(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   float64
	}{{[]float64{5}, 5}, {[]float64{4, 1}, 2.5}, {[]float64{9, 1, 4}, 4}, {[]float64{8, 1, 6, 3}, 4.5}, {[]float64{inf, 2, inf}, inf}} {
		before := slices.Clone(c.values)
		if got := median(c.values); got != c.want || !slices.Equal(c.values, before) {
			t.Errorf("the median of %v is %v, want %v", before, got, c.want)
		}
	}
}
