package units

import (
	"errors"
	"fmt"
	"math"
	"math/big"
	"slices"
	"strings"
)

// Quantity is a value and what it is a value of.
type Quantity struct {
	Value     float64   // in the dimension's own unit, finite
	Dimension Dimension // one of those that the caller allowed
}

// Parse reads one quantity: "172 cm", "5 ft 8 1/2 in", "5'8\"", "+10 cm",
// "−3 %", "41°", "80 N·m", "1.2 BW". Its dimension must be one of want, which
// must not be empty; to allow a relative change beside a length, say
// Parse(text, Length, Relative). The unit may be left out only where want
// includes Number.
//
// The value is the float64 nearest to what was written: the conversion is
// exact arithmetic.
func Parse(text string, want ...Dimension) (Quantity, error) {
	w, err := scan(text, want)
	if err != nil {
		return Quantity{}, err
	}
	return w.quantity(want)
}

// quantity gives w its meaning.
func (w written) quantity(want []Dimension) (Quantity, error) {
	if w.bare() {
		if slices.Contains(want, Number) {
			return w.finish(w.terms[0].amount, Number)
		}
		return Quantity{}, fmt.Errorf("%s needs its unit: write %s", nouns(want), examples(want))
	}
	sum := new(big.Rat)
	var last unit
	for i, t := range w.terms {
		if t.unit == "" {
			return Quantity{}, fmt.Errorf("the number %s needs its unit: write %s", t.amount.RatString(), examples(want))
		}
		u, err := findUnit(t.unit, want)
		if err != nil {
			return Quantity{}, err
		}
		size := new(big.Rat).Mul(t.amount, u.size)
		// "5 ft 8 in", not "5.5 ft 8 in", "8 in 5 ft" or "5 ft 14 in".
		if i > 0 && (u.dimension != last.dimension || !w.terms[i-1].amount.IsInt() || size.Cmp(last.size) >= 0) {
			return Quantity{}, errors.New(`the parts of one quantity go from whole larger units to smaller ones, as in "5 ft 8 in"`)
		}
		sum.Add(sum, size)
		last = u
	}
	return w.finish(sum, last.dimension)
}

// finish turns the exact size into a Quantity of dimension d.
func (w written) finish(size *big.Rat, d Dimension) (Quantity, error) {
	value, _ := size.Float64()
	if math.IsInf(value, 0) || value == 0 && size.Sign() != 0 {
		return Quantity{}, errors.New("the number is out of range")
	}
	if w.negative && value != 0 {
		value = -value
	}
	return Quantity{value, d}, nil
}

// withUnitOf returns w with the unit of other where w is a bare number and
// other is not, as in "160..175 cm".
func (w written) withUnitOf(other written) (written, error) {
	switch {
	case w.bare() == other.bare():
		return w, nil
	case !w.bare():
		return w, errors.New("the first number has a unit, the second has none")
	case len(other.terms) > 1:
		return w, errors.New("the first number needs its own unit beside a second of several parts")
	}
	w.terms = []term{{w.terms[0].amount, other.terms[0].unit}}
	return w, nil
}

// Range is what lies between two values, both included.
type Range struct {
	Low, High float64 // −Inf or +Inf where the range is open
	Dimension Dimension
}

// ParseRange reads "160..175 cm", "18.5..27", "..27", "20.." or
// "5 ft..5 ft 8 in". A low end without a unit has that of the high end. Want
// is as for [Parse].
func ParseRange(text string, want ...Dimension) (Range, error) {
	lowText, highText, found := strings.Cut(text, "..")
	if !found {
		return Range{}, errors.New(`a range has ".." between its ends, as in "18.5..27", "..27" or "20.."`)
	}
	hasLow, hasHigh := strings.TrimSpace(lowText) != "", strings.TrimSpace(highText) != ""
	if !hasLow && !hasHigh {
		return Range{}, errors.New("a range needs at least one end")
	}
	var low, high written
	var err error
	if hasHigh {
		if high, err = scan(highText, want); err != nil {
			return Range{}, err
		}
	}
	if hasLow {
		if low, err = scan(lowText, want); err != nil {
			return Range{}, err
		}
	}
	if hasLow && hasHigh {
		if low, err = low.withUnitOf(high); err != nil {
			return Range{}, err
		}
	}

	r := Range{Low: math.Inf(-1), High: math.Inf(1)}
	if hasLow {
		q, err := low.quantity(want)
		if err != nil {
			return Range{}, err
		}
		r.Low, r.Dimension = q.Value, q.Dimension
		want = []Dimension{q.Dimension} // the high end must agree
	}
	if hasHigh {
		q, err := high.quantity(want)
		if err != nil {
			return Range{}, err
		}
		r.High, r.Dimension = q.Value, q.Dimension
	}
	if r.Low > r.High {
		return Range{}, errors.New("the low end of the range is above its high end")
	}
	return r, nil
}

// Uncertain is a quantity and how well it is known.
type Uncertain struct {
	Quantity
	// PlusMinus is the stated uncertainty in the unit of Value, always
	// positive; 0 means that none was stated.
	PlusMinus float64
}

// ParseUncertain reads "168 cm ± 0.5 cm", "168 ± 0.5 cm", "61 kg ± 1 %" (of
// the value) or a quantity alone. "±" may be written "+-" or "+/-". Want is as
// for [Parse].
//
// A percentage of a percentage is never meant: "5 % ± 1 %" is 4 % to 6 %.
func ParseUncertain(text string, want ...Dimension) (Uncertain, error) {
	valueText, plusMinusText, found := cutPlusMinus(text)
	if !found {
		q, err := Parse(text, want...)
		return Uncertain{Quantity: q}, err
	}
	value, err := scan(valueText, want)
	if err != nil {
		return Uncertain{}, err
	}
	plusMinus, err := scan(plusMinusText, want)
	if err != nil {
		return Uncertain{}, err
	}
	if plusMinus.signed {
		return Uncertain{}, errors.New("the uncertainty after ± has a sign of its own")
	}
	// "0.5 ± 10 %" can be read in two ways, so it is not read at all.
	if _, err := findUnit(plusMinus.terms[0].unit, []Dimension{Relative}); err == nil && value.bare() {
		return Uncertain{}, errors.New(`the value before ± needs its unit too, as in "5 % ± 1 %" or "61 kg ± 1 %"`)
	}
	if value, err = value.withUnitOf(plusMinus); err != nil {
		return Uncertain{}, err
	}
	q, err := value.quantity(want)
	if err != nil {
		return Uncertain{}, err
	}
	u, err := plusMinus.quantity([]Dimension{q.Dimension, Relative})
	if err != nil {
		return Uncertain{}, err
	}
	if u.Dimension != q.Dimension {
		u.Value *= math.Abs(q.Value)
	}
	if u.Value <= 0 {
		return Uncertain{}, errors.New("the uncertainty after ± is not positive: leave it out if none is known")
	}
	return Uncertain{q, u.Value}, nil
}

// cutPlusMinus splits text at its first "±".
func cutPlusMinus(text string) (value, plusMinus string, found bool) {
	for _, sign := range []string{"±", "+/-", "+-", "+/−", "+−"} {
		if value, plusMinus, found = strings.Cut(text, sign); found {
			return value, plusMinus, true
		}
	}
	return text, "", false
}
