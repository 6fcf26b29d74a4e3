package claim

import (
	"bytes"
	"encoding/json"
	"fmt"

	"counterpoise/internal/app/output"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// ClaimOf rebuilds a claim and how it was tested from where an outcome of it comes
// from.
func ClaimOf(stamp *provenance.Stamp) (*claim.Claim, claim.Options, error) {
	var resolved resolvedClaim
	var o claim.Options
	decoder := json.NewDecoder(bytes.NewReader(stamp.Study))
	decoder.DisallowUnknownFields() // a claim with a part left out would be another claim
	if err := decoder.Decode(&resolved); err != nil {
		return nil, o, fmt.Errorf("the claim in it cannot be read: %w", err)
	}
	quantity, ok := hold.ParseDemand(resolved.Quantity)
	if !ok {
		return nil, o, fmt.Errorf("the claim in it is about the unknown quantity %q", resolved.Quantity)
	}
	c, err := resolved.Claim.Claim(quantity)
	if err != nil {
		return nil, o, fmt.Errorf("the claim in it cannot be read: %w", err)
	}
	o = claim.Options{N: resolved.N, Seed: stamp.Seed, Draws: resolved.Draws, Others: resolved.Others}
	set, err := output.AssumptionsOf(stamp)
	if err != nil {
		return nil, o, err
	}
	c.Assumptions = assume.Uncertainty{Centre: set, Low: set, High: set}
	for name, ends := range resolved.Uncertain {
		id, ok := assume.Parse(name)
		if !ok {
			return nil, o, fmt.Errorf("the assumption %s is not in this program", name)
		}
		c.Assumptions.Low[id], c.Assumptions.High[id] = words.AssumptionMeant(id, ends[0]), words.AssumptionMeant(id, ends[1])
	}
	return c, o, c.Check()
}
