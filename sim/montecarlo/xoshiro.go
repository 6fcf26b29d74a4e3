package montecarlo

import (
	"encoding/binary"
	"math/bits"
)

// xoshiro is the generator xoshiro256++ of Blackman and Vigna (2021, ACM
// Transactions on Mathematical Software 47:36): four words of state, a period of
// 2²⁵⁶−1. A state comes from a cryptographic hash, so that two streams meet no
// sooner than chance has it: not in the life of the universe.
//
// Four fields and a method by value: so the compiler keeps the state in registers
// over a loop.
type xoshiro struct{ a, b, c, d uint64 }

// seed returns the state that the 32 bytes of a key are. All zeros, the one state
// that the generator never leaves, is nothing that a hash gives.
func seed(key [32]byte) xoshiro {
	word := func(k int) uint64 { return binary.LittleEndian.Uint64(key[8*k:]) }
	return xoshiro{word(0), word(1), word(2), word(3)}
}

// next returns a word and the state after it.
func (x xoshiro) next() (uint64, xoshiro) {
	word := bits.RotateLeft64(x.a+x.d, 23) + x.a
	shifted := x.b << 17
	x.c ^= x.a
	x.d ^= x.b
	x.b ^= x.c
	x.a ^= x.d
	x.c ^= shifted
	x.d = bits.RotateLeft64(x.d, 45)
	return word, x
}
