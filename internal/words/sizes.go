package words

import (
	"math"
	"strings"

	"counterpoise/sim/hold"
)

// Sizes are the words for effects on a demand in one unit: with their signs, and without.
type Sizes struct {
	Signed     func(float64) string
	Noun       string
	Less, More string
	Hard       bool    // whether it is how hard a hold is
	Little     float64 // below which nobody notices anything
}

// SizesOf are those of effects in per cent of the baseline.
func SizesOf(d hold.Demand, m hold.Model) Sizes {
	less, more := Ways(d)
	return Sizes{Signed: SignedEffect, Noun: Noun(d, m), Less: less, More: more, Hard: d == hold.Difficulty, Little: 0.5}
}

// Way is the direction of an effect of which something is left in its digits.
func (s *Sizes) Way(x float64) int {
	switch {
	case s.Signed(x) == s.Signed(0):
		return 0
	case x < 0:
		return -1
	}
	return 1
}

// Plain writes a size.
func (s *Sizes) Plain(x float64) string {
	if s.Way(x) < 0 {
		x = -x
	}
	return strings.TrimPrefix(s.Signed(x), "+")
}

// Compared says how much more or less: "3.4 % harder".
func (s *Sizes) Compared(x float64) string {
	switch s.Way(x) {
	case 0:
		return "no change"
	case 1:
		return NoBreak(s.Plain(x)) + " " + s.More
	}
	return NoBreak(s.Plain(x)) + " " + s.Less
}

// Moves says what the quantity does: "the waist moment falls by 3.4 %", "it gets 3.4 %
// harder".
func (s *Sizes) Moves(x float64) string {
	if s.Hard {
		return "it " + s.Does(x)
	}
	return s.Noun + " " + s.Does(x)
}

// Does is moves behind the name of the quantity, or of the hold.
func (s *Sizes) Does(x float64) string {
	switch {
	case s.Way(x) == 0:
		return "hardly changes"
	case math.Abs(x) < s.Little:
		return "hardly changes, " + NoBreak(s.Signed(x))
	case s.Hard:
		return "gets " + s.Compared(x)
	}
	return Way(x, "rises", "falls") + " by " + NoBreak(s.Plain(x))
}

// Between writes two ends with the way that they go: "1.7 to 4.9 % harder", and where they
// part "1.2 % easier to 3 % harder".
func (s *Sizes) Between(low, high float64) string {
	switch a, b := s.Way(low), s.Way(high); {
	case math.IsInf(high, 1) && !math.IsInf(low, 0): // which is no size
		return s.Compared(low) + " to " + NoBreak(s.Plain(high))
	case a >= 0 && b > 0:
		return NoBreak(Interval(s.Plain(low), s.Plain(high))) + " " + s.More
	case a < 0 && b <= 0:
		return NoBreak(Interval(s.Plain(high), s.Plain(low))) + " " + s.Less
	}
	return Interval(s.Compared(low), s.Compared(high))
}

// Plainly writes what one unit is worth without a sign: "2.1 % harder", "no change".
func (s *Sizes) Plainly(percent float64, decimals int) string {
	if math.Abs(percent) < 0.05 {
		return "no change"
	}
	return Percent(math.Abs(percent)/100, decimals) + " " + Way(percent, s.More, s.Less)
}
