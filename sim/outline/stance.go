package outline

import (
	"counterpoise/sim/assume"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
)

// The directions of a body's parts.
const (
	toAbdomen = iota + 1
	toPelvis
	toCrown
	upperArms
	forearms  = upperArms + 2
	thighs    = forearms + 2
	shanks    = thighs + 2
	feet      = shanks + 2
	numParts  = feet + 2
	alongside = 0 // the chest
)

// turn is an angle in the plane that may hang on the free one: at + by·free, rad.
type turn struct{ at, by float64 }

func (t turn) plus(u turn) turn {
	return turn{float64(t.at) + float64(u.at), float64(t.by) + float64(u.by)}
}
func (t turn) times(k float64) turn         { return turn{t.at * k, t.by * k} }
func (t turn) with(free float64) float64    { return t.at + float64(t.by*free) }
func (t turn) wrapped(free float64) float64 { return wrap(t.with(free)) }

// wrap brings an angle into (−π, π], that just short of −π to π.
func wrap(angle float64) float64 {
	const rounding = 1e-9
	w := math.Remainder(angle, 2*math.Pi)
	if w < -math.Pi+rounding {
		w += 2 * math.Pi
	}
	return w
}

// direction is where a part points at a free angle of 0, how it turns with it (−1, 0
// or 1), and how much of its length is seen in the plane.
type direction struct {
	from statics.Vec
	by   float64
	seen float64
}

func directionOf(t turn, seen float64) direction {
	sin, cos := math.Sincos(t.at)
	return direction{statics.Vec{X: cos, Y: sin}, t.by, seen}
}

// stance is a posture of an outline, the same for a block of bodies.
type stance struct {
	to [numParts]direction
	// The angles of joints, as the curves of strength count them: between arm and trunk,
	// elbows' flexion, bend of the waist, hips' flexion.
	shoulder, elbow, hip [2]turn
	fore                 [2]turn // of the forearms, from the level
	waist                turn
	rigid                bool // whether trunk, head and legs stay where they are at any free angle
	// sense turns a moment at a shoulder or elbow, counterclockwise on the arm, into one
	// that raises or bends it.
	sense [2]float64
	// across points from the middle of the shoulders to the first one, seen from the front.
	across direction
}

// angle is the turn of a part's angle.
func (a Angle) turn(set *assume.Set) turn {
	if id, is := a.Assumed.ID(); is {
		if id == assume.ElbowAngle { // that between the parts, which is not the bend
			return turn{math.Pi - set[id], 0}
		}
		return turn{set[id], 0}
	}
	if a.Free {
		return turn{0, 1}
	}
	return turn{a.Value, 0}
}

// from is where a part points that is joined to one that points before, and bends
// counterclockwise from there where sense is 1.
func (a Angle) from(before turn, sense float64, set *assume.Set) turn {
	if a.Against == Level {
		return a.turn(set)
	}
	return before.plus(a.turn(set).times(sense))
}

// spine returns where chest, abdomen and pelvis point, and the bends between them.
func (o *Outline) spine(facing float64, a *assume.Set) (chest, abdomen, pelvis turn) {
	chest = o.Parts[Chest].First.turn(a)
	abdomen = o.Parts[Abdomen].First.from(chest, facing, a)
	return chest, abdomen, o.Parts[Pelvis].First.from(abdomen, facing, a)
}

// middle is the free angle in the middle of its range, 0 where there is none.
func (o *Outline) middle() float64 {
	if o.Free == nil {
		return 0
	}
	return (o.Free.From + o.Free.To) / 2
}

// facing is 1 where the belly lies counterclockwise of the line from the shoulders to
// the feet, else −1; 0 where the outline faces along that line.
func (o *Outline) facing() float64 {
	if o.View == Front {
		return 1
	}
	a := assume.Defaults()
	chest, _, _ := o.spine(1, &a)
	sin, cos := math.Sincos(chest.with(o.middle()))
	looks := [NumFacings]statics.Vec{FacesUp: {Y: 1}, FacesDown: {Y: -1}, FacesLeft: {X: -1}, FacesRight: {X: 1}}[o.Faces]
	side := statics.Vec{X: cos, Y: sin}.Cross(looks)
	if math.Abs(side) < 0.1 {
		return 0
	}
	return math.Copysign(1, side)
}

// firstSide is 1 where the first shoulder of a hold seen from the front, the top or left
// one, lies counterclockwise of the line to the feet, else −1.
func (o *Outline) firstSide() float64 {
	a := assume.Defaults()
	chest, _, _ := o.spine(1, &a)
	sin, cos := math.Sincos(chest.with(o.middle()))
	if up := cos; math.Abs(up) > math.Abs(sin) { // counterclockwise is (−sin, cos)
		return math.Copysign(1, up)
	}
	return math.Copysign(1, sin)
}

// stands says how an outline is taken up in a posture.
func (c *compiled) stands(p hold.Posture, a *assume.Set) stance {
	o := c.Outline
	var st stance
	chest, abdomen, pelvis := o.spine(c.facing, a)
	st.to[alongside], st.to[toAbdomen], st.to[toPelvis] = directionOf(chest, 1), directionOf(abdomen, 1), directionOf(pelvis, 1)
	st.waist = pelvis.plus(abdomen.times(-1)).times(c.facing)
	st.to[toCrown] = directionOf(o.Parts[Head].First.from(chest.plus(turn{math.Pi, 0}), -c.facing, a), 1)
	st.across = directionOf(chest.plus(turn{c.first * math.Pi / 2, 0}), 1)
	for side := range 2 {
		c.arm(&st, side, chest, a)
		c.leg(&st, side, pelvis, p.Legs, a)
	}
	st.rigid = true
	for _, k := range [...]int{alongside, toAbdomen, toPelvis, toCrown, thighs, thighs + 1, shanks, shanks + 1, feet, feet + 1} {
		st.rigid = st.rigid && st.to[k].by == 0
	}
	return st
}

func (c *compiled) arm(st *stance, side int, chest turn, a *assume.Set) {
	sense, seen := c.sense(side), math.Cos(c.ArmsSpread)
	upper := c.Parts[UpperArm].Of(side).from(chest, sense, a)
	lower := c.Parts[Forearm].Of(side).from(upper, sense, a)
	st.sense[side], st.fore[side] = sense, lower
	st.shoulder[side] = upper.plus(chest.times(-1)).times(sense)
	st.elbow[side] = lower.plus(upper.times(-1)).times(sense)
	st.to[upperArms+side], st.to[forearms+side] = directionOf(upper, seen), directionOf(lower, seen)
}

func (c *compiled) leg(st *stance, side int, pelvis turn, legs hold.Legs, a *assume.Set) {
	way := c.sense(side)
	thigh := c.Parts[Thigh].Of(side).from(pelvis, way, a)
	shank := c.Parts[Shank].Of(side).from(thigh, -way, a)
	seenThigh := math.Cos(c.LegsApart)
	seenShank := seenThigh
	bent := legs.Form == hold.Tuck || legs.Form == hold.AdvancedTuck || legs.Form == hold.OneLeg && side == 1
	switch {
	case bent && c.View == Front: // out of the plane
		seenThigh, seenShank = math.Cos(legs.Hip), math.Cos(legs.Hip-legs.Knee)
	case bent:
		thigh = pelvis.plus(turn{c.facing * legs.Hip, 0})
		shank = thigh.plus(turn{-c.facing * legs.Knee, 0})
		seenThigh, seenShank = 1, 1
	case legs.Form == hold.Straddle && c.View == Front:
		thigh = thigh.plus(turn{way * legs.Angle, 0})
		shank = shank.plus(turn{way * legs.Angle, 0})
	case legs.Form == hold.Straddle:
		seenThigh = math.Cos(legs.Angle)
		seenShank = seenThigh
	}
	st.hip[side] = thigh.plus(pelvis.times(-1)).times(way)
	st.to[thighs+side], st.to[shanks+side] = directionOf(thigh, seenThigh), directionOf(shank, seenShank)
	foot := st.to[shanks+side]
	if c.Feet == Standing {
		foot = directionOf(shank.plus(turn{c.facing * math.Pi / 2, 0}), 1)
	}
	st.to[feet+side] = foot
}

// pointed fills v with the parts' directions at a free angle; what leaves the plane is
// shorter than 1.
func (st *stance) pointed(free float64, v *[numParts]statics.Vec, across *statics.Vec) {
	sin, cos := 0.0, 1.0
	if free != 0 {
		sin, cos = math.Sincos(free)
	}
	for k := range st.to {
		v[k] = st.to[k].at(sin, cos)
	}
	*across = st.across.at(sin, cos)
}

func (d *direction) at(sin, cos float64) statics.Vec {
	if d.by == 0 {
		return d.from.Times(d.seen)
	}
	sin *= d.by
	return statics.Vec{X: d.seen * (float64(cos*d.from.X) - float64(sin*d.from.Y)), Y: d.seen * (float64(sin*d.from.X) + float64(cos*d.from.Y))}
}
