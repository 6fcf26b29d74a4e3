package table

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"sync"
	"sync/atomic"

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

const bufferBytes = 64 << 10 // of what is written; whole pages of floats bypass it

// Writer writes one table. It is not safe for concurrent use.
type Writer struct {
	// Workers is the number of columns that are compressed at the same time, 0
	// for as many as the program may use processors. It does not change the
	// bytes. Set it before the first Write.
	Workers int

	path      string
	temporary string // what grows under a hidden name: a file, or a folder of parts
	folder    bool
	columns   []Column
	total     int64
	layout    layout

	schema     *schema.GroupNode
	properties *parquet.WriterProperties
	metadata   metadata.KeyValueMetadata

	filling *group     // rows not yet encoded, less than a row group
	spare   *group     // another, empty one; nil while it is encoded in the background
	busy    *group     // which is then here
	encoded chan error // and what came of it comes from here
	written int64      // rows taken so far

	// What follows belongs to the background while there is no spare.

	inPart int64 // rows of the current part that have been encoded
	inAll  int64 // rows of all parts that have been
	parts  int

	part     *part
	buffered *bufio.Writer // what the encoder writes to
	encoder  *parquetFile
	finished []*part // on their way to the disk
	err      error   // the first failure; there is nothing to do after it
	done     bool
}

// Create begins the table of totalRows rows at path. The metadata pairs are
// stored in every file, together with the description of the columns; their
// keys must differ.
//
// A table that stands at path already is replaced when the new one is
// complete, and stays as it is if the new one fails. Anything else at path but
// a regular file is an error.
//
// The caller must call Close, or Abort, or both:
//
//	w, err := table.Create(path, columns, pairs, rows)
//	if err != nil {
//		return err
//	}
//	defer w.Abort() // does nothing after Close
//	… w.Write(block) …
//	return w.Close()
func Create(path string, columns []Column, pairs []provenance.KeyValue, totalRows int64) (*Writer, error) {
	return create(path, columns, pairs, totalRows, standard)
}

func create(path string, columns []Column, pairs []provenance.KeyValue, totalRows int64, l layout) (*Writer, error) {
	if err := validate(columns); err != nil {
		return nil, err
	}
	if totalRows < 0 {
		return nil, fmt.Errorf("table: %d rows", totalRows)
	}
	if target, err := filepath.EvalSymlinks(path); err == nil {
		path = target
	}
	if _, err := replaceable(path); err != nil {
		return nil, err
	}
	w := &Writer{
		path:      path,
		temporary: provenance.TemporaryName(path),
		folder:    totalRows > l.partRows,
		columns:   append([]Column(nil), columns...),
		total:     totalRows,
		layout:    l,
		filling:   newGroup(columns),
		spare:     newGroup(columns),
		encoded:   make(chan error, 1),
	}
	var err error
	if w.metadata, err = fileMetadata(columns, pairs, totalRows); err != nil {
		return nil, err
	}
	if w.schema, w.properties, err = encoding(columns); err != nil {
		return nil, err
	}
	if w.folder {
		if err := os.Mkdir(w.temporary, 0o777); err != nil {
			return nil, fmt.Errorf("table: %s cannot be written: %w", path, err)
		}
	}
	if err := w.openPart(); err != nil {
		w.Abort()
		return nil, err
	}
	return w, nil
}

// fileMetadata joins the caller's pairs and ours.
func fileMetadata(columns []Column, pairs []provenance.KeyValue, rows int64) (metadata.KeyValueMetadata, error) {
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
	return all, errors.Join(all.Append(keyColumns, description), all.Append(keyRows, strconv.FormatInt(rows, 10)))
}

// encoding says how the columns are laid out in the file.
func encoding(columns []Column) (*schema.GroupNode, *parquet.WriterProperties, error) {
	options := []parquet.WriterProperty{
		parquet.WithCompression(compress.Codecs.Zstd),
		parquet.WithCompressionLevel(zstdLevel),
		parquet.WithDictionaryDefault(false),
		parquet.WithStats(true),
	}
	fields := make(schema.FieldList, len(columns))
	for i, c := range columns {
		switch c.Kind {
		case Float32:
			fields[i] = schema.NewFloat32Node(c.Name, parquet.Repetitions.Required, -1)
			options = append(options, parquet.WithEncodingFor(c.Name, parquet.Encodings.ByteStreamSplit))
		case Int32:
			fields[i] = schema.NewInt32Node(c.Name, parquet.Repetitions.Required, -1)
		case Int64:
			fields[i] = schema.NewInt64Node(c.Name, parquet.Repetitions.Required, -1)
		case Text:
			fields[i] = schema.MustPrimitive(schema.NewPrimitiveNodeLogical(c.Name, parquet.Repetitions.Required, schema.StringLogicalType{}, parquet.Types.ByteArray, 0, -1))
		}
		if c.Dictionary || c.Kind == Text {
			options = append(options, parquet.WithDictionaryFor(c.Name, true))
		}
	}
	root, err := schema.NewGroupNode("schema", parquet.Repetitions.Required, fields, -1)
	if err != nil {
		return nil, nil, fmt.Errorf("table: %w", err)
	}
	return root, parquet.NewWriterProperties(options...), nil
}

// Write appends the rows of b, which it copies. It fails on more rows than were
// announced, and if the file cannot be written, and it or a later call, Close
// included, fails on a NaN in a column that may not be missing; from then on the
// table is lost and every call returns the first error. It panics if a column of b has fewer than b.Rows entries.
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
	case int64(b.Rows) > w.total-w.written:
		return w.fail(fmt.Errorf("table: %s: more than the %d rows announced", w.path, w.total))
	}
	for from := 0; from < b.Rows; {
		n, err := w.take(b, from)
		if err != nil {
			return w.fail(err)
		}
		from += n
		w.written += int64(n)
	}
	return nil
}

// take takes rows of b from the given one on, as many as the row group has room
// for, and returns how many.
func (w *Writer) take(b *Block, from int) (int, error) {
	g := w.filling
	if g.rows == 0 {
		g.begin(w.columns, int(min(int64(w.layout.groupRows), w.total-w.written)))
	}
	n := min(b.Rows-from, g.capacity-g.rows)
	g.add(w.columns, b, from, n)
	if g.rows == g.capacity {
		return n, w.flush()
	}
	return n, nil
}

// flush has the filled group encoded in the background, and waits until the one
// before it is.
func (w *Writer) flush() error {
	if err := w.wait(); err != nil {
		return err
	}
	full := w.filling
	w.filling, w.spare = w.spare, nil
	go func() {
		err := w.encode(full)
		full.rows = 0
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
// name. If anything fails, or fewer rows came than were announced, nothing new
// is left behind. Calls after the first return the same error.
func (w *Writer) Close() error {
	if w.done {
		return w.err
	}
	if w.written != w.total {
		return w.fail(fmt.Errorf("table: %s: %d rows, %d were announced", w.path, w.written, w.total))
	}
	if err := w.wait(); err != nil {
		return w.fail(err)
	}
	if err := w.closePart(); err != nil {
		return w.fail(err)
	}
	if err := w.settle(); err != nil {
		return w.fail(err)
	}
	if w.folder {
		provenance.SyncFolder(w.temporary)
	}
	if err := replace(w.temporary, w.path); err != nil {
		return w.fail(err)
	}
	w.done = true
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

// partName is the name of the part with the given number, counted from 0.
func partName(number int) string { return fmt.Sprintf("part-%05d.parquet", number) }

func (w *Writer) openPart() error {
	path := w.temporary
	if w.folder {
		path = filepath.Join(w.temporary, partName(w.parts))
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return fmt.Errorf("table: %s cannot be written: %w", w.path, err)
	}
	w.part = newPart(f)
	sink := io.Writer(f)
	if w.layout.through != nil {
		sink = w.layout.through(sink)
	}
	w.buffered = bufio.NewWriterSize(sink, bufferBytes)
	w.encoder, err = newParquetFile(w.buffered, w.schema, w.properties, w.metadata)
	if err != nil {
		return fmt.Errorf("table: %s cannot be written: %w", w.path, err)
	}
	w.parts++
	w.inPart = 0
	return nil
}

// closePart writes what ends a part, and lets it go to the disk while the next
// one is encoded.
func (w *Writer) closePart() error {
	err := w.encoder.close()
	if err == nil {
		err = w.buffered.Flush()
	}
	w.finishPart()
	if err != nil {
		return fmt.Errorf("table: %s cannot be written: %w", w.path, err)
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
		return fmt.Errorf("table: %s cannot be written: %w", w.path, err)
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
func (w *Writer) encode(g *group) error {
	if w.inPart == w.layout.partRows {
		if err := w.closePart(); err != nil {
			return err
		}
		if err := w.openPart(); err != nil {
			return err
		}
	}
	if err := w.encodeGroup(g); err != nil {
		return fmt.Errorf("table: %s cannot be written: %w", w.path, err)
	}
	w.inPart += int64(g.rows)
	w.inAll += int64(g.rows)
	select {
	case w.part.grown <- struct{}{}:
	default: // it is told already
	}
	return nil
}

// encodeGroup encodes a row group. Pages of floats are completed side by side, a
// worker each, and written in the order of the columns; the few other columns are
// encoded as they are written.
func (w *Writer) encodeGroup(g *group) error {
	workers := w.Workers
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var next atomic.Int64
	var running sync.WaitGroup
	for range min(workers, len(g.pages)) {
		running.Go(func() {
			for i := int(next.Add(1)) - 1; i < len(g.pages); i = int(next.Add(1)) - 1 {
				if p := g.pages[i]; p != nil && (!p.nan || w.columns[i].Missing) {
					p.end()
				}
			}
		})
	}
	running.Wait()
	books := w.encoder.group(g.rows)
	for i, c := range w.columns {
		var err error
		switch p := g.pages[i]; {
		case p == nil:
			err = w.writeColumn(books, g, i)
		case p.nan && !c.Missing:
			err = w.nanError(c, p.firstNaN())
		default:
			err = w.encoder.writePage(books, &p.page)
		}
		if err != nil {
			return err
		}
	}
	return w.encoder.endGroup(books)
}

// nanError says where in the row group there is a NaN that may not be missing.
func (w *Writer) nanError(c Column, row int) error {
	return fmt.Errorf("NaN in column %s, row %d", c.Name, w.inAll+int64(row))
}

// writeColumn writes column i of a group, which has no page.
func (w *Writer) writeColumn(books *metadata.RowGroupMetaDataBuilder, g *group, i int) error {
	c, b := w.columns[i], g.others
	if c.Kind == Int32 && c.Dictionary {
		if p, ok := stretchPage(b.Int32[i][:g.rows]); ok {
			return w.encoder.writePage(books, &p)
		}
	}
	if c.Kind == Float32 && !c.Missing {
		if row := slices.IndexFunc(b.Float32[i][:g.rows], func(v float32) bool { return v != v }); row >= 0 {
			return w.nanError(c, row)
		}
	}
	return w.encoder.writeChunk(books, func(chunk file.ColumnChunkWriter) (err error) {
		switch chunk := chunk.(type) {
		case *file.Float32ColumnChunkWriter:
			_, err = chunk.WriteBatch(b.Float32[i][:g.rows], nil, nil)
		case *file.Int32ColumnChunkWriter:
			_, err = chunk.WriteBatch(b.Int32[i][:g.rows], nil, nil)
		case *file.Int64ColumnChunkWriter:
			_, err = chunk.WriteBatch(b.Int64[i][:g.rows], nil, nil)
		case *file.ByteArrayColumnChunkWriter:
			err = writeText(chunk, b.Text[i][:g.rows])
		}
		return err
	})
}

// recoverTo turns a panic of the Parquet library into an error.
func recoverTo(err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("parquet: %v", r)
	}
}
