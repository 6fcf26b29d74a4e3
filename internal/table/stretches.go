package table

import (
	"encoding/binary"
	"slices"

	"github.com/apache/arrow-go/v18/parquet"
)

// A dictionary page of stretches has at most this many different values, so that
// the number of a value is one byte, and, but for a few, one stretch for so many
// rows.
const (
	mostStretchValues = 128
	stretchRows       = 256
)

// stretchPage returns a dictionary-encoded page of integers that stay the same
// over long stretches of rows, or false if they do not. The library's encoder
// gives the same rows in fifty times the time, for it looks every one of them up.
func stretchPage(values []int32) (page, bool) {
	var distinct []int32
	index := []byte{1} // the width of what follows in bits, set at the end
	stretches := 0
	for from := 0; from < len(values); stretches++ {
		v, to := values[from], from+1
		for to < len(values) && values[to] == v {
			to++
		}
		at := slices.Index(distinct, v)
		if at < 0 {
			at = len(distinct)
			distinct = append(distinct, v)
		}
		if len(distinct) > mostStretchValues || stretches > 4+len(values)/stretchRows {
			return page{}, false
		}
		// A run of the hybrid encoding: twice its length, then the number.
		index = binary.AppendUvarint(index, uint64(to-from)<<1)
		index = append(index, byte(at))
		from = to
	}
	for 1<<index[0] < len(distinct) {
		index[0]++
	}
	p := page{rows: len(values), encoding: parquet.Encodings.RLEDict, size: len(index), data: zstd.EncodeLevel(nil, index, zstdLevel)}
	for _, v := range distinct {
		p.dictionary = binary.LittleEndian.AppendUint32(p.dictionary, uint32(v))
	}
	p.least = binary.LittleEndian.AppendUint32(nil, uint32(slices.Min(distinct)))
	p.greatest = binary.LittleEndian.AppendUint32(nil, uint32(slices.Max(distinct)))
	return p, true
}
