package words

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/fault"
	"counterpoise/sim/statics"
)

// System is the family of units in which quantities are written.
type System int

// The systems. Angles and multiples of body weight look the same in both.
const (
	Metric   System = iota // cm, kg, N
	Imperial               // ft and in, lb, lbf
)

// Systems are the names of the systems, as people write them.
var Systems = [...]string{Metric: "metric", Imperial: "imperial"}

// ParseSystem finds a system by its name.
func ParseSystem(name string) (s System, ok bool) {
	i := slices.Index(Systems[:], name)
	return System(i), i >= 0
}

// display is how values of a dimension are written: in which unit, with how many
// decimals; rough is how many where only the large digits are known.
type display struct {
	unit            string
	decimals, rough int
}

// displays are by dimension and system.
var displays = [...][2]display{
	units.Number:           {{"", 3, 2}, {"", 3, 2}},
	units.Relative:         {{"%", 1, 0}, {"%", 1, 0}},
	units.Length:           {{"cm", 1, 0}, {"in", 1, 0}},
	units.Mass:             {{"kg", 1, 0}, {"lb", 1, 0}},
	units.Angle:            {{"deg", 1, 0}, {"deg", 1, 0}},
	units.Duration:         {{"s", 1, 0}, {"s", 1, 0}},
	units.Force:            {{"N", 0, 0}, {"lbf", 1, 0}},
	units.Moment:           {{"N·m", 1, 0}, {"lbf·ft", 1, 0}},
	units.BodyWeights:      {{"BW", 3, 2}, {"BW", 3, 2}},
	units.BodyWeightMetres: {{"BW·m", 3, 2}, {"BW·m", 3, 2}},
}

// Unit is the unit in which quantities of a dimension are written, as [units.Parse]
// reads it.
func Unit(d units.Dimension, s System) string { return displays[d][s].unit }

// WithUnit puts a unit behind a number.
func WithUnit(number, unit string) string {
	switch unit {
	case "":
		return number
	case "deg", "°": // the one unit that follows its number without a space
		return number + "°"
	}
	return number + " " + unit
}

// in returns a value in the unit of a display.
func (show display) in(value float64) float64 {
	if show.unit == "" {
		return value
	}
	return value / units.Size(show.unit)
}

// Quantity writes a value, which is in d's own unit: "172.4 cm", "5 ft 7.9 in",
// "61.0 kg", "41.3°", "1.432 BW", "12.3 %". [units.Parse] reads the text back to within
// half of its last digit. Values that are not finite are "NaN", "∞" or "−∞" in place of
// the number.
func Quantity(value float64, d units.Dimension, s System) string {
	show := displays[d][s]
	text := Number(show.in(value), show.decimals)
	if show.unit == "in" && finite(value) {
		return feetAndInches(text)
	}
	return WithUnit(text, show.unit)
}

// Change is [Quantity] for a difference: "+10.0 cm", "−0.036 BW". A length's change is
// in inches alone.
func Change(value float64, d units.Dimension, s System) string {
	show := displays[d][s]
	return WithUnit(number(show.in(value), show.decimals, "+", "+"), show.unit)
}

// Size is [Change] without a sign.
func Size(value float64, d units.Dimension, s System) string {
	return strings.TrimPrefix(Change(math.Abs(value), d, s), "+")
}

// Rough is [Quantity] in the digits that a coach has a use for: whole kilograms or
// pounds, centimetres or eighths of an inch, degrees, newton metres.
func Rough(value float64, d units.Dimension, s System) string {
	show := displays[d][s]
	if show.unit == "in" {
		return Tape(value, s)
	}
	return WithUnit(Number(show.in(value), show.rough), show.unit)
}

// Weight writes a force in newtons roughly, as the mass that weighs as much: what a
// coach has plates for.
func Weight(newtons float64, s System) string {
	return Rough(newtons/statics.StandardGravity, units.Mass, s)
}

// InBrackets is a unit behind what is measured in it, or nothing.
func InBrackets(unit string) string {
	if unit == "" {
		return ""
	}
	return " (" + unit + ")"
}

// Turning writes a moment in newton metres as a weight held out at one metre, or one foot.
func Turning(newtonMetres float64, s System) string {
	if s == Metric {
		return Weight(newtonMetres, s) + atMetre
	}
	return Weight(newtonMetres/units.Size("ft"), s) + atFoot
}

const atMetre, atFoot = " at one metre", " at one foot"

// Tape writes a length in metres as one would read it off a tape measure: to the
// nearest millimetre ("94.3 cm") or eighth of an inch ("37 1/8 in").
func Tape(metres float64, s System) string {
	if s == Metric || !finite(metres) {
		return Quantity(metres, units.Length, s)
	}
	eighths := math.Round(math.Abs(metres) / units.Size("in") * 8)
	whole, rest := math.Floor(eighths/8), int(math.Mod(eighths, 8))
	var parts []string
	if whole > 0 || rest == 0 {
		parts = append(parts, Number(whole, 0))
	}
	if rest > 0 {
		top, bottom := rest, 8
		for top%2 == 0 {
			top, bottom = top/2, bottom/2
		}
		parts = append(parts, strconv.Itoa(top)+"/"+strconv.Itoa(bottom))
	}
	text := strings.Join(parts, " ") + " in"
	if metres < 0 && eighths > 0 {
		return "−" + text
	}
	return text
}

// feetAndInches turns inches, given in decimal, into "5 ft 7.9 in"; what is zero is left
// out, so that whole feet are "6 ft" and whole inches "5 ft 8 in".
func feetAndInches(inches string) string {
	digits, negative := strings.CutPrefix(inches, "−")
	total, err := strconv.ParseFloat(digits, 64)
	if err != nil || total >= 1e12 {
		return inches + " in" // beyond any body, and beyond exact feet
	}
	// In tenths, so that what was rounded once stays as it is.
	tenths := int64(math.Round(total * 10))
	feet, tenths := tenths/120, tenths%120
	var parts []string
	if feet > 0 {
		parts = append(parts, strconv.FormatInt(feet, 10)+" ft")
	}
	if tenths > 0 || feet == 0 {
		parts = append(parts, strings.TrimSuffix(Number(float64(tenths)/10, 1), ".0")+" in")
	}
	text := strings.Join(parts, " ")
	if negative {
		return "−" + text
	}
	return text
}

// degrees turns radians into degrees.
const degrees = 180 / math.Pi

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// Printer returns a function that writes quantities of one dimension.
func Printer(d units.Dimension, s System) func(float64) string {
	return func(x float64) string { return Quantity(x, d, s) }
}

// RoughPrinter is [Printer] of [Rough].
func RoughPrinter(d units.Dimension, s System) func(float64) string {
	return func(x float64) string { return Rough(x, d, s) }
}

// Spread writes a middle with the range around it, its unit once: "41.0 kg (38.1 to
// 44.0)"; or alone where nothing is left open.
func Spread(middle, low, high float64, format func(float64) string) string {
	m, l, h := format(middle), format(low), format(high)
	if l == m && h == m {
		return m
	}
	if l, of := cutUnit(l); of != "" && of != "°" && strings.HasSuffix(h, of) && !strings.Contains(l+strings.TrimSuffix(h, of), " ") {
		return m + " (" + l + " to " + strings.TrimSuffix(h, of) + ")"
	}
	return m + " (" + l + " to " + h + ")"
}

// cutUnit takes the unit off a quantity, with the space before it.
func cutUnit(text string) (number, unit string) {
	for _, out := range []string{atMetre, atFoot} {
		if weight, found := strings.CutSuffix(text, out); found {
			number, unit = cutUnit(weight)
			return number, unit + out
		}
	}
	if cut := strings.LastIndexByte(text, ' '); cut >= 0 {
		return text[:cut], text[cut:]
	}
	if number, found := strings.CutSuffix(text, "°"); found {
		return number, "°"
	}
	return text, ""
}

// Seconds writes a time: to a tenth below ten seconds.
func Seconds(x float64) string {
	if x > 0 && x < 10 {
		return Number(x, 1) + " s"
	}
	return Number(x, 0) + " s"
}

// Angle writes an angle in radians that somebody chose: "40°", "22.5°".
func Angle(radians float64) string { return Given(radians*degrees) + "°" }

// AngleChange writes a turn by such an angle: "+5°".
func AngleChange(radians float64) string { return GivenChange(radians*degrees) + "°" }

// Length writes a length in metres that somebody chose: "61 cm".
func Length(metres float64) string { return Given(100*metres) + " cm" }

// Typed writes a number with its unit as people type it, in files and on the command
// line: "40 deg", "61 cm", "-5 %", or "-0.3" without a unit.
func Typed(x float64, unit string) string {
	return strings.TrimSuffix(strconv.FormatFloat(x, 'g', 4, 64)+" "+unit, " ")
}

// Fault writes what is wrong with a field, a number out of its bounds in the unit in which
// people write it.
func Fault(e *fault.Error) string {
	found, number := e.Found.(float64)
	if e.Bounds == nil || !number {
		return e.Reason
	}
	unit, per := e.Bounds.Unit, 1.0
	switch unit {
	case "m":
		unit, per = "cm", 100
	case "rad":
		unit, per = "deg", 180/math.Pi
		if strings.Contains(e.Field, "assume.") {
			unit = "" // as assumptions are written
		}
	case "share":
		unit, per = "%", 100
	}
	return Typed(per*found, unit) + " is not possible, allowed: " + Interval(Typed(per*e.Bounds.Least, unit), Typed(per*e.Bounds.Most, unit))
}

// TypedChange is Typed with its sign.
func TypedChange(x float64, unit string) string {
	return sign(math.Max(x, 0), "+") + Typed(x, unit)
}

// Interval writes two ends, their unit once: "38.1 to 44.0 kg", "38 to 44°"; or one,
// where they are written alike.
func Interval(low, high string) string {
	if low == high {
		return low
	}
	if number, unit := cutUnit(low); strings.HasSuffix(high, unit) && !strings.Contains(number, " ") {
		low = number
	}
	return low + " to " + high
}

// Over writes the range that values take, or the one value.
func Over(values []float64, format func(float64) string) string {
	low, high := math.Inf(1), math.Inf(-1)
	for _, v := range values {
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return Interval(format(low), format(high))
}

// Marked is the place of a mark for a length, in metres: pictures draw it where Mark says.
func Marked(metres float64) float64 { return math.Round(metres/0.05) * 0.05 }

// Mark writes a length as it is marked on a bar: to 5 cm, and of that the nearest inch, so
// that both marks are at one place.
func Mark(metres float64, s System) string {
	metres = Marked(metres)
	if s != Metric {
		metres = math.Round(metres/0.0254) * 0.0254
	}
	return Rough(metres, units.Length, s)
}
