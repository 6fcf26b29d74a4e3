package person

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/strength"
)

// What a draw does to everybody alike has no part in who needs more: a rising function
// of everybody's need leaves the percentile to the bit, and a falling one turns it round.
func TestCommonCancels(t *testing.T) {
	random := rand.New(rand.NewChaCha8([32]byte{5}))
	values, weights, possible := make([]float64, 60), make([]float64, 60), make([]bool, 60)
	for i := range values {
		values[i], weights[i], possible[i] = random.NormFloat64(), 0.25+float64(random.IntN(4)), i%7 != 3
	}
	under := func(f func(float64) float64, x float64) float64 {
		all := make([]float64, len(values))
		for i, v := range values {
			all[i] = f(v)
		}
		return weightBelow(all, counted(weights, possible), f(x))
	}
	is := func(x float64) float64 { return x }
	for _, x := range []float64{-4, -1, values[0], 0.1, 2, 4} {
		want := under(is, x)
		for name, f := range map[string]func(float64) float64{
			"scaled": func(x float64) float64 { return 1.7 * x }, "moved": func(x float64) float64 { return x - 30 }, "bent": math.Exp,
		} {
			if got := under(f, x); got != want {
				t.Errorf("%s: %g is at %g, want %g", name, x, got, want)
			}
		}
		if got := under(func(x float64) float64 { return -x }, x); !(math.Abs(got-(1-want)) <= 1e-14) {
			t.Errorf("mirrored: %g is at %g, want %g", x, got, 1-want)
		}
	}
}

// A few take the weight of the many who are nearest: their distribution is that of the
// many at every boundary, whatever they are.
func TestNearest(t *testing.T) {
	few, possible := []float64{4, 1, 9, 2, 2}, []bool{true, true, false, true, true}
	// The middles are 1.5, 2 and 3.
	got := nearest(few, possible, []float64{2.9, 8, 0, 1.4, 1.6, 2.5, 100, 3.1})
	if want := []float64{3. / 8, 2. / 8, 0, 1. / 8, 2. / 8}; !slices.Equal(got, want) {
		t.Errorf("weights %v, want %v", got, want)
	}
	if got := counted([]float64{0, 0, 1, 0, 0}, possible); got != nil {
		t.Errorf("without any weight %v", got)
	}
}

// only leaves one assumption open.
func only(t *testing.T, id assume.ID) assume.Uncertainty {
	u := fixed(t)
	a := id.Info()
	golden.OK(t, u.Spread(id, a.Low, a.High))
	return u
}

// place returns where a person stands by a demand.
func place(t *testing.T, p Person, o Options, of hold.Demand) (q Quantity) {
	t.Helper()
	q, ok := answer(t, p, o).Models[0].Quantity(of)
	if !ok || !(0 <= q.Percentile.Low && q.Percentile.Low <= q.Percentile.Median && q.Percentile.Median <= q.Percentile.High && q.Percentile.High <= 1) {
		t.Fatalf("%s at %v of the people", of, q.Percentile)
	}
	return q
}

// Of somebody measured in everything, under known assumptions, nothing is open but who
// was surveyed: among soldiers about what 4082 people leave of a share, among the public
// more, whose proportions are transferred.
func TestPlaceOfKnown(t *testing.T) {
	p, o := measuredMan(), few()
	p.Scan = &[anthro.NumRegions]float64{5.3, 38.4, 9.6, 25.3}
	o.Assumptions = fixed(t)
	public := place(t, p, o, hold.RequiredForce)
	p.Population = anthro.SoldiersOf(p.Sex)
	q := place(t, p, o, hold.RequiredForce)
	if !(public.Percentile.Width() > 2*q.Percentile.Width()) {
		t.Errorf("among the public %.4f, among soldiers %.4f", public.Percentile, q.Percentile)
	}
	people := golden.Must(p.People())(t)
	at := q.Percentile.Median
	if survey := 2 * ninety * math.Sqrt(at*(1-at)/float64(people.N)); !(q.Percentile.Width() > 0 && q.Percentile.Width() < 2*survey) {
		t.Errorf("somebody of whom all is known is at %.4f of the people; the survey leaves about %.4f", q.Percentile, survey)
	}
	if o.Assumptions = assume.DefaultUncertainty(); !(place(t, p, o, hold.RequiredForce).Percentile.Width() > 3*q.Percentile.Width()) {
		t.Error("the assumptions leave no more open of it than the survey")
	}
}

// How strong untrained people are says how hard a hold is, and nothing of who finds it
// harder than others: where one group gives out in everybody, the range of the
// difficulty is wide and the place among people no wider than under a known norm.
func TestNormCancels(t *testing.T) {
	p, o := measuredMan(), few()
	p.Scan = &[anthro.NumRegions]float64{5.3, 38.4, 9.6, 25.3}
	p.Hold = hold.FrontLever
	const seeds = 6 // the ends are those of a few draws
	var low, high float64
	for o.Seed = range uint64(seeds) {
		o.Assumptions = fixed(t)
		pinned := place(t, p, o, hold.Difficulty)
		o.Assumptions = only(t, assume.StrengthOf(muscle.ShoulderExtension))
		free := place(t, p, o, hold.Difficulty)
		if !(free.All.Width() > 0.2*free.All.Median) || pinned.All.Width() != 0 {
			t.Fatalf("the difficulty is %v, under a known norm %v", free.All, pinned.All)
		}
		low += (free.Percentile.Low - pinned.Percentile.Low) / seeds
		high += (free.Percentile.High - pinned.Percentile.High) / seeds
	}
	if !(math.Abs(low) < 0.01 && math.Abs(high) < 0.01) {
		t.Errorf("the ends of the place among people lie %.4f and %.4f beside those under a known norm", low, high)
	}
}

// The middle of the people is in the middle, whatever is asked; about so where they are
// skewed, as the public is.
func TestPlaceOfMedian(t *testing.T) {
	for name, off := range map[string]float64{"ansur2-women": 0, "ansur2-men": 0, "us-women": 0.02, "us-men": 0.02} {
		people := golden.Must(anthro.Load(name))(t)
		sex := people.Sex
		p := Person{Sex: sex, Population: name}
		for m := range anthro.NumMeasurements {
			p.Known = append(p.Known, anthro.Known{Of: m, Value: people.Quantile(m, 0.5)})
		}
		for _, h := range []*hold.Hold{hold.HumanFlag, hold.FrontLever, hold.IronCross} {
			p.Hold = h
			for _, q := range answer(t, p, few()).Models[0].Quantities {
				if at := q.Percentile; !(at.Low <= 0.5+off && at.High >= 0.5-off) {
					t.Errorf("%s, %s of %s: the median body is at %.3f of the people", name, q.Demand, h.Name, at)
				}
			}
		}
	}
}

// Somebody tested stands among people with strengths of their own: what an untrained
// adult shows in every test leaves the difficulty about the middle, and twice that makes
// it easier than for nearly all.
func TestPlaceOfTested(t *testing.T) {
	people := golden.Must(anthro.Load("us-men"))(t)
	p, o := Person{Sex: anthro.Male, Hold: hold.FrontLever}, few()
	for m := range anthro.NumMeasurements {
		p.Known = append(p.Known, anthro.Known{Of: m, Value: people.Quantile(m, 0.5)})
	}
	at := func(kilograms float64) Spread {
		p.Tests = &Tests{Scales: []Scale{{Way: Back, Angle: math.Pi / 2, Kilograms: kilograms}}}
		return place(t, p, o, hold.Difficulty).Percentile
	}
	least, most := 1.0, 100.0
	for most-least > 0.5 {
		if middle := (least + most) / 2; at(middle).Median > 0.5 {
			least = middle
		} else {
			most = middle
		}
	}
	usual, strong := at(most), at(2*most)
	if !(most > 8 && most < 40) || !(usual.Low < 0.5 && usual.High > 0.5) || !(strong.High < 0.1) {
		t.Errorf("%.1f kg puts somebody at %.3f, twice that at %.3f", most, usual, strong)
	}
}

// What no tape removes is what is left once everything is measured, and each
// measurement leaves something between that and today's range.
func TestFloor(t *testing.T) {
	o := few()
	for _, h := range []*hold.Hold{hold.HumanFlag, hold.FrontLever} {
		p := coachs()
		p.Hold = h
		m := answer(t, p, o).Models[0]
		main, _ := m.Quantity(m.Main)
		left := main.All.Width()
		for i, g := range m.Plan {
			if !(g.Width <= left && g.Width >= m.Floor) || math.Abs(g.Reduction-(1-g.Width/main.All.Width())) > 1e-12 {
				t.Errorf("%s, step %d: %g, before %g, floor %g, reduction %g", h.Name, i, g.Width, left, m.Floor, g.Reduction)
			}
			left = g.Width
		}
		// Everything measured, as the middle of what was open; the table of segments
		// leaves no masses open, as a scan would.
		all := golden.Must(Median(p, o))(t)
		p.Known = nil
		for k := range anthro.NumMeasurements {
			p.Known = append(p.Known, anthro.Known{Of: k, Value: all.Value[k][0]})
		}
		by := o
		by.Masses = body.Table
		known := answer(t, p, by).Models[0]
		if q, _ := known.Quantity(known.Main); !(math.Abs(m.Floor/q.All.Width()-1) < 0.1) || known.Floor > q.All.Width() || known.Floor < 0.9*q.All.Width() {
			t.Errorf("%s: floor %g, with all measured %g and a floor of %g", h.Name, m.Floor, q.All.Width(), known.Floor)
		}
	}
	o.Assumptions = fixed(t)
	if m := answer(t, coachs(), o).Models[0]; m.Floor != 0 {
		t.Errorf("under known assumptions a floor of %g", m.Floor)
	}
}

// Where people of whom little is known truly stand, under assumptions that nobody knows,
// lies within their intervals for 90 % of them.
func TestPlaceCoverage(t *testing.T) {
	if testing.Short() {
		t.Skip("draws many people")
	}
	const n, crowd = 120, 1000
	people, o := strangers(t, "us-men", crowd), few()
	o.N = LeastN
	builder := builderOfMen(t, &o)
	demands := []hold.Demand{hold.ShoulderMoment, hold.Difficulty}
	b, capacity, truth := body.New(crowd), hold.NewCapacity(crowd), hold.NewResult(crowd, demands...)
	random, u := rand.New(rand.NewChaCha8([32]byte{11})), assume.DefaultUncertainty()
	inside := make([]float64, len(demands))
	for i := range n {
		point := make([]float64, len(u.Free()))
		for k := range point {
			point[k] = random.Float64()
		}
		holds := u.At(point)
		builder.Build(b, people, &holds)
		strength.OfReference(capacity, b, &holds)
		hold.FrontLever.Solve(truth, b, capacity, hold.Posture{}, hold.Equilibrium, &holds)
		p := Person{Sex: anthro.Male, Hold: hold.FrontLever}
		for _, m := range []anthro.Measurement{anthro.Stature, anthro.Mass, anthro.TrochanterionHeight} {
			p.Known = append(p.Known, anthro.Known{Of: m, Value: people.Value[m][i]})
		}
		o.Seed = uint64(i)
		m := answer(t, p, o).Models[0]
		for k, of := range demands {
			q, _ := m.Quantity(of)
			if at := shareBelow(truth.Value[of], truth.Value[of][i]); at >= q.Percentile.Low && at <= q.Percentile.High {
				inside[k]++
			}
		}
	}
	for k, of := range demands {
		if se := math.Sqrt(0.9 * 0.1 / n); !(math.Abs(inside[k]/n-0.9) <= 4*se) {
			t.Errorf("%s: %.3f of the people stand inside, want 0.9 ± %.3f", of, inside[k]/n, 4*se)
		}
	}
}
