package outline

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
)

// study is what holding up a block of bodies needs, made once a block.
type study struct {
	*compiled
	stance   stance
	b        *body.Columns
	capacity *hold.Capacity
	a        *assume.Set
	posture  hold.Posture
	chooses  [hold.MaxUses]bool // the uses by which a posture is chosen
	all      [hold.MaxUses]bool
	posed    posed
	lines    lines
	per      [2*hold.MaxUses + 1]line // n lines over capacities, of the uses that decide, and 0
	n        int

	least, most float64 // of the open force
	pins        bool    // whether the open force is pinned by an assumption, and to what
	pinned      float64
}

func (c *compiled) study(b *body.Columns, capacity *hold.Capacity, p hold.Posture, a *assume.Set) *study {
	s, kept := c.pool.Get().(*study)
	if !kept {
		s = &study{}
	}
	*s = study{compiled: c, stance: c.stands(p, a), b: b, capacity: capacity, a: a, posture: p}
	for k := range c.muscle {
		u := &c.muscle[k]
		s.chooses[k], s.all[k] = !u.Reported && !c.idle[k] && u.Unknown(p) == "", true
	}
	if open := c.open; open >= 0 && c.paired && c.unknowns[open].contact == c.pair[0] && !c.unknowns[open].across {
		s.pinned, s.pins = a.Pinned(assume.TopShare)
	}
	return s
}

// hold holds body i up, and reports whether it can take the posture.
func (s *study) hold(i int) bool {
	free, ok := s.freeAngle(i)
	if !ok {
		return false
	}
	if _, _, ok = s.peak(i, free); ok {
		s.ask(&s.lines, &s.all, &s.posed, &s.stance, s.b, i, s.a)
	}
	return ok
}

// at places and balances body i at a free angle.
func (s *study) at(i int, free float64) bool {
	s.posed.free, s.posed.open = free, 0
	s.place(&s.posed.placed, &s.stance, s.b, i, free, s.a)
	return s.balance(&s.posed.system, &s.posed.placed, s.b, i, s.a)
}

// peak places body i at a free angle, gives the open force the value at which the largest
// use is smallest, and returns that use and what decides it. It reports whether the
// supports can bear that.
func (s *study) peak(i int, free float64) (float64, piece, bool) {
	if !s.uses(i, free) || s.least > s.most {
		return 0, piece{}, false
	}
	per := s.per[:s.n]
	if s.open < 0 {
		on := top(per, 0)
		return s.of(piece{on, single}), piece{on, single}, true
	}
	t, p := lowest(per, s.least, s.most)
	s.posed.open = t
	return s.of(p), p, !math.IsInf(t, 0) && !math.IsNaN(t)
}

// uses places body i at a free angle, and finds what its muscles are asked for over what
// they can give, and how far the open force can go.
func (s *study) uses(i int, free float64) bool {
	if !s.at(i, free) || !s.bounds() {
		return false
	}
	s.ask(&s.lines, &s.chooses, &s.posed, &s.stance, s.b, i, s.a)
	s.per[0], s.n = line{}, 1 // nothing is less than none
	for k := range s.lines.n {
		use := s.lines.of[k]
		g := s.muscle[use].Group
		can := s.capacity.Of[g][i] * s.capacity.Curve[g].At(s.lines.angle[k])
		s.per[s.n] = line{s.lines.line[k].at / can, s.lines.line[k].rise / can}
		s.n++
	}
	return true
}

// bounds is the range of the open force in which no support has to do what it cannot: a
// floor to pull, a wall to pull, a ring's cable to push, a hand on a pole to push down while the other lifts more
// than the weight.
func (s *study) bounds() (ok bool) {
	least, most := math.Inf(-1), math.Inf(1)
	const rounding = 1e-9
	above := func(value, slope, bound float64) bool { // value + slope·t ≥ bound
		switch {
		case math.Abs(slope) < rounding:
			return value >= bound-rounding
		case slope > 0:
			least = max(least, (bound-value)/slope)
		default:
			most = min(most, (bound-value)/slope)
		}
		return true
	}
	ok = true
	for k := range s.contacts {
		of := &s.contacts[k]
		u := of.first
		switch of.On {
		case Floor, Bench, Wall, Rings:
			ok = ok && above(s.posed.value[u], s.posed.slope[u], 0)
		case Pole:
			if s.paired {
				ok = ok && above(s.posed.value[u], s.posed.slope[u], 0)
			}
		}
	}
	if s.pins {
		least, most = s.pinned, s.pinned
	}
	s.least, s.most = least, most
	return ok
}

// piece is what decides the largest use: two lines that meet there, or a single one where
// the open force can go no farther, or where none is open.
type piece struct{ line, other int8 }

const (
	single  = -1 // no force is open
	atLeast = -2 // at its least
	atMost  = -3
)

// of returns the value of a piece of the body that is placed, and gives the open force what
// the piece does.
func (s *study) of(p piece) float64 {
	l := s.per[p.line]
	switch p.other {
	case single:
		return l.at
	case atLeast:
		s.posed.open = s.least
	case atMost:
		s.posed.open = s.most
	default:
		o := s.per[p.other]
		s.posed.open = (o.at - l.at) / (l.rise - o.rise)
		return (float64(l.rise*o.at) - float64(o.rise*l.at)) / (l.rise - o.rise)
	}
	return l.value(s.posed.open)
}

// top returns the largest of lines at t.
func top(lines []line, t float64) int8 {
	on, over := 0, math.Inf(-1)
	for k := range lines {
		if v := lines[k].value(t); v > over {
			on, over = k, v
		}
	}
	return int8(on)
}

// lowest returns where within least..most the largest of lines is smallest, and what
// decides it. Two lines that meet on top with slopes to either side are a minimum; until
// they are found, the higher line at their meeting takes the place of the one that slopes
// its way.
func lowest(lines []line, least, most float64) (t float64, p piece) {
	falls, rises := end(lines, least, -1), end(lines, most, 1)
	if lines[falls].rise >= 0 {
		return least, piece{falls, atLeast}
	}
	if lines[rises].rise <= 0 {
		return most, piece{rises, atMost}
	}
	for range 2 * len(lines) {
		f, r := &lines[falls], &lines[rises]
		t = (r.at - f.at) / (f.rise - r.rise)
		level := f.value(t)
		const rounding = 1e-13
		on, over := int8(-1), level+float64(rounding*math.Abs(level))
		for k := range lines {
			if v := lines[k].value(t); v > over {
				on, over = int8(k), v
			}
		}
		switch {
		case on < 0:
			return t, piece{falls, rises}
		case lines[on].rise < 0:
			falls = on
		default:
			rises = on
		}
	}
	return t, piece{falls, rises}
}

// end returns the line on top at an end of a range, which may be infinite, whose way out
// is −1 or 1.
func end(lines []line, t, way float64) int8 {
	best := 0
	for k, l := range lines {
		b := lines[best]
		v, w := l.value(t), b.value(t)
		if math.IsInf(t, 0) {
			v, w = way*l.rise, way*b.rise
		}
		// Of two alike, the one that is lower farther in.
		if v > w || v == w && way*l.rise > way*b.rise {
			best = k
		}
	}
	return int8(best)
}

// freeAngle finds the free angle of body i, and reports whether there is one.
func (s *study) freeAngle(i int) (float64, bool) {
	f := s.Free
	if f == nil {
		return 0, true
	}
	switch {
	case s.posture.Rule == hold.GivenAngle:
		return s.find(i, s.posture.Angle[i], s.armAngle)
	case s.posture.Rule == hold.GivenSpacing:
		return s.find(i, s.posture.Spacing[i], s.spacing)
	case f.By == Least:
		return s.best(i)
	case f.By == Balance:
		return swingOf(func(free float64) float64 { return s.unbalanced(i, free) }).root(0, f.From, f.To)
	}
	return swingOf(func(free float64) float64 {
		s.place(&s.posed.placed, &s.stance, s.b, i, free, s.a)
		v := s.point(&s.posed.placed, f.Of, s.b, i, s.a).Minus(s.point(&s.posed.placed, f.Over, s.b, i, s.a))
		if f.By == Higher {
			return v.Y
		}
		return v.X
	}).root(f.Value, f.From, f.To)
}

// unbalanced is the moment that is left about the one place that carries a body.
func (s *study) unbalanced(i int, free float64) float64 {
	s.place(&s.posed.placed, &s.stance, s.b, i, free, s.a)
	forces, turning := s.known(&s.posed.placed, s.b, i, s.a)
	at := s.point(&s.posed.placed, s.contacts[0].at, s.b, i, s.a)
	force := statics.Vec{X: -forces.X, Y: s.carried(s.b, i) - forces.Y}
	return s.posed.weight - turning - at.Cross(force)
}

// armAngle is the angle of the arms with an upright pole.
func (s *study) armAngle() float64 {
	sum := 0.0
	for side := range 2 {
		sum += math.Abs(s.alongArm(&s.posed, side).X)
	}
	return math.Asin(math.Min(1, sum/2))
}

func (s *study) spacing() float64 { return s.posed.hand[0].Minus(s.posed.hand[1]).Length() }

// find returns the free angle at which something that grows or falls with it all the way
// has a value.
func (s *study) find(i int, value float64, of func() float64) (float64, bool) {
	at := func(free float64) float64 {
		s.place(&s.posed.placed, &s.stance, s.b, i, free, s.a)
		return of() - value
	}
	low, high := s.Free.From, s.Free.To
	atLow, atHigh := at(low), at(high)
	const rounding = 1e-9
	switch {
	case math.Abs(atLow) <= rounding:
		return low, true
	case math.Abs(atHigh) <= rounding:
		return high, true
	case !(atLow*atHigh < 0):
		return 0, false
	}
	return between(low, high, at), true
}

// grid is how finely the range of a free angle is searched before a dip is refined.
const grid = 15

// best returns the free angle at which the largest use is smallest: the lowest of the dips
// of a grid.
func (s *study) best(i int) (float64, bool) {
	var at, height [grid]float64
	for k := range at {
		at[k] = s.Free.From + (s.Free.To-s.Free.From)*float64(k)/(grid-1)
		var ok bool
		if height[k], _, ok = s.peak(i, at[k]); !ok {
			height[k] = math.Inf(1)
		}
	}
	best, lowest := 0.0, math.Inf(1)
	for k := range at {
		before, after := max(k-1, 0), min(k+1, grid-1)
		if math.IsInf(height[k], 1) || height[k] > height[before] || height[k] > height[after] {
			continue
		}
		if math.IsInf(height[before], 1) {
			before = k
		}
		if math.IsInf(height[after], 1) {
			after = k
		}
		if x, v := s.refine(i, at[before], at[after]); v < lowest {
			best, lowest = x, v
		}
	}
	return best, !math.IsInf(lowest, 1)
}

// refine returns the lowest point of a dip between low and high, and its value. What
// decides at low falls, what decides at high grows: the lowest point is where the two
// meet, or where one of them is level, unless something else is larger there, which then
// takes the place of one of them.
func (s *study) refine(i int, low, high float64) (x, value float64) {
	lowValue, falls, _ := s.peak(i, low)
	highValue, grows, _ := s.peak(i, high)
	if s.slope(i, low, falls) >= 0 {
		return low, lowValue
	}
	if s.slope(i, high, grows) <= 0 {
		return high, highValue
	}
	for range 40 {
		if falls == grows {
			x = s.level(i, low, high, falls)
		} else {
			x = s.meeting(i, low, high, falls, grows)
		}
		var on piece
		var ok bool
		if value, on, ok = s.peak(i, x); !ok {
			return low, lowValue
		}
		if on != falls && on != grows && s.of(falls) >= value*(1-1e-12) {
			on = falls // to rounding
		}
		slope := s.slope(i, x, on)
		switch {
		case on == falls && on == grows:
			return x, value
		case on == falls || on == grows:
			// They meet on top: the lowest point, unless one has turned before.
			if down := s.slope(i, x, falls); down > 0 {
				high, grows = x, falls
			} else if up := s.slope(i, x, grows); up < 0 {
				low, falls = x, grows
			} else {
				return x, value
			}
		case slope < 0:
			low, falls = x, on
		default:
			high, grows = x, on
		}
		if high-low < 1e-14 {
			break
		}
	}
	return x, value
}

// pieceAt is the value of a piece at a free angle, whether or not it decides there.
func (s *study) pieceAt(i int, free float64, p piece) float64 {
	s.uses(i, free)
	return s.of(p)
}

// slope is that of a piece by the free angle. Pieces are smooth.
func (s *study) slope(i int, free float64, p piece) float64 {
	const step = 1e-5
	return (s.pieceAt(i, free+step, p) - s.pieceAt(i, free-step, p)) / (2 * step)
}

// meeting returns where two pieces are alike, between low, where the first is the larger,
// and high, where the second is.
func (s *study) meeting(i int, low, high float64, first, second piece) float64 {
	return between(low, high, func(x float64) float64 {
		v := s.pieceAt(i, x, first)
		return v - s.of(second)
	})
}

// level returns where a piece that falls at low and grows at high is level: where four
// points about it say so.
func (s *study) level(i int, low, high float64, p piece) float64 {
	const step = 1e-3
	return between(low, high, func(x float64) float64 {
		at := func(steps float64) float64 { return s.pieceAt(i, x+float64(steps*step), p) }
		return float64(8*(at(1)-at(-1))) - (at(2) - at(-2))
	})
}

// between returns a root of f between low and high, at which its signs differ, by secants
// that are halvings where they do not help.
func between(low, high float64, f func(x float64) float64) float64 {
	atLow, atHigh := f(low), f(high)
	side := 0
	for n := range 60 {
		x := low - atLow*(high-low)/(atHigh-atLow)
		if !(x > low && x < high) {
			x = low + float64((high-low)/2)
		}
		v := f(x)
		if v == 0 || high-low < 1e-14 || math.Abs(v) < 1e-14*max(math.Abs(atLow), math.Abs(atHigh)) && n > 3 {
			return x
		}
		// The end that stays counts half, so that it does not stay for long.
		if v*atLow > 0 {
			if side == 1 {
				atHigh /= 2
			}
			low, atLow, side = x, v, 1
		} else {
			if side == -1 {
				atLow /= 2
			}
			high, atHigh, side = x, v, -1
		}
		if math.Abs(v) < 1e-15 {
			return x
		}
	}
	return low + float64((high-low)/2)
}

// solve is the Solve of a compiled outline.
func (c *compiled) solve(out *hold.Result, b *body.Columns, capacity *hold.Capacity, p hold.Posture, a *assume.Set) {
	s := c.study(b, capacity, p, a)
	defer c.pool.Put(s)
	judge := hold.NewJudge(out, c.muscle, capacity, p, a)
	columns := c.columns(out)
	var asked [hold.MaxUses]hold.Asked
	var met [hold.MaxUses]bool
	for i := range b.Rows() {
		if !s.hold(i) {
			out.Refuse(i)
			continue
		}
		for k := range c.muscle {
			asked[k] = hold.Asked{}
		}
		met = [hold.MaxUses]bool{}
		for k := range s.lines.n {
			// Of a use's lines that one is asked which takes most of what is there at its angle.
			use := s.lines.of[k]
			of, curve := &asked[use], capacity.Curve[c.muscle[use].Group]
			more := hold.Asked{Demand: max(0, s.lines.line[k].value(s.posed.open)), Angle: s.lines.angle[k]}
			if !met[use] || more.Demand/curve.At(more.Angle) > of.Demand/curve.At(of.Angle) {
				*of, met[use] = more, true
			}
		}
		judge.Row(i, asked[:len(c.muscle)]...)
		s.fill(&columns, i)
	}
}
