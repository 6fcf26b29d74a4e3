package linear

import (
	"slices"

	"counterpoise/sim/math"

	"gonum.org/v1/gonum/mat"
)

// Cholesky is the lower triangle L of a positive definite matrix L·Lᵀ.
type Cholesky struct {
	n     int
	lower []float64 // row-major
	// Cond is the condition number of the matrix in the 1-norm.
	Cond float64
}

// Factorize factorizes a matrix, and says whether it is positive definite, by more than
// rounding.
func Factorize(of mat.Symmetric) (*Cholesky, bool) {
	n := of.SymmetricDim()
	c := &Cholesky{n: n, lower: make([]float64, n*n)}
	for i := range n {
		row := c.row(i)
		for j := range i + 1 {
			rest := of.At(i, j) - Dot(row[:j], c.row(j)[:j])
			if i > j {
				row[j] = rest / c.row(j)[j]
				continue
			}
			if !(rest > 0) {
				return nil, false
			}
			row[i] = math.Sqrt(rest)
		}
	}
	c.Cond = c.condition(of)
	return c, c.Cond < 1e16
}

func (c *Cholesky) row(i int) []float64 { return c.lower[i*c.n : (i+1)*c.n] }

// At is an element of the lower triangle.
func (c *Cholesky) At(i, j int) float64 { return c.lower[i*c.n+j] }

// Solve returns the x of which the matrix times x is b.
func (c *Cholesky) Solve(b []float64) []float64 {
	x := slices.Clone(b[:c.n])
	for i := range x {
		x[i] = (x[i] - Dot(c.row(i)[:i], x[:i])) / c.At(i, i)
	}
	for i := c.n - 1; i >= 0; i-- {
		for j := i + 1; j < c.n; j++ {
			x[i] -= float64(c.At(j, i) * x[j])
		}
		x[i] /= c.At(i, i)
	}
	return x
}

func (c *Cholesky) condition(of mat.Symmetric) float64 {
	norm, ofInverse, unit := 0.0, 0.0, make([]float64, c.n)
	for j := range c.n {
		sum := 0.0
		for i := range c.n {
			sum += math.Abs(of.At(i, j))
		}
		unit[j] = 1
		inverse := 0.0
		for _, x := range c.Solve(unit) {
			inverse += math.Abs(x)
		}
		unit[j] = 0
		norm, ofInverse = max(norm, sum), max(ofInverse, inverse)
	}
	return norm * ofInverse
}

// AddOuter adds by·x·xᵀ to a matrix.
func AddOuter(to *mat.SymDense, by float64, x []float64) {
	for i, v := range x {
		for j := i; j < len(x); j++ {
			to.SetSym(i, j, to.At(i, j)+float64(by*v*x[j]))
		}
	}
}

// LeastSquares returns, of the x of which a·x is nearest to b, the shortest, and the rank of a:
// how many of its singular values are above least times the greatest.
//
// The columns of a are turned in pairs until all are at right angles to each other (one-sided
// Jacobi rotations, Hestenes 1958), which leaves the singular values as their lengths.
func LeastSquares(a *mat.Dense, b []float64, least float64) (x []float64, rank int) {
	rows, n := a.Dims()
	columns, turns := make([][]float64, n), make([][]float64, n) // of a·V and of V
	for j := range n {
		columns[j], turns[j] = make([]float64, rows), make([]float64, n)
		turns[j][j] = 1
		for i := range rows {
			columns[j][i] = a.At(i, j)
		}
	}
	const sweeps, aligned = 60, 1e-15
	for turned, sweep := true, 0; turned && sweep < sweeps; sweep++ {
		turned = false
		for p := range n {
			for q := p + 1; q < n; q++ {
				pp, qq, pq := Dot(columns[p], columns[p]), Dot(columns[q], columns[q]), Dot(columns[p], columns[q])
				if math.Abs(pq) <= aligned*math.Sqrt(pp*qq) {
					continue
				}
				turned = true
				zeta := (qq - pp) / (2 * pq)
				tangent := math.Copysign(1, zeta) / (math.Abs(zeta) + math.Hypot(1, zeta))
				cosine := 1 / math.Hypot(1, tangent)
				turn(columns[p], columns[q], cosine, cosine*tangent)
				turn(turns[p], turns[q], cosine, cosine*tangent)
			}
		}
	}
	squares, greatest := make([]float64, n), 0.0
	for j, column := range columns {
		squares[j] = Dot(column, column)
		greatest = max(greatest, squares[j])
	}
	x = make([]float64, n)
	for j, square := range squares {
		if math.Sqrt(square) > least*math.Sqrt(greatest) {
			rank++
			AddScaled(x, Dot(columns[j], b)/square, turns[j])
		}
	}
	return x, rank
}

// turn turns two columns into each other.
func turn(p, q []float64, cosine, sine float64) {
	for i, x := range p {
		p[i], q[i] = float64(cosine*x)-float64(sine*q[i]), float64(sine*x)+float64(cosine*q[i])
	}
}
