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

// A floatPage turns a column of floats, piece by piece, into a data page, in memory
// that it keeps for the next: begin, add …, end.
//
// The encoding is byte stream split: first the lowest byte of every value, then
// the second and so on, as four planes. The three planes of the fractions of
// simulated measurements hardly shrink, and a compressor takes most of its time
// to find that out. So they become raw blocks of the frame, written there at once,
// and only the plane of signs and exponents is compressed. Pages of bodies are a
// seventh larger than under zstd at its fastest and take a fifth of the time.
type floatPage struct {
	page
	plane           int    // bytes that a raw plane takes in the frame
	done            int    // values added
	top             []byte // the plane of signs and exponents
	shrunk          []byte
	least, greatest float32 // of the numbers added
	nan             bool    // whether there is any
}

// begin makes ready for so many values, at least one.
func (p *floatPage) begin(rows int) {
	blocks := (rows + mostBlock - 1) / mostBlock
	p.plane = rows + blocks*blockHeader
	length := frameHeader + 4*p.plane + 64
	if cap(p.data) < length {
		p.data = make([]byte, length)
		p.top = make([]byte, rows)
	}
	p.page = page{rows: rows, encoding: parquet.Encodings.ByteStreamSplit, size: 4 * rows, data: p.data[:length]}
	p.top = p.top[:rows]
	copy(p.data, frameMagic)
	p.data[4] = frameDescriptor
	binary.LittleEndian.PutUint32(p.data[5:], uint32(p.size))
	for from := 0; from < rows; from += mostBlock {
		for k := range 3 {
			putBlockHeader(p.data[p.place(k, from)-blockHeader:], rawBlock, min(mostBlock, rows-from), false)
		}
	}
	p.done, p.nan = 0, false
	p.least, p.greatest = float32(math.Inf(1)), float32(math.Inf(-1))
}

// place is where the byte of a value is in the frame, for the plane k of the lower
// three.
func (p *floatPage) place(k, value int) int {
	return frameHeader + k*p.plane + (value/mostBlock+1)*blockHeader + value
}

// add takes the next values.
func (p *floatPage) add(values []float32) {
	for len(values) > 0 {
		n := min(len(values), mostBlock-p.done%mostBlock)
		raw := func(k int) []byte { return p.data[p.place(k, p.done):][:n] }
		least, greatest, nan := split(values[:n], raw(0), raw(1), raw(2), p.top[p.done:p.done+n])
		p.least, p.greatest, p.nan = min(p.least, least), max(p.greatest, greatest), p.nan || nan
		p.done += n
		values = values[n:]
	}
}

// end completes the page once all values are there.
func (p *floatPage) end() {
	p.data = p.appendTop(p.data[:frameHeader+3*p.plane], p.top)
	p.setExtremes(p.least, p.greatest)
}

// firstNaN returns the number of the first value added that is no number, or −1.
func (p *floatPage) firstNaN() int {
	for i := range p.done {
		bits := uint32(p.data[p.place(0, i)]) | uint32(p.data[p.place(1, i)])<<8 | uint32(p.data[p.place(2, i)])<<16 | uint32(p.top[i])<<24
		if v := math.Float32frombits(bits); v != v {
			return i
		}
	}
	return -1
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
	p.page.least = binary.LittleEndian.AppendUint32(nil, math.Float32bits(least))
	p.page.greatest = binary.LittleEndian.AppendUint32(nil, math.Float32bits(greatest))
}
