package linear

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

func near(t *testing.T, what string, is, want float64) {
	t.Helper()
	if !(math.Abs(is-want) <= 1e-12*(1+math.Abs(want))) {
		t.Errorf("%s: %v, want %v", what, is, want)
	}
}

func column(random *rand.Rand, n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = 5 + random.NormFloat64()
	}
	return x
}

// Columns and moments agree with gonum's.
func TestColumns(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{2, 3, 17, 1000} {
		x, y := column(random, n), column(random, n)
		near(t, "Sum", Sum(x), floats.Sum(x))
		near(t, "Dot", Dot(x, y)/float64(n), floats.Dot(x, y)/float64(n))
		near(t, "Covariance", Covariance(x, y), stat.Covariance(x, y, nil))
		near(t, "Correlation", Correlation(x, y), stat.Correlation(x, y, nil))
		near(t, "PopVariance", PopVariance(x), stat.PopVariance(x, nil))
		mean, deviation := MeanStdDev(x)
		wantMean, wantDeviation := stat.MeanStdDev(x, nil)
		near(t, "mean", mean, wantMean)
		near(t, "deviation", deviation, wantDeviation)
		if MinIdx(x) != floats.MinIdx(x) {
			t.Errorf("MinIdx: %d, want %d", MinIdx(x), floats.MinIdx(x))
		}
		sorted := slices.Sorted(slices.Values(x))
		for _, share := range []float64{0, 0.05, 0.31, 0.5, 0.95, 1} {
			near(t, "Quantile", Quantile(share, sorted), stat.Quantile(share, stat.LinInterp, sorted, nil))
		}
		// Element by element, every product rounded: to the bit.
		combined, scaled, difference := slices.Clone(y), make([]float64, n), make([]float64, n)
		AddScaled(combined, 0.7, x)
		Add(combined, x)
		Scale(1.3, combined)
		Sub(combined, y)
		ScaleTo(scaled, -0.3, x)
		SubTo(difference, x, y)
		for i := range x {
			if combined[i] != float64((y[i]+float64(0.7*x[i])+x[i])*1.3)-y[i] || scaled[i] != -0.3*x[i] || difference[i] != x[i]-y[i] {
				t.Errorf("of %d elements number %d is combined wrongly", n, i)
			}
		}
	}
	if !math.IsNaN(Quantile(0.5, []float64{math.NaN(), 1})) {
		t.Error("the median of a column with NaN is a number")
	}
}

// positive is a random positive definite matrix.
func positive(random *rand.Rand, n int) *mat.SymDense {
	a := mat.NewSymDense(n, nil)
	for range n + 2 {
		x := column(random, n)
		AddOuter(a, 1, x)
		a.SymRankOne(a, 0.5, mat.NewVecDense(n, x))
	}
	return a
}

func TestCholesky(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for _, n := range []int{1, 2, 7, 20} {
		a, b := positive(random, n), column(random, n)
		factor, ok := Factorize(a)
		if !ok {
			t.Fatalf("%d: not positive definite", n)
		}
		var theirs mat.Cholesky
		var lower mat.TriDense
		theirs.Factorize(a)
		theirs.LTo(&lower)
		for i := range n {
			for j := range i + 1 {
				near(t, "lower", factor.At(i, j), lower.At(i, j))
			}
		}
		x := factor.Solve(b)
		var back mat.VecDense
		back.MulVec(a, mat.NewVecDense(n, x))
		for i := range b {
			if !(math.Abs(back.AtVec(i)-b[i]) <= 1e-14*factor.Cond) {
				t.Errorf("%d: a·x = %v, want %v", n, back.AtVec(i), b[i])
			}
		}
		if exact := mat.Cond(a, 1); !(math.Abs(factor.Cond-exact) <= 1e-14*exact*exact+1e-12) {
			t.Errorf("%d: condition %v, want %v", n, factor.Cond, exact)
		}
	}
	for name, a := range map[string]*mat.SymDense{
		"indefinite": mat.NewSymDense(2, []float64{1, 2, 2, 1}),
		"singular":   mat.NewSymDense(2, []float64{1, 1, 1, 1}),
		"NaN":        mat.NewSymDense(1, []float64{math.NaN()}),
	} {
		if _, ok := Factorize(a); ok {
			t.Errorf("the %s matrix is said to be positive definite", name)
		}
	}
}

// The least squares are the pseudoinverse's of gonum's singular values, of every shape and rank.
func TestLeastSquares(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 8))
	for range 300 {
		rows, n := 1+random.IntN(6), 1+random.IntN(6)
		want := 1 + random.IntN(min(rows, n))
		a, b := mat.NewDense(rows, n, nil), column(random, rows)
		for range want { // each adds one to the rank
			a.RankOne(a, 1, mat.NewVecDense(rows, column(random, rows)), mat.NewVecDense(n, column(random, n)))
		}
		x, rank := LeastSquares(a, b, 1e-9)
		var svd mat.SVD
		svd.Factorize(a, mat.SVDThin)
		var theirs mat.VecDense
		svd.SolveVecTo(&theirs, mat.NewVecDense(rows, b), svd.Rank(1e-9))
		if rank != svd.Rank(1e-9) || rank != want {
			t.Errorf("%d by %d: rank %d, want %d", rows, n, rank, want)
			continue
		}
		values := svd.Values(nil)
		for j := range x {
			if !(math.Abs(x[j]-theirs.AtVec(j)) <= 1e-13*(values[0]/values[rank-1])*(1+mat.Norm(&theirs, 2))) {
				t.Errorf("%d by %d, rank %d: x = %v, want %v", rows, n, rank, x, theirs.RawVector().Data)
				break
			}
		}
	}
}
