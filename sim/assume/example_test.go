package assume_test

import (
	"fmt"

	"counterpoise/sim/assume"
)

// Everything is uncertain within its range, but for what is fixed.
func Example() {
	u := assume.DefaultUncertainty()
	free := len(u.Free())
	if err := u.Fix(assume.TopShare, 0.5); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(free-len(u.Free()), "fewer")
	ends := make([]float64, len(u.Free())) // the lower end of every range
	low := u.At(ends)
	fmt.Println(low[assume.TopShare], low[assume.GripReach], assume.Defaults()[assume.GripReach])
	fmt.Println(u.Fix(assume.GripReach, 7))
	// Output:
	// 1 fewer
	// 0.5 0.45 0.55
	// assumption grip_reach: 7 is not allowed, it must lie in 0..1 (share of palm length)
}
