package claim

import (
	"errors"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/columns"
	"counterpoise/sim/fault"
)

// Options say how thoroughly a claim is tested. The zero value is not usable;
// start from DefaultOptions.
type Options struct {
	N       int    // bodies in all at the central assumptions, behind details and the table
	Seed    uint64 // any value; the same seed gives the same bytes
	Workers int    // goroutines; 0 takes one a processor. It changes no result
	// Draws is how many draws of everything that is uncertain decide at first; they
	// double up to MostDoublings times while their agreement is too close to call. 0
	// takes the central assumptions and the survey as it is for granted: then the
	// draws are of people alone.
	Draws int

	// Others are embedded populations on each of which the claim is judged as well, apart
	// from its own; see Result.ForWhom. A verdict rests on the claim's own people alone.
	Others []string

	// Progress, where set, is told how far a stage is; it is called from one
	// goroutine.
	Progress func(stage string, done, total int)
	// Shown says how what has a unit is told in tables: how the names of
	// columns end, the unit, and the factor from the demand's own (BW, BW·m, rad, m).
	// Where it is nil, they are told as they are.
	Shown func(unit string) (suffix, shown string, factor float64)
	// Open, where set, is given every row of bodies at the central assumptions.
	Open func(layout columns.Layout, rows int) (columns.Sink, error)
}

const (
	// Replicates is how many independently scrambled replicates the draws are of, each
	// of the same number and over people of its own.
	Replicates = 16
	// LeastDraws is the fewest draws of which 95 % can be seen to agree.
	LeastDraws = 256
	// MostDraws and MostN bound what is asked for: more than anybody can wait for, and few
	// enough for the lists behind them to fit into memory.
	MostDraws = 1 << 20
	MostN     = 1_000_000_000
	// MostDoublings is how often the draws may double.
	MostDoublings = 3
	// settleConfidence is the confidence of a verdict over all looks at growing draws.
	settleConfidence = 0.99
)

// lookConfidence is the confidence of one look: what the looks may be wrong together
// is shared out evenly among them (Bonferroni).
const lookConfidence = 1 - (1-settleConfidence)/(MostDoublings+1)

// DefaultOptions returns the options of the command line.
func DefaultOptions() Options { return Options{N: 100_000, Seed: 1, Draws: 512} }

// check reports what is wrong with the options.
func (o *Options) check() error {
	switch {
	case o.N < 1 || o.N > MostN:
		return fault.New("n", o.N, "found %d, allowed: 1 to %d", o.N, MostN)
	case o.Workers < 0:
		return fault.New("workers", o.Workers, "found %d, must be at least 0", o.Workers)
	case o.Draws != 0 && o.Draws < LeastDraws:
		return fault.New("assumption-draws", o.Draws, "found %d, the verdict rule needs at least %d, or 0 for none", o.Draws, LeastDraws)
	case o.Draws > MostDraws:
		return fault.New("assumption-draws", o.Draws, "found %d, allowed: up to %d", o.Draws, MostDraws)
	}
	for i, name := range o.Others {
		if !slices.Contains(anthro.Names(), name) {
			return fault.New("for_whom", name, "no people named %q are shipped", name)
		}
		if slices.Contains(o.Others[:i], name) {
			return fault.New("for_whom", name, "%s appears twice", name)
		}
	}
	return nil
}

// IsInput reports whether an error of Test is a fault in the claim or the
// options, rather than a failure.
func IsInput(err error) bool {
	var rare *anthro.RareError
	return len(fault.All(err)) > 0 || errors.As(err, &rare)
}
