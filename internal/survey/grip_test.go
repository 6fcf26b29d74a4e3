package survey

import (
	"math"
	"math/rand/v2"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/mat"
)

// everybody keeps all whom the survey could test on both hands, as the reference
// values do.
var everybody = GripRules{Seated: true, Operated: true, HalfEffort: true, Pregnant: true}

func readGrips(t *testing.T, sex anthro.Sex, rules GripRules) *Grips {
	t.Helper()
	return golden.Must(ReadGrips(rawFiles(t), sex, rules))(t)
}

// Means of the best hand by age, kg, weighted, as computed before from the same
// files (reference values of the project, to their printed digit; who was left
// out there is not known, which may move the last digit by one).
func TestBestGripByAge(t *testing.T) {
	for sex, want := range map[anthro.Sex][6]float64{
		anthro.Male: {48.3, 51.5, 49.4, 46.1, 43.3, 38.4}, anthro.Female: {30.9, 32.5, 31.6, 29.4, 27.1, 24.2},
	} {
		g := readGrips(t, sex, everybody)
		for k, ages := range [][2]float64{{18, 24}, {30, 34}, {40, 49}, {50, 59}, {60, 69}, {70, 79}} {
			sum, total := 0.0, 0.0
			for _, i := range g.within(ages[0], ages[1]) {
				sum += g.Weight[i] * g.Best[i] / kilogramForce
				total += g.Weight[i]
			}
			if got := sum / total; math.Abs(got-want[k]) > 0.15 {
				t.Errorf("%s of %g to %g: %.2f kg, reference %.1f", sex, ages[0], ages[1], got, want[k])
			}
		}
	}
}

// The exponents of ages 18 to 50 against reference values from the same survey
// and ages, within a standard error: men mass^0.190, stature^1.39, SD 0.159, arm
// lean mass alone 0.557 ± 0.018; women 0.177, 1.28, 0.151, 0.453 ± 0.016.
func TestStrengthExponents(t *testing.T) {
	for sex, want := range map[anthro.Sex]struct{ mass, stature, spread, lean, leanError float64 }{
		anthro.Male: {0.190, 1.39, 0.159, 0.557, 0.018}, anthro.Female: {0.177, 1.28, 0.151, 0.453, 0.016},
	} {
		g := readGrips(t, sex, everybody)
		size := golden.Must(fitSize(g, 18, 50))(t)
		lean, _, err := fitArmLean(g, 18, 50)
		if err != nil {
			t.Fatal(err)
		}
		if size.freedom != 32 {
			t.Errorf("%s: %d degrees of freedom of the design", sex, size.freedom)
		}
		for what, c := range map[string][3]float64{
			"mass":          {size.coefficients[0], want.mass, size.error(0)},
			"stature":       {size.coefficients[1], want.stature, size.error(1)},
			"residual SD":   {size.spread, want.spread, 0.0015},
			"arm lean mass": {lean.coefficients[0], want.lean, lean.error(0)},
			"its error":     {lean.error(0), want.leanError, 0.002},
		} {
			t.Logf("%s, %s: %.4f, reference %.3f (%.4f)", sex, what, c[0], c[1], c[2])
			if math.Abs(c[0]-c[1]) > c[2] {
				t.Errorf("%s, %s: %.4f, reference %.3f, off by more than %.4f", sex, what, c[0], c[1], c[2])
			}
		}
	}
}

// Who is left out hardly matters: keeping any one kind of them moves no exponent
// by more than a standard error of the fit, keeping all of them none by more than
// 1.5 (women's mass exponent, from 0.177 to 0.160).
func TestGripRulesHardlyMatter(t *testing.T) {
	for _, sex := range []anthro.Sex{anthro.Male, anthro.Female} {
		fit := golden.Must(fitSize(readGrips(t, sex, TheGripRules), strengthFirst, strengthLast))(t)
		for name, rules := range map[string]GripRules{
			"seated": {Seated: true}, "operated": {Operated: true}, "one hand": {OneHand: true},
			"questionable effort": {HalfEffort: true}, "pregnant": {Pregnant: true}, "all": {true, true, true, true, true},
		} {
			other := golden.Must(fitSize(readGrips(t, sex, rules), strengthFirst, strengthLast))(t)
			more := len(other.residuals) - len(fit.residuals)
			t.Logf("%s, keeping %s (%d more): mass %.3f, stature %.3f, SD %.4f", sex, name, more, other.coefficients[0], other.coefficients[1], other.spread)
			for k := range 2 {
				allowed := fit.error(k)
				if name == "all" {
					allowed *= 1.5
				}
				if d := math.Abs(other.coefficients[k] - fit.coefficients[k]); d > allowed {
					t.Errorf("%s, keeping %s: exponent %d moves by %.3f, standard error %.3f", sex, name, k, d, fit.error(k))
				}
			}
			if more < 0 || more == 0 && (sex != anthro.Male || name != "pregnant") {
				t.Errorf("%s, keeping %s: %d more people", sex, name, more)
			}
		}
	}
}

// People of one sex, size, age and waist differ in grip by how they carry their mass, as
// much as made us model it: the regional masses explain 8.1 % of that variance in men, 5.7 %
// in women, the arms over the legs alone 4.2 and 3.6 %. Whose waist is wider for their
// size has less grip, men by much more (9.7 % of the variance; women 1.6 %); that is left
// in the spread between people, since soldiers' and the public's waists were not read in
// one place. Our own figures: nobody was found to have published them.
func TestGripFollowsRegionalMasses(t *testing.T) {
	for sex, want := range map[anthro.Sex]float64{anthro.Male: 0.081, anthro.Female: 0.057} {
		fit := golden.Must(fitBuild(readGrips(t, sex, TheGripRules), strengthFirst, strengthLast))(t)
		of := fit.without.spread * fit.without.spread
		if got := fit.explained() / of; math.Abs(got-want) > 0.0015 {
			t.Errorf("%s: regional masses explain %.4f of the variance, known is %.3f", sex, got, want)
		}
		if arms := fit.with.coefficients[anthro.Arms]; !(arms > 5*fit.with.error(int(anthro.Arms))) {
			t.Errorf("%s: 1 %% more of arms go with %.3f %% more grip, give or take %.3f", sex, arms, fit.with.error(int(anthro.Arms)))
		}
	}
}

// Youths go by the adults' exponents of size and an age curve through their own years. Their
// own exponents would leave a little less: the law's residuals of 12 to 17 years have a
// standard deviation of 0.173 in boys and 0.157 in girls, where adults' have 0.158 and
// 0.149.
func TestYouthsByTheAdultsLaw(t *testing.T) {
	for sex, want := range map[anthro.Sex]float64{anthro.Male: 0.173, anthro.Female: 0.157} {
		g := readGrips(t, sex, TheGripRules)
		size := golden.Must(fitSize(g, strengthFirst, strengthLast))(t)
		atOneSize := func(i int) float64 {
			return g.logBest(i) - size.coefficients[0]*math.Log(g.Mass[i]) - size.coefficients[1]*math.Log(g.Stature[i])
		}
		curve := golden.Must(g.ageCurve(atOneSize))(t)
		var squares, all float64
		for age := 12.0; age <= 17; age++ {
			var mean, total float64
			for _, i := range g.within(age, age) {
				e := atOneSize(i) - curve(age)
				mean += g.Weight[i] * e
				squares += g.Weight[i] * e * e
				total += g.Weight[i]
			}
			all += total
			if mean /= total; !(math.Abs(mean) <= 0.025) { // two standard errors of some 150 people
				t.Errorf("%s of %g: off by %.3f", sex, age, mean)
			}
		}
		if got := math.Sqrt(squares / all); math.Abs(got-want) > 0.003 {
			t.Errorf("%s of 12 to 17: residual SD %.4f, known is %.3f", sex, got, want)
		}
	}
}

// The design's standard errors are those that repeated sampling shows: samples of
// strata with two units each, whose people are alike, drawn again and again.
// Counting every person for themselves would give half of it.
func TestDesignErrorsAgainstRepeatedSampling(t *testing.T) {
	const strata, people, times = 30, 20, 400
	random := rand.New(rand.NewChaCha8([32]byte{3, 1}))
	n := strata * 2 * people
	x := mat.NewDense(n, 2, nil)
	y, weights, stratum, unit := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	var slopes, slopes2, variances float64
	for range times {
		i := 0
		for h := range strata {
			ofStratum := random.NormFloat64()
			for u := range 2 {
				size, off := ofStratum+0.7*random.NormFloat64(), 0.5*random.NormFloat64()
				for range people {
					z := size + 0.5*random.NormFloat64()
					x.SetRow(i, []float64{z, 1})
					y[i] = 0.3*z + off + 0.4*random.NormFloat64()
					weights[i], stratum[i], unit[i] = 1+float64(i%3), float64(h), float64(u)
					i++
				}
			}
		}
		fit := golden.Must(fitDesign(x, y, weights, stratum, unit))(t)
		slopes += fit.coefficients[0]
		slopes2 += fit.coefficients[0] * fit.coefficients[0]
		variances += fit.covariance.At(0, 0)
	}
	mean := slopes / times
	sampled, stated := math.Sqrt(slopes2/times-mean*mean), math.Sqrt(variances/times)
	t.Logf("standard error: %.4f stated, %.4f sampled", stated, sampled)
	if math.Abs(stated/sampled-1) > 0.12 {
		t.Errorf("standard error: %.4f stated, %.4f sampled", stated, sampled)
	}
}

func TestDesignRefusesLoneUnits(t *testing.T) {
	x := mat.NewDense(4, 1, []float64{1, 1, 1, 1})
	if _, err := fitDesign(x, []float64{1, 2, 3, 5}, []float64{1, 1, 1, 1}, []float64{1, 1, 2, 2}, []float64{1, 2, 1, 1}); err == nil {
		t.Error("a stratum of one unit is taken")
	}
}

// A natural spline is smooth at its knots and straight beyond the outer ones.
func TestNaturalSpline(t *testing.T) {
	at := func(age float64) []float64 {
		row := make([]float64, len(youngKnots)-1)
		naturalSpline(row, age, youngKnots)
		return row
	}
	const h = 0.01
	for k := range len(youngKnots) - 1 {
		second := func(age float64) float64 { return (at(age + h)[k] - 2*at(age)[k] + at(age - h)[k]) / (h * h) }
		for _, age := range []float64{11, 17.9, 59.1, 71} {
			if s := second(age); math.Abs(s) > 1e-5 {
				t.Errorf("curve %d bends by %g at %g", k, s, age)
			}
		}
		for _, knot := range youngKnots {
			if jump := second(knot+2*h) - second(knot-2*h); math.Abs(jump) > 0.2 {
				t.Errorf("curve %d: its bend jumps by %g at %g", k, jump, knot)
			}
		}
	}
}
