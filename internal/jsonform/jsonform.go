// Package jsonform says how values of sim/ are written in JSON, and read again. Each type
// is one of sim/ but for its tags, and is converted from and to it.
package jsonform

import (
	"encoding/json"
	"fmt"
	"math"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// Legs is how the legs are held; angles in radians.
type Legs struct {
	Form  hold.LegForm `json:"form"`            // its name
	Angle float64      `json:"angle,omitempty"` // of straddled or raised legs
	Hip   float64      `json:"hip,omitempty"`   // of bent legs
	Knee  float64      `json:"knee,omitempty"`  // of bent legs
}

// Load is what is carried at the points that carry anything, by name, kg; less than nothing
// where something is taken off.
type Load body.Load

// MarshalJSON writes the points that carry anything.
func (l Load) MarshalJSON() ([]byte, error) { return write[body.Point](l[:]) }

// UnmarshalJSON reads what MarshalJSON wrote; a name that is no point's is an error.
func (l *Load) UnmarshalJSON(data []byte) error {
	return read(data, l[:], body.ParsePoint, "point of the body")
}

// Pose is the variants that are set, by name, in metres and radians.
type Pose hold.Pose

// MarshalJSON writes the variants that are set.
func (p Pose) MarshalJSON() ([]byte, error) { return write[hold.Variant](p[:]) }

// UnmarshalJSON reads what MarshalJSON wrote; a name that is no variant's is an error.
func (p *Pose) UnmarshalJSON(data []byte) error {
	return read(data, p[:], hold.ParseVariant, "variant of a pose")
}

// name is what the places of a list of numbers are called by.
type name interface {
	~int
	String() string
}

// write writes the numbers that are not 0 by the names of their places.
func write[N name](values []float64) ([]byte, error) {
	set := map[string]float64{}
	for i, value := range values {
		if value != 0 {
			set[N(i).String()] = value
		}
	}
	return json.Marshal(set)
}

// read is the inverse of write; what is not named is 0.
func read[N name](data []byte, values []float64, parse func(string) (N, bool), what string) error {
	var set map[string]float64
	if err := json.Unmarshal(data, &set); err != nil {
		return err
	}
	clear(values)
	for name, value := range set {
		at, ok := parse(name)
		if !ok {
			return fmt.Errorf("unknown %s %q", what, name)
		}
		values[at] = value
	}
	return nil
}

// Finite is nil for what is not finite, which JSON cannot write.
func Finite(x float64) *float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil
	}
	return &x
}

// Output is the unit in which machines are told what is in a unit inside, and what turns
// one into the other: angles are told in degrees.
func Output(inside string) (unit string, scale float64) {
	if inside == "rad" {
		return "deg", 180 / math.Pi
	}
	return inside, 1
}
