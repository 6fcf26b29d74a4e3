package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// SidePlank is the straight body on its side, on one forearm and the edge of the
// lower foot.
var SidePlank = sidePlank()

func sidePlank() *Hold {
	return &Hold{
		Name: "side-plank", Title: "Side plank",
		Description: "The straight body on its side, on one forearm under the shoulder and the edge of the lower foot; the other arm lies along the trunk.",
		Plane:       "frontal, seen from the front",
		Supports: []string{
			"forearm on the floor, across the plane: vertical force under the lower shoulder",
			"lower foot on its edge: vertical force at the ankle",
		},
		Free: "none: the upper arm's length fixes the slope of the body",
		LeavesOut: []string{
			"horizontal forces at forearm and foot", "a sagging waist", "the balance across the plane", "the breadth of hips and ankles",
		},
		Models: equilibriumOnly, Rules: balanced, LegForms: legsTogether,
		Asks:        Always(withUses(sidePlankUses, HandShare, FootShare, WaistMoment, LeanAngle)...),
		Assumptions: Always(strengths(sidePlankUses)...),
		Uses:        Always(sidePlankUses...),
		Solve:       InEquilibrium(solveSidePlank),
		Figure:      sidePlankFigure,
	}
}

var sidePlankUses = []Use{{Group: muscle.WaistSideways, Angle: At(0), Load: size(momentAt(JointWaist, 1), 1)}}

func solveSidePlank(out *Result, b *body.Columns, capacity *Capacity, p Posture, a *assume.Set) {
	judge := NewJudge(out, sidePlankUses, capacity, p, a)
	onArms, onFeet, waists, leans := out.Column(HandShare), out.Column(FootShare), out.Column(WaistMoment), out.Column(LeanAngle)
	legs := Legs{}.reach()
	for i := range b.Rows() {
		share, moment := rest(b, i, legs)
		length := b.Hip[i] + b.Thigh[i] + b.Shank[i]
		// The lower shoulder lies half the span across the body from the line's end:
		// length·sin γ − (b/2)·cos γ = upper arm.
		half := b.ShoulderSpan[i] / 2
		slope, ok := out.SlopeOf(i, length, half, b.UpperArm[i])
		if !ok {
			continue
		}
		sin, cos := math.Sincos(slope)
		middle := length * cos     // ahead of the ankle
		lower := middle + half*sin // the lower shoulder, and the elbow under it
		upper := middle - half*sin
		armShare := b.ArmShare(i)
		arm, _, openArm := toWrist(b, i)
		openArm += b.HandShare[i] * (arm + b.HandCentre[i])
		onArm := (share*middle - moment*cos + // head, trunk, legs
			armShare*upper - openArm*cos + // the arm along the trunk
			armShare*lower) / lower // the arm under the shoulder; its forearm lies across the plane
		if !(onArm >= 0 && onArm <= 1) {
			out.Refuse(i)
			continue
		}
		// Beyond the waist: weights less what the foot carries.
		waist := math.Abs(beyondWaist(b, i, legs)*cos - (1-onArm)*(middle-b.Waist[i]*cos))
		judge.Row(i, Asked{Demand: waist})
		onArms.Set(i, onArm)
		onFeet.Set(i, 1-onArm)
		waists.Set(i, waist)
		leans.Set(i, math.Pi/2-slope)
	}
}

func sidePlankFigure(b *body.Columns, i int, _ Posture, held *Result, _ *assume.Set) (*Figure, error) {
	lean, err := held.Posed(LeanAngle)
	if err != nil {
		return nil, err
	}
	slope := math.Pi/2 - lean
	axis := turned(slope + math.Pi) // the head is to the right
	across := turned(slope - math.Pi/2).Times(b.ShoulderSpan[i] / 2)
	q := NewFigure(b, i, statics.Vec{}, axis, 0)
	shoulder := q.shoulders.Plus(across)
	elbow := shoulder.Plus(down.Times(b.UpperArm[i]))
	// The forearm lies across the plane: seen in it, all of it is at the elbow.
	q.Segment("bottom upper arm", SegmentChest, shoulder, elbow, b.UpperArmShare[i], shoulder.Plus(down.Times(b.UpperArmCentre[i])))
	q.Segment("bottom forearm", "bottom upper arm", elbow, elbow, b.ForearmShare[i]+b.HandShare[i], elbow)
	q.StraightArm("top", q.shoulders.Minus(across), axis, OpenHand)
	q.Legs(Legs{}, axis, statics.Vec{})
	q.Joint("lower shoulder", shoulder, "bottom upper arm")
	q.Support(SupportForearm, elbow, []string{"bottom forearm"}, up)
	ankle := q.Along(b.Hip[i] + b.Thigh[i] + b.Shank[i])
	q.Support(SupportFoot, ankle, []string{"first foot"}, up)
	q.Floor("floor", elbow.Y, ankle.X-0.15*b.Stature[i], elbow.X+0.2*b.Stature[i])
	return q.Done()
}
