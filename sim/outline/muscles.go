package outline

import (
	"slices"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// straight is how far an elbow may be bent and still count as straight: its strength then
// does not decide, and the arm's push or pull does.
const straight = math.Pi / 36

// cut is a place of which muscles are asked.
type cut int

const (
	atShoulder cut = iota
	atElbow
	atWrist
	atWaist
	atHips
	ofGrip
	ofPush
)

// need is what a use asks of a limb: the part of a moment that turns one way, or of a
// force along an arm.
type need struct {
	at   cut
	side int     // 0 or 1
	sign float64 // of the moment in the sense of raising or bending; 0 is either way
}

// pushAcross says why the push along arms that leave the plane is not known.
const pushAcross = "the performer chooses how hard the hands push across the plane"

// muscles lists what the hold may ask of which muscles, whichever way its moments turn.
func (c *compiled) muscles() {
	add := func(n need, u hold.Use) {
		u.Load = c.loadOf(n, u.Group)
		u.AngleOf = c.angleOf(n, u.Group)
		index := len(c.muscle)
		told := u.Unknown
		u.Unknown = func(p hold.Posture) string {
			if told != nil {
				return told(p)
			}
			return c.why[index][p.Legs.Form]
		}
		c.muscle, c.needs = append(c.muscle, u), append(c.needs, n)
	}
	only := func(j Judged) bool { return slices.Contains(c.ReportedOnly, j) }
	for side := range 2 {
		arm := c.carries(side)
		if !arm || side == 1 && !c.apart {
			continue
		}
		of := muscle.Both
		if c.apart && c.carries(1) && !c.alike() {
			of = map[string]muscle.Side{"left": muscle.Left, "right": muscle.Right, "top": muscle.Top, "bottom": muscle.Bottom}[c.sides[side]]
		}
		raises, lowers := muscle.ShoulderFlexion, muscle.ShoulderExtension
		if c.View == Front {
			raises, lowers = muscle.ShoulderAbduction, muscle.ShoulderAdduction
		}
		note := ""
		if only(JudgedShoulders) {
			note = "the description leaves the shoulders out of what decides"
		}
		add(need{atShoulder, side, 1}, hold.Use{Group: raises, Side: of, Reported: only(JudgedShoulders), Note: note})
		add(need{atShoulder, side, -1}, hold.Use{Group: lowers, Side: of, Reported: only(JudgedShoulders), Note: note})
		if !c.held[side] {
			continue
		}
		bent := c.bends(side)
		note = "bones and ligaments of a straight elbow help to carry its load"
		if bent {
			note = ""
		}
		if c.View == Front && !bent {
			add(need{atElbow, side, 0}, hold.Use{Group: muscle.ElbowFlexion, Side: of, Reported: true, Note: hold.ElbowSideways})
		} else {
			add(need{atElbow, side, 1}, hold.Use{Group: muscle.ElbowFlexion, Side: of, Reported: !bent || only(JudgedElbows), Note: note})
			add(need{atElbow, side, -1}, hold.Use{Group: muscle.ElbowExtension, Side: of, Reported: !bent || only(JudgedElbows), Note: note})
		}
		if c.hands[side] == fist {
			add(need{ofGrip, side, 1}, hold.Use{Group: muscle.Grip, Side: of, Reported: only(JudgedGrip)})
		}
		// Of hands that grasp, what is along arms that leave the plane is left out.
		if !bent && (c.ArmsSpread == 0 || c.hands[side] == flat) {
			push := hold.Use{Group: muscle.ArmPush, Side: of, Reported: only(JudgedPush)}
			if c.ArmsSpread != 0 {
				push.Unknown = hold.Never(pushAcross)
			}
			add(need{ofPush, side, -1}, push)
		}
		wrist := hold.Use{Group: muscle.WristFlexion, Side: of, Reported: true, Note: "a hand can turn about what it holds"}
		if c.hands[side] == flat {
			wrist.Note, wrist.Unknown = "", hold.Never(hold.WristsUnknown)
		}
		add(need{atWrist, side, 0}, wrist)
	}
	if c.View == Front {
		add(need{atWaist, 0, 0}, hold.Use{Group: muscle.WaistSideways, Reported: only(JudgedWaist)})
		return
	}
	add(need{atWaist, 0, 1}, hold.Use{Group: muscle.WaistForward, Reported: only(JudgedWaist)})
	add(need{atWaist, 0, -1}, hold.Use{Group: muscle.WaistBackward, Reported: only(JudgedWaist)})
	hips := "the description does not say that the hips decide"
	if c.HipsDecide {
		hips = ""
	}
	add(need{atHips, 0, 1}, hold.Use{Group: muscle.HipFlexion, Reported: !c.HipsDecide, Note: hips})
	add(need{atHips, 0, -1}, hold.Use{Group: muscle.HipExtension, Reported: !c.HipsDecide, Note: hips})
}

// alike reports whether both arms of a hold seen from the front do the same, each on its
// side of an upright trunk.
func (c *compiled) alike() bool {
	a := assume.Defaults()
	chest, _, _ := c.spine(1, &a)
	upright := chest.by == 0 && math.Abs(math.Cos(chest.at)) < 1e-9
	differ := c.Parts[UpperArm].Differ || c.Parts[Forearm].Differ || c.Sharing == Given
	differ = differ || c.Parts[Thigh].Differ || c.Parts[Shank].Differ
	for k := range c.Supports {
		differ = differ || isHand(c.Supports[k].At) || c.Supports[k].At == FirstFoot || c.Supports[k].OtherGrip != 0
	}
	for k, f := range c.Forces {
		differ = differ || isHand(f.At) || f.At == FirstFoot || math.Abs(c.forces[k].X) > 1e-9
	}
	return c.View == Front && upright && !differ
}

// idles finds the uses on which no choice bears: of the trunk and the legs, where these
// point where they do whatever the choice, and nothing beyond the waist is held. A posture
// is chosen by the others.
func (c *compiled) idles() {
	a := assume.Defaults()
	st := c.stands(hold.Posture{}, &a)
	fixed := st.to[toPelvis].by == 0
	for side := range 2 {
		fixed = fixed && st.to[thighs+side].by == 0 && st.to[shanks+side].by == 0
	}
	held := slices.ContainsFunc(c.contacts, func(of contact) bool { return of.waist })
	if fixed && !held {
		for k := range c.needs {
			c.idle[k] = c.needs[k].at == atWaist || c.needs[k].at == atHips
		}
	}
}

// carries reports whether an arm bears on something.
func (c *compiled) carries(side int) bool {
	return slices.ContainsFunc(c.contacts, func(of contact) bool { return of.arms[side] != 0 })
}

// bends reports whether the elbow of a side is bent.
func (c *compiled) bends(side int) bool {
	a := assume.Defaults()
	st := c.stands(hold.Posture{}, &a)
	return math.Abs(st.elbow[side].wrapped(c.middle())) > straight
}

// grip is the share of a hand's strength that it can use.
func (c *compiled) grip(side int) float64 {
	for k := range c.contacts {
		if of := &c.contacts[k]; of.onHand && of.arms[side] != 0 && of.Grip != 0 {
			return of.Grip
		}
	}
	return 1
}

// onPole reports whether the hand of a side is on a pole.
func (c *compiled) onPole(side int) bool {
	return slices.ContainsFunc(c.contacts, func(of contact) bool { return of.onHand && of.arms[side] != 0 && of.On == Pole })
}

// posed is one body held up: placed, balanced, and what it is asked for.
type posed struct {
	placed
	system
	free, open float64 // the angle, rad, and the force, BW
}

// cutMoment is the moment that a cut must bear, counterclockwise on what lies beyond it,
// as a line by the open force, BW·m.
func (c *compiled) cutMoment(q *posed, at cut, side int, b *body.Columns, i int, a *assume.Set) line {
	var pivot statics.Vec
	var weights beyond
	switch at {
	case atShoulder:
		pivot, weights = q.shoulder[side], q.arm[side]
	case atElbow:
		pivot, weights = q.elbow[side], q.forearm[side]
	case atWrist:
		pivot, weights = q.wrist[side], q.palm[side]
	case atWaist:
		pivot, weights = q.waist, q.trunk
	case atHips:
		pivot, weights = q.hip, q.leg[side]
	}
	m := line{at: weights.about(pivot)}
	for k := range c.contacts {
		of := &c.contacts[k]
		part := of.through(at, side)
		if part == 0 {
			continue
		}
		force, by := q.system.force(of)
		lever := q.system.at[of.first].Minus(pivot)
		m.at -= float64(part * lever.Cross(force))
		m.rise -= float64(part * lever.Cross(by))
	}
	weight := b.Mass[i] * b.Weight(i) * statics.StandardGravity
	for k := range c.Forces {
		if part := c.pass[k].through(at, side); part != 0 {
			lever := c.point(&q.placed, c.Forces[k].At, b, i, a).Minus(pivot)
			m.at -= float64(part / weight * lever.Cross(c.forces[k]))
		}
	}
	return m
}

// onArm is the force on the hand of a side, BW, as a line by the open force.
func (c *compiled) onArm(q *posed, side int) (at, by statics.Vec) {
	for k := range c.contacts {
		if of := &c.contacts[k]; of.onHand && of.arms[side] != 0 {
			f, g := q.system.force(of)
			at, by = at.Plus(f.Times(of.arms[side])), by.Plus(g.Times(of.arms[side]))
		}
	}
	return at, by
}

// alongArm is the unit vector along a forearm, towards the hand.
func (c *compiled) alongArm(q *posed, side int) statics.Vec {
	return q.to[forearms+side].Times(c.armsSeen)
}

// lines are what the uses ask for, as lines by the open force of which what is above 0
// counts; a use without a sign has two.
type lines struct {
	n    int
	line [2 * hold.MaxUses]line
	of   [2 * hold.MaxUses]int // the use
	// angle is that of the joint, rad; of hips, that of the leg whose line it is.
	angle [2 * hold.MaxUses]float64
}

func (l *lines) add(use int, angle float64, v line) {
	l.line[l.n], l.of[l.n], l.angle[l.n] = v, use, angle
	l.n++
}

// ask fills l for a body that is placed and balanced, of the uses of which only says so.
func (c *compiled) ask(l *lines, only *[hold.MaxUses]bool, q *posed, st *stance, b *body.Columns, i int, a *assume.Set) {
	l.n = 0
	var moment line
	last := -1
	for k := range c.needs {
		n := &c.needs[k]
		if !only[k] {
			continue
		}
		switch n.at {
		case ofGrip, ofPush:
			c.askAlong(l, k, q, st)
			continue
		case atHips:
			for side := range 2 {
				m := c.cutMoment(q, atHips, side, b, i, a)
				l.add(k, st.hip[side].wrapped(q.free), line{n.sign * c.facing * m.at, n.sign * c.facing * m.rise})
			}
			continue
		}
		if last < 0 || c.needs[last].at != n.at || c.needs[last].side != n.side {
			moment = c.cutMoment(q, n.at, n.side, b, i, a)
		}
		last = k
		sense, angle := st.sense[n.side], 0.0
		switch n.at {
		case atShoulder:
			if c.ShoulderStrengthAt != nil {
				angle = *c.ShoulderStrengthAt
			} else {
				angle = st.shoulder[n.side].wrapped(q.free)
			}
		case atElbow:
			angle = st.elbow[n.side].wrapped(q.free)
		case atWaist:
			sense = c.facing
			angle = st.waist.wrapped(q.free)
		}
		if n.sign != 0 {
			l.add(k, angle, line{n.sign * sense * moment.at, n.sign * sense * moment.rise})
			continue
		}
		l.add(k, angle, moment)
		l.add(k, angle, line{-moment.at, -moment.rise})
	}
}

// askAlong is ask for a grip or a push.
func (c *compiled) askAlong(l *lines, k int, q *posed, st *stance) {
	n := &c.needs[k]
	at, by := c.onArm(q, n.side)
	along := c.alongArm(q, n.side)
	v := line{n.sign * at.Dot(along), n.sign * by.Dot(along)}
	angle := 0.0
	if n.at == ofGrip {
		angle = math.Pi / 2
		if c.onPole(n.side) {
			angle = math.Abs(math.Pi/2 - math.Abs(st.fore[n.side].wrapped(q.free))) // asin |cos|
		} else if c.open < 0 && v.at > 0 {
			v.at = at.Length() // a hand around a bar bears the whole force
		}
		held := c.grip(n.side)
		v.at, v.rise = v.at/held, v.rise/held
	}
	l.add(k, angle, v)
}

// loadOf is the oracle of what a use asks for.
func (c *compiled) loadOf(n need, g muscle.Group) hold.Oracle {
	return func(s *hold.Solved) (float64, error) {
		switch n.at {
		case ofGrip, ofPush:
			arm, err := s.Arm(c.sides[n.side])
			along := n.sign * arm.Force.Dot(arm.Along)
			if n.at == ofGrip {
				if !c.onPole(n.side) && c.open < 0 && along > 0 {
					along = arm.Force.Length()
				}
				along /= c.grip(n.side)
			}
			return math.Max(along, 0), err
		case atHips:
			load, _, err := c.harderHip(s, n.sign, g)
			return load, err
		case atWaist:
			m, err := s.Cut(hold.SegmentPelvis)
			return oneWay(m*c.facing, n.sign), err
		}
		part := [...]string{atShoulder: " upper arm", atElbow: " forearm", atWrist: " hand"}[n.at]
		m, err := s.Cut(c.sides[n.side] + part)
		return oneWay(m*c.sense(n.side), n.sign), err
	}
}

// harderHip is what the oracle finds at that hip of which more is asked of what it can
// give at its angle.
func (c *compiled) harderHip(s *hold.Solved, sign float64, g muscle.Group) (load, angle float64, err error) {
	used := math.Inf(-1)
	for _, thigh := range [2]string{"first thigh", "other thigh"} {
		m, err := s.Cut(thigh)
		if err != nil {
			return 0, 0, err
		}
		at, err := bendOf(s, hold.SegmentPelvis, thigh, c.facing)
		if err != nil {
			return 0, 0, err
		}
		m = oneWay(m*c.facing, sign)
		if use := m / s.Capacity.Curve[g].At(at); use > used {
			load, angle, used = m, at, use
		}
	}
	return load, angle, nil
}

// sense is what raises or bends an arm: counterclockwise where it is 1.
func (c *compiled) sense(side int) float64 {
	if c.View == Front {
		return c.first * float64(1-2*side)
	}
	return c.facing
}

func oneWay(moment, sign float64) float64 {
	if sign == 0 {
		return math.Abs(moment)
	}
	return math.Max(sign*moment, 0)
}

// bendOf is the angle from one segment of a figure to the next, where sense is 1
// counterclockwise.
func bendOf(s *hold.Solved, from, to string, sense float64) (float64, error) {
	first, err := s.Bone(from)
	if err != nil {
		return 0, err
	}
	next, err := s.Bone(to)
	if err != nil {
		return 0, err
	}
	return wrap(sense * math.Atan2(first.Cross(next), first.Dot(next))), nil
}

// angleOf is the oracle of the angle of a use's joint.
func (c *compiled) angleOf(n need, g muscle.Group) hold.Oracle {
	between := func(from, to string, sense float64) hold.Oracle {
		return func(s *hold.Solved) (float64, error) { return bendOf(s, from, to, sense) }
	}
	side := c.sides[n.side]
	switch n.at {
	case atShoulder:
		if c.ShoulderStrengthAt != nil {
			return func(*hold.Solved) (float64, error) { return *c.ShoulderStrengthAt, nil }
		}
		return between(hold.SegmentChest, side+" upper arm", c.sense(n.side))
	case atElbow:
		return between(side+" upper arm", side+" forearm", c.sense(n.side))
	case atWaist:
		return between(hold.SegmentMiddleTrunk, hold.SegmentPelvis, c.facing)
	case atHips:
		return func(s *hold.Solved) (float64, error) {
			_, angle, err := c.harderHip(s, n.sign, g)
			return angle, err
		}
	case ofGrip:
		return func(s *hold.Solved) (float64, error) {
			arm, err := s.Arm(side)
			if c.onPole(n.side) {
				return math.Asin(math.Min(1, math.Abs(arm.Along.X))), err
			}
			return math.Pi / 2, err
		}
	}
	return func(*hold.Solved) (float64, error) { return 0, nil }
}
