// A program of its own that uses the library: its own people, hold and change.
package main

import (
	"context"
	"errors"
	"fmt"
	"log"
	"math"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/outline"
	"counterpoise/sim/scenario"
)

const degree = math.Pi / 180

func main() {
	// A front lever in a band that pulls the hips up and forward.
	banded, err := (&outline.Outline{
		Name: "banded-lever", Title: "Front lever in a band", Looks: "Level under a bar, face up, the hips in a band.",
		Faces: outline.FacesUp,
		Parts: [outline.NumParts]outline.Pair{
			outline.Chest:    {First: outline.Angle{Against: outline.Level}},
			outline.UpperArm: {First: outline.Angle{Against: outline.Trunk, Free: true}},
		},
		Free:     &outline.Free{From: 0, To: 120 * degree, By: outline.Balance},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Bar}},
		Forces:   []outline.Force{{At: outline.Hips, Newtons: 200, Towards: 100 * degree}},
	}).Hold()
	if err != nil {
		log.Fatal(err)
	}
	// Lean women, with 3 kg more on the legs.
	c := &claim.Claim{
		Name: "heavier-legs", Says: "Heavier legs make the banded front lever harder.",
		Scenario: scenario.Scenario{
			Hold:   banded,
			People: scenario.Survey("us-women"),
			Where:  []anthro.Range{{Of: anthro.BodyMassIndex, Low: 18.5, High: 25}},
			Change: &scenario.Change{Body: body.Change{Mass: []body.AddedMass{{Region: body.Legs, Kilograms: 3}}}},
			Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
		},
		Demand:  hold.Difficulty,
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
	effect := r.Models[0].Pooled.Draws.Percent
	fmt.Printf("%s: %+.0f %% (%+.0f to %+.0f %%)\n", r.Verdict, effect.P50, effect.P5, effect.P95)

	// What makes no sense is refused, with the field.
	c.Change.Body.Mass[0].Kilograms = 3000
	_, err = claim.Test(context.Background(), c, options)
	var f *fault.Error
	fmt.Println(errors.As(err, &f), err)
}
