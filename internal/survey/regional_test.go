package survey

import (
	"math"
	"testing"

	"counterpoise/sim/anthro"

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
		scans, err := ReadScans(folder, test.sex)
		if err != nil {
			t.Fatal(err)
		}
		population, err := anthro.Load(map[anthro.Sex]string{anthro.Male: "ansur2-men", anthro.Female: "ansur2-women"}[test.sex])
		if err != nil {
			t.Fatal(err)
		}
		// Each scanned person's residual is drawn this often.
		const times = 200
		drawn := anthro.NewPeople(len(scans.Weight) * times)
		if err := population.NewSampler().Draw(drawn, normals(5)); err != nil {
			t.Fatal(err)
		}
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

// Scan and scale weighed the same people; the scans come out a little higher, in
// this survey by 0.85 % on average over all ages with a standard deviation of
// 0.67 %.
func TestScansAddUpToTheScale(t *testing.T) {
	folder := rawFiles(t)
	for _, sex := range []anthro.Sex{anthro.Male, anthro.Female} {
		scans, err := ReadScans(folder, sex)
		if err != nil {
			t.Fatal(err)
		}
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
