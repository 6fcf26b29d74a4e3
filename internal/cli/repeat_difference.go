package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"iter"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
)

// firstDifference says in what the origins of two outputs differ, in the order of
// what explains most, or nothing where they do not. inA and inB are words for
// where each is.
func firstDifference(a, b *provenance.Stamp, inA, inB string) string {
	if list := differences(a, b, inA, inB); len(list) > 0 {
		return list[0]
	}
	return ""
}

// differences says likewise of code, seed, data, assumptions and study each in what
// they first differ.
func differences(a, b *provenance.Stamp, inA, inB string) (list []string) {
	add := func(said string) {
		if said != "" {
			list = append(list, said)
		}
	}
	differ := func(what string, x, y any) { add(fmt.Sprintf("%s is %v %s, %v %s", what, x, inA, y, inB)) }
	switch x, y := codeOf(a), codeOf(b); {
	case a.Code != b.Code:
		differ("the code", x, y)
	case x != y:
		differ("the version", x, y)
	}
	if a.Seed != b.Seed {
		differ("the seed", a.Seed, b.Seed)
	}
	add(differentMaps(a.Data, b.Data, "the data set ", "the SHA-256 of the data set ", inA, inB))
	add(differentMaps(a.Assumptions, b.Assumptions, "the assumption ", "the assumption ", inA, inB))
	if where, x, y := differentJSON(a.Study, b.Study); where != "" {
		differ("the study's "+where, x, y)
	}
	return list
}

// codeOf says which code made an output.
func codeOf(s *provenance.Stamp) string {
	if s.Code == "" {
		return s.Tool + " " + s.Version + " of unrecorded sources"
	}
	return s.Tool + " " + s.Version + " of sources " + provenance.ShortHash(s.Code)
}

// differentMaps says which value of two maps, called thing or value, is in one of them
// only or not the same in both.
func differentMaps[V comparable](a, b map[string]V, thing, value, inA, inB string) string {
	for _, name := range keysOf(a, b) {
		x, inX := a[name]
		y, inY := b[name]
		switch {
		case !inX:
			return thing + name + " is not " + inA
		case !inY:
			return thing + name + " is not " + inB
		case x != y:
			return fmt.Sprintf("%s%s is %v %s, %v %s", value, name, x, inA, y, inB)
		}
	}
	return ""
}

// keysOf lists the keys of two maps, sorted.
func keysOf[V any](a, b map[string]V) []string {
	all := maps.Clone(a)
	if all == nil {
		all = map[string]V{}
	}
	maps.Copy(all, b)
	return slices.Sorted(maps.Keys(all))
}

// differentJSON returns the path to the first place where two JSON texts differ,
// keys in their order, and what stands there; an empty path where they do not.
func differentJSON(a, b []byte) (where, inA, inB string) {
	var x, y any
	if decode(a, &x) != nil || decode(b, &y) != nil {
		if bytes.Equal(a, b) {
			return "", "", ""
		}
		return "the text", short(string(a)), short(string(b))
	}
	return differentTree("", x, y)
}

func decode(text []byte, into *any) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	return d.Decode(into)
}

func differentTree(path string, x, y any) (where, inA, inB string) {
	switch x := x.(type) {
	case map[string]any:
		y, ok := y.(map[string]any)
		if !ok {
			break
		}
		for _, key := range keysOf(x, y) {
			at := strings.TrimPrefix(path+"."+key, ".")
			u, inX := x[key]
			v, inY := y[key]
			if !inX || !inY {
				return at, tree(u, inX), tree(v, inY)
			}
			if where, u, v := differentTree(at, u, v); where != "" {
				return where, u, v
			}
		}
		return "", "", ""
	case []any:
		y, ok := y.([]any)
		if !ok {
			break
		}
		for i := range max(len(x), len(y)) {
			at := fmt.Sprintf("%s[%d]", path, i)
			if i >= len(x) || i >= len(y) {
				var u, v any
				if i < len(x) {
					u = x[i]
				} else {
					v = y[i]
				}
				return at, tree(u, i < len(x)), tree(v, i < len(y))
			}
			if where, u, v := differentTree(at, x[i], y[i]); where != "" {
				return where, u, v
			}
		}
		return "", "", ""
	}
	if u, v := tree(x, true), tree(y, true); u != v || fmt.Sprintf("%T", x) != fmt.Sprintf("%T", y) {
		if path == "" {
			path = "the value"
		}
		return path, u, v
	}
	return "", "", ""
}

func tree(x any, there bool) string {
	if !there {
		return "missing"
	}
	text, err := provenance.CanonicalJSON(x)
	if err != nil {
		return fmt.Sprint(x)
	}
	return short(string(text))
}

// short cuts a text that is long.
func short(text string) string {
	const most = 60
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

// difference says where the values of two files first differ, or nothing where
// they do not. Where the files come from is not looked at.
func (m *output) difference(next *output) (string, error) {
	if m.text != nil {
		where, was, is := differentJSON(withoutStamp(m.text), withoutStamp(next.text))
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
