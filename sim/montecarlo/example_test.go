package montecarlo_test

import (
	"context"
	"fmt"

	"counterpoise/sim/montecarlo"
)

// The share of a million normal draws above 1, and a quantile, block by block
// on all processors. The numbers printed are the same on one.
func ExampleRun() {
	const n, seed = 1_000_000, 7
	type block struct {
		values []float64
		above  int64
	}
	var above int64
	var values montecarlo.Histogram
	err := montecarlo.Run(context.Background(),
		montecarlo.Options{To: montecarlo.Blocks(n)},
		func() func(int, *block) error {
			stream := montecarlo.NewStream(seed, "example")
			return func(b int, out *block) error {
				stream.Reset(uint64(b))
				out.values = out.values[:montecarlo.Rows(n, b)]
				stream.Normals(out.values)
				out.above = 0
				for _, x := range out.values {
					if x > 1 {
						out.above++
					}
				}
				return nil
			}
		},
		func() *block { return &block{values: make([]float64, montecarlo.BlockRows)} },
		func(_ int, out *block) error {
			above += out.above
			values.AddAll(out.values)
			return nil
		})
	if err != nil {
		fmt.Println(err)
		return
	}
	low, high := montecarlo.Wilson(above, n, 0.99)
	fmt.Printf("share above 1: %.4f (%.4f to %.4f)\n", float64(above)/n, low, high)
	fmt.Printf("97.5%% are below %.2f\n", values.Quantile(0.975))
	// Output:
	// share above 1: 0.1588 (0.1579 to 0.1597)
	// 97.5% are below 1.96
}

func ExampleHistogram() {
	var h montecarlo.Histogram
	for i := range 1001 {
		h.Add(float64(i))
	}
	fmt.Println(h.Count(), h.Min(), h.Max())
	fmt.Printf("median %.1f\n", h.Quantile(0.5)) // 500, to within 0.05 %
	// Output:
	// 1001 0 1000
	// median 500.1
}

func ExampleNewSobol() {
	s, err := montecarlo.NewSobol(3)
	if err != nil {
		fmt.Println(err)
		return
	}
	point := make([]float64, s.Dimensions())
	for i := range uint64(4) {
		s.Point(i, point)
		fmt.Println(point)
	}
	// Output:
	// [0 0 0]
	// [0.5 0.5 0.5]
	// [0.75 0.25 0.25]
	// [0.25 0.75 0.75]
}

func ExampleProbabilityGreater() {
	short := []float64{0.61, 0.64, 0.66, 0.66, 0.70, 0.71, 0.75}
	long := []float64{0.72, 0.73, 0.74, 0.78, 0.79, 0.83}
	greater, err := montecarlo.ProbabilityGreater(long, short)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("P(long > short) = %.3f\n", greater)
	// Output:
	// P(long > short) = 0.929
}
