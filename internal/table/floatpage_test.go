package table

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"

	"github.com/apache/arrow-go/v18/parquet/compress"
)

// patterns are columns of floats of every kind.
var patterns = map[string]func(r *rand.Rand, i int) float32{
	"any bits":    func(r *rand.Rand, i int) float32 { return math.Float32frombits(r.Uint32()) },
	"one binade":  func(r *rand.Rand, i int) float32 { return 1 + r.Float32() },
	"two binades": func(r *rand.Rand, i int) float32 { return 1.9 + 0.2*r.Float32() },
	"constant":    func(r *rand.Rand, i int) float32 { return -2.5 },
	"zeros":       func(r *rand.Rand, i int) float32 { return float32(math.Copysign(0, float64(r.IntN(2))-0.5)) },
	"one NaN": func(r *rand.Rand, i int) float32 {
		if i == 5 {
			return float32(math.NaN())
		}
		return float32(i) - 30
	},
	"only NaN":   func(r *rand.Rand, i int) float32 { return float32(math.NaN()) },
	"infinities": func(r *rand.Rand, i int) float32 { return float32(math.Inf(r.IntN(2)*2 - 1)) },
}

func valuesOf(pattern string, n int) []float32 {
	r := rand.New(rand.NewPCG(17, uint64(n)))
	values := make([]float32, n)
	for i := range values {
		values[i] = patterns[pattern](r, i)
	}
	return values
}

// split against its definition and against the portable loop, whichever is in use.
func TestSplit(t *testing.T) {
	for pattern := range patterns {
		for _, n := range []int{1, 2, 15, 16, 17, 31, 32, 33, 48, 1000, 4099} {
			values := valuesOf(pattern, n)
			var got, want [4][]byte
			for k := range 4 {
				got[k], want[k] = make([]byte, n), make([]byte, n)
			}
			least, greatest, nan := split(values, got[0], got[1], got[2], got[3])
			least2, greatest2, nan2 := splitPortable(values, want[0], want[1], want[2], want[3])
			if least != least2 || greatest != greatest2 || nan != nan2 {
				t.Errorf("%s, %d values: %v %v %t, portable %v %v %t", pattern, n, least, greatest, nan, least2, greatest2, nan2)
			}
			wantNaN, numbers := false, []float32{}
			for i, v := range values {
				for k := range 4 {
					b := byte(math.Float32bits(v) >> (8 * k))
					if got[k][i] != b || want[k][i] != b {
						t.Fatalf("%s, %d values: byte %d of value %d is %#x, portable %#x, want %#x", pattern, n, k, i, got[k][i], want[k][i], b)
					}
				}
				if v == v {
					numbers = append(numbers, v)
				}
				wantNaN = wantNaN || v != v
			}
			if nan != wantNaN || len(numbers) > 0 && (least != slices.Min(numbers) || greatest != slices.Max(numbers)) {
				t.Errorf("%s, %d values: %v %v %t", pattern, n, least, greatest, nan)
			}
		}
	}
}

// The library reads the frames back, block boundaries included, and the memory of
// a page before does not show.
func TestFloatPageIsAFrame(t *testing.T) {
	var p floatPage
	for pattern := range patterns {
		for _, n := range []int{1, 2, 1000, mostBlock - 1, mostBlock, mostBlock + 1, 2*mostBlock + 77, 3} {
			t.Run(fmt.Sprintf("%s/%d", pattern, n), func(t *testing.T) {
				values := valuesOf(pattern, n)
				p.begin(n)
				for from := 0; from < n; from += 50_001 {
					p.add(values[from:min(from+50_001, n)])
				}
				p.end()
				plain, err := compress.Decode(zstd, nil, p.data)
				if err != nil {
					t.Fatal(err)
				}
				if len(plain) != 4*n || p.size != 4*n || p.rows != n {
					t.Fatalf("%d bytes, size %d, rows %d", len(plain), p.size, p.rows)
				}
				for i, v := range values {
					bits := uint32(plain[i]) | uint32(plain[n+i])<<8 | uint32(plain[2*n+i])<<16 | uint32(plain[3*n+i])<<24
					if bits != math.Float32bits(v) {
						t.Fatalf("value %d is %#x, want %#x", i, bits, math.Float32bits(v))
					}
				}
			})
		}
	}
}

// Columns that change all the time are left to the library; of others it reads the
// page of stretches back, whatever the number of different values.
func TestStretches(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	busy := make([]int32, 5000)
	for i := range busy {
		busy[i] = int32(r.IntN(3))
	}
	if _, ok := stretchPage(busy); ok {
		t.Error("a page of stretches of a row or two")
	}
	columns := []Column{{Name: "stretch", Kind: Int32, Description: "made up", Dictionary: true}}
	for _, different := range []int{1, 2, 3, 8, 9, mostStretchValues} {
		b := NewBlock(columns, different*700)
		for i := range b.Int32[0] {
			b.Int32[0][i] = int32(i/350%different*77 - 1000) // each value twice, in two stretches
		}
		if p, ok := stretchPage(b.Int32[0]); !ok || len(p.dictionary) != 4*different {
			t.Fatalf("%d different values: %t, dictionary of %d bytes", different, ok, len(p.dictionary))
		}
		path := filepath.Join(t.TempDir(), "t")
		w, err := Create(path, columns, nil, int64(b.Rows))
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(w.Write(b), w.Close()); err != nil {
			t.Fatal(err)
		}
		if got := columnOf(t, opened(t, path), "stretch", func(b *Block) [][]int32 { return b.Int32 }); !slices.Equal(got, b.Int32[0]) {
			t.Errorf("%d different values: read back otherwise", different)
		}
	}
}
