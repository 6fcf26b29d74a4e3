package table

import (
	"bytes"
	"encoding/binary"
	"math"

	"github.com/apache/arrow-go/v18/parquet"
	"github.com/apache/arrow-go/v18/parquet/compress"
)

const zstdLevel = 1

var zstd = func() compress.Codec {
	codec, err := compress.GetCodec(compress.Codecs.Zstd)
	if err != nil {
		panic("table: no zstd")
	}
	return codec
}()

// A Zstandard frame, as RFC 8878 has it, of content whose length is stated in 4
// bytes and which is one segment, without checksum.
const (
	frameMagic      = "\x28\xb5\x2f\xfd"
	frameDescriptor = 2<<6 | 1<<5
	frameHeader     = 4 + 1 + 4
	blockHeader     = 3
	mostBlock       = 128 << 10

	rawBlock = 0
	rleBlock = 1
)

// putBlockHeader writes the header of a block.
func putBlockHeader(b []byte, kind, size int, last bool) {
	h := uint32(kind<<1 | size<<3)
	if last {
		h |= 1
	}
	b[0], b[1], b[2] = byte(h), byte(h>>8), byte(h>>16)
}

// A floatPage turns columns of floats into data pages, one at a time, in memory
// that it keeps.
//
// The encoding is byte stream split: first the lowest byte of every value, then
// the second and so on, as four planes. The three planes of the fractions of
// simulated measurements hardly shrink, and a compressor takes most of its time
// to find that out. So they become raw blocks of the frame, without being looked
// at, and only the plane of signs and exponents is compressed. Pages of bodies
// are a seventh larger than under zstd at its fastest and take a fifth of the
// time.
type floatPage struct {
	page
	top    []byte // the plane of signs and exponents
	shrunk []byte
	nan    bool // whether there is any
}

// encode makes the page of the values, of which there is at least one.
func (p *floatPage) encode(values []float32) {
	n := len(values)
	blocks := (n + mostBlock - 1) / mostBlock
	plane := n + blocks*blockHeader // bytes that a raw plane takes in the frame
	room := frameHeader + 4*plane + 64
	if cap(p.data) < room {
		p.data = make([]byte, room)
		p.top = make([]byte, n)
	}
	data, top := p.data[:room], p.top[:n]
	copy(data, frameMagic)
	data[4] = frameDescriptor
	binary.LittleEndian.PutUint32(data[5:], uint32(4*n))

	least, greatest := float32(math.Inf(1)), float32(math.Inf(-1))
	p.nan = false
	for from := 0; from < n; from += mostBlock {
		part := values[from:min(from+mostBlock, n)]
		var raw [3][]byte
		for k := range raw {
			at := frameHeader + k*plane + from + from/mostBlock*blockHeader
			putBlockHeader(data[at:], rawBlock, len(part), false)
			raw[k] = data[at+blockHeader:][:len(part)]
		}
		low, high, nan := split(part, raw[0], raw[1], raw[2], top[from:from+len(part)])
		least, greatest, p.nan = min(least, low), max(greatest, high), p.nan || nan
	}
	p.page = page{rows: n, encoding: parquet.Encodings.ByteStreamSplit, size: 4 * n, data: p.data}
	p.page.data = p.appendTop(data[:frameHeader+3*plane], top)
	p.setExtremes(least, greatest)
}

// appendTop ends the frame with the last plane: blocks that repeat one byte, or
// the blocks of a frame that the library compressed. Blocks hold no reference to
// where their frame begins, and raw ones leave the compressor's state alone.
func (p *floatPage) appendTop(data, top []byte) []byte {
	if bytes.Count(top, top[:1]) == len(top) {
		for from := 0; from < len(top); from += mostBlock {
			size := min(mostBlock, len(top)-from)
			var header [blockHeader]byte
			putBlockHeader(header[:], rleBlock, size, from+size == len(top))
			data = append(append(data, header[:]...), top[0])
		}
		return data
	}
	if need := int(zstd.CompressBound(int64(len(top)))) + 64; cap(p.shrunk) < need {
		p.shrunk = make([]byte, need)
	}
	p.shrunk = zstd.EncodeLevel(p.shrunk, top, zstdLevel)
	return append(data, frameBlocks(p.shrunk)...)
}

// frameBlocks returns the blocks of a frame without a dictionary.
func frameBlocks(frame []byte) []byte {
	descriptor := frame[4]
	header := 5
	single := descriptor&(1<<5) != 0
	if !single {
		header++ // the size of the window
	}
	switch descriptor >> 6 {
	case 0:
		if single {
			header++
		}
	case 1:
		header += 2
	case 2:
		header += 4
	case 3:
		header += 8
	}
	if descriptor&(1<<2) != 0 { // a checksum
		frame = frame[:len(frame)-4]
	}
	return frame[header:]
}

// setExtremes stores the statistics. The format wants the zeros that bound a
// column to include both of them.
func (p *floatPage) setExtremes(least, greatest float32) {
	if least > greatest {
		return
	}
	if least == 0 {
		least = float32(math.Copysign(0, -1))
	}
	if greatest == 0 {
		greatest = 0 // not −0
	}
	// In memory of their own: the books of the file keep them.
	p.least = binary.LittleEndian.AppendUint32(nil, math.Float32bits(least))
	p.greatest = binary.LittleEndian.AppendUint32(nil, math.Float32bits(greatest))
}
