package units

import (
	"errors"
	"fmt"
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// maxText bounds, in bytes, what one quantity may look like; it keeps the cost
// of exact arithmetic on hostile input small.
const maxText = 100

// written is a quantity taken apart but not yet understood: "-5 ft 8 1/2 in"
// is negative with the terms (5, "ft") and (17/2, "in").
type written struct {
	negative, signed bool
	terms            []term
}

type term struct {
	amount *big.Rat // exactly as written, not negative
	unit   string   // "" for a bare number
}

// bare reports whether w is a number without a unit.
func (w written) bare() bool { return len(w.terms) == 1 && w.terms[0].unit == "" }

// scan takes text apart. It knows numbers, but no units.
func scan(text string, want []Dimension) (written, error) {
	if len(want) == 0 {
		panic("units: no dimension wanted")
	}
	var w written
	if len(text) > maxText {
		return w, fmt.Errorf("%d characters are too long for %s", utf8.RuneCountInString(text), nouns(want))
	}
	if strings.Contains(text, "..") {
		return w, errors.New("a range, but a single value is needed here")
	}
	if _, _, found := cutPlusMinus(text); found {
		return w, errors.New("a value with an uncertainty, but a plain value is needed here")
	}
	rest := strings.TrimSpace(text)
	for _, sign := range []string{"+", "-", "−"} {
		if after, ok := strings.CutPrefix(rest, sign); ok {
			w.signed, w.negative = true, sign != "+"
			rest = strings.TrimSpace(after)
			break
		}
	}
	for {
		amount, after, err := scanAmount(rest)
		if err != nil {
			return w, err
		}
		if amount == nil {
			return w, fmt.Errorf("%q is not %s: write %s", text, nouns(want), examples(want))
		}
		// The unit is everything up to the next number.
		end := len(after)
		for i, r := range after {
			if isDigit(r) || r == '.' && startsWithDigit(after[i+1:]) {
				end = i
				break
			}
		}
		w.terms = append(w.terms, term{amount, strings.TrimSpace(after[:end])})
		if rest = after[end:]; rest == "" {
			return w, nil
		}
	}
}

// scanAmount reads the number at the start of text: "172", "67.5", ".5",
// "1e-3", "3/8" or "8 3/8". It returns a nil amount if there is none.
func scanAmount(text string) (amount *big.Rat, rest string, err error) {
	whole := digits(text)
	end := len(whole)
	decimal := false
	if strings.HasPrefix(text[end:], ".") && startsWithDigit(text[end+1:]) {
		decimal = true
		end += 1 + len(digits(text[end+1:]))
	}
	if end == 0 {
		return nil, text, nil
	}
	if strings.HasPrefix(text[end:], ",") && startsWithDigit(text[end+1:]) {
		return nil, "", errors.New(`a comma in a number: write a decimal point, "67.5", and no thousands separators`)
	}
	if e := exponent(text[end:]); e > 0 {
		decimal = true
		end += e
	}
	amount, ok := new(big.Rat).SetString(text[:end])
	if !ok {
		return nil, "", fmt.Errorf("%q is not a number", text[:end])
	}
	rest = text[end:]
	if decimal {
		return amount, rest, nil
	}

	// A whole number may be the top of a fraction or be followed by one.
	if fraction, after, err := scanFraction(text); err != nil || fraction != nil {
		return fraction, after, err
	}
	next := strings.TrimLeftFunc(rest, unicode.IsSpace)
	fraction, after, err := scanFraction(next)
	if err != nil || fraction == nil {
		return amount, rest, err
	}
	if fraction.Cmp(big.NewRat(1, 1)) >= 0 {
		return nil, "", fmt.Errorf("the fraction in %q is not less than one", text[:len(text)-len(after)])
	}
	return amount.Add(amount, fraction), after, nil
}

// scanFraction reads "3/8" at the start of text; nil if there is none.
func scanFraction(text string) (fraction *big.Rat, rest string, err error) {
	top := digits(text)
	after, ok := strings.CutPrefix(text[len(top):], "/")
	bottom := digits(after)
	if top == "" || !ok || bottom == "" {
		return nil, text, nil
	}
	if strings.Trim(bottom, "0") == "" {
		return nil, "", fmt.Errorf("%s/%s divides by zero", top, bottom)
	}
	fraction, ok = new(big.Rat).SetString(top + "/" + bottom)
	if !ok {
		return nil, "", fmt.Errorf("%s/%s is not a number", top, bottom)
	}
	return fraction, after[len(bottom):], nil
}

// exponent returns the length of a decimal exponent, such as "e-3", at the
// start of text. Three digits are more than any float64 needs.
func exponent(text string) int {
	if text == "" || text[0] != 'e' && text[0] != 'E' {
		return 0
	}
	sign := 0
	if len(text) > 1 && (text[1] == '+' || text[1] == '-') {
		sign = 1
	}
	n := len(digits(text[1+sign:]))
	if n == 0 || n > 3 {
		return 0
	}
	return 1 + sign + n
}

// digits returns the decimal digits at the start of text.
func digits(text string) string {
	return text[:len(text)-len(strings.TrimLeft(text, "0123456789"))]
}

func startsWithDigit(text string) bool { return digits(text) != "" }

func isDigit(r rune) bool { return '0' <= r && r <= '9' }
