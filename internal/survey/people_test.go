package survey

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/linear"

	"gonum.org/v1/gonum/stat"
)

const drawnPeople = 400_000

// forEachSex runs a test on the surveyed and the drawn people of each sex.
func forEachSex(t *testing.T, test func(t *testing.T, surveyed, drawn *anthro.People)) {
	folder := rawFiles(t)
	for sex, name := range map[anthro.Sex]string{anthro.Male: "ansur2-men", anthro.Female: "ansur2-women"} {
		t.Run(name, func(t *testing.T) {
			soldiers := golden.Must(ReadSoldiers(folder, sex))(t)
			test(t, soldiers.People, draw(t, name, drawnPeople))
		})
	}
}

func draw(t *testing.T, name string, rows int) *anthro.People {
	t.Helper()
	population := golden.Must(anthro.Load(name))(t)
	people := anthro.NewPeople(rows)
	golden.OK(t, population.NewSampler().Draw(people, normals(17)))
	return people
}

func normals(seed byte) func([]float64) {
	random := rand.New(rand.NewChaCha8([32]byte{seed}))
	return func(dst []float64) {
		for i := range dst {
			dst[i] = random.NormFloat64()
		}
	}
}

func TestDrawnMeasurementsMatchTheSurvey(t *testing.T) {
	forEachSex(t, func(t *testing.T, surveyed, drawn *anthro.People) {
		for m := range anthro.NumMeasurements {
			near(t, m.String(), surveyed.Value[m], drawn.Value[m], 0.005, 0.005)
			// The survey read lengths to a millimetre, mass to a tenth of a kilogram.
			perUnit := map[string]float64{"m": 1000, "kg": 10}[m.Unit()]
			if d := distance(marks(surveyed.Value[m], perUnit), marks(drawn.Value[m], perUnit)); d >= 0.012 {
				t.Errorf("%s: Kolmogorov-Smirnov distance %.4f, must be below 0.012", m, d)
			} else {
				t.Logf("%s: Kolmogorov-Smirnov distance %.4f", m, d)
			}
		}
	})
}

func TestDrawnRankCorrelationsMatchTheSurvey(t *testing.T) {
	forEachSex(t, func(t *testing.T, surveyed, drawn *anthro.People) {
		var a, b [anthro.NumMeasurements][]float64
		for m := range anthro.NumMeasurements {
			a[m], b[m] = linear.Ranks(surveyed.Value[m]), linear.Ranks(drawn.Value[m])
		}
		worst, where := 0.0, ""
		for m := range anthro.NumMeasurements {
			for k := range m {
				want, got := stat.Correlation(a[m], a[k], nil), stat.Correlation(b[m], b[k], nil)
				if miss := math.Abs(got - want); miss > worst {
					worst, where = miss, m.String()+" with "+k.String()
				}
				if math.Abs(got-want) > 0.03 {
					t.Errorf("%s with %s: Spearman's correlation %.4f, surveyed %.4f", m, k, got, want)
				}
			}
		}
		t.Logf("largest difference %.4f, %s", worst, where)
	})
}

// Nothing was fitted to these: they follow only if the joint distribution is
// right.
func TestDrawnRatiosMatchTheSurvey(t *testing.T) {
	ratios := map[string]func(v [anthro.NumVariables][]float64, i int) float64{
		"span/stature": func(v [anthro.NumVariables][]float64, i int) float64 {
			return v[anthro.Span][i] / v[anthro.Stature][i]
		},
		"biacromial breadth/stature": func(v [anthro.NumVariables][]float64, i int) float64 {
			return v[anthro.BiacromialBreadth][i] / v[anthro.Stature][i]
		},
		"arm/stature": func(v [anthro.NumVariables][]float64, i int) float64 {
			return (v[anthro.UpperArmLength][i] + v[anthro.ForearmLength][i]) / v[anthro.Stature][i]
		},
	}
	forEachSex(t, func(t *testing.T, surveyed, drawn *anthro.People) {
		for name, ratio := range ratios {
			a, b := make([]float64, surveyed.Rows()), make([]float64, drawn.Rows())
			for i := range a {
				a[i] = ratio(surveyed.Value, i)
			}
			for i := range b {
				b[i] = ratio(drawn.Value, i)
			}
			near(t, name, a, b, 0.001, 0.02)
		}
	})
}

func TestDrawnLandmarkDistancesMatchTheSurvey(t *testing.T) {
	forEachSex(t, func(t *testing.T, surveyed, drawn *anthro.People) {
		for _, pair := range [][2]anthro.Measurement{
			{anthro.Stature, anthro.CervicaleHeight},
			{anthro.Stature, anthro.AcromialHeight},
			{anthro.CervicaleHeight, anthro.AcromialHeight},
			{anthro.CervicaleHeight, anthro.SuprasternaleHeight},
			{anthro.AcromialHeight, anthro.TrochanterionHeight},
			{anthro.TrochanterionHeight, anthro.TibialHeight},
			{anthro.TibialHeight, anthro.MalleolusHeight},
			{anthro.Stature, anthro.SittingHeight},
			{anthro.HandLength, anthro.PalmLength},
		} {
			difference := func(p *anthro.People) []float64 {
				d := make([]float64, p.Rows())
				for i := range d {
					d[i] = p.Value[pair[0]][i] - p.Value[pair[1]][i]
				}
				return d
			}
			near(t, pair[0].String()+" - "+pair[1].String(), difference(surveyed), difference(drawn), 0.005, 0.05)
		}
	})
}

// near compares mean and standard deviation, each to a share of the wanted one.
func near(t *testing.T, name string, want, got []float64, meanShare, spreadShare float64) {
	t.Helper()
	wantMean, wantSpread := stat.MeanStdDev(want, nil)
	gotMean, gotSpread := stat.MeanStdDev(got, nil)
	if !(math.Abs(gotMean/wantMean-1) <= meanShare) || !(math.Abs(gotSpread/wantSpread-1) <= spreadShare) {
		t.Errorf("%s: mean %.6g, standard deviation %.4g; surveyed %.6g, %.4g", name, gotMean, gotSpread, wantMean, wantSpread)
		return
	}
	t.Logf("%s: mean %+.3f %%, standard deviation %+.2f %% from the survey", name, 100*(gotMean/wantMean-1), 100*(gotSpread/wantSpread-1))
}

// marks reads values off a scale with so many marks a unit, sorted.
func marks(values []float64, perUnit float64) []float64 {
	read := make([]float64, len(values))
	for i, v := range values {
		read[i] = math.Round(v * perUnit)
	}
	sort.Float64s(read)
	return read
}

// distance is the Kolmogorov-Smirnov distance between two sorted samples, which
// may have ties.
func distance(a, b []float64) float64 {
	i, j, worst := 0, 0, 0.0
	for i < len(a) && j < len(b) {
		x := min(a[i], b[j])
		for i < len(a) && a[i] == x {
			i++
		}
		for j < len(b) && b[j] == x {
			j++
		}
		worst = max(worst, math.Abs(float64(i)/float64(len(a))-float64(j)/float64(len(b))))
	}
	return worst
}
