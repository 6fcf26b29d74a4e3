// Package muscle names the groups of muscles that holds load and that have a strength,
// and says how a group's strength varies with the angle of its joint.
package muscle

import "counterpoise/sim/names"

// Group is a group of muscles that work together at a joint, or what a hand or a
// whole arm can take. Its strength is one arm's or one leg's, or the trunk's.
type Group int

// The groups.
const (
	ShoulderAdduction Group = iota
	ShoulderAbduction
	ShoulderFlexion
	ShoulderExtension
	ElbowFlexion
	ElbowExtension
	WristFlexion
	WristExtension
	WaistSideways
	WaistForward
	WaistBackward
	HipFlexion
	HipExtension
	HipAbduction
	Grip
	ArmPush
	ArmPull // the last: nobody has measured it
	NumGroups
)

// Info describes a group.
type Info struct {
	Name  string // as written in files
	Unit  string // "N" or "N·m"
	Says  string // what it is, in a sentence
	Angle string // what the angle of its strength is measured between
	Verb  string // what it does, after which "of the shoulder" may follow
	Part  string // of the body that it is at
	Many  string // the parts of both sides
}

var groups = [NumGroups]Info{
	ShoulderAdduction: {"shoulder_adduction", "N·m", "the muscles that bring the arm down to the side", "arm and trunk, seen from the front", "adduction", "shoulder", "shoulders"},
	ShoulderAbduction: {"shoulder_abduction", "N·m", "the muscles that lift the arm sideways", "arm and trunk, seen from the front", "abduction", "shoulder", "shoulders"},
	ShoulderFlexion:   {"shoulder_flexion", "N·m", "the muscles that lift the arm forwards", "arm and trunk, seen from the side; negative behind the trunk", "flexion", "shoulder", "shoulders"},
	ShoulderExtension: {"shoulder_extension", "N·m", "the muscles that bring the arm down from the front", "arm and trunk, seen from the side; negative behind the trunk", "extension", "shoulder", "shoulders"},
	ElbowFlexion:      {"elbow_flexion", "N·m", "the muscles that bend the elbow", "forearm and the straight line of the upper arm", "flexion", "elbow", "elbows"},
	ElbowExtension:    {"elbow_extension", "N·m", "the muscles that straighten the elbow", "forearm and the straight line of the upper arm", "extension", "elbow", "elbows"},
	WristFlexion:      {"wrist_flexion", "N·m", "the muscles that press the palm down", "hand and the straight line of the forearm; negative bent back", "flexion", "wrist", "wrists"},
	WristExtension:    {"wrist_extension", "N·m", "the muscles that bend the hand back", "hand and the straight line of the forearm; negative bent back", "extension", "wrist", "wrists"},
	WaistSideways:     {"waist_sideways", "N·m", "the muscles that bend the trunk sideways", "trunk and pelvis, seen from the front", "sideways bending", "waist", "waist"},
	WaistForward:      {"waist_forward", "N·m", "the muscles that bend the trunk forwards", "trunk and pelvis, seen from the side", "forward bending", "waist", "waist"},
	WaistBackward:     {"waist_backward", "N·m", "the muscles that straighten the trunk", "trunk and pelvis, seen from the side", "straightening", "waist", "waist"},
	HipFlexion:        {"hip_flexion", "N·m", "the muscles that lift a thigh", "thigh and the straight line of the trunk", "flexion", "hip", "hips"},
	HipExtension:      {"hip_extension", "N·m", "the muscles that straighten a hip", "thigh and the straight line of the trunk", "extension", "hip", "hips"},
	HipAbduction:      {"hip_abduction", "N·m", "the muscles that lift a leg sideways", "thigh and the straight line of the trunk", "abduction", "hip", "hips"},
	Grip:              {"grip", "N", "the grip of one hand", "the pull and the handle: a quarter turn around a bar, 0 along a pole", "grip", "hand", "hands"},
	ArmPull:           {"arm_pull", "N", "the pull along one straight arm", "none", "pull", "arm", "arms"},
	ArmPush:           {"arm_push", "N", "the push along one straight arm", "none", "push", "arm", "arms"},
}

var groupNames = names.Rows[Group](groups[:], func(i *Info) string { return i.Name })

// Info returns the group's name, unit and meaning.
func (g Group) Info() Info { return groups[g] }

// String returns the group's name.
func (g Group) String() string { return groupNames.Of(g) }

// MarshalText writes the group's name.
func (g Group) MarshalText() ([]byte, error) { return groupNames.Marshal(g) }

// UnmarshalText reads a group's name.
func (g *Group) UnmarshalText(text []byte) error { return groupNames.Unmarshal(g, text) }

// IsMoment says whether the group's strength is a moment, N·m, else a force, N.
func (g Group) IsMoment() bool { return groups[g].Unit == "N·m" }

// Parse finds a group by its name.
func Parse(name string) (Group, bool) { return groupNames.Find(name) }

// Side tells the arms apart in holds that load them differently.
type Side int

// The sides.
const (
	Both   Side = iota // both alike, or the trunk
	Top                // of the upper hand
	Bottom             // of the lower hand
	Left
	Right
	NumSides
)

var sideNames = names.List[Side]{"both", "top", "bottom", "left", "right"}

// String returns the side's name.
func (s Side) String() string { return sideNames.Of(s) }

// Of names the group at a side in words, such as "push of the bottom arm".
func (g Group) Of(s Side) string {
	i := &groups[g]
	if s == Both {
		return i.Verb + " of the " + i.Many
	}
	return i.Verb + " of the " + s.String() + " " + i.Part
}
