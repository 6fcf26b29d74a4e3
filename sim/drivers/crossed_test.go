package drivers

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A quantity whose parts are known: 3a + 2b + ab with a and b standard normal has
// the parts 9, 4 and 1.
func TestCrossedOfKnownParts(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 15))
	const rows, columns, offset = 1200, 1500, 1e5
	b := make([]float64, columns)
	for i := range b {
		b[i] = random.NormFloat64()
	}
	c := NewCrossed(columns)
	row := make([]float64, columns)
	for range rows {
		a := random.NormFloat64()
		for i := range row {
			row[i] = offset + 3*a + 2*b[i] + a*b[i]
		}
		c.Add(row)
	}
	got := c.Components()
	// A variance of n normals has the relative standard error √(2/n); the mean that of its draws.
	for _, part := range []struct {
		name               string
		got, want, allowed float64
	}{
		{"mean", got.Mean, offset, 4 * (3/math.Sqrt(rows) + 2/math.Sqrt(columns))},
		{"rows", got.Rows, 9, 4*9*math.Sqrt(2./rows) + 4*2*3/math.Sqrt(columns)},
		{"columns", got.Columns, 4, 4*4*math.Sqrt(2./columns) + 4*2*2/math.Sqrt(rows)},
		{"both", got.Both, 1, 4 * (math.Sqrt(2./rows) + math.Sqrt(2./columns))},
	} {
		if !(math.Abs(part.got-part.want) <= part.allowed) {
			t.Errorf("%s is %.4f, want %.4f ± %.4f", part.name, part.got, part.want, part.allowed)
		}
	}
}

// By hand, two rows of three: effects ±1 of the rows, −2, 0, 2 of the columns, and
// nothing else; mean squares 6 and 8, so that the components are 2 and 4.
func TestCrossedByHand(t *testing.T) {
	c := NewCrossed(3)
	c.Add([]float64{10 - 1 - 2, 10 - 1, 10 - 1 + 2})
	c.Add([]float64{10 + 1 - 2, 10 + 1, 10 + 1 + 2})
	got := c.Components()
	if got.Mean != 10 || !(math.Abs(got.Rows-2) <= 1e-12) || !(math.Abs(got.Columns-4) <= 1e-12) || got.Both > 1e-12 {
		t.Errorf("got %+v", got)
	}
	if one := NewCrossed(3); !math.IsNaN(one.Components().Rows) {
		t.Errorf("without rows %+v", one.Components())
	}
	row, column := NewCrossed(3), NewCrossed(1)
	row.Add([]float64{1, 2, 4})
	for range 3 {
		column.Add([]float64{1})
	}
	for _, few := range []*Crossed{row, column} {
		if got := few.Components(); !math.IsNaN(got.Mean) || !math.IsNaN(got.Rows) || !math.IsNaN(got.Columns) || !math.IsNaN(got.Both) {
			t.Errorf("with one row or column %+v", got)
		}
	}
	c.Add([]float64{1, math.Inf(1), 2})
	if !math.IsNaN(c.Components().Rows) {
		t.Errorf("with infinity %+v", c.Components())
	}
}
