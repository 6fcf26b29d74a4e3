package table

import (
	"fmt"
	"iter"
	"math"
	"strconv"
)

// Difference says in what two tables first differ, a in a file and b in the repeat of it, or nothing
// where they do not. Their metadata are not looked at.
func Difference(a, b *Reader) (string, error) {
	x, y := a.Columns(), b.Columns()
	for i := range max(len(x), len(y)) {
		switch {
		case i >= len(x):
			return fmt.Sprintf("the column %s is not in the file", y[i].Name), nil
		case i >= len(y):
			return fmt.Sprintf("the column %s is not in the repeat", x[i].Name), nil
		case x[i] != y[i]:
			return fmt.Sprintf("column %d is %s in the file, %s in the repeat, or described in another way", i, x[i].Name, y[i].Name), nil
		}
	}
	if a.Rows() != b.Rows() {
		return fmt.Sprintf("%d rows in the file, %d in the repeat", a.Rows(), b.Rows()), nil
	}
	next, stop := pull(b)
	defer stop()
	from := int64(0)
	for p, err := range a.Blocks() {
		if err != nil {
			return "", err
		}
		q, err := next()
		if err != nil {
			return "", err
		}
		if p.Rows != q.Rows {
			return "the rows are grouped in another way", nil
		}
		for row := range p.Rows {
			for j, c := range x {
				if u, v, same := cells(p, q, c.Kind, j, row); !same {
					return fmt.Sprintf("row %d, %s is %s in the file, %s in the repeat", from+int64(row), c.Name, u, v), nil
				}
			}
		}
		from += int64(p.Rows)
	}
	return "", nil
}

// cells compares one value of two blocks; NaN, which stands for a missing value,
// is the same as NaN.
func cells(p, q *Block, kind Kind, j, row int) (u, v string, same bool) {
	switch kind {
	case Float32:
		x, y := p.Float32[j][row], q.Float32[j][row]
		if math.Float32bits(x) == math.Float32bits(y) || x != x && y != y {
			return "", "", true
		}
		return fmt.Sprint(x), fmt.Sprint(y), false
	case Int32:
		return fmt.Sprint(p.Int32[j][row]), fmt.Sprint(q.Int32[j][row]), p.Int32[j][row] == q.Int32[j][row]
	case Int64:
		return fmt.Sprint(p.Int64[j][row]), fmt.Sprint(q.Int64[j][row]), p.Int64[j][row] == q.Int64[j][row]
	}
	return strconv.Quote(p.Text[j][row]), strconv.Quote(q.Text[j][row]), p.Text[j][row] == q.Text[j][row]
}

// pull returns a function that gives the blocks of a table one after another, and
// one that ends it.
func pull(r *Reader) (next func() (*Block, error), stop func()) {
	pulled, stop := iter.Pull2(r.Blocks())
	return func() (*Block, error) {
		block, err, ok := pulled()
		if !ok {
			return nil, fmt.Errorf("the table has fewer rows than it says")
		}
		return block, err
	}, stop
}
