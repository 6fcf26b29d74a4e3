package scores_test

import (
	"context"
	"fmt"

	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/scenario/scores"
)

// What the shoulders bear in a front lever: which part of a body tells most about
// it, and what a centimetre more of it does.
func Example() {
	f, err := scores.New(scores.Study{
		Of: hold.ShoulderMoment,
		Scenario: scenario.Scenario{
			Hold: hold.FrontLever, People: scenario.Survey("ansur2-women"),
			Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	shares, err := drivers.ShapleyPermutations(context.Background(), f.Problem(), drivers.Options{Seed: 1})
	if err != nil {
		fmt.Println(err)
		return
	}
	worth, err := f.Worth(f.MedianPerson(), 0.5)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, group := range []string{scores.SizeGroup, "arm length for size", "leg length for size"} {
		share, _ := shares.Index(drivers.ShapleyEffect, group)
		fmt.Printf("%-20s %4.1f %% of the variance\n", group, 100*share.Value)
	}
	for _, row := range worth.Rows[:3] {
		fmt.Printf("1 cm more %-16s %+.4f BW·m\n", row.Name, row.Change)
	}
	// Output:
	// size                 36.5 % of the variance
	// arm length for size   1.3 % of the variance
	// leg length for size   7.0 % of the variance
	// 1 cm more arm_length       -0.0006 BW·m
	// 1 cm more shoulder_breadth +0.0000 BW·m
	// 1 cm more leg_length       +0.0032 BW·m
}
