package hold

import (
	"math"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/statics"
)

// Names of the segments and reactions that FlagSystem makes.
const (
	SegmentChest      = "chest"
	SegmentPelvis     = "pelvis"
	SegmentTopArm     = "top upper arm"
	SegmentBottomArm  = "bottom upper arm"
	SegmentFirstThigh = "first thigh"
	SegmentOtherThigh = "other thigh"

	TopHorizontal    = "top hand, horizontal"
	TopVertical      = "top hand, vertical"
	BottomHorizontal = "bottom hand, horizontal"
	BottomVertical   = "bottom hand, vertical"
)

// FlagPose is one body in the flag with the points that the general problem is
// built from, in metres: the pole is x = 0, the midpoint of the shoulders lies at
// the height 0.
type FlagPose struct {
	System                      *statics.System
	TopHand, BottomHand         statics.Vec
	TopShoulder, BottomShoulder statics.Vec
	TopElbow, BottomElbow       statics.Vec
	Neck, Head, Waist, Hip      statics.Vec
	FirstKnee, OtherKnee        statics.Vec
	FirstAnkle, OtherAnkle      statics.Vec
	FirstToe, OtherToe          statics.Vec
	TopAngle, BottomAngle       float64 // of the arms with the pole, radians
}

// FlagSystem builds the flag of body i, segment by segment, as a general statics
// problem, with the arms' mean sine that of the angle. The weights are those of
// the body's own mass; the hands' couples are left out, and the vertical force is
// shared by the assumption top_share.
//
// It takes the geometry from the pose itself: the shoulders stand across the
// tilted body, the hands lie on the pole within arm's reach of them. It shares
// no formula with Solve.
func FlagSystem(b *body.Columns, i int, p Posture, a *assume.Set, angle float64) *FlagPose {
	vec := func(length, direction float64) statics.Vec {
		return statics.Vec{X: length * math.Cos(direction), Y: length * math.Sin(direction)}
	}
	axis := vec(1, p.Tilt)                       // from the shoulders to the feet
	across := statics.Vec{X: -axis.Y, Y: axis.X} // towards the top
	arm := b.UpperArm[i] + b.Forearm[i] + b.Grip[i]
	half := across.Times(b.ShoulderSpan[i] / 2)
	middle := statics.Vec{X: arm * math.Sin(angle)}
	q := &FlagPose{TopShoulder: middle.Plus(half), BottomShoulder: middle.Minus(half)}
	// Each hand is on the pole, an arm's length from its shoulder.
	rise := func(shoulder statics.Vec) float64 { return math.Sqrt(arm*arm - shoulder.X*shoulder.X) }
	q.TopHand = statics.Vec{Y: q.TopShoulder.Y + rise(q.TopShoulder)}
	q.BottomHand = statics.Vec{Y: q.BottomShoulder.Y - rise(q.BottomShoulder)}
	q.TopAngle = math.Asin(q.TopShoulder.X / arm)
	q.BottomAngle = math.Asin(q.BottomShoulder.X / arm)

	along := func(distance float64) statics.Vec { return middle.Plus(axis.Times(distance + b.Rise[i])) }
	mass := func(share float64) float64 { return share * b.Mass[i] }
	s := &statics.System{Gravity: statics.StandardGravity}
	add := func(name, parent string, joint statics.Vec, share float64, centre statics.Vec) {
		s.Segments = append(s.Segments, statics.Segment{Name: name, Parent: parent, Joint: joint, Mass: mass(share), Centre: centre})
	}
	// The trunk is cut at the waist; what lies above has what is left of the
	// trunk's mass and of its moment.
	chest := b.TrunkShare[i] - b.LowerTrunkShare[i]
	chestCentre := (b.TrunkShare[i]*b.TrunkCentre[i] - b.LowerTrunkShare[i]*b.LowerTrunkCentre[i]) / chest
	q.Neck, q.Head, q.Waist, q.Hip = along(0), along(b.HeadCentre[i]), along(b.Waist[i]), along(b.Hip[i])
	add(SegmentChest, "", statics.Vec{}, chest, along(chestCentre))
	add("head", SegmentChest, q.Neck, b.HeadShare[i], q.Head)
	add(SegmentPelvis, SegmentChest, q.Waist, b.LowerTrunkShare[i], along(b.LowerTrunkCentre[i]))

	arms := func(prefix string, shoulder, hand statics.Vec, elbow *statics.Vec) {
		d := hand.Minus(shoulder).Times(1 / arm)
		at := func(distance float64) statics.Vec { return shoulder.Plus(d.Times(distance)) }
		*elbow = at(b.UpperArm[i])
		wrist := at(b.UpperArm[i] + b.Forearm[i])
		add(prefix+" upper arm", SegmentChest, shoulder, b.UpperArmShare[i], at(b.UpperArmCentre[i]))
		add(prefix+" forearm", prefix+" upper arm", *elbow, b.ForearmShare[i], at(b.UpperArm[i]+b.ForearmCentre[i]))
		add(prefix+" hand", prefix+" forearm", wrist, b.HandShare[i], hand)
	}
	arms("top", q.TopShoulder, q.TopHand, &q.TopElbow)
	arms("bottom", q.BottomShoulder, q.BottomHand, &q.BottomElbow)

	// A straddled leg stays in the plane. A bent leg leaves it: seen in the
	// plane its parts are foreshortened along the body.
	thigh, shank := p.Legs.directions()
	leg := func(prefix string, k int, knee, ankle, toe *statics.Vec) {
		direct := func(angle float64) statics.Vec {
			if p.Legs.Form == Straddle {
				return vec(1, p.Tilt+angle)
			}
			return axis.Times(math.Cos(angle))
		}
		t, h := direct(thigh[k]), direct(shank[k])
		*knee = q.Hip.Plus(t.Times(b.Thigh[i]))
		*ankle = knee.Plus(h.Times(b.Shank[i]))
		*toe = ankle.Plus(h.Times(b.Foot[i] - b.Heel[i]))
		add(prefix+" thigh", SegmentPelvis, q.Hip, b.ThighShare[i], q.Hip.Plus(t.Times(b.ThighCentre[i])))
		add(prefix+" shank", prefix+" thigh", *knee, b.ShankShare[i], knee.Plus(h.Times(b.ShankCentre[i])))
		add(prefix+" foot", prefix+" shank", *ankle, b.FootShare[i], ankle.Plus(h.Times(b.FootCentre[i])))
	}
	leg("first", 0, &q.FirstKnee, &q.FirstAnkle, &q.FirstToe)
	leg("other", 1, &q.OtherKnee, &q.OtherAnkle, &q.OtherToe)

	right, up := statics.Vec{X: 1}, statics.Vec{Y: 1}
	s.Reactions = []statics.Reaction{
		{Name: TopHorizontal, Segment: "top hand", At: q.TopHand, Direction: right},
		{Name: TopVertical, Segment: "top hand", At: q.TopHand, Direction: up},
		{Name: BottomHorizontal, Segment: "bottom hand", At: q.BottomHand, Direction: right},
		{Name: BottomVertical, Segment: "bottom hand", At: q.BottomHand, Direction: up},
	}
	share := a[assume.TopShare]
	s.Closures = []statics.Closure{{
		Why:   "the top hand carries the share top_share of the weight",
		Terms: []statics.Term{{Reaction: TopVertical, Coefficient: 1 - share}, {Reaction: BottomVertical, Coefficient: -share}},
	}}
	q.System = s
	return q
}
