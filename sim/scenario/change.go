package scenario

import (
	"maps"
	"slices"
	"strings"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
)

// Change makes the second body, or its posture, out of the first. The zero value
// changes nothing.
type Change struct {
	// Hold, where it is not nil, is another hold in which the same body is held the
	// second time; legs, pose and tilt are then that hold's own.
	Hold *hold.Hold
	Body body.Change
	Legs *hold.Legs // instead of the first body's
	Pose *hold.Pose // instead of the first body's, every variant of it
	Tilt *float64   // instead of the first body's, radians
	Arms *Arms
	// Load is what the second body carries on top of the first one's, kg; see
	// Scenario.Load.
	Load body.Load
	// Assume holds assumptions about strength and statics that differ for the second
	// body.
	Assume  map[assume.ID]float64
	Posture PostureRule
}

// Assumed lists the assumptions that the change sets, by their names.
func (ch *Change) Assumed() []assume.ID {
	return slices.SortedFunc(maps.Keys(ch.Assume), func(a, b assume.ID) int { return strings.Compare(assumptionName(a), assumptionName(b)) })
}

// Arms moves the hands of the changed body, which is then not free to choose.
// Exactly one field is set.
type Arms struct {
	Angle   *float64     // radians from the pole, the same for everybody
	Turn    *float64     // radians added to the first body's angle
	Spacing *body.Amount // added to the first body's hand spacing
}

// place says where the arms of changed bodies are in the posture in which they are
// then held: first is what the first bodies are held at, which an absolute angle
// does not look at, and placed, one element a body, keeps what the posture refers to.
func (arms *Arms) place(next *hold.Posture, first *hold.Result, placed []float64) {
	switch {
	case arms.Angle != nil:
		next.Rule, next.Angle = hold.GivenAngle, placed
		for i := range placed {
			placed[i] = *arms.Angle
		}
	case arms.Turn != nil:
		next.Rule, next.Angle = hold.GivenAngle, placed
		for i := range placed {
			placed[i] = first.Value[hold.ArmAngle][i] + *arms.Turn
		}
	case arms.Spacing != nil:
		next.Rule, next.Spacing = hold.GivenSpacing, placed
		for i, spacing := range first.Value[hold.HandSpacing][:len(placed)] {
			placed[i] = spacing + arms.Spacing.Of(spacing)
		}
	}
}

// PostureRule says how the changed body places its arms.
type PostureRule int

// The rules.
const (
	AtBest      PostureRule = iota // each at the posture that asks least of it
	SameAngle                      // at the first body's arm angle
	SameSpacing                    // with the hands where the first body's were
	NumPostureRules
)

var postureRules = [NumPostureRules]hold.Rule{hold.Best, hold.GivenAngle, hold.GivenSpacing}

var postureNames = names.List[PostureRule]{"best", "same_angle", "same_spacing"}

// Rule is what the rule asks of a hold.
func (r PostureRule) Rule() hold.Rule { return postureRules[r] }

// String returns the rule as written in files.
func (r PostureRule) String() string { return postureNames.Of(r) }

// ParsePostureRule finds a rule by its name.
func ParsePostureRule(name string) (PostureRule, bool) { return postureNames.Find(name) }

// MarshalText writes the rule's name.
func (r PostureRule) MarshalText() ([]byte, error) { return postureNames.Marshal(r) }

// UnmarshalText reads a rule's name.
func (r *PostureRule) UnmarshalText(text []byte) error { return postureNames.Unmarshal(r, text) }
