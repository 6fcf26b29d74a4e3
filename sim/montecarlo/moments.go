package montecarlo

import (
	"encoding/binary"
	"fmt"
	"slices"

	"counterpoise/sim/math"
)

// Moments accumulates the count, mean, variance and extremes of the finite
// values it is given, in one pass over the data and constant memory.
//
// Each call of AddAll is summed on its own in two passes, with the correction of
// Chan, Golub and LeVeque (1983, The American Statistician 37:242), and merged
// by the update of Chan, Golub and LeVeque (1979, Stanford report STAN-CS-79-773),
// so no digits are lost to a mean that is large beside the spread. Floating-point
// sums depend on how they are cut: the same slices added, or the same parts
// merged, in the same order give the same bits.
//
// Infinite values take no part in the moments and extremes: Infinite counts
// them, and whoever shows a mean must show that count. NaN is never expected; as
// long as NaNs is not 0, Mean, Variance, Min and Max are NaN.
//
// Sums of squares overflow for values beyond about 10¹⁵⁰.
//
// The zero value is empty and ready for use.
type Moments struct {
	count, infinite, nans int64
	mean                  float64
	m2                    float64 // sum of squared deviations from the mean
	min, max              float64
}

// AddAll adds every value of xs.
func (m *Moments) AddAll(xs []float64) {
	part := Moments{min: math.Inf(1), max: math.Inf(-1)}
	finite := true
	for _, x := range xs {
		if x-x != 0 {
			finite = false
			if x != x {
				part.nans++
			} else {
				part.infinite++
			}
			continue
		}
		if x < part.min {
			part.min = x
		}
		if x > part.max {
			part.max = x
		}
	}
	if !finite {
		xs = slices.DeleteFunc(slices.Clone(xs), func(x float64) bool { return x-x != 0 })
	}
	if part.count = int64(len(xs)); part.count > 0 {
		mean := sum(xs, 0) / float64(part.count)
		deviations, squares := sum(xs, mean), sumOfSquares(xs, mean)
		// The deviations would add up to 0 but for the rounding of the mean.
		shift := deviations / float64(part.count)
		part.mean = min(max(mean+shift, part.min), part.max)
		part.m2 = max(squares-float64(deviations*shift), 0)
	}
	m.Merge(&part)
}

// sum returns the sum of x − from over all x. It adds up every fourth value apart:
// one sum alone would wait for each addition before the next.
func sum(xs []float64, from float64) float64 {
	var a, b, c, d float64
	for ; len(xs) >= 4; xs = xs[4:] {
		a += xs[0] - from
		b += xs[1] - from
		c += xs[2] - from
		d += xs[3] - from
	}
	for _, x := range xs {
		a += x - from
	}
	return (a + b) + (c + d)
}

// sumOfSquares returns the sum of (x − from)², in the manner of sum.
func sumOfSquares(xs []float64, from float64) float64 {
	var a, b, c, d float64
	for ; len(xs) >= 4; xs = xs[4:] {
		p, q, r, s := xs[0]-from, xs[1]-from, xs[2]-from, xs[3]-from
		a += float64(p * p)
		b += float64(q * q)
		c += float64(r * r)
		d += float64(s * s)
	}
	for _, x := range xs {
		a += float64((x - from) * (x - from))
	}
	return (a + b) + (c + d)
}

// Merge adds all that other has accumulated. It leaves other as it was.
func (m *Moments) Merge(other *Moments) {
	m.infinite += other.infinite
	m.nans += other.nans
	if other.count == 0 {
		return
	}
	if m.count == 0 {
		m.count, m.mean, m.m2, m.min, m.max = other.count, other.mean, other.m2, other.min, other.max
		return
	}
	n := m.count + other.count
	share := float64(other.count) / float64(n)
	d := other.mean - m.mean
	m.min, m.max = min(m.min, other.min), max(m.max, other.max)
	m.mean = min(max(m.mean+float64(d*share), m.min), m.max)
	m.m2 += other.m2 + float64(d*d*share*float64(m.count))
	m.count = n
}

// Count returns the number of finite values.
func (m *Moments) Count() int64 { return m.count }

// Infinite returns the number of infinite values, which were left out.
func (m *Moments) Infinite() int64 { return m.infinite }

// NaNs returns how often NaN was added.
func (m *Moments) NaNs() int64 { return m.nans }

// Mean returns the mean of the finite values. It is NaN if there are none or
// if NaN was added.
func (m *Moments) Mean() float64 { return m.unless(m.count < 1, m.mean) }

// Variance returns the sample variance, with divisor n−1. It is NaN if there
// are fewer than two finite values or if NaN was added.
func (m *Moments) Variance() float64 { return m.unless(m.count < 2, m.m2/float64(m.count-1)) }

// Min returns the least finite value. It is NaN if there is none or if NaN was
// added.
func (m *Moments) Min() float64 { return m.unless(m.count < 1, m.min) }

// Max returns the greatest finite value. It is NaN if there is none or if NaN
// was added.
func (m *Moments) Max() float64 { return m.unless(m.count < 1, m.max) }

func (m *Moments) unless(undefined bool, x float64) float64 {
	if undefined || m.nans > 0 {
		return math.NaN()
	}
	return x
}

// momentsHeader names the format and its version.
const momentsHeader = "mcmoms1\n"

// MarshalBinary encodes the moments for a checkpoint: after the header the
// counts of NaN, of infinite and of finite values as unsigned varints and, if
// there are finite values, mean, sum of squared deviations, least and greatest
// as 8 bytes each (big endian). The error is always nil.
func (m *Moments) MarshalBinary() ([]byte, error) {
	b := []byte(momentsHeader)
	for _, n := range []int64{m.nans, m.infinite, m.count} {
		b = binary.AppendUvarint(b, uint64(n))
	}
	if m.count > 0 {
		for _, x := range []float64{m.mean, m.m2, m.min, m.max} {
			b = binary.BigEndian.AppendUint64(b, math.Float64bits(x))
		}
	}
	return b, nil
}

// UnmarshalBinary replaces the moments by the encoded ones. Data that
// MarshalBinary cannot have written are an error, and the moments stay as they
// were.
func (m *Moments) UnmarshalBinary(data []byte) error {
	r := decoder{data: data}
	r.header(momentsHeader)
	var n Moments
	n.nans, n.infinite, n.count = r.count(), r.count(), r.count()
	if n.count > 0 {
		n.mean, n.m2, n.min, n.max = r.float(), r.float(), r.float(), r.float()
		if !(n.min <= n.mean && n.mean <= n.max && n.m2 >= 0) || math.IsInf(n.min, 0) || math.IsInf(n.max, 0) ||
			n.count == 1 && !(n.m2 == 0 && n.min == n.max) {
			r.fail("impossible moments")
		}
	}
	if len(r.data) > 0 {
		r.fail("too long")
	}
	if r.err != nil {
		return fmt.Errorf("montecarlo: not encoded moments: %w", r.err)
	}
	*m = n
	return nil
}
