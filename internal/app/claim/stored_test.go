package claim

import (
	"testing"

	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/sim/claim"
)

// Every shipped claim can be rebuilt from what is stored of it.
func TestClaimsAreStoredWhole(t *testing.T) {
	for _, name := range study.ClaimNames() {
		c, err := study.ShippedClaim(name)
		if err != nil {
			t.Fatal(err)
		}
		options := claim.DefaultOptions()
		options.Seed = 1<<63 + 5
		stamp, err := StampOf(c, options, 777)
		if err != nil {
			t.Fatal(err)
		}
		again, next, err := ClaimOf(&stamp)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		second, err := StampOf(again, next, next.N)
		if err != nil {
			t.Fatal(err)
		}
		if reason := provenance.FirstDifference(&stamp, &second, "stored", "rebuilt"); reason != "" {
			t.Errorf("%s: %s", name, reason)
		}
		if again.Demand != c.Demand || len(again.Models) != len(c.Models) {
			t.Errorf("%s: the quantity or the models are lost", name)
		}
	}
}
