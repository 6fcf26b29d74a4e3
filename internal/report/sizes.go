package report

import (
	"math"
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// sizes are the words for effects on a demand in one unit: with their signs, and without.
type sizes struct {
	signed     func(float64) string
	noun       string
	less, more string
	hard       bool    // whether it is how hard a hold is
	little     float64 // below which nobody notices anything
}

// sizesOf are those of a claim's effects, in the unit of its draws.
func sizesOf(c *claim.Claim, m hold.Model) sizes {
	s := wordsOf(c.Demand, m)
	own, usual := c.Threshold(), claim.DefaultMatters(c.Demand)
	if own.Share == 0 {
		s.signed = words.DemandOf(c.Demand, m).Signed
	}
	_, factor := outcome.UnitOf(c)
	in := func(t claim.Threshold) float64 { return float64(100*t.Share) + float64(factor*t.Absolute) }
	s.little = in(own)
	if (own.Share > 0) == (usual.Share > 0) {
		s.little = min(s.little, in(usual))
	}
	s.little /= 2
	return s
}

// wordsOf are those of effects in per cent of the baseline.
func wordsOf(d hold.Demand, m hold.Model) sizes {
	less, more := words.Ways(d)
	return sizes{signed: words.SignedEffect, noun: words.Noun(d, m), less: less, more: more, hard: d == hold.Difficulty, little: 0.5}
}

// way is the direction of an effect of which something is left in its digits.
func (s *sizes) way(x float64) int {
	switch {
	case s.signed(x) == s.signed(0):
		return 0
	case x < 0:
		return -1
	}
	return 1
}

// plain writes a size.
func (s *sizes) plain(x float64) string {
	if s.way(x) < 0 {
		x = -x
	}
	return strings.TrimPrefix(s.signed(x), "+")
}

// compared says how much more or less: "3.4 % harder".
func (s *sizes) compared(x float64) string {
	switch s.way(x) {
	case 0:
		return "no change"
	case 1:
		return words.NoBreak(s.plain(x)) + " " + s.more
	}
	return words.NoBreak(s.plain(x)) + " " + s.less
}

// moves says what the quantity does: "the waist moment falls by 3.4 %", "it gets 3.4 %
// harder".
func (s *sizes) moves(x float64) string {
	if s.hard {
		return "it " + s.does(x)
	}
	return s.noun + " " + s.does(x)
}

// does is moves behind the name of the quantity, or of the hold.
func (s *sizes) does(x float64) string {
	switch {
	case s.way(x) == 0:
		return "hardly changes"
	case math.Abs(x) < s.little:
		return "hardly changes, " + words.NoBreak(s.signed(x))
	case s.hard:
		return "gets " + s.compared(x)
	}
	return words.Way(x, "rises", "falls") + " by " + words.NoBreak(s.plain(x))
}

// span writes the ends of a summary: without signs where both go the way that is told of
// its middle, "1.7 to 4.9 %".
func (s *sizes) span(e outcome.Summary) string {
	low, middle, high := val(e.P5), val(e.P50), val(e.P95)
	text := words.Interval(s.signed(low), s.signed(high))
	switch told := e.P5 != nil && e.P95 != nil; {
	case told && s.way(middle) > 0 && s.way(low) >= 0:
		text = words.Interval(s.plain(low), s.plain(high))
	case told && s.way(middle) < 0 && s.way(high) <= 0:
		text = words.Interval(s.plain(high), s.plain(low))
	}
	return words.NoBreak(text)
}

// between writes two ends with the way that they go: "1.7 to 4.9 % harder", and where they
// part "1.2 % easier to 3 % harder".
func (s *sizes) between(low, high float64) string {
	switch a, b := s.way(low), s.way(high); {
	case a >= 0 && b > 0:
		return words.NoBreak(words.Interval(s.plain(low), s.plain(high))) + " " + s.more
	case a < 0 && b <= 0:
		return words.NoBreak(words.Interval(s.plain(high), s.plain(low))) + " " + s.less
	}
	return words.Interval(s.compared(low), s.compared(high))
}

// open says, in brackets, how far what nobody has measured leaves an effect open; it is empty
// where nothing of the kind was drawn, or its digits do not move.
func (s *sizes) open(e outcome.Summary) string {
	if e.P5 != nil && e.P95 != nil && s.signed(*e.P5) == s.signed(*e.P95) {
		return ""
	}
	return " (" + s.span(e) + " over what nobody has measured)"
}

// spread writes the middle of a summary with its ends.
func (s *sizes) spread(e outcome.Summary) string {
	return words.NoBreak(spread(s.signed, e))
}

// forMost says which way the quantity moves for the median body, by the median over the
// draws, what nobody has measured leaves open of it, asSaid, and apart from that how people
// differ.
func (s *sizes) forMost(d *outcome.Draws, asSaid string) string {
	if d.InUnit.P50 == nil {
		return incomparable(s.noun)
	}
	return "for the median body " + s.moves(*d.InUnit.P50) + s.open(d.InUnit) + asSaid + "; nine in ten people: " + s.span(d.PeopleInUnit)
}

// asSaid adds the median effect in the unit in which a saying promises its size, where
// that is another than the one in which effects are told.
func asSaid(c *claim.Claim, m hold.Model, d *outcome.Draws) string {
	said := c.Claimed
	if said == nil || said.Share == (c.Threshold().Share > 0) || d.Effect.P50 == nil {
		return ""
	}
	in, effect := wordsOf(c.Demand, m), d.Percent
	if !said.Share {
		in.signed, effect = words.DemandOf(c.Demand, m).Signed, d.Effect
	}
	return ", that is " + words.NoBreak(in.plain(*effect.P50)) + " (" + in.span(effect) + ")"
}

func incomparable(noun string) string {
	return noun + " cannot be compared for the median body: most can take the posture only before the change or only after it"
}
