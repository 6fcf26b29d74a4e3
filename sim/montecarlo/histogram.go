package montecarlo

import "counterpoise/sim/math"

// HistogramError is the greatest relative error of [Histogram.Quantile]: 2⁻¹¹,
// about 0.05 %.
const HistogramError = 1.0 / binsPerOctave

// Bins are cut from the bits of a float64: the sign and the exponent (12 bits)
// choose a chunk, the upper bits of the fraction a bin within it. So each
// octave 2ᵏ ≤ |x| < 2ᵏ⁺¹ is cut into bins of equal width, and no bin is wider
// than 2⁻¹¹ of the least magnitude in it.
const (
	fractionBits  = 52
	binBits       = 11
	binsPerOctave = 1 << binBits
	signBit       = 1 << 11 // of a chunk's key
	topExponent   = 0x7ff   // infinities and NaN

	smallestNormal = 0x1p-1022
)

// A Histogram counts values so finely that quantiles can be read off with a
// relative error of at most [HistogramError], in memory that does not grow with
// the number of values: 16 kB for each octave that occurs, and 8 kB.
//
// All it keeps is integer counts and the extremes, so the order in which values
// are added and histograms are merged never matters, not even for the bytes of
// MarshalBinary.
//
// Zero and the two infinities are values like others and are exact. Subnormal
// numbers, those of magnitude below 2⁻¹⁰²², and −0 count as 0.
//
// NaN is not a value. Add counts it apart, and as long as NaNs is not 0, all of
// Quantile, Min and Max are NaN: what went wrong upstream cannot pass unseen.
//
// The zero value is an empty histogram, ready for use.
type Histogram struct {
	slots  [1 << 12]uint16 // by sign and exponent: 1 + index into chunks, or 0
	chunks []*[binsPerOctave]int64

	finite           int64 // values counted in chunks and zeros
	zeros            int64
	minusInf, posInf int64
	nans             int64

	min, max float64 // of the finite values, if any
}

// Add counts one value.
func (h *Histogram) Add(x float64) { h.AddAll([]float64{x}) }

// AddAll counts every value of xs.
func (h *Histogram) AddAll(xs []float64) {
	lowest, highest := h.min, h.max
	if h.finite == 0 {
		lowest, highest = math.Inf(1), math.Inf(-1)
	}
	counted := h.finite
	// Most values have the sign and exponent, and so the chunk, of the one before.
	const noKey = 1 << 12
	last, chunk := uint64(noKey), (*[binsPerOctave]int64)(nil)
	for _, x := range xs {
		bits := math.Float64bits(x)
		if key := bits >> fractionBits; key != last {
			last, chunk = key, nil
			if slot := h.slots[key]; slot != 0 {
				chunk = h.chunks[slot-1]
			}
		}
		if chunk == nil {
			switch {
			case math.Abs(x) < smallestNormal:
				h.zeros++
				x = 0
			case math.IsNaN(x):
				h.nans++
				continue
			case x > math.MaxFloat64:
				h.posInf++
				continue
			case x < -math.MaxFloat64:
				h.minusInf++
				continue
			default:
				chunk = h.chunks[h.newChunk(last)-1]
			}
		}
		if chunk != nil {
			chunk[bits>>(fractionBits-binBits)%binsPerOctave]++
		}
		counted++
		if x < lowest {
			lowest = x
		}
		if x > highest {
			highest = x
		}
	}
	h.finite = counted
	if counted > 0 {
		h.min, h.max = lowest, highest
	}
}

// newChunk makes the chunk for a sign and exponent that occur for the first
// time, and returns its slot.
func (h *Histogram) newChunk(key uint64) uint16 {
	h.chunks = append(h.chunks, new([binsPerOctave]int64))
	slot := uint16(len(h.chunks))
	h.slots[key] = slot
	return slot
}

// Merge adds all that other has counted. It leaves other as it was.
func (h *Histogram) Merge(other *Histogram) {
	if other.finite > 0 {
		if h.finite == 0 {
			h.min, h.max = other.min, other.max
		}
		h.min, h.max = min(h.min, other.min), max(h.max, other.max)
	}
	h.finite += other.finite
	h.zeros += other.zeros
	h.minusInf += other.minusInf
	h.posInf += other.posInf
	h.nans += other.nans
	for key, from := range other.slots {
		if from == 0 {
			continue
		}
		slot := h.slots[key]
		if slot == 0 {
			slot = h.newChunk(uint64(key))
		}
		into := h.chunks[slot-1]
		for i, count := range other.chunks[from-1] {
			into[i] += count
		}
	}
}

// Reset empties the histogram and keeps its memory.
func (h *Histogram) Reset() {
	slots, chunks := h.slots, h.chunks
	for _, chunk := range chunks {
		*chunk = [binsPerOctave]int64{}
	}
	*h = Histogram{slots: slots, chunks: chunks}
}

// Count returns the number of values counted, infinities included, NaN not.
func (h *Histogram) Count() int64 { return h.finite + h.minusInf + h.posInf }

// NaNs returns how often NaN was added.
func (h *Histogram) NaNs() int64 { return h.nans }

// Min returns the least value, exactly. It is NaN if there is none or if NaN
// was added.
func (h *Histogram) Min() float64 { return h.extreme(0) }

// Max returns the greatest value, exactly. It is NaN if there is none or if NaN
// was added.
func (h *Histogram) Max() float64 { return h.extreme(h.Count() - 1) }

func (h *Histogram) extreme(rank int64) float64 {
	if h.nans > 0 || h.Count() == 0 {
		return math.NaN()
	}
	return h.ranked(rank)
}

// Quantile returns the value below which the share p of all values lies.
//
// It estimates the sample quantile of type 7 of Hyndman and Fan (1996, The
// American Statistician 50:361), the default of R and NumPy: of the n values in
// ascending order x₀ … xₙ₋₁, the one at position (n−1)·p, linear between
// neighbours. Each xₖ is taken from its bin, the values of a bin being spread
// evenly over it, so the result is within HistogramError × max(|xₖ|, |xₖ₊₁|) of
// the sample quantile. x₀ and xₙ₋₁ are exact.
//
// Between a finite value and an infinite one the result is the infinite one;
// between the two infinities it is NaN, as it is if nothing was counted, or if
// NaN was. Quantile panics if p is not in [0, 1].
func (h *Histogram) Quantile(p float64) float64 {
	if !(p >= 0 && p <= 1) {
		panic("montecarlo: quantile of a share outside [0, 1]")
	}
	if h.nans > 0 || h.Count() == 0 {
		return math.NaN()
	}
	return interpolateRanks(h.Count(), p, h.ranked)
}

// interpolateRanks returns the quantile of type 7 of n ≥ 1 values, given the
// value at each rank 0 … n−1.
func interpolateRanks(n int64, p float64, ranked func(int64) float64) float64 {
	position := float64(float64(n-1) * p)
	rank := int64(position)
	if rank >= n-1 { // above, where a float counts no further one by one
		return ranked(n - 1)
	}
	share := position - float64(rank)
	below := ranked(rank)
	if share == 0 {
		return below
	}
	above := ranked(rank + 1)
	if above == below {
		return below // also if both are infinite
	}
	return float64((1-share)*below) + float64(share*above)
}

// ranked estimates the value at a rank 0 … Count()−1 in ascending order.
func (h *Histogram) ranked(rank int64) float64 {
	rank -= h.minusInf
	switch {
	case rank < 0:
		return math.Inf(-1)
	case rank >= h.finite:
		return math.Inf(1)
	case rank == 0:
		return h.min
	case rank == h.finite-1:
		return h.max
	}
	// Upwards: negative numbers from the greatest magnitude to the least, zero,
	// then positive ones from the least to the greatest.
	for key := signBit | topExponent - 1; key > signBit; key-- {
		if slot := h.slots[key]; slot != 0 {
			chunk := h.chunks[slot-1]
			for bin := binsPerOctave - 1; bin >= 0; bin-- {
				if count := chunk[bin]; rank < count {
					return h.within(-1, key&^signBit, bin, count-1-rank, count)
				} else {
					rank -= count
				}
			}
		}
	}
	if rank < h.zeros {
		return 0
	}
	rank -= h.zeros
	for key := 1; key < topExponent; key++ {
		if slot := h.slots[key]; slot != 0 {
			for bin, count := range h.chunks[slot-1] {
				if rank < count {
					return h.within(1, key, bin, rank, count)
				}
				rank -= count
			}
		}
	}
	panic("montecarlo: histogram counts do not add up")
}

// within places the value at a rank among the count values of a bin, ranked by
// magnitude: count values at the middles of count equal parts of the bin.
func (h *Histogram) within(sign float64, exponent, bin int, rank, count int64) float64 {
	octave := math.Float64frombits(uint64(exponent) << fractionBits)
	lower := math.Float64frombits(uint64(exponent)<<fractionBits | uint64(bin)<<(fractionBits-binBits))
	share := (float64(rank) + 0.5) / float64(count)
	x := sign * (lower + float64(share*(octave/binsPerOctave)))
	return min(max(x, h.min), h.max)
}
