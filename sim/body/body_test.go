package body

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
)

// draw builds bodies of drawn people.
func draw(t testing.TB, population string, masses Masses, segments string, rows int) *Columns {
	t.Helper()
	p, err := anthro.Load(population)
	if err != nil {
		t.Fatal(err)
	}
	builder, err := NewBuilder(p, masses, segments)
	if err != nil {
		t.Fatal(err)
	}
	people := anthro.NewPeople(rows)
	random := rand.New(rand.NewChaCha8([32]byte{1, 2, 3}))
	normals := func(dst []float64) {
		for i := range dst {
			dst[i] = random.NormFloat64()
		}
	}
	if err := p.NewSampler().Draw(people, normals); err != nil {
		t.Fatal(err)
	}
	a := assume.Defaults()
	b := New(rows)
	builder.Build(b, people, &a)
	return b
}

var populations = []string{"ansur2-men", "ansur2-women"}

func TestEveryBodyIsABody(t *testing.T) {
	for _, population := range populations {
		for m := range NumMasses {
			for _, table := range []string{"deleva-1996", "dempster-winter", "dumas-2007"} {
				b := draw(t, population, m, table, 2000)
				for i := range b.Rows() {
					if err := b.Check(i); err != nil {
						t.Fatalf("%s, %s, %s: row %d: %v", population, m, table, i, err)
					}
				}
			}
		}
	}
}

// standing returns the height of the centre of mass over stature, arms hanging
// or overhead, feet flat with their centre at half the ankle's height.
func standing(b *Columns, i int, overhead bool) float64 {
	hip := b.Ankle[i] + b.Shank[i] + b.Thigh[i]
	shoulder := hip + b.Hip[i]
	arm := b.UpperArmShare[i]*b.UpperArmCentre[i] + b.ForearmShare[i]*(b.UpperArm[i]+b.ForearmCentre[i]) +
		b.HandShare[i]*(b.UpperArm[i]+b.Forearm[i]+b.HandCentre[i])
	arms := 2 * (b.ArmShare(i)*shoulder - arm)
	if overhead {
		arms = 2 * (b.ArmShare(i)*(shoulder+b.Rise[i]) + arm)
	}
	return (arms + b.HeadShare[i]*(shoulder-b.HeadCentre[i]) + b.TrunkShare[i]*(shoulder-b.TrunkCentre[i]) +
		2*(b.ThighShare[i]*(hip-b.ThighCentre[i])+b.ShankShare[i]*(hip-b.Thigh[i]-b.ShankCentre[i])+b.FootShare[i]*b.Ankle[i]/2)) / b.Stature[i]
}

// Published: 0.55-0.57 of stature in standing (lecture notes and popular texts;
// three men on a compound pendulum gave 0.554-0.566), a rise of 3.2-3.4 % when
// both arms go overhead (the same three men, textbook table A.2.1). Two misses
// are reported here, not hidden: textbooks say that women's centre lies lower
// than men's, and here it does not; and the men's rise comes out about 0.3 %
// of stature above what was measured.
func TestWholeBodyCentreOfMass(t *testing.T) {
	for _, c := range []struct {
		population   string
		height, rise float64
	}{{"ansur2-men", 0.552, 0.037}, {"ansur2-women", 0.557, 0.033}} {
		b := draw(t, c.population, Table, DefaultSegments, 20000)
		var height, rise float64
		for i := range b.Rows() {
			h := standing(b, i, false)
			height += h / float64(b.Rows())
			rise += (standing(b, i, true) - h) / float64(b.Rows())
		}
		t.Logf("%s: centre of mass at %.4f of stature, arms overhead %.2f %% higher (measured 3.2-3.4 %%)", c.population, height, 100*rise)
		if math.Abs(height-c.height) > 0.004 || height < 0.55 || height > 0.57 {
			t.Errorf("%s: centre of mass at %.4f of stature, want %.3f ± 0.004 and inside the published 0.55-0.57", c.population, height, c.height)
		}
		if math.Abs(rise-c.rise) > 0.0015 {
			t.Errorf("%s: arms overhead raise it by %.4f of stature, want about %.3f", c.population, rise, c.rise)
		}
	}
}

// Dempster as tabulated by Winter: trunk, head and neck together 0.578 of body
// mass, centred 0.34 of shoulder-hip below the shoulders, however the parts are
// tilted apart.
func TestWinterTrunkWithHead(t *testing.T) {
	b := draw(t, "ansur2-men", Table, "dempster-winter", 50)
	for i := range b.Rows() {
		share := b.HeadShare[i] + b.TrunkShare[i]
		centre := (b.HeadShare[i]*b.HeadCentre[i] + b.TrunkShare[i]*b.TrunkCentre[i]) / share
		if math.Abs(share-0.578) > 1e-12 || math.Abs(centre/b.Hip[i]-0.34) > 1e-12 {
			t.Fatalf("row %d: share %.6f at %.6f of shoulder-hip, want 0.578 at 0.34", i, share, centre/b.Hip[i])
		}
	}
}

// In the residual variant the mean tilt is about none, so the mean shares are
// the table's.
func TestResidualsKeepTheMeanShares(t *testing.T) {
	for _, population := range populations {
		mean := map[Masses]float64{}
		for _, m := range []Masses{Table, Residual} {
			b := draw(t, population, m, DefaultSegments, 20000)
			for i := range b.Rows() {
				mean[m] += b.TrunkShare[i] / float64(b.Rows())
			}
		}
		if d := mean[Residual] - mean[Table]; math.Abs(d) > 0.002 {
			t.Errorf("%s: drawing residuals moves the mean trunk share by %.4f", population, d)
		}
	}
}

func TestTiltByHand(t *testing.T) {
	// A body whose arms carry twice what was predicted, against its legs: the
	// table's arm share doubles before normalising. De Leva men: arms 2·0.0494,
	// all segments 1: (2·0.0988)/(1+0.0988) = 0.17983.
	p, err := anthro.Load("ansur2-men")
	if err != nil {
		t.Fatal(err)
	}
	builder, err := NewBuilder(p, Residual, DefaultSegments)
	if err != nil {
		t.Fatal(err)
	}
	people := anthro.NewPeople(1)
	for m := range anthro.NumMeasurements {
		people.Value[m][0] = p.Marginal(m).Value(0.1 * float64(m%5))
	}
	people.Residual[anthro.Arms][0] = math.Log(2)
	a := assume.Defaults()
	b := New(1)
	builder.Build(b, people, &a)
	if got, want := 2*b.ArmShare(0), 2*0.0988/1.0988; math.Abs(got-want) > 1e-12 {
		t.Errorf("arms carry %.6f of the mass, want %.6f", got, want)
	}
}

func TestChanges(t *testing.T) {
	a := assume.Defaults()
	a[assume.UpperBodySplit] = 0.27
	first := draw(t, "ansur2-women", Residual, DefaultSegments, 40)
	second := New(40)
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-12*math.Max(1, math.Abs(want)) {
			t.Errorf("%s: %.15g, want %.15g", what, got, want)
		}
	}
	apply := func(ch Change) {
		t.Helper()
		if err := ch.Apply(second, first, &a); err != nil {
			t.Fatal(err)
		}
		for i := range second.Rows() {
			if err := second.Check(i); err != nil {
				t.Fatal(err)
			}
		}
	}
	const i = 7
	apply(Change{ArmLength: Amount{Metres: 0.07}})
	near("arm", second.Arm(i), first.Arm(i)+0.07)
	near("grip stays", second.Grip[i], first.Grip[i])
	near("upper arm to forearm stays", second.UpperArm[i]/second.Forearm[i], first.UpperArm[i]/first.Forearm[i])
	near("stature stays", second.Stature[i], first.Stature[i])

	apply(Change{ArmLength: Amount{Share: 0.03}})
	near("arm by a share", second.Arm(i), 1.03*first.Arm(i))

	apply(Change{LegLength: Amount{Metres: -0.04}})
	near("leg", second.Thigh[i]+second.Shank[i], first.Thigh[i]+first.Shank[i]-0.04)
	near("stature follows the legs", second.Stature[i], first.Stature[i]-0.04)
	near("rise stays", second.Rise[i], first.Rise[i])
	near("trunk stays", second.Hip[i], first.Hip[i])

	apply(Change{ShoulderBreadth: Amount{Metres: 0.03}})
	near("shoulders", second.ShoulderSpan[i], first.ShoulderSpan[i]+0.03*a[assume.ShoulderSpan])

	apply(Change{Size: 1.1})
	near("mass by the cube", second.Mass[i], 1.331*first.Mass[i])
	for k, column := range second.lengths() {
		near("length", (*column)[i], 1.1*(*first.lengths()[k])[i])
	}

	// Added mass keeps momentum: the first moment of the whole body about the
	// shoulder line grows by the mass times where it was put.
	whole := func(b *Columns) (mass, moment float64) {
		mass = b.Mass[i]
		moment = b.Mass[i] * (b.HeadShare[i]*b.HeadCentre[i] + b.TrunkShare[i]*b.TrunkCentre[i] +
			2*b.LegShare(i)*b.Hip[i] + 2*b.ThighShare[i]*b.ThighCentre[i] + 2*b.ShankShare[i]*(b.Thigh[i]+b.ShankCentre[i]) +
			2*b.FootShare[i]*(b.Thigh[i]+b.Shank[i]+b.FootCentre[i]) - 2*b.ArmMoment(i))
		return
	}
	m0, moment0 := whole(first)
	armCentre := -first.ArmMoment(i) / first.ArmShare(i)
	legCentre := first.Hip[i] + (first.ThighShare[i]*first.ThighCentre[i]+first.ShankShare[i]*(first.Thigh[i]+first.ShankCentre[i])+
		first.FootShare[i]*(first.Thigh[i]+first.Shank[i]+first.FootCentre[i]))/first.LegShare(i)
	for _, c := range []struct {
		region Region
		at     float64
	}{
		{Arms, armCentre}, {Trunk, first.TrunkCentre[i]}, {UpperTrunk, first.UpperTrunkCentre[i]}, {Head, first.HeadCentre[i]},
		{Legs, legCentre}, {UpperBody, 0.27*armCentre + 0.73*first.UpperTrunkCentre[i]},
	} {
		apply(Change{Mass: []AddedMass{{Region: c.region, Kilograms: 3.7}}})
		m1, moment1 := whole(second)
		near(c.region.String()+" mass", m1, m0+3.7)
		near(c.region.String()+" moment", moment1, moment0+3.7*c.at)
	}
}

// A change leaves the first body alone, even where the two share columns.
func TestChangesLeaveTheFirstBodyAlone(t *testing.T) {
	a := assume.Defaults()
	first := draw(t, "ansur2-men", Residual, DefaultSegments, 5)
	again := draw(t, "ansur2-men", Residual, DefaultSegments, 5)
	second := New(5)
	for _, ch := range []Change{
		{}, {Size: 1.2}, {ArmLength: Amount{Metres: 0.1}}, {LegLength: Amount{Metres: 0.1}}, {ShoulderBreadth: Amount{Share: 0.1}},
		{Mass: []AddedMass{{Region: UpperBody, Kilograms: 4}, {Region: Legs, Kilograms: -1}, {Region: Trunk, Kilograms: 2}, {Region: Head, Kilograms: 1}}},
	} {
		if err := ch.Apply(second, first, &a); err != nil {
			t.Fatal(err)
		}
		want := again.all()
		for k, column := range first.all() {
			for i, v := range *column {
				if v != (*want[k])[i] {
					t.Fatalf("%+v changed column %d of the first body", ch, k)
				}
			}
		}
	}
}

func TestChangesThatLeaveNoBody(t *testing.T) {
	a := assume.Defaults()
	first, second := draw(t, "ansur2-men", Table, DefaultSegments, 3), New(3)
	for _, c := range []struct {
		change Change
		want   string
	}{
		{Change{ArmLength: Amount{Metres: -1.2}}, "cannot be shortened"},
		{Change{LegLength: Amount{Share: -1.1}}, "cannot be shortened"},
		{Change{ShoulderBreadth: Amount{Metres: -0.9}}, "cannot be narrowed"},
		{Change{Mass: []AddedMass{{Region: Head, Kilograms: -30}}}, "the head cannot lose 30.0 kg"},
		{Change{Mass: []AddedMass{{Region: Legs, Kilograms: -500}}}, "cannot lose 500.0 kg"},
	} {
		err := c.change.Apply(second, first, &a)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v: error %v, want one with %q", c.change, err, c.want)
		}
	}
}

func TestBuildDoesNotAllocate(t *testing.T) {
	p, err := anthro.Load("ansur2-men")
	if err != nil {
		t.Fatal(err)
	}
	builder, err := NewBuilder(p, Full, DefaultSegments)
	if err != nil {
		t.Fatal(err)
	}
	people := anthro.NewPeople(64)
	for m := range anthro.NumMeasurements {
		for i := range people.Value[m] {
			people.Value[m][i] = p.Marginal(m).Value(0.01 * float64(i))
		}
	}
	a := assume.Defaults()
	b := New(64)
	if n := testing.AllocsPerRun(10, func() { builder.Build(b, people, &a) }); n != 0 {
		t.Errorf("Build allocates %g times a block", n)
	}
}

func BenchmarkBuild(b *testing.B) {
	p, err := anthro.Load("ansur2-men")
	if err != nil {
		b.Fatal(err)
	}
	builder, err := NewBuilder(p, Residual, DefaultSegments)
	if err != nil {
		b.Fatal(err)
	}
	people := anthro.NewPeople(4096)
	for m := range anthro.NumMeasurements {
		for i := range people.Value[m] {
			people.Value[m][i] = p.Marginal(m).Value(float64(i%7)/3 - 1)
		}
	}
	a := assume.Defaults()
	bodies := New(4096)
	b.ReportAllocs()
	for b.Loop() {
		builder.Build(bodies, people, &a)
	}
	b.ReportMetric(4096*float64(b.N)/b.Elapsed().Seconds(), "bodies/s")
}
