package outline_test

import (
	"fmt"
	"log"
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/hold/holdtest"
	"counterpoise/sim/outline"
)

// A hold that the program does not have: a lever with a band that pulls the hips up and
// forward, solved for a drawn body.
func Example() {
	const degree = math.Pi / 180
	banded := outline.Outline{
		Name: "banded-lever", Title: "Front lever in a band", Looks: "Level under a bar, face up, the hips in a band.",
		Faces: outline.FacesUp,
		Parts: [outline.NumParts]outline.Pair{
			outline.Chest:    {First: outline.Angle{Against: outline.Level}},
			outline.UpperArm: {First: outline.Angle{Against: outline.Trunk, Free: true}},
		},
		Free:     &outline.Free{From: 0, To: 120 * degree, By: outline.Balance},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Bar}},
		Forces:   []outline.Force{{At: outline.Hips, Newtons: 200, Towards: 100 * degree}},
	}
	h, err := banded.Hold()
	if err != nil {
		log.Fatal(err)
	}
	drawn, err := holdtest.Draw("ansur2-men", body.Residual, 1, assume.Defaults())
	if err != nil {
		log.Fatal(err)
	}
	for _, of := range []*hold.Hold{hold.FrontLever, h} {
		r := hold.NewResult(1, hold.Difficulty)
		of.Solve(r, drawn.Columns, drawn.Capacity, hold.Posture{}, hold.Equilibrium, &drawn.Assume)
		fmt.Printf("%s: %.2f\n", of.Title, r.Value[hold.Difficulty][0])
	}
	// Output:
	// Front lever: 2.18
	// Front lever in a band: 1.66
}
