package table

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"

	"counterpoise/internal/provenance"

	"github.com/apache/arrow-go/v18/parquet"
	"github.com/apache/arrow-go/v18/parquet/compress"
	"github.com/apache/arrow-go/v18/parquet/file"
	"github.com/apache/arrow-go/v18/parquet/metadata"
	"github.com/apache/arrow-go/v18/parquet/schema"
)

// PartRows is the number of rows of a part; larger tables are folders.
const PartRows = 1 << 22

// layout is what decides which bytes a table becomes, apart from its content.
type layout struct {
	partRows  int64 // a multiple of groupRows
	groupRows int
	// through is put between the encoder and the file; nil for nothing.
	through func(io.Writer) io.Writer
}

var standard = layout{partRows: PartRows, groupRows: 1 << 18}

const (
	bufferBytes = 64 << 10  // of what is written
	pageBytes   = 128 << 10 // of a column; larger pages take longer, for they leave the processor's cache
	batchValues = 16 << 10  // that the encoder takes at a time
)

// Writer writes one table. It is not safe for concurrent use.
type Writer struct {
	path      string
	temporary string // the folder of parts that grows under a hidden name
	columns   []Column
	layout    layout

	schema     *schema.GroupNode
	properties *parquet.WriterProperties
	metadata   metadata.KeyValueMetadata

	filling *Block     // rows not yet encoded, less than a row group
	spare   *Block     // another, empty one; nil while it is encoded in the background
	busy    *Block     // which is then here
	encoded chan error // and what came of it comes from here
	written int64      // rows taken so far

	// What follows belongs to the background while there is no spare.

	inPart   int64 // rows of the current part that have been encoded
	parts    int
	part     *part
	buffered *bufio.Writer // what the encoder writes to
	encoder  *file.Writer
	finished []*part // on their way to the disk
	err      error   // the first failure; there is nothing to do after it
	done     bool
}

// Create begins a table at path. The metadata pairs are stored in every file,
// together with the description of the columns; their keys must differ.
//
// A table that stands at path already is replaced when the new one is
// complete, and stays as it is if the new one fails. A symbolic link is
// replaced, not followed. Anything else at path but a regular file is an error.
//
// The caller must call Close, or Abort, or both:
//
//	w, err := table.Create(path, columns, pairs)
//	if err != nil {
//		return err
//	}
//	defer w.Abort() // does nothing after Close
//	… w.Write(block) …
//	return w.Close()
func Create(path string, columns []Column, pairs []provenance.KeyValue) (*Writer, error) {
	return create(path, columns, pairs, standard)
}

func create(path string, columns []Column, pairs []provenance.KeyValue, l layout) (*Writer, error) {
	if err := validate(columns); err != nil {
		return nil, err
	}
	if _, err := replaceable(path); err != nil {
		return nil, err
	}
	w := &Writer{
		path:      path,
		temporary: provenance.TemporaryName(path),
		columns:   append([]Column(nil), columns...),
		layout:    l,
		filling:   NewBlock(columns, 0),
		spare:     NewBlock(columns, 0),
		encoded:   make(chan error, 1),
	}
	var err error
	if w.metadata, err = fileMetadata(columns, pairs); err != nil {
		return nil, err
	}
	if w.schema, w.properties, err = encoding(columns); err != nil {
		return nil, err
	}
	if err := os.Mkdir(w.temporary, 0o777); err != nil {
		return nil, w.unwritable(err)
	}
	if err := w.openPart(); err != nil {
		w.Abort()
		return nil, err
	}
	return w, nil
}

// fileMetadata joins the caller's pairs and ours.
func fileMetadata(columns []Column, pairs []provenance.KeyValue) (metadata.KeyValueMetadata, error) {
	description, err := columnsJSON(columns)
	if err != nil {
		return nil, fmt.Errorf("table: columns: %w", err)
	}
	all := metadata.NewKeyValueMetadata()
	seen := map[string]bool{"": true, keyColumns: true, keyRows: true}
	for _, pair := range pairs {
		if seen[pair.Key] {
			return nil, fmt.Errorf("table: metadata key %q is empty, reserved or used twice", pair.Key)
		}
		seen[pair.Key] = true
		if err := all.Append(pair.Key, pair.Value); err != nil {
			return nil, fmt.Errorf("table: metadata %s: %w", pair.Key, err)
		}
	}
	return all, all.Append(keyColumns, description)
}

// encoding says how the columns are laid out in the file.
func encoding(columns []Column) (*schema.GroupNode, *parquet.WriterProperties, error) {
	options := []parquet.WriterProperty{
		parquet.WithCompression(compress.Codecs.Lz4Raw),
		parquet.WithDictionaryDefault(false),
		parquet.WithStats(true),
		parquet.WithDataPageSize(pageBytes),
		parquet.WithBatchSize(batchValues),
	}
	fields := make(schema.FieldList, len(columns))
	for i, c := range columns {
		switch c.Kind {
		case Float32:
			fields[i] = schema.NewFloat32Node(c.Name, parquet.Repetitions.Required, -1)
			// Extremes of row groups would help nobody to pass one over: bodies come in no order.
			options = append(options, parquet.WithEncodingFor(c.Name, parquet.Encodings.ByteStreamSplit), parquet.WithStatsFor(c.Name, false))
		case Int32:
			fields[i] = schema.NewInt32Node(c.Name, parquet.Repetitions.Required, -1)
		case Int64:
			fields[i] = schema.NewInt64Node(c.Name, parquet.Repetitions.Required, -1)
		case Text:
			fields[i] = schema.MustPrimitive(schema.NewPrimitiveNodeLogical(c.Name, parquet.Repetitions.Required, schema.StringLogicalType{}, parquet.Types.ByteArray, 0, -1))
			options = append(options, parquet.WithDictionaryFor(c.Name, true))
		}
	}
	root, err := schema.NewGroupNode("schema", parquet.Repetitions.Required, fields, -1)
	if err != nil {
		return nil, nil, fmt.Errorf("table: %w", err)
	}
	return root, parquet.NewWriterProperties(options...), nil
}

// Write appends the rows of b, which it copies. It fails if the file cannot be
// written, and on a NaN in a column that may not be missing; from then on the table
// is lost and every call returns the first error. It panics if a column of b has
// fewer than b.Rows entries.
func (w *Writer) Write(b *Block) error {
	for i, c := range w.columns {
		if b.length(i, c.Kind) < b.Rows {
			panic("table: column shorter than its block")
		}
	}
	switch {
	case w.err != nil:
		return w.err
	case w.done:
		return fmt.Errorf("table: %s: %w", w.path, os.ErrClosed)
	}
	for i, c := range w.columns {
		if c.Kind != Float32 || c.Missing {
			continue
		}
		for row, v := range b.Float32[i][:b.Rows] {
			if v != v {
				return w.fail(fmt.Errorf("table: %s: NaN in column %s, row %d", w.path, c.Name, w.written+int64(row)))
			}
		}
	}
	for from := 0; from < b.Rows; {
		n := min(b.Rows-from, w.layout.groupRows-w.filling.Rows)
		w.filling.add(w.columns, b, from, n)
		if w.filling.Rows == w.layout.groupRows {
			if err := w.flush(); err != nil {
				return w.fail(err)
			}
		}
		from += n
		w.written += int64(n)
	}
	return nil
}

// flush has the filled rows encoded in the background as a row group, and waits
// until the one before it is.
func (w *Writer) flush() error {
	if err := w.wait(); err != nil {
		return err
	}
	full := w.filling
	w.filling, w.spare = w.spare, nil
	go func() {
		err := w.encode(full)
		full.clear()
		w.encoded <- err
	}()
	w.busy = full
	return nil
}

// wait waits for the background, if something is encoded there.
func (w *Writer) wait() error {
	if w.spare != nil {
		return nil
	}
	err := <-w.encoded
	w.spare, w.busy = w.busy, nil
	return err
}

// fail remembers the first error and removes what was written.
func (w *Writer) fail(err error) error {
	w.err = err
	w.Abort()
	return err
}

// Close writes what is left, brings it to the disk and gives the table its
// name. If anything fails, nothing new is left behind. Calls after the first return
// the same error.
func (w *Writer) Close() error {
	if w.done {
		return w.err
	}
	if err := w.finish(); err != nil {
		return w.fail(err)
	}
	w.done = true
	return nil
}

func (w *Writer) finish() error {
	if w.filling.Rows > 0 {
		if err := w.flush(); err != nil {
			return err
		}
	}
	if err := w.wait(); err != nil {
		return err
	}
	// Only the last part knows how many rows there are: whoever lacks it is told.
	if err := w.encoder.AppendKeyValueMetadata(keyRows, strconv.FormatInt(w.written, 10)); err != nil {
		return w.unwritable(err)
	}
	if err := errors.Join(w.closePart(), w.settle()); err != nil {
		return err
	}
	provenance.SyncFolder(w.temporary)
	if w.parts > 1 {
		return replace(w.temporary, w.path)
	}
	if err := replace(filepath.Join(w.temporary, partName(0)), w.path); err != nil {
		return err
	}
	os.Remove(w.temporary) // empty; if it stays, the table is no worse for it
	return nil
}

// Abort gives the table up and removes what was written of it. After Close it
// does nothing.
func (w *Writer) Abort() {
	if w.done {
		return
	}
	w.done = true
	if w.err == nil {
		w.err = fmt.Errorf("table: %s was given up", w.path)
	}
	w.wait()
	if w.part != nil {
		w.finishPart()
	}
	w.settle() // whatever it says, the table is given up
	os.RemoveAll(w.temporary)
}

// unwritable says that the table could not be written.
func (w *Writer) unwritable(err error) error {
	return fmt.Errorf("table: %s cannot be written: %w", w.path, err)
}

// partName is the name of the part with the given number, counted from 0.
func partName(number int) string { return fmt.Sprintf("part-%05d.parquet", number) }

func (w *Writer) openPart() (err error) {
	f, err := os.OpenFile(filepath.Join(w.temporary, partName(w.parts)), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return w.unwritable(err)
	}
	w.part = newPart(f)
	sink := io.Writer(f)
	if w.layout.through != nil {
		sink = w.layout.through(sink)
	}
	w.buffered = bufio.NewWriterSize(sink, bufferBytes)
	w.encoder, err = file.NewParquetWriterWithError(w.buffered, w.schema, file.WithWriterProps(w.properties), file.WithWriteMetadata(w.metadata))
	if err != nil {
		return w.unwritable(err)
	}
	w.parts++
	w.inPart = 0
	return nil
}

// closePart writes what ends a part, and lets it go to the disk while the next
// one is encoded.
func (w *Writer) closePart() error {
	err := w.encoder.Close()
	if err == nil {
		err = w.buffered.Flush()
	}
	w.finishPart()
	if err != nil {
		return w.unwritable(err)
	}
	return nil
}

func (w *Writer) finishPart() {
	close(w.part.grown)
	w.finished = append(w.finished, w.part)
	w.part = nil
}

// settle waits until all finished parts are on the disk and closed.
func (w *Writer) settle() error {
	var err error
	for _, p := range w.finished {
		err = errors.Join(err, <-p.settled)
	}
	w.finished = nil
	if err != nil {
		return w.unwritable(err)
	}
	return nil
}

// A part is a file that is brought to the disk in the background, bit by bit as
// it grows: encoding and the disk do not wait for each other, and little is left
// to wait for at the end.
type part struct {
	grown   chan struct{} // says so; closed when the file is complete or given up
	settled chan error    // gives one error or nil, once the file is closed
}

func newPart(f *os.File) *part {
	p := &part{grown: make(chan struct{}, 1), settled: make(chan error, 1)}
	go func() {
		var err error
		for range p.grown {
			err = errors.Join(err, f.Sync())
		}
		p.settled <- errors.Join(err, f.Sync(), f.Close())
	}()
	return p
}

// encode encodes a row group, in a new part if the current one is full.
func (w *Writer) encode(b *Block) error {
	if w.inPart == w.layout.partRows {
		if err := w.closePart(); err != nil {
			return err
		}
		if err := w.openPart(); err != nil {
			return err
		}
	}
	group, err := w.encoder.AppendRowGroupChecked()
	if err == nil {
		err = encodeGroup(group, b)
	}
	if err != nil {
		return w.unwritable(err)
	}
	w.inPart += int64(b.Rows)
	select {
	case w.part.grown <- struct{}{}:
	default: // it is told already
	}
	return nil
}

// encodeGroup encodes a row group, column by column.
func encodeGroup(group file.SerialRowGroupWriter, b *Block) (err error) {
	defer recoverTo(&err)
	for i := range group.NumColumns() {
		column, err := group.NextColumn()
		if err != nil {
			return err
		}
		switch column := column.(type) {
		case *file.Float32ColumnChunkWriter:
			_, err = column.WriteBatch(b.Float32[i], nil, nil)
		case *file.Int32ColumnChunkWriter:
			_, err = column.WriteBatch(b.Int32[i], nil, nil)
		case *file.Int64ColumnChunkWriter:
			_, err = column.WriteBatch(b.Int64[i], nil, nil)
		case *file.ByteArrayColumnChunkWriter:
			err = writeText(column, b.Text[i])
		}
		if err := errors.Join(err, column.Close()); err != nil {
			return err
		}
	}
	return group.Close()
}

// recoverTo turns a panic of the Parquet library into an error.
func recoverTo(err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("parquet: %v", r)
	}
}
