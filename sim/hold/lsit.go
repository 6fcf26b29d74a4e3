package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
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
			"room under bent legs: they need blocks", "what the hips' flexors can give, so that there is no difficulty",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: []LegForm{Together, Straddle, OneLeg, Tuck},
		Asks:        Always(HipMoment, ShoulderMoment, RequiredForce, LeanAngle, WristMoment),
		Assumptions: Always(assume.PressureReach),
		Solve:       InEquilibrium(solveLSit),
		Figure:      lSitFigure,
	}
}

func solveLSit(out *Result, b *body.Columns, _ *Capacity, p Posture, a *assume.Set) {
	hips, shoulders, force, leans := out.Column(HipMoment), out.Column(ShoulderMoment), out.Column(RequiredForce), out.Column(LeanAngle)
	legs := p.Legs.raised().reach()
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
		out.Allow(i, NoLimit)
		hips.Set(i, math.Abs(hip))
		// Cut at the shoulders: of all but the arms only the legs are ahead of them.
		shoulders.Set(i, math.Abs(hip))
		force.Set(i, 0.5*math.Cos(lean))
		leans.Set(i, lean)
	}
	fillWrists(out, b, a)
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
