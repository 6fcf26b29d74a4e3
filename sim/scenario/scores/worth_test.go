package scores

import (
	"math"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/strength"
)

func newStream(seed uint64) *montecarlo.Stream { return montecarlo.NewStream(seed, "test") }

// worthOf returns one row of the median body's table.
func worthOf(t *testing.T, s Study, working float64, name string) Worth {
	t.Helper()
	f := function(t, s)
	w, err := f.Worth(f.MedianPerson(), working)
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range w.Rows {
		if row.Name == name {
			return row
		}
	}
	t.Fatalf("no row %s", name)
	return Worth{}
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
	builder, err := body.NewBuilder(population, body.Residual, body.DefaultSegments)
	if err != nil {
		t.Fatal(err)
	}
	median := anthro.NewPeople(1)
	for m := range anthro.NumMeasurements {
		median.Value[m][0] = population.Marginal(m).Value(0)
	}
	first, second := body.New(1), body.New(1)
	c, r := hold.NewCapacity(1), hold.NewResult(1, hold.RequiredForce)
	builder.Build(first, median, &a)
	strength.OfReference(c, first, &a)
	force := func(change body.Change) float64 {
		if err := change.Apply(second, first, &a); err != nil {
			t.Fatal(err)
		}
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
