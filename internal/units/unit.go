package units

import (
	"fmt"
	"math/big"
	"strings"

	"counterpoise/internal/nearest"
)

// unit is one unit of a dimension.
type unit struct {
	name      string // as printed
	dimension Dimension
	size      *big.Rat // in the dimension's own unit, exactly
	aliases   []string // further spellings, lower case, without points and spaces
}

// units are the units that can be written, in the order in which messages list
// them. The sizes are exact by definition, but for the degree.
//
// Source: A. Thompson, B. N. Taylor, Guide for the Use of the International
// System of Units (SI), NIST Special Publication 811, 2008 edition, appendix
// B.8, which marks exact factors in bold: inch 2.54 E−02 m, foot 3.048 E−01 m,
// pound (avoirdupois) 4.535 923 7 E−01 kg, ounce (avoirdupois)
// 2.834 952 E−02 kg (1/16 lb), kilogram-force 9.806 65 N, pound-force
// 4.448 222 N (1 lb × 9.806 65 m/s²), pound-force foot 1.355 818 N·m (recalled
// from memory; the rounded ones are written out in full here). A stone is
// 14 lb. A degree is π/180 rad, here to 36 digits.
var units = []unit{
	newUnit("m", Length, "1", "metre", "metres", "meter", "meters"),
	newUnit("cm", Length, "0.01"),
	newUnit("mm", Length, "0.001"),
	newUnit("in", Length, "0.0254", "inch", "inches", `"`, "″"),
	newUnit("ft", Length, "0.3048", "foot", "feet", "'", "′"),
	newUnit("kg", Mass, "1"),
	newUnit("g", Mass, "0.001"),
	newUnit("lb", Mass, "0.45359237", "lbs", "pound", "pounds"),
	newUnit("oz", Mass, "0.028349523125", "ounce", "ounces"),
	newUnit("st", Mass, "6.35029318", "stone"),
	newUnit("deg", Angle, "0.0174532925199432957692369076848861271", "°", "degree", "degrees"),
	newUnit("rad", Angle, "1", "radian", "radians"),
	newUnit("s", Duration, "1", "sec", "second", "seconds"),
	newUnit("min", Duration, "60", "minute", "minutes"),
	newUnit("N", Force, "1", "newton", "newtons"),
	newUnit("kgf", Force, "9.80665"),
	newUnit("lbf", Force, "4.4482216152605"),
	newUnit("N·m", Moment, "1"),
	newUnit("lbf·ft", Moment, "1.3558179483314004", "lbf-ft", "ftlbf", "ft-lbf"),
	newUnit("BW", BodyWeights, "1", "bodyweight", "bodyweights"),
	newUnit("BW·m", BodyWeightMetres, "1"),
	newUnit("%", Number, "0.01", "percent"),
	newUnit("%", Relative, "0.01", "percent"),
}

func newUnit(name string, d Dimension, size string, aliases ...string) unit {
	exact, ok := new(big.Rat).SetString(size)
	if !ok {
		panic("units: bad size in the table of units")
	}
	return unit{name, d, exact, append(aliases, spelling(name))}
}

// Size is the size of a unit, by the name under which it is printed, in its dimension's
// own unit; 0 for no unit.
func Size(name string) float64 { return sizes[name] }

var sizes = func() map[string]float64 {
	m := map[string]float64{}
	for _, u := range units {
		m[u.name], _ = u.size.Float64()
	}
	return m
}()

// bySpelling finds units by every spelling they may have.
var bySpelling = func() map[string][]unit {
	m := map[string][]unit{}
	for _, u := range units {
		for _, alias := range u.aliases {
			m[alias] = append(m[alias], u)
		}
	}
	return m
}()

// spelling reduces a unit as written to the form in which it is looked up: in
// lower case, products without their sign ("N·m", "N m" and "Nm" are the
// same), abbreviations without their point ("in.").
func spelling(written string) string {
	s := strings.TrimSuffix(strings.ToLower(written), ".")
	for _, sign := range []string{"·", "⋅", "*", " "} {
		// Only inside: a sign at an end is no part of a unit.
		if strings.Trim(s, sign) == s {
			s = strings.ReplaceAll(s, sign, "")
		}
	}
	return s
}

// findUnit looks up a unit as written, among the dimensions wanted.
func findUnit(written string, want []Dimension) (unit, error) {
	found := bySpelling[spelling(written)]
	for _, d := range want {
		for _, u := range found {
			if u.dimension == d {
				return u, nil
			}
		}
	}
	if len(found) > 0 {
		return unit{}, fmt.Errorf("%q is the unit of %v, but %s is needed here: write %s",
			written, found[0].dimension, nouns(want), examples(want))
	}
	var names []string
	for _, d := range want {
		for _, u := range units {
			if u.dimension == d {
				names = append(names, u.name)
			}
		}
	}
	hint := ""
	if near, ok := nearest.Nearest(spelling(written), names); ok {
		hint = fmt.Sprintf(", did you mean %q?", near)
	}
	return unit{}, fmt.Errorf("unknown unit %q%s (%s is written with %s)", written, hint, nouns(want), strings.Join(names, ", "))
}
