package sweep

import (
	"math"
	"strconv"
)

// Scale is what a number of the axis is multiplied by to be shown, and the unit
// that it then has: centimetres stay metres, but angles are in degrees and shares
// in per cent.
func (a *Axis) Scale() (factor float64, unit string) {
	switch a.Unit {
	case "rad":
		return 180 / math.Pi, "deg"
	case Share:
		return 100, "%"
	}
	return 1, a.Unit
}

// Text writes a coordinate of the axis for people: a name, or a number with its
// unit, lengths in centimetres.
func (a *Axis) Text(x float64) string {
	if a.Named() {
		return a.Names[int(x)]
	}
	return a.text(x)
}

func (a *Axis) text(x float64) string {
	factor, unit := a.Scale()
	if unit == "m" {
		factor, unit = 100, "cm"
	}
	text := strconv.FormatFloat(round(x*factor, 10), 'g', 6, 64)
	if unit != "" {
		text += " " + unit
	}
	return text
}

// round takes off the last digits of a number, in which its decimal and its
// binary form differ.
func round(x float64, digits int) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', digits, 64), 64)
	if err != nil {
		return x
	}
	return y
}
