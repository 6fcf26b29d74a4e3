package table

import (
	"encoding/json"
	"errors"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"

	"counterpoise/internal/provenance"
	"counterpoise/sim/names"

	"github.com/apache/arrow-go/v18/parquet"
	"github.com/apache/arrow-go/v18/parquet/file"
)

// Reader reads a table that a [Writer] wrote. It is not safe for concurrent use.
type Reader struct {
	columns  []Column
	metadata []provenance.KeyValue
	rows     int64
	parts    []*file.Reader
}

// Open opens the table at path, a file or a folder of parts. It fails if the
// table was not written by this package, or if a part is missing or belongs to
// another table. The caller must call Close.
func Open(path string) (*Reader, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	paths := []string{path}
	if info.IsDir() {
		entries, err := os.ReadDir(path) // sorted
		if err != nil {
			return nil, fmt.Errorf("table: %w", err)
		}
		paths = nil
		for _, entry := range entries {
			if !partPattern.MatchString(entry.Name()) {
				continue
			}
			if want := partName(len(paths)); entry.Name() != want {
				return nil, fmt.Errorf("table: %s: %s is missing", path, want)
			}
			paths = append(paths, filepath.Join(path, entry.Name()))
		}
		if len(paths) == 0 {
			return nil, fmt.Errorf("%s holds no %s", path, partName(0))
		}
	}

	r := &Reader{}
	for i, part := range paths {
		announced, err := r.addPart(part)
		switch last := i == len(paths)-1; {
		case err != nil:
		case last && announced < 0:
			err = errors.New("is not the last part: those after it are missing")
		case !last && announced >= 0:
			err = errAnother
		case last && r.rows != announced:
			err = fmt.Errorf("%d of %d rows are there", r.rows, announced)
		}
		if err != nil {
			r.Close()
			return nil, fmt.Errorf("%s: %w", part, err)
		}
	}
	return r, nil
}

var errAnother = errors.New("belongs to another table than the parts beside it")

// addPart opens one file. It returns the number of rows that the whole table
// has according to it, which only its last part knows, else −1.
func (r *Reader) addPart(path string) (announced int64, err error) {
	defer recoverTo(&err)
	from, err := provenance.OpenFile(path)
	if err != nil {
		return 0, err
	}
	part, err := file.NewParquetReader(from)
	if err != nil {
		from.Close()
		return 0, fmt.Errorf("is no Parquet file: %w", err)
	}
	r.parts = append(r.parts, part)

	var columns []Column
	var pairs []provenance.KeyValue
	announced = -1
	described := false
	stored := part.MetaData().KeyValueMetadata()
	for i, key := range stored.Keys() {
		value := stored.Values()[i]
		switch key {
		case keyColumns:
			if err = json.Unmarshal([]byte(value), &columns); err != nil {
				return 0, fmt.Errorf("metadata %s: %w", keyColumns, err)
			}
			described = true
		case keyRows:
			if announced, err = strconv.ParseInt(value, 10, 64); err != nil || announced < 0 {
				return 0, fmt.Errorf("metadata %s: %q is no number of rows", keyRows, value)
			}
		default:
			pairs = append(pairs, provenance.KeyValue{Key: key, Value: value})
		}
	}
	if !described {
		return 0, fmt.Errorf("was not written by %s", provenance.Tool)
	}
	if err := sameSchema(part, columns); err != nil {
		return 0, err
	}
	if len(r.parts) == 1 {
		r.columns, r.metadata = columns, pairs
	} else if !reflect.DeepEqual(r.columns, columns) || !slices.Equal(r.metadata, pairs) {
		return 0, errAnother
	}
	r.rows += part.NumRows()
	return announced, nil
}

// sameSchema checks that the columns are as they are described.
func sameSchema(part *file.Reader, columns []Column) error {
	stored := part.MetaData().Schema
	if stored.NumColumns() != len(columns) {
		return fmt.Errorf("has %d columns, but describes %d", stored.NumColumns(), len(columns))
	}
	types := map[Kind]parquet.Type{Float32: parquet.Types.Float, Int32: parquet.Types.Int32, Int64: parquet.Types.Int64, Text: parquet.Types.ByteArray}
	for i, c := range columns {
		column := stored.Column(i)
		if column.Path() != c.Name || column.PhysicalType() != types[c.Kind] || column.MaxDefinitionLevel() != 0 || column.MaxRepetitionLevel() != 0 {
			return fmt.Errorf("column %d is not the %v column %s that it is described as", i, c.Kind, c.Name)
		}
	}
	return nil
}

// Columns returns the description of the columns, in order. It must not be
// changed.
func (r *Reader) Columns() []Column { return r.columns }

// Metadata returns the pairs that were given to [Create], in order. They must
// not be changed.
func (r *Reader) Metadata() []provenance.KeyValue { return r.metadata }

// Rows returns the number of rows.
func (r *Reader) Rows() int64 { return r.rows }

// Close closes the files.
func (r *Reader) Close() error {
	faults := names.Each(r.parts, func(part *file.Reader) error { return part.Close() })
	r.parts = nil
	return errors.Join(faults...)
}

// Blocks returns the table in order, one row group at a time. The block is
// overwritten by the next one. An error ends the sequence.
func (r *Reader) Blocks() iter.Seq2[*Block, error] {
	return func(yield func(*Block, error) bool) {
		block := NewBlock(r.columns, 0)
		for _, part := range r.parts {
			for g := range part.NumRowGroups() {
				if err := readGroup(block, part, g, r.columns); err != nil {
					yield(nil, fmt.Errorf("table: %w", err))
					return
				}
				if !yield(block, nil) {
					return
				}
			}
		}
	}
}

// readGroup reads a row group.
func readGroup(block *Block, part *file.Reader, g int, columns []Column) (err error) {
	defer recoverTo(&err)
	group := part.RowGroup(g)
	block.Rows = int(group.NumRows())
	for i, c := range columns {
		chunk, err := group.Column(i)
		if err != nil {
			return err
		}
		switch chunk := chunk.(type) {
		case *file.Float32ColumnChunkReader:
			block.Float32[i], err = readChunk(block.Float32[i][:0], block.Rows, chunk.HasNext, chunk.ReadBatch)
		case *file.Int32ColumnChunkReader:
			block.Int32[i], err = readChunk(block.Int32[i][:0], block.Rows, chunk.HasNext, chunk.ReadBatch)
		case *file.Int64ColumnChunkReader:
			block.Int64[i], err = readChunk(block.Int64[i][:0], block.Rows, chunk.HasNext, chunk.ReadBatch)
		case *file.ByteArrayColumnChunkReader:
			block.Text[i], err = readText(block.Text[i][:0], block.Rows, chunk)
		}
		if err == nil {
			err = chunk.Err()
		}
		if err == nil && block.length(i, c.Kind) != block.Rows {
			err = fmt.Errorf("column %s has %d of %d rows", c.Name, block.length(i, c.Kind), block.Rows)
		}
		if err != nil {
			return fmt.Errorf("row group %d: %w", g, err)
		}
	}
	return nil
}

// readChunk appends the rows of a chunk to dst. It grows dst as values come,
// not by the number of rows that a damaged file may claim.
func readChunk[T any](dst []T, rows int, hasNext func() bool, read func(int64, []T, []int16, []int16) (int64, int, error)) ([]T, error) {
	const step = 1 << 16
	for len(dst) < rows && hasNext() {
		n := min(step, rows-len(dst))
		dst = slices.Grow(dst, n)
		_, got, err := read(int64(n), dst[len(dst):len(dst)+n], nil, nil)
		dst = dst[:len(dst)+got]
		if err != nil || got == 0 {
			return dst, err
		}
	}
	return dst, nil
}
