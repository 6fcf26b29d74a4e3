package cli

import (
	"bytes"
	"context"
	"testing"
)

// BenchmarkTable is the main job end to end: four million bodies drawn, held up
// before and after by equilibrium, and written as Parquet with 20 float columns.
func BenchmarkTable(b *testing.B) {
	const n = 4_000_000
	b.ReportAllocs()
	for b.Loop() {
		var stdout, stderr bytes.Buffer
		code := Main(context.Background(), []string{"claim", "test", "longer-arms", "--n", "4e6",
			"--assumption-draws", "0", "--out", b.TempDir()}, nil, &stdout, &stderr)
		if code != 0 {
			b.Fatal(stderr.String())
		}
	}
	b.ReportMetric(n*float64(b.N)/b.Elapsed().Seconds(), "bodies/s")
}
