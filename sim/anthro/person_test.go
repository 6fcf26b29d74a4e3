package anthro

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"

	"gonum.org/v1/gonum/mat"
)

func condition(t testing.TB, p *Population, regional Regional, known ...Known) *Person {
	t.Helper()
	return golden.Must(p.Condition(known, regional))(t)
}

// someKnown is a few measurements of an ordinary woman, one of them rough.
var someKnown = []Known{{Span, 1.713, 0.004}, {Mass, 61.3, 0}, {Stature, 1.683, 0}, {FootLength, 0.251, 0.02}}

// The textbook's formula, all observations at once by inverting their
// covariance: mean C(o,k)·(C(k,k)+E)⁻¹·y, covariance C - C(o,k)·(C(k,k)+E)⁻¹·C(k,o)
// (Anderson 2003, "An Introduction to Multivariate Statistical Analysis", section
// 2.5; from memory).
func TestObservingMatchesTheFormulaForAllAtOnce(t *testing.T) {
	p := population(t, "ansur2-men")
	places := []int{int(Span), int(Mass), int(HandLength), int(Stature), int(TibialHeight)}
	values := []float64{1.3, -0.7, 0.45, 0.9, -0.2}
	variances := []float64{0.06, 0, 1.7, 0.002, 0}
	n, k := int(NumMeasurements), len(places)
	inner, cross := mat.NewSymDense(k, nil), mat.NewDense(n, k, nil)
	for a := range places {
		for b := range a + 1 {
			inner.SetSym(a, b, p.correlation.At(places[a], places[b]))
		}
		inner.SetSym(a, a, 1+variances[a])
		for i := range n {
			cross.Set(i, a, p.correlation.At(i, places[a]))
		}
	}
	var inverse, gains, mean, taken mat.Dense
	golden.OK(t, inverse.Inverse(inner))
	y := mat.NewDense(k, 1, values)
	gains.Mul(cross, &inverse)
	mean.Mul(&gains, y)
	taken.Mul(&gains, cross.T())
	var half, square mat.Dense
	half.Mul(&inverse, y)
	square.Mul(y.T(), &half)

	for _, turn := range [][]int{{0, 1, 2, 3, 4}, {4, 3, 2, 1, 0}, {2, 0, 4, 1, 3}} {
		g, distance := newGaussian(p.correlation), 0.0
		for _, a := range turn {
			distance += g.observe(places[a], values[a], variances[a])
		}
		for i := range n {
			if !(math.Abs(g.mean[i]-mean.At(i, 0)) <= 1e-11) {
				t.Errorf("order %v: mean of %s is %.12f, want %.12f", turn, Measurement(i), g.mean[i], mean.At(i, 0))
			}
			for j := range n {
				if got, want := g.covariance.At(i, j), p.correlation.At(i, j)-taken.At(i, j); !(math.Abs(got-want) <= 1e-11) {
					t.Errorf("order %v: covariance of %s and %s is %.12f, want %.12f", turn, Measurement(i), Measurement(j), got, want)
				}
			}
		}
		if want := square.At(0, 0); !(math.Abs(distance-want) <= 1e-11*want) {
			t.Errorf("order %v: squared distance %.12f, want %.12f", turn, distance, want)
		}
	}
}

// What conditioning expects is what least squares finds among drawn people: the
// same coefficients, to within their standard errors, and the same spread left.
func TestConditionalMeansAreLeastSquares(t *testing.T) {
	const n, k = 20_000, 3
	known := [k]Measurement{Stature, Mass, Span}
	for _, name := range Surveys() {
		p := population(t, name)
		people := drawn(t, p.NewSampler(), n, random(21))
		scores := func(m Measurement) []float64 {
			s := make([]float64, n)
			for i, v := range people.Value[m] {
				s[i] = p.marginals[m].Score(v)
			}
			return s
		}
		x := mat.NewDense(n, k, nil)
		for c, m := range known {
			x.SetCol(c, scores(m))
		}
		var square, inverse mat.Dense
		square.Mul(x.T(), x)
		golden.OK(t, inverse.Inverse(&square))
		for m := range NumMeasurements {
			if slices.Contains(known[:], m) {
				continue
			}
			y := mat.NewDense(n, 1, scores(m))
			var xy, b, fitted, rest mat.Dense
			xy.Mul(x.T(), y)
			b.Mul(&inverse, &xy)
			fitted.Mul(x, &b)
			rest.Sub(y, &fitted)
			left := math.Pow(mat.Norm(&rest, 2), 2) / (n - k)
			for c := range known {
				// The mean at a score of 1 in one and 0 in the others is the coefficient.
				g := newGaussian(p.correlation)
				for other, measurement := range known {
					score := 0.0
					if other == c {
						score = 1
					}
					g.observe(int(measurement), score, 0)
				}
				got, want := g.mean[m], b.At(c, 0)
				if se := math.Sqrt(left * inverse.At(c, c)); !(math.Abs(got-want) <= 4.5*se) {
					t.Errorf("%s: %s on %s: coefficient %.5f, least squares %.5f with standard error %.5f", name, m, known[c], got, want, se)
				}
				if got := g.covariance.At(int(m), int(m)); !(math.Abs(got/left-1) <= 4.5*math.Sqrt(2.0/n)) {
					t.Errorf("%s: %s: variance left %.5f, least squares %.5f", name, m, got, left)
				}
			}
		}
	}
}

// Fed the unit vectors, the sampler shows its factor; the products must be the
// conditional covariance, and a sampler fed zeros must draw the medians.
func TestPersonIsDrawnFromTheConditionalDistribution(t *testing.T) {
	p := population(t, "ansur2-women")
	person := condition(t, p, Regional{}, someKnown...)
	middle := drawn(t, person.NewSampler(), 1, func(dst []float64) { clear(dst) })
	people := drawn(t, person.NewSampler(), numColumns, func(dst []float64) {
		clear(dst)
		for k := range numColumns {
			dst[k*batchRows+k] = 1
		}
	})
	away := func(m Measurement, i int) float64 {
		return p.marginals[m].Score(people.Value[m][i]) - p.marginals[m].Score(middle.Value[m][0])
	}
	g := p.given(person.Known)
	for a := range NumMeasurements {
		if got, want := middle.Value[a][0], person.Quantile(a, 0.5); !(math.Abs(got-want) <= 1e-15*want) {
			t.Errorf("median %s is drawn as %.17g, want %.17g", a, got, want)
		}
		for b := range a + 1 {
			got := 0.0
			for i := range numColumns {
				got += away(a, i) * away(b, i)
			}
			if want := g.covariance.At(int(a), int(b)); !(math.Abs(got-want) <= 1e-10) {
				t.Errorf("scores of %s and %s mix to %.12f, want %.12f", a, b, got, want)
			}
		}
	}
}

func TestQuantilesAreThoseOfTheDraws(t *testing.T) {
	const n = 100_000
	person := condition(t, population(t, "ansur2-women"), Regional{}, someKnown...)
	people := drawn(t, person.NewSampler(), n, random(22))
	for m := range NumMeasurements {
		if person.exact[m] {
			continue
		}
		for _, share := range []float64{0.05, 0.37, 0.95} {
			q, below := person.Quantile(m, share), 0.0
			for _, v := range people.Value[m] {
				if v < q {
					below++
				}
			}
			if !(math.Abs(below/n-share) <= 4.5*math.Sqrt(share*(1-share)/n)) {
				t.Errorf("%s: %.4f of the draws lie below the quantile of %.2f", m, below/n, share)
			}
		}
	}
}

// What is given is what is drawn, to the bit, in whatever order it was given.
func TestExactValuesAreDrawnAsGiven(t *testing.T) {
	p := population(t, "ansur2-men")
	somebody := drawn(t, p.NewSampler(), 1, random(23))
	var all []Known
	for m := range NumMeasurements {
		all = append(all, Known{Of: m, Value: somebody.Value[m][0]})
	}
	backwards := slices.Clone(all)
	slices.Reverse(backwards)
	for _, known := range [][]Known{all, backwards, all[3:11], {all[17]}, {all[Mass], all[Stature]}} {
		people := drawn(t, condition(t, p, AverageRegional(), known...).NewSampler(), 2*batchRows+5, random(24))
		for _, k := range known {
			for i, v := range people.Value[k.Of] {
				if v != k.Value {
					t.Fatalf("%s of row %d is %v, want %v", k.Of, i, v, k.Value)
				}
			}
		}
		for r := range people.Residual {
			for _, v := range people.Residual[r] {
				if v != 0 {
					t.Fatalf("residual of the average is %v", v)
				}
			}
		}
	}
	turned := slices.Clone(someKnown)
	slices.Reverse(turned)
	women := population(t, "ansur2-women")
	samePeople(t, "another order",
		drawn(t, condition(t, women, Regional{}, someKnown...).NewSampler(), 300, random(25)),
		drawn(t, condition(t, women, Regional{}, turned...).NewSampler(), 300, random(25)))
}

// Nothing known, or only with an error beyond all bounds, leaves the population.
func TestNothingKnownIsThePopulation(t *testing.T) {
	p := population(t, "ansur2-women")
	want := drawn(t, p.NewSampler(), 500, random(26))
	for name, known := range map[string][]Known{
		"nothing":         nil,
		"huge error":      {{Stature, 1.9, 1e9}, {Mass, 55, 1e9}},
		"infinite square": {{Stature, 1.9, 1e200}, {Span, 3, 1e308}},
	} {
		got := drawn(t, condition(t, p, Regional{}, known...).NewSampler(), 500, random(26))
		for m := range got.Value {
			for i := range got.Value[m] {
				if !(math.Abs(got.Value[m][i]/want.Value[m][i]-1) <= 1e-9) {
					t.Fatalf("%s: %s of row %d is %.12f, want %.12f", name, Measurement(m), i, got.Value[m][i], want.Value[m][i])
				}
			}
		}
		for r := range got.Residual {
			if !slices.Equal(got.Residual[r], want.Residual[r]) {
				t.Errorf("%s: residual of %s differs", name, Region(r))
			}
		}
	}
}

// Errors too small to tell from none leave next to nothing to draw, whatever is
// made of the rounding in what is left of the covariance.
func TestTinyErrorsDrawWhatIsGiven(t *testing.T) {
	p := population(t, "ansur2-men")
	somebody := drawn(t, p.NewSampler(), 1, random(35))
	for _, e := range []float64{1e-8, 1e-10, 1e-12, 1e-14, 1e-300} {
		var known []Known
		for m := range NumMeasurements {
			if m%5 != 3 {
				known = append(known, Known{m, somebody.Value[m][0], e})
			}
		}
		people := drawn(t, condition(t, p, Regional{}, known...).NewSampler(), 500, random(36))
		for _, k := range known {
			for i, v := range people.Value[k.Of] {
				if !(math.Abs(v-k.Value) <= 6*e+1e-11*k.Value) {
					t.Fatalf("error %g: %s of row %d is %.15g, given %.15g", e, k.Of, i, v, k.Value)
				}
			}
		}
	}
}

// From exact to none, an error lets the median go from the value given to the
// population's and the spread grow.
func TestMeasurementErrorLiesBetweenExactAndUnknown(t *testing.T) {
	p := population(t, "ansur2-men")
	median, width := 1.88, 0.0
	spanMedian, spanWidth := math.Inf(1), 0.0
	for _, e := range []float64{0, 1e-9, 0.002, 0.01, 0.03, 0.08, 0.3, 5} {
		person := condition(t, p, Regional{}, Known{Stature, 1.88, e})
		got, gotWidth := person.Quantile(Stature, 0.5), person.Quantile(Stature, 0.95)-person.Quantile(Stature, 0.05)
		if e == 0 && (got != 1.88 || gotWidth != 0) {
			t.Errorf("exact stature has median %v, width %v", got, gotWidth)
		}
		if e == 1e-9 && (!(math.Abs(got-1.88) <= 1e-9) || gotWidth > 4e-9) {
			t.Errorf("almost exact stature has median %v, width %v", got, gotWidth)
		}
		if e > 1e-9 && (got >= median || gotWidth <= width) {
			t.Errorf("error %g: median %.4f, width %.4f, after %.4f, %.4f", e, got, gotWidth, median, width)
		}
		median, width = got, gotWidth
		got, gotWidth = person.Quantile(Span, 0.5), person.Quantile(Span, 0.95)-person.Quantile(Span, 0.05)
		if got > spanMedian || gotWidth < spanWidth {
			t.Errorf("error %g: span's median %.4f, width %.4f, after %.4f, %.4f", e, got, gotWidth, spanMedian, spanWidth)
		}
		spanMedian, spanWidth = got, gotWidth
	}
	if whole := p.marginals[Stature].Value(0); !(math.Abs(median-whole) <= 1e-3) {
		t.Errorf("an error of 5 m leaves a median of %.4f m, the population's is %.4f m", median, whole)
	}
}

// A measurement with an error, by hand: at the centre of a stretch where the
// marginal is nearly straight, the variances of the population (s²) and of the
// error (e²) pull the value in by s²/(s²+e²).
func TestMeasurementErrorByHand(t *testing.T) {
	p := population(t, "ansur2-men")
	m := p.marginals[Stature]
	const e = 0.02
	s := (m.Value(1) - m.Value(-1)) / 2
	value := m.Value(0) + 0.03
	want := m.Value(0) + 0.03*s*s/(s*s+e*e)
	if got := condition(t, p, Regional{}, Known{Stature, value, e}).Quantile(Stature, 0.5); !(math.Abs(got-want) <= 0.0005) {
		t.Errorf("median %.4f m, by hand %.4f m", got, want)
	}
}

func TestShareBelow(t *testing.T) {
	const n = 100_000
	p := population(t, "ansur2-men")
	if got := p.ShareBelow(Span, p.marginals[Span].Value(0.8)); !(math.Abs(got-0.788144601) <= 1e-9) {
		t.Errorf("share below a score of 0.8 is %.9f", got) // Φ(0.8), any normal table
	}
	tall := Known{Stature, 1.862, 0.01}
	people := drawn(t, condition(t, p, Regional{}, tall).NewSampler(), n, random(27))
	for _, span := range []float64{1.83, 1.9, 1.97} {
		below := 0.0
		for _, v := range people.Value[Span] {
			if v < span {
				below++
			}
		}
		got := p.ShareBelow(Span, span, tall)
		if !(math.Abs(below/n-got) <= 4.5*math.Sqrt(got*(1-got)/n)) {
			t.Errorf("%.4f of men of that stature have a span below %g m, drawn %.4f", got, span, below/n)
		}
	}
	exact := Known{Stature, 1.862, 0}
	if below, above := p.ShareBelow(Stature, 1.861, exact), p.ShareBelow(Stature, 1.863, exact); below != 0 || above != 1 {
		t.Errorf("shares %v and %v on either side of an exact value", below, above)
	}
	if !math.IsNaN(p.ShareBelow(Span, math.NaN(), tall)) {
		t.Error("share below NaN is a number")
	}
}

// The share said to be as unusual is the share that is: of drawn people, measured
// with an error, a share s has a share below s.
func TestJointShareIsCalibrated(t *testing.T) {
	const n = 20_000
	p := population(t, "ansur2-women")
	people := drawn(t, p.NewSampler(), n, random(28))
	errs := make([]float64, n)
	random(29)(errs)
	counts := map[float64]float64{0.001: 0, 0.01: 0, 0.2: 0, 0.7: 0}
	for i := range n {
		// An error in a measurement whose marginal is nearly straight.
		share := p.jointShare([]Known{{Of: Stature, Value: people.Value[Stature][i]}, {Of: Mass, Value: people.Value[Mass][i]}, {Span, people.Value[Span][i] + 0.01*errs[i], 0.01}})
		for s := range counts {
			if share < s {
				counts[s]++
			}
		}
	}
	for s, count := range counts {
		if !(math.Abs(count/n-s) <= 4.5*math.Sqrt(s*(1-s)/n)) {
			t.Errorf("%.5f of the people are said to be among the oddest %g", count/n, s)
		}
	}
}

func TestBadKnownValues(t *testing.T) {
	p := population(t, "ansur2-men")
	for _, test := range []struct {
		known []Known
		text  string
	}{
		{[]Known{{Stature, -1.7, 0}}, "stature: -1.7 m, must be positive"},
		{[]Known{{Mass, 0, 0}}, "mass: 0 kg, must be positive"},
		{[]Known{{Span, math.NaN(), 0}}, "span: NaN m"},
		{[]Known{{Span, math.Inf(1), 0}}, "span: +Inf m"},
		{[]Known{{Span, 1.7, -0.1}}, "span: the error is -0.1 m"},
		{[]Known{{Span, 1.7, math.NaN()}}, "span: the error is NaN m"},
		{[]Known{{Span, 1.7, math.Inf(1)}}, "span: the error is +Inf m"},
		{[]Known{{Span, 1.7, 0}, {Mass, 70, 0}, {Span, 1.8, 0}}, "span is given twice: 1.7 and 1.8 m"},
		{[]Known{{NumVariables, 1.7, 0}}, "no measurement has the number 19"},
		{[]Known{{-1, 1.7, 0}}, "no measurement has the number -1"},
	} {
		_, err := p.Condition(test.known, Regional{})
		if err == nil || !strings.Contains(err.Error(), test.text) {
			t.Errorf("%v: error %v, want one with %q", test.known, err, test.text)
		}
	}
}

// A scan's residual is what it has over the prediction for the row's own build.
func TestScanIsWhatEveryRowCarries(t *testing.T) {
	p := population(t, "ansur2-women")
	masses := [NumRegions]float64{4.4, 28.9, 6.6, 20.7}
	scan := golden.Must(ScannedRegional(masses))(t)
	for _, known := range [][]Known{nil, {{Mass, 61.3, 0}}, someKnown} {
		people := drawn(t, condition(t, p, scan, known...).NewSampler(), 200, random(30))
		for i := range people.Rows() {
			ratios := p.Regional.Predict(people.Value[Stature][i], people.Value[Mass][i], people.Value[WaistCircumference][i])
			for r := range ratios {
				ratios[r] += people.Residual[r][i]
			}
			for r, share := range Shares(ratios) {
				if want := masses[r] / 60.6; !(math.Abs(share-want) <= 1e-13) {
					t.Fatalf("row %d carries %.6f in its %s, scanned %.6f", i, share, Region(r), want)
				}
			}
		}
	}
}

func TestScanThatDoesNotBelong(t *testing.T) {
	women := population(t, "ansur2-women")
	for _, masses := range [][NumRegions]float64{{0, 28, 6, 20}, {4, math.NaN(), 6, 20}, {4, 28, -6, 20}, {4, 28, 6, math.Inf(1)}} {
		if _, err := ScannedRegional(masses); err == nil {
			t.Errorf("scan %v: no error", masses)
		}
	}
	for _, test := range []struct {
		masses [NumRegions]float64
		text   string // "" where nothing is wrong
	}{
		{[NumRegions]float64{4.4, 28.9, 6.6, 20.7}, ""},
		{[NumRegions]float64{4.2, 27.9, 6.3, 19.9}, ""}, // 58.3 kg, 4.9 % less than 61.3
		{[NumRegions]float64{4.2, 27.8, 6.3, 19.9}, "add up to 58.2 kg, the mass is 61.3 kg"},
		{[NumRegions]float64{4.4, 31.9, 6.6, 22.7}, "add up to 65.6 kg"},
		{[NumRegions]float64{4.4, 28.9, 20.7, 6.6}, "arms 0.342 (expected 0.1"}, // arms and legs exchanged
		{[NumRegions]float64{4.4, 32.2, 3.3, 20.7}, "arms 0.054"},               // one arm for both
	} {
		scan, err := ScannedRegional(test.masses)
		if err != nil {
			t.Fatal(err)
		}
		_, err = women.Condition(someKnown, scan)
		if test.text == "" {
			if err != nil {
				t.Errorf("scan %v: %v", test.masses, err)
			}
			continue
		}
		var e *ScanError
		if !errors.As(err, &e) || !strings.Contains(err.Error(), test.text) {
			t.Errorf("scan %v: error %v, want one with %q", test.masses, err, test.text)
		}
	}
}

// The share of people said to carry their mass at least as unusually is the share
// that does, whether or not the waist that the prediction needs is known.
func TestScanShareIsCalibrated(t *testing.T) {
	const n = 20_000
	p := population(t, "ansur2-men")
	built := []Known{{Stature, 1.79, 0}, {Mass, 78.4, 0}}
	people := drawn(t, condition(t, p, Regional{}, built...).NewSampler(), n, random(31))
	for _, waistKnown := range []bool{false, true} {
		counts := map[float64]float64{0.01: 0, 0.1: 0, 0.6: 0}
		for i := range n {
			waist := people.Value[WaistCircumference][i]
			ratios := p.Regional.Predict(1.79, 78.4, waist)
			for r := range ratios {
				ratios[r] += people.Residual[r][i]
			}
			scan := golden.Must(ScannedRegional(scaled(Shares(ratios), 78.4)))(t)
			known := built
			if waistKnown {
				known = append(slices.Clone(built), Known{Of: WaistCircumference, Value: waist})
			}
			left := p.given(known)
			person := &Person{Population: p, Known: known, regional: scan, left: left, scores: left.together()}
			share, _ := person.scanShare()
			for s := range counts {
				if share < s {
					counts[s]++
				}
			}
		}
		for s, count := range counts {
			if !(math.Abs(count/n-s) <= 4.5*math.Sqrt(s*(1-s)/n)) {
				t.Errorf("waist known %v: %.5f of the scans are said to be among the oddest %g", waistKnown, count/n, s)
			}
		}
	}
}

func scaled(shares [NumRegions]float64, by float64) [NumRegions]float64 {
	for r := range shares {
		shares[r] *= by
	}
	return shares
}

func TestPersonDrawDoesNotAllocate(t *testing.T) {
	scan := golden.Must(ScannedRegional([NumRegions]float64{4.4, 28.9, 6.6, 20.7}))(t)
	people, source := NewPeople(1000), random(32)
	for name, regional := range map[string]Regional{"drawn": {}, "average": AverageRegional(), "scan": scan} {
		sampler := condition(t, population(t, "ansur2-women"), regional, someKnown...).NewSampler()
		if got := testing.AllocsPerRun(5, func() {
			golden.OK(t, sampler.Draw(people, source))
		}); got != 0 {
			t.Errorf("%s: %g allocations", name, got)
		}
	}
}

// The first rows do not depend on how many follow, nor on the sampler's past.
func TestPersonDrawDependsOnTheNormalsAlone(t *testing.T) {
	person := condition(t, population(t, "ansur2-women"), Regional{}, someKnown...)
	fresh := drawn(t, person.NewSampler(), 3*batchRows+17, random(33))
	used := person.NewSampler()
	drawn(t, used, 41, random(34))
	for _, rows := range []int{1, batchRows, batchRows + 1, 3*batchRows + 17} {
		samePeople(t, fmt.Sprintf("first %d", rows), fresh.Slice(0, rows), drawn(t, used, rows, random(33)))
	}
}

// FuzzCondition: whatever is given, there is an error or a person all of whose
// draws are numbers, positive where they are measurements.
func FuzzCondition(f *testing.F) {
	f.Add(uint32(1<<Stature|1<<Mass|1<<Span), uint64(5), 0.4, 0.01, false)
	f.Add(uint32(1<<NumMeasurements-1), uint64(6), 1.0, 0.0, true)
	f.Add(uint32(1<<HandLength|1<<PalmLength), uint64(7), 3.9, 1e-7, true)
	f.Add(uint32(1<<WaistCircumference), uint64(8), 40.0, 9.0, false)
	f.Add(uint32(1<<Stature|1<<SittingHeight), uint64(9), 1e300, 1e305, true)
	people := map[string]*Population{}
	for _, name := range Surveys() {
		p := golden.Must(Load(name))(f)
		people[name] = p
	}
	f.Fuzz(func(t *testing.T, which uint32, seed uint64, stretch, roughness float64, scanned bool) {
		source := random(byte(seed))
		for _, name := range Surveys() {
			p := people[name]
			somebody, noise := NewPeople(1), make([]float64, 2*NumMeasurements)
			golden.OK(t, p.NewSampler().Draw(somebody, source))
			source(noise)
			var known []Known
			for m := range NumMeasurements {
				if which>>m&1 == 1 {
					middle := p.marginals[m].Value(0)
					known = append(known, Known{
						Of:    m,
						Value: middle + stretch*(somebody.Value[m][0]-middle),
						Error: roughness * math.Abs(noise[m]) * float64(which>>(m+1)&1),
					})
				}
			}
			regional := Regional{}
			if scanned {
				var err error
				if regional, err = ScannedRegional(scaled([NumRegions]float64{0.063, 0.48, 0.117, 0.34}, somebody.Value[Mass][0])); err != nil {
					t.Fatal(err)
				}
			}
			person, err := p.Condition(known, regional)
			if err != nil {
				given := fmt.Sprint(known)
				if strings.Contains(err.Error(), "NaN") && !strings.Contains(given, "NaN") {
					t.Errorf("%s: error %v", given, err)
				}
				continue
			}
			rows := NewPeople(batchRows + 3)
			golden.OK(t, person.NewSampler().Draw(rows, source))
			for m := range rows.Value {
				for _, v := range rows.Value[m] {
					if !(v > 0) || math.IsInf(v, 0) {
						t.Fatalf("%s: %v drawn from %v, stretched by %v", Measurement(m), v, known, stretch)
					}
				}
				if q := person.Quantile(Measurement(m), 0.05); !(q > 0) || math.IsInf(q, 0) {
					t.Fatalf("%s: quantile %v", Measurement(m), q)
				}
			}
			for r := range rows.Residual {
				for _, v := range rows.Residual[r] {
					if math.IsNaN(v) || math.IsInf(v, 0) {
						t.Fatalf("residual of %s: %v", Region(r), v)
					}
				}
			}
			if _, err := person.WhatNext(rows, rows.Value[Mass]); err != nil {
				t.Fatal(err)
			}
		}
	})
}
