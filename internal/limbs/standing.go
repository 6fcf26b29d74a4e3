package limbs

import (
	"slices"
	"strings"

	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/statics"
)

// Standing is the body of a figure, whose measures b has, upright on its feet, its first arm straight and raised by an
// angle from the trunk: seen from the front out to its own side, seen from the side ahead. The other
// arm hangs. The hand is that of the raised arm, along that arm's way from the shoulder, and further
// where the hand goes if it is raised further.
func Standing(f *hold.Figure, b *body.Columns, fromFront bool, raised float64) (up *hold.Figure, hand, along, further statics.Vec) {
	chest := boneOf(f, hold.SegmentChest)
	down := unit(chest.From, boneOf(f, hold.SegmentPelvis).To)
	turned := func(p statics.Vec) statics.Vec { // about the neck, so that the trunk hangs from it
		v := p.Minus(chest.From)
		return statics.Vec{X: float64(v.Y*down.X) - float64(v.X*down.Y), Y: -float64(v.X*down.X) - float64(v.Y*down.Y)}
	}
	up = &hold.Figure{Mass: f.Mass, Facing: f.Facing, System: &statics.System{Segments: slices.Clone(f.System.Segments)}}
	for k := range up.System.Segments {
		up.System.Segments[k].Centre = turned(up.System.Segments[k].Centre)
	}
	ahead, first := f.Facing, ""
	// In the hold limbs may leave the plane, and hands and feet be part of what they belong to.
	lengths := map[string]float64{"upper arm": b.UpperArm[0], "forearm": b.Forearm[0], "hand": b.Grip[0], "thigh": b.Thigh[0], "shank": b.Shank[0], "foot": b.Foot[0] - b.Heel[0]}
	ends := map[string]statics.Vec{} // of every limb's bones so far
	for _, b := range f.Bones {
		b.From, b.To = turned(b.From), turned(b.To)
		side, part, _ := strings.Cut(b.Segment, " ")
		length := lengths[part]
		way := statics.Vec{Y: -1}
		switch part {
		case "upper arm", "forearm", "hand":
			if first == "" {
				if first = side; fromFront {
					ahead = math.Copysign(1, b.From.X)
				}
			}
			if side == first {
				sin, cos := math.Sincos(raised)
				along, further = statics.Vec{X: float64(ahead * sin), Y: -cos}, statics.Vec{X: float64(ahead * cos), Y: sin}
				way = along
			}
		case "foot":
			if fromFront { // it points to the eye
				length *= 0.4
			} else {
				way = statics.Vec{X: f.Facing}
			}
		case "thigh", "shank":
		default:
			up.Bones = append(up.Bones, b)
			continue
		}
		if end, begun := ends[side]; begun {
			b.From = end
		}
		b.To = b.From.Plus(way.Times(length))
		ends[side] = b.To
		up.Bones = append(up.Bones, b)
	}
	return up, ends[first], along, further
}
