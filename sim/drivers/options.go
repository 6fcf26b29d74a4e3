package drivers

import (
	"cmp"
	"fmt"
	"math/bits"

	"counterpoise/sim/math"
)

// Defaults of [Options].
const (
	DefaultBase       = 1024
	DefaultReplicates = 16
	DefaultConfidence = 0.95
)

// Options say how much to compute, and what for. The zero value is usable.
type Options struct {
	Seed uint64

	// Base is the number of rows of the base sample in each replicate, a power
	// of two; 0 means DefaultBase. Each row costs as many evaluations of the
	// model as the method says.
	Base int

	// Replicates is the least number of independent replicates, at least 4; 0
	// means DefaultReplicates.
	Replicates int

	// Confidence is that of the intervals; 0 means DefaultConfidence.
	Confidence float64

	// Until, if not 0, is the half-width of the interval that every index is
	// to have: replicates are added until all have it, or until one more would
	// need more than MaxEvaluations of the model in all. [Result.Reached] says
	// which. Intervals that end a run are a little too narrow, because
	// narrow ones end it; what is lost of the confidence is small when there
	// are many replicates.
	Until          float64
	MaxEvaluations int64 // needed with Until

	Workers int // goroutines; 0 means GOMAXPROCS

	// Progress, if not nil, is called on the calling goroutine after each
	// chunk of work. With Until, total grows as replicates are added.
	Progress func(done, total int)

	// Sink, if not nil, gets every row that was evaluated and its response, on
	// the calling goroutine, always in the same order. An error ends the run.
	Sink func(Sample) error
}

// A Sample is a run of rows of one replicate, for a [Options.Sink], which
// must copy what it wants to keep.
//
// Every replicate has two independent samples of as many rows, the base and the
// second. All other rows are mixed: they have the kept groups' inputs from the
// row of the same number in one of the two, and the rest, given these, from the
// other.
type Sample struct {
	Replicate int
	First     int         // number of the first row within its replicate
	Second    bool        // the kept groups are from the second sample, not the base
	Kept      []bool      // by group; all kept: the base or second sample itself
	Inputs    [][]float64 // columns
	Response  []float64
}

// checked returns the options with defaults filled in.
func (o Options) checked() (Options, error) {
	o.Base = cmp.Or(o.Base, DefaultBase)
	o.Replicates = cmp.Or(o.Replicates, DefaultReplicates)
	o.Confidence = cmp.Or(o.Confidence, DefaultConfidence)
	switch {
	case o.Base < 2 || bits.OnesCount(uint(o.Base)) != 1 || bits.Len(uint(o.Base)) > 31:
		return o, fmt.Errorf("a base sample of %d rows: want a power of two from 2 to 2^30", o.Base)
	case o.Replicates < 4 || o.Replicates > 1<<20:
		return o, fmt.Errorf("%d replicates: want 4 to 2^20", o.Replicates)
	case !(o.Confidence > 0 && o.Confidence < 1):
		return o, fmt.Errorf("confidence %v: want a number between 0 and 1", o.Confidence)
	case !(o.Until >= 0) || !math.Finite(o.Until):
		return o, fmt.Errorf("until half-widths of %v: want a positive number", o.Until)
	case o.Until > 0 && o.MaxEvaluations <= 0:
		return o, fmt.Errorf("until half-widths of %v: want a greatest number of evaluations, too", o.Until)
	case o.Until == 0 && o.MaxEvaluations != 0:
		return o, fmt.Errorf("at most %d evaluations, but no half-width to reach", o.MaxEvaluations)
	case o.Workers < 0:
		return o, fmt.Errorf("%d workers: want 0 or more", o.Workers)
	}
	return o, nil
}
