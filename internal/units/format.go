package units

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// System is the family of units in which quantities are printed.
type System int

// The systems. Angles and multiples of body weight look the same in both.
const (
	Metric   System = iota // cm, kg, N
	Imperial               // ft and in, lb, lbf
)

// display is how values are printed: in which unit, with how many decimals.
type display struct {
	unit     string
	decimals int
}

// Format prints value, which is in d's own unit: "172.4 cm", "5 ft 7.9 in",
// "61.0 kg", "41.3°", "1.432 BW", "12.3 %". [Parse] reads the text back to
// within half of its last digit. Values that are not finite are printed as
// "NaN", "∞" or "−∞" in place of the number.
func Format(value float64, d Dimension, s System) string {
	return format(value, d, s, false)
}

// FormatChange is [Format] for a difference: "+10.0 cm", "−0.036 BW". A
// length's change is in inches alone.
func FormatChange(value float64, d Dimension, s System) string {
	return format(value, d, s, true)
}

// FormatTape prints a length in metres as one would read it off a tape
// measure: to the nearest millimetre ("94.3 cm") or eighth of an inch
// ("37 1/8 in").
func FormatTape(metres float64, s System) string {
	if s == Metric || notFinite(metres) {
		return Format(metres, Length, s)
	}
	eighths := math.Round(math.Abs(metres) / 0.0254 * 8)
	whole, rest := math.Floor(eighths/8), int(math.Mod(eighths, 8))
	var parts []string
	if whole > 0 || rest == 0 {
		parts = append(parts, strconv.FormatFloat(whole, 'f', 0, 64))
	}
	if rest > 0 {
		top, bottom := rest, 8
		for top%2 == 0 {
			top, bottom = top/2, bottom/2
		}
		parts = append(parts, fmt.Sprintf("%d/%d", top, bottom))
	}
	return sign(metres < 0 && eighths > 0, false) + strings.Join(parts, " ") + " in"
}

func format(value float64, d Dimension, s System, change bool) string {
	show := dimensions[d].metric
	if s == Imperial {
		show = dimensions[d].imperial
	}
	amount := value
	if show.unit != "" {
		amount = value / sizeOf[show.unit]
	}

	digits, negative := "", false
	switch {
	case math.IsNaN(value):
		digits, change = "NaN", false
	case math.IsInf(value, 0):
		digits, negative = "∞", value < 0
	default:
		digits = strconv.FormatFloat(math.Abs(amount), 'f', show.decimals, 64)
		// What rounds to zero has no sign.
		negative = value < 0 && strings.Trim(digits, "0.") != ""
		if d == Length && s == Imperial && !change {
			return sign(negative, false) + feetAndInches(digits)
		}
	}
	unit := " " + show.unit
	switch show.unit {
	case "":
		unit = ""
	case "deg":
		unit = "°" // the one unit that follows its number without a space
	}
	return sign(negative, change) + digits + unit
}

// feetAndInches prints inches, given in decimal, as "5 ft 7.9 in"; what is
// zero is left out, so that whole feet are "6 ft" and whole inches "5 ft 8 in".
func feetAndInches(inches string) string {
	total, err := strconv.ParseFloat(inches, 64)
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
		parts = append(parts, strings.TrimSuffix(fmt.Sprintf("%d.%d", tenths/10, tenths%10), ".0")+" in")
	}
	return strings.Join(parts, " ")
}

// sign is the minus of a negative number and, for changes, the plus of others.
func sign(negative, change bool) string {
	switch {
	case negative:
		return "−"
	case change:
		return "+"
	}
	return ""
}

func notFinite(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) }

// sizeOf holds the sizes of the units by name, for printing.
var sizeOf = func() map[string]float64 {
	m := map[string]float64{}
	for _, u := range units {
		m[u.name], _ = u.size.Float64()
	}
	return m
}()
