package anthro

import (
	"fmt"
	"strings"

	"counterpoise/sim/math"
)

// ContradictionError tells that no body can have two measurements, or sums of
// measurements, together.
type ContradictionError struct {
	Lesser, Greater           string  // such as "2·(forearm_length + hand_length)" and "span"
	LesserValue, GreaterValue float64 // m
}

func (e *ContradictionError) Error() string {
	return fmt.Sprintf("%s is %.4g m, must be less than %s, %.4g m", e.Lesser, e.LesserValue, e.Greater, e.GreaterValue)
}

// sum is a number of measurements, added up and multiplied.
type sum struct {
	times float64
	of    []Measurement
}

func one(m Measurement) sum { return sum{1, []Measurement{m}} }

// order lists what is less than what in any body, whatever its build: what lies
// lower, what is part of something, and that a chain's ends are no further apart
// than its links laid end to end.
var order = []struct{ lesser, greater sum }{
	{one(SittingHeight), one(Stature)},
	{one(CervicaleHeight), one(Stature)},
	{one(AcromialHeight), one(Stature)},
	{one(SuprasternaleHeight), one(Stature)},
	{one(TrochanterionHeight), one(AcromialHeight)},
	{one(TrochanterionHeight), one(SuprasternaleHeight)},
	{one(TrochanterionHeight), one(CervicaleHeight)},
	{one(TrochanterionHeight), one(Stature)},
	{one(TibialHeight), one(TrochanterionHeight)},
	{one(TibialHeight), one(Stature)},
	{one(MalleolusHeight), one(TibialHeight)},
	{one(MalleolusHeight), one(Stature)},
	{one(PalmLength), one(HandLength)},
	{one(BiacromialBreadth), one(Span)},
	// The arms, stretched out, do not overlap: what is known of them is less than
	// half the span.
	{sum{2, []Measurement{UpperArmLength, ForearmLength, HandLength}}, one(Span)},
	{sum{2, []Measurement{UpperArmLength, ForearmLength, PalmLength}}, one(Span)},
	// Hanging, they do not reach the floor.
	{sum{1, []Measurement{UpperArmLength, ForearmLength, HandLength}}, one(AcromialHeight)},
	{sum{1, []Measurement{UpperArmLength, ForearmLength, HandLength}}, one(Stature)},
}

// contradiction returns the first order that known values break, beyond three
// standard deviations of their errors, or nil. Of a lesser sum, the measurements
// that are not known count as 0, which breaks no order that holds.
func contradiction(known []Known) error {
	var at [NumVariables]*Known
	for i := range known {
		at[known[i].Of] = &known[i]
	}
	for _, o := range order {
		greater := at[o.greater.of[0]]
		if greater == nil {
			continue
		}
		var names []string
		total, variance := 0.0, greater.Error*greater.Error
		for _, m := range o.lesser.of {
			if k := at[m]; k != nil {
				names = append(names, m.String())
				total += float64(o.lesser.times * k.Value)
				variance += float64(o.lesser.times * o.lesser.times * k.Error * k.Error)
			}
		}
		if len(names) == 0 || total < greater.Value+float64(3*math.Sqrt(variance)) {
			continue
		}
		name := strings.Join(names, " + ")
		if o.lesser.times != 1 {
			if len(names) > 1 {
				name = "(" + name + ")"
			}
			name = fmt.Sprintf("%g·%s", o.lesser.times, name)
		}
		return &ContradictionError{name, greater.Of.String(), total, greater.Value}
	}
	return nil
}
