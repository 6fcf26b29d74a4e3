// Package words writes numbers, units, shares, changes and verdicts as people read
// them: in texts, pictures and their descriptions, sentences of JSON, pages and the
// explore page alike. Nothing else writes a number with a unit or per cent.
//
// English text has a decimal point, commas between thousands ("100,000", which can be
// typed and copied), a true minus sign and a space before a unit, but for the degree's
// ("41.3°"). The functions write an ordinary space; [NoBreak] keeps a number and its
// unit on one line where a text is set.
package words

import (
	"strconv"
	"strings"

	"counterpoise/sim/fault"
	"counterpoise/sim/math"
)

// Number writes x with so many decimals: "1.43", "−0.04", and no sign where nothing is
// left of x.
func Number(x float64, decimals int) string { return number(x, decimals, "", "") }

// number writes x with the sign for what is above nothing, and that for what rounds to
// nothing.
func number(x float64, decimals int, above, nothing string) string {
	switch {
	case math.IsNaN(x):
		return "NaN"
	case math.IsInf(x, 0):
		return sign(x, above) + "∞"
	}
	digits := strconv.FormatFloat(math.Abs(x), 'f', decimals, 64)
	if strings.Trim(digits, "0.") == "" {
		return nothing + digits
	}
	return sign(x, above) + digits
}

func sign(x float64, above string) string {
	switch {
	case x < 0:
		return "−"
	case x > 0:
		return above
	}
	return ""
}

// Given writes a number that somebody chose, to at most four digits: "40", "22.5",
// "0.01".
func Given(x float64) string { return Digits(x, 4) }

// Digits writes a number to at most so many digits.
func Digits(x float64, n int) string {
	return strings.ReplaceAll(strconv.FormatFloat(x, 'g', n, 64), "-", "−")
}

// GivenChange is Given with a plus where x is above nothing.
func GivenChange(x float64) string { return sign(math.Max(x, 0), "+") + Given(x) }

// Count writes a whole number with commas between its thousands.
func Count[N int | int64](n N) string { return fault.Count(float64(n)) }

// Correlation writes a correlation or an elasticity: "+0.83".
func Correlation(x float64) string { return number(x, 2, "+", "+") }

// Ordinal writes a place in a row: "1st", "12th", "23rd".
func Ordinal(n int) string {
	ending := "th"
	if n/10%10 != 1 {
		switch n % 10 {
		case 1:
			ending = "st"
		case 2:
			ending = "nd"
		case 3:
			ending = "rd"
		}
	}
	return strconv.Itoa(n) + ending
}

// Percentile says where the share of people below puts somebody.
func Percentile(share float64) string { return Place(share) + " percentile" }

// Place is Percentile without its noun: "26th".
func Place(share float64) string {
	switch p := math.Round(100 * share); {
	case p < 1:
		return "below the 1st"
	case p > 99:
		return "above the 99th"
	default:
		return Ordinal(int(p))
	}
}

// Share writes a share from 0 to 1 in per cent: to a decimal below 10 % and above 90 %,
// and what is not whole never as none or all.
func Share(share float64) string {
	switch p := 100 * share; {
	case p == 0 || p == 100:
		return Percent(share, 0)
	case p < 0.1:
		return "under 0.1 %"
	case p > 99.9:
		return "over 99.9 %"
	case p < 10 || p > 90:
		return Percent(share, 1)
	}
	return Percent(share, 0)
}

// Whole writes a share in per cent without decimals, and what is not nothing never as that.
func Whole(share float64) string {
	if p := 100 * math.Abs(share); p != 0 && p < 0.5 {
		return "under 1 %"
	}
	return Percent(share, 0)
}

// Percent writes a share in per cent with so many decimals, for columns of them.
func Percent(share float64, decimals int) string { return Number(100*share, decimals) + " %" }

// Part writes a part of a whole in per cent to a decimal, and exactly nothing without:
// "12.3 %", "0 %".
func Part(share float64) string {
	if share == 0 {
		return "0 %"
	}
	return Percent(share, 1)
}

// PercentChange writes a change, given in per cent, with its sign: "+0.35 %", "+0.00 %".
func PercentChange(percent float64, decimals int) string {
	return number(percent, decimals, "+", "+") + " %"
}

// Effect writes the size of an effect on something in per cent of what it was, to two
// digits below ten: "3.4 %", "12 %", and what rounds to nothing without: "0 %".
func Effect(percent float64) string {
	if !finite(percent) {
		return BeyondReach
	}
	size := math.Abs(percent)
	switch {
	case size < 0.05:
		return "0 %"
	case size < 9.95:
		return Number(size, 1) + " %"
	}
	return Number(size, 0) + " %"
}

// SignedEffect is Effect with its sign, if anything is left of it.
func SignedEffect(percent float64) string {
	text := Effect(percent)
	if text == BeyondReach || text == "0 %" {
		return text
	}
	return sign(percent, "+") + text
}

// StandardError writes a standard error in a unit of output, to two digits: "0.042 %",
// "0.12 cm".
func StandardError(x float64, unit string) string {
	if unit == "m" {
		x, unit = 100*x, "cm"
	}
	if x > 0 && x < leastError {
		return "under " + WithUnit(Given(leastError), unit)
	}
	return WithUnit(Digits(x, 2), unit)
}

// leastError is the smallest standard error that anybody wants to know.
const leastError = 0.0001
