// Package units reads quantities with their units; package words writes them.
//
// People write "172 cm", "5 ft 8 in" or "41 deg"; inside, everything is SI
// (metres, kilograms, newtons, newton metres, radians, seconds) or a plain
// ratio. This package is the border between the two. It never guesses: a bare
// number where a unit belongs is an error that shows how to write it.
//
// The errors are one line each and speak to the person who wrote the text;
// the caller adds where it stood and what it said.
package units

import (
	"strings"

	"counterpoise/sim/names"
)

// Dimension is a kind of quantity.
type Dimension int

// The dimensions, each with the unit that its values have inside the program.
const (
	Number           Dimension = iota // ratios and counts: a bare number, or a percentage ("5 %" is 0.05)
	Relative                          // a change relative to what was there: a percentage only ("+5 %" is 0.05)
	Length                            // m
	Mass                              // kg
	Angle                             // rad
	Duration                          // s
	Force                             // N
	Moment                            // N·m
	BodyWeights                       // a force in multiples of body weight, BW
	BodyWeightMetres                  // a moment in body weights times metres, BW·m
)

// dimension is what messages need to know of a Dimension.
type dimension struct {
	noun    string // with its article
	example string // how to write one, quoted
}

// dimensions is indexed by Dimension.
var dimensions = [...]dimension{
	Number:           {"a number", `"0.67" or "5 %"`},
	Relative:         {"a relative change", `"+5 %"`},
	Length:           {"a length", `"172 cm" or "5 ft 8 in"`},
	Mass:             {"a mass", `"61 kg" or "134 lb"`},
	Angle:            {"an angle", `"41 deg" or "0.72 rad"`},
	Duration:         {"a duration", `"30 s" or "1 min 30 s"`},
	Force:            {"a force", `"250 N" or "56 lbf"`},
	Moment:           {"a moment", `"80 N·m" or "59 lbf·ft"`},
	BodyWeights:      {"a force in body weights", `"1.2 BW"`},
	BodyWeightMetres: {"a moment in body weights times metres", `"0.12 BW·m"`},
}

// String is the dimension's name with its article, as it stands in messages.
func (d Dimension) String() string { return dimensions[d].noun }

// nouns joins the names of the dimensions that are allowed.
func nouns(want []Dimension) string {
	return join(want, func(d Dimension) string { return dimensions[d].noun })
}

// examples joins the examples of the dimensions that are allowed.
func examples(want []Dimension) string {
	return join(want, func(d Dimension) string { return dimensions[d].example })
}

func join(want []Dimension, text func(Dimension) string) string {
	return strings.Join(names.Each(want, text), " or ")
}
