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
	options.N, options.Draws = 1000, claim.LeastDraws
	r, err := claim.Test(context.Background(), c, options)
	if err != nil {
		log.Fatal(err)
	}
	all := r.Models[0].Pooled.Draws
	fmt.Printf("%s: the median effect is %+.1f %% (5–95 %% of %d draws: %+.1f to %+.1f %%)\n", r.Verdict, all.Percent.P50, all.N, all.Percent.P5, all.Percent.P95)
	// Output: not settled: assumptions: the median effect is -1.4 % (5–95 % of 256 draws: -2.2 to -0.7 %)
}
