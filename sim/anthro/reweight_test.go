package anthro

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/golden"
	"counterpoise/sim/montecarlo"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Three values weighted to a mean: with y = e^λ the condition
// Σ (x - t)·y^x = 0 is a quadratic equation.
func TestBalanceOfThreeValues(t *testing.T) {
	const target = 2.3
	lambda, ok := balance([][]float64{{1, 2, 3}}, make([]float64, 3), []float64{target})
	a, b, c := 3-target, 2-target, 1-target
	y := (-b + math.Sqrt(b*b-4*a*c)) / (2 * a)
	if !ok || !(math.Abs(lambda[0]-math.Log(y)) <= 1e-12) {
		t.Errorf("λ %v, want %g", lambda, math.Log(y))
	}
}

// With weights by design the condition is Σ q·(x - t)·y^x = 0.
func TestBalanceStartsFromTheDesign(t *testing.T) {
	const target = 1.7
	q := []float64{0.2, 1.1, 0.6}
	base := make([]float64, 3)
	for i := range q {
		base[i] = math.Log(q[i]) + 41 // a constant does not matter
	}
	lambda, ok := balance([][]float64{{1, 2, 3}}, base, []float64{target})
	a, b, c := q[2]*(3-target), q[1]*(2-target), q[0]*(1-target)
	y := (-b + math.Sqrt(b*b-4*a*c)) / (2 * a)
	if !ok || !(math.Abs(lambda[0]-math.Log(y)) <= 1e-12) {
		t.Errorf("λ %v, want %g", lambda, math.Log(y))
	}
}

func TestBalanceOutsideOfTheHull(t *testing.T) {
	for name, test := range map[string]struct {
		columns [][]float64
		target  []float64
	}{
		"beyond the largest":  {[][]float64{{1, 2, 4}}, []float64{4.5}},
		"within each alone":   {[][]float64{{0, 1, 0.2, 0.7}, {0.1, 0.9, 0.3, 0.6}}, []float64{0.3, 0.8}},
		"does not vary":       {[][]float64{{2, 2, 2}}, []float64{2}},
		"one follows another": {[][]float64{{1, 2, 4}, {3, 5, 9}}, []float64{2.5, 7}},
	} {
		if lambda, ok := balance(test.columns, make([]float64, len(test.columns[0])), test.target); ok {
			t.Errorf("%s: λ %v", name, lambda)
		}
	}
}

func TestEffective(t *testing.T) {
	// 0.5, 0.3, 0.2: 1/(0.25+0.09+0.04) = 2.632 of 3.
	if got, want := effective([]float64{0.5, 0.3, 0.2}), 1/0.38/3; !(math.Abs(got-want) <= 1e-15) {
		t.Errorf("%g, want %g", got, want)
	}
	if got := effective([]float64{0.25, 0.25, 0.25, 0.25}); got != 1 {
		t.Errorf("equal weights: %g", got)
	}
}

// normalPopulation has straight marginals, so that its measurements are normal.
func normalPopulation(t *testing.T) (p *Population, mean, spread [NumMeasurements]float64) {
	t.Helper()
	var file datasets.People
	golden.OK(t, datasets.Read("people", "ansur2-women", &file))
	for m := range mean {
		q := &file.Measurements[m]
		middle, step := len(q.Values)/2, 0.0
		mean[m] = q.Values[middle]
		spread[m] = (q.Values[middle+4] - q.Values[middle-4]) / 2 // 4 knots are a score of 1
		step = spread[m] * file.ScoreStep
		for k := range q.Values {
			q.Values[k] = mean[m] + float64(k-middle)*step
		}
	}
	p = golden.Must(NewPopulation(&file))(t)
	return p, mean, spread
}

// Tilting a normal distribution by exp(λ·x) shifts its mean by Σ·λ and leaves its
// covariance. So the means of two measurements give λ, by the inverse of their
// part of Σ; the other means follow; the effective sample is exp(-λ'Σλ); and the
// normals behind, shifted, leave nothing to reject but what rounding does.
func TestReweightedNormal(t *testing.T) {
	p, mean, spread := normalPopulation(t)
	c := p.Correlation()
	const a, b = Stature, WaistCircumference
	wanted := []Target{{Of: Of(a), Value: mean[a] + 0.8*spread[a]}, {Of: Of(b), Value: mean[b] - 0.6*spread[b]}}
	r := golden.Must(Selection{Population: p}.Reweight(wanted))(t)
	rho := c.At(int(a), int(b))
	scores := [2]float64{(0.8 + 0.6*rho) / (1 - rho*rho), (-0.6 - 0.8*rho) / (1 - rho*rho)} // λ per spread
	for j, m := range []Measurement{a, b} {
		if got, want := r.tilt.lambda[j], scores[j]/spread[m]; !(math.Abs(got/want-1) <= 0.02) {
			t.Errorf("λ of %s is %g, want %g", m, got, want)
		}
	}
	// The estimate of the effective share from n weights, which are lognormal with
	// variance v of the logarithm, has a relative standard error of about
	// 2·√(exp(4v)/n): the mean square's, and pairs take up what the mean adds.
	v := 0.8*scores[0] - 0.6*scores[1]
	if got, want := r.Reweighted.Effective, math.Exp(-v); !(math.Abs(got/want-1) <= 4*2*math.Sqrt(math.Exp(4*v)/poolRows)) {
		t.Errorf("effective share %g, want %g", got, want)
	}
	const rows = 200_000
	people, calls := NewPeople(rows), 0
	source := random(21)
	golden.OK(t, r.NewSampler().Draw(people, func(dst []float64) { calls++; source(dst) }))
	if kept := float64(rows) / float64(calls*batchRows); kept < 0.999 {
		t.Errorf("%.4f of those drawn are kept", kept)
	}
	data := mat.NewDense(rows, int(NumMeasurements), nil)
	for m := range NumMeasurements {
		shift := scores[0]*c.At(int(m), int(a)) + scores[1]*c.At(int(m), int(b))
		got, sd := stat.MeanStdDev(people.Value[m], nil)
		// The error of λ is that of a pool of 65,536; the rest is this sample's.
		error := math.Sqrt(1.0/rows + 1.0/poolRows)
		if miss := (got-mean[m])/spread[m] - shift; !(math.Abs(miss) <= 4*error) {
			t.Errorf("mean of %s misses by %.4f standard deviations, a standard error is %.4f", m, miss, error)
		}
		if ratio := sd / spread[m]; !(math.Abs(ratio-1) <= 4/math.Sqrt(2*rows)) {
			t.Errorf("spread of %s is %.4f of what it was", m, ratio)
		}
		data.SetCol(int(m), people.Value[m])
	}
	after := mat.NewSymDense(int(NumMeasurements), nil)
	stat.CorrelationMatrix(after, data, nil)
	for i := range int(NumMeasurements) {
		for j := range i {
			error := (1 - math.Pow(c.At(i, j), 2)) / math.Sqrt(rows)
			if miss := after.At(i, j) - c.At(i, j); !(math.Abs(miss) <= 4.5*error) {
				t.Errorf("correlation of %s and %s misses by %g, a standard error is %g", Measurement(i), Measurement(j), miss, error)
			}
		}
	}
}

// A normal distribution tilted by a square as well stays normal: the quantity has the
// mean and the deviation wanted, wider than before or narrower, and what goes along with
// it follows it as it did: others' means by their regressions, and of their variances the
// part that the quantity explains.
func TestReweightedSpreadOfNormal(t *testing.T) {
	p, mean, spread := normalPopulation(t)
	c := p.Correlation()
	for _, factor := range []float64{0.7, 1.15} {
		const shift, rows = 0.4, 200_000
		r := golden.Must(Selection{Population: p}.Reweight([]Target{
			{Of: Of(Stature), Value: mean[Stature] + shift*spread[Stature]}, {Of: Of(Stature), Kind: DeviationOf, Value: factor * spread[Stature]},
		}))(t)
		// exp(λ₁x + λ₂x²) times the density of N(0,1) is N(m, s²): λ₂ = (1 − 1/s²)/2.
		if got, want := r.tilt.lambda[1]*spread[Stature]*spread[Stature], (1-1/(factor*factor))/2; !(math.Abs(got-want) <= 0.03) {
			t.Errorf("factor %g: λ of the square is %g, want %g", factor, got, want)
		}
		people := drawn(t, r.NewSampler(), rows, random(31))
		for m := range NumMeasurements {
			rho := c.At(int(m), int(Stature))
			got, sd := stat.MeanStdDev(people.Value[m], nil)
			error := math.Sqrt(1.0/rows + 1.0/poolRows)
			if miss := (got-mean[m])/spread[m] - rho*shift; !(math.Abs(miss) <= 4*error) {
				t.Errorf("factor %g: mean of %s misses by %.4f standard deviations, a standard error is %.4f", factor, m, miss, error)
			}
			want := math.Sqrt(1 - rho*rho*(1-factor*factor))
			if miss := sd/spread[m] - want; !(math.Abs(miss) <= 5*error) {
				t.Errorf("factor %g: spread of %s is %.4f of what it was, want %.4f", factor, m, sd/spread[m], want)
			}
		}
	}
}

// Shares are met, and within and without their ranges people are as they were.
func TestReweightedShares(t *testing.T) {
	p := population(t, "ansur2-women")
	const rows = 100_000
	before := drawn(t, p.NewSampler(), rows, random(33))
	r := golden.Must(Selection{Population: p}.Reweight([]Target{{Of: BodyMassIndex, Kind: ShareOf, Value: 0.35, Low: math.Inf(-1), High: 25}}))(t)
	after := drawn(t, r.NewSampler(), rows, random(34))
	meansBy := func(people *People) (share float64, means [2]float64) {
		bmi := make([]float64, rows)
		BodyMassIndex.Values(bmi, people)
		var n [2]float64
		for i, x := range bmi {
			side := 0
			if x > 25 {
				side = 1
			}
			n[side]++
			means[side] += people.Value[Stature][i]
		}
		return n[0] / rows, [2]float64{means[0] / n[0], means[1] / n[1]}
	}
	was, meansBefore := meansBy(before)
	is, meansAfter := meansBy(after)
	if error := math.Sqrt(0.35 * 0.65 * (1.0/rows + 1.0/poolRows)); !(math.Abs(is-0.35) <= 4*error) || math.Abs(was-0.35) < 0.02 {
		t.Errorf("a share of %.4f, before %.4f, want 0.35, a standard error is %.4f", is, was, error)
	}
	for side := range meansBefore {
		if miss := meansAfter[side] - meansBefore[side]; !(math.Abs(miss) <= 4*0.065*math.Sqrt(2/(0.3*rows))) {
			t.Errorf("side %d: mean stature %.4f m, before %.4f", side, meansAfter[side], meansBefore[side])
		}
	}
}

func TestTargetsAreChecked(t *testing.T) {
	for _, test := range []struct {
		targets []Target
		want    string
	}{
		{[]Target{{Of: Of(Mass), Kind: DeviationOf, Value: 6}}, "standard deviation of mass 6 kg needs the mean of mass as well"},
		{[]Target{{Of: Of(Mass), Value: 60}, {Of: Of(Mass), Kind: DeviationOf, Value: -6}}, "must be positive"},
		{[]Target{{Of: Of(Mass), Kind: ShareOf, Value: 1.2, Low: 50, High: 60}}, "above 0 and below 1"},
		{[]Target{{Of: Of(Mass), Kind: ShareOf, Value: 0.2, Low: 60, High: 50}}, "the wrong way round"},
		{[]Target{{Of: Of(Mass), Kind: 7, Value: 1}}, "no target has the kind 7"},
		{[]Target{{Of: Of(Mass), Kind: ShareOf, Value: 0.2, Low: 50, High: 60}, {Of: Of(Mass), Kind: ShareOf, Value: 0.3, Low: 50, High: 60}}, "given twice"},
		{[]Target{{Of: Of(Mass), Kind: ShareOf, Value: 0.2, Low: 50, High: 60}, {Of: Of(Mass), Kind: ShareOf, Value: 0.3, Low: 60, High: 70}}, ""},
	} {
		if err := CheckTargets(test.targets); (err == nil) != (test.want == "") || err != nil && !strings.Contains(err.Error(), test.want) {
			t.Errorf("%v: %v, want %q", test.targets, err, test.want)
		}
	}
}

// Real people, and conditions on them: who is drawn has the means, lies within
// the conditions, and is distributed as the weights of other people say.
func TestReweightedPeople(t *testing.T) {
	for _, test := range []struct {
		people string
		where  []Range
		means  []Target
	}{
		{"ansur2-women", nil, []Target{{Of: Of(Stature), Value: 1.68}, {Of: Of(Mass), Value: 60}}},
		{"ansur2-men", nil, []Target{{Of: BodyMassIndex, Value: 23.5}}},
		{"ansur2-men", []Range{{BodyMassIndex, 18.5, 27}}, []Target{{Of: Of(Stature), Value: 1.71}, {Of: Ratio(Span, Stature), Value: 1.045}}},
		{"ansur2-women", []Range{{Of(Mass), 50, 70}}, nil},
	} {
		p := population(t, test.people)
		selection := Selection{p, test.where}
		r := golden.Must(selection.Reweight(test.means))(t)
		const rows = 100_000
		people := drawn(t, r.NewSampler(), rows, random(22))
		column := make([]float64, rows)
		for _, m := range test.means {
			m.Of.Values(column, people)
			got, sd := stat.MeanStdDev(column, nil)
			if error := sd * math.Sqrt(1.0/rows+1.0/poolRows); !(math.Abs(got-m.Value) <= 4*error) {
				t.Errorf("%s: %s is %g among the drawn, a standard error is %g", test.people, m, got, error)
			}
		}
		for _, w := range test.where {
			w.Of.Values(column, people)
			if low, high := slices.Min(column), slices.Max(column); low < w.Low || high > w.High {
				t.Errorf("%s: %s, drawn are %g..%g", test.people, w, low, high)
			}
		}
		// Importance weighting of people drawn without a shift is another way to the
		// same distribution. Its standard error is that of the effective sample.
		const others = 200_000
		plain := drawn(t, selection.NewSampler(), others, random(23))
		weight, values := make([]float64, others), make([]float64, others)
		for j, m := range test.means {
			m.Of.Values(values, plain)
			for i, x := range values {
				weight[i] += r.tilt.lambda[j] * (x - m.Value)
			}
		}
		normalise(weight)
		share := effective(weight)
		for m := range NumMeasurements {
			want := stat.Mean(plain.Value[m], weight)
			variance := 0.0
			for i, x := range plain.Value[m] {
				variance += weight[i] * (x - want) * (x - want)
			}
			got, spread := stat.MeanStdDev(people.Value[m], nil)
			error := math.Sqrt(variance) * math.Sqrt(1.0/rows+1/(share*others))
			if !(math.Abs(got-want) <= 4*error) {
				t.Errorf("%s, %v: mean of %s is %g, weighted people have %g, a standard error is %g", test.people, test.means, m, got, want, error)
			}
			// The spread's standard error is about that of a mean over √2, for tails that
			// are no heavier than normal; twice that allows for those that are.
			if !(math.Abs(spread-math.Sqrt(variance)) <= 4*math.Sqrt2*error) {
				t.Errorf("%s, %v: spread of %s is %g, weighted people have %g", test.people, test.means, m, spread, math.Sqrt(variance))
			}
		}
	}
}

// On the people on whom the weights are found the means are met.
func TestWeightsMeetTheMeans(t *testing.T) {
	p := population(t, "ansur2-men")
	quantities, target := []Quantity{Of(Stature), Of(Mass), BodyMassIndex}, []float64{1.72, 74, 24.9}
	means := make([]Target, len(target))
	for j := range means {
		means[j] = Target{Of: quantities[j], Value: target[j]}
	}
	pool := golden.Must(Selection{Population: p}.pool(&tilt{goals: goals(means)}, poolRows))(t)
	lambda, ok := balance(pool.quantity, make([]float64, pool.rows()), target)
	if !ok {
		t.Fatal("no weights found")
	}
	weight := pool.weigh(&tilt{goals: goals(means), lambda: lambda}, make([]float64, pool.rows()))
	for j, q := range quantities {
		sum := 0.0
		for i, w := range weight {
			sum += w * pool.quantity[j][i]
		}
		if !(math.Abs(sum/target[j]-1) <= 1e-9) {
			t.Errorf("weighted mean of %s is %.9g, want %g", q, sum, target[j])
		}
	}
}

func TestReweightRefuses(t *testing.T) {
	women := population(t, "ansur2-women")
	again := golden.Must(Selection{Population: women}.Reweight([]Target{{Of: Of(Stature), Value: 1.65}}))(t)
	for _, test := range []struct {
		population *Population
		where      []Range
		means      []Target
		want       string
	}{
		{women, nil, []Target{{Of: Of(Stature), Value: math.NaN()}}, "mean stature NaN m: must be finite"},
		{women, nil, []Target{{Of: Of(Mass), Value: math.Inf(1)}}, "mean mass +Inf kg: must be finite"},
		{women, nil, []Target{{Of: Of(Mass), Value: 61}, {Of: Of(Mass), Value: 62}}, "mean mass 62 kg is given twice"},
		{women, nil, []Target{{Of: Of(Mass), Value: 61}, {Of: Of(Stature), Value: 2.4}}, "mean stature 2.4 m is out of reach: all of 65,536 people drawn from ansur2-women have 1.3"},
		{women, nil, []Target{{Of: Of(Stature), Value: 1.85}}, "people of ansur2-women cannot be weighted to mean stature 1.85 m: only 0."},
		{women, nil, []Target{{Of: Of(Stature), Value: 1.55}, {Of: Of(Span), Value: 1.8}}, "together; without weights they have mean stature 1.62"},
		{women, []Range{{BodyMassIndex, 18, 22}}, []Target{{Of: BodyMassIndex, Value: 23}}, "drawn from ansur2-women where bmi 18..22 kg/m2 have"},
		{women, []Range{{BodyMassIndex, 70, 80}}, nil, "0 of 2,097,152 people drawn from ansur2-women match bmi 70..80 kg/m2"},
		{again, nil, []Target{{Of: Of(Stature), Value: 1.65}}, "only a survey can be reweighted"},
	} {
		_, err := Selection{test.population, test.where}.Reweight(test.means)
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%v: error %v, want one with %q", test.means, err, test.want)
		}
	}
	if _, err := again.Condition(nil, Regional{}); err == nil || !strings.Contains(err.Error(), "take ansur2-women") {
		t.Errorf("conditioned reweighted people: %v", err)
	}
}

func TestReweightedSampler(t *testing.T) {
	p := population(t, "ansur2-women")
	means := []Target{{Of: Of(Stature), Value: 1.68}, {Of: Of(Mass), Value: 60}}
	one := golden.Must(Selection{Population: p}.Reweight(means))(t)
	two := golden.Must(Selection{Population: p}.Reweight(means))(t)
	checkSampler(t, one, two)
	// A condition on top leaves those of the same people who meet it.
	where := []Range{{Of(Span), 1.7, 1.75}}
	sieved := drawn(t, Selection{one, where}.NewSampler(), 200, random(25))
	if low, high := slices.Min(sieved.Value[Span]), slices.Max(sieved.Value[Span]); low < 1.7 || high > 1.75 {
		t.Errorf("spans %g..%g", low, high)
	}
}

// checkSampler checks the contract of Draw for two populations made alike: the
// same normals give the same people, whatever was drawn before; and no memory is
// allocated.
func checkSampler(t *testing.T, one, two *Population) {
	t.Helper()
	first, second := one.NewSampler(), two.NewSampler()
	const rows = 3*batchRows + 17
	want := drawn(t, first, rows, random(24))
	drawn(t, second, 50, random(99))
	samePeople(t, "drawn again", want, drawn(t, second, rows, random(24)))
	for m := range NumMeasurements {
		for i, v := range want.Value[m] {
			if !(v > 0) || math.IsInf(v, 0) {
				t.Fatalf("%s of person %d is %g", m, i, v)
			}
		}
	}
	people, stream := NewPeople(rows), montecarlo.NewStream(5, "checkSampler")
	if n := testing.AllocsPerRun(10, func() {
		golden.OK(t, first.Draw(people, stream.Normals))
	}); n != 0 {
		t.Errorf("%g allocations a draw", n)
	}
}

func TestMeanIsWritten(t *testing.T) {
	for want, m := range map[string]Target{"mean bmi 22.5 kg/m2": {Of: BodyMassIndex, Value: 22.5}, "mean span/stature 1.03": {Of: Ratio(Span, Stature), Value: 1.03}, "standard deviation of mass 7 kg": {Of: Of(Mass), Kind: DeviationOf, Value: 7}, "share 0.35 with bmi 18.5..25 kg/m2": {Of: BodyMassIndex, Kind: ShareOf, Value: 0.35, Low: 18.5, High: 25}} {
		if m.String() != want {
			t.Errorf("%q, want %q", m, want)
		}
	}
}

func TestTargetsErrorIsFound(t *testing.T) {
	_, err := Selection{Population: population(t, "ansur2-men")}.Reweight([]Target{{Of: Of(Stature), Value: 1.95}})
	var fault *TargetsError
	if !errors.As(err, &fault) || fault.Beyond != nil || !(fault.Effective > 0 && fault.Effective < 0.05) {
		t.Errorf("%#v", err)
	}
}
