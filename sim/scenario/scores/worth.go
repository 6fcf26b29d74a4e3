package scores

import (
	"errors"
	"fmt"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/scenario"
)

// A Worth is what one unit of something is worth to one body: how the demand of the
// hold changes with it, everything else of the body staying as it is and the arms
// going where the changed body does best.
type Worth struct {
	Name string  // such as "arm_length"
	Unit string  // "m", "kg", "rad", or "" for a factor
	At   float64 // where the body is, in Unit
	Step float64 // the one unit that is asked about, in Unit: 1 cm, 1 kg, 5° or 1 %

	// Change is what the step is worth, in the unit of the responses: the
	// derivative times Step, or the change itself where Finite. Error bounds its
	// numerical error.
	Change, Error float64
	// Percent is Change in per cent of the response.
	Percent float64
	// Low and High are the 5 and 95 % over draws of the assumptions of what a whole step
	// more changes, in per cent.
	Low, High float64
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

	// Draws are those of the assumptions over which Low and High are, of which Unable are left out:
	// under these the body cannot take the posture, as it is or changed.
	Draws, Unable int
}

// knob is one thing to turn.
type knob struct {
	Worth
	reach float64                         // in Unit; 0 means 2 % of where the body is
	mass  float64                         // kg that the body gains with the step
	turn  func(*scenario.Change, float64) // by so much from where the body is
	size  bool                            // whether per cent of it make sense
}

// MedianPerson returns the body whose every measurement is the median of the population,
// and who carries their mass like the average of their build. Of people of one's own it
// is the median of these, and not that of their description, which is smoother.
func (f *Function) MedianPerson() *anthro.People {
	if f.quantile != nil {
		return anthro.MedianOf(f.people.Selection.Population, f.quantile)
	}
	return anthro.MedianOf(f.population, f.population.Quantile)
}

// Worth differentiates the demand of one body, a block of one row, under the study's
// only model at the central assumptions. working is the share of
// added muscle that works in the hold, 0 to 1. It returns an *ImpossibleError where
// the body cannot take the posture.
func (f *Function) Worth(person *anthro.People, working float64) (*BodyWorth, error) {
	if person.Rows() != 1 {
		return nil, fault.New("person", person.Rows(), "found %d, one is needed", person.Rows())
	}
	if err := f.oneModel(); err != nil {
		return nil, err
	}
	if err := body.WorkingBounds.Check("working-share", working); err != nil {
		return nil, err
	}
	w, err := f.newWeigher(person)
	if err != nil {
		return nil, err
	}
	response, err := w.at(&scenario.Change{})
	if err != nil {
		return nil, err
	}
	b := &BodyWorth{Response: response, Stature: w.first.Stature[0], Mass: w.first.Mass[0], Working: working}
	knobs := w.knobs(working)
	for _, k := range knobs {
		row, err := w.turn(k, response)
		if err != nil {
			return nil, err
		}
		b.Rows = append(b.Rows, row)
	}
	return b, w.ranges(b, knobs)
}

// worthDraws is over how many draws of the assumptions ranges are.
const worthDraws = 64

// ranges fills in what the draws of the assumptions make of the rows. Draws under which the
// body cannot take a posture are left out.
func (w *weigher) ranges(b *BodyWorth, knobs []knob) error {
	rows := b.Rows
	sets, err := w.f.assumed(worthDraws, 0)
	if err != nil {
		return err
	}
	centre := w.cases[0].Assume
	defer func() { w.cases[0].Assume = centre }()
	percents := make([][]float64, len(rows))
	b.Draws = len(sets) - min(1, len(sets)-1)
	for i := range b.Draws {
		w.cases[0].Assume = &sets[len(sets)-1-i]
		response, err := w.at(&scenario.Change{})
		for k := range knobs {
			var y float64
			if err == nil {
				var ch scenario.Change
				knobs[k].turn(&ch, knobs[k].Step)
				y, err = w.at(&ch)
			}
			var cannot *ImpossibleError
			if errors.As(err, &cannot) {
				err = nil
				b.Unable++
				break
			}
			if err != nil {
				return fmt.Errorf("%s: %w", knobs[k].Name, err)
			}
			if response != 0 {
				percents[k] = append(percents[k], 100*(y/response-1))
			}
		}
	}
	for k := range rows {
		rows[k].Low, rows[k].High = rows[k].Percent, rows[k].Percent
		if values := percents[k]; len(values) > 0 {
			slices.Sort(values)
			rows[k].Low, rows[k].High = linear.Quantile(0.05, values), linear.Quantile(0.95, values)
		}
	}
	return nil
}

// A weigher computes the demand of one body as its knobs are turned.
type weigher struct {
	f       *Function
	person  *anthro.People
	bench   *scenario.Bench
	cases   []scenario.Case // of one
	first   *body.Columns   // the body as it is
	spacing float64         // of its hands; NaN where it has none
}

func (f *Function) newWeigher(person *anthro.People) (*weigher, error) {
	placed := []hold.Demand{f.study.Of, hold.HandSpacing}
	w := &weigher{
		f: f, person: person, bench: scenario.NewBench(1, placed, placed[:1]),
		cases: f.newEvaluator().cases[:1], spacing: math.NaN(),
	}
	err := w.bench.Run(person, w.cases, func(_ int, t *scenario.Tile) error {
		w.first = t.First.Bodies
		if f.study.Hold.Places(hold.GivenSpacing) && t.First.Result.Possible[0] {
			w.spacing = t.First.Result.Value[hold.HandSpacing][0]
		}
		return nil
	})
	return w, err
}

// at returns the demand of the turned body.
func (w *weigher) at(turned *scenario.Change) (y float64, err error) {
	s := w.f.study.Scenario
	s.Change = turned
	w.cases[0].Setup = scenario.NewSetup(&s)
	err = w.bench.Run(w.person, w.cases, func(_ int, t *scenario.Tile) error {
		if !t.Second.Result.Possible[0] {
			return w.f.impossibleFor(1, 1)
		}
		y = w.f.study.scale() * t.Second.Result.Value[w.f.study.Of][0]
		return nil
	})
	return y, err
}

// The steps that are asked about.
const (
	oneCentimetre = 0.01
	onePerCent    = 0.01
	straddleStep  = math.Pi / 36
)

// knobs lists what can be turned of the body and its pose.
func (w *weigher) knobs(working float64) []knob {
	b, h, s := w.first, w.f.study.Hold, &w.f.study
	length := func(name string, at float64, turn func(*scenario.Change, float64)) knob {
		return knob{Worth: Worth{Name: name, Unit: "m", At: at, Step: oneCentimetre}, turn: turn, size: true}
	}
	var knobs []knob
	for of := range body.NumChanges {
		info, at := of.Info(), of.Of(b, 0)
		if info.Unit == "" {
			knobs = append(knobs, knob{Worth: Worth{Name: info.Name, At: at, Step: onePerCent}, size: true,
				turn: func(ch *scenario.Change, x float64) { ch.Body.Of[of].Share = x }})
			continue
		}
		knobs = append(knobs, length(info.Name, at, func(ch *scenario.Change, x float64) { ch.Body.Of[of].Metres = x }))
	}
	for _, m := range []struct {
		name string
		body.AddedMass
	}{
		{"trunk_fat", body.AddedMass{Region: body.Trunk, Kilograms: -1}},
		{"upper_body_muscle", body.AddedMass{Region: body.UpperBody, Kilograms: 1, Working: working}},
		{"leg_mass", body.AddedMass{Region: body.Legs, Kilograms: 1}},
	} {
		knobs = append(knobs, knob{Worth: Worth{Name: m.name, Unit: "kg", Step: 1}, reach: 0.5, mass: m.Kilograms,
			turn: func(ch *scenario.Change, x float64) {
				added := m.AddedMass
				added.Kilograms *= x
				ch.Body.Mass = []body.AddedMass{added}
			}})
	}
	if legs := s.Legs; h.TakesLegs(hold.Straddle) && (legs.Form == hold.Together || legs.Form == hold.Straddle) {
		open := legs.Form == hold.Straddle
		knobs = append(knobs, knob{Worth: Worth{Name: "straddle", Unit: "rad", At: legs.Angle, Step: straddleStep, Finite: !open}, size: open,
			turn: func(ch *scenario.Change, x float64) {
				straddle := hold.LegsIn(hold.Straddle, legs.Angle+x)
				ch.Legs = &straddle
			}})
	}
	if !math.IsNaN(w.spacing) {
		knobs = append(knobs, length("hand_spacing", w.spacing, func(ch *scenario.Change, x float64) {
			ch.Arms = &scenario.Arms{Spacing: &body.Amount{Metres: x}}
		}))
	}
	for _, v := range h.Variants {
		if value := s.Pose[v]; value > 0 && v.Info().Unit == "m" {
			knobs = append(knobs, length(v.String(), value, func(ch *scenario.Change, x float64) {
				pose := s.Pose
				pose[v] = value + x
				ch.Pose = &pose
			}))
		}
	}
	return knobs
}

// turn says what the step of a knob is worth.
func (w *weigher) turn(k knob, response float64) (Worth, error) {
	row, mass := k.Worth, w.first.Mass[0]
	at := func(x float64) (float64, error) {
		var ch scenario.Change
		k.turn(&ch, x)
		return w.at(&ch)
	}
	row.Elasticity, row.PercentNewtons = math.NaN(), math.NaN()
	if k.Finite {
		y, err := at(k.Step)
		if err != nil {
			return row, fmt.Errorf("%s: %w", k.Name, err)
		}
		row.Change = y - response
		row.Less, row.More = row.Change, row.Change
	} else {
		_, slopes, _, err := drivers.Elasticities(func(x []float64) (float64, error) { return at(x[0] - k.At) },
			[]drivers.Knob{{Name: k.Name, At: k.At, Reach: k.reach}})
		if err != nil {
			return row, fmt.Errorf("%s: %w", k.Name, err)
		}
		s := slopes[0]
		row.Change, row.Error = s.Derivative*k.Step, s.Error*k.Step
		row.Less, row.More, row.Kink = s.Left*k.Step, s.Right*k.Step, s.Kink
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
