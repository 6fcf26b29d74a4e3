package claim

import (
	"math"

	"counterpoise/sim/hold"
)

// Threshold is the smallest effect that matters: an absolute size in the
// quantity's own unit, or a share of each body's baseline. Exactly one is set; none
// where the quantity's default applies.
type Threshold struct {
	Absolute float64
	Share    float64
}

// Of returns the threshold for a baseline value, in the quantity's unit. A share
// of nothing is still more than rounding.
func (t Threshold) Of(baseline float64) float64 {
	return max(t.Absolute+t.Share*math.Abs(baseline), rounding)
}

// The smallest effects that anybody would notice: common practice, no source. A spring
// balance, a tape and a protractor in a gym show no less.
const (
	noticedShare  = 0.01          // of the baseline
	noticedForce  = 0.01          // BW, or BW·m
	noticedLength = 0.01          // m
	noticedAngle  = math.Pi / 180 // rad
)

// DefaultMatters is the smallest change of a demand that anybody would notice: one
// degree of an angle, a centimetre of a length, else one per cent of each body's
// baseline. A force or a moment whose sign says something may pass through nothing,
// and a share of nothing is nothing: of those it is one per cent of the body weight.
func DefaultMatters(d hold.Demand) Threshold {
	switch {
	case d == nil:
		return Threshold{}
	case d.Unit == "rad":
		return Threshold{Absolute: noticedAngle}
	case d.Unit == "m":
		return Threshold{Absolute: noticedLength}
	case d.Signed && d.Unit != "":
		return Threshold{Absolute: noticedForce}
	}
	return Threshold{Share: noticedShare}
}

// Threshold is the smallest effect that matters of the claim: its own, else the
// default of its quantity.
func (c *Claim) Threshold() Threshold {
	if c.Matters == (Threshold{}) {
		return DefaultMatters(c.Demand)
	}
	return c.Matters
}

// Claimed is the size that a saying promises, in the expected direction, and the range
// that still counts as said. It is never the threshold of what matters.
type Claimed struct {
	Share            bool // of each body's baseline; else in the quantity's own unit
	Value, Low, High float64
}

// asSaid is how far from the size that it promises a saying may be and still be true:
// a quarter of it either way. "Half" is then from three eighths to five eighths.
const asSaid = 0.25

// ClaimedAbout returns a promised size with the range that counts as said where the
// claim names no other.
func ClaimedAbout(value float64, share bool) *Claimed {
	return &Claimed{Share: share, Value: value, Low: (1 - asSaid) * value, High: (1 + asSaid) * value}
}

// checkSizes checks what matters and what is promised.
func (c *Claim) checkSizes(fail func(field string, found any, format string, args ...any)) {
	t := c.Matters
	own := t != Threshold{}
	switch {
	case own && ((t.Absolute > 0) == (t.Share > 0) || t.Absolute < 0 || t.Share < 0 || !finite(t.Absolute, t.Share)):
		fail("matters", t, "the smallest effect that matters must be positive")
	case !own && c.Because != "":
		fail("matters_because", nil, "says why matters has its size, and matters is left out: it is the default of the quantity")
	}
	said := c.Claimed
	if said == nil {
		return
	}
	switch {
	case !finite(said.Value, said.Low, said.High) || !(said.Value > 0):
		fail("claimed", said.Value, "the size that a saying promises must be positive: in which direction, says expect")
	case !(said.Low > 0 && said.Low <= said.Value && said.Value <= said.High):
		fail("within", *said, "the range that counts as said must be positive and hold the size that is claimed")
	case c.Expect == None:
		fail("claimed", said.Value, "a saying that nothing changes promises no size, leave this out")
	case said.Share && said.Value > 1 && c.Expect == Decrease && c.Demand != nil && !c.Demand.Signed:
		fail("claimed", said.Value, "nothing falls by more than 100 %% of what it was")
	default:
		if t := c.Threshold(); said.Share && said.Value < t.Share || !said.Share && said.Value < t.Absolute {
			fail("claimed", said.Value, "is less than the smallest effect that matters")
		}
	}
}

func finite(values ...float64) bool {
	for _, x := range values {
		if math.IsInf(x, 0) || math.IsNaN(x) {
			return false
		}
	}
	return true
}
