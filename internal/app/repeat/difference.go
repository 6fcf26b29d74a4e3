package repeat

import (
	"bytes"
	"encoding/json"
	"fmt"
	"iter"
	"math"
	"strconv"

	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
)

// difference says where the values of two files first differ, or nothing where
// they do not. Where the files come from is not looked at.
func (m *made) difference(next *made) (string, error) {
	if m.text != nil {
		where, was, is := provenance.DifferentJSON(withoutStamp(m.text), withoutStamp(next.text))
		if where == "" && m.page != nil && next.page != nil {
			return differentLine(m.whole, next.whole), nil
		}
		if where == "" {
			return "", nil
		}
		return fmt.Sprintf("%s is %s in the file, %s in the repeat", where, was, is), nil
	}
	a, err := table.Open(m.path)
	if err != nil {
		return "", err
	}
	defer a.Close()
	b, err := table.Open(next.path)
	if err != nil {
		return "", err
	}
	defer b.Close()
	return differentTables(a, b)
}

// withoutStamp returns JSON without its provenance.
func withoutStamp(text []byte) []byte {
	var tree map[string]json.RawMessage
	if json.Unmarshal(text, &tree) != nil {
		return text
	}
	delete(tree, "provenance")
	rest, err := json.Marshal(tree)
	if err != nil {
		return text
	}
	return rest
}

func differentTables(a, b *table.Reader) (string, error) {
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
func cells(p, q *table.Block, kind table.Kind, j, row int) (u, v string, same bool) {
	switch kind {
	case table.Float32:
		x, y := p.Float32[j][row], q.Float32[j][row]
		if math.Float32bits(x) == math.Float32bits(y) || x != x && y != y {
			return "", "", true
		}
		return fmt.Sprint(x), fmt.Sprint(y), false
	case table.Int32:
		return fmt.Sprint(p.Int32[j][row]), fmt.Sprint(q.Int32[j][row]), p.Int32[j][row] == q.Int32[j][row]
	case table.Int64:
		return fmt.Sprint(p.Int64[j][row]), fmt.Sprint(q.Int64[j][row]), p.Int64[j][row] == q.Int64[j][row]
	}
	return strconv.Quote(p.Text[j][row]), strconv.Quote(q.Text[j][row]), p.Text[j][row] == q.Text[j][row]
}

// pull returns a function that gives the blocks of a table one after another, and
// one that ends it.
func pull(r *table.Reader) (next func() (*table.Block, error), stop func()) {
	pulled, stop := iter.Pull2(r.Blocks())
	return func() (*table.Block, error) {
		block, err, ok := pulled()
		if !ok {
			return nil, fmt.Errorf("the table has fewer rows than it says")
		}
		return block, err
	}, stop
}

// differentLine says in which line two pages of the same data first differ.
func differentLine(a, b []byte) string {
	x, y := bytes.Split(a, []byte("\n")), bytes.Split(b, []byte("\n"))
	for i := range min(len(x), len(y)) {
		if !bytes.Equal(x[i], y[i]) {
			return fmt.Sprintf("line %d of the page, whose data are the same", i+1)
		}
	}
	return fmt.Sprintf("the page has %d lines in the file, %d in the repeat", len(x), len(y))
}
