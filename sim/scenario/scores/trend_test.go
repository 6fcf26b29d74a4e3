package scores

import (
	"errors"
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
	"counterpoise/sim/strength"
)

// Along arm length in a front lever: the shoulders bear more in people of longer
// arms, who are taller, and with longer arms alone less of the body's weight, to which
// the arms then add; along shoulder breadth alone not a bit more.
func TestAlongTellsPeopleFromCause(t *testing.T) {
	f := function(t, study(t, hold.FrontLever, hold.ShoulderMoment, "ansur2-men", hold.Equilibrium))
	trait, err := body.ParseQuantity("arm_length")
	if err != nil {
		t.Fatal(err)
	}
	c, err := f.Along(trait, 20_000, 4)
	if err != nil {
		t.Fatal(err)
	}
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
	broad, err := f.Along(traitOf(t, "shoulder_breadth"), 20_000, 4)
	if err != nil {
		t.Fatal(err)
	}
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
	wide, err := f.Along(traitOf(t, "foot_length"), 20_000, 4)
	if err != nil {
		t.Fatal(err)
	}
	narrow, err := f.Along(traitOf(t, "span"), 20_000, 4)
	if err != nil {
		t.Fatal(err)
	}
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
	trait, err := body.ParseQuantity(name)
	if err != nil {
		t.Fatal(err)
	}
	return trait
}

// The error of a group's mean is that by which the mean scatters between samples, and
// everybody who can take the posture is counted.
func TestErrorsAlong(t *testing.T) {
	f := function(t, study(t, hold.FrontLever, hold.ShoulderMoment, "ansur2-men", hold.Equilibrium))
	const n, samples = 2400, 40
	var means, said [trendPoints][]float64
	below, above := 0.0, 0.0 // how far the 5 and 95 % points lie from the mean, in standard deviations
	for seed := range samples {
		c, err := f.Along(traitOf(t, "stature"), n, uint64(seed))
		if err != nil {
			t.Fatal(err)
		}
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
	if err := f.people.Selection.NewSampler().Draw(drawn, stream.Normals); err != nil {
		t.Fatal(err)
	}
	builder, err := body.NewBuilder(f.Population(), body.Residual, body.DefaultSegments)
	if err != nil {
		t.Fatal(err)
	}
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
