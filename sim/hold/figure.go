package hold

import (
	"counterpoise/sim/statics"
)

// Figure is one body in a hold, placed in the plane: the general statics problem
// and the points that a free-body diagram is drawn from. Metres; x points right
// and y up.
type Figure struct {
	System   *statics.System
	Bones    []Bone
	Joints   []Joint
	Supports []Support
	Fixture  []Edge // what the body is held by: pole, bar, floor, wall, cables
}

// Bone is one segment as a line between two joints. Limbs of two sides that
// fall on each other in the plane are all there.
type Bone struct {
	Segment  string
	From, To statics.Vec
	Behind   bool // the far side of a pair that does not fall on the near one
}

// Joint is a cut at which moments are worth showing. The moments at the joints
// of Segments, which coincide in the plane, add up.
type Joint struct {
	Name     string // as "shoulders" or "top shoulder"
	At       statics.Vec
	Segments []string // those whose joint it is
}

// Support is a point at which the outside holds the body; the forces of its
// Reactions, which coincide in the plane, add up.
type Support struct {
	Name      string // as "both hands"
	At        statics.Vec
	Reactions []string
}

// Edge is a straight part of a fixture.
type Edge struct {
	Name     string // "pole", "bar", "floor", "wall", "cable", "box"; a bar seen end-on has no length
	From, To statics.Vec
}
