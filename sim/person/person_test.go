package person

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/segment"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

func answer(t testing.TB, p Person, o Options) *Result {
	t.Helper()
	return golden.Must(Answer(context.Background(), p, o))(t)
}

// few are options for tests that need no fine answer.
func few() Options {
	o := DefaultOptions()
	o.N = 2000
	return o
}

// fixed takes every assumption as known, at values that are nobody's default.
func fixed(t testing.TB) assume.Uncertainty {
	t.Helper()
	u := assume.DefaultUncertainty()
	for _, a := range assume.All() {
		golden.OK(t, u.Fix(a.ID, a.Low+0.37*(a.High-a.Low)))
	}
	return u
}

// measuredMan has all eighteen measurements, and an age: an ordinary man, invented.
func measuredMan() Person {
	p := Person{Name: "all", Sex: anthro.Male, Hold: hold.HumanFlag}
	for m, v := range map[anthro.Measurement]float64{
		anthro.Stature: 1.783, anthro.Mass: 78.6, anthro.AcromialHeight: 1.466, anthro.CervicaleHeight: 1.536,
		anthro.SuprasternaleHeight: 1.461, anthro.TrochanterionHeight: 0.921, anthro.TibialHeight: 0.474,
		anthro.MalleolusHeight: 0.069, anthro.BiacromialBreadth: 0.417, anthro.UpperArmLength: 0.341,
		anthro.ForearmLength: 0.273, anthro.PalmLength: 0.118, anthro.HandLength: 0.196, anthro.FootLength: 0.274,
		anthro.Span: 1.836, anthro.SittingHeight: 0.931, anthro.HipBreadth: 0.352, anthro.WaistCircumference: 0.871, anthro.Age: 29,
	} {
		p.Known = append(p.Known, anthro.Known{Of: m, Value: v})
	}
	return p
}

// With everything given and the assumptions fixed the answer is one number, that
// of the direct solution, to the last bit.
func TestEverythingGiven(t *testing.T) {
	for _, scan := range []*[anthro.NumRegions]float64{nil, {5.1, 34.6, 10.3, 28.9}} {
		p := measuredMan()
		o := few()
		o.Assumptions = fixed(t)
		o.Masses = body.Table
		people := anthro.NewPeople(1)
		for _, k := range p.Known {
			people.Value[k.Of][0] = k.Value
		}
		population := golden.Must(anthro.Load("us-men"))(t)
		if scan != nil {
			p.Scan, o.Masses = scan, body.Full
			predicted := population.Regional.Predict(1.783, 78.6, 0.871)
			for r, ratio := range anthro.LogRatios(*scan) {
				people.Residual[r][0] = ratio - predicted[r]
			}
		}
		builder := golden.Must(body.NewBuilder(population, o.Masses, body.DefaultSegments))(t)
		b, capacity := body.New(1), hold.NewCapacity(1)
		builder.Build(b, people, &o.Assumptions.Centre)
		strength.OfReference(capacity, b, &o.Assumptions.Centre)
		r := answer(t, p, o)
		for _, m := range r.Models {
			direct := hold.NewResult(1, hold.HumanFlag.Asks(m.Model)...)
			hold.HumanFlag.Solve(direct, b, capacity, hold.Posture{}, m.Model, &o.Assumptions.Centre)
			for _, q := range m.Quantities {
				want := direct.Value[q.Demand][0]
				if one := (Spread{want, want, want}); q.Body != one || q.All != one {
					t.Errorf("%s %s: %v and %v, directly %v", m.Model, q.Demand, q.Body, q.All, want)
				}
				if q.FromBody != 0 || q.FromAssumptions != 0 {
					t.Errorf("%s %s: shares %v, %v of nothing", m.Model, q.Demand, q.FromBody, q.FromAssumptions)
				}
				if q.AbsoluteUnit != "" {
					mass := b.Mass[0]
					want *= mass * statics.StandardGravity
					if one := (Spread{want, want, want}); q.BodyAbsolute != one || q.AllAbsolute != one {
						t.Errorf("%s %s: %v, directly %v %s", m.Model, q.Demand, q.AllAbsolute, want, q.AbsoluteUnit)
					}
				}
			}
			if len(m.Next) != 0 || len(m.Plan) != 0 {
				t.Errorf("%s: still to be measured: %v", m.Model, m.Next)
			}
			if m.Median.Held.Value[hold.RequiredForce][0] != direct.Value[hold.RequiredForce][0] {
				t.Errorf("%s: the median body is another", m.Model)
			}
		}
	}
}

// A scan multiplies the table's share of every region by its share over a
// reference, and all are renormalised: worked out here from the table's rows and
// the regression, for the three variants.
func TestScanTilts(t *testing.T) {
	p := measuredMan()
	p.Scan = &[anthro.NumRegions]float64{5.1, 34.6, 10.3, 28.9} // heavy legs
	table := golden.Must(segment.Load("deleva-1996", anthro.Male))(t)
	row := func(name, from, to string) float64 {
		r, ok := table.Row(name, from, to)
		if !ok {
			t.Fatalf("no row %s", name)
		}
		return r.MassShare
	}
	tabled := [anthro.NumRegions]float64{
		anthro.Head: row("head", "VERT", "CERV"), anthro.Trunk: row("trunk", "MIDS", "MIDH"),
		anthro.Arms: 2 * (row("upper arm", "SJC", "EJC") + row("forearm", "EJC", "STYL") + row("hand", "STYL", "MET3")),
		anthro.Legs: 2 * (row("thigh", "HJC", "KJC") + row("shank", "KJC", "LMAL") + row("foot", "HEEL", "TTIP")),
	}
	total := 5.1 + 34.6 + 10.3 + 28.9
	model := golden.Must(anthro.LoadRegional("nhanes-2011-2018", anthro.Male))(t)
	forces := map[body.Masses]float64{}
	for _, masses := range []body.Masses{body.Table, body.Residual, body.Full} {
		var reference [anthro.NumRegions]float64
		switch masses {
		case body.Table:
			reference = [anthro.NumRegions]float64{5.1 / total, 34.6 / total, 10.3 / total, 28.9 / total}
		case body.Residual:
			reference = anthro.Shares(model.Predict(1.783, 78.6, 0.871))
		case body.Full:
			reference = anthro.Shares(model.Predict(1.741, 73.0, model.Waist(1.741, 73.0)))
		}
		var want [anthro.NumRegions]float64
		sum := 0.0
		for r := range want {
			want[r] = tabled[r] * p.Scan[r] / total / reference[r]
			sum += want[r]
		}
		o := few()
		o.Masses, o.Assumptions = masses, fixed(t)
		res := answer(t, p, o)
		b := res.Models[0].Median.Body
		got := [anthro.NumRegions]float64{b.HeadShare[0], b.TrunkShare[0], 2 * b.ArmShare(0), 2 * b.LegShare(0)}
		for r := range want {
			if !(math.Abs(got[r]-want[r]/sum) <= 1e-12) {
				t.Errorf("%s %s: share %.6f, by hand %.6f", masses, anthro.Region(r), got[r], want[r]/sum)
			}
		}
		q, _ := res.Models[0].Quantity(hold.RequiredForce)
		forces[masses] = q.Body.Median
		if noted := strings.Contains(strings.Join(res.Notes, "\n"), "scan is not used"); noted != (masses == body.Table) {
			t.Errorf("%s: notes %q", masses, res.Notes)
		}
	}
	// His legs weigh more than those of men like him: harder than by the table.
	if legs := anthro.Shares(model.Predict(1.783, 78.6, 0.871))[anthro.Legs]; !(28.9/total > legs) {
		t.Fatalf("the legs are not heavy: %.3f of %.3f expected", 28.9/total, legs)
	}
	if !(forces[body.Residual] > forces[body.Table]) {
		t.Errorf("heavy legs make it easier: %v", forces)
	}
	if forces[body.Full] == forces[body.Residual] {
		t.Error("the variants do not differ")
	}
}

// The more is known, the narrower the answer, on average over people. Stature and
// mass alone tell next to nothing of a force in body weights; every step after
// them must narrow it by more than chance would.
func TestMoreKnownIsNarrower(t *testing.T) {
	people := strangers(t, "us-women", 8)
	ladder := [][]anthro.Measurement{
		{},
		{anthro.Stature, anthro.Mass},
		{anthro.Span, anthro.AcromialHeight},
		{anthro.BiacromialBreadth, anthro.TrochanterionHeight},
		{anthro.UpperArmLength, anthro.ForearmLength, anthro.CervicaleHeight, anthro.TibialHeight},
	}
	o := few()
	o.Assumptions, o.Models, o.Masses = fixed(t), []hold.Model{hold.TwoCondition}, body.Table
	// The standard error of the 5-95 % width of n normals is 0.884/√n of it, from the
	// variances and the covariance of the two quantiles; each person has a seed.
	se := 0.884 * math.Sqrt(2/float64(o.N*people.Rows()))
	last := math.Inf(1)
	var known []anthro.Measurement
	for step, more := range ladder {
		known = append(known, more...)
		mean := 0.0
		for i := range people.Rows() {
			p := Person{Sex: anthro.Female, Hold: hold.HumanFlag}
			for _, m := range known {
				p.Known = append(p.Known, anthro.Known{Of: m, Value: people.Value[m][i]})
			}
			o.Seed = uint64(i)
			q, _ := answer(t, p, o).Models[0].Quantity(hold.RequiredForce)
			mean += q.Body.Width() / float64(people.Rows())
		}
		most := last * (1 + 4*se)
		if step > 1 {
			most = last * (1 - 4*se)
		}
		t.Logf("%v: %.4f BW", known, mean)
		if !(mean < most) {
			t.Errorf("with %v the width is %.4f, without the last %.4f", known, mean, last)
		}
		last = mean
	}
}

// strangers draws people of a population.
func strangers(t testing.TB, name string, n int) *anthro.People {
	t.Helper()
	population := golden.Must(anthro.Load(name))(t)
	random := rand.New(rand.NewChaCha8([32]byte{7}))
	people := anthro.NewPeople(n)
	golden.OK(t, population.NewSampler().Draw(people, func(dst []float64) {
		for i := range dst {
			dst[i] = random.NormFloat64()
		}
	}))
	return people
}

// builderOfMen builds the bodies of the public's men.
func builderOfMen(t *testing.T, o *Options) *body.Builder {
	t.Helper()
	population := golden.Must(anthro.Load("us-men"))(t)
	return golden.Must(body.NewBuilder(population, o.Masses, o.Segments))(t)
}

// The 5-95 % ranges of people of whom little is known hold what their whole
// bodies need, for 90 % of them.
func TestCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("draws many people")
	}
	const n = 160
	for _, known := range [][]anthro.Measurement{{anthro.Stature, anthro.Mass, anthro.Span}, {anthro.UpperArmLength, anthro.ForearmLength}} {
		people := strangers(t, "us-men", n)
		o := few()
		o.Assumptions, o.N, o.Models = fixed(t), LeastN, []hold.Model{hold.TwoCondition}
		builder := builderOfMen(t, &o)
		b, capacity, truth := body.New(n), hold.NewCapacity(n), hold.NewResult(n, hold.RequiredForce)
		builder.Build(b, people, &o.Assumptions.Centre)
		strength.OfReference(capacity, b, &o.Assumptions.Centre)
		hold.HumanFlag.Solve(truth, b, capacity, hold.Posture{}, hold.TwoCondition, &o.Assumptions.Centre)
		inside := 0.0
		for i := range n {
			p := Person{Sex: anthro.Male, Hold: hold.HumanFlag}
			for _, m := range known {
				p.Known = append(p.Known, anthro.Known{Of: m, Value: people.Value[m][i]})
			}
			o.Seed = uint64(i)
			q, _ := answer(t, p, o).Models[0].Quantity(hold.RequiredForce)
			if x := truth.Value[hold.RequiredForce][i]; x >= q.All.Low && x <= q.All.High {
				inside++
			}
		}
		if se := math.Sqrt(0.9 * 0.1 / n); !(math.Abs(inside/n-0.9) <= 4*se) {
			t.Errorf("given %v, %.3f of the people are inside, want 0.9 ± %.3f", known, inside/n, 4*se)
		}
	}
}

// Of somebody of whom nothing is known the answer is that of the population.
func TestNothingKnown(t *testing.T) {
	o := DefaultOptions()
	r := answer(t, Person{Sex: anthro.Female, Hold: hold.HumanFlag}, o)
	for _, m := range r.Models {
		for _, q := range m.Quantities {
			if p := q.Percentile; !(math.Abs(p.Low-0.05) <= 0.02 && math.Abs(p.Median-0.5) <= 0.04 && math.Abs(p.High-0.95) <= 0.02) {
				t.Errorf("%s %s: somebody of the people is at %.3f of them", m.Model, q.Demand, p)
			}
			if !(math.Abs(q.FromBody+q.FromAssumptions-1) <= 1e-12) {
				t.Errorf("%s %s: shares %g and %g", m.Model, q.Demand, q.FromBody, q.FromAssumptions)
			}
		}
	}
	if len(r.Ranks) != 0 || len(r.Comparisons) != 0 {
		t.Errorf("ranks %v, comparisons %v", r.Ranks, r.Comparisons)
	}
}

// Where only one kind of not knowing is left, all the spread is its.
func TestWhereTheSpreadComesFrom(t *testing.T) {
	o := few()
	o.Assumptions = fixed(t)
	for _, q := range answer(t, coachs(), o).Models[1].Quantities {
		if q.FromBody < 0.98 || q.Body != q.All {
			t.Errorf("%s: fixed assumptions make %g of the spread", q.Demand, q.FromAssumptions)
		}
	}
	o = few()
	o.Masses = body.Table
	q, _ := answer(t, measuredMan(), o).Models[1].Quantity(hold.RequiredForce)
	if q.FromAssumptions < 1-1e-12 || q.Body.Width() != 0 || !(q.All.Width() > 0) {
		t.Errorf("a known body makes %g of the spread: %v, %v", q.FromBody, q.Body, q.All)
	}
}

// What is measured next narrows the answer by what was announced: within a fifth
// of the width, on average over what may be found.
func TestNextHolds(t *testing.T) {
	o := few()
	o.Assumptions = fixed(t)
	p := coachs()
	m := answer(t, p, o).Models[0]
	if len(m.Plan) != planned {
		t.Fatalf("plan %v", m.Plan)
	}
	for i := 1; i < len(m.Next); i++ {
		if m.Next[i].Reduction > m.Next[i-1].Reduction {
			t.Error("not ranked")
		}
	}
	for i := 1; i < len(m.Plan); i++ {
		if !(m.Plan[i].Width < m.Plan[i-1].Width) {
			t.Errorf("the plan's %s does not narrow", m.Plan[i])
		}
	}
	conditioned := answer(t, p, o).Conditioned
	for _, g := range m.Plan {
		p.Known = append(p.Known, anthro.Known{Of: g.Measure, Value: conditioned.Quantile(g.Measure, 0.5)})
	}
	q, _ := answer(t, p, o).Models[0].Quantity(m.Main)
	if got, want := q.Body.Width(), m.Plan[planned-1].Width; !(math.Abs(got/want-1) <= 0.2) {
		t.Errorf("measured as planned, the width is %.4f, announced %.4f", got, want)
	}
}

func TestSameBytes(t *testing.T) {
	p := coachs()
	p.Measured = &Measured{FootLoad: &Reading{28.3, 0.5}, ArmAngle: &Reading{0.71, 0.03}, HandSpacing: &Reading{1.24, 0.01}}
	p.Tests = &Tests{Hangs: []Hang{{Left, 31, -2.5}}, Handstands: []Handstand{{AnySide, 43, 1.5, 0, 0.2}}}
	var first *Readiness
	for _, workers := range []int{1, 2, 7} {
		o := few()
		o.N, o.Workers = 4999, workers
		r := golden.Must(Ready(context.Background(), p, o))(t)
		if first == nil {
			first = r
			continue
		}
		a, b := first.Result, r.Result
		for _, c := range []struct {
			what string
			a, b any
		}{
			{"models", a.Models, b.Models}, {"fixture", a.Fixture, b.Fixture}, {"foot load", a.FootLoad, b.FootLoad},
			{"comparisons", a.Comparisons, b.Comparisons}, {"people", a.People, b.People}, {"draws", a.Assumed, b.Assumed},
			{"tests", first.Tests, r.Tests}, {"readiness", first.Models, r.Models},
		} {
			if !reflect.DeepEqual(c.a, c.b) {
				t.Errorf("%d workers: %s differ", workers, c.what)
			}
		}
	}
	o := few()
	o.Seed = 2
	x, y := answer(t, p, few()), answer(t, p, o)
	if reflect.DeepEqual(x.Models[0].Quantities, y.Models[0].Quantities) {
		t.Error("another seed gives the same answer")
	}
}

func TestCancel(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Answer(ctx, coachs(), few()); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
	p := coachs()
	p.Tests = &Tests{Hangs: []Hang{{AnySide, 5, 0}}}
	if _, err := Ready(ctx, p, few()); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}

// Every hold answers, with what carries the person adding up to the weight.
func TestEveryHold(t *testing.T) {
	for _, h := range hold.All() {
		p := coachs()
		p.Hold = h
		r := answer(t, p, few())
		if len(r.Models) != len(h.Models) || r.Models[0].Main != h.Asks(h.Models[0])[0] {
			t.Errorf("%s: models %v", h.Name, r.Models)
		}
		if r.Fixture == nil {
			t.Errorf("%s: nothing carries the person", h.Name)
			continue
		}
		down := 0.0
		for _, f := range r.Fixture.Forces {
			down += f.Vertical.Median
		}
		weight := 61.4 * statics.StandardGravity
		// Medians need not add up; the supports' spreads here are narrow.
		if !(math.Abs(down/weight-1) <= 0.01) {
			t.Errorf("%s: the supports carry %.1f N of %.1f N", h.Name, down, weight)
		}
		if (r.Fixture.Overturning != nil) != (h == hold.HumanFlag) || (r.FootLoad != nil) != (h == hold.HumanFlag) {
			t.Errorf("%s: fixture %+v, foot load %v", h.Name, r.Fixture, r.FootLoad)
		}
		if (r.Models[0].Curve != nil) != (h.Parts != nil) {
			t.Errorf("%s: curve %v", h.Name, r.Models[0].Curve)
		}
	}
}

// The curve of the median body passes through its best posture, which no other
// angle beats, and the ribbons hold it.
func TestCurve(t *testing.T) {
	for _, m := range answer(t, coachs(), few()).Models {
		c := m.Curve
		if !m.Model.Judges() {
			_, spacing := m.Quantity(hold.HandSpacing)
			_, angle := m.Quantity(hold.ArmAngle)
			if c != nil || spacing || angle {
				t.Errorf("%s, which does not judge, tells a posture", m.Model)
			}
			continue
		}
		if q, _ := m.Quantity(hold.HandSpacing); q.All.Median != c.BestSpacing || !(q.All.Low < c.BestSpacing && c.BestSpacing < q.All.High) {
			t.Errorf("%s: recommended are %+v, the curve is best at %v", m.Model, q.All, c.BestSpacing)
		}
		if len(c.Angle) != scenario.CurveSteps || len(c.Values) != len(c.Parts) {
			t.Fatalf("%s: %d angles, parts %v", m.Model, len(c.Angle), c.Parts)
		}
		if c.BestAngle != m.Median.Held.Value[hold.ArmAngle][0] || c.BestSpacing != m.Median.Held.Value[hold.HandSpacing][0] {
			t.Errorf("%s: the best posture is another", m.Model)
		}
		if want := m.Median.Held.Value[hold.Difficulty][0]; !(math.Abs(c.BestPeak/want-1) <= 1e-9) {
			t.Errorf("%s: best %v, solved %v", m.Model, c.BestPeak, want)
		}
		for k, peak := range c.Peak {
			if peak < c.BestPeak*(1-1e-9) {
				t.Errorf("%s: at %g the median body needs %g, less than at its best", m.Model, c.Angle[k], peak)
			}
			if k > 0 && c.Angle[k-1] <= c.BestAngle && c.BestAngle <= c.Angle[k] && !(c.Spacing[k-1] >= c.BestSpacing && c.BestSpacing >= c.Spacing[k]) || k > 0 && !(c.Spacing[k-1] > c.Spacing[k]) {
				t.Errorf("%s: hands %v and %v apart at %v and %v, the best %v at %v", m.Model, c.Spacing[k-1], c.Spacing[k], c.Angle[k-1], c.Angle[k], c.BestSpacing, c.BestAngle)
			}
			if !(c.BodyLow[k] <= c.BodyHigh[k] && c.AllLow[k] <= c.AllHigh[k]) {
				t.Errorf("%s: ribbon at %g", m.Model, c.Angle[k])
			}
			if peak < c.BodyLow[k] || peak > c.BodyHigh[k] {
				t.Errorf("%s: the median body leaves the ribbon at %g", m.Model, c.Angle[k])
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	improbable := new(anthro.ImprobableError)
	scan := new(anthro.ScanError)
	for name, c := range map[string]struct {
		change func(*Person, *Options)
		want   string // part of the message, or of the type's
		as     any
	}{
		"hold":               {func(p *Person, _ *Options) { p.Hold = nil }, "hold: a hold is needed", nil},
		"people":             {func(p *Person, _ *Options) { p.Population = "ansur3" }, "people: ", nil},
		"sex":                {func(p *Person, _ *Options) { p.Population = "us-men" }, "the person is female", nil},
		"legs":               {func(p *Person, _ *Options) { p.Hold, p.Legs.Form = hold.IronCross, hold.Tuck }, "legs: iron-cross cannot be done", nil},
		"pose":               {func(p *Person, _ *Options) { p.Pose[hold.OneArm] = 1 }, "pose.one_arm: human-flag has no one_arm", nil},
		"pose range":         {func(p *Person, _ *Options) { p.Hold, p.Pose[hold.WallDistance] = hold.WallHandstand, 3 }, "pose.wall_distance: 3 m is not possible", nil},
		"tilt":               {func(p *Person, _ *Options) { p.Hold, p.Tilt = hold.Planche, 0.1 }, "tilt: planche is not tilted", nil},
		"tilt NaN":           {func(p *Person, _ *Options) { p.Tilt = math.NaN() }, "tilt: ", nil},
		"model":              {func(p *Person, o *Options) { p.Hold, o.Models = hold.LSit, []hold.Model{hold.TwoCondition} }, "models: l-sit is not computed", nil},
		"model twice":        {func(_ *Person, o *Options) { o.Models = []hold.Model{hold.Equilibrium, hold.Equilibrium} }, "appears twice", nil},
		"draws":              {func(_ *Person, o *Options) { o.N = 7 }, "n: found 7", nil},
		"workers":            {func(_ *Person, o *Options) { o.Workers = -1 }, "workers: ", nil},
		"segments":           {func(_ *Person, o *Options) { o.Segments = "nobody-1900" }, "segments: ", nil},
		"inches":             {func(p *Person, _ *Options) { p.Known[0].Value = 0.66 }, "", &improbable},
		"scan":               {func(p *Person, _ *Options) { p.Scan = &[anthro.NumRegions]float64{4.5, 29, 6.4, 41} }, "", &scan},
		"scan of nothing":    {func(p *Person, _ *Options) { p.Scan = &[anthro.NumRegions]float64{4.5, 29, 0, 21} }, "scan: ", nil},
		"given twice":        {func(p *Person, _ *Options) { p.Known = append(p.Known, p.Known[1]) }, "given twice", nil},
		"hang":               {func(p *Person, _ *Options) { p.Tests = &Tests{Hangs: []Hang{{Left, 0, 0}}} }, "tests: a hang was held 0 s", nil},
		"hang NaN":           {func(p *Person, _ *Options) { p.Tests = &Tests{Hangs: []Hang{{Left, 3, math.NaN()}}} }, "tests.one_arm_hang.added: NaN kg is not possible", nil},
		"heavy hang":         {func(p *Person, _ *Options) { p.Tests = &Tests{Hangs: []Hang{{Left, 4, 1e6}}} }, "tests.one_arm_hang.added: 1e+06 kg is not possible", nil},
		"heavy handstand":    {func(p *Person, _ *Options) { p.Tests = &Tests{Handstands: []Handstand{{Left, 4, 0, 1e6, 0}}} }, "tests.one_arm_handstand.added: 1e+06 kg is not possible", nil},
		"guessed":            {func(p *Person, _ *Options) { p.Known[0].Error = 5 }, "the measuring error is", nil},
		"handstand":          {func(p *Person, _ *Options) { p.Tests = &Tests{Handstands: []Handstand{{Left, 4, -1, 0, 0}}} }, "tests.one_arm_handstand.fingers: -1 kg is not possible, allowed: 0 to 200 kg", nil},
		"wall":               {func(p *Person, _ *Options) { p.Tests = &Tests{Handstands: []Handstand{{Left, 4, 1, 0, 9}}} }, "the wall was 9 m", nil},
		"reading":            {func(p *Person, _ *Options) { p.Measured = &Measured{ArmAngle: &Reading{41, 1}} }, "arm_angle is 41", nil},
		"reading's error":    {func(p *Person, _ *Options) { p.Measured = &Measured{FootLoad: &Reading{28, -1}} }, "the error of foot_load", nil},
		"reading of a plank": {func(p *Person, _ *Options) { p.Hold, p.Measured = hold.PushUp, &Measured{} }, "measured: only the human flag", nil},
	} {
		p, o := coachs(), few()
		c.change(&p, &o)
		_, err := Answer(context.Background(), p, o)
		if err == nil {
			t.Errorf("%s: no error", name)
			continue
		}
		if c.as != nil && !errors.As(err, c.as) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v", name, err)
		}
	}
}

func ExampleAnswer() {
	// A coach has a client's height, weight and arm span.
	client := Person{Name: "client", Sex: anthro.Female, Hold: hold.HumanFlag, Known: []anthro.Known{
		{Of: anthro.Stature, Value: 1.68, Error: 0.005}, {Of: anthro.Mass, Value: 61}, {Of: anthro.Span, Value: 1.71},
	}}
	options := DefaultOptions()
	result, err := Answer(context.Background(), client, options)
	if err != nil {
		fmt.Println(err)
		return
	}
	model := result.Models[0]
	force, _ := model.Quantity(hold.RequiredForce)
	spacing, _ := model.Quantity(hold.HandSpacing)
	fmt.Printf("required force %.2f BW (5-95 %%: %.2f-%.2f), %.0f N\n", force.Body.Median, force.All.Low, force.All.High, force.BodyAbsolute.Median)
	fmt.Printf("hands %.0f cm apart\n", 100*spacing.Body.Median)
	fmt.Printf("measure next: %s, then %s\n", model.Plan[0], model.Plan[1])
	// Output:
	// required force 0.82 BW (5-95 %: 0.69-0.96), 490 N
	// hands 123 cm apart
	// measure next: biacromial_breadth, then acromial_height
}

// A person's rest is drawn with the doubt of what the survey's people themselves are
// like: among the public, whose proportions are transferred, that is about a quarter of how
// much people differ; among soldiers, who were measured, hardly anything.
func TestDoubtOfTheSurvey(t *testing.T) {
	p := Person{Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.78}, {Of: anthro.Mass, Value: 74}}}
	wider := func(population string) float64 {
		p.Population = population
		pr := golden.Must(prepare(p, few()))(t)
		spread := func(lefts []*anthro.Person) float64 {
			sum, squares := 0.0, 0.0
			for _, left := range lefts {
				x := left.Quantile(anthro.BiacromialBreadth, 0.5)
				sum, squares = sum+x, squares+x*x
			}
			n := float64(len(lefts))
			return math.Sqrt(squares/n - sum*sum/n/n)
		}
		lefts, err := pr.refits(context.Background(), 1000)
		if err != nil || len(lefts) != pr.left.Population.Refits() {
			t.Fatalf("%d refits, %v", len(lefts), err)
		}
		for _, left := range lefts {
			if left.Quantile(anthro.Mass, 0.5) != 74 {
				t.Fatal("what is known is not")
			}
		}
		within := (pr.left.Quantile(anthro.BiacromialBreadth, 0.95) - pr.left.Quantile(anthro.BiacromialBreadth, 0.05)) / (2 * ninety)
		return spread(lefts) / within
	}
	public, soldiers := wider("us-men"), wider("ansur2-men")
	if !(public > 0.15 && public < 0.6) || !(soldiers > 0 && soldiers < 0.1) {
		t.Errorf("the refits' breadths vary by %.3f of people's among the public, by %.3f among soldiers", public, soldiers)
	}
}
