package claim

import (
	"errors"

	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
)

// Options say how thoroughly a claim is tested. The zero value is not usable;
// start from DefaultOptions.
type Options struct {
	N          int    // bodies in all, at the default assumptions
	MaxN       int    // up to which N doubles while a share is too close to call
	Seed       uint64 // any value; the same seed gives the same bytes
	Workers    int    // goroutines; 0 takes one a processor. It changes no result
	Draws      int    // assumption draws; 0 tests at the central assumptions only
	DrawBodies int    // bodies of each population behind every assumption draw

	// Progress, where set, is told how far a stage is; it is called from one
	// goroutine.
	Progress func(stage string, done, total int)
	// Shown says how what has a unit is told in the table of bodies: how the names of
	// columns end, the unit, and the factor from the demand's own (BW, BW·m, rad, m).
	// Where it is nil, they are told as they are.
	Shown func(unit string) (suffix, shown string, factor float64)
	// Open, where set, is given every row of the final run.
	Open func(layout Layout, rows int) (Sink, error)
}

// The fewest draws and bodies that the verdict rule accepts.
const (
	LeastDraws      = 128
	LeastDrawBodies = 2000
)

// DefaultOptions returns the options of the command line.
func DefaultOptions() Options {
	return Options{
		N: 100_000, MaxN: 1_600_000, Seed: 1, Draws: LeastDraws, DrawBodies: 2048,
	}
}

// check reports what is wrong with the options.
func (o *Options) check() error {
	switch {
	case o.N < 1:
		return fault.New("n", o.N, "found %d, must be at least 1", o.N)
	case o.Workers < 0:
		return fault.New("workers", o.Workers, "found %d, must be at least 0", o.Workers)
	case o.Draws != 0 && o.Draws < LeastDraws:
		return fault.New("assumption-draws", o.Draws, "found %d, the verdict rule asks for at least %d, or 0 for none", o.Draws, LeastDraws)
	case o.Draws != 0 && o.DrawBodies < LeastDrawBodies:
		return fault.New("bodies a draw", o.DrawBodies, "found %d, the verdict rule asks for at least %d", o.DrawBodies, LeastDrawBodies)
	}
	return nil
}

// IsInput reports whether an error of Test is a fault in the claim or the
// options, rather than a failure.
func IsInput(err error) bool {
	var rare *anthro.RareError
	return len(fault.All(err)) > 0 || errors.As(err, &rare)
}
