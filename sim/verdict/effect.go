package verdict

import (
	"slices"

	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
)

// Direction is the way in which a claim says that its quantity moves.
type Direction int

// The directions.
const (
	Increase Direction = iota
	Decrease
	None // it is claimed not to move by as much as matters
	NumDirections
)

var directions = names.List[Direction]{"increase", "decrease", "none"}

// String returns the direction as written in files.
func (d Direction) String() string { return directions.Of(d) }

// MarshalText writes the direction's name.
func (d Direction) MarshalText() ([]byte, error) { return directions.Marshal(d) }

// UnmarshalText reads a direction's name.
func (d *Direction) UnmarshalText(text []byte) error { return directions.Unmarshal(d, text) }

// Threshold is the smallest effect that matters: an absolute size in the
// quantity's own unit, or a share of each body's baseline. Exactly one is set; none
// where the quantity's default applies.
type Threshold struct {
	Absolute float64
	Share    float64
}

// Of returns the threshold for a baseline value, in the quantity's unit. A share
// of nothing is still more than Rounding.
func (t Threshold) Of(baseline float64) float64 {
	return max(t.Absolute+float64(t.Share*math.Abs(baseline)), Rounding)
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

// About returns a promised size with the range that counts as said where the
// claim names no other.
func About(value float64, share bool) *Claimed {
	return &Claimed{Share: share, Value: value, Low: (1 - asSaid) * value, High: (1 + asSaid) * value}
}

// Size adds to a verdict, where it is supported, what the effect in the expected direction says
// of the size that was claimed, if one was; relative is the effect as a share of the baseline.
func (c *Claimed) Size(v Verdict, effect, relative float64) Verdict {
	if v != Supported || c == nil {
		return v
	}
	size := effect
	if c.Share {
		size = relative
	}
	switch {
	case size < c.Low:
		return LessThanSaid
	case size > c.High:
		return MoreThanSaid
	}
	return Supported
}

// Share is a share with an interval around it.
type Share struct {
	Value float64
	Low   float64
	High  float64
}

// ShareOf is k of n bodies with its 99 % Wilson interval.
func ShareOf(k, n int64) Share {
	if n == 0 {
		return Share{}
	}
	low, high := montecarlo.Wilson(k, n, BodiesConfidence)
	return Share{float64(k) / float64(n), low, high}
}

// Shares are the parts of the bodies whose effect, in the expected direction, is
// above what matters, within it, and below its negative. They add up to one, and are no
// numbers where nobody counts.
type Shares struct{ Plus, Zero, Minus float64 }

func (s *Shares) Add(o Shares, weight float64) {
	s.Plus += float64(weight * o.Plus)
	s.Zero += float64(weight * o.Zero)
	s.Minus += float64(weight * o.Minus)
}

func (s Shares) Over(total float64) Shares {
	return Shares{s.Plus / total, s.Zero / total, s.Minus / total}
}

// Claimed and Against are the shares of bodies for whom the claim and its opposite hold.
func (s Shares) Claimed(expect Direction) float64 {
	if expect == None {
		return s.Zero
	}
	return s.Plus
}

func (s Shares) Against(expect Direction) float64 {
	if expect == None {
		return s.Plus + s.Minus
	}
	return s.Minus
}

// BodiesConfidence is the confidence with which the interval around a share of bodies
// must exclude p before no more of them are held up.
const BodiesConfidence = 0.99

// Clear reports whether the interval around every share that the rule compares with p
// excludes p. Where nobody of the first counts, hardly anybody will.
func (c Counts) Clear(p float64, expect Direction) bool {
	total := c.Total()
	if total == 0 {
		return true
	}
	compared := []int64{c.Plus, c.Zero, c.Minus}
	if expect == None {
		compared = []int64{c.Zero, total - c.Zero}
	}
	return !slices.ContainsFunc(compared, func(k int64) bool {
		low, high := montecarlo.Wilson(k, total, BodiesConfidence)
		return low <= p && p <= high
	})
}

// Counts are bodies by the direction in which their effect matters, if it does.
type Counts struct{ Plus, Zero, Minus int64 }

func (c Counts) Shares() Shares {
	return Shares{float64(c.Plus), float64(c.Zero), float64(c.Minus)}.Over(float64(c.Total()))
}

func (c Counts) Total() int64 { return c.Plus + c.Zero + c.Minus }

// Count sorts one effect, already in the expected direction.
func (c *Counts) Count(effect, threshold float64) {
	switch {
	case effect > threshold:
		c.Plus++
	case effect < -threshold:
		c.Minus++
	default:
		c.Zero++
	}
}

// exactly is the largest effect, as a share of the baseline, that counts as
// exactly none, and Rounding the largest where the baseline itself is next to
// nothing: forces in body weights, angles in radians and lengths in metres come
// out of numbers of the order of one.
const (
	exactly  = 1e-9
	Rounding = 1e-14
)

// Moves reports whether an effect is more than Rounding.
func Moves(effect, before float64) bool {
	return !(math.Abs(effect) < max(exactly*math.Abs(before), Rounding))
}
