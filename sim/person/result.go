package person

import (
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// Spread is the middle and the ends of what was drawn: the median and the 5 %
// and 95 % quantiles.
type Spread struct{ Median, Low, High float64 }

// Width is from the 5 % to the 95 % quantile.
func (s Spread) Width() float64 { return s.High - s.Low }

// Result is the answer for one person.
type Result struct {
	Person      Person
	Population  *anthro.Population // among whom the person is placed
	Conditioned *anthro.Person     // what is left of it, or of the survey behind people of one's own
	Hold        *hold.Hold
	Options     Options
	Models      []ModelResult
	Fixture     *Fixture     // nil where no body can take the posture
	FootLoad    *Spread      // see Measured.FootLoad, kg, over bodies and assumptions, at the measured posture if any; nil where the hold has none
	Ranks       []Rank       // of the known measurements, in the order of anthro
	Comparisons []Comparison // with Person.Measured, where given
	Notes       []string     // what is rare or should be known, a sentence each

	People *anthro.People // everyone drawn
	// Draw is the number of the assumption draw under which each of them was held up
	// in ModelResult.All, an index into Assumed.
	Draw    []int
	Assumed []assume.Set
}

// Unknown says why nobody knows a demand in the person's posture, or is empty; see
// hold.Hold.Unknown. Quantities leave such a demand out.
func (r *Result) Unknown(m hold.Model, d hold.Demand) string {
	return r.Hold.Unknown(m, d, hold.Posture{Legs: r.Person.Legs, Pose: r.Person.Pose, Tilt: r.Person.Tilt})
}

// ModelResult is the answer under one model of the statics.
type ModelResult struct {
	Model hold.Model
	// Quantities are what the hold asks for, in the hold's order. A model that does not
	// judge (hold.Model.Judges) tells no posture: neither arm angle nor hand spacing.
	Quantities []Quantity
	// Main is the one that sums the hold up, which the hold names first: for the
	// human flag the required force.
	Main hold.Demand
	// PossibleBody and PossibleAll are the shares of the bodies drawn that can take
	// the posture, at the central assumptions and with these drawn; the quantities
	// are about those bodies.
	PossibleBody, PossibleAll float64
	// Floor is the width of Main's range that no tape or scale takes away: of the median
	// body, everything about it known, over the assumptions and over what tests leave
	// open of the strength.
	Floor float64
	// Next ranks what could be measured next, each alone, by how much it would
	// narrow Main, most first. It is empty where everything is known.
	Next []Gain
	// Plan is the best few measurements one after another, each on top of those
	// before it; Reduction counts from today. A scan takes no part in it.
	Plan   []Gain
	Curve  *Curve             // nil where the hold leaves no choice of arm angle, or the model does not judge
	Median *scenario.HeldBody // nil where the median body cannot take the posture
	// Typical is who pictures show, where somebody has asked Result.Typical and kept it here.
	Typical *Typical

	Body *hold.Result // of everyone drawn, at the central assumptions
	All  *hold.Result // of everyone drawn, assumptions drawn too
}

// Under is what is told under a model; nil where the answer is not about it.
func (r *Result) Under(model hold.Model) *ModelResult {
	return r.first(func(m *ModelResult) bool { return m.Model == model })
}

// Judging is what is told under the model that judges; nil where none does.
func (r *Result) Judging() *ModelResult {
	return r.first(func(m *ModelResult) bool { return m.Model.Judges() })
}

func (r *Result) first(is func(*ModelResult) bool) *ModelResult {
	for l := range r.Models {
		if m := &r.Models[l]; is(m) {
			return m
		}
	}
	return nil
}

// Quantity returns the answer for a demand.
func (m *ModelResult) Quantity(d hold.Demand) (Quantity, bool) {
	return names.First(m.Quantities, func(q Quantity) bool { return q.Demand == d })
}

// Quantity is one demand of the hold.
type Quantity struct {
	Demand hold.Demand
	// Body is the spread from what is not measured of the person, at the central
	// assumptions; All has the spread of the assumptions as well. Both in the
	// demand's own unit (BW, BW·m, radians, m). Where a hold leaves a choice of posture,
	// the median of the arm angle and of the hand spacing is the best one of the median
	// body at the central assumptions: the posture that is recommended, and drawn (see Typical).
	Body, All Spread
	// AbsoluteUnit is "N" or "N·m" for forces and moments, else "", and the two
	// spreads are then 0.
	AbsoluteUnit              string
	BodyAbsolute, AllAbsolute Spread
	// FromBody and FromAssumptions are the shares of the variance of All that come
	// from what is not measured and from the assumptions; they add up to 1, or are
	// both 0 where nothing varies.
	FromBody, FromAssumptions float64
	// Percentile is the share of people of the population whose value lies below the
	// person's, over all that is not known: the assumptions, which are the person's and
	// the people's alike, who was surveyed, and the person's body. Where tests say how
	// strong the person is, the people have the strengths of untrained adults. NaN where
	// there is none.
	Percentile Spread
}

// Gain is what measuring something would do to the 5-95 % range of the main
// quantity, over bodies and assumptions.
type Gain struct {
	anthro.Gain
	Reduction float64 // of the width of today's range, as a share of it
}

// Rank places one known measurement among the people.
type Rank struct {
	Known      anthro.Known
	Percentile float64 // share of the population below the value
	// ForStature is the share among people of the same known stature; NaN where that
	// is not known, and for stature itself.
	ForStature float64
}

// Curve is what the hold asks over the arm angle: of the median body, with the 5 %
// and 95 % quantiles of the largest part over bodies at the central assumptions and
// over bodies and assumptions.
type Curve struct {
	scenario.Curve
	BodyLow, BodyHigh, AllLow, AllHigh []float64
}

// Fixture is what carries the person, static use only: no swing, no jump, no
// second person, no safety factor. It is computed by equilibrium, at the posture
// that this model takes for the best.
type Fixture struct {
	Forces []FixtureForce
	// Overturning is the moment of the person about the foot of the pole, N·m:
	// weight times its distance from the pole. The hands' sideways forces are equal
	// and opposite, so that the height of the hands makes no difference to it. nil
	// where the hold has no pole.
	Overturning *Spread
}

// FixtureForce is the force of the person on one support, N, over bodies and
// assumptions. Vertical is positive downwards; Horizontal is positive to the
// side on which the figure has the body, for a pole: a pull away from it.
type FixtureForce struct {
	Support              string // such as "top hand"
	Horizontal, Vertical Spread
}

// Comparison is one measured value against its prediction.
type Comparison struct {
	What string // "foot_load", "arm_angle" or "hand_spacing"
	Unit string // "kg", "rad" or "m"
	// Rule says for which posture it was predicted: the best one, which the Model
	// decides, or at the measured arm angle or hand spacing, which is geometry alone.
	Rule    hold.Rule
	Model   hold.Model
	Reading Reading
	// Predicted is the spread over bodies and assumptions, widened by the reading's
	// error (in quadrature).
	Predicted Spread
	Error     float64 // the reading less the predicted median
	Inside    bool    // the reading lies within the 5-95 % range
}
