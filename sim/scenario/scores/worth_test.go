package scores

import (
	"errors"
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
	"counterpoise/sim/strength"

	"gonum.org/v1/gonum/stat"
)

func newStream(seed uint64) *montecarlo.Stream { return montecarlo.NewStream(seed, "test") }

// worthOf returns one row of the median body's table.
func worthOf(t *testing.T, s Study, working float64, name string) Worth {
	t.Helper()
	f := function(t, s)
	w := golden.Must(f.Worth(f.MedianPerson(), working))(t)
	for _, row := range w.Rows {
		if row.Name == name {
			return row
		}
	}
	t.Fatalf("no row %s", name)
	return Worth{}
}

// What is told of one body asks nothing of others: of these many more than one in a hundred cannot lean far
// enough, and nothing else is told then. Draws in which the body cannot are counted.
func TestAmongThoseWhoCan(t *testing.T) {
	s := study(t, hold.Planche, hold.Difficulty, "us-women", hold.Equilibrium)
	var impossible *ImpossibleError
	if _, err := New(s); !errors.As(err, &impossible) || impossible.Impossible < impossible.Bodies/100 {
		t.Fatalf("%v", err)
	}
	f := golden.Must(AmongThoseWhoCan(s))(t)
	w := golden.Must(f.Worth(f.MedianPerson(), 0.5))(t)
	if w.Draws != worthDraws || w.Unable < 1 || w.Unable > w.Draws/10 {
		t.Errorf("%d of %d draws are left out", w.Unable, w.Draws)
	}
	for _, row := range w.Rows {
		if !(row.Low-0.02 <= row.Percent && row.Percent <= row.High+0.02) { // a rate, and whole steps
			t.Errorf("%s: %v is not within %v to %v", row.Name, row.Percent, row.Low, row.High)
		}
	}
	if c, err := f.Along(traitOf(t, "stature"), 4000, 1); err != nil || c.Unable < 1 || c.N+c.Unable != 4000 {
		t.Errorf("%+v, %v", c, err)
	}
	if _, err := f.Split(t.Context(), SplitOptions{}); err == nil {
		t.Error("people were split of whom nobody knows how many can")
	}
	if _, err := drivers.Sobol(t.Context(), f.PeopleAsOne(), drivers.SobolOptions{Options: drivers.Options{Seed: 1, Base: 64}}); err == nil {
		t.Error("indices of people of whom nobody knows how many can")
	}
}

// What follows from similarity: a moment in BW·m grows with size in proportion, a
// force in BW not at all, whatever else.
func TestWorthOfSize(t *testing.T) {
	for _, c := range []struct {
		hold  *hold.Hold
		of    hold.Demand
		model hold.Model
		want  float64
	}{
		{hold.FrontLever, hold.ShoulderMoment, hold.Equilibrium, 1},
		{hold.LSit, hold.HipMoment, hold.Equilibrium, 1},
		{hold.HumanFlag, hold.RequiredForce, hold.TwoCondition, 0},
		{hold.HumanFlag, hold.HandSpacing, hold.TwoCondition, 1},
		{hold.PushUp, hold.HandShare, hold.Equilibrium, 0},
		// Difficulty ∝ size^(p·(1−β)), with p = 3 and β = 0.67.
		{hold.HumanFlag, hold.Difficulty, hold.TwoCondition, 3 * (1 - 0.67)},
		{hold.HumanFlag, hold.Difficulty, hold.Equilibrium, 3 * (1 - 0.67)},
		{hold.FrontLever, hold.Difficulty, hold.Equilibrium, 3 * (1 - 0.67)},
	} {
		row := worthOf(t, study(t, c.hold, c.of, "ansur2-women", c.model), 0.5, "size")
		if !(math.Abs(row.Elasticity-c.want) <= 1e-9) || row.Kink {
			t.Errorf("%s, %s, %s: elasticity %v with size, want %v", c.hold.Name, c.of, c.model, row.Elasticity, c.want)
		}
	}
}

// Shoulders play no part in what is borne by them in a front lever, and arms none but
// that they add to the weight of which it is a multiple.
func TestWorthOfNothing(t *testing.T) {
	s := study(t, hold.FrontLever, hold.ShoulderMoment, "ansur2-men", hold.Equilibrium)
	if row := worthOf(t, s, 0.5, "shoulder_breadth"); row.Change != 0 || row.Elasticity != 0 {
		t.Errorf("shoulder_breadth is worth %v, want exactly 0", row.Change)
	}
	if row := worthOf(t, s, 0.5, "arm_length"); !(row.Elasticity < 0 && row.Elasticity > -0.1) {
		t.Errorf("arms: elasticity %v, want that of the arms' share of the weight", row.Elasticity)
	}
}

// The rates against plain differences of bodies built and held up here.
func TestWorthAgainstDifferences(t *testing.T) {
	a := assume.Defaults()
	population := people(t, "ansur2-men")
	builder := golden.Must(body.NewBuilder(population, body.Residual, body.DefaultSegments))(t)
	median := anthro.NewPeople(1)
	for m := range anthro.NumMeasurements {
		median.Value[m][0] = population.Marginal(m).Value(0)
	}
	first, second := body.New(1), body.New(1)
	c, r := hold.NewCapacity(1), hold.NewResult(1, hold.RequiredForce)
	builder.Build(first, median, &a)
	strength.OfReference(c, first, &a)
	force := func(change body.Change) float64 {
		golden.OK(t, change.Apply(second, first, &a))
		hold.HumanFlag.Solve(r, second, c, hold.Posture{}, hold.TwoCondition, &a)
		return r.Value[hold.RequiredForce][0]
	}
	const h = 1e-4
	s := study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-men", hold.TwoCondition)
	changes := map[string]func(float64) body.Change{
		"trunk_fat": func(x float64) body.Change {
			return body.Change{Mass: []body.AddedMass{{Region: body.Trunk, Kilograms: -100 * x}}}
		},
		"leg_mass": func(x float64) body.Change {
			return body.Change{Mass: []body.AddedMass{{Region: body.Legs, Kilograms: 100 * x}}}
		},
	}
	for of := range body.NumChanges {
		if of.Info().Unit == "m" {
			changes[of.String()] = func(x float64) (ch body.Change) {
				ch.Of[of].Metres = x
				return ch
			}
		}
	}
	for name, change := range changes {
		want := 0.01 * (force(change(h)) - force(change(-h))) / (2 * h)
		if row := worthOf(t, s, 0.5, name); !(math.Abs(row.Change-want) <= 1e-5*math.Abs(want)) || row.Kink {
			t.Errorf("%s is worth %v, by differences %v", name, row.Change, want)
		}
	}
}

// Fat that is gone leaves the strength in newtons, so that the difficulty changes by
// the per cent of the newtons; muscle on top of the same mass lowers it further.
func TestWorthOfMass(t *testing.T) {
	force := worthOf(t, study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-men", hold.TwoCondition), 0.5, "trunk_fat")
	difficulty := worthOf(t, study(t, hold.HumanFlag, hold.Difficulty, "ansur2-men", hold.TwoCondition), 0.5, "trunk_fat")
	if !(math.Abs(force.PercentNewtons-difficulty.Percent) <= 1e-9) {
		t.Errorf("1 kg of fat off: %v %% of the newtons, %v %% of the difficulty", force.PercentNewtons, difficulty.Percent)
	}
	if !(force.Percent > 0 && force.PercentNewtons < 0) {
		t.Errorf("1 kg of fat off the trunk: %v %% in body weights, %v %% in newtons; want up and down", force.Percent, force.PercentNewtons)
	}
	// d ln(capacity)/dm = β·q/(a·m).
	s := study(t, hold.HumanFlag, hold.Difficulty, "ansur2-men", hold.TwoCondition)
	f := function(t, s)
	mass := f.MedianPerson().Value[anthro.Mass][0]
	none, half := worthOf(t, s, 0, "upper_body_muscle"), worthOf(t, s, 0.37, "upper_body_muscle")
	want := -100 * 0.67 * 0.37 / (0.15 * mass)
	if got := half.Percent - none.Percent; !(math.Abs(got-want) <= 1e-8) {
		t.Errorf("37 %% working muscle: %v %% beside that of dead weight, want %v %%", got, want)
	}
}

// At the best spacing the two-condition force is flat, and so is the equilibrium
// difficulty of the median man, whose lower arm and shoulder decide; that of the median
// woman stands at a corner, where both shoulders do as well, and either way costs.
func TestWorthOfHandSpacing(t *testing.T) {
	flat := worthOf(t, study(t, hold.HumanFlag, hold.RequiredForce, "ansur2-men", hold.TwoCondition), 0.5, "hand_spacing")
	if flat.Kink || !(math.Abs(flat.Change) <= 1e-9) {
		t.Errorf("two-condition: %+v", flat)
	}
	level := worthOf(t, study(t, hold.HumanFlag, hold.Difficulty, "ansur2-men", hold.Equilibrium), 0.5, "hand_spacing")
	if level.Kink || !(math.Abs(level.Change) <= 1e-9) {
		t.Errorf("equilibrium, man: %+v", level)
	}
	corner := worthOf(t, study(t, hold.HumanFlag, hold.Difficulty, "ansur2-women", hold.Equilibrium), 0.5, "hand_spacing")
	if !corner.Kink || !(corner.More > 0 && -corner.Less > 0) {
		t.Errorf("equilibrium: %+v", corner)
	}
}

// From legs together a straddle begins at a rate of 0, so that the step is told; it
// is that of the lengths' cosine.
func TestWorthOfStraddle(t *testing.T) {
	s := fixed(study(t, hold.FrontLever, hold.HipMoment, "ansur2-men", hold.Equilibrium))
	row := worthOf(t, s, 0.5, "straddle")
	f := function(t, s)
	if want := f.Median() * (math.Cos(5*math.Pi/180) - 1); !row.Finite || !(math.Abs(row.Change-want) <= 1e-12) {
		t.Errorf("5° of straddle: %+v, want a step of %v", row, want)
	}
	s.Legs = hold.LegsIn(hold.Straddle, 0.7)
	row = worthOf(t, s, 0.5, "straddle")
	if want := -0.7 * math.Tan(0.7); row.Finite || !(math.Abs(row.Elasticity-want) <= 1e-9) {
		t.Errorf("elasticity with the straddle %v, want −σ·tan σ = %v", row.Elasticity, want)
	}
}

func TestWorthRefuses(t *testing.T) {
	f := function(t, study(t, hold.FrontLever, hold.HipMoment, "ansur2-men", hold.Equilibrium))
	for _, working := range []float64{-0.1, 1.1, math.NaN()} {
		if _, err := f.Worth(f.MedianPerson(), working); err == nil {
			t.Errorf("a working share of %v", working)
		}
	}
}

// Along arm length in a front lever: the shoulders bear more in people of longer
// arms, who are taller, and with longer arms alone less of the body's weight, to which
// the arms then add; along shoulder breadth alone not a bit more.
func TestAlongTellsPeopleFromCause(t *testing.T) {
	f := function(t, study(t, hold.FrontLever, hold.ShoulderMoment, "ansur2-men", hold.Equilibrium))
	trait := golden.Must(body.ParseQuantity("arm_length"))(t)
	c := golden.Must(f.Along(trait, 20_000, 4))(t)
	last := len(c.X) - 1
	if rise := c.Mean[last] - c.Mean[0]; rise < 10*c.StandardError[0] {
		t.Errorf("people of longer arms bear %v more, want more than chance", rise)
	}
	for k := range last {
		if !(c.Alone[k+1] < c.Alone[k]) {
			t.Errorf("with arms of %v m alone changed %v, want less than %v", c.X[k+1], c.Alone[k+1], c.Alone[k])
		}
	}
	if !(c.Alone[0] > f.Median() && f.Median() > c.Alone[last]) {
		t.Errorf("the median body bears %v, want between %v and %v", f.Median(), c.Alone[last], c.Alone[0])
	}
	broad := golden.Must(f.Along(traitOf(t, "shoulder_breadth"), 20_000, 4))(t)
	for k, y := range broad.Alone {
		if y != f.Median() {
			t.Errorf("with shoulders of %v m alone changed %v, want %v", broad.X[k], y, f.Median())
		}
	}
	for k := range c.X {
		if !(c.Low[k] < c.Mean[k] && c.Mean[k] < c.High[k]) || k > 0 && c.X[k] <= c.X[k-1] {
			t.Errorf("group %d is out of order", k)
		}
	}
}

// Along what the demand is a function of, the band has no width beyond a group's.
func TestAlongItself(t *testing.T) {
	f := function(t, study(t, hold.IronCross, hold.HandSpacing, "ansur2-women", hold.Equilibrium))
	wide := golden.Must(f.Along(traitOf(t, "foot_length"), 20_000, 4))(t)
	narrow := golden.Must(f.Along(traitOf(t, "span"), 20_000, 4))(t)
	k := len(wide.X) / 2
	if a, b := narrow.High[k]-narrow.Low[k], wide.High[k]-wide.Low[k]; !(a < b) {
		t.Errorf("band %v along span, %v along foot length; want the first narrower", a, b)
	}
	// All groups together are everybody.
	var a, b float64
	for k := range wide.Mean {
		a, b = a+wide.Mean[k], b+narrow.Mean[k]
	}
	if !(math.Abs(a-b) <= 1e-3*a) {
		t.Errorf("means over everybody %v and %v", a, b)
	}
}

func traitOf(t *testing.T, name string) body.Quantity {
	t.Helper()
	return golden.Must(body.ParseQuantity(name))(t)
}

// The error of a group's mean is that by which the mean scatters between samples, and
// everybody who can take the posture is counted.
func TestErrorsAlong(t *testing.T) {
	f := function(t, study(t, hold.FrontLever, hold.ShoulderMoment, "ansur2-men", hold.Equilibrium))
	const n, samples = 2400, 40
	var means, said [trendPoints][]float64
	below, above := 0.0, 0.0 // how far the 5 and 95 % points lie from the mean, in standard deviations
	for seed := range samples {
		c := golden.Must(f.Along(traitOf(t, "stature"), n, uint64(seed)))(t)
		if c.N != n {
			t.Fatalf("%d people stand behind the curve, want %d", c.N, n)
		}
		for k := range c.X {
			means[k], said[k] = append(means[k], c.Mean[k]), append(said[k], c.StandardError[k])
			deviation := c.StandardError[k] * math.Sqrt(n/trendPoints)
			below += (c.Mean[k] - c.Low[k]) / deviation / (samples * trendPoints)
			above += (c.High[k] - c.Mean[k]) / deviation / (samples * trendPoints)
		}
	}
	ratio := 0.0
	for k := range means {
		ratio += stat.StdDev(means[k], nil) / stat.Mean(said[k], nil) / trendPoints
	}
	// A group's own edges move with the sample, a little.
	if ratio < 0.9 || ratio > 1.15 {
		t.Errorf("means scatter by %.3f times what is said", ratio)
	}
	// As in a normal distribution, nearly: people of one stature differ by many things.
	if !(math.Abs(below-1.645) <= 0.15) || !(math.Abs(above-1.645) <= 0.15) {
		t.Errorf("the band reaches from %.3f standard deviations below the mean to %.3f above", below, above)
	}
}

// While half of the people can take the posture they are followed, and below that they
// are not.
func TestAlongWhatHalfCanDo(t *testing.T) {
	refused := 0 // how many bodies the hold is still to refuse
	h := *hold.FrontLever
	h.Solve = func(out *hold.Result, b *body.Columns, can *hold.Capacity, p hold.Posture, m hold.Model, a *assume.Set) {
		hold.FrontLever.Solve(out, b, can, p, m, a)
		for i := range min(refused, b.Rows()) {
			out.Refuse(i)
			refused--
		}
	}
	f := function(t, study(t, &h, hold.ShoulderMoment, "ansur2-men", hold.Equilibrium))
	const n = 600
	refused = n / 2
	if c, err := f.Along(traitOf(t, "foot_length"), n, 1); err != nil || c.N != n/2 {
		t.Errorf("of half of them: %+v, %v", c, err)
	}
	refused = n/2 + 1
	var impossible *ImpossibleError
	if _, err := f.Along(traitOf(t, "foot_length"), n, 1); !errors.As(err, &impossible) || impossible.Impossible != n/2+1 {
		t.Errorf("of one less: %v", err)
	}
}

// Where most cannot take the posture, it is said of how many.
func TestAlongWhatFewCanDo(t *testing.T) {
	s := fixed(study(t, hold.Planche, hold.LeanAngle, "ansur2-men", hold.Equilibrium))
	f := function(t, s)
	// From here on few lean far enough: flat hands that press towards the fingers, a
	// long trunk.
	a := &f.study.Assumptions.Centre
	a[assume.PressureReach], a[assume.ShoulderDrop], a[assume.HipDrop], a[assume.HeelShare], a[assume.GripReach] = 0.8, 0.2, 0.08, 0, 0
	const n, seed = 600, 1
	var impossible *ImpossibleError
	if c, err := f.Along(traitOf(t, "span"), n, seed); !errors.As(err, &impossible) {
		t.Fatalf("found %+v and the error %v", c, err)
	}
	// The same people, held up for themselves.
	drawn, bodies, capacity, held := anthro.NewPeople(n), body.New(n), hold.NewCapacity(n), hold.NewResult(n, hold.LeanAngle)
	stream := montecarlo.NewStream(seed, scenario.Purpose("ansur2-men"))
	stream.Reset(0)
	golden.OK(t, f.people.Selection.NewSampler().Draw(drawn, stream.Normals))
	builder := golden.Must(body.NewBuilder(f.Population(), body.Residual, body.DefaultSegments))(t)
	builder.Build(bodies, drawn, a)
	strength.OfReference(capacity, bodies, a)
	hold.Planche.Solve(held, bodies, capacity, hold.Posture{}, hold.Equilibrium, a)
	cannot := 0
	for _, possible := range held.Possible {
		if !possible {
			cannot++
		}
	}
	if cannot <= n/2 || cannot == n || impossible.Bodies != n || impossible.Impossible != cannot {
		t.Errorf("%d of %d cannot, counted %d of %d", impossible.Impossible, impossible.Bodies, cannot, n)
	}
}

// What nobody has measured leaves a range around what a step is worth, and none of it where
// everything is fixed.
func TestWorthRanges(t *testing.T) {
	s := study(t, hold.HumanFlag, hold.Difficulty, "ansur2-men", hold.Equilibrium)
	row := worthOf(t, s, 0.5, "leg_mass")
	if !(row.Low < row.Percent && row.Percent < row.High && row.High-row.Low < row.Percent) {
		t.Errorf("1 kg on the legs adds %v %%, from %v to %v", row.Percent, row.Low, row.High)
	}
	for id := range assume.Count {
		if value, pinned := s.Assumptions.Centre.Pinned(id); pinned {
			golden.OK(t, s.Assumptions.Fix(id, value))
		}
	}
	if row = worthOf(t, s, 0.5, "leg_mass"); math.Abs(row.High-row.Low) > 1e-9 || math.Abs(row.Low-row.Percent) > 0.05 {
		t.Errorf("with all fixed it adds %v %%, from %v to %v", row.Percent, row.Low, row.High)
	}
}
