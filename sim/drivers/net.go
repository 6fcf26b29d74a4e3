package drivers

import (
	"fmt"
	"math/bits"

	"counterpoise/sim/montecarlo"
)

// A net makes the points of a randomised Sobol' sequence by columns, a
// replicate's points all at once or in runs. It belongs to one goroutine.
//
// It takes the sequence of [montecarlo.NewSobol] and scrambles it by random
// lower triangular matrices and a digital shift (Matoušek 1998, Journal of Complexity
// 14:527). As with the nested scrambling of [montecarlo.NewScrambledSobol], every
// point is uniform and the first 2ᵐ points keep their evenness; variances are of the
// same order (Owen 2003, ACM Transactions on Modeling and Computer Simulation 13:363,
// citation from memory). But as the scrambling is linear, a point follows from
// the one before by a single exclusive-or for each coordinate, where nested
// scrambling takes a hash for each digit and then costs several times what a
// cheap model does.
type net struct {
	stream     *montecarlo.Stream
	sequence   [][]uint32 // by dimension, then digit of the index: direction numbers
	directions [][]uint64 // the same, scrambled for a replicate
	shifts     []uint64
	replicate  int
}

// netDigits is the number of digits of an index.
const netDigits = 31

func newNet(dimensions int, seed uint64, purpose string) *net {
	sobol, err := montecarlo.NewSobol(dimensions)
	if err != nil {
		panic("drivers: no Sobol' sequence of so many dimensions")
	}
	n := &net{
		stream:     montecarlo.NewStream(seed, purpose+"/net"),
		sequence:   make([][]uint32, dimensions),
		directions: make([][]uint64, dimensions),
		shifts:     make([]uint64, dimensions),
		replicate:  -1,
	}
	for j := range n.sequence {
		n.sequence[j] = make([]uint32, netDigits)
		n.directions[j] = make([]uint64, netDigits)
	}
	point := make([]float64, dimensions)
	for k := range netDigits {
		// In Gray-code order, this is the point whose code has digit k alone.
		sobol.Point(2<<k-1, point)
		for j, x := range point {
			n.sequence[j][k] = uint32(x * (1 << 32))
		}
	}
	return n
}

// scramble draws the matrices and shifts of a replicate.
func (n *net) scramble(replicate int) {
	n.replicate = replicate
	n.stream.Reset(uint64(replicate))
	var columns [32]uint64
	for j, sequence := range n.sequence {
		for c := range columns {
			// 1 on the diagonal, coins below it.
			columns[c] = 1<<(63-c) | n.stream.Uint64()>>(c+1)
		}
		n.shifts[j] = n.stream.Uint64()
		for k, v := range sequence {
			var scrambled uint64
			for ; v != 0; v &= v - 1 {
				scrambled ^= columns[31-bits.TrailingZeros32(v)]
			}
			n.directions[j][k] = scrambled
		}
	}
}

// fill writes the points of a replicate from a first one on to dst, which has a
// column for each dimension. Coordinates are odd multiples of 2⁻⁵³ in (0, 1).
func (n *net) fill(replicate, first int, dst [][]float64) {
	if replicate != n.replicate {
		n.scramble(replicate)
	}
	for j, column := range dst {
		directions := n.directions[j]
		x := n.shifts[j]
		for g := uint(first ^ first>>1); g != 0; g &= g - 1 {
			x ^= directions[bits.TrailingZeros(g)]
		}
		for i := range column {
			column[i] = (float64(x>>12) + 0.5) * 0x1p-52
			x ^= directions[bits.TrailingZeros(uint(first+i+1))]
		}
	}
}

// newUniforms returns a function that fills columns with rows of numbers
// uniform on (0, 1), those of a replicate from a first row on: a net, or
// independent numbers if there are more columns than a Sobol' sequence has.
func newUniforms(columns int, seed uint64, purpose string) func(replicate, first int, dst [][]float64) {
	if columns <= montecarlo.MaxSobolDimensions {
		return newNet(columns, seed, purpose).fill
	}
	stream := montecarlo.NewStream(seed, fmt.Sprintf("%s/%d columns", purpose, columns))
	return func(replicate, first int, dst [][]float64) {
		stream.Reset(uint64(replicate)<<32 | uint64(first))
		for _, column := range dst {
			for i := range column {
				column[i] = stream.Float64()
			}
		}
	}
}
