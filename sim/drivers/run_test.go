package drivers_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"reflect"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"counterpoise/internal/crosscheck/functions"
	"counterpoise/internal/golden"
	"counterpoise/sim/drivers"
)

// methods runs every method on a problem of dependent inputs, or of
// independent ones where a method needs those.
func methods(t *testing.T) map[string]func(context.Context, drivers.Options) (*drivers.Result, error) {
	dependent := linear(t, []float64{1.2, -0.7, 0.4}, covariance([]float64{0.9, 1.3, 1.7}, map[[2]int]float64{{0, 2}: 0.4}))
	independent := functions.G(0.2, 0.7, 3)
	return map[string]func(context.Context, drivers.Options) (*drivers.Result, error){
		"shapley": func(ctx context.Context, o drivers.Options) (*drivers.Result, error) {
			return drivers.Shapley(ctx, dependent, o)
		},
		"permutations": func(ctx context.Context, o drivers.Options) (*drivers.Result, error) {
			return drivers.ShapleyPermutations(ctx, dependent, o)
		},
		"full and independent": func(ctx context.Context, o drivers.Options) (*drivers.Result, error) {
			return drivers.FullAndIndependent(ctx, dependent, o)
		},
		"sobol": func(ctx context.Context, o drivers.Options) (*drivers.Result, error) {
			return drivers.Sobol(ctx, independent, drivers.SobolOptions{Options: o, SecondOrder: true})
		},
		"janon": func(ctx context.Context, o drivers.Options) (*drivers.Result, error) {
			return drivers.Sobol(ctx, independent, drivers.SobolOptions{Options: o, Estimator: drivers.Janon})
		},
	}
}

func TestSameSeedSameResult(t *testing.T) {
	for name, run := range methods(t) {
		var first *drivers.Result
		for _, o := range []drivers.Options{
			{Workers: 1},
			{Workers: 7},
			{Workers: 3, Sink: func(drivers.Sample) error { return nil }},
		} {
			o.Seed, o.Base, o.Replicates = 12, 2048, 5
			r := golden.Must(run(background, o))(t)
			if first == nil {
				first = r
			} else if !reflect.DeepEqual(r, first) {
				t.Errorf("%s: %d workers: another result", name, o.Workers)
			}
		}
		other := golden.Must(run(background, drivers.Options{Seed: 13, Base: 2048, Replicates: 5}))(t)
		if other.Indices[0].Value == first.Indices[0].Value {
			t.Errorf("%s: another seed gives the same", name)
		}
	}
}

// Replicates added later leave those before as they were: a run until a
// half-width is the run of as many replicates.
func TestUntil(t *testing.T) {
	for name, run := range methods(t) {
		o := drivers.Options{Seed: 5, Base: 64, Replicates: 8, Until: 0.01, MaxEvaluations: 10_000_000}
		r := golden.Must(run(background, o))(t)
		if !r.Reached || r.Replicates <= 8 {
			t.Errorf("%s: reached %v after %d replicates", name, r.Reached, r.Replicates)
		}
		for _, i := range r.Indices {
			if i.HalfWidth() > 0.01 {
				t.Errorf("%s: half-width %v of %v", name, i.HalfWidth(), i)
			}
		}
		at := golden.Must(run(background, drivers.Options{Seed: 5, Base: 64, Replicates: r.Replicates}))(t)
		if !reflect.DeepEqual(r, at) {
			t.Errorf("%s: %d replicates at once give another result", name, r.Replicates)
		}

		o.Until, o.MaxEvaluations = 1e-6, 100_000
		r = golden.Must(run(background, o))(t)
		perReplicate := (r.Evaluations - 1024) / int64(r.Replicates)
		if r.Reached || r.Evaluations > 100_000 || r.Evaluations+perReplicate <= 100_000 {
			t.Errorf("%s: reached %v with %d of 100,000 evaluations, %d for each replicate", name, r.Reached, r.Evaluations, perReplicate)
		}
	}
}

// The sink gets every row that was evaluated: as many as reported, with the
// responses that the model gives, the kept inputs those of the base.
func TestSink(t *testing.T) {
	for name, run := range methods(t) {
		var rows int64
		base, second := map[[2]int][]float64{}, map[[2]int][]float64{}
		var sum, n float64
		r, err := run(background, drivers.Options{Seed: 3, Base: 1024, Replicates: 4, Sink: func(s drivers.Sample) error {
			rows += int64(len(s.Response))
			kept, whole := 0, true
			for _, k := range s.Kept {
				whole = whole && k
				if k {
					kept++
				}
			}
			if kept == 0 {
				return fmt.Errorf("a sample keeps nothing")
			}
			for i := range s.Response {
				key := [2]int{s.Replicate, s.First + i}
				x := make([]float64, len(s.Inputs))
				for j := range x {
					x[j] = s.Inputs[j][i]
				}
				from := base
				if s.Second {
					from = second
				}
				if whole {
					if from[key] != nil {
						return fmt.Errorf("row %v twice", key)
					}
					from[key] = x
					sum += s.Response[i]
					n++
				}
				for j, k := range s.Kept {
					if k && from[key][j] != x[j] {
						return fmt.Errorf("row %v keeps %v: input %d is %v, not %v", key, s.Kept, j, x[j], from[key][j])
					}
				}
				if name != "sobol" && name != "janon" {
					if y := 1.2*x[0] - 0.7*x[1] + 0.4*x[2]; !(math.Abs(y-s.Response[i]) <= 1e-12) {
						return fmt.Errorf("row %v: response %v, want %v", key, s.Response[i], y)
					}
				}
			}
			return nil
		}})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if rows != r.Evaluations-1024 || len(base) != 4096 || len(second) != 4096 {
			t.Errorf("%s: %d rows of %d, %d of the base, %d of the second sample", name, rows, r.Evaluations-1024, len(base), len(second))
		}
		if !(math.Abs(sum/n-r.Mean.Value) <= 1e-12) {
			t.Errorf("%s: mean of the rows %v, of the result %v", name, sum/n, r.Mean.Value)
		}
		stop := errors.New("disk full")
		_, err = run(background, drivers.Options{Sink: func(drivers.Sample) error { return stop }})
		if !errors.Is(err, stop) {
			t.Errorf("%s: a sink's error came back as %v", name, err)
		}
	}
}

func TestCancelled(t *testing.T) {
	for name, run := range methods(t) {
		ctx, cancel := context.WithCancel(background)
		calls := 0
		_, err := run(ctx, drivers.Options{Progress: func(done, total int) {
			calls++
			if done == 3 {
				cancel()
			}
		}})
		if !errors.Is(err, context.Canceled) || calls > 5 {
			t.Errorf("%s: error %v after %d calls of progress", name, err, calls)
		}
		cancel()
	}
}

// Adding a constant and scaling the response leave every index as it is; the
// order in which inputs are listed is of no matter where they are drawn alike.
func TestScaleAndShift(t *testing.T) {
	p := functions.G(0.2, 0.7, 3)
	q := p
	q.NewModel = func() drivers.Model {
		f := p.NewModel()
		return func(out []float64, in [][]float64) error {
			err := f(out, in)
			for i := range out {
				out[i] = 1000 - 37*out[i]
			}
			return err
		}
	}
	a := golden.Must(drivers.Shapley(background, p, drivers.Options{Seed: 2}))(t)
	b := golden.Must(drivers.Shapley(background, q, drivers.Options{Seed: 2}))(t)
	for i := range a.Indices {
		if !(math.Abs(a.Indices[i].Value-b.Indices[i].Value) <= 1e-9) || !(math.Abs(a.Indices[i].Low-b.Indices[i].Low) <= 1e-9) {
			t.Errorf("%v became %v", a.Indices[i], b.Indices[i])
		}
	}
}

func TestBadProblems(t *testing.T) {
	good := func() drivers.Problem { return functions.G(0.2, 0.7, 3) }
	constant := functions.RowWise(func(x []float64) float64 { return 0.1 })
	rounding := functions.RowWise(func(x []float64) float64 { return 0.1 + x[0]*1e-17 + 1e-16*math.Round(x[1]) })
	for _, c := range []struct {
		name   string
		change func(p *drivers.Problem, o *drivers.Options)
		want   string
	}{
		{"no sampler", func(p *drivers.Problem, o *drivers.Options) { p.Sampler = nil }, "sampler"},
		{"no model", func(p *drivers.Problem, o *drivers.Options) { p.NewModel = nil }, "model"},
		{"too few names", func(p *drivers.Problem, o *drivers.Options) { p.Inputs = p.Inputs[:2] }, "2 inputs are named"},
		{"no names", func(p *drivers.Problem, o *drivers.Options) { p.Inputs, p.Sampler = nil, drivers.Uniform(0) }, "no input"},
		{"a name twice", func(p *drivers.Problem, o *drivers.Options) { p.Inputs = []string{"a", "b", "a"} }, `"a"`},
		{"an empty name", func(p *drivers.Problem, o *drivers.Options) { p.Inputs = []string{"a", "", "c"} }, "no name"},
		{"an empty group", func(p *drivers.Problem, o *drivers.Options) { p.Groups = []drivers.Group{{Name: "legs"}} }, `"legs" is empty`},
		{"an input in no group", func(p *drivers.Problem, o *drivers.Options) {
			p.Groups = []drivers.Group{{Name: "legs", Inputs: []int{0, 2}}}
		}, `"x2" is in no group`},
		{"an input in two groups", func(p *drivers.Problem, o *drivers.Options) {
			p.Groups = []drivers.Group{{Name: "legs", Inputs: []int{0, 2}}, {Name: "arms", Inputs: []int{1, 2}}}
		}, `"x3" is in group "legs" and again in group "arms"`},
		{"no such input", func(p *drivers.Problem, o *drivers.Options) {
			p.Groups = []drivers.Group{{Name: "legs", Inputs: []int{0, 3}}}
		}, "no input 3"},
		{"base", func(p *drivers.Problem, o *drivers.Options) { o.Base = 1000 }, "power of two"},
		{"replicates", func(p *drivers.Problem, o *drivers.Options) { o.Replicates = 3 }, "3 replicates"},
		{"confidence", func(p *drivers.Problem, o *drivers.Options) { o.Confidence = 95 }, "confidence 95"},
		{"certainty", func(p *drivers.Problem, o *drivers.Options) { o.Confidence = 1 }, "confidence 1"},
		{"confidence NaN", func(p *drivers.Problem, o *drivers.Options) { o.Confidence = math.NaN() }, "confidence NaN"},
		{"until NaN", func(p *drivers.Problem, o *drivers.Options) { o.Until = math.NaN() }, "NaN"},
		{"until without end", func(p *drivers.Problem, o *drivers.Options) { o.Until = 0.01 }, "evaluations"},
		{"an end without until", func(p *drivers.Problem, o *drivers.Options) { o.MaxEvaluations = 1000 }, "no half-width"},
		{"too few evaluations", func(p *drivers.Problem, o *drivers.Options) { o.Until, o.MaxEvaluations = 0.01, 2000 }, "more than 2000"},
		{"workers", func(p *drivers.Problem, o *drivers.Options) { o.Workers = -2 }, "-2 workers"},
		{"constant", func(p *drivers.Problem, o *drivers.Options) { p.NewModel = constant }, "does not vary"},
		{"rounding", func(p *drivers.Problem, o *drivers.Options) { p.NewModel = rounding }, "does not vary"},
		{"overflow", func(p *drivers.Problem, o *drivers.Options) {
			p.NewModel = functions.RowWise(func(x []float64) float64 { return 1e200 * x[0] })
		}, "too great"},
		{"NaN", func(p *drivers.Problem, o *drivers.Options) {
			p.NewModel = functions.RowWise(func(x []float64) float64 { return math.Sqrt(x[1] - 0.01) })
		}, "the response is NaN at x1=0."},
		{"infinite", func(p *drivers.Problem, o *drivers.Options) {
			p.NewModel = functions.RowWise(func(x []float64) float64 { return 1 / math.Floor(x[1]*3) })
		}, "the response is +Inf at x1=0."},
		{"rows left out", func(p *drivers.Problem, o *drivers.Options) {
			p.NewModel = func() drivers.Model {
				return func(out []float64, in [][]float64) error { copy(out, in[0][:len(out)-1]); return nil }
			}
		}, "the response is NaN"},
		{"the model's error", func(p *drivers.Problem, o *drivers.Options) {
			p.NewModel = func() drivers.Model {
				return func([]float64, [][]float64) error { return errors.New("arms too short") }
			}
		}, "arms too short"},
		{"a panic", func(p *drivers.Problem, o *drivers.Options) {
			p.NewModel = func() drivers.Model { return func([]float64, [][]float64) error { panic("oh") } }
		}, "panic: oh"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, o := good(), drivers.Options{Base: 256, Replicates: 4}
			c.change(&p, &o)
			for name, run := range map[string]func() (*drivers.Result, error){
				"shapley":      func() (*drivers.Result, error) { return drivers.Shapley(background, p, o) },
				"permutations": func() (*drivers.Result, error) { return drivers.ShapleyPermutations(background, p, o) },
				"sobol": func() (*drivers.Result, error) {
					return drivers.Sobol(background, p, drivers.SobolOptions{Options: o})
				},
				"full": func() (*drivers.Result, error) { return drivers.FullAndIndependent(background, p, o) },
			} {
				r, err := run()
				if err == nil || r != nil || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "drivers: ") {
					t.Errorf("%s: error %v, want something of %q", name, err, c.want)
				}
			}
		})
	}
	p := good()
	p.NewModel = functions.RowWise(func(x []float64) float64 { return math.Sqrt(x[1] - 0.01) })
	_, err := drivers.Shapley(background, p, drivers.Options{})
	var at *drivers.ResponseError
	if !errors.As(err, &at) || !(at.At[1] < 0.01) || len(at.At) != 3 {
		t.Errorf("error %v does not say where", err)
	}
	_, err = drivers.Sobol(background, good(), drivers.SobolOptions{Estimator: 7})
	if err == nil || !strings.Contains(err.Error(), "no estimator 7") {
		t.Errorf("error %v for an unknown estimator", err)
	}
}

// More inputs than a Sobol' sequence has room for: 70, in three groups that are
// independent of each other but not within.
func TestManyInputs(t *testing.T) {
	const d = 70
	c := mat.NewSymDense(d, nil)
	beta := make([]float64, d)
	var groups []drivers.Group
	for g, n := range []int{10, 25, 35} {
		group := drivers.Group{Name: fmt.Sprintf("x%d", g+1)}
		for range n {
			i := g
			if g > 0 {
				i = len(groups[g-1].Inputs) + groups[g-1].Inputs[0]
			}
			group.Inputs = append(group.Inputs, i+len(group.Inputs))
			if g == 0 {
				group.Inputs[len(group.Inputs)-1] = len(group.Inputs) - 1
			}
		}
		groups = append(groups, group)
	}
	exact := make([]float64, 3)
	for g, group := range groups {
		for _, i := range group.Inputs {
			beta[i] = 0.3 + 0.01*float64(i)
			for _, j := range group.Inputs {
				if i == j {
					c.SetSym(i, i, 1.2)
				} else {
					c.SetSym(i, j, 0.3*float64(g))
				}
			}
		}
		for _, i := range group.Inputs {
			for _, j := range group.Inputs {
				exact[g] += (0.3 + 0.01*float64(i)) * (0.3 + 0.01*float64(j)) * c.At(i, j)
			}
		}
	}
	whole := exact[0] + exact[1] + exact[2]
	for g := range exact {
		exact[g] /= whole
	}
	p := linear(t, beta, c)
	p.Inputs, p.Groups = functions.Names(d), groups
	r := golden.Must(drivers.Sobol(background, p, drivers.SobolOptions{Options: drivers.Options{Seed: 1, Base: 4096, Confidence: strict}}))(t)
	inside(t, r, drivers.First, exact, 0.05)
	inside(t, r, drivers.Total, exact, 0.05)
}

// Two inputs that are not read interact by exactly 0.
func TestUnreadInputsDoNotInteract(t *testing.T) {
	p := functions.G(0.2, 0.7, 3, 4)
	p.NewModel = functions.RowWise(func(x []float64) float64 { return x[0] * (x[1] + 0.3) })
	r := golden.Must(drivers.Sobol(background, p, drivers.SobolOptions{SecondOrder: true}))(t)
	if i, ok := r.Index(drivers.Second, "x3", "x4"); !ok || i.Value != 0 || i.HalfWidth() != 0 {
		t.Errorf("%+v, want exactly 0", i)
	}
}
