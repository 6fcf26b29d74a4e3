package clubtable

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
)

// unitsOf are the units of a measurement, the likeliest first.
func unitsOf(of anthro.Measurement) []string {
	switch words.DimensionOf(of) {
	case units.Mass:
		return []string{"kg", "lb", "st", "st lb", "g"}
	case units.Length:
		return []string{"cm", "m", "in", "mm", "ft", "ft in"}
	}
	return []string{"years"}
}

// The ways in which quantities of two parts are written.
var (
	feetInches = regexp.MustCompile(`^(\d+)\s*(?:'|ft\.?|feet|foot)\s*(?:(\d+(?:\.\d+)?(?: \d+/\d+)?)\s*(?:"|in\.?|inch(?:es)?)?)?$`)
	metresCm   = regexp.MustCompile(`^(\d)\s*m\s*(\d\d)(?:\s*cm)?$`)
	stones     = regexp.MustCompile(`^(\d+)\s*(?:st\.?|stones?)\s*(?:(\d+(?:\.\d+)?)\s*(?:lbs?\.?|pounds?)?)?$`)
	twoNumbers = regexp.MustCompile(`^\d+([.,]\d+)?\s*[-–/]\s*\d+`)
	plain      = regexp.MustCompile(`^([-+−]?[\d.,]+(?: \d+/\d+)?)\s*([^\d\s].*)?$`)
)

// parse takes a cell apart into its number and its unit.
func (c *reading) parse(comma rune) error {
	text := strings.NewReplacer("\u00a0", " ", "\u202f", " ", "’", "'", "′", "'", "‘", "'", "“", `"`, "”", `"`, "″", `"`, "''", `"`).Replace(strings.ToLower(c.text))
	text = strings.TrimRight(text, "*†") // of a remark below the table
	c.amount = math.NaN()
	isMass, isLength := words.DimensionOf(c.of) == units.Mass, words.DimensionOf(c.of) == units.Length
	if parts := feetInches.FindStringSubmatch(text); parts != nil && isLength {
		c.unit = twoParts(parts[1], "ft", parts[2], "in")
		return nil
	}
	if parts := metresCm.FindStringSubmatch(text); parts != nil && isLength {
		c.unit = twoParts(parts[1]+"."+parts[2], "m", "", "")
		return nil
	}
	if parts := stones.FindStringSubmatch(text); parts != nil && isMass {
		c.unit = twoParts(parts[1], "st", parts[2], "lb")
		return nil
	}
	if twoNumbers.MatchString(text) {
		return errors.New("which may be a range, or feet and inches; write one number, or 5 ft 10 in")
	}
	parts := plain.FindStringSubmatch(text)
	if parts == nil {
		return fmt.Errorf("must be a number; leave empty what was not measured")
	}
	number, err := decimal(parts[1])
	if err != nil {
		return err
	}
	if parts[2] != "" {
		unit, ok := unitMeant(parts[2])
		if !ok {
			return fmt.Errorf("must be a number or one with its unit (%s); leave empty what was not measured", strings.Join(unitsOf(c.of), ", "))
		}
		if unit == "years" && c.of == anthro.Age {
			unit = ""
		}
		c.unit = strings.TrimSpace(number + " " + unit)
		if unit != "" {
			return nil
		}
	}
	c.unit = ""
	c.text = number
	if amount, err := strconv.ParseFloat(number, 64); err == nil {
		c.amount = amount
	}
	if !finite(c.amount) && !strings.Contains(number, "/") {
		return errors.New("must be a number")
	}
	return nil
}

// twoParts is a quantity as package units reads it, whose second part may be missing.
func twoParts(large, unit, small, smaller string) string {
	text := large + " " + unit
	if small != "" {
		text += " " + small + " " + smaller
	}
	return text
}

// decimal gives a number a decimal point, whichever sign it has. One comma is taken for
// the decimal sign: no measurement of a body has thousands, but of millimetres, where the
// number is the same in metres.
func decimal(number string) (string, error) {
	comma, point := strings.LastIndexByte(number, ','), strings.LastIndexByte(number, '.')
	switch {
	case comma > point && strings.Count(number, ",") == 1:
		number = strings.ReplaceAll(number, ".", "")
		number = strings.Replace(number, ",", ".", 1)
	case point > comma && strings.Count(number, ".") == 1:
		number = strings.ReplaceAll(number, ",", "")
	case comma >= 0 || point >= 0:
		return "", errors.New("must be a number with one decimal sign")
	}
	return number, nil
}

// written is a cell as it is written, with the unit of its column where it has none.
func (c *reading) written() string {
	if c.unit != "" {
		return c.unit
	}
	return strings.TrimSpace(printable(c.text) + " " + c.column.unit)
}

// value is a cell's value in SI units.
func (c *reading) value() (float64, error) {
	text := c.unit
	switch {
	case c.unsure:
		return 0, errors.New("beside a length in other units than those of the table, which may be kg or lb; write its unit")
	case text != "":
	case c.of == anthro.Age:
		text = c.text
	case c.column.unit == "ft in" || c.column.unit == "ft" && strings.Contains(c.text, "."):
		return 0, errors.New("which may be feet and inches or parts of a foot; write it as in 5 ft 8 in")
	case c.column.unit == "st lb" || c.column.unit == "st" && strings.Contains(c.text, "."):
		return 0, errors.New("which may be stones and pounds or parts of a stone; write it as in 11 st 4 lb")
	case c.column.unit == "":
		return 0, fmt.Errorf("has no unit, and the values do not show it; write the unit into the header, as in %s (%s)", strings.ReplaceAll(c.of.String(), "_", " "), unitsOf(c.of)[0])
	default:
		text = c.text + " " + c.column.unit
	}
	q, err := units.Parse(text, words.DimensionOf(c.of))
	switch {
	case err != nil:
		return 0, err
	case !(q.Value > 0):
		return 0, errors.New("must be positive; leave empty what was not measured")
	}
	return q.Value, nil
}
