package holdstudy

import (
	"fmt"
	"math"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/strength"
)

// A Worth is what one unit of something is worth to one body: how the demand of the
// hold changes with it, everything else of the body staying as it is and the arms
// going where the changed body does best.
type Worth struct {
	Name string  // such as "arm_length"
	What string  // the unit and what it is of, such as "1 cm more arm"
	At   float64 // where the body is, in Unit
	Unit string  // of At: "cm", "kg", "deg", or "" for a factor
	Step float64 // the one unit, in Unit

	// Change is what the unit is worth, in the unit of the responses: the
	// derivative times Step, or the change itself where Finite. Error bounds its
	// numerical error.
	Change, Error float64
	// Percent is Change in per cent of the response.
	Percent float64
	// Elasticity is the per cent of the response per per cent of what it is of;
	// NaN where that has no size to take per cent of.
	Elasticity float64

	// Less and More are what one unit less takes away and one unit more adds,
	// as seen from either side. Kink says that they differ: the demand's best
	// posture turns a corner just here, there is no single rate, and Change is
	// the mean of the two.
	Less, More float64
	Kink       bool

	// Finite says that Change is a step of one whole unit and not a rate, because
	// the rate is 0 at the start: legs begin to open.
	Finite bool

	// PercentNewtons is the change in per cent of the force or moment in newtons,
	// where the unit changes the body's weight, and NaN otherwise: a demand in body
	// weights can rise while the newtons fall.
	PercentNewtons float64
}

// A BodyWorth is the table of what one unit is worth to a body.
type BodyWorth struct {
	Response float64 // the demand of the body as it is
	Stature  float64 // m
	Mass     float64 // kg
	// Working is the share of added muscle that works in the hold.
	Working float64
	Rows    []Worth
}

// turned is the body or its pose, turned by one of the knobs.
type turned struct {
	change  body.Change
	posture hold.Posture
}

// knob is one thing to turn.
type knob struct {
	Worth
	toSI  float64                // from Unit
	reach float64                // in SI; 0 means 2 % of where the body is
	mass  float64                // kg for one Unit
	turn  func(*turned, float64) // by so much from where the body is, in SI
	size  bool                   // whether per cent of it make sense
}

// MedianPerson returns the body whose every measurement is the median of the population,
// and who carries their mass like the average of their build. Of people of one's own it
// is the median of these, and not that of their description, which is smoother.
func (f *Function) MedianPerson() *anthro.People {
	p := anthro.NewPeople(1)
	for m := range anthro.NumMeasurements {
		p.Value[m][0] = f.population.Marginal(m).Value(0)
		if f.quantile != nil {
			p.Value[m][0] = f.quantile(m, 0.5)
		}
	}
	return p
}

// Worth differentiates the demand of one body, a block of one row, under the study's
// only model at the central assumptions. working is the share of
// added muscle that works in the hold, 0 to 1. It returns an *ImpossibleError where
// the body cannot take the posture.
func (f *Function) Worth(person *anthro.People, working float64) (*BodyWorth, error) {
	if person.Rows() != 1 {
		panic("holdstudy: not one person")
	}
	if err := f.oneModel(); err != nil {
		return nil, err
	}
	if !(working >= 0 && working <= 1) {
		return nil, &fault.Error{Field: "working-share", Reason: fmt.Sprintf("found %g, allowed are 0 to 1", working)}
	}
	w := newWeigher(f, person)
	start := turned{posture: f.study.Posture}
	response, err := w.at(&start)
	if err != nil {
		return nil, err
	}
	b := &BodyWorth{Response: response, Stature: w.first.Stature[0], Mass: w.first.Mass[0], Working: working}
	for _, k := range w.knobs(working) {
		row, err := w.turn(k, start, response, b.Mass)
		if err != nil {
			return nil, err
		}
		b.Rows = append(b.Rows, row)
	}
	return b, nil
}

// A weigher computes the demand of one body as its knobs are turned.
type weigher struct {
	f             *Function
	a             *assume.Set
	first, turned *body.Columns
	base, scaled  *hold.Capacity
	ratio         [1]strength.Ratio
	result        *hold.Result
	spacing       float64 // of the hands of the body as it is; NaN where it has none
}

func newWeigher(f *Function, person *anthro.People) *weigher {
	w := &weigher{
		f: f, a: &f.study.Assumptions.Centre,
		first: body.New(1), turned: body.New(1), base: hold.NewCapacity(1), scaled: hold.NewCapacity(1),
		result: hold.NewResult(1, f.study.Of, hold.HandSpacing), spacing: math.NaN(),
	}
	f.builders[0].Build(w.first, person, w.a)
	strength.OfReference(w.base, w.first, w.a)
	s := &f.study
	s.Hold.Solve(w.result, w.first, w.base, s.Posture, s.Models[0].Statics, w.a)
	if s.Hold.Places(hold.GivenSpacing) && w.result.Possible[0] {
		w.spacing = w.result.Value[hold.HandSpacing][0]
	}
	return w
}

// at returns the demand of the turned body.
func (w *weigher) at(t *turned) (float64, error) {
	if err := t.change.Apply(w.turned, w.first, w.a); err != nil {
		return 0, err
	}
	r := strength.OfSize(t.change.Scale(), w.a)
	for _, m := range t.change.Mass {
		r.Force *= strength.OfAddedMass(w.first.Mass[0], m.Working*m.Kilograms, 1, w.a).Force
	}
	w.ratio[0] = r
	strength.Scale(w.scaled, w.base, w.ratio[:], w.first.Mass, w.turned.Mass)
	s := &w.f.study
	s.Hold.Solve(w.result, w.turned, w.scaled, t.posture, s.Models[0].Statics, w.a)
	if !w.result.Possible[0] {
		return 0, &ImpossibleError{Hold: s.Hold.Name, Of: s.Of.String(), Impossible: 1, Bodies: 1}
	}
	return scaleOf(s.Of) * w.result.Value[s.Of][0], nil
}

// knobs lists what can be turned of the body and its pose.
func (w *weigher) knobs(working float64) []knob {
	b, h := w.first, w.f.study.Hold
	length := func(name, what string, at float64, turn func(*turned, float64)) knob {
		return knob{Worth: Worth{Name: name, What: what, At: 100 * at, Unit: "cm", Step: 1}, toSI: 0.01, turn: turn, size: true}
	}
	var knobs []knob
	for of := range body.NumChanges {
		info, at := of.Info(), of.Of(b, 0)
		if info.Unit == "" {
			knobs = append(knobs, knob{Worth: Worth{Name: info.Name, What: "1 % more " + info.One, At: at, Step: 0.01}, toSI: 1, size: true,
				turn: func(t *turned, x float64) { t.change.Of[of].Share = x }})
			continue
		}
		knobs = append(knobs, length(info.Name, "1 cm more "+info.One, at, func(t *turned, x float64) { t.change.Of[of].Metres = x }))
	}
	knobs = append(knobs, []knob{
		{Worth: Worth{Name: "trunk_fat", What: "1 kg of fat off the trunk", Unit: "kg", Step: 1}, toSI: 1, reach: 0.5, mass: -1,
			turn: func(t *turned, x float64) {
				t.change.Mass = []body.AddedMass{{Region: body.Trunk, Kilograms: -x}}
			}},
		{Worth: Worth{Name: "upper_body_muscle", What: fmt.Sprintf("1 kg of muscle on the upper body, %.0f %% of it working", 100*working), Unit: "kg", Step: 1}, toSI: 1, reach: 0.5, mass: 1,
			turn: func(t *turned, x float64) {
				t.change.Mass = []body.AddedMass{{Region: body.UpperBody, Kilograms: x, Working: working}}
			}},
		{Worth: Worth{Name: "leg_mass", What: "1 kg more on the legs", Unit: "kg", Step: 1}, toSI: 1, reach: 0.5, mass: 1,
			turn: func(t *turned, x float64) {
				t.change.Mass = []body.AddedMass{{Region: body.Legs, Kilograms: x}}
			}},
	}...)
	const degree = math.Pi / 180
	if legs := w.f.study.Posture.Legs; h.TakesLegs(hold.Straddle) && (legs.Form == hold.Together || legs.Form == hold.Straddle) {
		k := knob{Worth: Worth{Name: "straddle", What: "5° more straddle of each leg", At: legs.Angle / degree, Unit: "deg", Step: 5}, toSI: degree, size: true,
			turn: func(t *turned, x float64) { t.posture.Legs = hold.LegsIn(hold.Straddle, legs.Angle+x) }}
		if legs.Form == hold.Together {
			k.What, k.Finite, k.size = "5° of straddle of each leg, from legs together", true, false
		}
		knobs = append(knobs, k)
	}
	if !math.IsNaN(w.spacing) {
		spacing := make([]float64, 1)
		knobs = append(knobs, length("hand_spacing", "1 cm more between the hands than is best", w.spacing, func(t *turned, x float64) {
			spacing[0] = w.spacing + x
			t.posture.Rule, t.posture.Spacing = hold.GivenSpacing, spacing
		}))
	}
	for _, v := range h.Variants {
		if value := w.f.study.Posture.Pose[v]; value > 0 && v.Info().Unit == "m" {
			knobs = append(knobs, length(v.String(), "1 cm more of "+v.Info().Meaning, value, func(t *turned, x float64) { t.posture.Pose[v] = value + x }))
		}
	}
	return knobs
}

// turn says what one unit of a knob is worth.
func (w *weigher) turn(k knob, start turned, response, mass float64) (Worth, error) {
	row := k.Worth
	at := func(x float64) (float64, error) {
		t := start
		k.turn(&t, x)
		return w.at(&t)
	}
	row.Elasticity, row.PercentNewtons = math.NaN(), math.NaN()
	if k.Finite {
		y, err := at(k.Step * k.toSI)
		if err != nil {
			return row, fmt.Errorf("%s: %w", k.What, err)
		}
		row.Change = y - response
		row.Less, row.More = row.Change, row.Change
	} else {
		origin := k.At * k.toSI
		_, slopes, _, err := drivers.Elasticities(func(x []float64) (float64, error) { return at(x[0] - origin) },
			[]drivers.Knob{{Name: k.Name, At: origin, Reach: k.reach}})
		if err != nil {
			return row, fmt.Errorf("%s: %w", k.What, err)
		}
		s, unit := slopes[0], k.Step*k.toSI
		row.Change, row.Error = s.Derivative*unit, s.Error*unit
		row.Less, row.More, row.Kink = s.Left*unit, s.Right*unit, s.Kink
		if k.size {
			row.Elasticity = s.Elasticity
		}
	}
	if response != 0 {
		row.Percent = 100 * row.Change / response
		if unit := w.f.study.Of.Unit; k.mass != 0 && (unit == "BW" || unit == "BW·m") {
			row.PercentNewtons = row.Percent + 100*k.mass*k.Step/mass
		}
	}
	return row, nil
}
