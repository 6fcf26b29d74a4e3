package anthro

import (
	"math"
	"strings"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/golden"
	"counterpoise/sim/montecarlo"

	"gonum.org/v1/gonum/stat"
)

// drawnOf draws people of an embedded population.
func drawnOf(t *testing.T, p *Population, rows int) *People {
	t.Helper()
	people := NewPeople(rows)
	golden.OK(t, p.NewSampler().Draw(people, montecarlo.NewStream(5, "athletes").Normals))
	return people
}

// Athletes have the sizes of the samples put together, within the noise of drawing and of
// the people on whom weights were found; and they are of the ages.
func TestAthletesHaveTheirSizes(t *testing.T) {
	const rows = 1 << 16
	for _, name := range []string{"gymnasts-men", "climbers-men"} {
		p := golden.Must(Load(name))(t)
		if p.Name != name || p.Athletes() == nil || p.Survey().Name != "us-men" || p.Resampled() || p.Note() == "" {
			t.Errorf("%s: %+v", name, p)
		}
		people := drawnOf(t, p, rows)
		for _, of := range [...]struct {
			m    Measurement
			size int
		}{{Stature, 0}, {Mass, 1}} {
			var values []float64 // as many people as were measured, two each side of their mean
			for _, s := range p.Athletes().Samples {
				size := s.Sizes[of.size]
				for range size.N {
					values = append(values, size.Mean-size.SD, size.Mean+size.SD)
				}
			}
			mean, sd := stat.PopMeanStdDev(values, nil)
			isMean, isSD := stat.MeanStdDev(people.Value[of.m], nil)
			error := sd * math.Sqrt(1.0/rows+1.0/poolRows)
			if !(math.Abs(isMean-mean) <= 4*error) || !(math.Abs(isSD-sd) <= 4*error) {
				t.Errorf("%s: %s %g ± %g, want %g ± %g", name, of.m, isMean, isSD, mean, sd)
			}
		}
		for _, age := range people.Value[Age] {
			if age < p.Athletes().Ages[0] || age > p.Athletes().Ages[1] {
				t.Fatalf("%s: somebody is %g years old", name, age)
			}
		}
	}
}

// Two samples put together: worked by hand.
func TestSamplesPutTogether(t *testing.T) {
	sample := func(n int, mean, sd float64) datasets.AthleteSample {
		return datasets.AthleteSample{Sizes: []datasets.AthleteSize{{Of: "mass", Unit: "kg", N: n, Mean: mean, SD: sd}}}
	}
	got := golden.Must(targetsOf([]datasets.AthleteSample{sample(30, 60, 3), sample(10, 68, 3)}))(t)
	// 62 kg; a variance of 9 within and of (30·2² + 10·6²)/40 = 12 between.
	if len(got) != 2 || got[0] != (Target{Of: Of(Mass), Value: 62}) || got[1].Kind != DeviationOf || math.Abs(got[1].Value-math.Sqrt(21)) > 1e-12 {
		t.Errorf("%v", got)
	}
	other := sample(10, 1.7, 0.1)
	other.Sizes[0].Of = "stature"
	if _, err := targetsOf([]datasets.AthleteSample{sample(30, 60, 3), other}); err == nil {
		t.Error("samples of other sizes were put together")
	}
	other.Sizes[0].Unit = "cm"
	if _, err := targetsOf([]datasets.AthleteSample{other}); err == nil {
		t.Error("centimetres were taken for metres")
	}
}

// Refits carry which samples were published and how few people they are of: of one
// sample, its means vary by its standard deviation over the root of its people.
func TestRefitsOfAthletes(t *testing.T) {
	p := golden.Must(Load("climbers-men"))(t)
	var means []float64
	size := p.Athletes().Samples[0].Sizes[0]
	for k := range p.Refits() {
		again := golden.Must(p.Refit(k))(t)
		if twice, err := p.Refit(k); err != nil || twice != again {
			t.Fatal("a refit was made twice")
		}
		if again.Name != p.Name || again.Athletes() != p.Athletes() {
			t.Errorf("refit %d: %+v", k, again)
		}
		means = append(means, again.Reweighted.Targets[0].Value)
		if got := again.Reweighted.Targets[2].Value; math.Abs(got-size.SD) > 1e-9 {
			t.Errorf("refit %d: a standard deviation of %g, want %g", k, got, size.SD)
		}
	}
	// 64 of them tell a standard deviation within a fifth of it, twice its standard error.
	n := float64(size.N)
	if got, want := stat.StdDev(means, nil), size.SD/math.Sqrt(n); math.Abs(got/want-1) > 0.2 {
		t.Errorf("means vary by %g, want %g", got, want)
	}
	gymnasts := golden.Must(Load("gymnasts-men"))(t)
	for k := range gymnasts.Refits() {
		if _, err := gymnasts.Refit(k); err != nil {
			t.Error(err)
		}
	}
}

// Who was looked for and not found says what is missing, wherever it is asked for.
func TestMissingAthletes(t *testing.T) {
	for _, name := range []string{"gymnasts-women", "climbers-women"} {
		_, err := Load(name)
		if err == nil || !strings.Contains(err.Error(), Missing(name)) || !strings.Contains(Missing(name), "take us-women") {
			t.Errorf("%s: %v", name, err)
		}
		if strings.Contains(strings.Join(Names(), " "), name) {
			t.Errorf("%s is listed", name)
		}
	}
	if Missing("us-men") != "" || Missing("gymnasts-men") != "" || Missing("nobody") != "" {
		t.Error("somebody is missing who is there")
	}
	if _, err := Load("gymnast-men"); err == nil || !strings.Contains(err.Error(), "gymnasts-men") {
		t.Errorf("%v", err)
	}
	athletes := golden.Must(Load("gymnasts-men"))(t)
	if _, err := (Selection{Population: athletes}).Reweight([]Target{{Of: Of(Mass), Value: 60}}); err == nil {
		t.Error("athletes were reweighted")
	}
}
