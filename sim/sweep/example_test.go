package sweep_test

import (
	"context"
	"fmt"
	"log"

	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"
)

func ExampleRun() {
	study := &sweep.Study{
		Name: "arms",
		Base: scenario.Scenario{
			Hold:   hold.HumanFlag,
			People: scenario.Survey("ansur2-men"),
			Models: []scenario.Model{scenario.DefaultModel(hold.TwoCondition)},
		},
		Axes:      []sweep.Axis{{Of: "change.arm_length", Unit: "m", Values: []float64{-0.1, 0, 0.1}}},
		Demands:   []hold.Demand{hold.RequiredForce},
		Quantiles: []float64{0.5},
		N:         20_000,
		Seed:      1,
	}
	err := sweep.Run(context.Background(), study, sweep.Options{Point: func(p *sweep.Point) error {
		fmt.Printf("arms %+.2f m: median %.2f BW\n", p.Coordinates[0], p.Statistics[2][0])
		return nil
	}})
	if err != nil {
		log.Fatal(err)
	}
	// Output:
	// arms -0.10 m: median 1.01 BW
	// arms +0.00 m: median 0.96 BW
	// arms +0.10 m: median 0.91 BW
}
