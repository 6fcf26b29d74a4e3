// Package limbs draws the body about the bones of a figure: the one silhouette that charts,
// pages and the browser show, to scale along the bones. What it adds across them serves only
// the eye: nothing is computed from it.
package limbs

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
	"counterpoise/sim/statics"
)

// Shape is a closed outline of a part of the body, metres.
type Shape struct {
	Layer  Layer
	Points []statics.Vec
}

// Layer is where a shape lies. All shapes of a layer make one silhouette: their outlines are
// drawn first, then they are filled.
type Layer int

// The layers, from behind.
const (
	Far    Layer = iota // limbs on the far side, seen from the side
	Behind              // limbs behind the head, which are as near
	Body
	Over // limbs before the trunk, seen from the side
	NumLayers
)

var layerNames = names.List[Layer]{"far", "behind", "body", "over"}

// String is the layer's name, "far", "behind", "body" or "over".
func (l Layer) String() string { return layerNames.Of(l) }

// Load is what bears a body beside its supports, as one force: the floor under the
// lower legs of one who kneels, and under what they carry. The force is nothing where there is none.
func Load(f *hold.Figure) (at, force statics.Vec) {
	loads := f.System.Loads
	bear := func(where, up statics.Vec) {
		force = force.Plus(up)
		at = at.Plus(where.Times(up.Length()))
	}
	for _, c := range f.Carried {
		if c.Borne {
			bear(c.At, statics.Vec{Y: c.Kilograms * f.System.Gravity})
		} else { // the last of them are what is carried
			loads = loads[:len(loads)-1]
		}
	}
	for _, l := range loads {
		if !slices.ContainsFunc(f.Pulls, func(p hold.Pull) bool { return p.At == l.At }) {
			bear(l.At, l.Force)
		}
	}
	if size := force.Length(); size > 0 {
		at = at.Times(1 / size)
	}
	return at, force
}

// Carried lists what a body carries; what of both sides falls together in the plane is one.
func Carried(f *hold.Figure) []hold.Carried {
	const together = 1e-9
	var list []hold.Carried
	for _, c := range f.Carried {
		if n := len(list); n > 0 && list[n-1].Point == c.Point && list[n-1].At.Minus(c.At).Length() < together {
			list[n-1].Kilograms += c.Kilograms
			continue
		}
		list = append(list, c)
	}
	return list
}

// A station is how far a part of the body reaches to both sides of its bone, at a share of
// its length: to the belly's side and to the back's, or to both sides alike. Metres, of a
// body of 75 kg that is 1.75 m tall.
type station struct{ at, belly, back float64 }

func even(at, half float64) station { return station{at, half, half} }

// parts are the outlines of limbs along their bones, by the end of the segment's name.
var parts = []struct {
	name  string
	along []station
}{
	{"upper arm", []station{even(0, 0.050), even(0.35, 0.053), even(0.75, 0.042), even(1, 0.037)}},
	{"forearm", []station{even(0, 0.037), even(0.25, 0.043), even(0.7, 0.031), even(1, 0.024)}},
	{"hand", []station{even(0, 0.024), even(0.45, 0.025), even(1, 0.013)}},
	{"thigh", []station{even(0, 0.084), even(0.25, 0.085), even(0.7, 0.063), even(1, 0.052)}},
	{"shank", []station{even(0, 0.050), {0.3, 0.045, 0.062}, {0.75, 0.034, 0.037}, even(1, 0.031)}},
	{"foot", []station{even(0, 0.034), even(0.5, 0.030), even(1, 0.017)}},
}

// fromTheFront are those that look otherwise from there, narrower, so that there are two legs.
var fromTheFront = map[string][]station{
	"thigh": {even(0, 0.074), even(0.25, 0.073), even(0.7, 0.058), even(1, 0.049)},
	"shank": {even(0, 0.048), even(0.3, 0.054), even(0.75, 0.036), even(1, 0.029)},
	"foot":  {even(0, 0.029), even(0.45, 0.034), even(0.8, 0.036), even(1, 0.020)},
}

// The trunk along its three bones, from the neck: a share of one is as far from its
// beginning. Beyond the hips it ends in the buttocks.
var (
	sideOfTrunk = [3][]station{
		{{0, 0.045, 0.050}, {0.35, 0.100, 0.092}, {0.8, 0.118, 0.098}},
		{{0.2, 0.108, 0.082}, {0.9, 0.092, 0.070}},
		{{0.4, 0.090, 0.100}, {1, 0.074, 0.116}, {1.25, 0.060, 0.100}, {1.45, 0.030, 0.050}},
	}
	frontOfTrunk = [3][]station{
		{even(0, 0.100), even(0.3, 0.155), even(0.9, 0.148)},
		{even(0.4, 0.130), even(0.9, 0.120)},
		{even(0.5, 0.138), even(1, 0.150), even(1.5, 0.110)},
	}
)

// face is the outline of a head seen from the side, in halves of its height: ahead of its
// axis to the face's side, and along it from the chin to the crown.
var face = [][2]float64{
	{0, 1}, {0.5, 0.84}, {0.75, 0.45}, {0.76, 0.2}, {0.82, 0}, {0.95, -0.2}, {0.82, -0.3}, {0.8, -0.55}, {0.74, -0.8}, {0.5, -0.98}, {0.05, -0.72}, {-0.4, -0.62}, {-0.74, -0.3}, {-0.86, 0.15}, {-0.7, 0.66}, {-0.36, 0.93},
}

// Halves in metres, of the same body: necks, and the line from there to a shoulder that is
// seen from the front; fists; and a head from the front, of its half height.
const (
	neckHalf, shoulderHalf = 0.052, 0.055
	fist                   = 0.042
	headAcross             = 0.74
	hipsOut                = 0.080 // from the middle to a hip that is seen from the front
	kneesOut, anklesOut    = 0.070, 0.054
)

// Silhouette draws a figure. It fails for a segment that it knows no outline of.
func Silhouette(f *hold.Figure, fromFront bool) ([]Shape, error) {
	d := &drawing{figure: f, front: fromFront, broad: breadth(f), segments: map[string]statics.Segment{}}
	for _, s := range f.System.Segments {
		d.segments[s.Name] = s
	}
	d.trunk()
	for _, bone := range f.Bones {
		if slices.Contains(trunkBones[:], bone.Segment) || d.hidden(bone.Segment) {
			continue
		}
		if out := d.aside(bone.Segment); fromFront {
			bone.From, bone.To = bone.From.Plus(out[0]), bone.To.Plus(out[1])
		}
		if err := d.bone(bone); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(d.shapes, func(a, b Shape) int { return int(a.Layer - b.Layer) })
	return d.shapes, nil
}

// aside is how far the ends of a leg's bone lie from the middle, where all bones of legs are: on
// the side to which its thigh goes, or one leg on each. It is nothing of other segments.
func (d *drawing) aside(segment string) [2]statics.Vec {
	leg, part, _ := strings.Cut(segment, " ")
	side, isLeg := map[string]float64{"first": 1, "other": -1}[leg]
	foot := boneOf(d.figure, leg+" foot")
	const same = 1e-6 // m
	if !isLeg || slices.ContainsFunc(d.figure.Supports, func(s hold.Support) bool {
		return s.Name == hold.SupportFoot && leg == "first" && min(s.At.Minus(foot.From).Length(), s.At.Minus(foot.To).Length()) < same
	}) {
		return [2]statics.Vec{} // a foot that stands stays where it stands
	}
	pelvis, thigh := boneOf(d.figure, hold.SegmentPelvis), boneOf(d.figure, leg+" thigh")
	across, way := left(unit(pelvis.From, pelvis.To)), thigh.To.Minus(thigh.From)
	if off := float64(across.X*way.X) + float64(across.Y*way.Y); math.Abs(off) > same {
		side = math.Copysign(1, off)
	}
	out := map[string][2]float64{"thigh": {hipsOut, kneesOut}, "shank": {kneesOut, anklesOut}, "foot": {anklesOut, anklesOut}}[part]
	return [2]statics.Vec{across.Times(side * out[0] * d.broad), across.Times(side * out[1] * d.broad)}
}

// breadth is how many times as broad a body is as the one that stations are of: the root of
// its mass for its length.
func breadth(f *hold.Figure) float64 {
	length := 0.0
	for _, bone := range f.Bones {
		if slices.Contains(trunkBones[:], bone.Segment) || bone.Segment == hold.SegmentHead {
			length += bone.To.Minus(bone.From).Length()
		}
	}
	const usual = 75 / 0.80 // kg a metre of head and trunk
	return math.Sqrt(cmp.Or(f.Mass, f.System.Mass()) / length / usual)
}

var trunkBones = [...]string{hold.SegmentChest, hold.SegmentMiddleTrunk, hold.SegmentPelvis}

type drawing struct {
	figure   *hold.Figure
	segments map[string]statics.Segment
	front    bool
	broad    float64
	shapes   []Shape
}

func (d *drawing) add(l Layer, points []statics.Vec) { d.shapes = append(d.shapes, Shape{l, points}) }

// layer is that of a segment's shape. Of two arms the far one is seen where it is not behind the
// other; arms beside the head are behind it, so that there is a face.
func (d *drawing) layer(segment string) Layer {
	side, _, _ := strings.Cut(segment, " ")
	switch {
	case d.front:
		return Body
	case side == "left", side == "right":
		if d.besideHead(boneOf(d.figure, side+" upper arm")) {
			return Behind
		}
		return Over
	case side == "other":
		return Far
	}
	return Body
}

// besideHead reports whether an arm goes the way of the head.
func (d *drawing) besideHead(arm hold.Bone) bool {
	const near = 0.8 // cosine
	head := boneOf(d.figure, hold.SegmentHead)
	a, b := unit(arm.From, arm.To), unit(head.From, head.To)
	return float64(a.X*b.X)+float64(a.Y*b.Y) > near
}

// hidden reports whether the limb of a segment is behind its twin of the other side, seen from the side.
func (d *drawing) hidden(segment string) bool {
	side, part, _ := strings.Cut(segment, " ")
	before, isFar := map[string]string{"right": "left", "other": "first"}[side]
	return isFar && !d.front && boneOf(d.figure, segment) == d.twin(part, before, side)
}

// twin is the bone of one side's part, under the name of the other's.
func (d *drawing) twin(part, side, other string) hold.Bone {
	twin := boneOf(d.figure, side+" "+part)
	twin.Segment = other + " " + part
	return twin
}

// trunk draws chest, abdomen and pelvis in one.
func (d *drawing) trunk() {
	of := sideOfTrunk
	if d.front {
		of = frontOfTrunk
	}
	belly := d.figure.Facing
	if d.front {
		belly = 1
	}
	var one, other []statics.Vec
	for k, name := range trunkBones {
		bone := boneOf(d.figure, name)
		along, across := bone.To.Minus(bone.From), left(unit(bone.From, bone.To)).Times(belly*d.broad)
		for _, at := range of[k] {
			p := bone.From.Plus(along.Times(at.at))
			one, other = append(one, p.Plus(across.Times(at.belly))), append(other, p.Minus(across.Times(at.back)))
		}
	}
	slices.Reverse(other)
	d.add(Body, smooth(append(one, other...)))
}

// bone draws what is about a bone other than the trunk's.
func (d *drawing) bone(bone hold.Bone) error {
	s := d.segments[bone.Segment]
	if bone.Segment == hold.SegmentHead {
		d.head(bone, s.Centre)
		return nil
	}
	if strings.HasSuffix(bone.Segment, "upper arm") && d.front {
		chest, head := boneOf(d.figure, s.Parent), boneOf(d.figure, hold.SegmentHead)
		neck := head.From.Plus(head.To.Minus(head.From).Times(0.2))
		ribs := chest.From.Plus(chest.To.Minus(chest.From).Times(0.4)).Plus(bone.From.Minus(chest.From).Times(0.45))
		deltoid := bone.From.Plus(bone.To.Minus(bone.From).Times(0.12))
		d.add(Body, capsule(chest.From, bone.From, 1.1*shoulderHalf*d.broad, shoulderHalf*d.broad))
		d.add(Body, capsule(neck, bone.From, 0.7*neckHalf*d.broad, 0.9*shoulderHalf*d.broad)) // the slope of the neck
		d.add(Body, capsule(ribs, deltoid, 0.065*d.broad, 1.08*shoulderHalf*d.broad))         // the armpit's folds
	}
	for _, part := range parts {
		if !strings.HasSuffix(bone.Segment, part.name) {
			continue
		}
		layer, along := d.layer(bone.Segment), part.along
		if other, has := fromTheFront[part.name]; has && d.front {
			along = other
		}
		switch {
		case part.name == "hand" && d.grips(bone.To):
			d.add(layer, capsule(bone.From, bone.To, part.along[0].belly*d.broad, fist))
			return nil
		case part.name == "foot":
			way := unit(bone.From, bone.To)
			back := left(way).Times(-d.figure.Facing * 0.012)
			d.add(layer, capsule(bone.From, bone.From.Plus(back).Minus(way.Times(0.012)), 0.034*d.broad, 0.033*d.broad)) // the heel
			for _, piece := range footOnFloor(d.figure, bone) {
				d.add(layer, d.limb(piece, along))
			}
			return nil
		}
		d.add(layer, d.limb(bone, along))
		return nil
	}
	return fmt.Errorf("limbs: no outline for the segment %q", bone.Segment)
}

// limb is the outline about one bone, with round ends.
func (d *drawing) limb(bone hold.Bone, along []station) []statics.Vec {
	first, last := along[0], along[len(along)-1]
	length := bone.To.Minus(bone.From).Length()
	if length < 1.2*first.belly*d.broad { // it leaves the plane: its end is seen
		widest := 0.0
		for _, at := range along {
			widest = max(widest, at.belly)
		}
		return capsule(bone.From, bone.To, widest*d.broad, widest*d.broad)
	}
	way := unit(bone.From, bone.To)
	side := cmp.Or(d.figure.Facing, 1)
	across := left(way).Times(side * d.broad)
	var one, other []statics.Vec
	for _, at := range along {
		p := bone.From.Plus(way.Times(at.at * length))
		one, other = append(one, p.Plus(across.Times(at.belly))), append(other, p.Minus(across.Times(at.back)))
	}
	slices.Reverse(other)
	points := append(one, bone.To.Plus(way.Times(0.9*last.belly*d.broad)))
	points = append(points, other...)
	return smooth(append(points, bone.From.Minus(way.Times(0.9*first.belly*d.broad))))
}

// head draws neck and head.
func (d *drawing) head(bone hold.Bone, centre statics.Vec) {
	base := neckHalf
	if d.front {
		base = 1.9 * neckHalf // with what slopes down to the shoulders
	}
	d.add(Body, capsule(bone.From, centre, base*d.broad, 0.8*neckHalf*d.broad))
	crown := bone.To.Minus(centre)
	ahead := left(crown).Times(-d.figure.Facing) // the crown lies away from the feet
	var points []statics.Vec
	if d.front || d.figure.Facing == 0 {
		for k := range 24 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 24)
			points = append(points, centre.Plus(crown.Times(cos)).Plus(left(crown).Times(headAcross*sin*(1+float64(0.1*cos)))))
		}
	} else {
		for _, p := range face {
			points = append(points, centre.Plus(ahead.Times(0.86*p[0])).Plus(crown.Times(p[1])))
		}
	}
	d.add(Body, smooth(points))
}

// grips reports whether a hand holds a pole, a bar or a ring.
func (d *drawing) grips(at statics.Vec) bool {
	return slices.ContainsFunc(d.figure.Fixture, func(e hold.Edge) bool {
		along := e.To.Minus(e.From)
		t := 0.0
		if size := along.Length(); size > 0 {
			to := at.Minus(e.From)
			t = min(max((float64(to.X*along.X)+float64(to.Y*along.Y))/(size*size), 0), 1)
		}
		return (e.Name == "pole" || e.Name == "bar" || e.Name == "cable") && at.Minus(e.From.Plus(along.Times(t))).Length() < fist
	})
}

func unit(from, to statics.Vec) statics.Vec {
	v := to.Minus(from)
	if size := v.Length(); size > 0 {
		return v.Times(1 / size)
	}
	return statics.Vec{X: 1}
}

// left is a vector turned by a quarter, counterclockwise.
func left(v statics.Vec) statics.Vec { return statics.Vec{X: -v.Y, Y: v.X} }

// capsule outlines two circles and the lines that touch both.
func capsule(a, b statics.Vec, ra, rb float64) []statics.Vec {
	length := b.Minus(a).Length()
	if length <= math.Abs(ra-rb) { // one circle holds the other
		if ra < rb {
			a, ra = b, rb
		}
		return ring(a, ra, 0, 2*math.Pi)
	}
	touch := math.Acos((ra - rb) / length) // the lines leave the circles at this angle from the axis
	axis := math.Atan2(b.Y-a.Y, b.X-a.X)
	return append(ring(b, rb, axis-touch, axis+touch), ring(a, ra, axis+touch, axis+2*math.Pi-touch)...)
}

// ring is part of a circle, counterclockwise, in steps of at most 15°.
func ring(centre statics.Vec, radius, from, to float64) []statics.Vec {
	steps := max(1, int(math.Ceil((to-from)/(math.Pi/12))))
	points := make([]statics.Vec, steps+1)
	for i := range points {
		sin, cos := math.Sincos(from + (to-from)*float64(i)/float64(steps))
		points[i] = statics.Vec{X: centre.X + float64(radius*cos), Y: centre.Y + float64(radius*sin)}
	}
	return points
}

// smooth puts a closed curve through points: centripetal would do no better for so few
// (Catmull & Rom 1974, uniform).
func smooth(points []statics.Vec) []statics.Vec {
	const steps = 5
	n := len(points)
	var curve []statics.Vec
	for i := range points {
		p, q, r, s := points[(i+n-1)%n], points[i], points[(i+1)%n], points[(i+2)%n]
		for k := range steps {
			t := float64(k) / steps
			at := func(p, q, r, s float64) float64 {
				return q + float64(t*(r-p)/2) + float64(t*t*(p-float64(2.5*q)+float64(2*r)-float64(s/2))) + float64(t*t*t*(float64(1.5*(q-r))+float64((s-p)/2)))
			}
			curve = append(curve, statics.Vec{X: at(p.X, q.X, r.X, s.X), Y: at(p.Y, q.Y, r.Y, s.Y)})
		}
	}
	return curve
}

// footOnFloor bends a foot where it would reach through the floor, as toes do:
// the model has it straight, which its weight does not notice.
func footOnFloor(f *hold.Figure, foot hold.Bone) []hold.Bone {
	for _, e := range f.Fixture {
		level := e.From.Y
		under := foot.To.X >= math.Min(e.From.X, e.To.X) && foot.To.X <= math.Max(e.From.X, e.To.X)
		if e.From.Y != e.To.Y || !under || foot.To.Y >= level || foot.From.Y < level-1e-9 {
			continue
		}
		whole := foot.To.Minus(foot.From).Length()
		t := math.Max(0, (foot.From.Y-level)/(foot.From.Y-foot.To.Y))
		bend := statics.Vec{X: foot.From.X + float64(t*(foot.To.X-foot.From.X)), Y: level}
		toes := foot
		toes.From = bend
		way := foot.To.X - foot.From.X
		if math.Abs(way) < foot.From.Y-foot.To.Y { // a steep foot stands on its ball, toes to the front
			way = f.System.CentreOfMass().X - bend.X
		}
		toes.To = statics.Vec{X: bend.X + math.Copysign((1-t)*whole, way), Y: level}
		if t == 0 {
			return []hold.Bone{toes}
		}
		foot.To = bend
		return []hold.Bone{foot, toes}
	}
	return []hold.Bone{foot}
}

func boneOf(f *hold.Figure, segment string) hold.Bone {
	bone, _ := names.First(f.Bones, func(b hold.Bone) bool { return b.Segment == segment })
	return bone
}
