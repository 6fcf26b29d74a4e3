// Package tables writes the tables of studies: columns that are functions of the row, and the
// bodies and draws of a claim.
package tables

import (
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/sim/columns"
)

// Columns is a table of numbers of which each column is a function of the row.
type Columns struct {
	list []table.Column
	fill []func(b *table.Block, j int)
}

// Add adds a column of Float32, or of Int32 if it says so.
func (c *Columns) Add(column table.Column, value func(row int) float64) {
	c.list = append(c.list, column)
	c.fill = append(c.fill, func(b *table.Block, j int) {
		for i := range b.Rows {
			if column.Kind == table.Int32 {
				b.Int32[j][i] = int32(value(i))
			} else {
				b.Float32[j][i] = float32(value(i))
			}
		}
	})
}

// Create begins a table that says where it comes from, and what more there is to say.
func Create(path string, columns []table.Column, stamp provenance.Stamp, more ...provenance.KeyValue) (*table.Writer, error) {
	pairs, err := stamp.KeyValues()
	if err != nil {
		return nil, err
	}
	return table.Create(path, columns, append(pairs, more...))
}

// Write writes the table; see [Create].
func (c *Columns) Write(path string, rows int, stamp provenance.Stamp, more ...provenance.KeyValue) error {
	w, err := Create(path, c.list, stamp, more...)
	if err != nil {
		return err
	}
	defer w.Abort() // does nothing after Close
	block := table.NewBlock(c.list, rows)
	for j, fill := range c.fill {
		fill(block, j)
	}
	if err := w.Write(block); err != nil {
		return err
	}
	return w.Close()
}

// sink writes the bodies of a claim as a table.
type sink struct{ writer *table.Writer }

// NewSink begins the table of a claim.
func NewSink(path string, layout columns.Layout, stamp provenance.Stamp) (columns.Sink, error) {
	columns := make([]table.Column, len(layout.Columns))
	for i, c := range layout.Columns {
		columns[i] = table.Column{Name: c.Name, Kind: table.Float32, Unit: c.Unit, Description: c.Description, Missing: c.Missing}
		if c.Integer {
			columns[i].Kind = table.Int32
		}
	}
	w, err := Create(path, columns, stamp)
	if err != nil {
		return nil, err
	}
	return sink{w}, nil
}

// Write implements columns.Sink.
func (s sink) Write(r *columns.Rows) error {
	return s.writer.Write(&table.Block{Rows: r.N, Float32: r.Float, Int32: r.Int})
}

// Commit implements columns.Sink.
func (s sink) Commit() error { return s.writer.Close() }

// Abort implements columns.Sink.
func (s sink) Abort() { s.writer.Abort() }
