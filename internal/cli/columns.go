package cli

import (
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
)

// columns is a table of numbers of which each column is a function of the row.
type columns struct {
	list []table.Column
	fill []func(b *table.Block, j int)
}

// add adds a column of Float32, or of Int32 if it says so.
func (c *columns) add(column table.Column, value func(row int) float64) {
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

// write writes the table.
func (c *columns) write(path string, pairs []provenance.KeyValue, rows int) error {
	w, err := table.Create(path, c.list, pairs)
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
