package montecarlo

import (
	"encoding/binary"
	"fmt"

	"counterpoise/sim/math"
)

// histogramHeader names the format and its version.
const histogramHeader = "mchist1\n"

// MarshalBinary encodes the histogram for a checkpoint. Histograms that have
// counted the same values give the same bytes, whatever the order. The error is
// always nil.
//
// After the header come, as unsigned varints, the numbers of NaN, −Inf, +Inf
// and zeros, and of finite values; if there are any of these, their least and
// greatest as 8 bytes each (big endian); then each chunk that is not empty, by
// ascending sign and exponent: its key, its number of bins that are not empty,
// and for each of them its index and count. The end of the data ends the list.
func (h *Histogram) MarshalBinary() ([]byte, error) {
	b := []byte(histogramHeader)
	for _, n := range []int64{h.nans, h.minusInf, h.posInf, h.zeros, h.finite} {
		b = binary.AppendUvarint(b, uint64(n))
	}
	if h.finite > 0 {
		b = binary.BigEndian.AppendUint64(b, math.Float64bits(h.min))
		b = binary.BigEndian.AppendUint64(b, math.Float64bits(h.max))
	}
	for key, slot := range h.slots {
		if slot == 0 {
			continue
		}
		used := 0
		for _, count := range h.chunks[slot-1] {
			if count != 0 {
				used++
			}
		}
		if used == 0 {
			continue // left empty by Reset
		}
		b = binary.AppendUvarint(b, uint64(key))
		b = binary.AppendUvarint(b, uint64(used))
		for bin, count := range h.chunks[slot-1] {
			if count != 0 {
				b = binary.AppendUvarint(b, uint64(bin))
				b = binary.AppendUvarint(b, uint64(count))
			}
		}
	}
	return b, nil
}

// UnmarshalBinary replaces the histogram by the encoded one. Data that
// MarshalBinary cannot have written are an error, and the histogram stays as it
// was.
func (h *Histogram) UnmarshalBinary(data []byte) error {
	r := decoder{data: data}
	r.header(histogramHeader)
	var n Histogram
	n.nans, n.minusInf, n.posInf, n.zeros, n.finite = r.count(), r.count(), r.count(), r.count(), r.count()
	if n.finite > 0 {
		n.min, n.max = r.float(), r.float()
	}
	total := n.zeros
	var lowest, highest int // cells that are not empty
	if n.zeros == 0 {
		lowest, highest = math.MaxInt, math.MinInt
	}
	lastKey := 0
	for r.err == nil && len(r.data) > 0 {
		key := r.below(1 << 12)
		exponent := key &^ signBit
		if key <= lastKey || exponent == 0 || exponent == topExponent {
			r.fail("bad sign and exponent")
			break
		}
		lastKey = key
		chunk := n.chunks[n.newChunk(uint64(key))-1]
		used := r.below(binsPerOctave + 1)
		if used == 0 {
			r.fail("empty chunk")
		}
		lastBin := -1
		for range used {
			bin, count := r.below(binsPerOctave), r.count()
			if bin <= lastBin || count == 0 || count > n.finite-total {
				r.fail("bad bin")
				break
			}
			lastBin = bin
			chunk[bin] = count
			total += count
			cell := exponent<<binBits | bin
			if key&signBit != 0 {
				cell = -cell
			}
			lowest, highest = min(lowest, cell), max(highest, cell)
		}
	}
	switch {
	case r.err != nil:
	case total != n.finite || n.minusInf > math.MaxInt64-n.finite || n.posInf > math.MaxInt64-n.finite-n.minusInf:
		r.fail("counts do not add up")
	case n.finite == 0:
	case !(n.min <= n.max) || cellOf(n.min) != lowest || cellOf(n.max) != highest || n.finite == 1 && n.min != n.max:
		r.fail("extremes do not fit the counts")
	}
	if r.err != nil {
		return fmt.Errorf("montecarlo: not an encoded histogram: %w", r.err)
	}
	*h = n
	return nil
}

// cellOf numbers the cells in ascending order, 0 being the cell of zero and of
// nothing else. What a histogram cannot hold (−0, subnormals, infinities) gets
// a number that no chunk has.
func cellOf(x float64) int {
	bits := math.Float64bits(x)
	if bits == 0 {
		return 0
	}
	cell := int(bits &^ (1 << 63) >> (fractionBits - binBits))
	if cell < binsPerOctave {
		return math.MaxInt
	}
	if x < 0 {
		return -cell
	}
	return cell
}
