package table

import (
	"fmt"
	"io"

	"counterpoise/internal/provenance"

	"github.com/apache/arrow-go/v18/arrow"
	"github.com/apache/arrow-go/v18/arrow/array"
	"github.com/apache/arrow-go/v18/arrow/ipc"
	"github.com/apache/arrow-go/v18/arrow/memory"
)

// ArrowWriter writes blocks as an Arrow file (IPC file format, "Feather version
// 2"), one record batch a block. The schema carries the metadata pairs, and every
// column its unit and description. A missing value is null. The caller ends with
// Close.
type ArrowWriter struct {
	columns []Column
	schema  *arrow.Schema
	out     *ipc.FileWriter
}

// NewArrowWriter begins the table on w.
func NewArrowWriter(w io.Writer, columns []Column, pairs []provenance.KeyValue) (*ArrowWriter, error) {
	if err := validate(columns); err != nil {
		return nil, err
	}
	types := map[Kind]arrow.DataType{Float32: arrow.PrimitiveTypes.Float32, Int32: arrow.PrimitiveTypes.Int32,
		Int64: arrow.PrimitiveTypes.Int64, Text: arrow.BinaryTypes.String}
	fields := make([]arrow.Field, len(columns))
	for i, c := range columns {
		fields[i] = arrow.Field{Name: c.Name, Type: types[c.Kind], Nullable: c.Missing,
			Metadata: arrow.NewMetadata([]string{"unit", "description"}, []string{c.Unit, c.Description})}
	}
	description, err := columnsJSON(columns)
	if err != nil {
		return nil, fmt.Errorf("table: columns: %w", err)
	}
	keys, values := []string{keyColumns}, []string{description}
	for _, pair := range pairs {
		keys, values = append(keys, pair.Key), append(values, pair.Value)
	}
	metadata := arrow.NewMetadata(keys, values)
	a := &ArrowWriter{columns: columns, schema: arrow.NewSchema(fields, &metadata)}
	if a.out, err = ipc.NewFileWriter(w, ipc.WithSchema(a.schema)); err != nil {
		return nil, fmt.Errorf("table: arrow: %w", err)
	}
	return a, nil
}

// Write appends the rows of a block.
func (a *ArrowWriter) Write(b *Block) (err error) {
	defer recoverTo(&err)
	builder := array.NewRecordBuilder(memory.DefaultAllocator, a.schema)
	defer builder.Release()
	for i, c := range a.columns {
		switch c.Kind {
		case Float32:
			field, values := builder.Field(i).(*array.Float32Builder), b.Float32[i][:b.Rows]
			var valid []bool
			if c.Missing {
				valid = make([]bool, b.Rows)
				for row, v := range values {
					valid[row] = v == v
				}
			}
			field.AppendValues(values, valid)
		case Int32:
			builder.Field(i).(*array.Int32Builder).AppendValues(b.Int32[i][:b.Rows], nil)
		case Int64:
			builder.Field(i).(*array.Int64Builder).AppendValues(b.Int64[i][:b.Rows], nil)
		case Text:
			builder.Field(i).(*array.StringBuilder).AppendValues(b.Text[i][:b.Rows], nil)
		}
	}
	batch := builder.NewRecordBatch()
	defer batch.Release()
	if err := a.out.Write(batch); err != nil {
		return fmt.Errorf("table: arrow: %w", err)
	}
	return nil
}

// Close writes what ends the file. It does not close the underlying writer.
func (a *ArrowWriter) Close() error {
	if err := a.out.Close(); err != nil {
		return fmt.Errorf("table: arrow: %w", err)
	}
	return nil
}
