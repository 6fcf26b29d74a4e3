package anthro

import (
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// An answer that is linear in the scores has shares that follow from the
// conditional covariance.
func TestWhatNextOfALinearAnswer(t *testing.T) {
	const n = 20_000
	p := population(t, "ansur2-women")
	person := condition(t, p, Regional{}, Known{Stature, 1.683, 0}, Known{Mass, 61.3, 0})
	people := drawn(t, person.NewSampler(), n, random(51))
	weights := map[Measurement]float64{Span: 0.4, BiacromialBreadth: -0.7, TrochanterionHeight: 0.9}
	const arms = 3.1 // weight of the arms' residual
	answer := make([]float64, n)
	for i := range answer {
		for m, w := range weights {
			answer[i] += w * p.marginals[m].Score(people.Value[m][i])
		}
		answer[i] += arms * people.Residual[Arms][i]
	}
	c := person.scores.covariance
	scan := arms * arms * p.Regional.Covariance[Arms][Arms]
	variance := scan
	with := map[Measurement]float64{} // covariance of the answer with each score
	for a, wa := range weights {
		for b, wb := range weights {
			variance += wa * wb * c.At(int(a), int(b))
		}
		for m := range NumMeasurements {
			with[m] += wa * c.At(int(a), int(m))
		}
	}
	// The standard error of a squared correlation ρ² is 2ρ(1-ρ²)/√n at most.
	near := func(what string, got, want float64) {
		t.Helper()
		if !(math.Abs(got-want) <= 4.5*2*math.Sqrt(want)*(1-want)/math.Sqrt(n)+20.0/n) {
			t.Errorf("%s: explains %.4f, want %.4f", what, got, want)
		}
	}
	gains := golden.Must(person.WhatNext(people, answer))(t)
	if len(gains) != int(NumMeasurements)-2+1 {
		t.Fatalf("%d gains", len(gains))
	}
	for i, g := range gains {
		if i > 0 && g.Explained > gains[i-1].Explained {
			t.Error("not ranked")
		}
		switch {
		case g.Scan:
			near("scan", g.Explained, scan/variance)
		case g.Measure == Stature || g.Measure == Mass:
			t.Errorf("%s is known", g)
		default:
			near(g.String(), g.Explained, with[g.Measure]*with[g.Measure]/c.At(int(g.Measure), int(g.Measure))/variance)
		}
		// Of a normal answer 90 % lie within 2·1.6449 standard deviations.
		if want := 2 * 1.644854 * math.Sqrt(variance*(1-g.Explained)); !(math.Abs(g.Width/want-1) <= 0.03) {
			t.Errorf("%s: leaves a width of %.4f, want %.4f", g, g.Width, want)
		}
	}
	// All that the answer depends on, but for one: learning that leaves nothing.
	gains = golden.Must(person.WhatNext(people, answer, Span, TrochanterionHeight, BiacromialBreadth, Stature, Span))(t)
	if !gains[0].Scan || gains[0].Explained < 1-1e-9 || gains[0].Width > 1e-3*math.Sqrt(variance) {
		t.Errorf("with everything else decided on, best is %+v", gains[0])
	}
	for _, g := range gains[1:] {
		near(g.String()+" besides", g.Explained, 1-scan/variance)
	}
}

// Where chance is all there is, nothing is said to help.
func TestWhatNextOfNoise(t *testing.T) {
	const n = 500
	person := condition(t, population(t, "ansur2-men"), Regional{}, Known{Stature, 1.78, 0.01})
	people := drawn(t, person.NewSampler(), n, random(52))
	answer := make([]float64, n)
	random(53)(answer)
	gains := golden.Must(person.WhatNext(people, answer))(t)
	for _, g := range gains {
		// R² of noise with k variables is about χ²(k)/n; 1 in 100,000 of χ²(3) lies
		// above 25.9.
		if g.Explained > 25.9/n {
			t.Errorf("%s explains %.4f of noise", g, g.Explained)
		}
	}
}

// covariances returns the covariance matrix of columns.
func covariances(columns [][]float64) *mat.SymDense {
	rows := len(columns[0])
	data := mat.NewDense(rows, len(columns), nil)
	for k, column := range columns {
		data.SetCol(k, column)
	}
	c := mat.NewSymDense(len(columns), nil)
	stat.CovarianceMatrix(c, data, nil)
	return c
}

// A ranking's covariances are those of gonum.
func TestCovariancesOfARanking(t *testing.T) {
	source := random(56)
	columns := make([][]float64, 5)
	for k := range columns {
		columns[k] = make([]float64, 100)
		source(columns[k])
		for i := range columns[k] {
			columns[k][i] += 1000 + columns[0][i]
		}
	}
	want, r := covariances(columns), &Ranking{rows: 100}
	for i := range columns {
		for j := range columns {
			if got := r.covariance(centred(columns[i]), centred(columns[j])); !(math.Abs(got-want.At(i, j)) <= 1e-9) {
				t.Errorf("%d, %d: %v, want %v", i, j, got, want.At(i, j))
			}
		}
	}
}

// The adjusted R² does not grow with the number of variables: on average it is the
// share that the model has, here a half, where R² itself would be 0.5 + 0.5·10/59
// (Theil 1961, "Economic Forecasts and Policy"; from memory).
func TestExplainedIsUnbiased(t *testing.T) {
	const rows, repeats, variables = 60, 1000, 10
	source := random(57)
	columns := make([][]float64, variables+1)
	all := make([]int, variables)
	for k := range columns {
		columns[k] = make([]float64, rows)
	}
	for k := range all {
		all[k] = k
	}
	sum, squares := 0.0, 0.0
	for range repeats {
		for _, column := range columns {
			source(column)
		}
		for i := range rows {
			columns[variables][i] += 0.6*columns[3][i] - 0.8*columns[7][i]
		}
		e := explained(covariances(columns), all, rows)
		sum, squares = sum+e, squares+e*e
	}
	mean := sum / repeats
	// The bias of the adjusted R² itself is of the order of 1/rows² here.
	if se := math.Sqrt((squares/repeats - mean*mean) / repeats); !(math.Abs(mean-0.5) <= 4.5*se+1.0/rows/rows) {
		t.Errorf("explains %.4f on average, want 0.5; standard error %.4f", mean, se)
	}
}

// What follows from what was learned before tells nothing more, and no rounding
// may say otherwise.
func TestExplainedOfTheSameTwice(t *testing.T) {
	const rows = 200
	source := random(58)
	columns := make([][]float64, 4)
	for k := range columns {
		columns[k] = make([]float64, rows)
		source(columns[k])
	}
	for i := range rows {
		columns[2][i] = 0.3*columns[0][i] - 1.7*columns[1][i]
		columns[3][i] += columns[0][i]
	}
	joint := covariances(columns)
	two, three := 1-explained(joint, []int{0, 1}, rows), 1-explained(joint, []int{0, 1, 2}, rows)
	if want := two * (rows - 3) / (rows - 4); !(math.Abs(three-want) <= 1e-6) {
		t.Errorf("leaves %.9f, want %.9f", three, want)
	}
}

func TestWhatNextLeavesOutWhatIsKnown(t *testing.T) {
	p := population(t, "ansur2-women")
	scan := golden.Must(ScannedRegional([NumRegions]float64{4.4, 28.9, 6.6, 20.7}))(t)
	for _, regional := range []Regional{AverageRegional(), scan} {
		person := condition(t, p, regional, someKnown...)
		people := drawn(t, person.NewSampler(), 300, random(54))
		gains := golden.Must(person.WhatNext(people, people.Value[WaistCircumference]))(t)
		if gains[0].Measure != WaistCircumference || len(gains) != int(NumMeasurements)-2 {
			t.Errorf("%d gains, first %+v", len(gains), gains[0])
		}
		for _, g := range gains {
			if g.Scan {
				t.Error("a scan would tell nothing")
			}
		}
	}
	constant := make([]float64, 300)
	person := condition(t, p, Regional{}, someKnown...)
	people := drawn(t, person.NewSampler(), 300, random(55))
	gains, err := person.WhatNext(people, constant)
	if err != nil || gains[0].Explained != 0 || gains[0].Width != 0 {
		t.Errorf("of an answer that is certain: %v, %v", gains, err)
	}
}

func TestWhatNextRefuses(t *testing.T) {
	person := condition(t, population(t, "ansur2-women"), Regional{}, someKnown...)
	people := drawn(t, person.NewSampler(), 100, random(56))
	answer := make([]float64, 100)
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		answer[37] = bad
		if _, err := person.WhatNext(people, answer); err == nil || !strings.Contains(err.Error(), "person 37") {
			t.Errorf("answer %v: error %v", bad, err)
		}
	}
	if _, err := person.WhatNext(people.Slice(0, 30), answer[:30]); err == nil {
		t.Error("no error")
	}
}
