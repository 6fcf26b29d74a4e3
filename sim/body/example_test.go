package body_test

import (
	"fmt"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
)

// The median man of the survey, and the same man with longer arms and 2 kg more on the
// legs.
func Example() {
	men, err := anthro.Load("ansur2-men")
	if err != nil {
		fmt.Println(err)
		return
	}
	people := anthro.NewPeople(1)
	for m := range anthro.NumMeasurements {
		people.Value[m][0] = men.Quantile(m, 0.5)
	}
	builder, err := body.NewBuilder(men, body.Residual, body.DefaultSegments)
	if err != nil {
		fmt.Println(err)
		return
	}
	a := assume.Defaults()
	first, second := body.New(1), body.New(1)
	builder.Build(first, people, &a)

	change := body.Change{
		Of:   body.Amounts{body.ArmLength: {Metres: 0.1}, body.HandLength: {Share: 0.05}},
		Mass: []body.AddedMass{{Region: body.Legs, Kilograms: 2}},
	}
	if err := change.Check(); err != nil {
		fmt.Println(err)
		return
	}
	if err := change.Apply(second, first, &a); err != nil {
		fmt.Println(err)
		return
	}
	for _, t := range []body.Trait{body.ArmLength, body.HandLength, body.LegLength, body.Mass} {
		fmt.Printf("%s: %.3f, then %.3f %s\n", t, t.Of(first, 0), t.Of(second, 0), t.Info().Unit)
	}
	// Output:
	// arm_length: 0.631, then 0.735 m
	// hand_length: 0.193, then 0.203 m
	// leg_length: 0.826, then 0.826 m
	// mass: 84.493, then 87.834 kg
}

// What no body can mean is refused.
func ExampleChange_Check() {
	change := body.Change{Of: body.Amounts{body.ArmLength: {Metres: 10}}} // centimetres meant
	fmt.Println(change.Check())
	// Output: arm_length: 10 m is not possible, allowed: -0.4 to 0.4 m
}

// Anything that bodies are told apart by, by its name.
func ExampleParseQuantity() {
	for _, name := range []string{"arm_length/stature", "bmi", "hand_length"} {
		q, err := body.ParseQuantity(name)
		if err != nil {
			fmt.Println(err)
			return
		}
		change, ok := q.Change()
		fmt.Printf("%s in %q", q, q.Unit())
		if ok {
			fmt.Printf(", which the change %s alters alone", change)
		}
		fmt.Println()
	}
	// Output:
	// arm_length/stature in ""
	// bmi in "kg/m2"
	// hand_length in "m", which the change hand_length alters alone
}
