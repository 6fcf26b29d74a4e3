// Package limbs gives the bones of a figure the widths by which pictures show them.
// They serve only the eye: nothing is computed from them.
package limbs

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/sim/hold"
	"counterpoise/sim/statics"
)

// Limb is a part of the body as pictures have it: between two points, as wide at each
// as said. Metres.
type Limb struct {
	From, To           statics.Vec
	FromWidth, ToWidth float64
	Head               bool // a circle of which From and To are the two ends
	Far                bool // behind the body, seen from the side
	Over               bool // before the trunk, seen from the side: an arm
}

// widths are those of the parts of the body, at their beginning and end in metres. The
// trunk is wider from the front, where its name has that first.
var widths = []struct {
	part     string
	from, to float64
}{
	{"upper arm", 0.095, 0.075}, {"forearm", 0.075, 0.05}, {"hand", 0.045, 0.035},
	{"thigh", 0.15, 0.105}, {"shank", 0.105, 0.065}, {"foot", 0.06, 0.035},
	{"chest", 0.16, 0.19}, {"middle trunk", 0.19, 0.17}, {"pelvis", 0.17, 0.17}, {"head", 0.1, 0.1},
	{"front chest", 0.2, 0.26}, {"front middle trunk", 0.26, 0.22}, {"front pelvis", 0.22, 0.21},
}

// shoulderWidth is that of the line from the neck to a shoulder seen from the
// front, m.
const shoulderWidth = 0.11

func widthsOf(segment string, fromFront bool) (from, to float64, err error) {
	if fromFront {
		for _, w := range widths {
			if w.part == "front "+segment {
				return w.from, w.to, nil
			}
		}
	}
	for _, w := range widths {
		if segment == w.part || strings.HasSuffix(segment, " "+w.part) {
			return w.from, w.to, nil
		}
	}
	return 0, 0, fmt.Errorf("limbs: no width for the segment %q", segment)
}

// FromFront reports whether the bodies of a hold are seen from the front.
func FromFront(h *hold.Hold) bool { return strings.HasPrefix(h.Plane, "frontal") }

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

// Of returns the limbs of a figure. It fails for a segment that it knows no width of.
func Of(f *hold.Figure, fromFront bool) ([]Limb, error) {
	segments := map[string]statics.Segment{}
	for _, s := range f.System.Segments {
		segments[s.Name] = s
	}
	var list []Limb
	for _, bone := range f.Bones {
		from, to, err := widthsOf(bone.Segment, fromFront)
		if err != nil {
			return nil, err
		}
		far := !fromFront && (strings.HasPrefix(bone.Segment, "right ") || strings.HasPrefix(bone.Segment, "other "))
		limb := Limb{From: bone.From, To: bone.To, FromWidth: from, ToWidth: to, Far: far, Over: !fromFront && strings.HasPrefix(bone.Segment, "left ")}
		if bone.Segment == "head" { // a neck, and a circle about the head's centre that ends with the bone
			centre := segments[bone.Segment].Centre
			limb.To = centre
			crown := bone.To.Minus(centre)
			list = append(list, limb, Limb{From: centre.Minus(crown), To: bone.To, Head: true})
			continue
		}
		// Seen from the front the shoulders stand off the neck.
		s := segments[bone.Segment]
		if neck := segments[s.Parent]; fromFront && strings.HasSuffix(bone.Segment, "upper arm") {
			list = append(list, Limb{From: boneOf(f, neck.Name).From, To: limb.From, FromWidth: 1.4 * shoulderWidth, ToWidth: shoulderWidth})
		}
		if strings.HasSuffix(bone.Segment, "foot") {
			list = append(list, footOnFloor(f, limb)...)
			continue
		}
		list = append(list, limb)
	}
	return list, nil
}

// footOnFloor bends a foot where it would reach through the floor, as toes do:
// the model has it straight, which its weight does not notice.
func footOnFloor(f *hold.Figure, foot Limb) []Limb {
	for _, e := range f.Fixture {
		level := e.From.Y
		under := foot.To.X >= math.Min(e.From.X, e.To.X) && foot.To.X <= math.Max(e.From.X, e.To.X)
		if e.From.Y != e.To.Y || !under || foot.To.Y >= level || foot.From.Y < level-1e-9 {
			continue
		}
		whole := foot.To.Minus(foot.From).Length()
		t := math.Max(0, (foot.From.Y-level)/(foot.From.Y-foot.To.Y))
		bend := statics.Vec{X: foot.From.X + t*(foot.To.X-foot.From.X), Y: level}
		width := foot.FromWidth + t*(foot.ToWidth-foot.FromWidth)
		toes := foot
		toes.From, toes.FromWidth = bend, width
		way := foot.To.X - foot.From.X
		if math.Abs(way) < foot.From.Y-foot.To.Y { // a steep foot stands on its ball, toes to the front
			way = f.System.CentreOfMass().X - bend.X
		}
		toes.To = statics.Vec{X: bend.X + math.Copysign((1-t)*whole, way), Y: level}
		if t == 0 {
			return []Limb{toes}
		}
		foot.To, foot.ToWidth = bend, width
		return []Limb{foot, toes}
	}
	return []Limb{foot}
}

func boneOf(f *hold.Figure, segment string) hold.Bone {
	for _, b := range f.Bones {
		if b.Segment == segment {
			return b
		}
	}
	return hold.Bone{}
}
