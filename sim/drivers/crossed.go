package drivers

import "counterpoise/sim/math"

// Crossed takes the variance of a quantity apart that depends on two independent
// things, from a crossed design: every row is one draw of the first, such as the
// assumptions, and holds the quantity for the same draws of the second, such as
// people. It needs no memory but a sum for every column.
//
// The variance components are those of the two-way analysis of variance with
// random effects and one observation a cell (Scheffé 1959, "The Analysis of
// Variance", ch. 7; from memory).
type Crossed struct {
	rows    int
	columns []float64 // sums over the rows, less shift
	shift   float64   // of the first row's mean, so that squares keep their digits
	means   []float64 // of the rows, less shift
	square  float64   // sum of all squares, less shift
}

// NewCrossed returns a design without rows, of so many columns.
func NewCrossed(columns int) *Crossed { return &Crossed{columns: make([]float64, columns)} }

// Add takes one row, in order: another order gives other roundings. It panics
// where the row has another length.
func (c *Crossed) Add(row []float64) {
	if len(row) != len(c.columns) {
		panic("drivers: a row of another length")
	}
	if c.rows == 0 {
		for _, v := range row {
			c.shift += v / float64(len(row))
		}
	}
	sum := 0.0
	for i, v := range row {
		v -= c.shift
		c.columns[i] += v
		sum += v
		c.square += float64(v * v)
	}
	c.rows++
	c.means = append(c.means, sum/float64(len(row)))
}

// Means returns the mean of every row, less a constant; it is not to be changed.
func (c *Crossed) Means() []float64 { return c.means }

// Components are parts of a variance. They are estimates, cut off at 0, and add
// up to the variance of the quantity.
type Components struct {
	Mean    float64
	Rows    float64 // of what the rows draw
	Columns float64 // of what the columns draw
	Both    float64 // of what the one does differently to different draws of the other
}

// Components returns the parts. They are NaN with fewer than two rows or columns,
// or where a value was not finite.
func (c *Crossed) Components() Components {
	r, n := float64(c.rows), float64(len(c.columns))
	if c.rows < 2 || len(c.columns) < 2 {
		return Components{math.NaN(), math.NaN(), math.NaN(), math.NaN()}
	}
	mean := 0.0
	for _, m := range c.means {
		mean += m / r
	}
	rows, columns := 0.0, 0.0 // sums of squares
	for _, m := range c.means {
		rows += float64(n * (m - mean) * (m - mean))
	}
	for _, sum := range c.columns {
		columns += float64(r * (sum/r - mean) * (sum/r - mean))
	}
	rest := (c.square - float64(r*n*mean*mean) - rows - columns) / ((r - 1) * (n - 1))
	rest = max(rest, 0)
	return Components{
		Mean: c.shift + mean, Both: rest,
		Rows:    max((rows/(r-1)-rest)/n, 0),
		Columns: max((columns/(n-1)-rest)/r, 0),
	}
}
