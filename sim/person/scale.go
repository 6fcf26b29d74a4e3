package person

import (
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/strength"
)

// Way is where the hand of a straight arm goes, or would go if the scale let it: across
// the arm, or along it.
type Way int

// The ways. Down and up are with the arm out at the side, back and forward with it in
// front; the scale pulls square to the arm.
const (
	Down    Way = iota // towards the hip, the arm at the side: shoulder adduction
	Up                 // away from it: shoulder abduction
	Back               // towards the hip, the arm in front: shoulder extension
	Forward            // away from it: shoulder flexion
	Push               // along the arm, away from the shoulder
	Pull               // along the arm, towards the shoulder: the grip gives at least that
	NumWays
)

var wayNames = names.List[Way]{"down", "up", "back", "forward", "push", "pull"}

// String returns the way's name.
func (w Way) String() string { return wayNames.Of(w) }

// ParseWay finds a way by its name.
func ParseWay(name string) (Way, bool) { return wayNames.Find(name) }

var wayGroups = [NumWays]muscle.Group{
	muscle.ShoulderAdduction, muscle.ShoulderAbduction, muscle.ShoulderExtension, muscle.ShoulderFlexion, muscle.ArmPush, muscle.Grip,
}

// Group returns the muscles that the scale reads.
func (w Way) Group() muscle.Group { return wayGroups[w] }

// Across reports whether the scale reads a moment at the shoulder, at an angle.
func (w Way) Across() bool { return w < Push }

// carried is the moment that the muscles bear besides the scale's, over that of the
// level arm's own weight, standing upright: an arm raised by the angle falls towards the
// hip by itself.
func (w Way) carried(angle float64) float64 {
	if w == Down || w == Back {
		return -math.Sin(angle)
	}
	return math.Sin(angle)
}

// Scale is a straight arm pulled or pressed against a scale as hard as it goes, by
// somebody who stands upright.
type Scale struct {
	Side      Side
	Way       Way
	Angle     float64 // between arm and trunk, radians, 0 with the arm hanging; 0 along the arm
	Kilograms float64 // that the scale reads, the luggage or bathroom scale square to the arm at the hand
}

// MostOnScale bounds what a scale can have read, kg: beyond, a unit was mistaken.
const MostOnScale = 300

func (t Scale) check(sex anthro.Sex) error {
	switch {
	case t.Way < 0 || t.Way >= NumWays:
		return fault.New("tests", int(t.Way), "no direction of the hand has the number %d", int(t.Way))
	case t.Side < 0 || t.Side >= NumSides:
		return fault.New("tests", int(t.Side), "no side has the number %d", int(t.Side))
	case !(t.Kilograms > 0 && t.Kilograms <= MostOnScale):
		return fault.New("tests", t.Kilograms, "a scale read %g kg, must be positive and up to %d kg", t.Kilograms, MostOnScale)
	case !t.Way.Across() && t.Angle != 0:
		return fault.New("tests", t.Angle, "a hand that goes %s stays in line with the arm and has no angle", t.Way)
	case !t.Way.Across():
		return nil
	}
	if least, most := t.Way.Angles(sex); !(t.Angle >= least-rounding && t.Angle <= most+rounding) {
		return fault.New("tests", t.Angle, "no published measurement of %s at %.3f rad, allowed: %.3f to %.3f rad",
			t.Way.Group().Of(muscle.Both), t.Angle, least, most)
	}
	return nil
}

// rounding is by how much an angle may miss the end of a range, as strength's own curves
// have it.
const rounding = 1e-9

// Angles returns the least and the greatest angle, radians, at which somebody has
// measured what the muscles of a way across the arm give in people of that sex; least is
// above most where nobody has.
func (w Way) Angles(sex anthro.Sex) (least, most float64) {
	model, err := strength.TheModel()
	if err != nil {
		return 1, 0
	}
	return model.Norms.Angles(w.Group(), sex)
}
