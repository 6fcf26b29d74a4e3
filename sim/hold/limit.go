package hold

import (
	"fmt"

	"counterpoise/sim/muscle"
)

// Limit says what gives out first in the posture held: a condition of the two-condition
// model, or a group of muscles on one side.
type Limit uint8

// The limits that are no single group of muscles. LimitAlike is of best postures,
// which mostly use an arm and a shoulder to the same degree: Loads tells which.
const (
	NoLimit Limit = iota
	LimitLift
	LimitTurning
	LimitAlike
	firstGroup
	NumLimits = firstGroup + Limit(muscle.NumGroups)*Limit(muscle.NumSides)
)

var limitNames = [firstGroup]string{"nothing", "lift", "turning", "arms and shoulders alike"}

// LimitOf returns the limit that a group of muscles sets on one side.
func LimitOf(g muscle.Group, side muscle.Side) Limit {
	return firstGroup + Limit(g)*Limit(muscle.NumSides) + Limit(side)
}

// Muscles returns the group and side that set the limit, if one does.
func (l Limit) Muscles() (g muscle.Group, side muscle.Side, ok bool) {
	if l < firstGroup || l >= NumLimits {
		return 0, 0, false
	}
	l -= firstGroup
	return muscle.Group(l / Limit(muscle.NumSides)), muscle.Side(l % Limit(muscle.NumSides)), true
}

// String names the limit in words.
func (l Limit) String() string {
	if g, side, ok := l.Muscles(); ok {
		return g.Of(side)
	}
	if l >= firstGroup {
		return fmt.Sprintf("Limit(%d)", int(l))
	}
	return limitNames[l]
}
