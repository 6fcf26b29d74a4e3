package statics_test

import (
	"fmt"

	"counterpoise/sim/statics"
)

// A door on two hinges, the twin of a body held out from a pole: statics gives
// the horizontal forces, and leaves the vertical share to a stated rule.
func ExampleSystem_Solve() {
	up, right := statics.Vec{Y: 1}, statics.Vec{X: 1}
	door := statics.System{
		Segments: []statics.Segment{{Name: "door"}},
		Loads:    []statics.Load{{Segment: "door", At: statics.Vec{X: 0.5}, Force: statics.Vec{Y: -400}}},
		Reactions: []statics.Reaction{
			{Name: "upper x", Segment: "door", At: statics.Vec{Y: 1}, Direction: right},
			{Name: "upper y", Segment: "door", At: statics.Vec{Y: 1}, Direction: up},
			{Name: "lower x", Segment: "door", At: statics.Vec{Y: -1}, Direction: right},
			{Name: "lower y", Segment: "door", At: statics.Vec{Y: -1}, Direction: up},
		},
	}
	_, err := door.Solve()
	fmt.Println(err)

	door.Closures = []statics.Closure{{
		Why:   "the hinges share the weight equally",
		Terms: []statics.Term{{Reaction: "upper y", Coefficient: 1}, {Reaction: "lower y", Coefficient: -1}},
	}}
	solution, err := door.Solve()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("upper hinge %.1f N across, %.1f N up\n", solution.Value["upper x"], solution.Value["upper y"])
	// Output:
	// statics: statically indeterminate: 4 unknown reactions, but 3 independent equations (of 3 of balance and 0 closures); state 1 more closure or drop 1 reaction
	// upper hinge -100.0 N across, 200.0 N up
}
