package strength

import (
	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// Endurance is a published relation between the share of the greatest force that
// is asked of a group of muscles and the time for which that share can be held
// without a break.
//
// The joints' relations are power laws, time = b₀·share^b₁, fitted to 369 mean
// times out of 194 publications; Rohmert's is a polynomial. They are about
// healthy adults who hold one joint's isometric effort until they fail.
type Endurance int

// The relations.
const (
	ShoulderEndurance Endurance = iota
	ElbowEndurance
	GripEndurance
	TrunkEndurance
	KneeEndurance
	AnkleEndurance
	GeneralEndurance // all joints pooled
	RohmertEndurance
	NumEndurances
)

// endurances holds the coefficients of the power laws: Frey Law and Avin 2010,
// "Endurance time is joint-specific: a modelling and meta-analysis
// investigation", Ergonomics 53:109-129, table 2 (share from 0 to 1, seconds).
// They were read in a full typed copy of that table; those of the knee, the
// ankle and all joints agree with the times that a second, independent reader of
// the paper computed from it. The paper itself was not at hand.
var endurances = [NumEndurances]endurance{
	ShoulderEndurance: {"shoulder", 14.86, -1.83},
	ElbowEndurance:    {"elbow", 17.98, -2.21},
	GripEndurance:     {"grip", 33.55, -1.61},
	TrunkEndurance:    {"trunk", 22.69, -2.27},
	KneeEndurance:     {"knee", 19.38, -1.88},
	AnkleEndurance:    {"ankle", 34.71, -2.06},
	GeneralEndurance:  {"general", 21.92, -1.98},
	RohmertEndurance:  {name: "rohmert"},
}

// EnduranceSpread is the standard deviation of the logarithm of the time around
// a relation. The 95 % prediction curves of Frey Law and Avin (2010) lie 29 to
// 47 % from the mean curves, depending on the joint (Frey-Law, Looft and
// Heitsman 2012, J Biomech 45:1803-1808, discussion, as copied); the wider
// end is taken, for all joints and, for want of its own, for Rohmert's curve. It
// is about the means of studies, so that single people differ by more.
var EnduranceSpread = math.Log(1.47) / 1.959963984540054

type endurance struct {
	name   string
	b0, b1 float64
}

var enduranceNames = names.Rows[Endurance](endurances[:], func(row *endurance) string { return row.name })

// String returns the relation's name, such as "shoulder".
func (e Endurance) String() string { return enduranceNames.Of(e) }

// ParseEndurance finds a relation by its name.
func ParseEndurance(name string) (Endurance, bool) { return enduranceNames.Find(name) }

// Source cites where the relation comes from.
func (e Endurance) Source() string {
	if e == RohmertEndurance {
		return "Rohmert 1960, Int Z angew Physiol 18:123-164, in the polynomial that is fitted to it in textbooks"
	}
	return "Frey Law and Avin 2010, Ergonomics 53:109-129, table 2"
}

// LeastShare is where the relation stops being about data; below it is
// extrapolated. It is 0.1 for the power laws and 0.15 for Rohmert, who held that
// less could be kept up without end.
func (e Endurance) LeastShare() float64 {
	if e == RohmertEndurance {
		return 0.15
	}
	return 0.1
}

// Seconds returns for how long a share of the greatest force can be held. A share
// above 1 cannot be held at all: 0. A share of 0 is held without end. It is NaN
// for a share that is negative or NaN.
func (e Endurance) Seconds(share float64) float64 {
	switch {
	case !(share >= 0):
		return math.NaN()
	case share > 1:
		return 0
	case share == 0:
		return math.Inf(1)
	case e == RohmertEndurance:
		return rohmert(share)
	}
	law := &endurances[e]
	return law.b0 * math.Pow(share, law.b1)
}

// Share returns the share of the greatest force that can just be held for a
// time, in seconds: the inverse of Seconds. It is 1 for a time shorter than the
// greatest force itself lasts by the relation, 0 for a time without end, and NaN
// for one that is negative or NaN.
func (e Endurance) Share(seconds float64) float64 {
	switch {
	case !(seconds >= 0):
		return math.NaN()
	case seconds <= e.Seconds(1):
		return 1
	case math.IsInf(seconds, 1):
		return 0
	case e == RohmertEndurance:
		return rohmertShare(seconds)
	}
	law := &endurances[e]
	return math.Pow(seconds/law.b0, 1/law.b1)
}

// rohmert is T = −1.5 + 2.1/f − 0.6/f² + 0.1/f³ minutes, in seconds: the
// polynomial under which Rohmert's curve is handed down. It was read in two
// independent secondary texts, one with a table of values; Rohmert's own paper
// was not at hand. It falls all the way: f⁴·dT/df = −(2.1f² − 1.2f + 0.3), which
// has no root.
func rohmert(share float64) float64 {
	x := 1 / share
	return 60 * (-1.5 + float64(x*(2.1+float64(x*(-0.6+float64(x*0.1))))))
}

// rohmertShare inverts rohmert by Newton's method for x = 1/share. With T″ < 0
// below x = 2 and > 0 above, steps from the far end come in from one side; those
// that would leave x ≥ 1 are held there.
func rohmertShare(seconds float64) float64 {
	minutes := seconds / 60
	x := 2 + math.Cbrt(10*minutes) // T(x) > minutes here
	for range 60 {
		slope := 2.1 + float64(x*(-1.2+float64(x*0.3)))
		next := max(1, x-(rohmert(1/x)/60-minutes)/slope)
		if math.Abs(next-x) <= 1e-15*x {
			break
		}
		x = next
	}
	return 1 / x
}
