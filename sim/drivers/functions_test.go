package drivers_test

import (
	"context"
	"fmt"
	"math"
	"testing"

	"counterpoise/internal/crosscheck/functions"
	"counterpoise/internal/golden"
	"counterpoise/sim/drivers"

	"gonum.org/v1/gonum/mat"
)

// The closed forms, derived: with a = 7, b = 0.1,
// V1 = ½(1 + bπ⁴/5)², V2 = a²/8, V13 = b²π⁸(1/18 − 1/50).
var (
	ishigamiV1       = 0.5 * math.Pow(1+0.1*math.Pow(math.Pi, 4)/5, 2)
	ishigamiV2       = 49.0 / 8
	ishigamiV13      = 0.01 * math.Pow(math.Pi, 8) * (1.0/18 - 1.0/50)
	ishigamiVariance = ishigamiV1 + ishigamiV2 + ishigamiV13

	ishigamiFirst   = []float64{ishigamiV1 / ishigamiVariance, ishigamiV2 / ishigamiVariance, 0}
	ishigamiTotal   = []float64{(ishigamiV1 + ishigamiV13) / ishigamiVariance, ishigamiV2 / ishigamiVariance, ishigamiV13 / ishigamiVariance}
	ishigamiShapley = []float64{(ishigamiV1 + ishigamiV13/2) / ishigamiVariance, ishigamiV2 / ishigamiVariance, ishigamiV13 / 2 / ishigamiVariance}
)

// Digits of other people's code: openturns, usecases/ishigami_function.py (closed
// form), SALib, Ishigami.py (0.3139, 0.4424, 0).
func TestIshigamiClosedForm(t *testing.T) {
	for _, c := range []struct{ got, want float64 }{
		{ishigamiVariance, 13.8445879407193},
		{ishigamiFirst[0], 0.313905191147811},
		{ishigamiFirst[1], 0.442411144790041},
		{ishigamiTotal[0], 0.557588855209959},
		{ishigamiTotal[2], 0.243683664062148},
		{ishigamiShapley[0], 0.435747023178885},
		{ishigamiShapley[2], 0.121841832031074},
	} {
		if !(math.Abs(c.got-c.want) <= 1e-13*c.want) {
			t.Errorf("closed form gives %v, published %v", c.got, c.want)
		}
	}
}

// gIndices are its exact indices: Vᵢ = 1/(3(1+aᵢ)²), V = Π(1+Vᵢ) − 1.
func gIndices(a []float64) (variance float64, first, total []float64, second func(i, j int) float64) {
	product := 1.0
	v := make([]float64, len(a))
	for i, a := range a {
		v[i] = 1 / (3 * (1 + a) * (1 + a))
		product *= 1 + v[i]
	}
	variance = product - 1
	for i := range v {
		first = append(first, v[i]/variance)
		total = append(total, v[i]*product/(1+v[i])/variance)
	}
	return variance, first, total, func(i, j int) float64 { return v[i] * v[j] / variance }
}

// linear is Σ βᵢxᵢ of normal inputs.
func linear(t testing.TB, beta []float64, covariance *mat.SymDense) drivers.Problem {
	t.Helper()
	g := golden.Must(drivers.NewGaussian(covariance))(t)
	return drivers.Problem{Inputs: functions.Names(len(beta)), Sampler: g, NewModel: func() drivers.Model {
		return func(out []float64, in [][]float64) error {
			clear(out)
			for j, b := range beta {
				for i := range out {
					out[i] += b * in[j][i]
				}
			}
			return nil
		}
	}}
}

// explained returns Var(E[βᵀX | X_S]) for each subset S, computed by Gaussian
// elimination from β and the covariance alone: sweeping S out of the matrix leaves
// the covariance given S, and the variance that is left is βᵀ(that)β.
func explained(beta []float64, covariance *mat.SymDense) []float64 {
	d := len(beta)
	quadratic := func(m [][]float64) (v float64) {
		for i := range d {
			for j := range d {
				v += beta[i] * m[i][j] * beta[j]
			}
		}
		return v
	}
	out := make([]float64, 1<<d)
	for s := range out {
		m := make([][]float64, d)
		for i := range m {
			m[i] = make([]float64, d)
			for j := range m[i] {
				m[i][j] = covariance.At(i, j)
			}
		}
		whole := quadratic(m)
		for k := range d {
			if s>>k&1 == 0 {
				continue
			}
			pivot := m[k][k]
			for i := range d {
				f := m[i][k] / pivot
				if i == k {
					continue
				}
				for j := range d {
					if j != k {
						m[i][j] -= f * m[k][j]
					}
				}
			}
			for i := range d {
				m[i][k], m[k][i] = 0, 0
			}
		}
		out[s] = whole - quadratic(m)
	}
	return out
}

// linearShapley shares the variance out over all orders, one after the other.
func linearShapley(beta []float64, covariance *mat.SymDense) []float64 {
	c := explained(beta, covariance)
	d := len(beta)
	effects := make([]float64, d)
	orders := 0.0
	var walk func(set int, credit []float64)
	walk = func(set int, credit []float64) {
		if set == 1<<d-1 {
			orders++
			for i, x := range credit {
				effects[i] += x
			}
			return
		}
		for i := range d {
			if set>>i&1 == 0 {
				credit[i] = c[set|1<<i] - c[set]
				walk(set|1<<i, credit)
			}
		}
	}
	walk(0, make([]float64, d))
	for i := range effects {
		effects[i] /= orders * c[1<<d-1]
	}
	return effects
}

// covariance makes a matrix from standard deviations and the correlations of
// some pairs.
func covariance(sigma []float64, pairs map[[2]int]float64) *mat.SymDense {
	c := mat.NewSymDense(len(sigma), nil)
	for i, s := range sigma {
		c.SetSym(i, i, s*s)
	}
	for p, rho := range pairs {
		c.SetSym(p[0], p[1], rho*sigma[p[0]]*sigma[p[1]])
	}
	return c
}

// linearCases are Gaussian linear cases with published or derived numbers: the
// case β = 1, σ = (1, 1, 2), ρ₂₃ = 0.9 is that of Iooss and Prieur 2019 (International
// Journal for Uncertainty Quantification 9:493), as in the R package sensitivity,
// shapleyPermEx; the last shows an input that the model does not read.
var linearCases = []struct {
	name                             string
	beta, sigma                      []float64
	pairs                            map[[2]int]float64
	variance                         float64
	shapley, fullFirst, independentT []float64
}{
	{"rho 0.9", []float64{1, 1, 1}, []float64{1, 1, 2}, map[[2]int]float64{{1, 2}: 0.9}, 9.6,
		[]float64{0.104166667, 0.418229167, 0.477604167}, []float64{0.104166667, 0.816666667, 0.876041667}, []float64{0.104166667, 0.019791667, 0.079166667}},
	{"rho 0.5", []float64{1, 1, 1}, []float64{1, 1, 2}, map[[2]int]float64{{1, 2}: 0.5}, 8,
		[]float64{0.125, 0.296875, 0.578125}, []float64{0.125, 0.5, 0.78125}, []float64{0.125, 0.09375, 0.375}},
	{"rho -0.5", []float64{1, 1, 1}, []float64{1, 1, 2}, map[[2]int]float64{{1, 2}: -0.5}, 4,
		[]float64{0.25, 0.09375, 0.65625}, []float64{0.25, 0, 0.5625}, []float64{0.25, 0.1875, 0.75}},
	{"rho -0.9", []float64{1, 1, 1}, []float64{1, 1, 2}, map[[2]int]float64{{1, 2}: -0.9}, 2.4,
		[]float64{0.416666667, 0.172916667, 0.410416667}, []float64{0.416666667, 0.266666667, 0.504166667}, []float64{0.416666667, 0.079166667, 0.316666667}},
	{"two", []float64{1, 1}, []float64{1, 2}, map[[2]int]float64{{0, 1}: 0.5}, 7,
		[]float64{0.339285714, 0.660714286}, []float64{0.571428571, 0.892857143}, []float64{0.107142857, 0.428571429}},
	{"not read", []float64{1, 0}, []float64{1, 1}, map[[2]int]float64{{0, 1}: 0.8}, 1,
		[]float64{0.68, 0.32}, []float64{1, 0.64}, []float64{0.36, 0}},
}

// inside checks that exact values are in the intervals and that the intervals
// are not so wide that they say nothing.
func inside(t *testing.T, r *drivers.Result, kind drivers.Kind, exact []float64, widest float64) {
	t.Helper()
	for g, want := range exact {
		i, ok := r.Index(kind, fmt.Sprintf("x%d", g+1))
		if !ok {
			t.Errorf("%s of x%d is missing", kind, g+1)
			continue
		}
		// Rounding is all the noise there is where the exact value is got.
		if want < i.Low-1e-9 || want > i.High+1e-9 || i.HalfWidth() > widest {
			t.Errorf("%s of x%d: exact %.6f, got %.6f (%.6f to %.6f)", kind, g+1, want, i.Value, i.Low, i.High)
		}
	}
}

var background = context.Background()

// The force of a side hold at a fixed arm angle over 12 independent inputs: the
// model of testdata/bench/drivers/openturns_sobol.py.
func BenchmarkSobol(b *testing.B) {
	p := functions.Force()
	b.ReportAllocs()
	var evaluations int64
	for b.Loop() {
		r := golden.Must(drivers.Sobol(background, p, drivers.SobolOptions{Options: drivers.Options{Base: 1 << 12}}))(b)
		evaluations += r.Evaluations
	}
	b.ReportMetric(float64(evaluations)/b.Elapsed().Seconds(), "evaluations/s")
}

// Ten groups of three inputs, all dependent.
func shapleyProblem(t testing.TB, groups int) drivers.Problem {
	d := 3 * groups
	beta := make([]float64, d)
	c := mat.NewSymDense(d, nil)
	for i := range d {
		beta[i] = math.Cos(1.7 * float64(i))
		for j := range i {
			c.SetSym(i, j, 0.6*math.Exp(-0.1*float64(i-j)))
		}
		c.SetSym(i, i, 1)
	}
	p := linear(t, beta, c)
	for g := range groups {
		p.Groups = append(p.Groups, drivers.Group{Name: fmt.Sprintf("g%d", g), Inputs: []int{3 * g, 3*g + 1, 3*g + 2}})
	}
	return p
}

func BenchmarkShapley(b *testing.B) {
	for _, c := range []struct {
		name   string
		groups int
		run    func(drivers.Problem, drivers.Options) (*drivers.Result, error)
	}{
		{"subsets/groups=10", 10, func(p drivers.Problem, o drivers.Options) (*drivers.Result, error) {
			return drivers.Shapley(background, p, o)
		}},
		{"permutations/groups=10", 10, func(p drivers.Problem, o drivers.Options) (*drivers.Result, error) {
			return drivers.ShapleyPermutations(background, p, o)
		}},
	} {
		b.Run(c.name, func(b *testing.B) {
			p := shapleyProblem(b, c.groups)
			b.ReportAllocs()
			var evaluations int64
			var widest float64
			for b.Loop() {
				r := golden.Must(c.run(p, drivers.Options{Until: 0.01, Base: 64, MaxEvaluations: 1 << 40}))(b)
				evaluations += r.Evaluations
				for _, i := range r.Indices {
					widest = max(widest, i.HalfWidth())
				}
			}
			b.ReportMetric(float64(evaluations)/b.Elapsed().Seconds(), "evaluations/s")
			b.ReportMetric(widest, "half-width")
		})
	}
}
