package table

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
)

// CSVWriter writes blocks as comma-separated values under a line of column
// names. Floats have the fewest digits that read back as the same float32; a
// missing value is an empty field, an infinity "Inf" or "-Inf". A text is quoted
// where it must be. The caller ends with Flush.
type CSVWriter struct {
	columns []Column
	out     *bufio.Writer
	line    []byte
	err     error // of the line of names
}

// NewCSVWriter begins the table on w.
func NewCSVWriter(w io.Writer, columns []Column) *CSVWriter {
	c := &CSVWriter{columns: columns, out: bufio.NewWriterSize(w, 1<<16)}
	for i, column := range columns {
		if i > 0 {
			c.line = append(c.line, ',')
		}
		c.line = append(c.line, column.Name...)
	}
	_, c.err = c.out.Write(append(c.line, '\n'))
	return c
}

// Write appends the rows of a block.
func (c *CSVWriter) Write(block *Block) error {
	for row := 0; row < block.Rows && c.err == nil; row++ {
		c.line = c.line[:0]
		for i, column := range c.columns {
			if i > 0 {
				c.line = append(c.line, ',')
			}
			switch column.Kind {
			case Float32:
				c.line = appendFloat(c.line, float64(block.Float32[i][row]))
			case Int32:
				c.line = strconv.AppendInt(c.line, int64(block.Int32[i][row]), 10)
			case Int64:
				c.line = strconv.AppendInt(c.line, block.Int64[i][row], 10)
			case Text:
				c.line = appendField(c.line, block.Text[i][row])
			}
		}
		_, c.err = c.out.Write(append(c.line, '\n'))
	}
	return c.failed()
}

// Flush writes what is still held back.
func (c *CSVWriter) Flush() error {
	if c.err == nil {
		c.err = c.out.Flush()
	}
	return c.failed()
}

func (c *CSVWriter) failed() error {
	if c.err != nil {
		return fmt.Errorf("table: csv: %w", c.err)
	}
	return nil
}

// WriteCSV writes a whole table as CSV, one row group in memory at a time. The
// metadata have no place there and are left out.
func WriteCSV(w io.Writer, r *Reader) error {
	out := NewCSVWriter(w, r.columns)
	for block, err := range r.Blocks() {
		if err != nil {
			return err
		}
		if err := out.Write(block); err != nil {
			return err
		}
	}
	return out.Flush()
}

func appendFloat(line []byte, x float64) []byte {
	switch {
	case math.IsNaN(x):
		return line
	case math.IsInf(x, 1):
		return append(line, "Inf"...)
	}
	return strconv.AppendFloat(line, x, 'g', -1, 32)
}
