package table

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"counterpoise/internal/golden"
)

// BenchmarkWrite writes 20 continuous columns in blocks of 4,096 rows. MB is
// the size of the file; the time includes the sync to the disk.
func BenchmarkWrite(b *testing.B) {
	const rows, blockRows, width = 1 << 20, 4096, 20
	var columns []Column
	for i := range width {
		columns = append(columns, Column{Name: fmt.Sprintf("c%d", i), Kind: Float32, Description: "made up"})
	}
	// As many different blocks as there are in a row group, so that nothing
	// repeats within what is compressed together.
	random := rand.New(rand.NewPCG(1, 2))
	var blocks []*Block
	for range (1 << 18) / blockRows {
		block := NewBlock(columns, blockRows)
		for i := range width {
			for j := range blockRows {
				block.Float32[i][j] = float32(1 + 0.1*float64(i) + 0.2*random.NormFloat64())
			}
		}
		blocks = append(blocks, block)
	}
	path := filepath.Join(b.TempDir(), "t.parquet")
	b.ReportAllocs()
	b.SetBytes(rows * width * 4)
	for b.Loop() {
		w := golden.Must(Create(path, columns, nil))(b)
		for i := range rows / blockRows {
			golden.OK(b, w.Write(blocks[i%len(blocks)]))
		}
		golden.OK(b, w.Close())
	}
	info := golden.Must(os.Stat(path))(b)
	b.ReportMetric(float64(rows)*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
	b.ReportMetric(float64(info.Size())/1e6, "MB")
}

// TestMemoryDoesNotGrowWithRows writes three and then eight row groups and
// compares what is in use: of two, one fills while the other is encoded.
func TestMemoryDoesNotGrowWithRows(t *testing.T) {
	if testing.Short() {
		t.Skip("writes 130 MB")
	}
	columns := make([]Column, 8)
	for i := range columns {
		columns[i] = Column{Name: fmt.Sprintf("c%d", i), Kind: Float32, Description: "made up"}
	}
	random := rand.New(rand.NewPCG(1, 2))
	block := NewBlock(columns, 1<<12)
	for i := range columns {
		for j := range block.Rows {
			block.Float32[i][j] = random.Float32()
		}
	}
	// live returns the bytes in use after n rows, with the writer still open.
	live := func(n int64) (bytes uint64) {
		w := golden.Must(Create(filepath.Join(t.TempDir(), "t"), columns, nil))(t)
		defer w.Abort()
		for range n / int64(block.Rows) {
			golden.OK(t, w.Write(block))
		}
		golden.OK(t, w.wait())
		for range 3 { // the library's pools are only emptied by the second
			runtime.GC()
		}
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		runtime.KeepAlive(w)
		return m.HeapAlloc
	}
	live(1 << 18) // what is only set up once
	three, eight := live(3<<18), live(1<<21)
	// A row group of these columns is 8 MiB; one more of them held would show.
	if eight > three+4<<20 {
		t.Errorf("%d bytes in use after three row groups, %d after eight", three, eight)
	}
}
