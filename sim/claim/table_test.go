package claim

import (
	"math"
	"slices"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/columns"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/muscle"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"

	"gonum.org/v1/gonum/stat"
)

// told is a table of draws by the names of its columns, as far as a row of one model and
// population matches.
func told(layout columns.Layout, rows *columns.Rows, l, g int) map[string][]float64 {
	columns := map[string][]float64{}
	var model, people int
	for j, c := range layout.Columns {
		switch c.Name {
		case "model":
			model = j
		case "people":
			people = j
		}
	}
	for j, c := range layout.Columns {
		for i := range rows.N {
			if int(rows.Int[model][i]) != l || int(rows.Int[people][i]) != g {
				continue
			}
			x := 0.0
			if c.Integer {
				x = float64(rows.Int[j][i])
			} else {
				x = float64(rows.Float[j][i])
			}
			columns[c.Name] = append(columns[c.Name], x)
		}
	}
	return columns
}

// verdictByHand applies the rule to one row of the table.
func verdictByHand(c *Claim, column map[string][]float64, i int) Verdict {
	sign := 1.0
	if c.Expect == Decrease {
		sign = -1
	}
	suffix, _, _ := columns.InSI(c.Demand.Unit)
	var v Verdict
	if c.Contrast != nil {
		low, high := column["median_bottom_group"+suffix][i], column["median_top_group"+suffix][i]
		e, matters := sign*(high-low), c.Threshold().Of(low)
		switch {
		case c.Expect == None && math.Abs(e) <= matters, c.Expect != None && e > matters:
			v = Supported
		case c.Expect == None || e < -matters:
			v = Contradicted
		default:
			v = NoDifference
		}
	} else {
		most := float64(float32(c.Share)) // shares have the digits of a float32
		switch {
		case column["as_claimed_share"][i] >= most:
			v = Supported
		case column["against_share"][i] >= most:
			v = Contradicted
		case column["too_small_share"][i] >= most:
			v = NoDifference
		default:
			v = DependsOnBody
		}
	}
	if said := c.Claimed; v == Supported && said != nil {
		size := sign * column["median_effect_percent"][i] / 100
		switch {
		case size < said.Low:
			v = LessThanSaid
		case size > said.High:
			v = MoreThanSaid
		}
	}
	return v
}

// Everything that is told first can be had from the table of the draws: their verdicts,
// their agreement with its interval, the verdict, the medians over them.
func TestVerdictFromTheTableOfDraws(t *testing.T) {
	flag := func(set func(*Claim)) *Claim {
		c := free(t, aboutPeople(unfitted(t)), assume.TopShare, assume.StrengthOf(muscle.ArmPush), assume.HipDrop)
		set(c)
		return c
	}
	contrast := func(by anthro.Quantity, expect Direction) *Claim {
		c := free(t, contrasted(by), assume.StrengthByMass)
		c.People, c.Expect = []scenario.Group{unfitted(t)}, expect
		return c
	}
	tables := scenario.DefaultModel(0)
	tables.Masses = body.Table
	for name, c := range map[string]*Claim{
		"change": flag(func(c *Claim) { c.Matters = Threshold{Share: 0.03} }),
		"two models": flag(func(c *Claim) {
			c.Models, c.People = append(c.Models, tables), scenario.Survey("ansur2-men", "ansur2-women")
		}),
		"none": flag(func(c *Claim) { c.Expect, c.Matters = None, Threshold{Absolute: 0.02} }),
		"a size": flag(func(c *Claim) {
			c.Demand, c.Expect, c.Change.Body.Of = hold.WaistMoment, Increase, body.Amounts{body.LegLength: {Metres: 0.05}}
			c.Matters, c.Claimed = Threshold{Share: 0.001}, ClaimedAbout(0.02, true)
		}),
		"no effect":     flag(func(c *Claim) { c.Change.Body.Of = body.Amounts{body.Size: {Share: 0.1}} }),
		"contrast":      contrast(anthro.BodyMassIndex, Increase),
		"contrast none": contrast(anthro.Of(anthro.Span), None),
	} {
		r := tested(t, c, nil)
		t.Logf("%s: %s, of %d draws", name, r.Verdict, r.Draws)
		layout, rows := r.DrawTable(nil)
		people := len(c.People)
		if people > 1 && c.Contrast == nil {
			people++ // all together
		}
		if want := r.Draws * len(r.Models) * people; rows.N != want {
			t.Fatalf("%s: %d rows, want %d", name, rows.N, want)
		}
		for l, m := range r.Models {
			for g, group := range c.People {
				var d *Draws
				var verdict Verdict
				if c.Contrast != nil {
					of := r.Contrast[l*len(c.People)+g]
					d, verdict = of.Draws, of.Verdict
				} else {
					d, verdict = m.Groups[g].Draws, m.Groups[g].Verdict
				}
				checkDraws(t, name+", "+m.Name+", "+group.Population, c, d, verdict, told(layout, rows, l, g))
			}
		}
	}
}

func checkDraws(t *testing.T, name string, c *Claim, d *Draws, judged Verdict, column map[string][]float64) {
	t.Helper()
	replicates := make([][]Verdict, Replicates)
	count := map[Verdict]int{}
	exact := true
	for i, r := range column["replicate"] {
		v := verdictByHand(c, column, i)
		if said := Verdict(column["verdict"][i]); said != v {
			t.Fatalf("%s, row %d: %s, by hand %s", name, i, said, v)
		}
		if int(column["draw"][i]) != len(replicates[int(r)]) {
			t.Fatalf("%s, row %d: draw %g of replicate %g", name, i, column["draw"][i], r)
		}
		replicates[int(r)] = append(replicates[int(r)], v)
		count[v]++
		if c.Contrast == nil {
			exact = exact && column["exact"][i] == 1
			sum := column["as_claimed_share"][i] + column["against_share"][i]
			if c.Expect != None {
				sum += column["too_small_share"][i]
			}
			if !(math.Abs(sum-1) < 1e-6) || column["bodies"][i] < 256 {
				t.Fatalf("%s, row %d: shares of %g bodies add up to %g", name, i, column["bodies"][i], sum)
			}
		}
	}
	for v, n := range count {
		if d.Verdicts[v] != n {
			t.Errorf("%s: %v, counted %v", name, d.Verdicts, count)
		}
	}
	want, agreement := verdict.Settle(replicates, lookConfidence)
	if exact && c.Contrast == nil {
		want = NoEffect
	}
	if judged != want || d.Agreement != agreement {
		t.Errorf("%s: %s, %+v, from the table %s, %+v", name, judged, d.Agreement, want, agreement)
	}
	effect, before := "effect", "before"
	if c.Contrast != nil {
		effect, before = "difference", "bottom_group"
	}
	suffix, _, _ := columns.InSI(c.Demand.Unit)
	for of, band := range map[string]Summary{
		"median_" + effect + suffix: d.Effect, "median_" + effect + "_percent": d.Percent, "median_" + before + suffix: d.Before,
	} {
		values := slices.Clone(column[of])
		if of != "median_"+before+suffix {
			// What the people of a replicate have in common is taken out.
			mean, sum, n := stat.Mean(values, nil), map[float64]float64{}, float64(len(values)/Replicates)
			for i, r := range column["replicate"] {
				sum[r] += values[i]
			}
			for i, r := range column["replicate"] {
				values[i] += mean - sum[r]/n
			}
		}
		slices.Sort(values)
		scale := max(math.Abs(values[0]), math.Abs(values[len(values)-1]))
		for p, got := range map[float64]float64{0.05: band.P5, 0.5: band.P50, 0.95: band.P95} {
			// The table has the digits of a float32.
			if want := montecarlo.Quantile(values, p); !(math.Abs(got-want) <= 1e-6*scale) {
				t.Errorf("%s: the %g-quantile of %s is %g, from the table %g", name, p, of, got, want)
			}
		}
	}
	if c.Contrast == nil {
		claimed := slices.Sorted(slices.Values(column["as_claimed_share"]))
		if got, want := d.AsClaimed.P50, montecarlo.Quantile(claimed, 0.5); !(math.Abs(got-want) < 1e-6) {
			t.Errorf("%s: as claimed for %g of the bodies, from the table %g", name, got, want)
		}
	}
}

// Columns of a demand with a unit are in the unit shown; those of assumptions are what was
// drawn, within their ranges, and of a survey nearly every refit is met.
func TestColumnsOfTheDraws(t *testing.T) {
	c := free(t, aboutPeople(scenario.Survey("ansur2-men")...), assume.HipDrop)
	r := tested(t, c, nil)
	inNewtons := func(unit string) (suffix, shown string, factor float64) { return "_n", "N", 700 }
	layout, rows := r.DrawTable(inNewtons)
	shown := told(layout, rows, 0, 0)
	asItIs, same := r.DrawTable(nil)
	plain := told(asItIs, same, 0, 0)
	for i, x := range plain["median_effect_bw"] {
		if got := shown["median_effect_n"][i]; !(math.Abs(got/(700*x)-1) < 1e-6) {
			t.Fatalf("row %d: %g, as it is %g", i, got, x)
		}
	}
	info := assume.HipDrop.Info() // dimensionless
	refits := map[float64]bool{}
	for i, x := range shown["hip_drop_ratio"] {
		if !(x >= info.Low && x <= info.High) {
			t.Fatalf("row %d: hip drop %g", i, x)
		}
		refits[shown["refit"][i]] = true
	}
	if low, high := slices.Min(shown["hip_drop_ratio"]), slices.Max(shown["hip_drop_ratio"]); high-low < 0.95*(info.High-info.Low) || len(refits) < 56 {
		t.Errorf("hip drop from %g to %g, %d refits", low, high, len(refits))
	}
}
