package scenario_test

import (
	"context"
	"fmt"
	"log"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// Women of the survey in a front lever, with their own arms and with longer ones, and
// what that says of a rule of thumb: from people to a verdict.
func Example() {
	lever := scenario.Scenario{
		Hold:   hold.FrontLever,
		Legs:   hold.LegsIn(hold.Tuck, 0),
		People: scenario.Survey("ansur2-women"),
		Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
		Change: &scenario.Change{Body: body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.1}}, MassStays: true}},
	}
	parts, err := lever.Parts() // whom it is about
	if err != nil {
		log.Fatal(err)
	}
	women := anthro.NewPeople(1000)
	if err := parts[0].Source(1, false).Fill(women); err != nil {
		log.Fatal(err)
	}
	assumed, asked := lever.Assumed(), hold.ShoulderMoment
	cases := []scenario.Case{{Setup: scenario.NewSetup(&lever), Model: hold.Equilibrium, Builder: parts[0].Builder(lever.Models[0]), Assume: &assumed.Centre}}
	before, after := 0.0, 0.0
	_ = scenario.NewBench(scenario.TileRows, []hold.Demand{asked}, []hold.Demand{asked}).Run(women, cases, func(_ int, tile *scenario.Tile) error {
		for i, moment := range tile.First.Result.Value[asked] {
			before, after = before+moment/1000, after+tile.Second.Result.Value[asked][i]/1000
		}
		return nil
	})
	fmt.Printf("the shoulders hold %.3f BW·m, with longer arms %.3f BW·m\n", before, after)
	harder := &claim.Claim{Name: "longer-arms", Says: "Longer arms make the tucked front lever harder.", Scenario: lever,
		Demand: asked, Expect: claim.Increase, Matters: claim.Threshold{Share: 0.01}, Share: claim.DefaultShare}
	r, err := claim.Test(context.Background(), harder, claim.DefaultOptions())
	fmt.Println(r.Verdict, err)
	// Output:
	// the shoulders hold 0.228 BW·m, with longer arms 0.228 BW·m
	// exactly no effect <nil>
}
