package hold

import (
	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// Variant is a part of a pose that some holds have and others do not.
type Variant int

// The variants. Each is a yes or no, a length or an angle: see Info.
const (
	Bent         Variant = iota // elbows bent to the assumption elbow_angle
	Kneeling                    // on the knees
	OneArm                      // on one arm, the other at the side
	FeetRaised                  // metres above the hands' floor
	HandsRaised                 // metres above the feet's floor
	WallDistance                // from the hands to the wall, metres
	ArmsLow                     // arms below the level, radians
	RingsApart                  // distance between the points from which rings hang, metres
	CableLength                 // from there to the hands, metres
	NumVariants
)

// VariantInfo describes a variant. Values lie in Least..Most; a yes or no is 1
// or 0.
type VariantInfo struct {
	Name        string // as written in files
	Unit        string // "m", "rad" or "" for a yes or no
	Meaning     string
	Least, Most float64
	Default     float64 // where a pose gives none; 0 is a no
}

var variants = [NumVariants]VariantInfo{
	Bent:         {"bent", "", "elbows bent to the assumption elbow_angle", 0, 1, 0},
	Kneeling:     {"kneeling", "", "on the knees, lower legs on the floor", 0, 1, 0},
	OneArm:       {"one_arm", "", "on one arm, the other at the side", 0, 1, 0},
	FeetRaised:   {"feet_raised", "m", "height of the feet above the hands' floor", 0, 0.7, 0},
	HandsRaised:  {"hands_raised", "m", "height of the hands above the feet's floor", 0, 1.2, 0},
	WallDistance: {"wall_distance", "m", "distance from the hands to the wall", 0.02, 1.2, DefaultWallDistance},
	ArmsLow:      {"arms_low", "rad", "how far the arms point below the level", 0, math.Pi / 3, 0},
	RingsApart:   {"rings_apart", "m", "distance between the points where the rings hang", 0.1, 3, 0.5},
	CableLength:  {"cable_length", "m", "length of the cables from there to the hands", 0.5, 30, 3},
}

// Info returns the variant's name, unit, meaning and range.
func (v Variant) Info() VariantInfo { return variants[v] }

var variantNames = names.Rows[Variant](variants[:], func(v *VariantInfo) string { return v.Name })

// String returns the variant's name.
func (v Variant) String() string { return variantNames.Of(v) }

// ParseVariant finds a variant by its name.
func ParseVariant(name string) (Variant, bool) { return variantNames.Find(name) }

// Pose is the value of every variant; 0 is a no, or the hold's own default.
type Pose [NumVariants]float64

// Is reports whether a variant is set.
func (p Pose) Is(v Variant) bool { return p[v] != 0 }

// Or returns the value of a variant, its default where the pose gives none.
func (p Pose) Or(v Variant) float64 {
	if p[v] != 0 {
		return p[v]
	}
	return variants[v].Default
}
