package words

import (
	"math"
	"strings"

	"counterpoise/internal/units"
	"counterpoise/sim/hold"
)

// Demand is how a demand is spoken of where several bodies or people are compared:
// always in the same digits, angles in degrees, lengths in centimetres.
type Demand struct {
	Noun  string  // with its article, within a sentence
	Unit  string  // behind the number, or empty
	Scale float64 // from the demand's unit of output (degrees, metres) to Unit

	decimals int
}

// DemandOf returns how a demand is spoken of under a model.
func DemandOf(d hold.Demand, m hold.Model) Demand {
	w := Demand{Noun: Noun(d, m), Unit: d.Unit, Scale: 1, decimals: 3}
	switch w.Unit {
	case "rad":
		w.Unit, w.decimals = "°", 1
	case "m":
		w.Unit, w.decimals, w.Scale = "cm", 1, 100
	}
	return w
}

// Plainly has multiples of body weight as per cent of it, as charts do.
func (w Demand) Plainly() Demand {
	switch w.Unit {
	case "":
		w.decimals = 2 // of a multiple of somebody's strength
	case "BW":
		w.Unit, w.Scale, w.decimals = "% of body weight", 100*w.Scale, w.decimals-2
	case "BW·m":
		w.Unit, w.Scale, w.decimals = "% of body weight at one metre", 100*w.Scale, w.decimals-2
	}
	return w
}

// Bare is Number without the unit.
func (w Demand) Bare(x float64) string {
	w.Unit = ""
	return w.Number(x)
}

// BeyondReach stands for a value that there is not: a posture that cannot be taken.
const BeyondReach = "beyond reach"

// Number writes a value.
func (w Demand) Number(x float64) string { return w.number(x, "") }

// Signed writes an effect: "+0.036 BW", "0 BW" where nothing is left of it.
func (w Demand) Signed(x float64) string {
	if w.IsNothing(x) {
		return WithUnit("0", w.Unit)
	}
	return w.number(x, "+")
}

func (w Demand) number(x float64, above string) string {
	if !finite(x) {
		return BeyondReach
	}
	return WithUnit(number(x*w.Scale, w.decimals, above, ""), w.Unit)
}

// Finer shows a digit more, as small changes need.
func (w Demand) Finer() Demand {
	w.decimals++
	return w
}

// Decimals is how many a value has.
func (w Demand) Decimals() int { return w.decimals }

// IsNothing reports whether its digits leave nothing of x.
func (w Demand) IsNothing(x float64) bool {
	return math.Round(x*w.Scale*math.Pow10(w.decimals)) == 0
}

// DemandPrinter returns what writes the values of a demand for one person, in the
// demand's own unit (radians, metres), in a system of units.
func DemandPrinter(d hold.Demand, s System) func(float64) string {
	switch d.Unit {
	case "BW":
		return Printer(units.BodyWeights, s)
	case "BW·m":
		return Printer(units.BodyWeightMetres, s)
	case "rad":
		return Printer(units.Angle, s)
	case "m":
		return func(x float64) string { return Tape(x, s) }
	}
	return Printer(units.Number, s)
}

// spoken are the demands that are not spoken of by their own name: within a sentence,
// and in a table.
var spoken = map[hold.Demand]struct{ noun, label string }{
	hold.RequiredForce: {"the force along the harder-working arm", "arm force"},
	hold.LeanAngle:     {"the lean", "lean angle"},
	hold.ArmAngle:      {"the arm angle", "arm angle"},
	hold.ArmTrunkAngle: {"the angle between arms and trunk", "arm-trunk angle"},
	hold.HandShare:     {"the weight on the hands", "hand share"},
	hold.FootShare:     {"the weight on the feet", "foot share"},
	hold.WallPush:      {"the push of the wall", "wall push"},
}

// PlainNoun is how a demand is spoken of, with its article, without what a model means
// by it.
func PlainNoun(d hold.Demand) string {
	if w, own := spoken[d]; own {
		return w.noun
	}
	return "the " + PlainOf(d)
}

// LeansOn names what the arms bear the body's weight with in a hold: hands or forearms.
func LeansOn(h *hold.Hold) string {
	if len(h.Supports) > 0 && strings.Contains(h.Supports[0], "forearm") {
		return "forearms"
	}
	return "hands"
}

// NounIn is [Noun] in a hold, which may lean on the forearms.
func NounIn(h *hold.Hold, d hold.Demand, m hold.Model) string {
	if d == hold.HandShare {
		return strings.Replace(Noun(d, m), "hands", LeansOn(h), 1)
	}
	return Noun(d, m)
}

// Noun is [PlainNoun] with what a model means by it.
func Noun(d hold.Demand, m hold.Model) string {
	switch {
	case d != hold.Difficulty:
		return PlainNoun(d)
	case m == hold.Equilibrium:
		return PlainNoun(d) + " (demand over capacity)"
	}
	return PlainNoun(d) + " (force over relative strength)"
}

// Label names a demand in a table.
func Label(d hold.Demand) string {
	if w, own := spoken[d]; own {
		return w.label
	}
	return PlainOf(d)
}
