package table

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/provenance"

	"github.com/apache/arrow-go/v18/parquet"
	"github.com/apache/arrow-go/v18/parquet/compress"
	"github.com/apache/arrow-go/v18/parquet/file"
)

// opened opens a table for as long as the test runs.
func opened(t *testing.T, path string) *Reader {
	t.Helper()
	r := golden.Must(Open(path))(t)
	t.Cleanup(func() { r.Close() })
	return r
}

// columnOf returns all values of a column.
func columnOf[T any](t *testing.T, r *Reader, name string, of func(*Block) [][]T) (all []T) {
	t.Helper()
	at := slices.IndexFunc(r.Columns(), func(c Column) bool { return c.Name == name })
	for b, err := range r.Blocks() {
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, of(b)[at][:b.Rows]...)
	}
	return all
}

// small makes row groups of 100 and parts of 300 rows.
var small = layout{partRows: 300, groupRows: 100}

var testColumns = []Column{
	{Name: "row", Kind: Int64, Description: "number of the row"},
	{Name: "required_force_bw", Kind: Float32, Unit: "BW", Description: "required force"},
	{Name: "shoulder_moment_nm", Kind: Float32, Unit: "N·m", Description: "shoulder moment", Missing: true},
	{Name: "sex", Kind: Int32, Description: "0 men, 1 women"},
	{Name: "leg_count", Kind: Int32, Description: "legs held out"},
	{Name: "mass_class_kg", Kind: Float32, Unit: "kg", Description: "class of body mass"},
}

var testPairs = []provenance.KeyValue{{Key: "counterpoise.seed", Value: "20"}, {Key: "note", Value: "made up: ± ½"}}

// testRows makes n rows that include what floats can be.
func testRows(n int) *Block {
	random := rand.New(rand.NewPCG(7, 11))
	b := NewBlock(testColumns, n)
	for i := range n {
		b.Int64[0][i] = math.MaxInt64 - int64(i)
		b.Float32[1][i] = float32(1.5 + 0.2*random.NormFloat64())
		b.Float32[2][i] = float32(80 + 12*random.NormFloat64())
		b.Int32[3][i] = int32(random.IntN(2))
		b.Int32[4][i] = math.MinInt32 + int32(random.IntN(1000))
		b.Float32[5][i] = float32(50 + 10*random.IntN(6))
		switch random.IntN(20) {
		case 0:
			b.Float32[1][i] = float32(math.Inf(1))
		case 1:
			b.Float32[2][i] = float32(math.NaN())
		case 2:
			b.Float32[2][i] = float32(math.Copysign(0, -1))
		}
	}
	return b
}

// copyRows copies rows [from, from+n) of src to dst at row to. It panics if
// src has a column that is shorter.
func copyRows(dst, src *Block, columns []Column, to, from, n int) {
	for i, c := range columns {
		switch c.Kind {
		case Float32:
			copy(dst.Float32[i][to:to+n], src.Float32[i][from:from+n])
		case Int32:
			copy(dst.Int32[i][to:to+n], src.Int32[i][from:from+n])
		case Int64:
			copy(dst.Int64[i][to:to+n], src.Int64[i][from:from+n])
		}
	}
}

// rowsOf returns rows [from, to) of b.
func rowsOf(b *Block, columns []Column, from, to int) *Block {
	part := NewBlock(columns, to-from)
	copyRows(part, b, columns, 0, from, to-from)
	return part
}

// write writes b in blocks of the given size.
func write(path string, b *Block, l layout, blockRows int) error {
	w, err := create(path, testColumns, testPairs, l)
	if err != nil {
		return err
	}
	defer w.Abort()
	for from := 0; from < b.Rows; from += blockRows {
		if err := w.Write(rowsOf(b, testColumns, from, min(from+blockRows, b.Rows))); err != nil {
			return err
		}
	}
	return w.Close()
}

// list returns every path under folder and the hash of its content.
func list(t *testing.T, folder string) map[string]string {
	t.Helper()
	found := map[string]string{}
	err := filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || path == folder {
			return err
		}
		name, _ := filepath.Rel(folder, path)
		if entry.IsDir() {
			found[name] = "folder"
			return nil
		}
		data, err := os.ReadFile(path)
		found[name] = fmt.Sprintf("%x", sha256.Sum256(data))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// same compares bit by bit, so that NaN equals itself and −0 differs from 0.
func same(a, b []float32) bool {
	return slices.EqualFunc(a, b, func(x, y float32) bool { return math.Float32bits(x) == math.Float32bits(y) })
}

func TestReadBack(t *testing.T) {
	for _, rows := range []int{0, 1, 99, 100, 101, 300, 301, 777, 900} {
		t.Run(fmt.Sprint(rows), func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "demand.parquet")
			want := testRows(rows)
			golden.OK(t, write(path, want, small, 37))
			info := golden.Must(os.Stat(path))(t)
			if info.IsDir() != (rows > 300) {
				t.Errorf("a folder: %t", info.IsDir())
			}
			if info.IsDir() {
				if got := len(list(t, path)); got != (rows+299)/300 {
					t.Errorf("%d parts", got)
				}
			}

			r := opened(t, path)
			if r.Rows() != int64(rows) {
				t.Errorf("%d rows", r.Rows())
			}
			if !reflect.DeepEqual(r.Columns(), testColumns) {
				t.Errorf("columns %+v", r.Columns())
			}
			if !reflect.DeepEqual(r.Metadata(), testPairs) {
				t.Errorf("metadata %q", r.Metadata())
			}
			for i, c := range testColumns {
				var equal bool
				switch c.Kind {
				case Float32:
					equal = same(columnOf(t, r, c.Name, func(b *Block) [][]float32 { return b.Float32 }), want.Float32[i])
				case Int32:
					equal = slices.Equal(columnOf(t, r, c.Name, func(b *Block) [][]int32 { return b.Int32 }), want.Int32[i])
				case Int64:
					equal = slices.Equal(columnOf(t, r, c.Name, func(b *Block) [][]int64 { return b.Int64 }), want.Int64[i])
				}
				if !equal {
					t.Errorf("column %s differs", c.Name)
				}
			}
			total := 0
			for block, err := range r.Blocks() {
				if err != nil {
					t.Fatal(err)
				}
				if !same(block.Float32[2], want.Float32[2][total:total+block.Rows]) {
					t.Errorf("block at row %d differs", total)
				}
				total += block.Rows
			}
			if total != rows {
				t.Errorf("blocks of %d rows in all", total)
			}
		})
	}
}

func TestBytesDependOnTheRowsAlone(t *testing.T) {
	// More than one page per column in a group: 64-bit pages hold 32,768 values.
	big := layout{partRows: 200_000, groupRows: 100_000}
	for _, rows := range []int{150_000, 250_000} {
		want := testRows(rows)
		var first map[string]string
		for _, blockRows := range []int{4096, 4096, 777, rows} {
			folder := t.TempDir()
			golden.OK(t, write(filepath.Join(folder, "t"), want, big, blockRows))
			got := list(t, folder)
			if first == nil {
				first = got
			} else if !reflect.DeepEqual(got, first) {
				t.Errorf("%d rows in blocks of %d: other bytes", rows, blockRows)
			}
		}
		if len(first) != map[int]int{150_000: 1, 250_000: 3}[rows] {
			t.Errorf("%d rows became %v", rows, slices.Sorted(mapKeys(first)))
		}
	}
}

func mapKeys(m map[string]string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// The file as the Parquet library itself sees it: the layout that was asked
// for, readable by others without our reader.
func TestLayoutOfTheFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "t.parquet")
	golden.OK(t, write(path, testRows(1000), layout{partRows: 1000, groupRows: 400}, 250))
	f := golden.Must(file.OpenParquetFile(path, false))(t)
	defer f.Close()
	var groups []int64
	for g := range f.NumRowGroups() {
		groups = append(groups, f.RowGroup(g).NumRows())
	}
	if !slices.Equal(groups, []int64{400, 400, 200}) {
		t.Errorf("row groups of %v rows", groups)
	}
	if got := f.MetaData().GetCreatedBy(); got != parquet.DefaultCreatedBy {
		t.Errorf("created by %q", got)
	}
	description := f.MetaData().KeyValueMetadata().FindValue("counterpoise.columns")
	if description == nil || !strings.HasPrefix(*description, `[{"description":"number of the row","kind":"int64","name":"row","unit":""},{`) {
		t.Errorf("columns described as %v", description)
	}
	for i, c := range testColumns {
		if f.MetaData().Schema.Column(i).SchemaNode().RepetitionType() != parquet.Repetitions.Required {
			t.Errorf("%s is not required", c.Name)
		}
		chunk := golden.Must(f.RowGroup(0).MetaData().ColumnChunk(i))(t)
		if chunk.Compression() != compress.Codecs.Lz4Raw {
			t.Errorf("%s is compressed by %v", c.Name, chunk.Compression())
		}
		if chunk.HasDictionaryPage() != (c.Kind == Text) {
			t.Errorf("%s has a dictionary: %t", c.Name, chunk.HasDictionaryPage())
		}
		split := slices.Contains(chunk.Encodings(), parquet.Encodings.ByteStreamSplit)
		if split != (c.Kind == Float32) {
			t.Errorf("%s has the encodings %v", c.Name, chunk.Encodings())
		}
		if set, err := chunk.StatsSet(); set != (c.Kind != Float32) || err != nil {
			t.Errorf("%s has statistics: %t (%v)", c.Name, set, err)
		}
	}
}

func TestColumnsAreChecked(t *testing.T) {
	good := Column{Name: "span_m", Kind: Float32, Unit: "m", Description: "arm span"}
	for _, c := range []Column{
		good,
		{Name: "bmi_kg_m2", Kind: Float32, Unit: "kg/m²", Description: "body mass index"},
		{Name: "moment_bw_m", Kind: Float32, Unit: "BW·m", Description: "moment"},
		{Name: "difficulty", Kind: Float32, Description: "load over capacity"},
		{Name: "tilt_ratio", Kind: Float32, Description: "tilt"},
	} {
		if err := validate([]Column{c}); err != nil {
			t.Error(err)
		}
	}
	for _, test := range []struct {
		change func(*Column)
		err    string
	}{
		{func(c *Column) { c.Name = "Span_m" }, "lower-case"},
		{func(c *Column) { c.Name = "" }, "lower-case"},
		{func(c *Column) { c.Name = "span.m" }, "lower-case"},
		{func(c *Column) { c.Unit = "" }, `its name promises "m"`},
		{func(c *Column) { c.Unit = "cm" }, `its name promises "m"`},
		{func(c *Column) { c.Name = "span" }, "must end in _m"},
		{func(c *Column) { c.Name = "span_bw_m" }, `its name promises "BW·m"`},
		{func(c *Column) { c.Name = "span_ratio" }, `its name promises ""`},
		{func(c *Column) { c.Name, c.Unit = "span", "furlong" }, "no ending"},
		{func(c *Column) { c.Description = "" }, "no description"},
		{func(c *Column) { c.Kind = 4 }, "no kind 4"},
		{func(c *Column) { c.Kind, c.Missing = Int32, true }, "only floats"},
	} {
		bad := good
		test.change(&bad)
		if err := validate([]Column{bad}); err == nil || !strings.Contains(err.Error(), test.err) {
			t.Errorf("%+v: error %v, want %q", bad, err, test.err)
		}
	}
	if err := validate([]Column{good, good}); err == nil || !strings.Contains(err.Error(), "two columns") {
		t.Errorf("two columns of one name: %v", err)
	}
	folder := t.TempDir()
	for name, create := range map[string]func() (*Writer, error){
		"no columns": func() (*Writer, error) { return Create(filepath.Join(folder, "x"), nil, nil) },
		"a key twice": func() (*Writer, error) {
			return Create(filepath.Join(folder, "x"), testColumns, append(testPairs, testPairs[0]))
		},
		"our own key": func() (*Writer, error) {
			return Create(filepath.Join(folder, "x"), testColumns, []provenance.KeyValue{{Key: keyRows, Value: "5"}})
		},
	} {
		if w, err := create(); err == nil {
			w.Abort()
			t.Errorf("%s: accepted", name)
		}
	}
	if left := list(t, folder); len(left) != 0 {
		t.Errorf("left behind: %v", left)
	}
}

func TestEndingsAreOrdered(t *testing.T) {
	for i, e := range endings {
		for _, earlier := range endings[:i] {
			if strings.HasSuffix(e.ending, earlier.ending) {
				t.Errorf("%s is never reached after %s", e.ending, earlier.ending)
			}
		}
	}
}

// A NaN where none may be gives the table up, and leaves what stood there.
func TestNaN(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "t")
	golden.OK(t, os.WriteFile(path, []byte("old"), 0o666))
	before := list(t, folder)
	w, err := create(path, testColumns, nil, small)
	if err != nil {
		t.Fatal(err)
	}
	rows := testRows(150)
	rows.Float32[1][123] = float32(math.NaN())
	err = errors.Join(w.Write(rowsOf(rows, testColumns, 0, 70)), w.Write(rowsOf(rows, testColumns, 70, 150)))
	if err == nil || !strings.Contains(err.Error(), "NaN in column required_force_bw, row 123") {
		t.Errorf("error %v", err)
	}
	if w.Close() == nil || w.Write(rowsOf(rows, testColumns, 0, 5)) == nil {
		t.Error("the failure was forgotten")
	}
	if after := list(t, folder); !reflect.DeepEqual(after, before) {
		t.Errorf("left %v", after)
	}
}

func TestShortColumnPanics(t *testing.T) {
	w := golden.Must(create(filepath.Join(t.TempDir(), "t"), testColumns, nil, small))(t)
	defer w.Abort()
	b := testRows(50)
	b.Int32[4] = b.Int32[4][:49]
	defer func() {
		if recover() == nil {
			t.Error("no panic")
		}
	}()
	w.Write(b)
}

// The name is taken only at Close, by whatever kind of table over whatever
// kind stood there.
func TestReplace(t *testing.T) {
	for _, from := range []int{0, 200, 500} { // nothing, a file, a folder
		for _, to := range []int{210, 650} {
			t.Run(fmt.Sprintf("%d by %d", from, to), func(t *testing.T) {
				folder := t.TempDir()
				path := filepath.Join(folder, "t")
				if from > 0 {
					golden.OK(t, write(path, testRows(from), small, 64))
				}
				before := list(t, folder)
				w := golden.Must(create(path, testColumns, testPairs, small))(t)
				defer w.Abort()
				golden.OK(t, w.Write(testRows(to)))
				during := list(t, folder)
				for name := range during {
					if _, ok := before[name]; !ok && !strings.HasPrefix(name, ".t.") {
						t.Errorf("%s is there before Close", name)
					}
				}
				for name, hash := range before {
					if during[name] != hash {
						t.Errorf("%s changed before Close", name)
					}
				}
				golden.OK(t, w.Close())
				w.Abort()
				if err := w.Close(); err != nil {
					t.Errorf("second Close: %v", err)
				}
				if err := w.Write(testRows(1)); err == nil {
					t.Error("wrote after Close")
				}
				for name := range list(t, folder) {
					if name != "t" && !strings.HasPrefix(name, "t/part-") {
						t.Errorf("%s was left", name)
					}
				}
				r := opened(t, path)
				if r.Rows() != int64(to) {
					t.Errorf("%d rows", r.Rows())
				}
			})
		}
	}
}

func TestAbort(t *testing.T) {
	folder := t.TempDir()
	for _, rows := range []int{150, 450} {
		w := golden.Must(create(filepath.Join(folder, "t"), testColumns, nil, small))(t)
		golden.OK(t, w.Write(testRows(rows)))
		w.Abort()
		w.Abort()
		if err := w.Close(); err == nil {
			t.Error("closed what was given up")
		}
		if left := list(t, folder); len(left) != 0 {
			t.Errorf("left behind: %v", left)
		}
	}
}

func TestPathsThatMustNotBeReplaced(t *testing.T) {
	folder := t.TempDir()
	precious := filepath.Join(folder, "precious")
	mixed := filepath.Join(folder, "mixed")
	err := errors.Join(
		os.MkdirAll(filepath.Join(folder, "empty"), 0o777),
		os.MkdirAll(precious, 0o777), os.WriteFile(filepath.Join(precious, "thesis.txt"), []byte("life's work"), 0o666),
		os.MkdirAll(mixed, 0o777), os.WriteFile(filepath.Join(mixed, partName(0)), nil, 0o666),
		os.WriteFile(filepath.Join(mixed, "notes.md"), nil, 0o666),
		os.MkdirAll(filepath.Join(folder, "nested", partName(0)), 0o777),
	)
	if err != nil {
		t.Fatal(err)
	}
	before := list(t, folder)
	for _, path := range []string{
		"empty", "precious", "mixed", "nested", filepath.Join("missing", "t"),
	} {
		if w, err := create(filepath.Join(folder, path), testColumns, nil, small); err == nil {
			w.Abort()
			t.Errorf("%s: accepted", path)
		}
	}
	if w, err := create(os.DevNull, testColumns, nil, small); err == nil {
		w.Abort()
		t.Error("the null device: accepted")
	}
	if after := list(t, folder); !reflect.DeepEqual(after, before) {
		t.Errorf("now %v", after)
	}
}

func TestFolderTakenWhileWriting(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "t")
	w := golden.Must(create(path, testColumns, nil, small))(t)
	golden.OK(t, errors.Join(w.Write(testRows(500)), os.Mkdir(path, 0o777), os.WriteFile(filepath.Join(path, "thesis.txt"), nil, 0o666)))
	if err := w.Close(); err == nil {
		t.Error("replaced somebody's folder")
	}
	if after := list(t, folder); len(after) != 2 {
		t.Errorf("left %v", after)
	}
}

func TestUnwritableFolder(t *testing.T) {
	folder := golden.Closed(t)
	if _, err := create(filepath.Join(folder, "t"), testColumns, nil, small); !errors.Is(err, fs.ErrPermission) || !strings.Contains(err.Error(), "cannot be written") {
		t.Errorf("error %v", err)
	}
}

// fullDisk fails once it has taken room bytes.
type fullDisk struct {
	io.Writer
	space *int
}

var errFull = errors.New("no space left on device")

func (d fullDisk) Write(data []byte) (int, error) {
	if len(data) > *d.space {
		n, _ := d.Writer.Write(data[:*d.space])
		*d.space = 0
		return n, errFull
	}
	*d.space -= len(data)
	return d.Writer.Write(data)
}

func TestFullDisk(t *testing.T) {
	for _, rows := range []int{250, 650} {
		// The size when nothing fails, so that every stage can be hit.
		used := 1 << 30
		l := small
		l.through = func(w io.Writer) io.Writer { return fullDisk{w, &used} }
		golden.OK(t, write(filepath.Join(t.TempDir(), "t"), testRows(rows), l, 64))
		used = 1<<30 - used
		for space := 0; space < used; space += 97 {
			folder := t.TempDir()
			left := space
			l.through = func(w io.Writer) io.Writer { return fullDisk{w, &left} }
			err := write(filepath.Join(folder, "t"), testRows(rows), l, 64)
			if err == nil || !strings.Contains(err.Error(), "cannot be written") || !strings.Contains(err.Error(), errFull.Error()) {
				t.Fatalf("room for %d of %d bytes: error %v", space, used, err)
			}
			if after := list(t, folder); len(after) != 0 {
				t.Fatalf("room for %d of %d bytes: left %v", space, used, after)
			}
		}
	}
}

func TestReaderRefuses(t *testing.T) {
	folder := t.TempDir()
	table := filepath.Join(folder, "t")
	golden.OK(t, write(table, testRows(850), small, 64))
	part := func(i int) string { return filepath.Join(table, partName(i)) }
	data, err := os.ReadFile(part(1))
	if err != nil {
		t.Fatal(err)
	}
	refused := func(want string) {
		t.Helper()
		r, err := Open(table)
		if err == nil {
			r.Close()
		}
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want %q", err, want)
		}
	}
	rename := func(from, to string) {
		t.Helper()
		golden.OK(t, os.Rename(from, to))
	}
	rename(part(1), filepath.Join(folder, "kept"))
	refused("part-00001.parquet is missing")
	rename(filepath.Join(folder, "kept"), part(1))

	rename(part(2), filepath.Join(folder, "kept"))
	refused("part-00001.parquet: is not the last part")
	rename(filepath.Join(folder, "kept"), part(2))

	golden.OK(t, write(part(1), testRows(300), small, 64))
	refused("belongs to another table")
	// The same number of rows, from a run with another seed.
	kept := slices.Clone(testPairs)
	testPairs[0].Value = "21"
	err = write(filepath.Join(folder, "other"), testRows(850), small, 64)
	copy(testPairs, kept)
	if err != nil {
		t.Fatal(err)
	}
	rename(filepath.Join(folder, "other", partName(1)), part(1))
	refused("belongs to another table")
	golden.OK(t, os.WriteFile(part(1), data[:len(data)/2], 0o666))
	refused("part-00001.parquet")
	golden.OK(t, os.WriteFile(part(1), data, 0o666))
	for _, path := range []string{filepath.Join(folder, "missing"), folder, os.DevNull} {
		if r, err := Open(path); err == nil {
			r.Close()
			t.Errorf("%s: opened", path)
		}
	}
}

func TestForeignParquetIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "foreign.parquet")
	root, properties, err := encoding(testColumns)
	if err != nil {
		t.Fatal(err)
	}
	var buffer bytes.Buffer
	w := golden.Must(file.NewParquetWriterWithError(&buffer, root, file.WithWriterProps(properties)))(t)
	golden.OK(t, errors.Join(w.Close(), os.WriteFile(path, buffer.Bytes(), 0o666)))
	if _, err := Open(path); err == nil || !strings.Contains(err.Error(), "was not written by counterpoise") {
		t.Errorf("error %v", err)
	}
}

// A damaged file gives an error or other values, never a panic or a hang.
func TestDamagedFiles(t *testing.T) {
	path := filepath.Join(t.TempDir(), "t")
	golden.OK(t, write(path, testRows(150), small, 64))
	data := golden.Must(os.ReadFile(path))(t)
	random := rand.New(rand.NewPCG(3, 5))
	refused := 0
	for range 2000 {
		damaged := slices.Clone(data)
		damaged[random.IntN(len(data))] ^= byte(1 + random.IntN(255))
		golden.OK(t, os.WriteFile(path, damaged, 0o666))
		r, err := Open(path)
		if err != nil {
			refused++
			continue
		}
		if err := WriteCSV(io.Discard, r); err != nil {
			refused++
		}
		r.Close()
	}
	if refused == 0 {
		t.Error("no damage was noticed")
	}
}

func TestWriteCSV(t *testing.T) {
	columns := []Column{
		{Name: "row", Kind: Int64, Description: "number of the row"},
		{Name: "force_bw", Kind: Float32, Unit: "BW", Description: "force", Missing: true},
		{Name: "sex", Kind: Int32, Description: "0 men, 1 women"},
	}
	path := filepath.Join(t.TempDir(), "t")
	w := golden.Must(create(path, columns, nil, layout{partRows: 4, groupRows: 2}))(t)
	defer w.Abort()
	block := &Block{
		Rows:    5,
		Int64:   [][]int64{{math.MaxInt64, 2, 3, 4, -5}, nil, nil},
		Float32: [][]float32{nil, {1.432, float32(math.NaN()), float32(math.Inf(1)), float32(math.Inf(-1)), 1e-9}, nil},
		Int32:   [][]int32{nil, nil, {1, 0, 1, 0, math.MinInt32}},
	}
	golden.OK(t, errors.Join(w.Write(block), w.Close()))
	r := opened(t, path)
	var out strings.Builder
	golden.OK(t, WriteCSV(&out, r))
	want := `row,force_bw,sex
9223372036854775807,1.432,1
2,,0
3,Inf,1
4,-Inf,0
-5,1e-09,-2147483648
`
	if out.String() != want {
		t.Errorf("got\n%swant\n%s", out.String(), want)
	}
	space := 20
	if err := WriteCSV(fullDisk{io.Discard, &space}, r); !errors.Is(err, errFull) {
		t.Errorf("full disk: %v", err)
	}
}
