package claim

import (
	"fmt"

	"counterpoise/internal/app/output"
	"counterpoise/internal/provenance"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// claimOf rebuilds a claim and how it was tested from where an outcome of it comes
// from.
func claimOf(stamp *provenance.Stamp) (*claim.Claim, claim.Options, error) {
	var resolved resolvedClaim
	var o claim.Options
	if err := output.ReadStudy(stamp, &resolved); err != nil {
		return nil, o, err
	}
	quantity, ok := hold.ParseDemand(resolved.Quantity)
	if !ok {
		return nil, o, fmt.Errorf("the claim in it is about the unknown quantity %q", resolved.Quantity)
	}
	c, err := resolved.Claim.Claim(quantity)
	if err != nil {
		return nil, o, fmt.Errorf("the claim in it cannot be read: %w", err)
	}
	if c.Assumptions, err = output.Assumed(stamp, resolved.Uncertain); err != nil {
		return nil, o, err
	}
	o = claim.Options{N: resolved.N, Seed: stamp.Seed, Draws: resolved.Draws, Others: resolved.Others}
	return c, o, c.Check()
}

// Read rebuilds a study from where outputs of it come from, of several claims one of each.
func Read(stamps []provenance.Stamp, find *output.OwnFinder) (*Study, error) {
	s := &Study{}
	for i := range stamps {
		c, with, err := claimOf(&stamps[i])
		if err != nil {
			return nil, err
		}
		if err := find.Claim(c.People); err != nil {
			return nil, err
		}
		s.tests = append(s.tests, test{c, with, c.Name})
	}
	return s, nil
}
