package hold

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
)

// Joints and supports of the human flag's figure.
const (
	JointTopShoulder    = "top shoulder"
	JointBottomShoulder = "bottom shoulder"
	SupportTopHand      = "top hand"
	SupportBottomHand   = "bottom hand"
)

// flagFigure is HumanFlag.Figure: the pole is x = 0, the middle of the shoulders
// lies at the height 0. The hands' couples are left out, and the vertical force
// is shared as the body chose.
//
// It takes the geometry from the pose itself: the shoulders stand across the
// tilted body, the hands lie on the pole within arm's reach of them.
func flagFigure(b *body.Columns, i int, p Posture, held *Result, a *assume.Set) (*Figure, error) {
	angle, err := held.Posed(ArmAngle)
	if err != nil {
		return nil, err
	}
	arm := b.UpperArm[i] + b.Forearm[i] + b.Grip[i]
	axis := turned(p.Tilt)
	half := turned(p.Tilt + math.Pi/2).Times(b.ShoulderSpan[i] / 2) // towards the top
	q := NewFigure(b, i, statics.Vec{X: arm * math.Sin(angle)}, axis, b.Rise[i])
	reach := 0.0
	for _, of := range []struct {
		side, joint, support string
		way                  float64
	}{{"top", JointTopShoulder, SupportTopHand, 1}, {"bottom", JointBottomShoulder, SupportBottomHand, -1}} {
		shoulder := q.shoulders.Plus(half.Times(of.way))
		// The hand is on the pole, an arm's length from its shoulder.
		hand := statics.Vec{Y: shoulder.Y + float64(of.way*math.Sqrt(float64(arm*arm)-float64(shoulder.X*shoulder.X)))}
		q.StraightArm(of.side, shoulder, unit(shoulder, hand), Fist)
		q.Joint(of.joint, shoulder, of.side+" upper arm")
		q.Support(of.support, hand, []string{of.side + " hand"}, right, up)
		reach = math.Max(reach, math.Abs(hand.Y))
	}
	q.Legs(p.Legs, axis, statics.Vec{})
	share, err := held.Posed(TopShare)
	if err != nil {
		return nil, err
	}
	share /= b.Weight(i) // of all that is held up
	q.Close("the top hand carries the chosen share of the weight",
		statics.Term{Reaction: "top hand, vertical", Coefficient: 1 - share}, statics.Term{Reaction: "bottom hand, vertical", Coefficient: -share})
	q.Edge("pole", statics.Vec{Y: -1.25 * reach}, statics.Vec{Y: 1.25 * reach})
	return q.Done()
}
