package hold

import (
	"math"

	"counterpoise/sim/body"
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

var legForms = [NumLegForms]struct {
	name      string
	hip, knee float64 // degrees of flexion of a bent leg
}{
	Together:     {name: "together"},
	Straddle:     {name: "straddle"},
	OneLeg:       {"one-leg", 120, 135},
	AdvancedTuck: {"advanced-tuck", 90, 100},
	Tuck:         {"tuck", 120, 135},
}

// String returns the form's name.
func (f LegForm) String() string { return legForms[f].name }

// MarshalText writes the form's name.
func (f LegForm) MarshalText() ([]byte, error) { return []byte(f.String()), nil }

// ParseLegForm finds a form by its name.
func ParseLegForm(name string) (LegForm, bool) {
	for f := range NumLegForms {
		if legForms[f].name == name {
			return f, true
		}
	}
	return 0, false
}

// Legs is how the legs are held. The zero value is both legs straight and
// together.
type Legs struct {
	Form  LegForm `json:"form"`
	Angle float64 `json:"angle,omitempty"` // straddle: how far each leg leaves the body's line, radians
	Hip   float64 `json:"hip,omitempty"`   // flexion of a bent leg's hip, radians
	Knee  float64 `json:"knee,omitempty"`  // flexion of a bent leg's knee, radians
}

// LegsIn returns a leg form with its default joint angles (common practice, no
// source); a straddle opens each leg by angle, radians, which other forms ignore.
func LegsIn(form LegForm, angle float64) Legs {
	l := Legs{Form: form, Hip: degrees(legForms[form].hip), Knee: degrees(legForms[form].knee)}
	if form == Straddle {
		l.Angle = angle
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

// moment is the first moment of both legs of body i about the hips along the
// body's line, in metres times share of body mass.
func (r reach) moment(b *body.Columns, i int) float64 {
	thigh := b.ThighShare[i]*b.ThighCentre[i] + (b.ShankShare[i]+b.FootShare[i])*b.Thigh[i]
	shank := b.ShankShare[i]*b.ShankCentre[i] + b.FootShare[i]*(b.Shank[i]+b.FootCentre[i])
	return thigh*r.thigh + shank*r.shank
}
