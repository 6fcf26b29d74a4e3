package anthro

import (
	"math"
	"math/rand/v2"
	"testing"

	"counterpoise/internal/golden"
)

// increasing returns random strictly increasing values with steps from tiny to
// large.
func increasing(random *rand.Rand, n int) []float64 {
	values := make([]float64, n)
	at := random.NormFloat64()
	for i := range values {
		at += math.Exp(4 * random.NormFloat64())
		values[i] = at
	}
	return values
}

func marginal(t *testing.T, first, step float64, values []float64) *Marginal {
	t.Helper()
	return golden.Must(NewMarginal(first, step, values))(t)
}

func TestMarginalPassesThroughItsKnots(t *testing.T) {
	random := rand.New(rand.NewChaCha8([32]byte{1}))
	for range 50 {
		values := increasing(random, 9)
		m := marginal(t, -2, 0.5, values)
		for i, want := range values {
			// Scores that are whole numbers of steps are exact in binary.
			if got := m.Value(-2 + 0.5*float64(i)); !(math.Abs(got-want) <= 1e-13*math.Abs(want)) {
				t.Errorf("value at knot %d is %v, want %v", i, got, want)
			}
		}
	}
}

// A normal distribution's marginal is a straight line, which the cubics must
// keep, tails included.
func TestMarginalKeepsAStraightLine(t *testing.T) {
	const mean, spread = 1.75, 0.068
	values := make([]float64, 13)
	for i := range values {
		values[i] = mean + spread*(-3+0.5*float64(i))
	}
	m := marginal(t, -3, 0.5, values)
	for _, z := range []float64{-7.3, -3.2, -3, -2.7, -0.61, 0.13, 1.9, 2.99, 3.4, 6.1} {
		if got, want := m.Value(z), mean+spread*z; !(math.Abs(got-want) <= 1e-14) {
			t.Errorf("value at %g is %v, want %v", z, got, want)
		}
	}
}

// Increasing everywhere, whatever the knots, with a derivative that does not
// jump: the slopes from either side of a knot agree.
func TestMarginalIsSmoothAndIncreasing(t *testing.T) {
	random := rand.New(rand.NewChaCha8([32]byte{2}))
	for range 200 {
		values := increasing(random, 12)
		m := marginal(t, -2.75, 0.5, values)
		last := m.Value(-4)
		for i := 1; i <= 8000; i++ {
			v := m.Value(-4 + 0.001*float64(i))
			// A cubic may be flat to rounding where it touches a slope of 0.
			if v < last-1e-12*math.Abs(last) {
				t.Fatalf("knots %v: value falls from %v to %v", values, last, v)
			}
			last = v
		}
		for k := 1; k < len(m.cells); k++ {
			c := m.cells[k-1]
			if left, right := c[1]+2*c[2]+3*c[3], m.cells[k][1]; math.Abs(left-right) > 1e-9*(math.Abs(left)+math.Abs(values[len(values)-1])) {
				t.Errorf("knots %v: slope %v before knot %d, %v after", values, left, k-1, right)
			}
		}
	}
}

func TestScoreInvertsValue(t *testing.T) {
	for _, name := range Surveys() {
		population := golden.Must(Load(name))(t)
		for m := range NumMeasurements {
			marginal := population.Marginal(m)
			for z := -6.0; z < 6; z += 0.0137 {
				if got := marginal.Score(marginal.Value(z)); !(math.Abs(got-z) <= 1e-12) {
					t.Fatalf("%s, %s: score of the value at %g is off by %g", name, m, z, got-z)
				}
			}
		}
	}
}

func TestMarginalNaN(t *testing.T) {
	m := marginal(t, -1, 1, []float64{2, 3, 5})
	for _, z := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if got := m.Value(z); !math.IsNaN(got) {
			t.Errorf("value of %g is %v", z, got)
		}
	}
	if got := m.Score(math.NaN()); !math.IsNaN(got) {
		t.Errorf("score of NaN is %v", got)
	}
}

func TestMarginalValuesInPlace(t *testing.T) {
	m := marginal(t, -1, 0.75, []float64{2, 3.5, 4, 7})
	scores := []float64{-3.1, -0.4, 0.2, 1.1, 5.7}
	dst := []float64{9, 9, 9, 9, 9}
	m.Values(dst, scores)
	for i := range scores {
		if dst[i] != m.Value(scores[i]) {
			t.Errorf("element %d is %v, want %v", i, dst[i], m.Value(scores[i]))
		}
	}
	m.Values(scores, scores)
	for i := range scores {
		if scores[i] != dst[i] {
			t.Errorf("in place, element %d is %v, want %v", i, scores[i], dst[i])
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("no panic for slices of different length")
		}
	}()
	m.Values(dst[:2], scores)
}

func TestNewMarginalRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		first, step float64
		values      []float64
	}{
		"too few knots":   {-1, 1, []float64{2, 3}},
		"no step":         {-1, 0, []float64{2, 3, 4}},
		"negative step":   {-1, -1, []float64{2, 3, 4}},
		"step NaN":        {-1, math.NaN(), []float64{2, 3, 4}},
		"first infinite":  {math.Inf(-1), 1, []float64{2, 3, 4}},
		"falling knots":   {-1, 1, []float64{2, 3, 2.5}},
		"equal knots":     {-1, 1, []float64{2, 3, 3}},
		"knot NaN":        {-1, 1, []float64{2, math.NaN(), 4}},
		"knot infinite":   {-1, 1, []float64{2, 3, math.Inf(1)}},
		"first knot -Inf": {-1, 1, []float64{math.Inf(-1), 3, 4}},
	} {
		if _, err := NewMarginal(c.first, c.step, c.values); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}
