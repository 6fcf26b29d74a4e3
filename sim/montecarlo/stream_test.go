package montecarlo

import (
	"fmt"
	"math"
	"math/bits"
	"math/rand/v2"
	"testing"
)

var _ rand.Source = (*Stream)(nil)

// What a seed means is frozen: these are this package's own outputs, and they
// prove nothing but that it has not changed.
func TestStreamFrozen(t *testing.T) {
	for _, test := range []struct {
		seed    uint64
		purpose string
		block   uint64
		want    string
	}{
		{7, "bodies", 0, "9db0832b4e2b4f46 91b5e2ad0e175950 0.22656518230728906 [1.723103056101893 0.012668933193606015 2.016332103002853]"},
		{7, "bodies", 1, "c04aee4aebe3a8bc c9520e3250735ee6 0.2846499181111545 [-0.38027539384062437 -0.4040902772461571 0.5421553523130948]"},
		{7, "assumptions", 1, "04cc24376575fa04 8e9593964ded33b9 0.9270263469784389 [0.2366546301610448 0.8958595899949805 -1.1900385630130468]"},
		{18446744073709551615, "", 123456789012, "65f9fd69c291977f c2aa369a2960949d 0.5089281074856079 [-0.14864578648372545 -0.20432162583271174 1.4109771158534379]"},
	} {
		s := NewStream(test.seed, test.purpose)
		s.Reset(test.block)
		word := s.Uint64()
		unit := s.Float64()
		normals := make([]float64, 3)
		s.Normals(normals)
		key := Key(test.seed, test.purpose, test.block)
		got := fmt.Sprintf("%x %016x %v %v", key[:8], word, unit, normals)
		if got != test.want {
			t.Errorf("seed %d, purpose %q, block %d:\n got %s\nwant %s", test.seed, test.purpose, test.block, got, test.want)
		}
	}
}

func TestKeysDiffer(t *testing.T) {
	seen := map[[32]byte]string{}
	for _, seed := range []uint64{0, 1, 2, 256, 1 << 63} {
		// Purposes that would run into each other or into the numbers beside
		// them if they were only put one after another.
		for _, purpose := range []string{"", "a", "ab", "b", "\x00", "\x00\x00", "a\x00", "\x00\x00\x00\x00\x00\x00\x00\x01"} {
			for _, block := range []uint64{0, 1, 2, 97, 256, 1 << 56} {
				what := fmt.Sprintf("%d %q %d", seed, purpose, block)
				key := Key(seed, purpose, block)
				if other, ok := seen[key]; ok {
					t.Errorf("%s has the key of %s", what, other)
				}
				seen[key] = what
			}
		}
	}
}

// From one key to its neighbour about half of all bits change, in each position.
func TestNeighbouringKeysAreUnrelated(t *testing.T) {
	const n = 4000
	var changed, total float64
	for i := range uint64(n) {
		a := Key(i, "people", 2*i)
		for _, b := range [][32]byte{Key(i+1, "people", 2*i), Key(i, "people", 2*i+1), Key(i, "peopld", 2*i)} {
			for j := range a {
				changed += float64(bits.OnesCount8(a[j] ^ b[j]))
			}
			total += 256
		}
	}
	if z := (changed - total/2) / math.Sqrt(total/4); !(math.Abs(z) <= 4) {
		t.Errorf("%v of %v bits change: %.1f standard errors from half", changed, total, z)
	}
}

func TestStreamReset(t *testing.T) {
	s := NewStream(3, "reset")
	first := s.Uint64()
	buf := make([]float64, 999)
	s.Normals(buf)
	s.Reset(12)
	other := s.Uint64()
	s.Reset(0)
	if got := s.Uint64(); got != first {
		t.Errorf("after Reset(0): %x, want %x", got, first)
	}
	if other == first {
		t.Error("blocks 0 and 12 begin alike")
	}
	if n := testing.AllocsPerRun(100, func() { s.Reset(5); s.Normals(buf) }); n != 0 {
		t.Errorf("Reset and Normals allocate %v times", n)
	}
}

// The first outputs of the reference implementation (xoshiro256plusplus.c of
// Blackman and Vigna) from the state 1, 2, 3, 4, as the reference test of the
// Rust crate rand_xoshiro has them.
func TestXoshiroAgainstTheReference(t *testing.T) {
	x := seed([32]byte{0: 1, 8: 2, 16: 3, 24: 4})
	for i, want := range []uint64{
		41943041, 58720359, 3588806011781223, 3591011842654386, 9228616714210784205,
		9973669472204895162, 14011001112246962877, 12406186145184390807, 15849039046786891736, 10450023813501588000,
	} {
		var got uint64
		if got, x = x.next(); got != want {
			t.Errorf("output %d is %d, want %d", i, got, want)
		}
	}
}

// The draws are those of the generator's words, low half first, whatever the
// length of the slices they are asked for in.
func TestNormalsTakeWordsInOrder(t *testing.T) {
	s, words, passing := NewStream(5, "order"), NewStream(5, "order"), NewStream(5, "order")
	for _, n := range []int{0, 1, 2, 7, 64} {
		dst := make([]float64, n)
		s.Normals(dst)
		passing.PassNormals(n)
		var word uint64
		for i, got := range dst {
			if i%2 == 0 {
				word = words.Uint64()
			}
			if want := normal(uint32(word >> (32 * (i % 2)))); got != want {
				t.Errorf("draw %d of %d is %v, want %v", i, n, got, want)
			}
		}
		if passing.source != s.source {
			t.Errorf("%d draws passed over end elsewhere", n)
		}
	}
}

func TestOpenUnit(t *testing.T) {
	tests := []struct {
		bits uint64
		want float64
	}{
		{0, 0x1p-53}, {1<<12 - 1, 0x1p-53}, {1 << 12, 3 * 0x1p-53},
		{math.MaxUint64, 1 - 0x1p-53}, {1 << 63, 0.5 + 0x1p-53},
	}
	for _, test := range tests {
		if got := openUnit(test.bits); got != test.want {
			t.Errorf("openUnit(%x) = %v, want %v", test.bits, got, test.want)
		}
	}
}

// Draws of the same row number in neighbouring blocks, seeds and purposes are
// uncorrelated, as they are and squared.
func TestStreamsAreIndependent(t *testing.T) {
	const n = 200_000
	base := normalsOf(NewStream(11, "bodies"), 4, n)
	for name, other := range map[string][]float64{
		"next block":     normalsOf(NewStream(11, "bodies"), 5, n),
		"next seed":      normalsOf(NewStream(12, "bodies"), 4, n),
		"other purpose":  normalsOf(NewStream(11, "assumptions"), 4, n),
		"one draw later": base[1:],
	} {
		var plain, squared float64
		for i, y := range other {
			x := base[i]
			plain += x * y
			squared += (x*x - 1) * (y*y - 1)
		}
		// Each product has mean 0 and variance 1, and 2·2 when squared.
		m := math.Sqrt(float64(len(other)))
		if z := plain / m; !(math.Abs(z) <= 4) {
			t.Errorf("%s: correlation %.1f standard errors from 0", name, z)
		}
		if z := squared / (2 * m); !(math.Abs(z) <= 4) {
			t.Errorf("%s: correlation of squares %.1f standard errors from 0", name, z)
		}
	}
}

func normalsOf(s *Stream, block uint64, n int) []float64 {
	s.Reset(block)
	dst := make([]float64, n)
	s.Normals(dst)
	return dst
}

func BenchmarkStreamReset(b *testing.B) {
	s := NewStream(1, "benchmark")
	b.ReportAllocs()
	var block uint64
	for b.Loop() {
		s.Reset(block)
		block++
	}
}
