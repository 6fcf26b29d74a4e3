package sweep

import (
	"math"
	"strconv"
	"strings"

	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/sweep"
)

// AxisScale is what a number of an axis is multiplied by to be shown, and the unit that
// it then has: metres stay metres, but angles are in degrees and shares in per cent.
func AxisScale(a *sweep.Axis) (factor float64, unit string) {
	switch a.Unit {
	case "rad":
		if strings.HasPrefix(a.Of, "assume.") {
			return 180 / math.Pi, "" // as assumptions are written
		}
		return 180 / math.Pi, "deg"
	case sweep.Share:
		return 100, "%"
	}
	return 1, a.Unit
}

// AxisMeaning says what an axis is of.
func AxisMeaning(a *sweep.Axis) string {
	text := sweep.FindVariable(a.Of).Meaning
	if id, ok := assume.Parse(strings.TrimPrefix(a.Of, "assume.")); ok {
		text += ", " + words.AssumptionUnit(id)
	}
	return text
}

// coordinateText writes a coordinate of an axis: a name, or a number with its unit, lengths in
// centimetres.
func coordinateText(a *sweep.Axis, x float64) string {
	if a.Named() {
		return a.Names[int(x)]
	}
	factor, unit := AxisScale(a)
	if unit == "m" {
		factor, unit = 100, "cm"
	}
	// The last digits, in which a number's decimal and its binary form differ, are taken off.
	text := strconv.FormatFloat(x*factor, 'e', 10, 64)
	if y, err := strconv.ParseFloat(text, 64); err == nil {
		text = strconv.FormatFloat(y, 'g', 6, 64)
	}
	if unit != "" {
		text += " " + unit
	}
	return text
}
