package report

import (
	"fmt"
	"io"

	"counterpoise/internal/units"
	"counterpoise/internal/wording"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
)

// Protocol writes how to weigh a part-supported flag, so that a prediction can be
// proved wrong.
func Protocol(w io.Writer, answers []wording.PersonAnswer, s words.System) error {
	t := &textWriter{w: w}
	t.line("")
	t.line("FIELD PROTOCOL: weigh the flag without the strength to hold it")
	t.line("")
	t.wrap("", "", "Needs a rigid vertical pole, a bathroom scale that reads to 0.1 kg, a box or stacked mats, a sheet of smooth plastic, "+
		"a tape, a phone with a level or on a tripod square to the body, and a spotter. Nobody hangs by their strength: the body rests on one hand and the scale. "+
		"Stop at any pain.")
	t.line("")
	for i, step := range []string{
		"Weigh the person as they will be in the hold, shoes and all, and write it as their mass.",
		"Mark the places of both hands on the pole, as far apart as printed, the lower one so high that the level body is at the height of the box.",
		"Put the scale on the box, its plate level with the ankles in the hold and the plastic on it, so that the feet cannot push sideways. Read it empty.",
		"Take the pose: arms straight, body straight and level by the phone along the thigh, ankles on the middle of the plate. Then the upper hand lets go and stays where it was; " +
			"the lower hand holds, and neither pulls nor pushes sideways.",
		"Read the scale once it is still for 3 s. Step off. Do it three times: the middle reading is foot_load, half the distance of the other two goes behind ±.",
		"Grip with both hands again, ankles still on the plate. Measure the angle of each arm with the pole (the phone along the arm, or a photo square to the body): their mean is arm_angle. " +
			"Measure between the middles of the hands along the pole: hand_spacing.",
		"Write the three into the person's file, and run person again. Over a folder of people the errors are pooled.",
	} {
		t.wrap(fmt.Sprintf("  %d. ", i+1), "     ", step)
	}
	t.line("")
	t.line("  measured: {foot_load: 24.3 kg ± 0.3 kg, arm_angle: 46 deg ± 2 deg, hand_spacing: 97 cm ± 1 cm}")
	t.line("")
	for i := range answers {
		a := &answers[i]
		if a.Hold != hold.HumanFlag || a.Primary().PossibleAll == 0 {
			continue
		}
		text := a.Person.Name + ":"
		if q, ok := a.Primary().Quantity(hold.HandSpacing); ok {
			text += " hands " + words.Rough(q.All.Median, units.Length, s) + " apart"
		}
		if q, ok := a.Primary().Quantity(hold.ArmAngle); ok {
			text += ", arms " + words.Rough(q.All.Median, units.Angle, s) + " from the pole"
		}
		if a.FootLoad != nil {
			text += "; the scale should read " + wording.Spread(*a.FootLoad, words.Printer(units.Mass, s))
		}
		t.wrap("  ", "  ", text+".")
	}
	return t.err
}
