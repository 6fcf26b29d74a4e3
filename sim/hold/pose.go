package hold

import (
	"math"

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
	NumVariants
)

// VariantInfo describes a variant. Values lie in Least..Most; a yes or no is 1
// or 0.
type VariantInfo struct {
	Name        string // as written in files
	Unit        string // "m", "rad" or "" for a yes or no
	Meaning     string
	Least, Most float64
}

var variants = [NumVariants]VariantInfo{
	Bent:         {"bent", "", "elbows bent to the assumption elbow_angle", 0, 1},
	Kneeling:     {"kneeling", "", "on the knees, the lower legs on the floor", 0, 1},
	OneArm:       {"one_arm", "", "on one arm, the other at the side", 0, 1},
	FeetRaised:   {"feet_raised", "m", "height of the feet above the hands' floor", 0, 1.2},
	HandsRaised:  {"hands_raised", "m", "height of the hands above the feet's floor", 0, 1.2},
	WallDistance: {"wall_distance", "m", "distance from the hands to the wall", 0.02, 1.2},
	ArmsLow:      {"arms_low", "rad", "how far the arms point below the level", 0, 4 * math.Pi / 9},
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

// With returns the pose with every variant that is set in change taken from
// there.
func (p Pose) With(change Pose) Pose {
	for v, value := range change {
		if value != 0 {
			p[v] = value
		}
	}
	return p
}
