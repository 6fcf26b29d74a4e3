package words

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// TaughtRule is what hold.TwoCondition is called wherever people read of it.
const TaughtRule = "the lift-and-turn rule that is taught"

// StaticsModel is what a model of statics is called in running text.
func StaticsModel(m hold.Model) string {
	if !m.Judges() {
		return TaughtRule
	}
	return m.String()
}

// ModelOf is StaticsModel with the model's other choices, those that are the default
// left out.
func ModelOf(m scenario.Model) string {
	return strings.Replace(m.String(), m.Statics.String(), StaticsModel(m.Statics), 1)
}

// TaughtWhy says why nothing rests on the rule: upwards is hold.TaughtUpwards, 0 where
// it is not known.
func TaughtWhy(upwards float64) string {
	text := "It gives no verdict: it leaves the shoulders out, and its forces do not balance"
	if upwards > 0 {
		text += fmt.Sprintf(" (at its best angle the two arm forces of the median body add up to %s upwards, but its weight is 1 BW)", NoBreak(Number(upwards, 2)+" BW"))
	}
	return text + "."
}

// Sharing says how the hands share the weight in the flag and what friction the pole must give, as
// a share of how hard each hand presses on it, by what each of the three comes to; empty where one
// of them is not known.
func Sharing(of func(hold.Demand) (float64, bool)) string {
	top, first := of(hold.TopShare)
	above, second := of(hold.FrictionTop)
	below, third := of(hold.FrictionBottom)
	if !first || !second || !third {
		return ""
	}
	return fmt.Sprintf("the top hand carries %s of the weight; friction on the pole must reach %s of the force across it at the top hand and %s at the bottom hand, less where a hand squeezes it",
		Percent(top, 0), Percent(above, 0), Percent(below, 0))
}

// Added says what mass is put on a region of the body: "+1.8 kg of leg".
func Added(r body.Region, kilograms float64, s System) string {
	return Change(kilograms, units.Mass, s) + " of " + strings.TrimSuffix(PlainOf(r), "s")
}

// TellsAdded reports whether so much mass is more than nothing as it is written.
func TellsAdded(kilograms float64) bool {
	return math.Abs(kilograms) >= 0.05
}

// KnownMiss says by how much the model is known to miss force plates in a pose of a hold, BW;
// empty where it is not.
func KnownMiss(in *hold.Hold, p hold.Pose) string {
	var measured, missed []float64
	var studies []string
	if in == hold.PushUp {
		for _, plate := range hold.ForcePlates() {
			if plate.Pose == p && plate.Stated != 0 {
				measured, missed, studies = append(measured, plate.Measured), append(missed, plate.Stated), names.Once(studies, plate.Study())
			}
		}
	}
	if studies == nil {
		return ""
	}
	number := func(x float64) string { return Number(x, 2) }
	return fmt.Sprintf("In this pose the model is known to give too little: on force plates %s of body weight lay on the hands, %s more than by the model (%s).",
		Interval(number(slices.Min(measured)), number(slices.Max(measured))), Interval(number(slices.Min(missed)), number(slices.Max(missed))), And(studies))
}
