package drivers_test

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"counterpoise/internal/crosscheck/functions"
	"counterpoise/sim/drivers"
)

func unitRanges(n int) []drivers.Range {
	ranges := make([]drivers.Range, n)
	for i, name := range functions.Names(n) {
		ranges[i] = drivers.Range{Name: name, Low: 0, High: 1}
	}
	return ranges
}

// Of a linear function every elementary effect is the coefficient times the
// range: μ* = |c|, σ = 0.
func TestMorrisOfLinearFunction(t *testing.T) {
	c := []float64{3.1, -0.7, 0.45, -12}
	ranges := []drivers.Range{{"x1", -2, 3}, {"x2", 0.5, 0.9}, {"x3", 10, 11.5}, {"x4", -7, -4}}
	model := functions.RowWise(func(x []float64) float64 { return 2 + c[0]*x[0] + c[1]*x[1] + c[2]*x[2] + c[3]*x[3] })
	for _, levels := range []int{4, 6, 10} {
		effects, n, err := drivers.Morris(background, ranges, model, drivers.MorrisOptions{Seed: 4, Levels: levels, Trajectories: 50})
		if err != nil {
			t.Fatal(err)
		}
		if n != 250 {
			t.Errorf("%d evaluations, want 250", n)
		}
		for i, e := range effects {
			want := c[i] * (ranges[i].High - ranges[i].Low)
			// Responses are of magnitude 100, so differences are good to 1e-13.
			if !(math.Abs(e.Mean.Value-want) <= 1e-12) || !(math.Abs(e.Absolute.Value-math.Abs(want)) <= 1e-12) || e.Deviation > 1e-12 {
				t.Errorf("%d levels: %+v, want %v", levels, e, want)
			}
		}
	}
}

// Exact over the grid: for y = x₁x₂ on the unit square with 4 levels, the effect of x₁
// is x₂, which is uniform on the levels 0, ⅓, ⅔, 1: mean ½, variance 5/36. So for
// y = (x₁ − ½)², an effect is the sum of both ends less 1, ends being 0, ⅔ or ⅓, 1: ∓⅓.
func TestMorrisMoments(t *testing.T) {
	const r = 20_000
	model := functions.RowWise(func(x []float64) float64 { return x[0]*x[1] + (x[2]-0.5)*(x[2]-0.5) })
	effects, _, err := drivers.Morris(background, unitRanges(3), model, drivers.MorrisOptions{Seed: 2, Trajectories: r})
	if err != nil {
		t.Fatal(err)
	}
	product := math.Sqrt(5.0 / 36)
	for i, want := range []struct{ mean, absolute, deviation float64 }{
		{0.5, 0.5, product}, {0.5, 0.5, product}, {0, 1.0 / 3, 1.0 / 3},
	} {
		e := effects[i]
		if !(math.Abs(e.Mean.Value-want.mean) <= 4*want.deviation/math.Sqrt(r)) || !(math.Abs(e.Deviation-want.deviation) <= 4*want.deviation/math.Sqrt(r)) {
			t.Errorf("%+v, want %+v", e, want)
		}
		if !(math.Abs(e.Absolute.Value-want.absolute) <= 4*want.deviation/math.Sqrt(r)) {
			t.Errorf("%+v, want %+v", e, want)
		}
		// The interval is ±1.96 standard errors.
		if half := 1.96 * want.deviation / math.Sqrt(r); !(math.Abs(e.Mean.HalfWidth()-half) <= 0.05*half) {
			t.Errorf("half-width %v, want %v", e.Mean.HalfWidth(), half)
		}
	}
}

// Morris 1991 (Technometrics 33:161), section 4, with the deterministic variant of the
// small coefficients, (−1)ⁱ and (−1)ⁱ⁺ʲ, of Surjanovic and Bingham's library
// (that from memory). Inputs 1-10 matter, 11-20 hardly; 8-10 are linear, σ small
// beside μ*, 1-7 are not.
func TestMorrisFunction(t *testing.T) {
	sign := func(n int) float64 { return 1 - 2*float64(n%2) }
	f := func(x []float64) float64 {
		w := make([]float64, 21)
		for i := 1; i <= 20; i++ {
			w[i] = 2 * (x[i-1] - 0.5)
			if i == 3 || i == 5 || i == 7 {
				w[i] = 2 * (1.1*x[i-1]/(x[i-1]+0.1) - 0.5)
			}
		}
		var y float64
		for i := 1; i <= 20; i++ {
			b := sign(i)
			if i <= 10 {
				b = 20
			}
			y += b * w[i]
			for j := i + 1; j <= 20; j++ {
				b := sign(i + j)
				if j <= 6 {
					b = -15
				}
				y += b * w[i] * w[j]
				for l := j + 1; l <= 5; l++ {
					y -= 10 * w[i] * w[j] * w[l]
					for s := l + 1; s <= 4; s++ {
						y += 5 * w[i] * w[j] * w[l] * w[s]
					}
				}
			}
		}
		return y
	}
	effects, _, err := drivers.Morris(background, unitRanges(20), functions.RowWise(f), drivers.MorrisOptions{Seed: 1, Trajectories: 200})
	if err != nil {
		t.Fatal(err)
	}
	for i, e := range effects[:10] {
		for _, small := range effects[10:] {
			if e.Absolute.Low <= 2*small.Absolute.High {
				t.Errorf("%s matters by %v, %s by %v", e.Name, e.Absolute, small.Name, small.Absolute)
			}
		}
		if linear := i >= 7; linear != (e.Deviation < 0.3*e.Absolute.Value) {
			t.Errorf("%s: σ %v, μ* %v", e.Name, e.Deviation, e.Absolute.Value)
		}
	}
}

func TestMorrisSameSeedAndSink(t *testing.T) {
	model := functions.RowWise(func(x []float64) float64 { return x[0]*x[1] - x[2] })
	ranges := []drivers.Range{{"x1", -2, 3}, {"x2", 0.5, 0.9}, {"x3", 10, 11.5}}
	var rows int
	sink := func(s drivers.Sample) error {
		if s.First != rows {
			t.Errorf("rows from %d on, want %d", s.First, rows)
		}
		for i := range s.Response {
			moved := 0
			for j := range s.Inputs {
				if i%4 > 0 && s.Inputs[j][i] != s.Inputs[j][i-1] {
					moved++
				}
				if x := s.Inputs[j][i]; x < ranges[j].Low || x > ranges[j].High {
					t.Errorf("%v is out of range", x)
				}
			}
			if i%4 > 0 && moved != 1 {
				t.Errorf("%d inputs moved in one step", moved)
			}
			if y := s.Inputs[0][i]*s.Inputs[1][i] - s.Inputs[2][i]; y != s.Response[i] {
				t.Errorf("response %v, want %v", s.Response[i], y)
			}
		}
		rows += len(s.Response)
		return nil
	}
	a, n, err := drivers.Morris(background, ranges, model, drivers.MorrisOptions{Seed: 3, Trajectories: 77, Workers: 1, Sink: sink})
	if err != nil {
		t.Fatal(err)
	}
	b, _, err := drivers.Morris(background, ranges, model, drivers.MorrisOptions{Seed: 3, Trajectories: 77, Workers: 6})
	if err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(a, b) {
		t.Error("the number of workers matters")
	}
	if int64(rows) != n || n != 77*4 {
		t.Errorf("%d rows, %d evaluations, want 308", rows, n)
	}
	stop := errors.New("disk full")
	if _, _, err := drivers.Morris(background, ranges, model, drivers.MorrisOptions{Sink: func(drivers.Sample) error { return stop }}); !errors.Is(err, stop) {
		t.Errorf("a sink's error came back as %v", err)
	}
}

func TestBadMorris(t *testing.T) {
	model := functions.RowWise(func(x []float64) float64 { return x[0] })
	for _, c := range []struct {
		ranges []drivers.Range
		o      drivers.MorrisOptions
		want   string
	}{
		{nil, drivers.MorrisOptions{}, "no input"},
		{[]drivers.Range{{"a", 1, 1}}, drivers.MorrisOptions{}, `"a" ranges from 1 to 1`},
		{[]drivers.Range{{"a", 0, math.NaN()}}, drivers.MorrisOptions{}, "NaN"},
		{[]drivers.Range{{"a", 0, math.Inf(1)}}, drivers.MorrisOptions{}, "Inf"},
		{[]drivers.Range{{"a", 0, 1}, {"a", 0, 1}}, drivers.MorrisOptions{}, `"a"`},
		{unitRanges(2), drivers.MorrisOptions{Levels: 5}, "5 levels"},
		{unitRanges(2), drivers.MorrisOptions{Trajectories: 2}, "2 trajectories"},
		{unitRanges(2), drivers.MorrisOptions{Confidence: -1}, "confidence -1"},
		{unitRanges(2), drivers.MorrisOptions{Workers: -1}, "-1 workers"},
	} {
		if _, _, err := drivers.Morris(background, c.ranges, model, c.o); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want something of %q", err, c.want)
		}
	}
	nan := functions.RowWise(func(x []float64) float64 { return math.Log(x[0] - 0.2) })
	var at *drivers.ResponseError
	if _, _, err := drivers.Morris(background, unitRanges(2), nan, drivers.MorrisOptions{}); !errors.As(err, &at) {
		t.Errorf("error %v for NaN", err)
	}
}
