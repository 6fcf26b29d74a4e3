package hold

import (
	"slices"

	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
)

// Demand is one thing that a hold asks of a body. A demand is the same as another
// where the pointers are; those of one's own are made like the ones below.
type Demand = *DemandInfo

// DemandInfo describes a demand.
type DemandInfo struct {
	Name    string // as written in files
	Unit    string // "BW", "BW·m", "rad", "m" or "" for a plain ratio
	Meaning string
	// Signed is whether the sign says something; else sizes are compared.
	Signed bool
	// Oracle tells the demand from the general solver. Without one nobody could check
	// what holds say of it, and their battery fails.
	Oracle Oracle
}

// The demands of the holds of this package.
var (
	RequiredForce        = &DemandInfo{"required_force", "BW", "the largest force along one straight arm", false, largestForce}
	Difficulty           = &DemandInfo{"difficulty", "", "demand on the muscles used most, over what they give in an untrained adult of the same sex, size, build and age", false, difficultyOf}
	ArmAngle             = &DemandInfo{"best_angle", "rad", "angle between arms and pole: the best one, unless the posture is fixed", false, armAngle}
	HandSpacing          = &DemandInfo{"hand_spacing", "m", "distance between the hands along the pole", false, handSpacing}
	AxialTop             = &DemandInfo{"axial_force_top", "BW", "pull along the top arm, at the grip", true, axialTop}
	AxialBottom          = &DemandInfo{"axial_force_bottom", "BW", "push along the bottom arm, at the grip", true, axialBottom}
	HorizontalForce      = &DemandInfo{"horizontal_force", "BW", "horizontal force at each hand: a pull on top, a push below", true, pullOnTop}
	TopShare             = &DemandInfo{"top_share", "BW", "vertical force at the top hand; the bottom hand carries the rest of the weight", true, topShare}
	FrictionTop          = &DemandInfo{"friction_top", "", "vertical over horizontal force at the top hand: the friction needed from the pole", true, frictionAt("top")}
	FrictionBottom       = &DemandInfo{"friction_bottom", "", "vertical over horizontal force at the bottom hand: the friction needed from the pole", true, frictionAt("bottom")}
	ShoulderMoment       = &DemandInfo{"shoulder_moment", "BW·m", "moment at the shoulder, without its sign: both together where they carry the same, else the larger", false, shoulderMoment}
	ShoulderMomentTop    = &DemandInfo{"shoulder_moment_top", "BW·m", "moment at the top shoulder; positive loads the adductors", true, fromFeet(momentAt(JointTopShoulder, 1))}
	ShoulderMomentBottom = &DemandInfo{"shoulder_moment_bottom", "BW·m", "moment at the bottom shoulder; positive loads the abductors", true, fromFeet(momentAt(JointBottomShoulder, 1))}
	WaistMoment          = &DemandInfo{"waist_moment", "BW·m", "moment of everything beyond the waist about the waist", false, momentAt(JointWaist, 1)}
	HipMoment            = &DemandInfo{"hip_moment", "BW·m", "moment of both legs about the hips", false, momentAt(JointHips, 1)}
	LeanAngle            = &DemandInfo{"lean_angle", "rad", "angle of the arms from the vertical; of the whole body where it is one straight line", false, leanAngle}
	ArmTrunkAngle        = &DemandInfo{"arm_trunk_angle", "rad", "angle between the arms and the trunk, 0 with the arms at the sides", false, armTrunkAngle}
	HandShare            = &DemandInfo{"hand_share", "BW", "weight on the hands or forearms together", false, carriedBy(isArm)}
	FootShare            = &DemandInfo{"foot_share", "BW", "weight on the feet or knees", false, carriedBy(isLeg)}
	PushLean             = &DemandInfo{"push_lean", "", "horizontal over vertical force of the floor on hands or forearms, towards the head", true, pushLean}
	WallPush             = &DemandInfo{"wall_push", "BW", "horizontal push of the wall on the heels", false, wallPush}
	ElbowMoment          = &DemandInfo{"elbow_moment", "BW·m", "moment at the elbow, without its sign: both together where they carry the same, else the larger", false, atLimbs(" forearm")}
	WristMoment          = &DemandInfo{"wrist_moment", "BW·m", "moment at the wrist, without its sign: both together where they carry the same, else the larger", false, atLimbs(" hand")}
	WristAngle           = &DemandInfo{"wrist_angle", "rad", "how far flat hands on the floor bend the wrists back", false, wristAngle}
	CableLean            = &DemandInfo{"cable_lean", "rad", "how far the hands pull the rings' cables outwards", true, cableLean}
	GripForce            = &DemandInfo{"grip_force", "BW", "the largest force that a hand must grip against", false, gripForce}
)

// usesOf holds the demands that UseOf returns.
var usesOf = func() (list [muscle.NumGroups]*DemandInfo) {
	for g := range muscle.NumGroups {
		list[g] = &DemandInfo{"use_of_" + g.String(), "", "share used of the strength of an untrained adult of the same sex, size, build and age: " + g.Info().Says, false, usedOf(g)}
	}
	return
}()

// UseOf returns the demand that says how much of a group's capacity is used, the larger
// where both sides are.
func UseOf(g muscle.Group) Demand { return usesOf[g] }

var demands = []Demand{
	RequiredForce, Difficulty, ArmAngle, HandSpacing, AxialTop, AxialBottom, HorizontalForce, TopShare, FrictionTop, FrictionBottom, ShoulderMoment,
	ShoulderMomentTop, ShoulderMomentBottom, WaistMoment, HipMoment, LeanAngle, ArmTrunkAngle, HandShare, FootShare,
	PushLean, WallPush, ElbowMoment, WristMoment, WristAngle, GripForce, CableLean,
}

func init() { demands = append(demands, usesOf[:muscle.ArmPull]...) }

// Demands returns every demand of the holds of this package, in the order in
// which they are listed to people.
func Demands() []Demand { return slices.Clone(demands) }

// ParseDemand finds a demand of the holds of this package by its name.
func ParseDemand(name string) (Demand, bool) {
	return names.First(demands, func(d Demand) bool { return d.Name == name })
}

// String returns the demand's name, "" of none.
func (d *DemandInfo) String() string {
	if d == nil {
		return ""
	}
	return d.Name
}

// MarshalText writes the demand's name.
func (d *DemandInfo) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// Column is the room for one demand of a block of bodies, nil where nobody asked
// for it.
type Column []float64

// Set writes one value where the column is wanted.
func (c Column) Set(row int, value float64) {
	if c != nil {
		c[row] = value
	}
}

// Result is what a hold asks of a block of bodies. The rows of bodies that cannot
// take the posture have Possible false and hold zeros.
type Result struct {
	Possible []bool
	Limit    []Limit
	// Value has a column for each demand that was asked for: angles in radians,
	// lengths in metres, forces in BW, moments in BW·m.
	Value map[Demand][]float64

	loads *[]Load   // for Loads
	room  *Capacity // for Carrying
}

// NewResult returns room for a number of bodies and the demands asked for.
func NewResult(rows int, asked ...Demand) *Result {
	r := &Result{Possible: make([]bool, rows), Limit: make([]Limit, rows), Value: make(map[Demand][]float64, len(asked))}
	for _, d := range asked {
		r.Value[d] = make([]float64, rows)
	}
	return r
}

// Column returns the room for a demand. A Solve looks it up once a block.
func (r *Result) Column(d Demand) Column { return r.Value[d] }

// Allow marks a body as able to take the posture, and what decides there.
func (r *Result) Allow(row int, by Limit) { r.Possible[row], r.Limit[row] = true, by }

// Refuse marks a body as unable to take the posture.
func (r *Result) Refuse(row int) {
	r.Possible[row], r.Limit[row] = false, NoLimit
	for _, column := range r.Value {
		Column(column).Set(row, 0)
	}
}

// Slice returns the rows from..to-1 of a result without copying them.
func (r *Result) Slice(from, to int) *Result {
	s := &Result{Possible: r.Possible[from:to], Limit: r.Limit[from:to], Value: make(map[Demand][]float64, len(r.Value))}
	for d, column := range r.Value {
		if column != nil {
			s.Value[d] = column[from:to]
		}
	}
	return s
}

// Only returns the result with room for no other demands than those kept, without
// copying it.
func (r *Result) Only(kept []Demand) *Result {
	s := &Result{Possible: r.Possible, Limit: r.Limit, Value: make(map[Demand][]float64, len(kept))}
	for _, d := range kept {
		if column := r.Value[d]; column != nil {
			s.Value[d] = column
		}
	}
	return s
}
