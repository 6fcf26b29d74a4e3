package person_test

import (
	"context"
	"fmt"
	"log"
	"math"

	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// Where a woman of whom three things were measured puts her hands on the pole, and what to
// measure next.
func ExampleAnswer() {
	ada := person.Person{
		Name: "Ada", Sex: anthro.Female, Hold: hold.HumanFlag,
		Known: []anthro.Known{{Of: anthro.Stature, Value: 1.68, Error: 0.005}, {Of: anthro.Mass, Value: 61}, {Of: anthro.Span, Value: 1.71}},
	}
	options := person.DefaultOptions()
	options.N = 2000
	r, err := person.Answer(context.Background(), ada, options)
	if err != nil {
		log.Fatal(err)
	}
	m := r.Models[0]
	hands, _ := m.Quantity(hold.HandSpacing)
	angle, _ := m.Quantity(hold.ArmAngle)
	fmt.Printf("hands %.0f cm apart (%.0f to %.0f)\n", 100*hands.All.Median, 100*hands.All.Low, 100*hands.All.High)
	fmt.Printf("arms %.0f° from the pole\n", angle.All.Median*180/math.Pi)
	fmt.Printf("measure next: %s\n", m.Next[0].Gain)
	// Output:
	// hands 123 cm apart (104 to 144)
	// arms 40° from the pole
	// measure next: scan
}
