package table

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
)

// WriteCSV writes the table as comma-separated values under a line of column
// names, one row group in memory at a time. Floats have the fewest digits that
// read back as the same float32; a missing value is an empty field, an
// infinity "Inf" or "-Inf". No field ever needs quoting. The metadata have no
// place in CSV and are left out.
func WriteCSV(w io.Writer, r *Reader) error {
	out := bufio.NewWriterSize(w, 1<<16)
	var line []byte
	for i, c := range r.columns {
		if i > 0 {
			line = append(line, ',')
		}
		line = append(line, c.Name...)
	}
	if _, err := out.Write(append(line, '\n')); err != nil {
		return fmt.Errorf("table: csv: %w", err)
	}
	for block, err := range r.Blocks() {
		if err != nil {
			return err
		}
		for row := range block.Rows {
			line = line[:0]
			for i, c := range r.columns {
				if i > 0 {
					line = append(line, ',')
				}
				switch c.Kind {
				case Float32:
					line = appendFloat(line, float64(block.Float32[i][row]))
				case Int32:
					line = strconv.AppendInt(line, int64(block.Int32[i][row]), 10)
				case Int64:
					line = strconv.AppendInt(line, block.Int64[i][row], 10)
				}
			}
			if _, err := out.Write(append(line, '\n')); err != nil {
				return fmt.Errorf("table: csv: %w", err)
			}
		}
	}
	if err := out.Flush(); err != nil {
		return fmt.Errorf("table: csv: %w", err)
	}
	return nil
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
