package claim_test

import (
	"context"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/study"
	"counterpoise/sim/claim"
)

func benchmark(b *testing.B, n, draws int) {
	c := golden.Must(study.ShippedClaim("longer-arms"))(b)
	o := claim.DefaultOptions()
	o.N, o.Draws = n, draws
	b.ReportAllocs()
	for b.Loop() {
		if _, err := claim.Test(context.Background(), c, o); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "bodies/s")
}

// BenchmarkBodies is the run over people at the central assumptions.
func BenchmarkBodies(b *testing.B) { benchmark(b, 200_000, 0) }

// BenchmarkDraws is the outer loop, with what decides.
func BenchmarkDraws(b *testing.B) { benchmark(b, 1, claim.DefaultOptions().Draws) }
