package hold

import (
	"counterpoise/sim/body"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// LegForm is one of the trade's ways to hold the legs.
type LegForm int

// The forms. Their joint angles are defaults that Legs may override.
const (
	Together LegForm = iota
	Straddle
	OneLeg
	AdvancedTuck
	Tuck
	NumLegForms
)

var legForms = names.List[LegForm]{"together", "straddle", "one-leg", "advanced-tuck", "tuck"}

// String returns the form's name.
func (f LegForm) String() string { return legForms.Of(f) }

// MarshalText writes the form's name.
func (f LegForm) MarshalText() ([]byte, error) { return legForms.Marshal(f) }

// UnmarshalText reads a form's name.
func (f *LegForm) UnmarshalText(text []byte) error { return legForms.Unmarshal(f, text) }

// ParseLegForm finds a form by its name.
func ParseLegForm(name string) (LegForm, bool) { return legForms.Find(name) }

// Legs is how the legs are held. The zero value is both legs straight and
// together.
type Legs struct {
	Form  LegForm
	Angle float64 // straddle: how far each leg leaves the body's line, radians
	Hip   float64 // flexion of a bent leg's hip, radians
	Knee  float64 // flexion of a bent leg's knee, radians
}

// LegsIn returns a leg form with its default joint angles (common practice, no
// source): 120° and 135° of a tuck, 90° and 100° of an advanced one. A straddle opens
// each leg by angle, radians, which other forms ignore.
func LegsIn(form LegForm, angle float64) Legs {
	l := Legs{Form: form}
	switch form {
	case Straddle:
		l.Angle = angle
	case OneLeg, Tuck:
		l.Hip, l.Knee = 2.0943951023931953, 2.356194490192345
	case AdvancedTuck:
		l.Hip, l.Knee = math.Pi/2, 1.7453292519943295
	}
	return l
}

// directions returns, for each leg, the angles by which its thigh and its shank
// turn away from the body's line, seen in the plane of the body's line and the
// leg, radians. The foot follows the shank.
func (l Legs) directions() (thigh, shank [2]float64) {
	switch l.Form {
	case Straddle:
		return [2]float64{l.Angle, -l.Angle}, [2]float64{l.Angle, -l.Angle}
	case OneLeg:
		return [2]float64{0, l.Hip}, [2]float64{0, l.Hip - l.Knee}
	case AdvancedTuck, Tuck:
		return [2]float64{l.Hip, l.Hip}, [2]float64{l.Hip - l.Knee, l.Hip - l.Knee}
	}
	return
}

// reach is the sum over both legs of the cosines of their directions: how much
// of a thigh's and of a shank's length still points along the body.
type reach struct{ thigh, shank float64 }

func (l Legs) reach() reach {
	thigh, shank := l.directions()
	return reach{math.Cos(thigh[0]) + math.Cos(thigh[1]), math.Cos(shank[0]) + math.Cos(shank[1])}
}

// first is reach of the first leg alone, the straight one where the other is bent.
func (l Legs) first() reach {
	thigh, shank := l.directions()
	return reach{math.Cos(thigh[0]), math.Cos(shank[0])}
}

// moment is the first moment of both legs of body i about the hips along the
// body's line, in metres times share of body mass.
func (r reach) moment(b *body.Columns, i int) float64 { return b.LegsMoment(i, r.thigh, r.shank) }
