package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// LSit is the body held up by two straight arms beside the hips, the trunk
// upright and the legs level before it.
var LSit = lSit()

func lSit() *Hold {
	return &Hold{
		Name: "l-sit", Title: "L-sit",
		Description: "The body held up by two straight arms beside the hips, the trunk upright, the straight legs level in front.",
		Plane:       "sagittal, seen from the side",
		Supports:    []string{"both hands on the floor or on blocks: vertical force ahead of the wrist by pressure_reach; no horizontal force"},
		Free:        "none: balance over the hands fixes the lean of the arms",
		LeavesOut: []string{
			"a trunk that leans or rounds, and shoulder blades that press down", "tightness at the back of the legs",
			"room under bent legs: they need blocks",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: []LegForm{Together, Straddle, OneLeg, Tuck},
		Asks: Always(withUses(lSitUses, HipMoment, ShoulderMoment, RequiredForce, LeanAngle,
			ElbowMoment, WristMoment, WristAngle)...),
		Assumptions: Always(strengths(lSitUses, assume.PressureReach)...),
		Uses:        Always(lSitUses...),
		Solve:       InEquilibrium(solveLSit),
		Figure:      lSitFigure,
	}
}

// What an L-sit uses.
var lSitUses = []Use{
	{Group: muscle.HipFlexion, Angle: raisedHip, Load: firstHip, Unknown: func(p Posture) string {
		if raisedHip(p, nil) > math.Pi/2 {
			return "what the muscles that lift a thigh give beyond a right angle was never measured"
		}
		return ""
	}},
	{Group: muscle.ArmPush, Angle: At(0), Load: largestForce},
	{Group: muscle.WaistForward, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)},
	{Group: muscle.ShoulderExtension, Load: size(shoulderMoment, 2), AngleOf: armTrunkAngle, Reported: true,
		Unknown: Never("what the muscles that bring the arm down give beside the trunk was never measured")},
	{Group: muscle.ElbowExtension, Angle: At(0), Load: size(atLimbs(" forearm"), 2), Reported: true, Note: "of a locked elbow nobody knows how much its bones bear"},
	{Group: muscle.WristFlexion, Load: size(atLimbs(" hand"), 2), AngleOf: bentBack, Reported: true, Unknown: Never(wristsUnknown)},
}

// raisedHip is the flexion of the first hip, rad.
func raisedHip(p Posture, _ *assume.Set) float64 {
	l := p.Legs.raised()
	if l.Form == Straddle {
		return math.Pi / 2
	}
	thigh, _ := l.directions()
	return math.Pi/2 + thigh[0]
}

// firstHip is the moment at the first hip.
func firstHip(s *Solved) (float64, error) {
	m, _, err := s.Solution.Joint("first thigh")
	return math.Abs(m) / s.weight, err
}

func solveLSit(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	judge := NewJudge(out, lSitUses, capacity, p, a)
	hips, shoulders, force, leans := out.Column(HipMoment), out.Column(ShoulderMoment), out.Column(RequiredForce), out.Column(LeanAngle)
	elbows, wrists, bent := out.Column(ElbowMoment), out.Column(WristMoment), out.Column(WristAngle)
	legs, first := p.Legs.raised().reach(), p.Legs.raised().first()
	for i := range b.Rows() {
		hip := legs.moment(b, i) // first moment of the legs ahead of the hips
		arm, _, armMoment := toWrist(b, i)
		press, hands := flatHands(b, i, a)
		// With the wrists L_w·sin ψ ahead of hips and shoulders, everything over the
		// point of pressure: hip + 2·m_arm·k′·L_w·sin ψ + m_hands·(L_w·sin ψ + x_hand) = L_w·sin ψ + q.
		lean, ok := out.AngleOf(i, (hip+hands-press)/(arm*(1-2*b.HandShare[i])-2*armMoment))
		if !ok {
			continue
		}
		elbow, wrist := onFlatHand(b, i, press, b.Forearm[i]*math.Sin(lean))
		back := math.Pi/2 - lean
		// Cut at the shoulders or the waist: of all but the arms only the legs are ahead of them.
		judge.Row(i, Asked{Demand: math.Abs(first.moment(b, i))}, Asked{Demand: 0.5 * math.Cos(lean)}, Asked{Demand: math.Abs(hip)},
			Asked{math.Abs(hip) / 2, math.Abs(lean)}, Asked{Demand: math.Abs(elbow)}, Asked{math.Abs(wrist), -back})
		hips.Set(i, math.Abs(hip))
		shoulders.Set(i, math.Abs(hip))
		force.Set(i, 0.5*math.Cos(lean))
		leans.Set(i, lean)
		elbows.Set(i, math.Abs(2*elbow))
		wrists.Set(i, math.Abs(2*wrist))
		bent.Set(i, back)
	}
}

func lSitFigure(b *body.Columns, i int, p Posture, held *Result, a *assume.Set) (*Figure, error) {
	lean, err := held.Posed(LeanAngle)
	if err != nil {
		return nil, err
	}
	q := NewFigure(b, i, statics.Vec{}, down, 0)
	wrist := q.BothArms(turned(lean-math.Pi/2), FlatHand)
	q.Legs(p.Legs.raised(), right, up)
	q.onHands(wrist, a, 0.25, 0.5)
	return q.Done()
}

// raised returns the legs as seen from the level before an upright trunk: what
// is straight lies level, and a bent hip lifts the thigh past it by its flexion
// beyond a right angle.
func (l Legs) raised() Legs {
	if l.Form == OneLeg || l.Form == AdvancedTuck || l.Form == Tuck {
		l.Hip -= math.Pi / 2
	}
	return l
}
