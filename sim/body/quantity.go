package body

import (
	"fmt"
	"strings"

	"counterpoise/sim/anthro"
)

// Quantity is something that bodies are told apart by: a trait or a measurement, the
// ratio of two, or the body mass index. What the measurements alone tell is an
// [anthro.Quantity] as well.
type Quantity struct {
	above, below part
	power        int // of below: 0, 1 or 2
}

// part is a trait of the body or a measurement of the person.
type part struct {
	measured bool
	m        anthro.Measurement
	t        Trait
}

func (p part) String() string {
	if p.measured {
		return p.m.String()
	}
	return p.t.String()
}

func (p part) unit() string {
	if p.measured {
		return p.m.Unit()
	}
	return p.t.Info().Unit
}

func (p part) of(people *anthro.People, b *Columns, i int) float64 {
	if p.measured {
		return people.Value[p.m][i]
	}
	return p.t.Of(b, i)
}

// BodyMassIndex is mass divided by stature squared, in kg/m², called "bmi".
var BodyMassIndex = Quantity{part{t: Mass}, part{t: Stature}, 2}

// Of returns the trait itself as a quantity.
func Of(t Trait) Quantity { return Quantity{above: part{t: t}} }

// Ratio returns a divided by b.
func Ratio(a, b Trait) Quantity { return Quantity{part{t: a}, part{t: b}, 1} }

// parsePart finds a trait or, where no trait of the body has the name, a measurement.
// Size is neither: everybody has the same of it.
func parsePart(name string) (part, bool) {
	name = strings.TrimSpace(name)
	if t, ok := ParseTrait(name); ok {
		return part{t: t}, t != Size
	}
	m, ok := anthro.ParseMeasurement(name)
	return part{measured: true, m: m}, ok
}

// ParseQuantity reads a quantity: one of QuantityNames, or two with a slash between as
// in "leg_length/stature".
func ParseQuantity(name string) (Quantity, error) {
	if name == anthro.BodyMassIndex.String() {
		return BodyMassIndex, nil
	}
	above, below, isRatio := strings.Cut(name, "/")
	a, ok := parsePart(above)
	q := Quantity{above: a}
	if isRatio {
		b, known := parsePart(below)
		q, ok = Quantity{a, b, 1}, ok && known
	}
	if !ok {
		return Quantity{}, fmt.Errorf("unknown trait %q; known: %s, or two of them as in span/stature", name, strings.Join(QuantityNames(), ", "))
	}
	return q, nil
}

// QuantityNames lists the quantities that are no ratio of two others: the traits that
// no measurement gives, then the measurements, then the body mass index.
func QuantityNames() []string {
	var names []string
	for t := range NumTraits {
		if traits[t].Measured == none && t != Size {
			names = append(names, t.String())
		}
	}
	return append(append(names, anthro.MeasurementNames()...), anthro.BodyMassIndex.String())
}

// String returns the quantity's name as ParseQuantity reads it.
func (q Quantity) String() string {
	switch q.power {
	case 0:
		return q.above.String()
	case 1:
		return q.above.String() + "/" + q.below.String()
	}
	return anthro.BodyMassIndex.String()
}

// Unit returns the SI unit: "m", "kg", "kg/m", "kg/m2", "m/kg", or "" for a share or a
// ratio of two quantities of one unit.
func (q Quantity) Unit() string {
	above, below := q.above.unit(), q.below.unit()
	switch {
	case q.power == 0:
		return above
	case q.power == 2:
		return anthro.BodyMassIndex.Unit()
	case above == below:
		return ""
	case below == "":
		return above
	case above == "":
		above = "1"
	}
	return above + "/" + below
}

// At returns the quantity of body i in SI units. people are those whose bodies were
// built; nil where the quantity is one of traits alone.
func (q Quantity) At(people *anthro.People, b *Columns, i int) float64 {
	x := q.above.of(people, b, i)
	for range q.power {
		x /= q.below.of(people, b, i)
	}
	return x
}

// Values fills dst, one element a body, as At gives it.
func (q Quantity) Values(dst []float64, people *anthro.People, b *Columns) {
	for i := range dst {
		dst[i] = q.At(people, b, i)
	}
}

// Change returns the change that gives a body more of the quantity by as much, where
// there is one.
func (q Quantity) Change() (Trait, bool) {
	if q.power != 0 {
		return 0, false
	}
	if !q.above.measured {
		return q.above.t, q.above.t < NumChanges
	}
	for t := range NumChanges {
		if traits[t].Measured == q.above.m {
			return t, true
		}
	}
	return 0, false
}
