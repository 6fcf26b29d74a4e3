package survey

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Shares of body mass of US adults aged 18 to 50, weighted, from the survey's own
// scans: the model drawn at the survey's own statures, masses and waists must
// give them back, to one unit of the last digit.
func TestDrawnRegionalSharesMatchTheSurvey(t *testing.T) {
	folder := rawFiles(t)
	for _, test := range []struct {
		sex          anthro.Sex
		mean, spread [anthro.NumRegions]float64
		legsTrunk    float64
	}{
		{anthro.Male, [...]float64{0.062, 0.484, 0.127, 0.328}, [...]float64{0.009, 0.025, 0.009, 0.022}, -0.87},
		{anthro.Female, [...]float64{0.063, 0.480, 0.110, 0.348}, [...]float64{0.011, 0.026, 0.009, 0.027}, -0.89},
	} {
		scans := golden.Must(ReadScans(folder, test.sex))(t)
		population := golden.Must(anthro.Load(map[anthro.Sex]string{anthro.Male: "ansur2-men", anthro.Female: "ansur2-women"}[test.sex]))(t)
		// Each scanned person's residual is drawn this often.
		const times = 200
		drawn := anthro.NewPeople(len(scans.Weight) * times)
		golden.OK(t, population.NewSampler().Draw(drawn, normals(5)))
		var shares, measured [anthro.NumRegions][]float64
		var weights []float64
		for i, w := range scans.Weight {
			predicted := population.Regional.Predict(scans.Stature[i], scans.Mass[i], scans.Waist[i])
			for k := range times {
				ratios := predicted
				for r := range ratios {
					ratios[r] += drawn.Residual[r][i*times+k]
				}
				for r, share := range anthro.Shares(ratios) {
					shares[r] = append(shares[r], share)
				}
				weights = append(weights, w)
			}
			total := 0.0
			for r := range scans.Region {
				total += scans.Region[r][i]
			}
			for r := range scans.Region {
				measured[r] = append(measured[r], scans.Region[r][i]/total)
			}
		}
		check := func(what string, shares [anthro.NumRegions][]float64, weights []float64) {
			for r := range anthro.NumRegions {
				mean, spread := stat.MeanStdDev(shares[r], weights)
				t.Logf("%s, %s: %s %.4f, standard deviation %.4f", test.sex, what, r, mean, spread)
				if math.Abs(mean-test.mean[r]) > 0.0015 || math.Abs(spread-test.spread[r]) > 0.0015 {
					t.Errorf("%s, %s: share of the %s %.4f, standard deviation %.4f; want %.3f, %.3f", test.sex, what, r, mean, spread, test.mean[r], test.spread[r])
				}
			}
			correlation := stat.Correlation(shares[anthro.Legs], shares[anthro.Trunk], weights)
			t.Logf("%s, %s: legs with trunk %.3f", test.sex, what, correlation)
			if math.Abs(correlation-test.legsTrunk) > 0.015 {
				t.Errorf("%s, %s: correlation of legs with trunk %.3f, want %.2f", test.sex, what, correlation, test.legsTrunk)
			}
		}
		check("scanned", measured, scans.Weight)
		check("drawn", shares, weights)
	}
}

// What leaving out the age does: how much the regions gain on the legs in a year, for
// stature, mass and waist, in SOURCES.md.
func TestRegionalMassesGoWithAge(t *testing.T) {
	perYear := func(least, most float64) func(*testing.T, *public) {
		return func(t *testing.T, p *public) {
			e := p.examined
			var known, ratios, weights []float64
			for i, waist := range e.Waist {
				var masses [anthro.NumRegions]float64
				for r := range masses {
					masses[r] = e.Region[r][i]
				}
				if math.IsNaN(waist) || math.IsNaN(masses[anthro.Head]) {
					continue
				}
				own := anthro.LogRatios(masses)
				known = append(known, 1, math.Log(e.Stature[i]), math.Log(e.Mass[i]), math.Log(waist), e.Age[i])
				ratios, weights = append(ratios, own[:]...), append(weights, e.Weight[i])
			}
			x, y := mat.NewDense(len(weights), 5, known), mat.NewDense(len(weights), 3, ratios)
			b, with, err := leastSquares(x, y, weights)
			if err != nil {
				t.Fatal(err)
			}
			_, without, err := leastSquares(x.Slice(0, len(weights), 0, 4), y, weights)
			if err != nil {
				t.Fatal(err)
			}
			for r, gain := range b.RawRowView(4) {
				left := func(e *mat.Dense) (squares float64) {
					for i, w := range weights {
						squares += w * e.At(i, r) * e.At(i, r)
					}
					return squares
				}
				t.Logf("%s over legs: %+.2f %% a year, which takes %.1f %% off the variance that size leaves", anthro.Region(r), 100*gain, 100*(1-left(with)/left(without)))
				if gain < least || gain > most {
					t.Errorf("%s over legs: %+.2f %% a year, known are %.1f to %.1f", anthro.Region(r), 100*gain, 100*least, 100*most)
				}
			}
		}
	}
	forBoth(t, publics, perYear(0, 0.003))
	forBoth(t, youngs, perYear(0.004, 0.03))
}

// Scan and scale weighed the same people; the scans come out a little higher, in
// this survey by 0.85 % on average over all ages with a standard deviation of
// 0.67 %.
func TestScansAddUpToTheScale(t *testing.T) {
	folder := rawFiles(t)
	for _, sex := range []anthro.Sex{anthro.Male, anthro.Female} {
		scans := golden.Must(ReadScans(folder, sex))(t)
		ratios := make([]float64, len(scans.Weight))
		for i := range ratios {
			for r := range scans.Region {
				ratios[i] += scans.Region[r][i]
			}
			ratios[i] /= scans.Mass[i]
		}
		mean, spread := stat.MeanStdDev(ratios, nil)
		if math.Abs(mean-1.0085) > 0.0067 || spread > 2*0.0067 {
			t.Errorf("%s: scans weigh %.4f times the scale, standard deviation %.4f", sex, mean, spread)
		}
	}
}

// How differently people of one build carry their mass grows with their body mass index:
// drawn as scanned, below 23 kg/m², between, and above 32.
func TestRegionalSpreadGrows(t *testing.T) {
	forBoth(t, publics, func(t *testing.T, p *public) {
		scans := p.examined.scanned()
		name := "us-" + whoAre(p.sex)
		population := golden.Must(anthro.Load(name))(t)
		drawn := draw(t, name, 100_000)
		index := make([]float64, drawn.Rows())
		anthro.BodyMassIndex.Values(index, drawn)
		for _, ends := range [][2]float64{{0, 23}, {23, 32}, {32, 100}} {
			var got, want [anthro.NumRegions - 1][]float64
			var weights []float64
			for i, bmi := range index {
				for r := range got {
					if bmi >= ends[0] && bmi < ends[1] {
						got[r] = append(got[r], drawn.Residual[r][i])
					}
				}
			}
			for i, mass := range scans.Mass {
				if bmi := mass / (scans.Stature[i] * scans.Stature[i]); bmi < ends[0] || bmi >= ends[1] {
					continue
				}
				expected := population.Regional.Predict(scans.Stature[i], mass, scans.Waist[i])
				for r := range want {
					want[r] = append(want[r], math.Log(scans.Region[r][i]/scans.Region[anthro.Legs][i])-expected[r])
				}
				weights = append(weights, scans.Weight[i])
			}
			for r := range got {
				have, should := stat.StdDev(got[r], nil), stat.StdDev(want[r], weights)
				t.Logf("body mass index %g to %g: standard deviation of ln %s/legs %.4f, scanned %.4f", ends[0], ends[1], anthro.Region(r), have, should)
				if math.Abs(have/should-1) > 0.08 {
					t.Errorf("body mass index %g to %g: standard deviation of ln %s/legs %.4f, scanned %.4f", ends[0], ends[1], anthro.Region(r), have, should)
				}
			}
		}
	})
}
