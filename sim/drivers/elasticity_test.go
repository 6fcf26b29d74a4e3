package drivers_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"counterpoise/sim/drivers"
)

func one(f func(float64) float64) func([]float64) (float64, error) {
	return func(x []float64) (float64, error) { return f(x[0]), nil }
}

// Known derivatives, to 1e-9, and the stated error holds.
func TestDerivatives(t *testing.T) {
	for _, c := range []struct {
		name string
		f    func(float64) float64
		at   float64
		want float64
	}{
		{"exp", math.Exp, 1.3, math.Exp(1.3)},
		{"exp, far", math.Exp, -4.7, math.Exp(-4.7)},
		{"sin", math.Sin, 0.7, math.Cos(0.7)},
		{"steep sin", func(x float64) float64 { return math.Sin(40 * x) }, 0.7, 40 * math.Cos(28)},
		{"log", math.Log, 0.037, 1 / 0.037},
		{"root", math.Sqrt, 61, 0.5 / math.Sqrt(61)},
		{"power", func(x float64) float64 { return math.Pow(x, -0.67) }, 61, -0.67 * math.Pow(61, -1.67)},
		{"tan", math.Tan, 1.2, 1 / math.Pow(math.Cos(1.2), 2)},
		{"rational", func(x float64) float64 { return (2*x + 0.4) / (0.35 + 1.5*x) }, 0.62, (2*0.35 - 0.4*1.5) / math.Pow(0.35+1.5*0.62, 2)},
		{"large and small", func(x float64) float64 { return 1e6 * math.Cosh(1e-3*x) }, 170, 1e3 * math.Sinh(0.17)},
		{"a kink nearby", func(x float64) float64 { return math.Max(x*x, 1.2544) }, 1.1201, 2 * 1.1201},
	} {
		value, slopes, n, err := drivers.Elasticities(one(c.f), []drivers.Knob{{Name: "x", At: c.at}})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		s := slopes[0]
		if off := math.Abs(s.Derivative - c.want); off > 1e-9*math.Abs(c.want) || off > s.Error || s.Error > 1e-10*math.Abs(c.want) {
			t.Errorf("%s: derivative %v ± %v, want %v (off by %v)", c.name, s.Derivative, s.Error, c.want, off)
		}
		if s.Kink {
			t.Errorf("%s: no kink is there: %v, %v", c.name, s.Left, s.Right)
		}
		if want := c.want * c.at / c.f(c.at); !(math.Abs(s.Elasticity-want) <= 1e-9*math.Abs(want)) || value != c.f(c.at) {
			t.Errorf("%s: elasticity %v, want %v; value %v", c.name, s.Elasticity, want, value)
		}
		if n != 43 {
			t.Errorf("%d evaluations", n)
		}
	}
}

// A power law's elasticities are its exponents, input by input.
func TestElasticitiesOfPowers(t *testing.T) {
	f := func(x []float64) (float64, error) { return 3 * x[0] * math.Pow(x[1], -2) * math.Sqrt(x[2]), nil }
	_, slopes, n, err := drivers.Elasticities(f, []drivers.Knob{{"a", 0.62, 0}, {"b", -1.7, 0.1}, {"c", 61, 2}})
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{1, -2, 0.5} {
		if s := slopes[i]; !(math.Abs(s.Elasticity-want) <= 1e-9) || s.ElasticityError > 1e-8 || s.Kink {
			t.Errorf("%+v, want %v", s, want)
		}
	}
	if n != 127 {
		t.Errorf("%d evaluations, want 3·42 + 1", n)
	}
}

func TestKinks(t *testing.T) {
	for _, c := range []struct {
		name        string
		f           func(float64) float64
		knob        drivers.Knob
		left, right float64
	}{
		{"magnitude", math.Abs, drivers.Knob{Name: "x", At: 0, Reach: 0.3}, -1, 1},
		{"the greater of two", func(x float64) float64 { return math.Max(x, x*x*x) }, drivers.Knob{Name: "x", At: 1}, 1, 3},
		{"slight", func(x float64) float64 { return math.Exp(x) + 1e-4*math.Max(0, x-0.7) }, drivers.Knob{Name: "x", At: 0.7}, math.Exp(0.7), math.Exp(0.7) + 1e-4},
	} {
		_, slopes, _, err := drivers.Elasticities(one(c.f), []drivers.Knob{c.knob})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		s := slopes[0]
		if !s.Kink || !(math.Abs(s.Left-c.left) <= 1e-8) || !(math.Abs(s.Right-c.right) <= 1e-8) {
			t.Errorf("%s: %+v, want a kink between %v and %v", c.name, s, c.left, c.right)
		}
		if mean := (s.Left + s.Right) / 2; s.Derivative != mean || !(math.Abs(s.Error-math.Abs(s.Right-s.Left)/2) <= 1e-15) {
			t.Errorf("%s: derivative %v ± %v", c.name, s.Derivative, s.Error)
		}
	}
}

func TestFlatAndZero(t *testing.T) {
	_, slopes, _, err := drivers.Elasticities(func(x []float64) (float64, error) { return 0.9 + 0*x[0], nil }, []drivers.Knob{{Name: "x", At: 2.5}})
	if err != nil || slopes[0].Derivative != 0 || slopes[0].Elasticity != 0 || slopes[0].Kink {
		t.Errorf("a constant: %+v, %v", slopes, err)
	}
	_, slopes, _, err = drivers.Elasticities(one(math.Sin), []drivers.Knob{{Name: "x", At: 0, Reach: 0.1}})
	if err != nil || !(math.Abs(slopes[0].Derivative-1) <= 1e-9) || !math.IsNaN(slopes[0].Elasticity) {
		t.Errorf("sin at 0: %+v, %v", slopes, err)
	}
	_, slopes, _, err = drivers.Elasticities(one(math.Cos), []drivers.Knob{{Name: "x", At: 0, Reach: 0.1}})
	if err != nil || !(math.Abs(slopes[0].Derivative) <= slopes[0].Error) || slopes[0].Error > 1e-9 || slopes[0].Kink {
		t.Errorf("cos at its top: %+v, %v", slopes, err)
	}
}

func TestBadSlopes(t *testing.T) {
	stop := errors.New("arms too short")
	for _, c := range []struct {
		name  string
		f     func([]float64) (float64, error)
		knobs []drivers.Knob
		want  string
	}{
		{"jump", one(func(x float64) float64 { return math.Floor(x) + x }), []drivers.Knob{{Name: "x", At: 3}}, "do not settle"},
		{"vertical", one(func(x float64) float64 { return math.Cbrt(x - 2) }), []drivers.Knob{{Name: "x", At: 2}}, "do not settle"},
		{"NaN", one(func(x float64) float64 { return math.Sqrt(x - 2) }), []drivers.Knob{{Name: "x", At: 2.01}}, "the response is NaN at x=1."},
		{"error", func([]float64) (float64, error) { return 0, stop }, []drivers.Knob{{Name: "x", At: 2}}, "arms too short"},
		{"no reach", one(math.Exp), []drivers.Knob{{Name: "x", At: 0}}, "reach of 0"},
		{"too short a reach", one(math.Exp), []drivers.Knob{{Name: "x", At: 1, Reach: 1e-12}}, "reach of 1e-12"},
		{"NaN at", one(math.Cos), []drivers.Knob{{Name: "x", At: math.NaN()}}, "NaN"},
		{"no knob", one(math.Exp), nil, "no input"},
		{"no function", nil, []drivers.Knob{{Name: "x", At: 1}}, "no function"},
	} {
		_, slopes, _, err := drivers.Elasticities(c.f, c.knobs)
		if err == nil || slopes != nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want something of %q", c.name, err, c.want)
		}
	}
}
