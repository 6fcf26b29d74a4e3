package segment_test

import (
	"fmt"

	"counterpoise/sim/anthro"
	"counterpoise/sim/segment"
)

// What share of a woman's mass a thigh has, and where its centre lies from the hip.
func Example() {
	table, err := segment.Load("deleva-1996", anthro.Female)
	if err != nil {
		fmt.Println(err)
		return
	}
	thigh, ok := table.Row("thigh", "HJC", "KJC")
	if !ok {
		fmt.Println("no such row")
		return
	}
	fmt.Printf("%.4f of the mass, %.4f of the way from %s to %s\n", thigh.MassShare, thigh.CentreShare, thigh.Endpoints[0], thigh.Endpoints[1])
	// Output: 0.1478 of the mass, 0.3612 of the way from HJC to KJC
}
