package outline

import (
	"slices"

	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
)

// FreeAngle and OpenForce place the figure of a body that is held up: the angle that the
// description leaves free, and the force that statics leaves open, BW.
var (
	FreeAngle = &hold.DemandInfo{Name: "free_angle", Unit: "rad", Meaning: "the free angle in the hold's description"}
	OpenForce = &hold.DemandInfo{Name: "open_force", Unit: "BW", Meaning: "the force that statics does not fix, as the performer chooses it"}
)

// told is a demand that an outline may tell, when it does, and how it is read off a body
// that is held up.
type told struct {
	demand hold.Demand
	tells  func(c *compiled) bool
	of     func(s *study, i int) float64
}

// alongKnown is whether a hand is held and its arm lies in the plane, so that what is along
// it is known.
func (c *compiled) alongKnown() bool { return c.anyHeld() && c.ArmsSpread == 0 }

func (c *compiled) anyHeld() bool { return c.held[0] || c.held[1] }

// onPoles is whether both hands, the top one and the bottom one, are on a pole.
func (c *compiled) onPoles() bool {
	return c.paired && c.sides[0] == "top" && c.onPole(0) && c.onPole(1)
}

func (c *compiled) supports(on Fixture, at ...Point) bool {
	return slices.ContainsFunc(c.contacts, func(of contact) bool {
		return of.On == on && (len(at) == 0 || slices.Contains(at, of.at))
	})
}

func onLegs(p Point) bool { return p == Knees || p == Heels || p == Balls || p == FirstFoot }

// the list holds every demand but those that muscles make.
var list = []told{
	{FreeAngle, func(c *compiled) bool { return false }, func(s *study, _ int) float64 { return s.posed.free }},
	{OpenForce, func(c *compiled) bool { return false }, func(s *study, _ int) float64 { return s.posed.open }},
	{hold.RequiredForce, (*compiled).alongKnown, func(s *study, _ int) float64 {
		return s.overArms(func(side int) float64 { return math.Abs(s.along(side)) })
	}},
	{hold.GripForce, func(c *compiled) bool { return c.pulls }, func(s *study, _ int) float64 {
		return s.overArms(func(side int) float64 {
			if s.along(side) <= 0 {
				return 0
			}
			return s.handForce(side).Length()
		})
	}},
	{hold.ShoulderMoment, func(c *compiled) bool { return c.carries(0) }, func(s *study, i int) float64 {
		return s.joint(atShoulder, i)
	}},
	{hold.ElbowMoment, (*compiled).anyHeld, func(s *study, i int) float64 { return s.joint(atElbow, i) }},
	{hold.WristMoment, (*compiled).anyHeld, func(s *study, i int) float64 { return s.joint(atWrist, i) }},
	{hold.WaistMoment, always, func(s *study, i int) float64 { return math.Abs(s.moment(atWaist, 0, i)) }},
	{hold.HipMoment, always, func(s *study, i int) float64 { return math.Abs(s.moment(atHips, 0, i) + s.moment(atHips, 1, i)) }},
	{hold.WristAngle, func(c *compiled) bool { return c.anyHeld() && c.hands[0] == flat && math.Abs(c.fingers[0]) > 1-1e-9 }, func(s *study, _ int) float64 {
		return math.Acos(max(-1, min(1, s.alongArm(&s.posed, 0).X*s.fingers[0])))
	}},
	{hold.HandShare, func(c *compiled) bool {
		return c.supports(Floor, Hands, FirstHand, OtherHand, Forearms)
	}, func(s *study, _ int) float64 {
		return s.carriedBy(func(of *contact) bool { return of.onHand || of.at == Forearms }).Y
	}},
	{hold.FootShare, func(c *compiled) bool { return c.supports(Floor, Knees, Heels, Balls, FirstFoot) }, func(s *study, _ int) float64 {
		return s.carriedBy(func(of *contact) bool { return onLegs(of.at) }).Y
	}},
	{hold.PushLean, func(c *compiled) bool {
		return slices.ContainsFunc(c.contacts, func(of contact) bool { return of.Leans != nil })
	}, func(s *study, _ int) float64 {
		f := s.carriedBy(func(of *contact) bool { return of.onHand || of.at == Forearms })
		return -s.feetwards() * f.X / f.Y
	}},
	{hold.WallPush, func(c *compiled) bool { return c.supports(Wall, Heels) }, func(s *study, _ int) float64 {
		return math.Abs(s.carriedBy(func(of *contact) bool { return of.On == Wall }).X)
	}},
	{hold.LeanAngle, func(c *compiled) bool { return c.anyHeld() || c.standing() }, (*study).lean},
	{hold.ArmTrunkAngle, (*compiled).anyHeld, func(s *study, _ int) float64 {
		arm, axis := s.alongArm(&s.posed, s.firstHeld()), s.axis()
		return math.Atan2(math.Abs(arm.Cross(axis)), arm.Dot(axis))
	}},
	{hold.HandSpacing, func(c *compiled) bool { return c.View == Front && c.held[0] && c.held[1] }, func(s *study, _ int) float64 { return s.spacing() }},
	{hold.CableLean, func(c *compiled) bool { return c.View == Front && c.held[0] && c.held[1] && c.supports(Rings) }, func(s *study, _ int) float64 {
		f, inwards := s.handForce(0), s.posed.hand[1].Minus(s.posed.hand[0])
		return math.Atan2(f.X*inwards.X, f.Y*math.Abs(inwards.X))
	}},
	{hold.ArmAngle, (*compiled).onPoles, func(s *study, _ int) float64 { return s.armAngle() }},
	{hold.AxialTop, (*compiled).onPoles, func(s *study, _ int) float64 { return s.along(0) }},
	{hold.AxialBottom, (*compiled).onPoles, func(s *study, _ int) float64 { return -s.along(1) }},
	{hold.HorizontalForce, (*compiled).onPoles, func(s *study, _ int) float64 { return -s.feetwards() * s.handForce(0).X }},
	{hold.TopShare, (*compiled).onPoles, func(s *study, _ int) float64 { return s.handForce(0).Y }},
	{hold.FrictionTop, (*compiled).onPoles, func(s *study, _ int) float64 { return s.friction(0) }},
	{hold.FrictionBottom, (*compiled).onPoles, func(s *study, _ int) float64 { return s.friction(1) }},
	{hold.ShoulderMomentTop, (*compiled).onPoles, func(s *study, i int) float64 { return -s.feetwards() * s.moment(atShoulder, 0, i) }},
	{hold.ShoulderMomentBottom, (*compiled).onPoles, func(s *study, i int) float64 { return -s.feetwards() * s.moment(atShoulder, 1, i) }},
}

func always(*compiled) bool { return true }

// standing is whether legs stand on something.
func (c *compiled) standing() bool {
	return slices.ContainsFunc(c.contacts, func(of contact) bool { return onLegs(of.at) })
}

// heels is whether the heels are held: then the arms lean as the body does.
func (c *compiled) heels() bool {
	return slices.ContainsFunc(c.contacts, func(of contact) bool { return of.at == Heels })
}

// asks lists the demands that an outline tells, but for those of its muscles.
func (c *compiled) asks() (demands []hold.Demand) {
	for _, t := range list {
		if t.tells(c) {
			demands = append(demands, t.demand)
		}
	}
	return demands
}

// wanted is a column that is wanted and what fills it.
type wanted struct {
	column hold.Column
	of     func(s *study, i int) float64
}

// columns are the columns that somebody wants, found once a block.
func (c *compiled) columns(out *hold.Result) (columns [64]wanted) {
	n := 0
	for k := range list {
		if column := out.Column(list[k].demand); column != nil {
			columns[n] = wanted{column, list[k].of}
			n++
		}
	}
	return columns
}

func (s *study) fill(columns *[64]wanted, i int) {
	for k := range columns {
		if columns[k].column == nil {
			return
		}
		columns[k].column[i] = columns[k].of(s, i)
	}
}

// handForce is the force on the hand of a side, BW.
func (s *study) handForce(side int) statics.Vec {
	at, by := s.onArm(&s.posed, side)
	return at.Plus(by.Times(s.posed.open))
}

// friction is what a hand on a pole gives along it, over what it gives across.
func (s *study) friction(side int) float64 {
	f := s.handForce(side)
	return f.Y / math.Abs(f.X)
}

// along is the pull along the forearm of a side, BW; a push is less than 0.
func (s *study) along(side int) float64 { return s.handForce(side).Dot(s.alongArm(&s.posed, side)) }

// overArms is the largest value of the arms whose hands are held.
func (s *study) overArms(of func(side int) float64) float64 {
	largest := 0.0
	for side := range 2 {
		if s.held[side] {
			largest = max(largest, of(side))
		}
	}
	return largest
}

func (s *study) firstHeld() int {
	if s.held[0] {
		return 0
	}
	return 1
}

// moment is what a cut must bear, counterclockwise, BW·m.
func (s *study) moment(at cut, side, i int) float64 {
	return s.cutMoment(&s.posed, at, side, s.b, i, s.a).value(s.posed.open)
}

// joint is the size of the moment at a joint of the arms: of both together where they are
// one in the plane, else the larger.
func (s *study) joint(at cut, i int) float64 {
	if !s.apart {
		return math.Abs(s.moment(at, 0, i) + s.moment(at, 1, i))
	}
	largest := 0.0
	for side := range 2 {
		if s.carries(side) {
			largest = max(largest, math.Abs(s.moment(at, side, i)))
		}
	}
	return largest
}

// carriedBy is what contacts of a kind give the body together, BW.
func (s *study) carriedBy(kind func(of *contact) bool) (force statics.Vec) {
	for k := range s.contacts {
		if of := &s.contacts[k]; kind(of) {
			at, by := s.posed.system.force(of)
			force = force.Plus(at).Plus(by.Times(s.posed.open))
		}
	}
	return force
}

// axis is the unit vector from the neck to the hips.
func (s *study) axis() statics.Vec {
	v := s.posed.hip.Minus(s.posed.neck)
	return v.Times(1 / v.Length())
}

// feetwards is 1 where the feet are to the right of the neck, −1 where they are to the left.
func (s *study) feetwards() float64 {
	if s.axis().X < -1e-9 {
		return -1
	}
	return 1
}

// lean is the angle of the body from the vertical where it stands, else of the arms.
func (s *study) lean(int) float64 {
	if s.standing() && !s.heels() || !s.anyHeld() {
		axis := s.axis()
		return math.Atan2(math.Abs(axis.X), -axis.Y)
	}
	arm := s.alongArm(&s.posed, s.firstHeld())
	return math.Atan2(math.Abs(arm.X), math.Abs(arm.Y))
}
