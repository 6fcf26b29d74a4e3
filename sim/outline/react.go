package outline

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
)

// The most unknown forces, and equations, that an outline can have: of each support two
// and one, of hands that are told apart as two; besides, three of statics, and how hands
// share.
const (
	mostSupports = 4
	mostUnknowns = 2 * (mostSupports + 1)
	mostRules    = 3 + (mostSupports + 1) + 1
)

// unknown is one force that a support passes on.
type unknown struct {
	contact int  // of compiled.contacts
	across  bool // level, else upright; a cable's is neither
}

// contact is one place where the outside acts on the body.
type contact struct {
	*Support
	index int // of Outline.Supports
	at    Point
	side  int // of hands apart: 0 or 1; -1 both, alike
	first int // of its unknowns
	count int
	passing
}

// passing is what of a force at a point passes each arm and each leg, 0, ½ or 1; and whether
// it acts on hands, beyond the wrists, and beyond the waist.
type passing struct {
	arms, legs    [2]float64
	onHand, waist bool
}

// passing is that of a force at a point.
func (c *compiled) passing(p Point) passing {
	of := passing{onHand: p == Hands || isHand(p)}
	switch p {
	case FirstHand:
		of.arms = [2]float64{1, 0}
	case OtherHand:
		of.arms = [2]float64{0, 1}
	case Hands, Forearms, Elbows:
		of.arms = [2]float64{0.5, 0.5}
		if c.OneArm {
			of.arms = [2]float64{1, 0}
		}
	case Hips, WaistPoint:
		of.waist = true
	case Knees, Heels, Balls:
		of.waist, of.legs = true, [2]float64{0.5, 0.5}
	case FirstFoot:
		of.waist, of.legs = true, [2]float64{1, 0}
	}
	return of
}

// through is what passes a cut of a side.
func (p *passing) through(at cut, side int) float64 {
	switch {
	case at == atHips:
		return p.legs[side]
	case at == atWaist && p.waist:
		return 1
	case at == atWaist, at == atWrist && !p.onHand:
		return 0
	}
	return p.arms[side]
}

// system is the balance of one placed body: unknown forces, BW, with those the rules of
// statics and of the outline.
type system struct {
	at      [mostUnknowns]statics.Vec // where each acts
	along   [mostUnknowns]statics.Vec // of length 1
	rows    [mostRules][mostUnknowns + 1]float64
	n, m    int
	value   [mostUnknowns]float64 // at an open force of 0
	slope   [mostUnknowns]float64 // by the open force
	used    [mostUnknowns]int     // the row that gives it, plus 1
	forces  statics.Vec           // known ones, BW
	turning float64               // their moment about the shoulders' middle
}

// balance fills s with the equations of a placed body and solves them. It reports
// whether there is a solution.
func (c *compiled) balance(s *system, pl *placed, b *body.Columns, i int, a *assume.Set) bool {
	s.n, s.m = len(c.unknowns), 3+c.rules
	for k := range s.rows[:s.m] {
		s.rows[k] = [mostUnknowns + 1]float64{}
	}
	s.forces, s.turning = c.known(pl, b, i, a)
	rule := 3
	for k := range c.contacts {
		of := &c.contacts[k]
		at := c.point(pl, of.at, b, i, a)
		if of.side == 1 {
			at = c.point(pl, OtherHand, b, i, a)
		}
		u := of.first
		for j := range of.count {
			s.at[u+j] = at
			s.along[u+j] = statics.Vec{Y: 1}
			if c.unknowns[u+j].across {
				s.along[u+j] = statics.Vec{X: 1}
			}
		}
		switch {
		case of.On == Rings && c.View == Front:
			s.along[u] = cable(of.Support, at)
		case of.On == Wall:
			s.along[u] = statics.Vec{X: -c.wall}
		}
		switch {
		case of.Leans != nil:
			// Towards the shoulders' middle, from which all is measured.
			s.rows[rule][u+1] = 1
			s.rows[rule][u] = -of.Leans.Of(a) * at.X / at.Y
			rule++
		case of.Rubs != nil:
			s.rows[rule][u+1] = 1
			s.rows[rule][u] = -of.Rubs.Of(a)
			rule++
		}
	}
	if c.shares {
		share := c.firstShare()
		first, other := c.contacts[c.pair[0]].first, c.contacts[c.pair[1]].first
		s.rows[rule][first], s.rows[rule][other] = 1-share, -share
	}
	for u := range s.n {
		s.rows[0][u], s.rows[1][u], s.rows[2][u] = s.along[u].X, s.along[u].Y, s.at[u].Cross(s.along[u])
	}
	s.rows[0][s.n] = -s.forces.X
	s.rows[1][s.n] = c.carried(b, i) - s.forces.Y
	s.rows[2][s.n] = pl.weight - s.turning
	return s.solve(c.open)
}

// firstShare is what the first hand has of the weight of both, where a rule says so.
func (c *compiled) firstShare() float64 {
	if c.Sharing == Given {
		return c.Share
	}
	return 0.5
}

// known are the known forces on a body together, BW, and their moment about the middle of
// the shoulders.
func (c *compiled) known(pl *placed, b *body.Columns, i int, a *assume.Set) (forces statics.Vec, turning float64) {
	weight := b.Mass[i] * b.Weight(i) * statics.StandardGravity
	for k := range c.Forces {
		f := c.forces[k].Times(1 / weight)
		forces = forces.Plus(f)
		turning += c.point(pl, c.Forces[k].At, b, i, a).Cross(f)
	}
	return forces, turning
}

// carried is the share of its weight that the body's supports carry: not that of lower
// legs which lie on the floor.
func (c *compiled) carried(b *body.Columns, i int) float64 {
	if c.kneels {
		return 1 - float64(2*(b.ShankShare[i]+b.FootShare[i]))
	}
	return 1
}

// solve eliminates, and leaves the open unknown, if any, to the last.
func (s *system) solve(open int) bool {
	n, m := s.n, s.m
	s.used = [mostUnknowns]int{}
	var taken [mostRules]bool
	largest := 0.0
	for k := range m {
		for u := range n {
			largest = max(largest, math.Abs(s.rows[k][u]))
		}
	}
	const none = 1e-9
	for range n {
		row, column, best := -1, -1, none*max(largest, 1)
		for k := range m {
			if taken[k] {
				continue
			}
			for u := range n {
				if s.used[u] != 0 || u == open {
					continue
				}
				if v := math.Abs(s.rows[k][u]); v > best {
					row, column, best = k, u, v
				}
			}
		}
		if row < 0 {
			break
		}
		taken[row], s.used[column] = true, row+1
		pivot := 1 / s.rows[row][column]
		for u := range n + 1 {
			s.rows[row][u] *= pivot
		}
		for k := range m {
			if factor := s.rows[k][column]; k != row && factor != 0 {
				for u := range n + 1 {
					s.rows[k][u] -= float64(factor * s.rows[row][u])
				}
			}
		}
	}
	for k := range m { // what is left must say 0 = 0
		if taken[k] {
			continue
		}
		if !(math.Abs(s.rows[k][n]) <= 1e-9*max(largest, 1)) || open >= 0 && math.Abs(s.rows[k][open]) > none*max(largest, 1) {
			return false
		}
	}
	for u := range n {
		switch {
		case u == open:
			s.value[u], s.slope[u] = 0, 1
		case s.used[u] == 0:
			return false
		default:
			row := &s.rows[s.used[u]-1]
			s.value[u], s.slope[u] = row[n], 0
			if open >= 0 {
				s.slope[u] = -row[open]
			}
		}
	}
	return true
}

// line is at + rise·t, of the open force t.
type line struct{ at, rise float64 }

func (l line) value(t float64) float64 { return l.at + float64(l.rise*t) }

// force returns what a contact gives the body, as its parts at an open force of 0 and by
// the open force.
func (s *system) force(of *contact) (at, by statics.Vec) {
	for u := of.first; u < of.first+of.count; u++ {
		at = at.Plus(s.along[u].Times(s.value[u]))
		by = by.Plus(s.along[u].Times(s.slope[u]))
	}
	return at, by
}

// cable is the direction in which a ring's cable pulls a hand, which is beside the middle
// between the rings as the rings are; NaN where it is too short to reach.
func cable(of *Support, hand statics.Vec) statics.Vec {
	out := float64(of.Apart/2) - math.Abs(hand.X)
	return statics.Vec{X: math.Copysign(1, hand.X) * out, Y: math.Sqrt(float64(of.Cable*of.Cable) - float64(out*out))}.Times(1 / of.Cable)
}
