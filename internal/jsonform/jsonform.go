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
	Form  hold.LegForm `json:"form"`
	Angle float64      `json:"angle,omitempty"`
	Hip   float64      `json:"hip,omitempty"`
	Knee  float64      `json:"knee,omitempty"`
}

// Load is what is carried at the points that carry anything, by name, kg; less than nothing
// where something is taken off.
type Load body.Load

// MarshalJSON writes the points that carry anything.
func (l Load) MarshalJSON() ([]byte, error) {
	set := map[string]float64{}
	for p, kg := range l {
		if kg != 0 {
			set[body.Point(p).String()] = kg
		}
	}
	return json.Marshal(set)
}

// UnmarshalJSON reads what MarshalJSON wrote; a name that is no point's is an error.
func (l *Load) UnmarshalJSON(data []byte) error {
	var set map[string]float64
	if err := json.Unmarshal(data, &set); err != nil {
		return err
	}
	*l = Load{}
	for name, kg := range set {
		p, ok := body.ParsePoint(name)
		if !ok {
			return fmt.Errorf("unknown point of the body %q", name)
		}
		l[p] = kg
	}
	return nil
}

// Pose is the variants that are set, by name, in metres and radians.
type Pose hold.Pose

// MarshalJSON writes the variants that are set.
func (p Pose) MarshalJSON() ([]byte, error) {
	set := map[string]float64{}
	for v, value := range p {
		if value != 0 {
			set[hold.Variant(v).String()] = value
		}
	}
	return json.Marshal(set)
}

// UnmarshalJSON reads what MarshalJSON wrote; a name that is no variant's is an error.
func (p *Pose) UnmarshalJSON(data []byte) error {
	var set map[string]float64
	if err := json.Unmarshal(data, &set); err != nil {
		return err
	}
	*p = Pose{}
	for name, value := range set {
		v, ok := hold.ParseVariant(name)
		if !ok {
			return fmt.Errorf("unknown variant of a pose %q", name)
		}
		p[v] = value
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
