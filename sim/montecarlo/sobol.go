package montecarlo

import (
	_ "embed"
	"encoding/binary"
	"fmt"
	"math/bits"
	"strings"
	"sync"
)

// MaxSobolDimensions is the greatest number of dimensions of a [Sobol]
// sequence: those whose direction numbers are embedded.
const MaxSobolDimensions = 128

// sobolBits is the number of digits of the sequence, and of bits of an index.
const sobolBits = 32

// A Sobol is a Sobol' sequence: points of the unit cube that cover it more
// evenly than random ones, any first 2ᵐ of them evenly in a strict sense (see
// NewScrambledSobol). Its direction numbers are those of Joe and Kuo (2008, SIAM
// Journal on Scientific Computing 30:2635), its order is Gray-code order
// (Antonov and Saleev 1979), as in their own program.
//
// Use 2ᵐ points, from index 0 on: the evenness belongs to the whole. A Sobol
// is not changed by use and can be shared between goroutines.
type Sobol struct {
	directions []sobolDirections
	keys       []uint64 // of the scrambling, one for each dimension; nil if none
}

// sobolDirections are the direction numbers v₁ … v₃₂ of one dimension as binary
// fractions: 2³²·v.
type sobolDirections [sobolBits]uint32

// NewSobol returns the sequence without scrambling. Its first point is 0 in all
// dimensions, so it must not go into a quantile function. It returns an error
// if dimensions is not in 1 … MaxSobolDimensions.
func NewSobol(dimensions int) (*Sobol, error) {
	if dimensions < 1 || dimensions > MaxSobolDimensions {
		return nil, fmt.Errorf("montecarlo: Sobol' sequence in %d dimensions: want 1 to %d", dimensions, MaxSobolDimensions)
	}
	return &Sobol{directions: joeKuoDirections()[:dimensions]}, nil
}

// NewScrambledSobol returns the sequence under Owen's nested uniform scrambling
// (1995, "Randomly permuted (t,m,s)-nets and (t,s)-sequences"), keyed by seed,
// purpose and dimension: each binary digit is flipped or not by a coin of its
// own for every value of the digits before it.
//
// Every point is then uniform on the open cube (0, 1)ᵈ, so means over the points
// are unbiased, and scatter over seeds tells their error. What makes the points
// even is kept: of the first 2ᵐ, every interval [a/2ᵐ, (a+1)/2ᵐ) of every
// dimension holds exactly one. Dimensions added later leave those before
// them as they were.
//
// It returns an error if dimensions is not in 1 … MaxSobolDimensions.
func NewScrambledSobol(dimensions int, seed uint64, purpose string) (*Sobol, error) {
	s, err := NewSobol(dimensions)
	if err != nil {
		return nil, err
	}
	s.keys = make([]uint64, dimensions)
	for d := range s.keys {
		key := Key(seed, "sobol scrambling/"+purpose, uint64(d))
		s.keys[d] = binary.BigEndian.Uint64(key[:])
	}
	return s, nil
}

// Dimensions returns the number of dimensions.
func (s *Sobol) Dimensions() int { return len(s.directions) }

// Point writes the point of the given index, counted from 0, to dst, which has
// one element for each dimension. Any index can be asked for at the same cost.
// Without scrambling the coordinates are multiples of 2⁻³² in [0, 1), with
// scrambling odd multiples of 2⁻⁵³ in (0, 1).
//
// Point panics if dst has another length or index is not below 2³².
func (s *Sobol) Point(index uint64, dst []float64) {
	if len(dst) != len(s.directions) {
		panic("montecarlo: slice length is not the number of dimensions")
	}
	if index >= 1<<sobolBits {
		panic("montecarlo: index of a Sobol' point beyond 2^32")
	}
	gray := uint32(index ^ index>>1)
	for d := range dst {
		v := &s.directions[d]
		var x uint32
		for g := gray; g != 0; g &= g - 1 {
			x ^= v[bits.TrailingZeros32(g)%sobolBits]
		}
		if s.keys == nil {
			dst[d] = float64(x) * 0x1p-32
		} else {
			dst[d] = openUnit(scramble(x, s.keys[d]))
		}
	}
}

// scramble flips the digits of x, the highest first, and appends random digits
// in the place of the zeros that follow: 64 digits in all.
//
// The coin for a digit must depend on all digits before it and on nothing else.
// So digits before it, with a one in front to tell 0 from 00, are hashed: these
// are the nodes of the binary tree in Owen's construction, numbered as in a
// heap. Unlike the faster permutations of Laine and Karras (2011) and Burley (2020),
// which let carries do the mixing, every node has a coin that is as good as
// the hash.
func scramble(x uint32, key uint64) uint64 {
	var flips uint32
	for digit := range sobolBits {
		node := uint64(1)<<digit | uint64(x)>>(sobolBits-digit)
		flips |= uint32(mix(key+node*goldenGamma)>>63) << (sobolBits - 1 - digit)
	}
	rest := mix(key + (1<<sobolBits|uint64(x))*goldenGamma)
	return uint64(x^flips)<<32 | rest>>32
}

// mix is the output function of the SplitMix64 generator (Steele, Lea and Flood
// 2014, "Fast splittable pseudorandom number generators"; constants: Stafford's
// variant 13), and goldenGamma its step: hash number n of a key is that
// generator's n-th output.
func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

const goldenGamma = 0x9e3779b97f4a7c15

//go:embed sobol_joe_kuo.txt
var joeKuoTable string

// joeKuoDirections expands the table, once.
var joeKuoDirections = sync.OnceValue(func() []sobolDirections {
	all := make([]sobolDirections, 1, MaxSobolDimensions)
	for k := range all[0] {
		all[0][k] = 1 << (sobolBits - 1 - k) // van der Corput's sequence
	}
	for line := range strings.Lines(joeKuoTable) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		p := parseJoeKuo(line)
		all = append(all, p.directions())
	}
	return all
})

// A joeKuoRow is one row of the table.
type joeKuoRow struct {
	dimension int
	degree    int
	inner     uint32   // coefficients a₁ … aₛ₋₁ of the polynomial xˢ + a₁xˢ⁻¹ + … + 1
	initial   []uint32 // m₁ … mₛ
}

func parseJoeKuo(line string) joeKuoRow {
	var row joeKuoRow
	r := strings.NewReader(line)
	_, err := fmt.Fscan(r, &row.dimension, &row.degree, &row.inner)
	row.initial = make([]uint32, row.degree)
	for i := range row.initial {
		if err == nil {
			_, err = fmt.Fscan(r, &row.initial[i])
		}
	}
	if err != nil {
		panic("montecarlo: damaged table of Sobol' direction numbers") // it is embedded
	}
	return row
}

// directions applies the recurrence of Bratley and Fox (1988, ACM Transactions on
// Mathematical Software 14:88, algorithm 659):
// vₖ = a₁vₖ₋₁ ⊕ … ⊕ aₛ₋₁vₖ₋ₛ₊₁ ⊕ vₖ₋ₛ ⊕ vₖ₋ₛ/2ˢ.
func (row joeKuoRow) directions() (v sobolDirections) {
	s := row.degree
	for k := range v {
		if k < s {
			v[k] = row.initial[k] << (sobolBits - 1 - k)
			continue
		}
		v[k] = v[k-s] ^ v[k-s]>>s
		for i := 1; i < s; i++ {
			if row.inner>>(s-1-i)&1 == 1 {
				v[k] ^= v[k-i]
			}
		}
	}
	return v
}
