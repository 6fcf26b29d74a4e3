package cli

import (
	"fmt"
	"slices"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
)

// tableFormat is a flag for the format of tables.
type tableFormat string

var tableFormats = []string{"parquet", "csv", "arrow"}

func (f *tableFormat) String() string { return string(*f) }
func (f *tableFormat) Type() string   { return "format" }
func (f *tableFormat) Set(text string) error {
	if !slices.Contains(tableFormats, text) {
		return fmt.Errorf("unknown format %q%s; known: %s", text, called.Suggest(text, tableFormats), strings.Join(tableFormats, ", "))
	}
	*f = tableFormat(text)
	return nil
}

// tableWriter is a table being written. After Abort, or without Close, nothing
// stands under its name.
type tableWriter interface {
	Write(*table.Block) error
	Close() error
	Abort()
}

// create begins a table. A CSV file has no place for where it comes from; the
// summary beside it says so.
func (f tableFormat) create(path string, columns []table.Column, stamp provenance.Stamp) (tableWriter, error) {
	pairs, err := stamp.KeyValues()
	if err != nil {
		return nil, err
	}
	if f == "parquet" {
		return table.Create(path, columns, pairs)
	}
	file, err := provenance.CreateAtomic(path)
	if err != nil {
		return nil, err
	}
	if f == "csv" {
		w := table.NewCSVWriter(file, columns)
		return &fileTable{file, w.Write, w.Flush}, nil
	}
	w, err := table.NewArrowWriter(file, columns, pairs)
	if err != nil {
		file.Close()
		return nil, err
	}
	return &fileTable{file, w.Write, w.Close}, nil
}

// fileTable is a table in a file that appears when it is complete.
type fileTable struct {
	file  *provenance.AtomicFile
	write func(*table.Block) error
	end   func() error
}

func (t *fileTable) Write(b *table.Block) error { return t.write(b) }

func (t *fileTable) Close() error {
	if err := t.end(); err != nil {
		return err
	}
	return t.file.Commit()
}

func (t *fileTable) Abort() { t.file.Close() } // does nothing after Close
