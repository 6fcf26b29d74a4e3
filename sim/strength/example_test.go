package strength_test

import (
	"fmt"

	"counterpoise/sim/assume"
	"counterpoise/sim/strength"
)

// A body twice as long in everything is eight times as heavy and not eight times as
// strong; and what can just be held for a minute is a share of the most that one can.
func Example() {
	a := assume.Defaults()
	twice := strength.OfSize(2, &a)
	fmt.Printf("force × %.2f, lever × %.0f, mass × 8\n", twice.Force, twice.Lever)
	fmt.Printf("%.0f %% of the greatest grip for a minute\n", 100*strength.GripEndurance.Share(60))
	// Output:
	// force × 4.03, lever × 2, mass × 8
	// 70 % of the greatest grip for a minute
}
