package said

import (
	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// ClaimSizes are the words for the effects of a claim.
type ClaimSizes struct{ words.Sizes }

// SizesOf are those of a claim's effects, in the unit of its draws.
func SizesOf(c *claim.Claim, m hold.Model) ClaimSizes {
	s := ClaimSizes{words.SizesOf(c.Demand, m)}
	own, usual := c.Threshold(), claim.DefaultMatters(c.Demand)
	if own.Share == 0 {
		s.Signed = words.DemandOf(c.Demand, m).Signed
	}
	_, factor := outcome.UnitOf(c)
	in := func(t claim.Threshold) float64 { return 100*t.Share + factor*t.Absolute }
	s.Little = in(own)
	if (own.Share > 0) == (usual.Share > 0) {
		s.Little = min(s.Little, in(usual))
	}
	s.Little /= 2
	return s
}

// Span writes the ends of a summary: without signs where both go the way that is told of
// its middle, "1.7 to 4.9 %".
func (s *ClaimSizes) Span(e outcome.Summary) string {
	low, middle, high := Val(e.P5), Val(e.P50), Val(e.P95)
	text := words.Interval(s.Signed(low), s.Signed(high))
	switch told := e.P5 != nil && e.P95 != nil; {
	case told && s.Way(middle) > 0 && s.Way(low) >= 0:
		text = words.Interval(s.Plain(low), s.Plain(high))
	case told && s.Way(middle) < 0 && s.Way(high) <= 0:
		text = words.Interval(s.Plain(high), s.Plain(low))
	}
	return words.NoBreak(text)
}

// open says, in brackets, how far what nobody has measured leaves an effect open; it is empty
// where nothing of the kind was drawn, or its digits do not move.
func (s *ClaimSizes) open(e outcome.Summary) string {
	if e.P5 != nil && e.P95 != nil && s.Signed(*e.P5) == s.Signed(*e.P95) {
		return ""
	}
	return " (" + s.Span(e) + " over what nobody has measured)"
}

// spread writes the middle of a summary with its ends.
func (s *ClaimSizes) spread(e outcome.Summary) string {
	return words.NoBreak(spread(s.Signed, e))
}

// forMost says which way the quantity moves for the median body, by the median over the
// draws, what nobody has measured leaves open of it, asSaid, and apart from that how people
// differ.
func (s *ClaimSizes) forMost(d *outcome.Draws, asSaid string) string {
	if d.InUnit.P50 == nil {
		return incomparable(s.Noun)
	}
	return "for the median body " + s.Moves(*d.InUnit.P50) + s.open(d.InUnit) + asSaid + "; nine in ten people: " + s.Span(d.PeopleInUnit)
}

// asSaid adds the median effect in the unit in which a saying promises its size, where
// that is another than the one in which effects are told.
func asSaid(c *claim.Claim, m hold.Model, d *outcome.Draws) string {
	said := c.Claimed
	if said == nil || said.Share == (c.Threshold().Share > 0) || d.Effect.P50 == nil {
		return ""
	}
	in, effect := ClaimSizes{words.SizesOf(c.Demand, m)}, d.Percent
	if !said.Share {
		in.Signed, effect = words.DemandOf(c.Demand, m).Signed, d.Effect
	}
	return ", that is " + words.NoBreak(in.Plain(*effect.P50)) + " (" + in.Span(effect) + ")"
}

func incomparable(noun string) string {
	return noun + " cannot be compared for the median body: most can take the posture only before the change or only after it"
}
