package evidence

import (
	"testing"

	"counterpoise/internal/app/output"
	"counterpoise/internal/golden"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/sim/claim"
	"counterpoise/sim/scenario"
)

// The command that a page prints is of the same claim, or there is none: people in
// other shares than the flag gives are another claim.
func TestCommandOfAPage(t *testing.T) {
	shipped := func() *claim.Claim {
		return golden.Must(study.ShippedClaim("longer-arms"))(t)
	}
	options := claim.DefaultOptions()
	for _, c := range []struct {
		name   string
		change func(*claim.Claim)
		want   string
	}{
		{"as shipped", func(*claim.Claim) {}, "claim test longer-arms --n 3000 --seed 1"},
		{"women alone", func(c *claim.Claim) { c.People = []scenario.Group{{Population: "ansur2-women", Weight: 1}} },
			"claim test longer-arms --n 3000 --seed 1 --people ansur2-women"},
		{"more men than women", func(c *claim.Claim) { c.People[0].Weight = 3 }, ""},
		{"another size of what matters", func(c *claim.Claim) { c.Matters.Share = 0.02 }, ""},
		{"another claim of the name", func(c *claim.Claim) { c.Says = "Longer arms make it easier." }, ""},
		{"a name that is not shipped", func(c *claim.Claim) { c.Name = "mine" }, ""},
	} {
		tested := shipped()
		c.change(tested)
		if got, err := testCommandOf(tested, &options, 3000); got != c.want || err != nil {
			t.Errorf("%s: %q, want %q (%v)", c.name, got, c.want, err)
		}
	}
}

// Every shipped claim can be rebuilt from what is stored of it.
func TestClaimsAreStoredWhole(t *testing.T) {
	for _, name := range study.ClaimNames() {
		c := golden.Must(study.ShippedClaim(name))(t)
		options := claim.DefaultOptions()
		options.Seed = 1<<63 + 5
		stamp := golden.Must((Test{c, options}).StampOf(c, 777))(t)
		rebuilt, err := Read(&stamp, &output.OwnFinder{})
		again, next := rebuilt.Claim, rebuilt.Options
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		second := golden.Must(rebuilt.StampOf(again, next.N))(t)
		if reason := provenance.FirstDifference(&stamp, &second, "stored", "rebuilt"); reason != "" {
			t.Errorf("%s: %s", name, reason)
		}
		if again.Demand != c.Demand || len(again.Models) != len(c.Models) {
			t.Errorf("%s: the quantity or the models are lost", name)
		}
	}
}
