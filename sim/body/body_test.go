package body

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/segment"
)

// draw builds bodies of drawn people under the central assumptions.
func draw(t testing.TB, population string, masses Masses, segments string, rows int) *Columns {
	t.Helper()
	a := assume.Defaults()
	_, b := drawn(t, population, masses, segments, rows, &a)
	return b
}

// builderOf builds bodies of a population.
func builderOf(t testing.TB, population string, masses Masses, segments string) (*anthro.Population, *Builder) {
	t.Helper()
	p := golden.Must(anthro.Load(population))(t)
	builder := golden.Must(NewBuilder(p, masses, segments))(t)
	return p, builder
}

// drawn returns people and their bodies.
func drawn(t testing.TB, population string, masses Masses, segments string, rows int, a *assume.Set) (*anthro.People, *Columns) {
	t.Helper()
	p, builder := builderOf(t, population, masses, segments)
	people := anthro.NewPeople(rows)
	random := rand.New(rand.NewChaCha8([32]byte{1, 2, 3}))
	normals := func(dst []float64) {
		for i := range dst {
			dst[i] = random.NormFloat64()
		}
	}
	golden.OK(t, p.NewSampler().Draw(people, normals))
	b := New(rows)
	builder.Build(b, people, a)
	return people, b
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

// The regions that make up a body weigh what it weighs, before and after mass is put on
// some, and what was put on is found again there.
func TestWholeIsTheBody(t *testing.T) {
	b := draw(t, "ansur2-men", Residual, DefaultSegments, 50)
	changed := New(b.Rows())
	ch := Change{Mass: []AddedMass{{Region: Arms, Kilograms: 2}, {Region: Legs, Kilograms: 3}, {Region: Trunk, Kilograms: 5}, {Region: Head, Kilograms: 1}}}
	a := assume.Defaults()
	golden.OK(t, ch.Apply(changed, b, &a))
	for i := range b.Rows() {
		for _, c := range []*Columns{b, changed} {
			sum := 0.0
			for _, r := range Whole {
				sum += c.MassOf(r, i)
			}
			if !(math.Abs(sum/c.Mass[i]-1) <= 1e-12) {
				t.Fatalf("row %d: the regions weigh %.12g kg of %.12g", i, sum, c.Mass[i])
			}
		}
		added := Added(b, changed, i)
		for k, r := range Whole {
			for _, m := range ch.Mass {
				if m.Region == r && !(math.Abs(added[k]-m.Kilograms) <= 1e-10) {
					t.Fatalf("row %d: %s bears %.12g kg more, want %g", i, r, added[k], m.Kilograms)
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
	text := "| | model | published |\n|---|---|---|\n"
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
		text += fmt.Sprintf("| %s, centre of mass in standing | %.3f of stature | 0.55–0.57 (lecture notes); three men 0.554–0.566 |\n", c.population, height) +
			fmt.Sprintf("| %s, both arms overhead raise it by | %.1f %% of stature | 3.2–3.4 %% (the same three men) |\n", c.population, 100*rise)
		if !(math.Abs(height-c.height) <= 0.004) || height < 0.55 || height > 0.57 {
			t.Errorf("%s: centre of mass at %.4f of stature, want %.3f ± 0.004 and inside the published 0.55-0.57", c.population, height, c.height)
		}
		if !(math.Abs(rise-c.rise) <= 0.0015) {
			t.Errorf("%s: arms overhead raise it by %.4f of stature, want about %.3f", c.population, rise, c.rise)
		}
	}
	golden.Section(t, "sim/VALIDATION.md", "centre of mass", text)
}

// Dempster as tabulated by Winter: trunk, head and neck together 0.578 of body
// mass, centred 0.34 of shoulder-hip below the shoulders, however the parts are
// tilted apart.
func TestWinterTrunkWithHead(t *testing.T) {
	b := draw(t, "ansur2-men", Table, "dempster-winter", 50)
	for i := range b.Rows() {
		share := b.HeadShare[i] + b.TrunkShare[i]
		centre := (b.HeadShare[i]*b.HeadCentre[i] + b.TrunkShare[i]*b.TrunkCentre[i]) / share
		if !(math.Abs(share-0.578) <= 1e-12) || !(math.Abs(centre/b.Hip[i]-0.34) <= 1e-12) {
			t.Fatalf("row %d: share %.6f at %.6f of shoulder-hip, want 0.578 at 0.34", i, share, centre/b.Hip[i])
		}
		if at := b.TrunkCentre[i] / b.Hip[i]; !(math.Abs(at-0.5) <= 1e-12) {
			t.Fatalf("row %d: the trunk alone at %.6f of shoulder-hip, want 0.50", i, at)
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
		if d := mean[Residual] - mean[Table]; !(math.Abs(d) <= 0.002) {
			t.Errorf("%s: drawing residuals moves the mean trunk share by %.4f", population, d)
		}
	}
}

func TestTiltByHand(t *testing.T) {
	// A body whose arms carry twice what was predicted, against its legs: the
	// table's arm share doubles before normalising. De Leva men: arms 2·0.0494,
	// all segments 1: (2·0.0988)/(1+0.0988) = 0.17983.
	p, builder := builderOf(t, "ansur2-men", Residual, DefaultSegments)
	people := anthro.NewPeople(1)
	for m := range anthro.NumMeasurements {
		people.Value[m][0] = p.Marginal(m).Value(0.1 * float64(m%5))
	}
	people.Residual[anthro.Arms][0] = math.Log(2)
	a := assume.Defaults()
	b := New(1)
	builder.Build(b, people, &a)
	if got, want := 2*b.ArmShare(0), 2*0.0988/1.0988; !(math.Abs(got-want) <= 1e-12) {
		t.Errorf("arms carry %.6f of the mass, want %.6f", got, want)
	}
}

func TestBuildDoesNotAllocate(t *testing.T) {
	p, builder := builderOf(t, "ansur2-men", Full, DefaultSegments)
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
	p, builder := builderOf(b, "ansur2-men", Residual, DefaultSegments)
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

// The trunk's parts add up to the trunk: their masses, and where they lie about its
// centre, to within 2 cm, since the whole was printed between other landmarks. The waist
// is the omphalion, 0.283 of shoulder–hip above the hips in men, 0.365 in women, and the
// parts are those of de Leva 1996, table 4.
func TestTrunkParts(t *testing.T) {
	for _, c := range []struct {
		population                  string
		waist, xiphion              float64 // of shoulder–hip, below the shoulders
		upper, middle, lower, trunk float64 // per cent of body mass
	}{
		{"ansur2-men", 1 - 0.283, 1 - (215.5+145.7)/515.5, 15.96, 16.33, 11.17, 43.46},
		{"ansur2-women", 1 - 0.365, 1 - (205.3+181.5)/497.9, 15.45, 14.65, 12.47, 42.57},
	} {
		b := draw(t, c.population, Table, DefaultSegments, 30)
		for i := range b.Rows() {
			for what, of := range map[string][2]float64{
				"waist": {b.Waist[i] / b.Hip[i], c.waist}, "xiphion": {b.Chest[i] / b.Hip[i], c.xiphion},
				"middle trunk": {b.MiddleTrunkShare[i] / b.TrunkShare[i], c.middle / c.trunk}, "lower trunk": {b.LowerTrunkShare[i] / b.TrunkShare[i], c.lower / c.trunk},
			} {
				if !(math.Abs(of[0]-of[1]) <= 5e-4) {
					t.Fatalf("%s: %s at %.4f, want %.4f", c.population, what, of[0], of[1])
				}
			}
			upper := b.TrunkShare[i] - b.MiddleTrunkShare[i] - b.LowerTrunkShare[i]
			whole := upper*b.UpperTrunkCentre[i] + b.MiddleTrunkShare[i]*b.MiddleTrunkCentre[i] + b.LowerTrunkShare[i]*b.LowerTrunkCentre[i]
			if off := whole/b.TrunkShare[i] - b.TrunkCentre[i]; !(math.Abs(off) <= 0.02) {
				t.Fatalf("%s: row %d: the parts' centre lies %.3f m from the trunk's", c.population, i, off)
			}
			if !(b.UpperTrunkCentre[i] < b.Chest[i] && b.Chest[i] < b.MiddleTrunkCentre[i] && b.MiddleTrunkCentre[i] < b.Waist[i] && b.Waist[i] < b.LowerTrunkCentre[i] && b.LowerTrunkCentre[i] < b.Hip[i]) {
				t.Fatalf("%s: row %d: the trunk's parts do not follow each other", c.population, i)
			}
		}
	}
}

// In the full variant a person built like the table's own sample has the table's shares,
// and of any other the region's share over that of the legs goes as predicted.
func TestFullTilt(t *testing.T) {
	p := golden.Must(anthro.Load("ansur2-men"))(t)
	a := assume.Defaults()
	people := anthro.NewPeople(2)
	for m := range anthro.NumMeasurements {
		people.Value[m][0], people.Value[m][1] = p.Quantile(m, 0.5), p.Quantile(m, 0.9)
	}
	const stature, mass = 1.741, 73.0 // de Leva's men
	people.Value[anthro.Stature][0], people.Value[anthro.Mass][0] = stature, mass
	people.Value[anthro.WaistCircumference][0] = p.Regional.Waist(stature, mass)
	var bodies [2]*Columns
	for k, masses := range []Masses{Table, Full} {
		builder := golden.Must(NewBuilder(p, masses, DefaultSegments))(t)
		bodies[k] = New(2)
		builder.Build(bodies[k], people, &a)
	}
	v := &people.Value
	here := p.Regional.Predict(v[anthro.Stature][1], v[anthro.Mass][1], v[anthro.WaistCircumference][1])
	there := p.Regional.Predict(stature, mass, p.Regional.Waist(stature, mass))
	overLegs := func(b *Columns, i int) [3]float64 {
		return [3]float64{anthro.Head: b.HeadShare[i] / b.LegShare(i), anthro.Trunk: b.TrunkShare[i] / b.LegShare(i), anthro.Arms: b.ArmShare(i) / b.LegShare(i)}
	}
	for r := range here {
		if got, want := overLegs(bodies[1], 0)[r], overLegs(bodies[0], 0)[r]; !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("%s of the sample's own: %v of the legs, want the table's %v", anthro.Region(r), got, want)
		}
		if got, want := overLegs(bodies[1], 1)[r], overLegs(bodies[0], 1)[r]*math.Exp(here[r]-there[r]); !(math.Abs(got-want) <= 1e-12) || here[r] == there[r] {
			t.Errorf("%s: %v of the legs, want %v", anthro.Region(r), got, want)
		}
	}
}

// What is no positive length or mass makes no body.
func TestWhatIsNoBody(t *testing.T) {
	b := draw(t, "ansur2-men", Table, DefaultSegments, 1)
	for _, column := range []*float64{&b.Mass[0], &b.Stature[0], &b.UpperArm[0], &b.Grip[0], &b.Hip[0], &b.Foot[0], &b.HeadShare[0], &b.TrunkShare[0]} {
		kept := *column
		for _, x := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
			if *column = x; b.Check(0) == nil {
				t.Errorf("%v makes a body", x)
			}
		}
		*column = kept
	}
	b.HeadShare[0] += 0.01
	if b.Check(0) == nil {
		t.Error("shares of 1.01 make a body")
	}
}

// A hip that lies lower makes the trunk longer and the thigh shorter by as much, and
// leaves the rest.
func TestHipDrop(t *testing.T) {
	high, low := assume.Defaults(), assume.Defaults()
	low[assume.HipDrop] = high[assume.HipDrop] + 0.02
	_, a := drawn(t, "ansur2-women", Table, DefaultSegments, 20, &high)
	_, b := drawn(t, "ansur2-women", Table, DefaultSegments, 20, &low)
	for i := range a.Rows() {
		by := 0.02 * a.Stature[i]
		if !(math.Abs(b.Hip[i]-a.Hip[i]-by) <= 1e-12) || !(math.Abs(a.Thigh[i]-b.Thigh[i]-by) <= 1e-12) || a.Shank[i] != b.Shank[i] || a.Arm(i) != b.Arm(i) {
			t.Fatalf("row %d: trunk %v and %v, thigh %v and %v for a drop of %v", i, a.Hip[i], b.Hip[i], a.Thigh[i], b.Thigh[i], by)
		}
	}
}

// The first row that a table lacks is told, and no centre is taken from what is not there.
func TestMissingRows(t *testing.T) {
	leva := golden.Must(segment.Load(DefaultSegments, anthro.Male))(t)
	of := table{Table: leva}
	if of.share("thigh", "tail", "wing"); of.missing == nil || of.missing.Error() != "body: segment table deleva-1996 has no row tail" {
		t.Error(of.missing)
	}
	if of.row("thigh", "HJC", "MOON"); of.missing.Error() != "body: segment table deleva-1996 has no row tail" {
		t.Error(of.missing)
	}
	if of := (table{Table: leva}); of.row("thigh", "HJC", "MOON").MassShare != 0 || of.missing.Error() != "body: segment table deleva-1996 has no row thigh from HJC to MOON" {
		t.Error(of.missing)
	}
	if _, err := NewBuilder(&anthro.Population{}, Table, "deleva-1997"); err == nil {
		t.Error("a table of 1997")
	}
}
