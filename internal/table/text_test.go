package table

import (
	"bytes"
	"math"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/provenance"

	"github.com/apache/arrow-go/v18/arrow/array"
	"github.com/apache/arrow-go/v18/arrow/ipc"
)

func textTable(rows int) ([]Column, *Block) {
	columns := []Column{
		{Name: "statistic", Kind: Text, Description: "a name"},
		{Name: "force_bw", Unit: "BW", Description: "a force", Missing: true},
		{Name: "bodies_count", Kind: Int64, Description: "a count"},
		{Name: "point", Kind: Int32, Description: "a number"},
	}
	b := NewBlock(columns, rows)
	for i := range rows {
		b.Text[0][i] = []string{"mean", "", `quoted "5 %", and more`, "Übergröße"}[i%4]
		b.Float32[1][i] = float32(i) / 7
		if i%5 == 3 {
			b.Float32[1][i] = float32(math.NaN())
		}
		b.Int64[2][i], b.Int32[3][i] = int64(i)<<40, int32(-i)
	}
	return columns, b
}

// Texts come back as they were, over several row groups and batches.
func TestTextRoundTrip(t *testing.T) {
	columns, b := textTable(9001)
	path := filepath.Join(t.TempDir(), "t.parquet")
	w := golden.Must(create(path, columns, nil, layout{partRows: 1 << 14, groupRows: 1 << 12}))(t)
	golden.OK(t, w.Write(b))
	golden.OK(t, w.Close())
	r := golden.Must(Open(path))(t)
	if !reflect.DeepEqual(r.Columns(), columns) {
		t.Errorf("columns %+v", r.Columns())
	}
	if texts := columnOf(t, r, "statistic", func(b *Block) [][]string { return b.Text }); !slices.Equal(texts, b.Text[0]) {
		t.Errorf("%d texts came back", len(texts))
	}
	r.Close()
}

func TestTextCSV(t *testing.T) {
	columns, b := textTable(4)
	var out bytes.Buffer
	w := NewCSVWriter(&out, columns)
	golden.OK(t, w.Write(b))
	golden.OK(t, w.Flush())
	want := "statistic,force_bw,bodies_count,point\nmean,0,0,0\n,0.14285715,1099511627776,-1\n" +
		"\"quoted \"\"5 %\"\", and more\",0.2857143,2199023255552,-2\nÜbergröße,,3298534883328,-3\n"
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
	}
}

// An Arrow file holds the values, null where they are missing, the units and the
// metadata.
func TestArrow(t *testing.T) {
	columns, b := textTable(11)
	var out bytes.Buffer
	w := golden.Must(NewArrowWriter(&out, columns, []provenance.KeyValue{{Key: "counterpoise.seed", Value: "7"}}))(t)
	for range 2 {
		golden.OK(t, w.Write(b))
	}
	golden.OK(t, w.Close())
	r := golden.Must(ipc.NewFileReader(bytes.NewReader(out.Bytes())))(t)
	defer r.Close()
	if metadata := r.Schema().Metadata(); r.NumRecords() != 2 || metadata.ToMap()["counterpoise.seed"] != "7" {
		t.Errorf("%d batches, metadata %v", r.NumRecords(), metadata)
	}
	field := r.Schema().Field(1)
	if unit, _ := field.Metadata.GetValue("unit"); unit != "BW" || !field.Nullable {
		t.Errorf("field %v, unit %q", field, unit)
	}
	batch := golden.Must(r.RecordBatch(1))(t)
	texts, forces := batch.Column(0).(*array.String), batch.Column(1).(*array.Float32)
	counts, points := batch.Column(2).(*array.Int64), batch.Column(3).(*array.Int32)
	for i := range b.Rows {
		missing := b.Float32[1][i] != b.Float32[1][i]
		if texts.Value(i) != b.Text[0][i] || forces.IsNull(i) != missing || !missing && forces.Value(i) != b.Float32[1][i] ||
			counts.Value(i) != b.Int64[2][i] || points.Value(i) != b.Int32[3][i] {
			t.Errorf("row %d: %v %v %v %v", i, texts.Value(i), forces.Value(i), counts.Value(i), points.Value(i))
		}
	}
}
