//go:build ignore

package claim

import (
	"context"
	"math"
	"slices"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
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

func TestMoves(t *testing.T) {
	for _, c := range []struct {
		effect, before float64
		want           bool
	}{
		{3e-10, 0.4, false}, {5e-10, 0.4, true}, {-5e-10, 0.4, true}, {3e-10, -0.4, false},
		{0, 0, false}, {4e-16, 0, false}, {4e-16, 3e-17, false}, {2e-14, 0, true},
		{inf, 0.4, true}, {-inf, 0, true}, {math.NaN(), 0.4, true},
	} {
		// An infinite effect is told by comparison with any baseline.
		if got := moves(c.effect, c.before); got != c.want {
			t.Errorf("%g from %g moves: %v", c.effect, c.before, got)
		}
	}
}

// A share of nothing does not turn rounding into an effect.
func TestThresholdOfNothing(t *testing.T) {
	var c counts
	for _, e := range []float64{3e-17, -3e-17, 0.002, -0.003, inf} {
		c.count(e, Threshold{Share: 0.07}.Of(0))
	}
	if c != (counts{plus: 2, zero: 2, minus: 1}) {
		t.Errorf("counted %+v", c)
	}
	if got := (Threshold{Share: 0.07}).Of(-3); !(math.Abs(got-0.21) <= 1e-15) {
		t.Errorf("7 %% of −3 is %g", got)
	}
}

func TestFiniteQuantile(t *testing.T) {
	for _, c := range []struct {
		low, high, finite int
	}{{0, 0, 101}, {40, 0, 103}, {0, 1500, 103}, {211, 17, 103}, {1, 1, 103}} {
		var h montecarlo.Histogram
		for range c.low {
			h.Add(-inf)
		}
		for range c.high {
			h.Add(inf)
		}
		for k := range c.finite {
			h.Add(1 + float64(k)/float64(c.finite-1))
		}
		for _, p := range []float64{0, 0.05, 0.5, 0.95, 1} {
			// One rank at either end may be left out.
			if got, want := finiteQuantile(&h, p), 1+p; !(math.Abs(got-want) <= 0.011) {
				t.Errorf("%+v: the %g-quantile is %g, want %g", c, p, got, want)
			}
		}
	}
	var none, all montecarlo.Histogram
	all.AddAll([]float64{inf, inf, -inf})
	if !math.IsNaN(finiteQuantile(&none, 0.3)) || !math.IsNaN(finiteQuantile(&all, 0.3)) {
		t.Error("a quantile of nothing is a number")
	}
}

func TestNothingToJudge(t *testing.T) {
	for expect := range NumDirections {
		if v := judge(counts{}.shares(), 0.95, expect); v != Undecided {
			t.Errorf("%s: %s on nobody", expect, v)
		}
	}
}

// Groups in which nobody takes the posture in a draw are left out of the pool.
func TestPooledShares(t *testing.T) {
	nobody := counts{}.shares()
	men := shares{0.5, 0.3, 0.2}
	test := &test{groups: []*group{{Part: &scenario.Part{Share: 0.4}}, {Part: &scenario.Part{Share: 0.6}}}}
	d := &draws{draw: []draw{{shares: [][]shares{{men, nobody}}}, {shares: [][]shares{{nobody, nobody}}}}}
	got := d.sharesOf(test, 0, 0, -1)
	for _, difference := range []float64{got.plus - men.plus, got.zero - men.zero, got.minus - men.minus} {
		if !(math.Abs(difference) < 1e-15) {
			t.Errorf("pooled %+v, want %+v", got, men)
		}
	}
	if got := d.sharesOf(test, 1, 0, -1); !math.IsNaN(got.zero) {
		t.Errorf("pooled %+v out of nobody", got)
	}
}

// The wall's friction has no part in the iron cross, however well chance puts
// them together.
func TestDriverIsOfThisHold(t *testing.T) {
	o := DefaultOptions()
	points, err := (&test{assumed: assume.DefaultUncertainty()}).assumptionPoints(&o)
	if err != nil {
		t.Fatal(err)
	}
	d := &draws{points: points}
	response := make([]float64, len(points))
	for k := range points {
		response[k] = points[k].set[assume.WallFriction]
	}
	for _, c := range []struct {
		hold  string
		names bool
	}{{"wall-handstand", true}, {"iron-cross", false}} {
		h, _ := hold.Parse(c.hold)
		test := &test{claim: &Claim{Scenario: scenario.Scenario{Hold: h}}, assumed: assume.DefaultUncertainty()}
		driver := d.driver(test, test.bears(hold.Equilibrium), response)
		if driver == nil || (driver.Name == "wall_friction") != c.names {
			t.Errorf("%s is driven by %+v", c.hold, driver)
		}
	}
	response[7] = math.NaN()
	if driver := d.driver(&test{assumed: assume.DefaultUncertainty()}, func(assume.ID) bool { return true }, response); driver != nil {
		t.Errorf("driven by %s though one draw says nothing", driver.Name)
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
		test, err := prepare(c)
		if err != nil {
			t.Fatal(err)
		}
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

// The variance of an effect is taken apart whole, and with nothing left to assume
// all of it is people.
func TestVarianceOfTheEffect(t *testing.T) {
	c := aboutPeople(scenario.Group{Population: "ansur2-men", Weight: 2}, scenario.Group{Population: "ansur2-women", Weight: 1})
	o := quick()
	o.Draws = 128
	r, err := Test(context.Background(), c, o)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range r.Models {
		v := m.Draws.Split
		if v == nil || math.Abs(v.People+v.Assumptions+v.Both-1) > 1e-12 || !(v.People > 0.01 && v.Assumptions > 0.01 && v.Both >= 0) {
			t.Errorf("%s: %+v", m.Name, v)
		}
	}
	// With every assumption fixed all draws are alike.
	c.Assumptions = assume.DefaultUncertainty()
	for id := range assume.Count {
		if err := c.Assumptions.Fix(id, c.Assumptions.Centre[id]); err != nil {
			t.Fatal(err)
		}
	}
	if r, err = Test(context.Background(), c, o); err != nil {
		t.Fatal(err)
	}
	for _, m := range r.Models {
		if v := m.Draws.Split; v == nil || !(math.Abs(v.People-1) <= 1e-12) {
			t.Errorf("%s: with nothing left to assume %+v", m.Name, v)
		}
	}
}

// The variance over two populations, by hand: an effect of slope·A + offset + body, with
// A of the draw and the same for both, and body −1, 0 or 1.
func TestVarianceOverPopulations(t *testing.T) {
	slope, offset, weight := []float64{1, 3}, []float64{10, 12}, []float64{0.3, 0.7}
	draw := []float64{-2, -1, 0, 1, 2} // of variance 2.5
	test := &test{}
	d := &draws{crossed: make([][]*drivers.Crossed, 1)}
	for g := range slope {
		test.groups = append(test.groups, &group{Part: &scenario.Part{Share: weight[g]}})
		crossed := drivers.NewCrossed(3)
		for _, a := range draw {
			middle := slope[g]*a + offset[g]
			crossed.Add([]float64{middle - 1, middle, middle + 1})
		}
		d.crossed[0] = append(d.crossed[0], crossed)
	}
	mean := 0.3*10 + 0.7*12
	people := 1 + 0.3*(10-mean)*(10-mean) + 0.7*(12-mean)*(12-mean)
	assumptions := (0.3*1 + 0.7*3) * (0.3*1 + 0.7*3) * 2.5
	both := (0.3*1+0.7*9)*2.5 - assumptions
	total := people + assumptions + both
	got := d.split(test, 0)
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
		within := map[Direction]Verdict{Increase: TooSmall, None: Supported}[expect]
		for _, c := range []struct {
			low, high, baseline float64
			want                Verdict
		}{
			{0.2, 0.3, inf, outside}, {0.2, 0.3, -inf, outside}, {inf, inf, inf, outside}, {inf, inf, -inf, outside},
			{-0.3, -0.2, inf, Contradicted}, {-0.3, -0.2, -inf, Contradicted},
			{0.2, 0.3, 1, outside}, {0.2, 0.3, -1, outside}, {-0.3, -0.2, 1, Contradicted},
			{0.2, 0.3, 5, within}, {0.2, 0.3, -5, within}, {-0.3, 0.2, 5, within},
			{0.4, 0.6, 5, Undecided}, {-0.6, -0.4, 5, Undecided}, {-1, 1, 0, Undecided},
		} {
			if got := test.judgeDifference(c.low, c.high, c.baseline); got != c.want {
				t.Errorf("%s: from %g by %g to %g: %s, want %s", expect, c.baseline, c.low, c.high, got, c.want)
			}
		}
	}
}

func TestMedianOf(t *testing.T) {
	for _, c := range []struct {
		values []float64
		want   float64
	}{{[]float64{5}, 5}, {[]float64{4, 1}, 2.5}, {[]float64{9, 1, 4}, 4}, {[]float64{8, 1, 6, 3}, 4.5}, {[]float64{inf, 2, inf}, inf}} {
		before := slices.Clone(c.values)
		if got := medianOf(c.values); got != c.want || !slices.Equal(c.values, before) {
			t.Errorf("the median of %v is %v, want %v", before, got, c.want)
		}
	}
}
