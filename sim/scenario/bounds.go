package scenario

import (
	"counterpoise/sim/fault"
	"counterpoise/sim/math"
)

// What may be asked of a posture; what of a body says package body. Beyond, a unit
// was mistaken.
var (
	// TiltBounds: of a human flag any steeper the arms would go through the head.
	TiltBounds     = fault.Bounds{Least: -math.Pi / 4, Most: math.Pi / 4, Unit: "rad"}
	StraddleBounds = fault.Bounds{Least: 0, Most: math.Pi / 2, Unit: "rad"} // of each leg from the body's line
	BendBounds     = fault.Bounds{Least: 0, Most: math.Pi, Unit: "rad"}     // of a hip or a knee
)

// oneOf returns the fault of a field whose value is not among the first n of a
// list, or nil.
func oneOf[T ~int](field string, value, n T) error {
	if value >= 0 && value < n {
		return nil
	}
	return fault.New(field, int(value), "no choice has the number %d, allowed: 0 to %d", int(value), int(n)-1)
}
