package anthro

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
)

func regional(t *testing.T, sex Sex) *RegionalModel {
	t.Helper()
	m := golden.Must(LoadRegional(FirstRegional, sex))(t)
	return &m
}

func TestSharesInvertLogRatios(t *testing.T) {
	for _, want := range [][NumRegions]float64{
		{0.062, 0.484, 0.127, 0.327},
		{0.3, 1e-9, 0.2, 0.5 - 1e-9},
		{1e-12, 0.4, 0.35, 0.25 - 1e-12},
	} {
		got := Shares(LogRatios(want))
		for r := range want {
			if !(math.Abs(got[r]-want[r]) <= 1e-14) {
				t.Errorf("%s of %v comes back as %v", Region(r), want, got[r])
			}
		}
		// Masses in any unit do as well as shares.
		grams := want
		for r := range grams {
			grams[r] *= 71300
		}
		for r, ratio := range LogRatios(grams) {
			if !(math.Abs(ratio-LogRatios(want)[r]) <= 1e-12) {
				t.Errorf("log-ratio of %s changes with the unit", Region(r))
			}
		}
	}
}

func TestSharesOfExtremes(t *testing.T) {
	for _, ratios := range [][NumRegions - 1]float64{{800, 2, 3}, {-800, -900, -700}, {750, 760, -770}} {
		sum := 0.0
		for _, share := range Shares(ratios) {
			if math.IsNaN(share) || share < 0 || share > 1 {
				t.Errorf("log-ratios %v give a share of %v", ratios, share)
			}
			sum += share
		}
		if !(math.Abs(sum-1) <= 1e-15) {
			t.Errorf("log-ratios %v give shares that add up to %v", ratios, sum)
		}
	}
	for _, share := range Shares([NumRegions - 1]float64{0.3, math.NaN(), -0.2}) {
		if !math.IsNaN(share) {
			t.Errorf("a log-ratio of NaN gives a share of %v", share)
		}
	}
}

func TestPredict(t *testing.T) {
	model := RegionalModel{
		Coefficients:      [3][4]float64{{2.3, 0.1, -0.9, 0.4}, {3.3, 0.2, -0.7, 1.2}, {-0.5, -0.4, -0.03, 0.09}},
		WaistCoefficients: [3]float64{-2.8, -0.9, 0.73},
	}
	// By hand: with ln stature 0.5, ln mass 4.25, ln waist -0.25.
	want := [3]float64{2.3 + 0.05 - 3.825 - 0.1, 3.3 + 0.1 - 2.975 - 0.3, -0.5 - 0.2 - 0.1275 - 0.0225}
	for r, got := range model.Predict(math.Exp(0.5), math.Exp(4.25), math.Exp(-0.25)) {
		if !(math.Abs(got-want[r]) <= 1e-14) {
			t.Errorf("%s: %v, want %v", Region(r), got, want[r])
		}
	}
	if got, want := model.Waist(math.Exp(0.5), math.Exp(4.25)), math.Exp(-2.8-0.45+3.1025); !(math.Abs(got-want) <= 1e-14) {
		t.Errorf("waist %v, want %v", got, want)
	}
	for _, bad := range [][3]float64{{math.NaN(), 70, 0.8}, {-1.7, 70, 0.8}, {1.7, math.NaN(), 0.8}, {1.7, 70, -0.8}} {
		if got := model.Predict(bad[0], bad[1], bad[2]); !math.IsNaN(got[Trunk]) {
			t.Errorf("prediction for %v is %v", bad, got)
		}
	}
}

// Tilting a table by share over predicted share is the same as tilting it by the
// exponential of the residual, once its shares are made to sum to one again.
func TestTiltIsTheExponentialOfTheResidual(t *testing.T) {
	table := [NumRegions]float64{0.0694, 0.4346, 0.0988, 0.3972} // de Leva 1996, men, by region
	for _, sex := range []Sex{Male, Female} {
		model := regional(t, sex)
		predicted := model.Predict(1.71, 68.3, 0.79)
		residual := [NumRegions - 1]float64{0.12, -0.07, 0.15}
		actual := predicted
		for r := range actual {
			actual[r] += residual[r]
		}
		var byShares, byResidual [NumRegions]float64
		var sumShares, sumResidual float64
		for r := range table {
			byShares[r] = table[r] * Shares(actual)[r] / Shares(predicted)[r]
			byResidual[r] = table[r]
			if r < len(residual) {
				byResidual[r] *= math.Exp(residual[r])
			}
			sumShares += byShares[r]
			sumResidual += byResidual[r]
		}
		for r := range table {
			if a, b := byShares[r]/sumShares, byResidual[r]/sumResidual; !(math.Abs(a-b) <= 1e-15) {
				t.Errorf("%s, %s: %v by shares, %v by residuals", sex, Region(r), a, b)
			}
		}
	}
}

// The model speaks of the people it was fitted to: average adults have about the
// average shares of the survey, and the predicted waist lies among the Army's.
func TestRegionalModelAtOrdinaryPeople(t *testing.T) {
	for _, test := range []struct {
		sex           Sex
		stature, mass float64
		shares        [NumRegions]float64
		spread        [NumRegions]float64
	}{
		// NHANES 2003-2004, ages 18 to 50, weighted: means and standard deviations.
		{Male, 1.76, 84, [NumRegions]float64{0.062, 0.484, 0.127, 0.328}, [NumRegions]float64{0.009, 0.025, 0.009, 0.022}},
		{Female, 1.63, 72, [NumRegions]float64{0.063, 0.480, 0.110, 0.348}, [NumRegions]float64{0.011, 0.026, 0.009, 0.027}},
	} {
		model := regional(t, test.sex)
		waist := model.Waist(test.stature, test.mass)
		for r, got := range Shares(model.Predict(test.stature, test.mass, waist)) {
			if !(math.Abs(got-test.shares[r]) <= test.spread[r]/2) {
				t.Errorf("%s: share of %s %.4f, survey's mean %.3f", test.sex, Region(r), got, test.shares[r])
			}
		}
		name := map[Sex]string{Male: "ansur2-men", Female: "ansur2-women"}[test.sex]
		if score := population(t, name).Marginal(WaistCircumference).Score(waist); !(math.Abs(score) <= 1) {
			t.Errorf("%s: predicted waist %.3f m has score %.2f among soldiers", test.sex, waist, score)
		}
	}
}

// The table of the residuals' spread is what it is a table of, and goes no further than
// the body mass indices that were seen.
func TestWiden(t *testing.T) {
	p := population(t, "us-women")
	for _, bmi := range []float64{12, 18, 18.03, 21.7, 25, 33.33, 44.99, 45, 80} {
		const stature = 1.63
		residuals := [NumRegions - 1][]float64{{1}, {1}, {1}}
		p.Regional.Widen(residuals, []float64{stature}, []float64{bmi * stature * stature})
		for i := range residuals {
			want := math.Pow(min(max(bmi, 18), 45)/25, p.Regional.Spread[i])
			if got := residuals[i][0]; !(math.Abs(got/want-1) <= 1e-5) {
				t.Errorf("at %g kg/m² the residual of %s is %.6f times as wide, want %.6f", bmi, Region(i), got, want)
			}
		}
	}
}
