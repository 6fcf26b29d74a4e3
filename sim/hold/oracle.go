package hold

import (
	"fmt"
	"strings"

	"counterpoise/sim/assume"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/statics"
)

// Oracle reads a demand off one body that the general solver has solved: the check
// on the closed form. It fails where the figure does not tell the demand.
type Oracle func(s *Solved) (float64, error)

// Solved is one body in a hold as the general solver has it: the same body in the
// same posture as a row of what Solve gives, but for reactions and cuts alone.
type Solved struct {
	Hold     *Hold
	Model    Model
	Posture  Posture
	Figure   *Figure
	Solution *statics.Solution
	Capacity *Capacity // of this body: one row
	Assume   *assume.Set
	Arms     []Arm // those that are held

	weight float64 // of the body alone, N
}

// Arm is an arm by whose hand a body is held.
type Arm struct {
	Side  string      // "left", "right", "top" or "bottom"
	Along statics.Vec // unit vector along the forearm, towards the hand
	At    statics.Vec // where it is held, m
	Force statics.Vec // on the hand, BW
}

// NewSolved solves the figure of a body in the hold.
func NewSolved(h *Hold, model Model, p Posture, f *Figure, capacity *Capacity, a *assume.Set) (*Solved, error) {
	sol, err := f.System.Solve()
	if err != nil {
		return nil, err
	}
	s := &Solved{Hold: h, Model: model, Posture: p, Figure: f, Solution: sol, Capacity: capacity, Assume: a}
	if s.weight = f.Mass * f.System.Gravity; s.weight == 0 {
		for _, g := range f.System.Segments {
			s.weight += float64(g.Mass * f.System.Gravity)
		}
	}
	for _, g := range f.System.Segments {
		side, isHand := strings.CutSuffix(g.Name, " hand")
		force, at, held := s.on(func(segment string) bool { return segment == g.Name })
		for _, bone := range f.Bones {
			if isHand && held && bone.Segment == g.Parent {
				s.Arms = append(s.Arms, Arm{Side: side, Along: unit(bone.From, bone.To), At: at, Force: force})
			}
		}
	}
	return s, nil
}

// on returns what the supports give the segments of a kind together, BW, and where
// the last of them is held.
func (s *Solved) on(kind func(segment string) bool) (force, at statics.Vec, held bool) {
	for _, r := range s.Figure.System.Reactions {
		if kind(r.Segment) {
			force, at, held = force.Plus(s.Solution.Force(r.Name).Times(1/s.weight)), r.At, true
		}
	}
	return force, at, held
}

// Moment returns what the muscles at a joint must give, BW·m, counterclockwise on
// what lies beyond it.
func (s *Solved) Moment(joint string) (float64, error) {
	m, err := s.Figure.Moment(s.Solution, joint)
	return m / s.weight, err
}

// Force returns the force of a support on the body, BW.
func (s *Solved) Force(support string) (statics.Vec, error) {
	force, err := s.Figure.Force(s.Solution, support)
	return force.Times(1 / s.weight), err
}

// Cut returns the moment at the joint by which a segment hangs on the body, BW·m,
// counterclockwise on the segment.
func (s *Solved) Cut(segment string) (float64, error) {
	m, _, err := s.Solution.Joint(segment)
	return m / s.weight, err
}

// Bone returns the unit vector along a segment, away from its joint.
func (s *Solved) Bone(segment string) (statics.Vec, error) {
	if bone, ok := names.First(s.Figure.Bones, func(b Bone) bool { return b.Segment == segment }); ok {
		return unit(bone.From, bone.To), nil
	}
	return statics.Vec{}, fmt.Errorf("the figure has no %s", segment)
}

// Arm returns the arm of a side whose hand is held, or the first of any where side is "".
func (s *Solved) Arm(side string) (Arm, error) {
	if a, ok := names.First(s.Arms, func(a Arm) bool { return side == "" || a.Side == side }); ok {
		return a, nil
	}
	return Arm{}, fmt.Errorf("the figure is not held by a %s", strings.TrimSpace(side+" hand"))
}

// both returns the arms of a body that is held by two hands.
func (s *Solved) both() (first, other Arm, err error) {
	if len(s.Arms) != 2 {
		return Arm{}, Arm{}, fmt.Errorf("the figure is held by %d hands, not by two", len(s.Arms))
	}
	return s.Arms[0], s.Arms[1], nil
}

// momentAt is the oracle of the moment at a joint.
func momentAt(joint string, sign float64) Oracle {
	return func(s *Solved) (float64, error) {
		m, err := s.Moment(joint)
		return sign * m, err
	}
}

func largestForce(s *Solved) (float64, error) {
	if s.Model == TwoCondition {
		return liftAndTurn(s)
	}
	_, err := s.Arm("")
	largest := 0.0
	for _, a := range s.Arms {
		largest = math.Max(largest, math.Abs(a.Force.Dot(a.Along)))
	}
	return largest, err
}

// liftAndTurn is the force of the two conditions, from the centre of mass and the
// hands on a pole alone: equal forces along the arms lift the body, and turn it about
// either hand as much as its weight does.
func liftAndTurn(s *Solved) (float64, error) {
	first, other, err := s.both()
	if err != nil {
		return 0, err
	}
	weight, out := 0.0, 0.0 // BW, and their moment about the first hand
	add := func(kilograms float64, at statics.Vec) {
		w := kilograms * s.Figure.System.Gravity / s.weight
		weight, out = weight+w, out+float64(w*(at.X-first.At.X))
	}
	for _, g := range s.Figure.System.Segments {
		add(g.Mass, g.Centre)
	}
	for _, c := range s.Figure.Carried {
		add(c.Kilograms, c.At)
	}
	force, apart := weight/math.Abs(first.Along.Y-other.Along.Y), other.At.Minus(first.At)
	for _, a := range s.Arms {
		force = math.Max(force, out/math.Abs(apart.Cross(a.Along)))
	}
	return force, nil
}

// difficultyOf is the largest of what is used of the groups that decide, NaN where one
// of them is not known; under the two conditions, the force over the relative capacity.
func difficultyOf(s *Solved) (float64, error) {
	if s.Model == TwoCondition {
		force, err := liftAndTurn(s)
		return force / s.Capacity.Relative[0], err
	}
	if s.Hold.Uses == nil {
		return 0, fmt.Errorf("the hold does not say which muscles it uses")
	}
	return s.used(func(u *Use) bool { return !u.Reported }, true)
}

// usedOf is the oracle of what is used of one group: of its uses that are known.
func usedOf(g muscle.Group) Oracle {
	return func(s *Solved) (float64, error) {
		if s.Hold.Uses == nil {
			return 0, fmt.Errorf("the hold does not say which muscles it uses")
		}
		return s.used(func(u *Use) bool { return u.Group == g }, false)
	}
}

// used returns the largest share of capacity among uses of a kind. What is not known
// is passed over, unless all have to be known; if nothing is known it is NaN.
func (s *Solved) used(kind func(*Use) bool, all bool) (float64, error) {
	largest := math.NaN()
	for _, u := range s.Hold.Uses(s.Model) {
		if !kind(&u) {
			continue
		}
		if u.unknown(s.Posture) != "" {
			if all {
				return math.NaN(), nil
			}
			continue
		}
		share, err := s.share(&u)
		if err != nil {
			return 0, err
		}
		if !(largest >= share) {
			largest = share
		}
	}
	return largest, nil
}

// share is what is used of the body's capacity for a use.
func (s *Solved) share(u *Use) (float64, error) {
	load, err := u.Load(s)
	if err != nil {
		return 0, err
	}
	angle := 0.0
	if u.Angle != nil {
		angle = u.Angle(s.Posture, s.Assume)
	} else if angle, err = u.AngleOf(s); err != nil {
		return 0, err
	}
	return load / (s.Capacity.Of[u.Group][0] * s.Capacity.Curve[u.Group].At(angle)), nil
}

// size is the oracle of a demand's size, or of its part on each of so many limbs.
func size(of Oracle, limbs float64) Oracle {
	return func(s *Solved) (float64, error) {
		v, err := of(s)
		return math.Abs(v) / limbs, err
	}
}

// minus is the oracle of an angle the other way: of arms behind the trunk, or wrists bent
// back.
func minus(of Oracle) Oracle {
	return func(s *Solved) (float64, error) {
		v, err := of(s)
		return -v, err
	}
}

// oneWay is the oracle of a signed moment where it loads the muscles that a sign says.
func oneWay(of Oracle, sign, limbs float64) Oracle {
	return func(s *Solved) (float64, error) {
		v, err := of(s)
		return math.Max(sign*v, 0) / limbs, err
	}
}

// atLimbs is the oracle of the moment at the joint that begins a part of each arm that
// is held: of arms that fall on each other in the plane together, else the larger.
func atLimbs(part string) Oracle {
	return func(s *Solved) (float64, error) {
		together, largest := map[statics.Vec]float64{}, 0.0
		for _, a := range s.Arms {
			m, err := s.Cut(a.Side + part)
			if err != nil {
				return 0, err
			}
			together[a.At] += m
			largest = math.Max(largest, math.Abs(together[a.At]))
		}
		if len(s.Arms) == 0 {
			return 0, fmt.Errorf("the figure is not held by a hand")
		}
		return largest, nil
	}
}

// atOne is the oracle of the moment at the joint that begins a part of one arm.
func atOne(side, part string) Oracle {
	return func(s *Solved) (float64, error) {
		m, err := s.Cut(side + part)
		return math.Abs(m), err
	}
}

// wristAngle is how far flat hands are bent back from the line of the forearm.
func wristAngle(s *Solved) (float64, error) {
	arm, err := s.Arm("")
	if err != nil {
		return 0, err
	}
	hand, err := s.Bone(arm.Side + " hand")
	return math.Acos(max(-1, min(1, arm.Along.Dot(hand)))), err
}

// gripForce is the largest force on a hand that is drawn away from its arm.
func gripForce(s *Solved) (float64, error) {
	largest := 0.0
	for _, a := range s.Arms {
		if a.Force.Dot(a.Along) > 0 {
			largest = math.Max(largest, a.Force.Length())
		}
	}
	if largest == 0 {
		return 0, fmt.Errorf("no hand of the figure has to hold on")
	}
	return largest, nil
}

func armAngle(s *Solved) (float64, error) {
	first, other, err := s.both()
	return math.Asin((math.Abs(first.Along.X) + math.Abs(other.Along.X)) / 2), err
}

func handSpacing(s *Solved) (float64, error) {
	first, other, err := s.both()
	return other.At.Minus(first.At).Length(), err
}

// ofArm is the oracle of something that the arm of a side tells.
func ofArm(side string, tells func(Arm) float64) Oracle {
	return func(s *Solved) (float64, error) {
		a, err := s.Arm(side)
		return tells(a), err
	}
}

// The oracles of what the arms of a body on a pole tell.
var (
	axialTop    = ofArm("top", func(a Arm) float64 { return a.Force.Dot(a.Along) })
	axialBottom = ofArm("bottom", func(a Arm) float64 { return -a.Force.Dot(a.Along) })
	topShare    = ofArm("top", func(a Arm) float64 { return a.Force.Y })
	topArmAngle = ofArm("top", func(a Arm) float64 { return math.Asin(math.Abs(a.Along.X)) })
	pullOnTop   = fromFeet(ofArm("top", func(a Arm) float64 { return a.Force.X }))
)

// frictionAt is the oracle of the friction at a hand on a pole.
func frictionAt(side string) Oracle {
	return ofArm(side, func(a Arm) float64 { return a.Force.Y / math.Abs(a.Force.X) })
}

// fromFeet is the oracle of what is counted to the right, or counterclockwise, counted away
// from the feet of a body that is held sideways out.
func fromFeet(of Oracle) Oracle {
	return func(s *Solved) (float64, error) {
		v, err := of(s)
		return -v * s.feetwards(), err
	}
}

// shoulderMoment is the largest of the figure's joints that are shoulders.
func shoulderMoment(s *Solved) (float64, error) {
	largest := math.Inf(-1)
	for _, j := range s.Figure.Joints {
		if !strings.HasSuffix(j.Segments[0], " upper arm") {
			continue
		}
		m, err := s.Moment(j.Name)
		if err != nil {
			return 0, err
		}
		largest = math.Max(largest, math.Abs(m))
	}
	if largest < 0 {
		return 0, fmt.Errorf("the figure has no shoulder")
	}
	return largest, nil
}

// axis returns the unit vector from the neck to the hips.
func (s *Solved) axis() statics.Vec {
	var neck, hips statics.Vec
	for _, bone := range s.Figure.Bones {
		switch bone.Segment {
		case SegmentChest:
			neck = bone.From
		case SegmentPelvis:
			hips = bone.To
		}
	}
	return unit(neck, hips)
}

// feetwards is 1 where the feet are to the right of the neck, −1 where they are to the left.
func (s *Solved) feetwards() float64 {
	if s.axis().X < -1e-9 {
		return -1
	}
	return 1
}

func leanAngle(s *Solved) (float64, error) {
	_, _, stands := s.on(isLeg)
	if _, err := s.Force(SupportHeels); stands && err != nil { // at a wall the arms lean as the body does
		axis := s.axis()
		return math.Atan2(math.Abs(axis.X), -axis.Y), nil
	}
	arm, err := s.Arm("")
	return math.Atan2(math.Abs(arm.Along.X), math.Abs(arm.Along.Y)), err
}

func armTrunkAngle(s *Solved) (float64, error) {
	arm, err := s.Arm("")
	axis := s.axis()
	return math.Atan2(math.Abs(arm.Along.Cross(axis)), arm.Along.Dot(axis)), err
}

func isArm(segment string) bool {
	return strings.HasSuffix(segment, " hand") || strings.HasSuffix(segment, " forearm")
}

func isLeg(segment string) bool {
	return strings.HasSuffix(segment, " foot") || strings.HasSuffix(segment, " shank") || strings.HasSuffix(segment, " thigh")
}

// carriedBy is the oracle of the weight on segments of a kind.
func carriedBy(kind func(segment string) bool) Oracle {
	return func(s *Solved) (float64, error) {
		force, _, held := s.on(kind)
		if !held {
			return 0, fmt.Errorf("no such part of the figure is held")
		}
		return force.Y, nil
	}
}

func wallPush(s *Solved) (float64, error) {
	force, err := s.Force(SupportHeels)
	return math.Abs(force.X), err
}
