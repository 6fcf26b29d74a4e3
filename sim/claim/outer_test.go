package claim

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/columns"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"

	"gonum.org/v1/gonum/stat"
)

// pinned takes all assumptions of a claim for known.
func pinned(t *testing.T, c *Claim) *Claim {
	t.Helper()
	c.Assumptions = assume.DefaultUncertainty()
	for id := range assume.Count {
		golden.OK(t, c.Assumptions.Fix(id, c.Assumptions.Centre[id]))
	}
	return c
}

// free leaves only some assumptions of a claim open.
func free(t *testing.T, c *Claim, ids ...assume.ID) *Claim {
	t.Helper()
	all := assume.DefaultUncertainty()
	pinned(t, c)
	for _, id := range ids {
		golden.OK(t, c.Assumptions.Spread(id, all.Low[id], all.High[id]))
	}
	return c
}

// unfitted are people of a survey that nobody fitted anew.
func unfitted(t *testing.T) scenario.Group {
	t.Helper()
	p := golden.Must(anthro.Load("ansur2-men"))(t)
	once := *p
	once.Name = "fitted once"
	return scenario.Group{Population: once.Name, Weight: 1, Own: &once}
}

// larger is a claim of which every draw follows by hand: a body 5 % larger, whose difficulty
// grows by s^(p(1−β)) for everybody, with nothing left to assume but β.
func larger(t *testing.T, low, high float64) *Claim {
	t.Helper()
	c := pinned(t, aboutPeople(unfitted(t)))
	c.Demand, c.Expect, c.Matters, c.Share = hold.Difficulty, Increase, Threshold{}, DefaultShare
	c.Change = &scenario.Change{Body: body.Change{Of: body.Amounts{body.Size: {Share: 0.05}}}}
	golden.OK(t, c.Assumptions.Spread(assume.StrengthExponent, low, high))
	return c
}

// grows is by how many per cent the difficulty of such a body grows.
func grows(beta float64) float64 {
	p := assume.Defaults()[assume.SizeExponent]
	return 100 * (math.Pow(1.05, p*(1-beta)) - 1)
}

// contrasted is a claim about different people.
func contrasted(by anthro.Quantity) *Claim {
	c := aboutPeople(scenario.Survey("ansur2-men")...)
	c.Change, c.Contrast = nil, &Contrast{By: by, Share: 1. / 3}
	c.Demand, c.Expect, c.Matters = hold.Difficulty, Increase, Threshold{}
	return c
}

func tested(t *testing.T, c *Claim, set func(*Options)) *Result {
	t.Helper()
	o := quick()
	o.N, o.Draws = 2000, LeastDraws
	if set != nil {
		set(&o)
	}
	return golden.Must(Test(context.Background(), c, o))(t)
}

func prepared(t *testing.T, c *Claim) *test {
	t.Helper()
	return golden.Must(prepare(c))(t)
}

// read is what one assessor says of a point.
func read(t *testing.T, a *assessor, p point) *answer {
	t.Helper()
	out := a.newAnswer()
	golden.OK(t, a.assess(out, &p))
	return out
}

// Quantiles over the draws are those of what the draws give, in closed form: of 256
// draws spread evenly over β one lies in each 256th of the range, nearly.
func TestQuantilesOverTheDraws(t *testing.T) {
	const low, high = 0.5, 0.9
	r := tested(t, larger(t, low, high), nil)
	d := r.Models[0].Pooled.Draws
	if r.Draws != 256 || d.N != 256 {
		t.Fatalf("%d draws, %d", r.Draws, d.N)
	}
	for p, got := range map[float64]float64{0.05: d.Percent.P5, 0.5: d.Percent.P50, 0.95: d.Percent.P95} {
		// Each replicate has one draw in each 16th of the range, so what is below a
		// quantile errs by less than the half of a 16th of them over the replicates' root.
		beta := high - p*(high-low)
		within := (high - low) / 16 / 2
		if least, most := grows(beta+within), grows(beta-within); !(least < got && got < most) {
			t.Errorf("the %g-quantile of the median effects is %.4f %%, want %.4f to %.4f %%", p, got, least, most)
		}
		if at := d.MedianAt(p); at != got {
			t.Errorf("MedianAt(%g) is %v, in the summary %v", p, at, got)
		}
	}
	// Taking out how the replicates' means differ moves a draw by a few of their standard
	// deviations, four times the error of the mean of 16.
	least, most, moved := d.MedianAt(0), d.MedianAt(1), 3*4*d.DrawingError
	if !(grows(high)-moved < least && least < d.Percent.P5 && d.Percent.P95 < most && most < grows(low)+moved) {
		t.Errorf("the draws reach from %v to %v, 5–95 %% of them from %v to %v", least, most, d.Percent.P5, d.Percent.P95)
	}
	// The mean of the draws is known better than the half of what one in 16 moves it by.
	if !(d.DrawingError > 0 && d.DrawingError < (grows(low)-grows(high))/16/2) {
		t.Errorf("error by the number of draws %g", d.DrawingError)
	}
	// In the quantity's own unit they are that share of a usual body's.
	if of := d.Effect.P50 / (d.Percent.P50 / 100); !(of > d.Before.P5*0.9 && of < d.Before.P95*1.1) {
		t.Errorf("a median effect of %v is %v %% of %v, before it is %+v", d.Effect.P50, d.Percent.P50, of, d.Before)
	}
	if got := 100 * (d.After.P50/d.Before.P50 - 1); !(grows(high) < got && got < grows(low)) {
		t.Errorf("before %v, after %v: %v %%", d.Before.P50, d.After.P50, got)
	}
}

// Of the draws some have everybody as claimed and some nobody: bands, counts and verdict
// say how many, whichever direction is claimed, and none.
func TestShareOfTheDraws(t *testing.T) {
	const low, high = 0.5, 0.9
	for _, above := range []float64{0.01, 0.25, 0.75, 0.99} { // of the draws, the effect is above what matters
		matters := grows(low+(high-low)*above) / 100
		for _, c := range []struct {
			expect         Direction
			atLeast, below Verdict // of draws above what matters and of the others
		}{
			{Increase, Supported, NoDifference}, {Decrease, Contradicted, NoDifference}, {None, Contradicted, Supported},
		} {
			claim := larger(t, low, high)
			claim.Expect, claim.Matters = c.expect, Threshold{Share: matters}
			r := tested(t, claim, nil)
			m, d := r.Models[0], r.Models[0].Pooled.Draws
			name := fmt.Sprintf("%s, %g of the draws above what matters", c.expect, above)
			n := float64(d.N)
			if got := float64(d.Verdicts[c.atLeast]) / n; !(math.Abs(got-above) <= 0.5/16) || d.Verdicts[c.atLeast]+d.Verdicts[c.below] != d.N {
				t.Errorf("%s: the draws say %v", name, d.Verdicts)
			}
			if got, most := d.Agreement.Value, float64(max(d.Verdicts[c.atLeast], d.Verdicts[c.below]))/n; got != most {
				t.Errorf("%s: %g agree, of %v", name, got, d.Verdicts)
			}
			want := OpenAssumptions
			if above == 0.99 {
				want = c.atLeast
			} else if above == 0.01 {
				want = c.below
			}
			if m.Verdict != want {
				t.Errorf("%s: %s, %+v, want %s", name, m.Verdict, d.Agreement, want)
			}
			if alone, all := m.Groups[0].Draws.Decisive, d.Decisive; len(m.Groups) == 1 && alone != all {
				t.Errorf("%s: %+v decides for those who are all, for all %+v", name, alone, all)
			}
			if open := m.Groups[0].Draws.Decisive; (open != nil) != (want == OpenAssumptions) {
				t.Errorf("%s: %+v decides", name, open)
			} else if open != nil && (open.Name != "strength_exponent" || !(open.OfVerdict.High >= 1 && open.OfEffect.Low <= 1 && open.OfEffect.High >= 1)) {
				t.Errorf("%s: %+v decides, alone", name, open)
			}
			// A share of the bodies is 1 or 0 in each draw, so a quantile over the draws is
			// 1 where more than the rest of the draws have it.
			ones := map[string]float64{"claimed": above, "against": 0}
			switch c.expect {
			case Decrease:
				ones = map[string]float64{"claimed": 0, "against": above}
			case None:
				ones = map[string]float64{"claimed": 1 - above, "against": above}
			}
			for of, band := range map[string]Summary{"claimed": d.AsClaimed, "against": d.Against} {
				for p, got := range map[float64]float64{0.05: band.P5, 0.5: band.P50, 0.95: band.P95} {
					if want := ones[of] > 1-p; (got == 1) != want || got != 0 && got != 1 {
						t.Errorf("%s: the %g-quantile of the share %s is %v", name, p, of, got)
					}
				}
			}
			if rises := c.atLeast != c.below && above < 0.05; d.NeverRises != rises || !d.NeverFalls {
				t.Errorf("%s: never rises %v, never falls %v", name, d.NeverRises, d.NeverFalls)
			}
		}
	}
}

// A claim that nearly 95 % of the draws agree on takes more draws, up to the cap; then it
// is not settled, and not for want of measurements.
func TestDrawsDouble(t *testing.T) {
	const low, high = 0.5, 0.9
	for _, c := range []struct {
		supported float64
		looks     [2]int
		want      Verdict
	}{
		{0.999, [2]int{1, 1}, Supported}, {0.97, [2]int{2, 4}, Supported}, {0.95, [2]int{4, 4}, OpenSampling},
		{0.92, [2]int{2, 4}, OpenAssumptions}, {0.6, [2]int{1, 1}, OpenAssumptions},
	} {
		claim := larger(t, low, high)
		claim.Matters = Threshold{Share: grows(low+(high-low)*c.supported) / 100}
		r := tested(t, claim, nil)
		looks := r.draws.looks
		if r.Verdict != c.want || looks < c.looks[0] || looks > c.looks[1] || r.Draws != LeastDraws<<(looks-1) {
			t.Errorf("supported by %g: %s after %d looks at %d draws, want %s after %v; %+v",
				c.supported, r.Verdict, looks, r.Draws, c.want, c.looks, r.Models[0].Pooled.Draws.Agreement)
		}
	}
}

// The people of a replicate are the same in all its draws, whatever was read before, and
// others than those of another replicate; nobody is met twice.
func TestPeopleOfReplicates(t *testing.T) {
	for _, c := range []*Claim{aboutPeople(scenario.Survey("ansur2-men")...), contrasted(anthro.Of(anthro.Stature))} {
		ready := prepared(t, c)
		u := ready.unknowns()
		met := func(a *assessor, p point) []float64 {
			read(t, a, p)
			return slices.Clone(a.crowds[0].people.Value[anthro.Stature][:a.crowds[0].rows])
		}
		one := ready.newAssessor(3, stages[:])
		third := met(one, u.central(2))
		moved := u.central(2)
		moved.set[assume.HipDrop] = u.t.assumed.Low[assume.HipDrop]
		again := met(one, moved)
		met(one, u.central(7))
		back := met(one, u.central(2))
		alone := met(ready.newAssessor(3, stages[:]), moved)
		n := stages[0] // how many more are asked for depends on the draw
		for _, others := range [][]float64{again, back, alone} {
			if !slices.Equal(third[:n], others[:n]) {
				t.Error("two draws of a replicate are of other people")
			}
		}
		seen := map[float64]bool{}
		for r := range Replicates {
			whole := ready.newAssessor(3, stages[:])
			people := golden.Must(whole.meet(0, &point{replicate: r, refit: []int{-1}}, ready.groups[0].Part, 0, whole.stages[2]))(t)
			for _, x := range people.Value[anthro.Stature] {
				seen[x] = true
			}
		}
		if people := Replicates * stages[2] * c.factor(); len(seen) < people*999/1000 { // some are as tall as the tallest
			t.Errorf("%d people have %d statures", people, len(seen))
		}
	}
}

// Where the share of a draw's bodies is near p all stages of bodies are held up, else the
// first alone; what is told beside shares does not hang on that.
func TestBodiesWhereADrawIsClose(t *testing.T) {
	c := aboutPeople(scenario.Survey("ansur2-men")...)
	c.Expect, c.Share = Increase, 0.95
	c.Demand, c.Change.Body.Of = hold.WaistMoment, body.Amounts{body.LegLength: {Metres: 0.05}}
	centre := prepared(t, c).unknowns().central(5)
	all := read(t, prepared(t, c).newAssessor(9, stages[2:]), centre)
	effects := slices.Sorted(slices.Values(all.effects[0][0]))
	for _, at := range []struct {
		share  float64 // of the bodies, is above what matters
		bodies []int
	}{{0.998, stages[:1]}, {0.95, stages[2:]}, {0.96, stages[1:]}, {0.5, stages[:1]}} {
		c.Matters = Threshold{Absolute: montecarlo.Quantile(effects, 1-at.share)}
		ready := prepared(t, c)
		got := read(t, ready.newAssessor(9, stages[:]), centre).read[0][0]
		if !slices.Contains(at.bodies, got.bodies) || int(got.counts.Total()) != got.bodies {
			t.Errorf("a share near %g is of %d bodies (%v), want %v", at.share, got.bodies, got.counts, at.bodies)
		}
		if se := math.Sqrt(at.share * (1 - at.share) / float64(got.bodies)); !(math.Abs(got.shares.Plus-at.share) <= 4*se) {
			t.Errorf("a share of %g is read as %g", at.share, got.shares.Plus)
		}
		first := read(t, ready.newAssessor(9, stages[:1]), centre).read[0][0]
		if first.median != got.median || first.spread != got.spread || first.before != got.before || first.early != got.early {
			t.Errorf("a share near %g: the first bodies' median is %g, with more %g", at.share, first.median, got.median)
		}
	}
}

// Of several models and populations each is read as it would be alone.
func TestModelsOfADraw(t *testing.T) {
	c := aboutPeople(scenario.Survey("ansur2-men", "ansur2-women")...)
	models := []scenario.Model{scenario.DefaultModel(hold.Equilibrium), scenario.DefaultModel(hold.Equilibrium)}
	models[1].Segments = "dempster-winter"
	read := func(models []scenario.Model, people ...scenario.Group) *answer {
		c.Models, c.People = models, people
		ready := prepared(t, c)
		return read(t, ready.newAssessor(9, stages[:1]), ready.unknowns().central(0))
	}
	people := c.People
	both := read(models, people...)
	for l := range models {
		for g := range people {
			alone := read(models[l:l+1], people[g])
			if !slices.Equal(both.effects[l][g], alone.effects[0][0]) || len(alone.effects[0][0]) != stages[0] {
				t.Errorf("%s, %s: %d effects are not those of it alone, %d", models[l], people[g].Population, len(both.effects[l][g]), len(alone.effects[0][0]))
			}
			if got, want := both.read[l][g].median, alone.read[0][0].median; got != want {
				t.Errorf("%s, %s: median %g, alone %g", models[l], people[g].Population, got, want)
			}
		}
	}
}

// And so are the bodies at the central assumptions.
func TestModelsOfAClaim(t *testing.T) {
	c := pinned(t, aboutPeople(unfitted(t)))
	models := []scenario.Model{scenario.DefaultModel(hold.Equilibrium), scenario.DefaultModel(hold.Equilibrium)}
	models[1].Segments = "dempster-winter"
	c.Models = models
	both := tested(t, c, nil)
	for l := range models {
		c.Models = models[l : l+1]
		alone := tested(t, c, nil).Models[0]
		if got := both.Models[l].Groups[0]; got.Quantity != alone.Groups[0].Quantity || got.N != alone.Groups[0].N {
			t.Errorf("%s: %+v, alone %+v", models[l], got.Quantity, alone.Groups[0].Quantity)
		}
		if got := both.Models[l].Pooled.Quantity; got != alone.Pooled.Quantity {
			t.Errorf("%s: together %+v, alone %+v", models[l], got, alone.Pooled.Quantity)
		}
	}
	if both.Models[0].Groups[0].Quantity == both.Models[1].Groups[0].Quantity {
		t.Error("two models say the same to the last digit")
	}
}

// Likewise of a contrast, by the interval around its groups' medians.
func TestBodiesWhereAContrastIsClose(t *testing.T) {
	c := contrasted(anthro.BodyMassIndex)
	c.Matters = Threshold{Absolute: 1e-6}
	centre := prepared(t, c).unknowns().central(1)
	difference := read(t, prepared(t, c).newAssessor(10, stages[2:]), centre).read[0][0].median
	for _, at := range []struct{ matters, people float64 }{{difference / 50, 4 * 256}, {difference, 4 * 4096}, {difference * 3, 4 * 256}} {
		c.Matters = Threshold{Absolute: at.matters}
		got := read(t, prepared(t, c).newAssessor(10, stages[:]), centre).read[0][0]
		if got.bodies != int(at.people/3) {
			t.Errorf("matters %g of a difference of %g: %d people in a group, want a third of %g", at.matters, difference, got.bodies, at.people)
		}
	}
}

// What the draws of a replicate have in common is taken out; what they differ by stays.
func TestCentred(t *testing.T) {
	d := &outer{read: make(draws, 3)}
	var values, want []float64
	for _, offset := range []float64{-1, 2, 5} { // of the replicates, mean 2
		for _, draw := range []float64{-10, 0, 10} { // of the draws
			values, want = append(values, offset+draw), append(want, 2+draw)
		}
	}
	got, standardError := d.centred(slices.Clone(values))
	if !slices.Equal(got, want) || !(math.Abs(standardError-3/math.Sqrt(3)) < 1e-15) {
		t.Errorf("%v, %g, want %v", got, standardError, want)
	}
	for _, x := range []float64{inf, -inf, math.NaN()} {
		values[4] = x
		got, standardError := d.centred(slices.Clone(values))
		if !math.IsNaN(standardError) || got[0] != values[0] || got[8] != values[8] {
			t.Errorf("with %g: %v, %g", x, got, standardError)
		}
	}
}

// With nothing drawn but people there is one draw of each replicate, the central one with
// the survey as it is, at no more than one look; the chance of who was met is no spread.
func TestNothingIsDrawn(t *testing.T) {
	club := scenario.Group{Population: "club", Weight: 1, Own: clubOf(t)}
	for name, c := range map[string]struct {
		claim *Claim
		draws int
	}{
		"not asked for":            {aboutPeople(scenario.Survey("ansur2-men")...), 0},
		"not asked for, of a club": {aboutPeople(club), 0},
		"nothing to draw":          {pinned(t, aboutPeople(unfitted(t))), LeastDraws},
	} {
		c.claim.Matters = Threshold{Absolute: 0.001}
		r := tested(t, c.claim, func(o *Options) { o.Draws = c.draws })
		for k, points := range r.draws.points {
			for _, p := range points {
				if p.replicate != k || p.set != r.draws.t.assumed.Centre || p.refit[0] != -1 {
					t.Fatalf("%s: a draw at %+v", name, p)
				}
			}
		}
		d := r.Models[0].Groups[0].Draws
		raw := names.Each(r.draws.all(0, 0), func(r *reading) float64 { return r.median })
		slices.Sort(raw)
		if r.draws.looks != 1 || d.Split != nil || d.Decisive != nil || !r.Verdict.Settled() {
			t.Errorf("%s: %s after %d looks, %+v, %+v", name, r.Verdict, r.draws.looks, d.Split, d.Decisive)
		}
		if !(d.Effect.P95-d.Effect.P5 <= 1e-12) || len(slices.Compact(raw)) < 3 || !(d.DrawingError > 0) {
			t.Errorf("%s: medians of %v are told as %+v ± %g", name, slices.Compact(raw), d.Effect, d.DrawingError)
		}
		if d.SurveyError != 0 || d.SurveyShareError != 0 {
			t.Errorf("%s: error of the survey %g, %g", name, d.SurveyError, d.SurveyShareError)
		}
	}
}

// The survey's own error, once more over the refits with nothing but the scenario.
func TestSurveyErrorIsThatOfTheRefits(t *testing.T) {
	const seed = 11
	c := pinned(t, aboutPeople(scenario.Survey("ansur2-women")...))
	at := func(o *Options) { o.Seed = seed }
	middle := -tested(t, c, at).Models[0].Groups[0].Draws.Effect.P50
	c.Matters = Threshold{Absolute: middle} // it matters for about half
	r := tested(t, c, at)
	got := r.Models[0].Groups[0].Draws
	parts := golden.Must(c.Parts())(t)
	assumed := c.Assumed()
	var medians, shares []float64
	people := anthro.NewPeople(surveyed)
	bench := scenario.NewBench(scenario.TileRows, []hold.Demand{c.Demand}, []hold.Demand{c.Demand})
	for k := range parts[0].Selection.Population.Refits() {
		part, err := c.Refit(parts[0], k)
		if err != nil {
			t.Fatal(err)
		}
		golden.OK(t, part.SourceFor(seed, "people/ansur2-women/draws", false).Block(people, 0))
		var effects []float64
		claimed := 0.0
		held := []scenario.Case{{Setup: scenario.NewSetup(&c.Scenario), Model: hold.Equilibrium, Builder: part.Builder(c.Models[0]), Assume: &assumed.Centre}}
		err = bench.Run(people, held, func(_ int, tile *scenario.Tile) error {
			for i, before := range tile.First.Result.Value[c.Demand] {
				e := tile.Second.Result.Value[c.Demand][i] - before
				if effects = append(effects, e); e < -middle {
					claimed++
				}
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		slices.Sort(effects)
		medians = append(medians, (effects[surveyed/2-1]+effects[surveyed/2])/2)
		shares = append(shares, claimed/surveyed)
	}
	for name, pair := range map[string][2]float64{
		"median": {got.SurveyError, stat.StdDev(medians, nil)}, "share": {got.SurveyShareError, stat.StdDev(shares, nil)},
	} {
		if !(pair[1] > 0 && math.Abs(pair[0]/pair[1]-1) <= 1e-9) {
			t.Errorf("%s: the refits differ by %g, over the refits %g", name, pair[0], pair[1])
		}
	}
	// Another survey of a couple of thousand people would hardly have said otherwise.
	if !(got.SurveyError < 0.1*(got.People.P95-got.People.P5)) {
		t.Errorf("the survey leaves %g open, people differ from %g to %g", got.SurveyError, got.People.P5, got.People.P95)
	}
}

// The same question gives the same answer to the last bit, whatever the workers, and
// another one with another seed.
func TestWorkersChangeNoDraw(t *testing.T) {
	flag := free(t, aboutPeople(scenario.Survey("ansur2-men", "ansur2-women")...), assume.TopShare, assume.StrengthOf(muscle.ArmPush))
	flag.Demand, flag.Expect, flag.Matters = hold.Difficulty, Increase, Threshold{} // left open, by what decides
	for _, c := range []*Claim{flag, free(t, contrasted(anthro.BodyMassIndex), assume.StrengthByMass)} {
		told := func(workers int, seed uint64) (*columns.Rows, string) {
			r := tested(t, c, func(o *Options) { o.N, o.Workers, o.Seed = 500, workers, seed })
			_, rows := r.DrawTable(nil)
			text := r.Verdict.String()
			for _, m := range r.Models {
				for _, g := range m.Groups {
					text += fmt.Sprintf(" %v %v %v", g.Draws.Effect, g.Draws.SurveyError, g.Draws.Decisive)
				}
				if d := m.Pooled.Draws; d != nil {
					text += fmt.Sprintf(" %v %v", d.Effect, d.Split)
				}
			}
			return rows, text
		}
		rows, text := told(1, 1)
		again, same := told(3, 1)
		// As text, in which what is not a number is like itself.
		if fmt.Sprint(*rows) != fmt.Sprint(*again) || text != same {
			t.Errorf("%d rows or\n%s\nchange with the workers:\n%s", rows.N, text, same)
		}
		if other, _ := told(3, 2); fmt.Sprint(*rows) == fmt.Sprint(*other) {
			t.Error("another seed draws the same")
		}
	}
}

// A claim, its opposite, and that it is none: the verdicts of draws change places, and so
// do shares, while effects stay.
func TestOppositeClaims(t *testing.T) {
	run := func(expect Direction) (*Draws, *Result) {
		c := aboutPeople(scenario.Survey("ansur2-men")...)
		c.Expect, c.Matters = expect, Threshold{Absolute: 0.008}
		c.Change.Body.Of = body.Amounts{body.LegLength: {Metres: 0.05}}
		r := tested(t, c, nil)
		return r.Models[0].Groups[0].Draws, r
	}
	up, upwards := run(Increase)
	down, downwards := run(Decrease)
	none, _ := run(None)
	mirror := map[Verdict]Verdict{Supported: Contradicted, Contradicted: Supported}
	for v := range verdict.NumVerdicts {
		w, turns := mirror[v]
		if !turns {
			w = v
		}
		if up.Verdicts[v] != down.Verdicts[w] {
			t.Errorf("%d draws say %s of a rise, %d say %s of a fall", up.Verdicts[v], v, down.Verdicts[w], w)
		}
	}
	for name, pair := range map[string][2]Summary{
		"as claimed": {up.AsClaimed, down.Against}, "against": {up.Against, down.AsClaimed}, "too small": {up.TooSmall, down.TooSmall},
		"none": {up.TooSmall, none.AsClaimed}, "effect": {up.Effect, down.Effect}, "effect where none is claimed": {up.Effect, none.Effect},
	} {
		pair[0].Mean, pair[1].Mean = 0, 0 // which is not told
		if pair[0] != pair[1] {
			t.Errorf("%s: %+v, %+v", name, pair[0], pair[1])
		}
	}
	if up.NeverRises != down.NeverRises || up.NeverFalls != down.NeverFalls {
		t.Error("what never happens depends on what was expected")
	}
	if w, turns := mirror[upwards.Verdict]; turns && downwards.Verdict != w {
		t.Errorf("%s, turned %s", upwards.Verdict, downwards.Verdict)
	}
}

// Size alters no force in body weights, exactly, in two populations as in one; a claim that
// a millionth of it is length added is not exactly none.
func TestExactlyNoEffect(t *testing.T) {
	for _, c := range []struct {
		of   body.Amounts
		want Verdict
	}{
		{body.Amounts{body.Size: {Share: 0.07}}, NoEffect},
		{body.Amounts{body.Size: {Share: 0.07}, body.ArmLength: {Metres: 1e-6}}, NoDifference},
	} {
		claim := aboutPeople(scenario.Survey("ansur2-men", "ansur2-women")...)
		claim.Change.Body.Of = c.of
		r := tested(t, claim, nil)
		if r.Verdict != c.want || r.Models[0].Groups[1].Verdict != c.want {
			t.Errorf("%v: %s, women %s, want %s", c.of, r.Verdict, r.Models[0].Groups[1].Verdict, c.want)
		}
		// One draw in which one population moves is enough.
		d := r.draws
		if d.exact(0) != (c.want == NoEffect) {
			t.Errorf("exact %v", d.exact(0))
		}
		d.read[3][5][0][2].exact = false
		if d.exact(0) {
			t.Error("exact though something moved")
		}
	}
}
