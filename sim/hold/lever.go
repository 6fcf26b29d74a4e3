package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// FrontLever and BackLever hang a level, straight body by straight arms from a
// bar: face up with the arms before the trunk, face down with the arms behind.
// Statics does not tell them apart but for bent legs; the muscles at work do.
var (
	FrontLever = lever("front-lever", "Front lever", "The body hangs level under a bar, face up, by two straight arms.", up, 1, frontLeverUses)
	BackLever  = lever("back-lever", "Back lever", "The body hangs level under a bar, face down, by two straight arms behind the back.", down, -1, backLeverUses)
)

// What the levers use. The bar pushes the hands up ahead of the elbows: before the
// trunk that bends the elbows, which their extensors alone prevent; behind it that
// stretches them, which bones and ligaments bear as well.
var (
	frontLeverUses = []Use{
		{Group: muscle.ShoulderExtension, Load: size(shoulderMoment, 2), AngleOf: armTrunkAngle},
		{Group: muscle.Grip, Angle: At(acrossTheBar), Load: gripForce},
		{Group: muscle.WaistForward, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)},
		{Group: muscle.ElbowExtension, Angle: At(0), Load: size(atLimbs(" forearm"), 2), Reported: true, Note: "of a locked elbow nobody knows how much its bones bear"},
		{Group: muscle.WristFlexion, Angle: At(0), Load: size(atLimbs(" hand"), 2), Reported: true, Note: "a hand on a bar may turn about it"},
	}
	backLeverUses = []Use{
		{Group: muscle.ShoulderFlexion, Load: size(shoulderMoment, 2), AngleOf: behind,
			Unknown: Never("what the muscles that lift the arm forwards give with the arm behind the trunk was never measured")},
		{Group: muscle.Grip, Angle: At(acrossTheBar), Load: gripForce},
		{Group: muscle.WaistBackward, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)},
		{Group: muscle.ElbowFlexion, Angle: At(0), Load: size(atLimbs(" forearm"), 2), Reported: true, Note: "a straight elbow is borne by bones and ligaments as well"},
	}
)

// acrossTheBar is the angle between the pull of a hanging body and the bar, rad.
const acrossTheBar = math.Pi / 2

// behind is the angle of arms behind the trunk.
func behind(s *Solved) (float64, error) {
	angle, err := armTrunkAngle(s)
	return -angle, err
}

// lever makes a lever whose body faces front, with the arms before the trunk or, where
// side is -1, behind it.
func lever(name, title, description string, front statics.Vec, side float64, uses []Use) *Hold {
	return &Hold{
		Name: name, Title: title, Description: description,
		Plane:    "sagittal, seen from the side",
		Supports: []string{"both hands on the bar: a pin, horizontal and vertical force"},
		Free:     "none: balance fixes the lean of the arms, with the centre of mass under the bar",
		LeavesOut: []string{
			"bent elbows, and shoulder blades that glide",
			"what a straight arm takes under a pull, which was never measured",
			"the hips, whose bent legs turn their load round",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: everyLegForm,
		Asks: Always(withUses(uses, ShoulderMoment, LeanAngle, ArmTrunkAngle, RequiredForce, GripForce,
			ElbowMoment, WristMoment, WaistMoment, HipMoment)...),
		Assumptions: Always(strengths(uses)...),
		Uses:        Always(uses...),
		Solve: InEquilibrium(func(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
			judge := NewJudge(out, uses, capacity, p, a)
			columns := levelColumnsOf(out)
			elbows, wrists, grips := out.Column(ElbowMoment), out.Column(WristMoment), out.Column(GripForce)
			legs := p.Legs.reach()
			for i := range b.Rows() {
				share, moment := rest(b, i, legs)
				lean, ok := out.AngleOf(i, leverLean(b, i, share, moment, a))
				if !ok {
					continue
				}
				waist := beyondWaist(b, i, legs)
				// Half the weight pulls up at each hand, L·sin ψ ahead of the shoulder.
				sin, fore := math.Sin(lean), b.Forearm[i]+b.Grip[i]
				elbow := sin * (0.5*fore - b.ForearmShare[i]*b.ForearmCentre[i] - b.HandShare[i]*fore)
				wrist := sin * b.Grip[i] * (0.5 - b.HandShare[i])
				asked := [...]Asked{{math.Abs(moment) / 2, side * (math.Pi/2 - lean)}, {Demand: 0.5}, {Demand: math.Abs(waist)},
					{Demand: math.Abs(elbow)}, {Demand: math.Abs(wrist)}}
				judge.Row(i, asked[:len(uses)]...)
				columns.set(b, i, moment, lean, waist, legs)
				elbows.Set(i, math.Abs(2*elbow))
				wrists.Set(i, math.Abs(2*wrist))
				grips.Set(i, 0.5)
			}
		}),
		Figure: func(b *body.Columns, i int, p Posture, held *Result, _ *assume.Set) (*Figure, error) {
			lean, err := held.Posed(LeanAngle)
			if err != nil {
				return nil, err
			}
			q := NewFigure(b, i, statics.Vec{}, right, 0)
			hands := q.BothArms(turned(math.Pi/2-lean), Fist)
			q.Legs(p.Legs, right, front)
			q.Support(SupportHands, hands, bothSides("hand"), right, up)
			q.Edge("bar", hands, hands)
			return q.Done()
		},
	}
}

// leverLean is the sine of the arms' lean: they lean towards the feet until
// everything hangs under the bar, L·sin ψ·(M₀ + 2·m_a·(1−k)) = M₀·c.
func leverLean(b *body.Columns, i int, share, moment float64, _ *assume.Set) float64 {
	return moment / (b.Arm(i)*(share+2*b.ArmShare(i)) - 2*b.ArmMoment(i))
}
