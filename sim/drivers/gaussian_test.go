package drivers

import (
	"math"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"counterpoise/internal/golden"
	"counterpoise/sim/montecarlo"
)

var fourByFour = mat.NewSymDense(4, []float64{
	1.44, 0.50, -0.30, 0,
	0.50, 0.81, 0.25, 0,
	-0.30, 0.25, 2.25, 0,
	0, 0, 0, 0.49,
})

func draws(t *testing.T, g *Gaussian, seed uint64, rows int) [][]float64 {
	t.Helper()
	s := montecarlo.NewStream(seed, "test")
	u, x := montecarlo.Columns(g.Inputs(), rows), montecarlo.Columns(g.Inputs(), rows)
	for _, column := range u {
		for i := range column {
			column[i] = s.Float64()
		}
	}
	for _, column := range x {
		fill(column, nan) // what is in dst must not matter
	}
	g.Draw(x, u)
	return x
}

// wantCovariance compares sample covariances with exact ones at 5 standard errors,
// √((σᵢᵢσⱼⱼ + σᵢⱼ²)/n) each.
func wantCovariance(t *testing.T, x [][]float64, want mat.Symmetric) {
	t.Helper()
	n := float64(len(x[0]))
	for i := range x {
		for j := range i + 1 {
			got := stat.Covariance(x[i], x[j], nil)
			se := math.Sqrt((want.At(i, i)*want.At(j, j) + want.At(i, j)*want.At(i, j)) / n)
			if !(math.Abs(got-want.At(i, j)) < 5*se) {
				t.Errorf("covariance of %d and %d: %v, want %v ± %v", i, j, got, want.At(i, j), se)
			}
		}
	}
}

func TestGaussianDraw(t *testing.T) {
	g := golden.Must(NewGaussian(fourByFour))(t)
	wantCovariance(t, draws(t, g, 1, 200_000), fourByFour)
}

// A redrawn row has the joint distribution of all inputs, and what it has in
// common with the first is the kept inputs: the covariance of a redrawn input
// with the same input before is that of its regression on those kept.
func TestGaussianCondition(t *testing.T) {
	g := golden.Must(NewGaussian(fourByFour))(t)
	const rows = 200_000
	x, fresh := draws(t, g, 2, rows), draws(t, g, 3, rows)
	for set := range 16 {
		keep := make([]bool, 4)
		for i := range keep {
			keep[i] = set>>i&1 == 1
		}
		redraw := golden.Must(g.Condition(keep))(t)
		y := montecarlo.Columns(4, rows)
		for _, column := range y {
			fill(column, nan)
		}
		drawn := slices.Clone(y)
		redraw(drawn, x, fresh)
		for i, k := range keep {
			if k {
				drawn[i] = x[i]
			}
		}
		wantCovariance(t, drawn, fourByFour)

		// Cov(y, x) = Σ·ₛ Σₛₛ⁻¹ Σₛ·, by elimination: Σ less what is left of it when
		// S is swept out.
		left := mat.NewDense(4, 4, nil)
		left.Copy(fourByFour)
		for k := range keep {
			if !keep[k] {
				continue
			}
			pivot := left.At(k, k)
			row, column := mat.Row(nil, k, left), mat.Col(nil, k, left)
			for i := range 4 {
				for j := range 4 {
					left.Set(i, j, left.At(i, j)-column[i]*row[j]/pivot)
				}
			}
		}
		for i := range 4 {
			for j := range 4 {
				want := fourByFour.At(i, j) - left.At(i, j)
				got := stat.Covariance(drawn[i], x[j], nil)
				se := math.Sqrt((fourByFour.At(i, i)*fourByFour.At(j, j) + want*want) / rows)
				if !(math.Abs(got-want) < 5*se) {
					t.Errorf("kept %v: covariance of redrawn %d with %d: %v, want %v ± %v", keep, i, j, got, want, se)
				}
			}
		}

		// With the same rows for both, the rows themselves come out.
		redraw(y, x, x)
		for i := range 4 {
			for r := range 100 {
				if !keep[i] && !(math.Abs(y[i][r]-x[i][r]) <= 1e-12) {
					t.Fatalf("kept %v: from a row and itself comes %v, want %v", keep, y[i][r], x[i][r])
				}
			}
		}
	}
}

func TestGaussianIndependent(t *testing.T) {
	g := golden.Must(NewGaussian(fourByFour))(t)
	if !g.Independent([]int{3}, []int{0, 1, 2}) || g.Independent([]int{3, 2}, []int{1}) {
		t.Error("independence is not read off the matrix")
	}
}

func TestBadCovariances(t *testing.T) {
	for _, c := range []struct {
		m    *mat.SymDense
		want string
	}{
		{mat.NewSymDense(2, []float64{1, 1.2, 1.2, 1}), "not positive definite"},
		{mat.NewSymDense(2, []float64{1, 1, 1, 1}), "definite"},
		{mat.NewSymDense(2, []float64{1, 1 - 1e-13, 1 - 1e-13, 1}), "nearly singular"},
		{mat.NewSymDense(2, []float64{1, math.NaN(), math.NaN(), 1}), "NaN"},
		{mat.NewSymDense(2, []float64{math.Inf(1), 0, 0, 1}), "+Inf"},
		{&mat.SymDense{}, "empty"},
	} {
		_, err := NewGaussian(c.m)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("error %v, want something of %q", err, c.want)
		}
	}
}

// No allocation for rows.
func TestRedrawAllocates(t *testing.T) {
	g := golden.Must(NewGaussian(fourByFour))(t)
	x, fresh, y := draws(t, g, 4, 300), draws(t, g, 5, 300), montecarlo.Columns(4, 300)
	redraw := golden.Must(g.Condition([]bool{true, false, true, false}))(t)
	if n := testing.AllocsPerRun(10, func() { redraw(y, x, fresh) }); n != 0 {
		t.Errorf("%v allocations", n)
	}
}
