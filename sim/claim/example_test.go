//go:build ignore

package claim_test

import (
	"context"
	"fmt"
	"log"

	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// Is it true that longer arms make the human flag harder?
func ExampleTest() {
	c := &claim.Claim{
		Name: "longer-arms", Says: "Longer arms make the human flag harder.",
		Scenario: scenario.Scenario{
			Hold:   hold.HumanFlag,
			People: scenario.Survey("ansur2-men", "ansur2-women"),
			Change: &scenario.Change{Body: body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.1}}}},
			Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
		},
		Demand:  hold.RequiredForce,
		Expect:  claim.Increase,
		Matters: claim.Threshold{Share: 0.01},
		Share:   claim.DefaultShare,
	}
	options := claim.DefaultOptions()
	options.N, options.MaxN = 20_000, 20_000
	r, err := claim.Test(context.Background(), c, options)
	if err != nil {
		log.Fatal(err)
	}
	all := r.Models[0].Pooled
	fmt.Printf("%s: harder for %.0f %%, easier for %.0f %% of the bodies\n", r.Verdict, 100*all.AsClaimed.Value, 100*all.Against.Value)
	// Output: depends on the assumptions: harder for 0 %, easier for 100 % of the bodies
}
