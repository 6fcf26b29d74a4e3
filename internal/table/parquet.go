package table

import (
	"encoding/binary"
	"io"

	"github.com/apache/arrow-go/v18/arrow/memory"
	"github.com/apache/arrow-go/v18/parquet"
	"github.com/apache/arrow-go/v18/parquet/compress"
	"github.com/apache/arrow-go/v18/parquet/file"
	"github.com/apache/arrow-go/v18/parquet/metadata"
	"github.com/apache/arrow-go/v18/parquet/schema"
)

// A parquetFile writes one Parquet file, chunk by chunk: a chunk is one column of
// one row group. The library keeps the books and writes the pages; what takes the
// time, turning floats into the bytes of a page, is ours (see floatPage).
type parquetFile struct {
	sink       *counted
	properties *parquet.WriterProperties
	metadata   *metadata.FileMetaDataBuilder
	groups     int16
}

const parquetMagic = "PAR1"

// counted is a writer that knows how far it is.
type counted struct {
	io.Writer
	at int64
}

func (c *counted) Write(b []byte) (int, error) {
	n, err := c.Writer.Write(b)
	c.at += int64(n)
	return n, err
}

func (c *counted) Tell() int64 { return c.at }

// Close does nothing: whoever opened what is written to closes it.
func (c *counted) Close() error { return nil }

func newParquetFile(w io.Writer, root *schema.GroupNode, properties *parquet.WriterProperties, pairs metadata.KeyValueMetadata) (*parquetFile, error) {
	f := &parquetFile{sink: &counted{Writer: w}, properties: properties,
		metadata: metadata.NewFileMetadataBuilder(schema.NewSchema(root), properties, pairs)}
	_, err := io.WriteString(f.sink, parquetMagic)
	return f, err
}

// group begins a row group; its chunks follow in the order of the columns, and
// then endGroup.
func (f *parquetFile) group(rows int) *metadata.RowGroupMetaDataBuilder {
	g := f.metadata.AppendRowGroup()
	g.SetNumRows(rows)
	return g
}

func (f *parquetFile) endGroup(g *metadata.RowGroupMetaDataBuilder) error {
	err := g.Finish(0, f.groups)
	f.groups++
	return err
}

// pager returns what writes the pages of the group's next chunk.
func (f *parquetFile) pager(g *metadata.RowGroupMetaDataBuilder) (file.PageWriter, *metadata.ColumnChunkMetaDataBuilder, error) {
	chunk := g.NextColumnChunk()
	pager, err := file.NewPageWriter(f.sink, compress.Codecs.Zstd, zstdLevel, chunk, f.groups, int16(g.CurrentColumn()),
		memory.DefaultAllocator, false, nil, nil)
	return pager, chunk, err
}

// writePage writes the only data page of the group's next chunk, preceded by its
// dictionary if there is one.
func (f *parquetFile) writePage(g *metadata.RowGroupMetaDataBuilder, p *page) error {
	pager, chunk, err := f.pager(g)
	if err != nil {
		return err
	}
	if p.dictionary != nil {
		d := file.NewDictionaryPage(memory.NewBufferBytes(p.dictionary), int32(len(p.dictionary)/4), parquet.Encodings.Plain)
		if _, err := pager.WriteDictionaryPage(d); err != nil {
			return err
		}
	}
	// Columns without nulls have no levels, but the format wants their encoding named.
	levels := parquet.Encodings.RLE
	statistics := p.statistics()
	data := file.NewDataPageV1WithStats(memory.NewBufferBytes(p.data), int32(p.rows), p.encoding, levels, levels, int32(p.size), statistics)
	if _, err := pager.WriteDataPage(data); err != nil {
		return err
	}
	chunk.SetStats(statistics)
	return pager.Close(p.dictionary != nil, false)
}

// writeChunk lets the library encode the group's next chunk by write.
func (f *parquetFile) writeChunk(g *metadata.RowGroupMetaDataBuilder, write func(file.ColumnChunkWriter) error) (err error) {
	defer recoverTo(&err)
	pager, chunk, err := f.pager(g)
	if err != nil {
		return err
	}
	w := file.NewColumnChunkWriter(chunk, pager, f.properties)
	if err := write(w); err != nil {
		return err
	}
	return w.Close()
}

// close writes what ends the file.
func (f *parquetFile) close() error {
	whole, err := f.metadata.Finish()
	if err != nil {
		return err
	}
	n, err := whole.WriteTo(f.sink, nil)
	if err != nil {
		return err
	}
	_, err = f.sink.Write(append(binary.LittleEndian.AppendUint32(nil, uint32(n)), parquetMagic...))
	return err
}

// A page is a compressed data page that is a whole chunk, ready to be written.
type page struct {
	rows       int
	encoding   parquet.Encoding
	size       int    // of the data before compression
	data       []byte // compressed
	dictionary []byte // plain values of 4 bytes, not compressed; nil for none
	least      []byte // plain; nil where there is none
	greatest   []byte
}

func (p *page) statistics() metadata.EncodedStatistics {
	s := metadata.EncodedStatistics{Signed: true}
	s.SetNullCount(0)
	if p.least != nil {
		s.SetMin(p.least)
		s.SetMax(p.greatest)
	}
	return s
}
