package person

import (
	"math"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/strength"
)

// tested is a man with three tests: both ways of the arm across, and a handstand.
func tested() (none, three Person) {
	none = Person{Name: "athlete", Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{
		{Of: anthro.Stature, Value: 1.78, Error: 0.005}, {Of: anthro.Mass, Value: 74},
	}}
	three = none
	three.Tests = &Tests{
		Hangs:      []Hang{{Seconds: 30}},
		Handstands: []Handstand{{Seconds: 12}},
		Scales:     []Scale{{Way: Up, Angle: 3 * math.Pi / 4, Kilograms: 18}},
	}
	return
}

func TestThreeTestsAgainstNone(t *testing.T) {
	none, three := tested()
	o := DefaultOptions()
	o.N = 4000
	o.Endurance = strength.ShoulderEndurance
	for name, p := range map[string]Person{"none": none, "three": three} {
		m := answer(t, p, o).Models[1]
		for _, d := range []hold.Demand{hold.Difficulty, hold.RequiredForce, hold.HandSpacing, hold.ArmAngle, hold.ShoulderMoment} {
			q, _ := m.Quantity(d)
			t.Logf("%s %s: %.3f (%.3f–%.3f), body %.3f (%.3f–%.3f)", name, d, q.All.Median, q.All.Low, q.All.High, q.Body.Median, q.Body.Low, q.Body.High)
		}
	}
	r := ready(t, three, o)
	t.Logf("%+v", r.Own)
	if r.Own.Seconds != nil {
		t.Logf("%+v", *r.Own.Seconds)
	}
}
