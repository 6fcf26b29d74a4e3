package assume_test

import (
	"fmt"

	"counterpoise/sim/assume"
)

// Everything is uncertain within its range, but for what is fixed.
func Example() {
	u := assume.DefaultUncertainty()
	free := len(u.Free())
	if err := u.Fix(assume.HeelShare, 0.2); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(free-len(u.Free()), "fewer")
	ends := make([]float64, len(u.Free())) // the lower end of every range
	low := u.At(ends)
	fmt.Println(low[assume.HeelShare], low[assume.GripReach], assume.Defaults()[assume.GripReach])
	// What the performer chooses is no assumption, until somebody pins it.
	_, pinned := low.Pinned(assume.TopShare)
	fmt.Println("top share pinned:", pinned)
	fmt.Println(u.Fix(assume.GripReach, 7))
	// Output:
	// 1 fewer
	// 0.2 0.45 0.55
	// top share pinned: false
	// assumption grip_reach: 7 is not allowed, it must lie in 0..1 (share of palm length)
}
