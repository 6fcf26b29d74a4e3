package scores

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
	"counterpoise/sim/strength"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

func people(t testing.TB, name string) *anthro.Population {
	t.Helper()
	return golden.Must(anthro.Load(name))(t)
}

func study(t testing.TB, h *hold.Hold, of hold.Demand, name string, models ...hold.Model) Study {
	t.Helper()
	s := Study{Of: of, Scenario: scenario.Scenario{Hold: h, People: scenario.Survey(name), Assumptions: assume.DefaultUncertainty()}}
	for _, m := range models {
		s.Models = append(s.Models, scenario.DefaultModel(m))
	}
	return s
}

func function(t testing.TB, s Study) *Function {
	t.Helper()
	return golden.Must(New(s))(t)
}

// fixed takes every assumption at its default.
func fixed(s Study) Study {
	for id := range assume.Count {
		s.Assumptions.Low[id], s.Assumptions.High[id] = s.Assumptions.Centre[id], s.Assumptions.Centre[id]
	}
	return s
}

// draws returns rows of inputs of a function.
func draws(t testing.TB, f *Function, rows int) [][]float64 {
	t.Helper()
	uniforms, in := montecarlo.Columns(len(f.inputs), rows), montecarlo.Columns(len(f.inputs), rows)
	golden.OK(t, evenly(uniforms, 7, "test", 0))
	f.scores.Draw(in, uniforms)
	return in
}

// The inputs for size, put back together, are the people of the population: means,
// standard deviations and rank-score correlations.
func TestInputsArePeople(t *testing.T) {
	for _, name := range anthro.Surveys() {
		f := function(t, study(t, hold.FrontLever, hold.ShoulderMoment, name, hold.Equilibrium))
		const rows = 1 << 14
		values := montecarlo.Columns(len(f.inputs), rows)
		f.Values(values, draws(t, f, rows), false)
		population := people(t, name)
		scores := montecarlo.Columns(int(anthro.NumMeasurements), rows)
		for m := range anthro.NumMeasurements {
			for i, v := range values[m] {
				scores[m][i] = population.Marginal(m).Score(v)
			}
			mean, deviation := stat.MeanStdDev(scores[m], nil)
			// Five standard errors of independent draws; these are more even.
			if !(math.Abs(mean) <= 5/math.Sqrt(rows)) || !(math.Abs(deviation-1) <= 5/math.Sqrt(2*rows)) {
				t.Errorf("%s, %s: scores have mean %.4f and deviation %.4f", name, m, mean, deviation)
			}
		}
		drawn := anthro.NewPeople(1 << 18)
		golden.OK(t, population.NewSampler().Draw(drawn, montecarlo.NewStream(1, "test").Normals))
		want := population.Correlation()
		for i := range scores {
			for j := range i {
				r := want.At(i, j)
				if got := stat.Correlation(scores[i], scores[j], nil); !(math.Abs(got-r) <= 5*(1-r*r)/math.Sqrt(rows)+1e-9) {
					t.Errorf("%s: correlation of %s with %s is %.4f, want %.4f", name, anthro.Measurement(i), anthro.Measurement(j), got, r)
				}
			}
		}
		for i := range residuals {
			column := values[int(anthro.NumVariables)+i]
			want := stat.StdDev(drawn.Residual[i], nil) // goes with the build of the public
			if got := stat.StdDev(column, nil); !(math.Abs(got-want) <= 5*want/math.Sqrt(2*rows)) {
				t.Errorf("%s: residual %d has deviation %.4f, want %.4f", name, i, got, want)
			}
		}
	}
}

// Size is independent of everything, exactly; what is for size is not independent
// among itself.
func TestSizeIsIndependent(t *testing.T) {
	f := function(t, study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-women", hold.Equilibrium))
	groups := f.Groups()
	for _, g := range groups[1:] {
		if !f.scores.Independent(groups[0].Inputs, g.Inputs) {
			t.Errorf("%s depends on %s", g.Name, groups[0].Name)
		}
	}
	if f.scores.Independent(groups[1].Inputs, groups[3].Inputs) {
		t.Errorf("%s does not depend on %s", groups[1].Name, groups[3].Name)
	}
	if _, err := drivers.Sobol(context.Background(), f.Problem(), drivers.SobolOptions{}); !errors.Is(err, drivers.ErrDependent) {
		t.Errorf("Sobol' indices of the groups: %v", err)
	}
}

// A row of the model is the hold of the person with the assumptions that the row
// stands for, built and held up alone.
func TestModelHoldsUpTheRow(t *testing.T) {
	s := study(t, hold.HumanFlag, hold.HandSpacing, "ansur2-men", hold.TwoCondition, hold.Equilibrium)
	f := function(t, s)
	const rows = 700 // more than a tile
	in := draws(t, f, rows)
	out := make([]float64, rows)
	golden.OK(t, f.Problem().NewModel()(out, in))
	values := montecarlo.Columns(len(f.inputs), rows)
	f.Values(values, in, false)
	var seen [2]int
	for i := range rows {
		p := anthro.NewPeople(1)
		for m := range p.Value {
			p.Value[m][0] = values[m][i]
		}
		for r := range p.Residual {
			p.Residual[r][0] = values[int(anthro.NumVariables)+r][i]
		}
		a := assume.Defaults()
		for k, id := range f.Free() {
			a[id] = values[bodyInputs+k][i]
			if info := id.Info(); a[id] < info.Low || a[id] > info.High {
				t.Fatalf("%s is %v", id, a[id])
			}
		}
		model := int(values[len(values)-1][i])
		seen[model]++
		builder := golden.Must(body.NewBuilder(people(t, s.People[0].Population), body.Residual, body.DefaultSegments))(t)
		b, c, r := body.New(1), hold.NewCapacity(1), hold.NewResult(1, hold.HandSpacing)
		builder.Build(b, p, &a)
		strength.OfReference(c, b, &a)
		hold.HumanFlag.Solve(r, b, c, hold.Posture{}, s.Models[model].Statics, &a)
		if got, want := out[i], r.Value[hold.HandSpacing][0]; !(math.Abs(got-want) <= 1e-12) {
			t.Fatalf("row %d: %v, want %v", i, got, want)
		}
	}
	if seen[0] < rows/3 || seen[1] < rows/3 {
		t.Errorf("models in %v of %d rows, want about half each", seen, rows)
	}
}

// In a front lever the shoulder moment is that of everything beyond the shoulders,
// independent of the arms: their length earns what goes along with it in people,
// nothing beyond that. (But for the shoulder joint, which lies below the acromion by a
// share of the upper arm's length; here that share is 0.)
func TestFrontLeverArmsEarnOnlyWhatTheyShare(t *testing.T) {
	s := study(t, hold.FrontLever, hold.ShoulderMoment, "ansur2-men", hold.Equilibrium)
	golden.OK(t, s.Assumptions.Fix(assume.ShoulderDrop, 0))
	f := function(t, s)
	o := drivers.Options{Seed: 3, Base: 1024}
	shapley := golden.Must(drivers.ShapleyPermutations(context.Background(), f.Problem(), o))(t)
	full := golden.Must(drivers.FullAndIndependent(context.Background(), f.Problem(), o))(t)
	arms, _ := shapley.Index(drivers.ShapleyEffect, "arm length for size")
	if !(arms.Low > 0 && arms.Value < 0.03) {
		t.Errorf("the arms' share is %v, want a little above 0", arms.Estimate)
	}
	for _, group := range []string{"arm length for size", "shoulder breadth for size", "assumptions: strength"} {
		for _, kind := range []drivers.Kind{drivers.IndependentFirst, drivers.IndependentTotal} {
			// Exactly 0 but for what regression leaves of the redrawn columns.
			if i, ok := full.Index(kind, group); !ok || !(math.Abs(i.Value) <= 1e-12) {
				t.Errorf("%s of %q is %v, want 0", kind, group, i.Value)
			}
		}
	}
	if i, _ := shapley.Index(drivers.ShapleyEffect, "assumptions: strength"); i.Value != 0 {
		t.Errorf("the share of strength, which is independent and not read, is %v, want exactly 0", i.Value)
	}
	sum := 0.0
	for _, i := range shapley.Indices {
		sum += i.Value
	}
	if !(math.Abs(sum-1) <= 1e-12) {
		t.Errorf("the shares sum to %v", sum)
	}
}

// Random orders and all subsets estimate the same shares.
func TestOrdersAndSubsetsAgree(t *testing.T) {
	f := function(t, study(t, hold.SidePlank, hold.HandShare, "ansur2-women", hold.Equilibrium))
	orders := golden.Must(drivers.ShapleyPermutations(context.Background(), f.Problem(), drivers.Options{Seed: 1, Base: 512}))(t)
	subsets := golden.Must(drivers.Shapley(context.Background(), f.Problem(), drivers.Options{Seed: 2, Base: 64}))(t)
	for k, a := range orders.Indices {
		b := subsets.Indices[k]
		// Half-widths are about two standard errors; four of the difference.
		if !(math.Abs(a.Value-b.Value) <= 2*math.Hypot(a.HalfWidth(), b.HalfWidth())) {
			t.Errorf("%s: %v by orders, %v by subsets", a.Groups[0], a.Estimate, b.Estimate)
		}
	}
}

// People and assumptions apart: the shares are those of the groups' sums, and the
// medians those that an independent program found over the survey's own people
// (two-condition, 0.958 BW men, 0.969 BW women).
func TestSplit(t *testing.T) {
	for name, want := range map[string]float64{"ansur2-men": 0.958, "ansur2-women": 0.969} {
		f := function(t, study(t, hold.HumanFlag, hold.RequiredForce, name, hold.TwoCondition))
		s := golden.Must(f.Split(context.Background(), SplitOptions{Options: drivers.Options{Seed: 1, Base: 64}, Draws: 64}))(t)
		if sum := s.People.Value + s.Assumptions.Value + s.Interaction.Value; !(math.Abs(sum-1) <= s.People.HalfWidth()+s.Assumptions.HalfWidth()+s.Interaction.HalfWidth()) {
			t.Errorf("%s: the shares sum to %v", name, sum)
		}
		shapley := golden.Must(drivers.ShapleyPermutations(context.Background(), f.Problem(), drivers.Options{Seed: 2, Base: 256}))(t)
		var assumptions, half float64
		for _, i := range shapley.Indices {
			if strings.HasPrefix(i.Groups[0], "assumptions") {
				assumptions += i.Value
				half += i.HalfWidth()
			}
		}
		// Shapley's rule halves the interaction.
		if got := s.Assumptions.Value + s.Interaction.Value/2; !(math.Abs(got-assumptions) <= 2*(half+s.Assumptions.HalfWidth())) {
			t.Errorf("%s: assumptions %.4f, by Shapley effects %.4f", name, got, assumptions)
		}
		// The median of 4096 people has a standard error of 1.25 σ/64.
		median := s.Quantiles[1].AtCentre
		if deviation := (s.Quantiles[2].AtCentre - s.Quantiles[0].AtCentre) / 3.29; !(math.Abs(median-want) <= 4*1.25*deviation/64+0.0005) {
			t.Errorf("%s: median %.4f BW, want %.3f", name, median, want)
		}
		for _, q := range s.Quantiles {
			if !(q.Low < q.AtCentre && q.AtCentre < q.High) {
				t.Errorf("%s: quantile %+v is out of order", name, q)
			}
		}
		if len(s.Draws) != 64 || s.Bodies != 4096 {
			t.Errorf("%s: %d draws of %d bodies", name, len(s.Draws), s.Bodies)
		}
	}
}

// What a draw says is of the people who meet the claim with that seed, under the draw's
// assumptions.
func TestDrawsOfASplit(t *testing.T) {
	f := function(t, study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-men", hold.TwoCondition))
	const seed, bodies = 3, 300
	s := golden.Must(f.Split(context.Background(), SplitOptions{Options: drivers.Options{Seed: seed, Base: 64}, Draws: 64, Bodies: bodies}))(t)
	met := anthro.NewPeople(bodies)
	golden.OK(t, f.people.Source(seed, true).Fill(met))
	for k := range s.Draws {
		d := &s.Draws[k]
		y := golden.Must(f.newEvaluator().crowd(nil, met, &d.Assumptions))(t)
		slices.Sort(y)
		mean, deviation := stat.MeanStdDev(y, nil)
		at := func(p float64) float64 { return stat.Quantile(p, stat.LinInterp, y, nil) }
		for name, pair := range map[string][2]float64{"mean": {d.Mean, mean}, "deviation": {d.Deviation, deviation}, "5 %": {d.P5, at(0.05)}, "median": {d.P50, at(0.5)}, "95 %": {d.P95, at(0.95)}} {
			if !(math.Abs(pair[0]-pair[1]) <= 1e-12) {
				t.Fatalf("draw %d: %s %.12g, want %.12g", k, name, pair[0], pair[1])
			}
		}
	}
}

// As few and as many draws and bodies as there may be are taken, and one less or more is
// not. A stopped split says so before it has drawn anybody.
func TestSplitsThatMayBe(t *testing.T) {
	f := function(t, study(t, hold.FrontLever, hold.WaistMoment, "ansur2-men", hold.Equilibrium))
	stopped, stop := context.WithCancel(context.Background())
	stop()
	for _, c := range []struct {
		draws, bodies int
		want          string
	}{
		{0, 0, ""}, {64, 64, ""}, {1 << 16, 1 << 20, ""},
		{63, 64, "assumption-draws: found 63"}, {32, 64, "assumption-draws: found 32"}, {96, 64, "assumption-draws: found 96"},
		{1 << 17, 64, "assumption-draws: found 131072"}, {-64, 64, "assumption-draws: found -64"},
		{64, 63, "bodies a draw: found 63"}, {64, 1<<20 + 1, "bodies a draw: found 1048577"},
	} {
		_, err := f.Split(stopped, SplitOptions{Draws: c.draws, Bodies: c.bodies})
		if c.want == "" && !errors.Is(err, context.Canceled) || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%d draws of %d bodies: %v, want %q", c.draws, c.bodies, err, c.want)
		}
	}
}

func TestSplitWithoutAssumptionsIsPeople(t *testing.T) {
	f := function(t, fixed(study(t, hold.FrontLever, hold.WaistMoment, "ansur2-men", hold.Equilibrium)))
	s := golden.Must(f.Split(context.Background(), SplitOptions{Options: drivers.Options{Seed: 1}, Bodies: 500}))(t)
	if s.People.Value != 1 || s.Assumptions.Value != 0 || s.Interaction.Value != 0 || len(s.Draws) != 1 {
		t.Errorf("%+v with %d draws", s.People, len(s.Draws))
	}
	if q := s.Quantiles[1]; q.Low != q.AtCentre || q.High != q.AtCentre {
		t.Errorf("a band without assumptions: %+v", q)
	}
	if _, err := f.AtMedian(); !errors.Is(err, ErrNothingFree) {
		t.Errorf("the assumptions, none being free: %v", err)
	}
}

// Conditions: the people described are those selected.
func TestSelectedPeople(t *testing.T) {
	selection := anthro.Selection{Population: people(t, "ansur2-men"), Where: []anthro.Range{{Of: anthro.BodyMassIndex, Low: 18.5, High: 25}, {Of: anthro.Of(anthro.Stature), Low: 1.70, High: math.Inf(1)}}}
	refit := golden.Must(selectedPeople(selection))(t)
	const rows = 1 << 15
	drawn, again := anthro.NewPeople(rows), anthro.NewPeople(rows)
	for k, s := range []*anthro.Sampler{selection.NewSampler(), refit.NewSampler()} {
		stream := newStream(uint64(k) + 1)
		golden.OK(t, s.Draw([]*anthro.People{drawn, again}[k], stream.Normals))
	}
	for m := range anthro.NumMeasurements {
		a, s := stat.MeanStdDev(drawn.Value[m], nil)
		b, u := stat.MeanStdDev(again.Value[m], nil)
		// Two samples of 32,768 and a description from 65,536: five standard errors.
		if se := s * math.Sqrt(2.0/rows+1.0/selectedRows); !(math.Abs(a-b) <= 5*se) {
			t.Errorf("%s: mean %.5g of those selected, %.5g of those described, standard error %.2g", m, a, b, se)
		}
		// A normal sample's deviation has a relative variance of 1/(2·rows).
		if se := math.Sqrt((2.0/rows + 1.0/selectedRows) / 2); !(math.Abs(s/u-1) <= 5*se) {
			t.Errorf("%s: deviation %.4g of those selected, %.4g of those described", m, s, u)
		}
	}
	// What matters: the demand of both.
	s := study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-men", hold.TwoCondition)
	s.Where = selection.Where
	f := function(t, s)
	o := SplitOptions{Options: drivers.Options{Seed: 5, Base: 64}, Draws: 64}
	split := golden.Must(f.Split(context.Background(), o))(t)
	mean := 0.0
	for _, d := range split.Draws {
		mean += d.Mean / float64(len(split.Draws))
	}
	if apart := math.Abs(mean - split.Shares.Mean.Value); apart > 0.1*math.Sqrt(split.Shares.Variance.Value) {
		t.Errorf("the mean over those selected is %.4f, over those described %.4f", mean, split.Shares.Mean.Value)
	}
}

func TestRefusals(t *testing.T) {
	good := func() Study {
		return study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-men", hold.TwoCondition)
	}
	for _, c := range []struct {
		name, want string
		spoil      func(*Study)
	}{
		{"no hold", "a hold is needed", func(s *Study) { s.Hold = nil }},
		{"no people", "people are needed", func(s *Study) { s.People = nil }},
		{"no model", "a model is needed", func(s *Study) { s.Models = nil }},
		{"model twice", "appears twice", func(s *Study) { s.Models = append(s.Models, s.Models[0]) }},
		{"demand of another model", "gives no axial_force_top", func(s *Study) { s.Of = hold.AxialTop }},
		{"model of another hold", "is not computed under", func(s *Study) { s.Hold, s.Of = hold.FrontLever, hold.ShoulderMoment }},
		{"pose of another hold", "has no feet_raised", func(s *Study) { s.Pose[hold.FeetRaised] = 0.3 }},
		{"tilt", "is not tilted", func(s *Study) {
			s.Hold, s.Of, s.Models, s.Tilt = hold.FrontLever, hold.ShoulderMoment, []scenario.Model{scenario.DefaultModel(hold.Equilibrium)}, 0.1
		}},
		{"change", "people as they are", func(s *Study) { s.Change = &scenario.Change{} }},
		{"two groups", "one at a time", func(s *Study) { s.People = scenario.Survey("ansur2-men", "ansur2-women") }},
		{"scale", "must be positive", func(s *Study) { s.Scale = math.NaN() }},
		{"nobody", "match bmi", func(s *Study) { s.Where = []anthro.Range{{Of: anthro.BodyMassIndex, Low: 90, High: 91}} }},
		{"cannot take the posture", "large pressure_reach", func(s *Study) {
			s.Hold, s.Of, s.Models = hold.Planche, hold.ShoulderMoment, []scenario.Model{scenario.DefaultModel(hold.Equilibrium)}
		}},
	} {
		s := good()
		c.spoil(&s)
		if _, err := New(s); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	s := good()
	s.Models = append(s.Models, scenario.DefaultModel(hold.Equilibrium))
	f := function(t, s)
	if _, err := f.Split(context.Background(), SplitOptions{}); err == nil {
		t.Error("a split of two models")
	}
	if _, err := f.Worth(f.MedianPerson(), 0.5); err == nil {
		t.Error("what a unit is worth under two models")
	}
	if _, err := f.Along(traitOf(t, "arm_length"), 1000, 1); err == nil {
		t.Error("along a trait under two models")
	}
}

// Nothing is allocated for a row.
func TestModelAllocatesNothing(t *testing.T) {
	for name, s := range map[string]Study{
		"assumptions": study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-men", hold.TwoCondition, hold.Equilibrium),
		"people":      fixed(study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-men", hold.Equilibrium)),
	} {
		f := function(t, s)
		in, out := draws(t, f, 300), make([]float64, 300)
		model := f.Problem().NewModel()
		if n := testing.AllocsPerRun(5, func() { _ = model(out, in) }); n != 0 {
			t.Errorf("%s: %v allocations for 300 rows", name, n)
		}
	}
}

func TestSameSeedSameShares(t *testing.T) {
	f := function(t, study(t, hold.PushUp, hold.HandShare, "ansur2-women", hold.Equilibrium))
	var results []*Split
	for _, workers := range []int{1, 8} {
		s := golden.Must(f.Split(context.Background(), SplitOptions{Options: drivers.Options{Seed: 9, Base: 64, Workers: workers}, Draws: 64, Bodies: 300}))(t)
		results = append(results, s)
	}
	if results[0].People != results[1].People || !slices.Equal(results[0].Draws, results[1].Draws) || !slices.Equal(results[0].Quantiles, results[1].Quantiles) {
		t.Error("1 and 8 workers give different splits")
	}
}

func BenchmarkModel(b *testing.B) {
	for _, m := range []hold.Model{hold.TwoCondition, hold.Equilibrium} {
		b.Run(m.String(), func(b *testing.B) {
			f := function(b, study(b, hold.HumanFlag, hold.RequiredForce, "ansur2-men", m))
			const rows = 512
			in, out := draws(b, f, rows), make([]float64, rows)
			model := f.Problem().NewModel()
			b.ReportAllocs()
			n := 0
			for b.Loop() {
				golden.OK(b, model(out, in))
				n += rows
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(n), "ns/body")
		})
	}
}

// BenchmarkShares is Shapley effects of ten groups to ±0.01.
func BenchmarkShares(b *testing.B) {
	f := function(b, study(b, hold.HumanFlag, hold.RequiredForce, "ansur2-men", hold.TwoCondition))
	b.ReportAllocs()
	for b.Loop() {
		r, err := drivers.ShapleyPermutations(context.Background(), f.Problem(), drivers.Options{Base: 256, Until: 0.01, MaxEvaluations: 1 << 30})
		if err != nil || !r.Reached || len(r.Indices) != 10 {
			b.Fatal(err, len(r.Indices))
		}
	}
}

// The box of single inputs: scores from the 5 to the 95 % point, and all else as shares of
// its range.
func TestRanges(t *testing.T) {
	f := function(t, study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-men", hold.TwoCondition, hold.Equilibrium))
	ranges, newModel := f.Ranges()
	if len(ranges) != len(f.inputs) || len(f.free) == 0 {
		t.Fatalf("%d ranges of %d inputs", len(ranges), len(f.inputs))
	}
	in, out := montecarlo.Columns(len(ranges), 2), make([]float64, 2)
	for i, r := range ranges {
		low, high := 0.0, 1.0
		if i < bodyInputs {
			low, high = -outer, outer
		}
		if r.Name != f.inputs[i].Name || r.Low != low || r.High != high {
			t.Errorf("range %+v of %s, want %v to %v", r, f.inputs[i].Name, low, high)
		}
		in[i][0], in[i][1] = r.Low, (r.Low+r.High)/2
	}
	if p := (1 + math.Erf(outer/math.Sqrt2)) / 2; !(math.Abs(p-0.95) <= 1e-15) {
		t.Errorf("the outer score has %v below it", p)
	}
	if err := newModel()(out, in); err != nil || !(out[0] > 0 && out[1] > 0) {
		t.Errorf("at a corner and in the middle %v, %v", out, err)
	}
}

// Many bodies are held up as each is for itself, whether assumptions are open or not.
func TestRowsForThemselves(t *testing.T) {
	open := study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-women", hold.Equilibrium)
	for _, s := range []Study{fixed(open), open} {
		f := function(t, s)
		const rows = scenario.TileRows + 37
		in, all := draws(t, f, rows), make([]float64, rows)
		model := f.newModel(false)()
		golden.OK(t, model(all, in))
		for _, i := range []int{0, 1, 2, scenario.TileRows - 1, scenario.TileRows, rows - 1} {
			one, alone := make([][]float64, len(in)), make([]float64, 1)
			for j := range in {
				one[j] = in[j][i : i+1]
			}
			golden.OK(t, model(alone, one))
			if alone[0] != all[i] {
				t.Errorf("row %d of %d with %d inputs: %v among others, %v alone", i, rows, len(in), all[i], alone[0])
			}
		}
	}
}

// sampled makes people of one's own out of drawn soldiers, of whom some things were
// measured.
func sampled(t *testing.T, people int, of ...anthro.Measurement) *anthro.Population {
	t.Helper()
	survey := golden.Must(anthro.Load("ansur2-women"))(t)
	drawn := anthro.NewPeople(people)
	golden.OK(t, survey.NewSampler().Draw(drawn, montecarlo.NewStream(7, "sampled").Normals))
	s := &anthro.Sample{Name: "club", Title: "a club", Sex: "female", Survey: survey.Name}
	for i := range people {
		var known []anthro.Known
		for _, m := range of {
			known = append(known, anthro.Known{Of: m, Value: drawn.Value[m][i]})
		}
		s.Add(known)
	}
	return golden.Must(anthro.NewSample(s))(t)
}

// People of one's own are described so that means and spreads of their scores, and of
// what the hold asks, are those of the people themselves.
func TestPeopleOfOnesOwnAreDescribed(t *testing.T) {
	for _, c := range []struct {
		people int
		of     []anthro.Measurement
	}{
		{8, []anthro.Measurement{anthro.Stature, anthro.Mass}},
		{20, []anthro.Measurement{anthro.Stature, anthro.Mass, anthro.Span, anthro.SittingHeight}},
		{400, []anthro.Measurement{anthro.Stature, anthro.Mass, anthro.Span, anthro.SittingHeight, anthro.WaistCircumference}},
	} {
		t.Run(fmt.Sprint(c.people), func(t *testing.T) {
			population := sampled(t, c.people, c.of...)
			s := study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-women", hold.TwoCondition)
			s.People = []scenario.Group{scenario.GroupOf(population)}
			f := golden.Must(New(s))(t)
			const n = 1 << 15
			themselves, described := anthro.NewPeople(n), anthro.NewPeople(n)
			golden.OK(t, population.NewSampler().Draw(themselves, montecarlo.NewStream(1, "a").Normals))
			golden.OK(t, f.population.NewSampler().Draw(described, montecarlo.NewStream(1, "b").Normals))
			middle := f.MedianPerson()
			for m := range anthro.NumMeasurements {
				if want := population.Quantile(m, 0.5); middle.Value[m][0] != want {
					t.Errorf("the median body's %s is %v, that of the people %v", m, middle.Value[m][0], want)
				}
			}
			e := f.newEvaluator()
			force := func(people *anthro.People) (mean, deviation float64) {
				y := golden.Must(e.crowd(nil, people, &s.Assumptions.Centre))(t)
				return stat.MeanStdDev(y, nil)
			}
			a, sa := force(themselves)
			b, sb := force(described)
			t.Logf("%d people: force %.4f (%.4f), as described %.4f (%.4f)", c.people, a, sa, b, sb)
			if !(math.Abs(a-b) <= 0.05*sa) || !(math.Abs(sb/sa-1) <= 0.05) {
				t.Errorf("the force is %.4f (%.4f) of the people and %.4f (%.4f) as described", a, sa, b, sb)
			}
			for m := range anthro.NumMeasurements {
				marginal := population.Survey().Marginal(m)
				for _, column := range [][]float64{themselves.Value[m], described.Value[m]} {
					for i, v := range column {
						column[i] = marginal.Score(v)
					}
				}
				a, sa := stat.MeanStdDev(themselves.Value[m], nil)
				b, sb := stat.MeanStdDev(described.Value[m], nil)
				if !(math.Abs(a-b) <= 0.03) || !(math.Abs(sb/sa-1) <= 0.03) {
					t.Errorf("the score of %s is %.4f (%.4f) of the people and %.4f (%.4f) as described", m, a, sa, b, sb)
				}
			}
			split := golden.Must(f.Split(context.Background(), SplitOptions{Draws: 64, Bodies: 4096}))(t)
			if got := split.Quantiles[1].AtCentre; !(math.Abs(got-a) <= sa) {
				t.Errorf("the median is %.4f, the mean %.4f", got, a)
			}
		})
	}
}

// People of one's own so few that what was measured of them follows from one
// another are refused; the surveys are far from it.
func TestTooFewPeopleOfOnesOwn(t *testing.T) {
	s := study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-women", hold.TwoCondition)
	all := make([]anthro.Measurement, 0, anthro.NumMeasurements)
	for m := range anthro.NumMeasurements {
		all = append(all, m)
	}
	for _, population := range []*anthro.Population{sampled(t, 2, anthro.Stature, anthro.Mass), sampled(t, 10, all...)} {
		s.People = []scenario.Group{scenario.GroupOf(population)}
		var field *fault.Error
		if _, err := New(s); !errors.As(err, &field) || field.Field != "people" || !strings.Contains(err.Error(), fmt.Sprintf("the %d people of club are too few", population.N)) {
			t.Errorf("%d people: %v", population.N, err)
		}
	}
	for _, name := range anthro.Surveys() {
		p := golden.Must(anthro.Load(name))(t)
		var cholesky mat.Cholesky
		if !cholesky.Factorize(p.Correlation()) || cholesky.Cond() > mostSingular/1e3 {
			t.Errorf("the condition number of %s is %.3g", name, cholesky.Cond())
		}
	}
}
