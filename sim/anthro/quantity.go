package anthro

import (
	"fmt"
	"strings"
)

// Quantity is something that people can be told apart by: a measurement, the age, the
// ratio of two, or the body mass index.
type Quantity struct {
	numerator, denominator Measurement
	power                  int // of the denominator: 0, 1 or 2
}

// BodyMassIndex is mass divided by stature squared, in kg/m², called "bmi".
var BodyMassIndex = Quantity{Mass, Stature, 2}

// Of returns the measurement itself as a quantity.
func Of(m Measurement) Quantity { return Quantity{numerator: m} }

// Ratio returns a divided by b.
func Ratio(a, b Measurement) Quantity { return Quantity{a, b, 1} }

// ParseQuantity reads a quantity: the name of a measurement, two of them with a
// slash between as in "span/stature", or "bmi". The error lists what is
// allowed.
func ParseQuantity(name string) (Quantity, error) {
	if name == "bmi" {
		return BodyMassIndex, nil
	}
	above, below, isRatio := strings.Cut(name, "/")
	a, err := parsePart(above)
	if err != nil || !isRatio {
		return Of(a), err
	}
	b, err := parsePart(below)
	return Ratio(a, b), err
}

func parsePart(name string) (Measurement, error) {
	m, ok := ParseMeasurement(strings.TrimSpace(name))
	if !ok {
		return 0, fmt.Errorf("unknown quantity %q; allowed: bmi, age, a measurement, or two of them as in span/stature; measurements: %s", name, strings.Join(MeasurementNames(), ", "))
	}
	return m, nil
}

// String returns the quantity's name as ParseQuantity reads it.
func (q Quantity) String() string {
	switch q.power {
	case 0:
		return q.numerator.String()
	case 1:
		return q.numerator.String() + "/" + q.denominator.String()
	}
	return "bmi"
}

// Unit returns the unit of the quantity: "m", "kg", "years", "kg/m", "kg/m2",
// "m/kg" and the like, or "" for a ratio of two quantities of one unit.
func (q Quantity) Unit() string {
	above, below := q.numerator.Unit(), q.denominator.Unit()
	switch {
	case q.power == 0:
		return above
	case q.power == 2:
		return "kg/m2"
	case above == below:
		return ""
	}
	return above + "/" + below
}

// Superlatives are those of the measurement, where it is one.
func (q Quantity) Superlatives() (most, least string) {
	if q.power != 0 {
		return "", ""
	}
	return q.numerator.Superlatives()
}

// Values fills dst, one element a person, with the quantity in SI units.
func (q Quantity) Values(dst []float64, p *People) {
	if len(dst) != p.Rows() {
		panic("anthro: columns of different length")
	}
	copy(dst, p.Value[q.numerator])
	below := p.Value[q.denominator]
	for range q.power {
		for i := range dst {
			dst[i] /= below[i]
		}
	}
}

// MarshalText writes the quantity's name.
func (q Quantity) MarshalText() ([]byte, error) { return []byte(q.String()), nil }

// UnmarshalText reads a quantity's name.
func (q *Quantity) UnmarshalText(text []byte) (err error) {
	*q, err = ParseQuantity(string(text))
	return err
}
