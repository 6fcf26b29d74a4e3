package outline

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
)

var (
	toRight = statics.Vec{X: 1}
	upwards = statics.Vec{Y: 1}
)

// figure is the Figure of a compiled outline. It walks from joint to joint, and takes
// from what was solved nothing but the free angle and the open force.
func (c *compiled) figure(b *body.Columns, i int, p hold.Posture, held *hold.Result, a *assume.Set) (*hold.Figure, error) {
	free, err := held.Posed(FreeAngle)
	if err != nil {
		return nil, err
	}
	st := c.stands(p, a)
	way := func(d direction) statics.Vec {
		sin, cos := math.Sincos(math.Atan2(d.from.Y, d.from.X) + float64(d.by*free))
		return statics.Vec{X: cos * d.seen, Y: sin * d.seen}
	}
	spine := hold.Spine{Chest: way(st.to[alongside]), Abdomen: way(st.to[toAbdomen]), Pelvis: way(st.to[toPelvis]), Head: way(st.to[toCrown])}
	q := hold.NewBentFigure(b, i, statics.Vec{}, spine, c.rise(b, i))
	if c.View == Side {
		q.Facing = c.facing
	}
	d := &drawing{FigureBuilder: q, c: c, b: b, i: i, a: a, at: map[Point]statics.Vec{Shoulders: q.Along(0), UpperBack: q.Along(b.Chest[i] / 2), Hips: q.Hip(), WaistPoint: q.Waist(),
		HeadTop: q.Along(0).Plus(way(st.to[toCrown]).Times(float64(hold.HeadHalf*b.Stature[i]) - b.HeadCentre[i]))}}
	for side := range 2 {
		shoulder := statics.Vec{}
		if c.View == Front {
			shoulder = way(st.across).Times(b.ShoulderSpan[i] / 2 * float64(1-2*side))
		}
		d.arm(side, shoulder, way(st.to[upperArms+side]), way(st.to[forearms+side]))
	}
	if !c.apart {
		q.Joint(hold.JointShoulders, statics.Vec{}, "left upper arm", "right upper arm")
		if c.bends(0) {
			q.Joint(hold.JointElbows, d.at[Elbows], "left forearm", "right forearm")
		}
	}
	for side, name := range [2]string{"first", "other"} {
		thigh, shank := way(st.to[thighs+side]), way(st.to[shanks+side])
		foot, below := shank, 0.0
		if c.Feet == Standing {
			foot, below = way(st.to[feet+side]), b.Ankle[i]
		}
		q.Leg(name, thigh, shank, foot, below)
		if side == 0 {
			knee := q.Hip().Plus(thigh.Times(b.Thigh[i]))
			ankle := knee.Plus(shank.Times(b.Shank[i]))
			d.at[Knees], d.at[Heels], d.at[FirstFoot] = knee, ankle, ankle
			d.at[Balls] = ankle.Plus(shank.Times(below)).Plus(foot.Times(float64(a[assume.BallShare]*b.Foot[i]) - b.Heel[i]))
		}
		if c.kneels {
			q.Bear(2) // the lower leg
		}
	}
	q.Joint(hold.JointHips, q.Hip(), "first thigh", "other thigh")
	for k, f := range c.Forces {
		d.Pulls = append(d.Pulls, hold.Pull{Name: "pull at the " + c.pointName(f.At), At: d.at[f.At], Force: c.forces[k]})
		for _, segment := range d.segments(f.At) {
			d.load(segment, d.at[f.At], c.forces[k].Times(1/float64(len(d.segments(f.At)))))
		}
	}
	for k := range c.contacts {
		d.support(&c.contacts[k])
	}
	d.closures(held)
	return q.Done()
}

// drawing is a figure that is being built.
type drawing struct {
	*hold.FigureBuilder
	c  *compiled
	b  *body.Columns
	i  int
	a  *assume.Set
	at map[Point]statics.Vec
}

func (d *drawing) load(segment string, at, force statics.Vec) {
	d.System.Loads = append(d.System.Loads, statics.Load{Segment: segment, At: at, Force: force})
}

// arm puts the arm of a side, and keeps where it can be held.
func (d *drawing) arm(side int, shoulder, upper, fore statics.Vec) {
	c, b, i, name := d.c, d.b, d.i, d.c.sides[side]
	elbow := shoulder.Plus(upper.Times(b.UpperArm[i]))
	wrist := elbow.Plus(fore.Times(b.Forearm[i]))
	var hand statics.Vec
	switch c.hands[side] {
	case flat:
		d.FlatArm(name, shoulder, elbow, wrist, toRight.Times(c.fingers[side]))
		hand = wrist.Plus(toRight.Times(c.fingers[side] * c.press[side].Of(d.a) * b.Palm[i]))
	case open:
		d.FlatArm(name, shoulder, elbow, wrist, fore)
		hand = wrist
	default:
		// A grip is seen as much shorter as the forearm is.
		hand = wrist.Plus(fore.Times(b.Grip[i]))
		d.Arm(name, shoulder, elbow, wrist, hold.Fist)
		// The centre of a fist is where it is seen.
		d.System.Segments[len(d.System.Segments)-1].Centre = hand
		d.Bones[len(d.Bones)-1].To = hand
	}
	if c.apart && c.carries(side) {
		d.Joint(name+" shoulder", shoulder, name+" upper arm")
	}
	d.at[[2]Point{FirstHand, OtherHand}[side]] = hand
	if side == 0 {
		d.at[Hands], d.at[Elbows] = hand, elbow
		d.at[Forearms] = elbow.Plus(fore.Times(d.a[assume.ForearmPressure] * b.Forearm[i]))
	}
}

// segments lists those on which something at a point acts.
func (d *drawing) segments(p Point) []string {
	pair := func(part string) []string { return []string{d.c.sides[0] + " " + part, d.c.sides[1] + " " + part} }
	held := 2
	if d.c.OneArm {
		held = 1
	}
	switch p {
	case Hands:
		return pair("hand")[:held]
	case FirstHand:
		return pair("hand")[:1]
	case OtherHand:
		return pair("hand")[1:]
	case Forearms, Elbows:
		return pair("forearm")[:held]
	case Hips, WaistPoint:
		return []string{hold.SegmentPelvis}
	case Knees:
		return []string{"first thigh", "other thigh"}
	case Heels, Balls:
		return []string{"first foot", "other foot"}
	case FirstFoot:
		return []string{"first foot"}
	case HeadTop:
		return []string{hold.SegmentHead}
	}
	return []string{hold.SegmentChest}
}

// supportNames are those of supports at the points of two sides, and of others.
var supportNames = map[Point]string{
	Hands: hold.SupportHands, Forearms: hold.SupportForearms, Elbows: "both elbows", Knees: hold.SupportKnees,
	Heels: hold.SupportHeels, Balls: hold.SupportFeet, FirstFoot: "foot", Hips: "hips", WaistPoint: "waist", HeadTop: "head", Shoulders: "shoulders", UpperBack: "upper back",
}

// support adds a support, and draws what it is.
func (d *drawing) support(of *contact) {
	c, at := d.c, d.at[of.at]
	name, named := supportNames[of.at]
	switch {
	case c.OneArm && of.at == Forearms:
		name = hold.SupportForearm
	case c.OneArm && of.at == Elbows:
		name = "elbow"
	case !named && c.OneArm:
		name = hold.SupportHand
	case !named:
		name = c.sides[of.side] + " hand"
	}
	directions := map[Fixture][]statics.Vec{Bar: {toRight, upwards}, Pole: {toRight, upwards}, Partner: {upwards}, Rings: {upwards}, Wall: {toRight, upwards}}[of.On]
	if of.On == Floor || of.On == Bench {
		directions = []statics.Vec{upwards}
		if of.count == 2 {
			directions = []statics.Vec{toRight, upwards}
		}
	}
	cabled := of.On == Rings && c.View == Front
	if cabled {
		directions = []statics.Vec{toRight, upwards}
	}
	if of.On == Wall && of.Rubs == nil {
		directions = directions[:1]
	}
	segments := d.segments(of.at)
	d.Support(name, at, segments, directions...)
	first := segments[0]
	leans := func(why string, level, upright float64) {
		d.Close(why, statics.Term{Reaction: first + ", horizontal", Coefficient: level}, statics.Term{Reaction: first + ", vertical", Coefficient: upright})
	}
	stature := d.b.Stature[d.i]
	switch of.On {
	case Bar:
		d.Edge("bar", at, at)
	case Partner:
		d.Edge("partner's hand", at, at)
	case Pole: // one, however many hands are on it
		low, high := at.Y, at.Y
		if other := d.at[FirstHand]; of.side == 1 && c.onPole(0) {
			low, high = min(low, other.Y), max(high, other.Y)
		} else if of.side == 0 && c.onPole(1) {
			break
		}
		d.Edge("pole", statics.Vec{X: at.X, Y: low - float64(0.3*stature)}, statics.Vec{X: at.X, Y: high + float64(0.3*stature)})
	case Bench:
		d.Floor("box", at.Y, at.X-float64(0.08*stature), at.X+float64(0.08*stature))
	case Floor:
		d.Floor("floor", at.Y, at.X-float64(0.2*stature), at.X+float64(0.2*stature))
		if of.Leans != nil {
			leans("the floor's force leans towards the shoulders as far as the description says", at.Y, -of.Leans.Of(d.a)*at.X)
		}
	case Wall:
		d.Edge("wall", at.Plus(statics.Vec{Y: -0.15 * stature}), at.Plus(statics.Vec{Y: 0.15 * stature}))
		if of.Rubs != nil {
			leans("the wall's friction is the share of its push in the description", of.Rubs.Of(d.a)*c.wall, 1)
		}
	case Rings:
		up := upwards.Times(of.Cable)
		if cabled {
			sideways := math.Copysign(of.Apart/2, at.X) - at.X
			up = statics.Vec{X: sideways, Y: math.Sqrt(float64(of.Cable*of.Cable) - float64(sideways*sideways))}
			leans("the ring's force acts along its cable", up.Y, -up.X)
		}
		d.Edge("cable", at, at.Plus(up.Times(math.Min(1, 0.5*stature/max(of.Cable, 0.5*stature)))))
	}
}

// closures states how open forces are closed.
func (d *drawing) closures(held *hold.Result) {
	c := d.c
	if c.shares {
		share := c.firstShare()
		d.Close("the hands share the weight as the description says",
			statics.Term{Reaction: c.sides[0] + " hand, vertical", Coefficient: 1 - share}, statics.Term{Reaction: c.sides[1] + " hand, vertical", Coefficient: -share})
	}
	if c.open < 0 {
		return
	}
	force, err := held.Posed(OpenForce)
	if err != nil {
		force = 0
	}
	u := c.unknowns[c.open]
	of := &c.contacts[u.contact]
	segments := d.segments(of.at)
	way := "vertical"
	if u.across {
		way = "horizontal"
		if of.On == Wall {
			force *= -c.wall
		}
	}
	d.System.Closures = append(d.System.Closures, statics.Closure{
		Why:   "the performer chooses the force that statics does not fix",
		Terms: []statics.Term{{Reaction: segments[0] + ", " + way, Coefficient: 1}},
		Value: force * d.b.Mass[d.i] * statics.StandardGravity / float64(len(segments)),
	})
}
