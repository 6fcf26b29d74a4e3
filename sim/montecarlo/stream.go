package montecarlo

import (
	"crypto/sha256"
	"encoding/binary"
)

// keyDomain sets the keys of this package apart from every other use of
// SHA-256. Changing it changes every draw of every seed.
const keyDomain = "counterpoise/montecarlo key 1"

// Key returns the key of the stream for one block of one purpose: the SHA-256
// of the seed, the purpose and the block. Every field has a fixed length or
// carries its length, so no two different triples encode alike.
//
// Neighbouring seeds, purposes and blocks give unrelated keys by the design of
// the hash; nothing is asked of the generator that uses them.
func Key(seed uint64, purpose string, block uint64) [32]byte {
	return sha256.Sum256(appendBlock(keyPrefix(seed, purpose), block))
}

// keyPrefix encodes what is common to all blocks of a purpose, with room left
// for the block.
func keyPrefix(seed uint64, purpose string) []byte {
	b := make([]byte, 0, len(keyDomain)+8+8+len(purpose)+8)
	b = append(b, keyDomain...)
	b = binary.BigEndian.AppendUint64(b, seed)
	b = binary.BigEndian.AppendUint64(b, uint64(len(purpose)))
	return append(b, purpose...)
}

func appendBlock(prefix []byte, block uint64) []byte {
	return binary.BigEndian.AppendUint64(prefix, block)
}

// A Stream is the random numbers of one purpose, block by block, from the
// generator xoshiro256++. It is a Source of math/rand/v2, where rand.New(s) gives
// every method of that package. A Stream is meant for one goroutine: give each
// worker its own.
type Stream struct {
	prefix []byte // the encoded seed and purpose, with room for the block
	source xoshiro
}

// NewStream returns the stream of a purpose, set to block 0.
func NewStream(seed uint64, purpose string) *Stream {
	s := &Stream{prefix: keyPrefix(seed, purpose)}
	s.Reset(0)
	return s
}

// Reset goes to the beginning of a block. It does not allocate.
func (s *Stream) Reset(block uint64) {
	s.source = seed(sha256.Sum256(appendBlock(s.prefix, block)))
}

// Uint64 returns 64 random bits.
func (s *Stream) Uint64() (word uint64) {
	word, s.source = s.source.next()
	return word
}

// Float64 returns a number uniform on the open interval (0, 1): an odd
// multiple of 2⁻⁵³, so that it can go into any quantile function. (The method
// of the same name in math/rand/v2 can return 0.)
func (s *Stream) Float64() float64 { return openUnit(s.Uint64()) }

// openUnit maps the upper 52 bits to the middles of 2⁵² equal cells of [0, 1].
// Both steps are exact.
func openUnit(u uint64) float64 {
	return (float64(u>>12) + 0.5) * 0x1p-52
}
