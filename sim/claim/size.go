package claim

import (
	"errors"

	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
)

// The smallest effects that anybody would notice: common practice, no source. A spring
// balance, a tape and a protractor in a gym show no less.
const (
	noticedShare  = 0.01              // of the baseline
	noticedForce  = 0.01              // BW, or BW·m
	noticedLength = 0.01              // m
	noticedAngle  = 2 * math.Pi / 360 // rad, the 360th part of a turn
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

// inPercent reports whether effects are told in per cent of the baseline, as what
// matters is a share of it; else they are in the demand's own unit.
func (c *Claim) inPercent() bool { return c.Threshold().Share > 0 }

// mostPromised is more than anybody promises, or calls the least that matters, of a share,
// a force, a moment or a ratio, and mostClaimed of other units.
const mostPromised = 10

var mostClaimed = map[string]float64{"m": 3, "rad": math.Pi}

// claimable is what a saying can promise: no less than matters, and where it says that
// a quantity falls, no more of it than there is.
func (c *Claim) claimable() fault.Bounds {
	t := c.Threshold()
	b := fault.Bounds{Least: t.Absolute, Most: mostPromised, Unit: "share"}
	switch falls := c.Expect == Decrease && !(c.Demand != nil && c.Demand.Signed); {
	case c.Claimed.Share && falls:
		b.Least, b.Most = t.Share, 1
	case c.Claimed.Share:
		b.Least = t.Share
	case c.Demand != nil:
		b.Unit = c.Demand.Unit
		if most, ok := mostClaimed[b.Unit]; ok {
			b.Most = most
		}
	}
	return b
}

// checkSizes returns what is wrong with what matters and with what is promised.
func (c *Claim) checkSizes() error {
	var wrong fault.List
	switch t := c.Matters; {
	case t == Threshold{} && c.Because != "":
		wrong.Fail("matters_because", nil, "explains the size of matters, but matters is left out and has the quantity's default")
	case t != Threshold{} &&
		((t.Absolute > 0) == (t.Share > 0) || t.Absolute < 0 || t.Share < 0 || !math.Finite(t.Absolute+t.Share)):
		wrong.Fail("matters", t, "the smallest effect that matters must be positive")
	case t != Threshold{}:
		most := fault.Bounds{Most: 1, Unit: "share"}
		x := t.Share
		if t.Absolute > 0 {
			most, x = fault.Bounds{Most: mostPromised}, t.Absolute
			if c.Demand != nil {
				most.Unit = c.Demand.Unit
			}
			if of, ok := mostClaimed[most.Unit]; ok {
				most.Most = of
			}
		}
		wrong = append(wrong, most.Check("matters", x))
	}
	said := c.Claimed
	if said == nil {
		return errors.Join(wrong...)
	}
	if c.Expect == None {
		return errors.Join(append(wrong, fault.New("claimed", said.Value, "a saying that nothing changes promises no size, leave this out"))...)
	}
	can := c.claimable()
	if said.Value == 0 {
		return errors.Join(append(wrong, fault.New("claimed", said.Value, "the size that a saying promises must be positive, found 0"))...)
	}
	if err := can.Check("claimed", said.Value); err != nil {
		return errors.Join(append(wrong, err)...)
	}
	low := fault.Bounds{Least: 0, Most: said.Value, Unit: can.Unit}
	high := fault.Bounds{Least: said.Value, Most: 2 * can.Most, Unit: can.Unit}
	return errors.Join(append(wrong, low.Check("within", said.Low), high.Check("within", said.High))...)
}
