package said

import (
	"math"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
)

// PersonsSummary is what person --json prints and summary.json holds. Forces are
// In body weights (BW) and newtons, moments in BW·m and N·m, angles in degrees,
// lengths in metres, masses in kilograms, shares and percentiles from 0 to 1; a
// value that there is not is null.
type PersonsSummary struct {
	Persons []PersonSummary `json:"persons"`                   // in the order of the file
	Pooled  []PooledSummary `json:"measured_pooled,omitempty"` // predictions against readings, over all persons
	words.Standing
}

// PersonSummary is the answer for one person.
type PersonSummary struct {
	Person      string             `json:"person"`            // name
	Sex         string             `json:"sex"`               // female or male
	People      string             `json:"people"`            // population that what was not measured is drawn from
	Rest        string             `json:"rest_drawn_from"`   // whence what was not measured is
	Hold        string             `json:"hold"`              // its name
	Legs        jsonform.Legs      `json:"legs"`              // how they are held
	Pose        jsonform.Pose      `json:"pose"`              // variants of the posture that were set
	TiltDegrees float64            `json:"tilt_deg"`          // of the body from level
	Load        jsonform.Load      `json:"load_kg,omitzero"`  // what is carried, by point of the body
	Headline    string             `json:"headline"`          // in one sentence
	Known       []KnownSummary     `json:"known"`             // what was measured
	Scan        map[string]float64 `json:"scan_kg,omitempty"` // masses of the body's parts by a scan
	Models      []PersonModel      `json:"models"`            // one a model
	// Spacing is the hand spacing that is recommended, with what is left open; nil where
	// the hold has none.
	Spacing *Range `json:"recommended_hand_spacing_m,omitempty"`
	Sharing string `json:"hands_share,omitempty"` // in the posture recommended
	// Taught is what the lift-and-turn rule that is taught says, which gives no verdict.
	Taught    string              `json:"taught_rule,omitempty"`
	Fixture   *FixtureSummary     `json:"fixture,omitempty"`      // what carries the person
	FootLoad  *Range              `json:"foot_load_kg,omitempty"` // what the feet put on the ground
	Measured  []ComparisonSummary `json:"measured,omitempty"`     // predictions against readings of force
	Readiness *ReadinessSummary   `json:"readiness,omitempty"`    // what tests show; none without tests
	Card      *CardSummary        `json:"card,omitempty"`         // of a club's athlete
	Notes     []string            `json:"notes,omitempty"`        // what to know of it
	Draws     int                 `json:"draws"`                  // behind every range
}

// Range is a median and the 5 % and 95 % quantiles.
type Range struct {
	P5  *float64 `json:"p5"`  // exceeded in 95 % of the draws
	P50 *float64 `json:"p50"` // the median
	P95 *float64 `json:"p95"` // exceeded in 5 % of the draws
}

// KnownSummary is one measurement with its place among the people.
type KnownSummary struct {
	Measurement string   `json:"measurement"`            // its name
	Value       float64  `json:"value"`                  // as measured
	Error       float64  `json:"error"`                  // standard deviation; 0 for an exact value
	Unit        string   `json:"unit"`                   // of value and error
	Percentile  *float64 `json:"percentile"`             // among the people, from 0 to 1
	ForStature  *float64 `json:"percentile_for_stature"` // among people of the same stature
}

// PersonModel is the answer under one model.
type PersonModel struct {
	Model         string            `json:"model"`                      // its name
	Judges        bool              `json:"judges"`                     // false: shown, but nothing rests on it
	Main          string            `json:"main_quantity"`              // demand that the headline and the gains are about
	PossibleShare float64           `json:"possible_share"`             // share of the draws that can take the posture
	Quantities    []QuantitySummary `json:"quantities"`                 // one a demand
	Everything    GainSummary       `json:"measure_everything"`         // what no tape removes is left
	Next          []GainSummary     `json:"measure_next"`               // each alone
	Plan          []GainSummary     `json:"measure_plan"`               // each on top of those before
	BestAngle     *float64          `json:"median_body_best_angle_deg"` // of the arms, where it may be chosen
	BestSpacing   *float64          `json:"median_body_hand_spacing_m"` // at that angle
}

// QuantitySummary is one demand: from the body alone at the central assumptions,
// and with the assumptions drawn as well.
type QuantitySummary struct {
	Quantity        string  `json:"quantity"`                                // name of the demand
	Unit            string  `json:"unit"`                                    // of body and body_and_assumptions
	Body            Range   `json:"body"`                                    // at the central assumptions
	All             Range   `json:"body_and_assumptions"`                    // all that is open
	AbsoluteUnit    string  `json:"absolute_unit,omitempty"`                 // N or N·m
	BodyAbsolute    *Range  `json:"body_absolute,omitempty"`                 // in that unit
	AllAbsolute     *Range  `json:"body_and_assumptions_absolute,omitempty"` // in that unit
	FromBody        float64 `json:"variance_share_body"`                     // by what of the body was not measured
	FromAssumptions float64 `json:"variance_share_assumptions"`              // by what nobody has measured
	// Percentile is the share of people who need less, over all that is left open, the
	// assumptions the same for the person and for them.
	Percentile Range `json:"percentile"`
}

// GainSummary is what measuring something would leave of the 5–95 % range of the
// main quantity, body and assumptions, in its unit.
type GainSummary struct {
	Measure   string   `json:"measure"`   // what
	Width     *float64 `json:"width"`     // of the range that is left
	Reduction *float64 `json:"reduction"` // of the width, as a share
}

// FixtureSummary is what carries the person, at rest, in newtons and N·m.
type FixtureSummary struct {
	Forces      []FixtureForceSummary `json:"forces"`                   // one a place
	Overturning *Range                `json:"overturning_nm,omitempty"` // moment about the foot of the pole
}

// FixtureForceSummary is the force on the support at one place, N: horizontal
// positive towards the body, vertical positive downwards.
type FixtureForceSummary struct {
	Support    string `json:"support"`      // which
	Horizontal Range  `json:"horizontal_n"` // positive towards the body
	Vertical   Range  `json:"vertical_n"`   // positive downwards
}

// PooledSummary is how the predictions of one kind did over several persons.
type PooledSummary struct {
	What           string   `json:"what"`                   // kind of reading
	Unit           string   `json:"unit"`                   // of the errors
	At             string   `json:"at"`                     // where
	N              int      `json:"n"`                      // readings
	Inside         int      `json:"inside_5_95"`            // readings within the predicted range
	Coverage       float64  `json:"coverage"`               // share of them
	CoverageLow    float64  `json:"coverage_low"`           // 95 % interval
	CoverageHigh   float64  `json:"coverage_high"`          // 95 % interval
	MeanError      *float64 `json:"mean_error"`             // reading less predicted median
	StandardError  *float64 `json:"standard_error"`         // of the mean error
	RootMeanSquare *float64 `json:"root_mean_square_error"` // of the errors
}

// ComparisonSummary is one reading against its prediction.
type ComparisonSummary struct {
	What         string  `json:"what"`          // kind of reading
	Unit         string  `json:"unit"`          // of all that follows
	At           string  `json:"at"`            // where
	Reading      float64 `json:"reading"`       // as measured
	ReadingError float64 `json:"reading_error"` // standard deviation
	Predicted    Range   `json:"predicted"`     // by the model
	Error        float64 `json:"error"`         // reading less predicted median
	Inside       bool    `json:"inside_5_95"`   // whether the reading is within the predicted range
}

// SummarisePersons turns answers into their summary.
func SummarisePersons(answers []PersonAnswer, stamp provenance.Stamp) PersonsSummary {
	return PersonsSummary{
		Standing: words.StandingOf(stamp), Pooled: pooledSummary(answers),
		Persons: names.Each(answers, func(a PersonAnswer) PersonSummary { return SummarisePerson(&a) }),
	}
}

// SummarisePerson turns the answer for one person into its summary.
func SummarisePerson(a *PersonAnswer) PersonSummary {
	p := a.Person
	s := PersonSummary{
		Person: p.Name, Sex: p.Sex.String(), People: a.Population.Name, Rest: a.Conditioned.Population.Name, Hold: a.Hold.Name, Legs: jsonform.Legs(p.Legs), Pose: jsonform.Pose(p.Pose), TiltDegrees: p.Tilt * 180 / math.Pi, Load: jsonform.Load(p.Load),
		Headline: PersonHeadline(a, words.Metric), Notes: a.Notes, Draws: a.Options.N, Known: []KnownSummary{}, Scan: scanMasses(p.Scan),
	}
	for _, r := range a.Ranks {
		s.Known = append(s.Known, KnownSummary{r.Known.Of.String(), r.Known.Value, r.Known.Error, r.Known.Of.Unit(), jsonform.Finite(r.Percentile), jsonform.Finite(r.ForStature)})
	}
	s.Models = names.Each(a.Models, func(m person.ModelResult) PersonModel { return summarisePersonModel(&m) })
	if m := a.Primary(); m.PossibleAll > 0 {
		if at, ok := RecommendedSpacing(a); ok {
			s.Spacing = rangeOf(at)
		}
		s.Sharing = Sharing(m)
	}
	s.Taught = Taught(a, words.Metric)
	if f := a.Fixture; f != nil {
		s.Fixture = &FixtureSummary{Forces: names.Each(f.Forces, func(force person.FixtureForce) FixtureForceSummary {
			return FixtureForceSummary{force.Support, RangeOf(force.Horizontal, 1), RangeOf(force.Vertical, 1)}
		})}
		if f.Overturning != nil {
			s.Fixture.Overturning = rangeOf(*f.Overturning)
		}
	}
	if a.FootLoad != nil {
		s.FootLoad = rangeOf(*a.FootLoad)
	}
	s.Measured = names.Each(a.Comparisons, summariseComparison)
	if a.Ready != nil {
		s.Readiness = summariseReadiness(a.Ready)
	}
	return s
}

func scanMasses(scan *[anthro.NumRegions]float64) map[string]float64 {
	if scan == nil {
		return nil
	}
	masses := map[string]float64{}
	for region, kg := range scan {
		masses[anthro.Region(region).String()] = kg
	}
	return masses
}

func summarisePersonModel(m *person.ModelResult) PersonModel {
	s := PersonModel{Model: m.Model.String(), Judges: m.Model.Judges(), Main: m.Main.String(), PossibleShare: m.PossibleAll, Quantities: []QuantitySummary{}, Next: gains(m.Next), Plan: gains(m.Plan)}
	if q, ok := m.Quantity(m.Main); ok {
		s.Everything = GainSummary{"everything", jsonform.Finite(m.Floor), jsonform.Finite(1 - m.Floor/q.All.Width())}
	}
	for _, q := range m.Quantities {
		unit, scale := jsonform.Output(q.Demand.Unit)
		summary := QuantitySummary{
			Quantity: q.Demand.String(), Unit: unit, Body: RangeOf(q.Body, scale), All: RangeOf(q.All, scale),
			AbsoluteUnit: q.AbsoluteUnit, FromBody: q.FromBody, FromAssumptions: q.FromAssumptions, Percentile: RangeOf(q.Percentile, 1),
		}
		if q.AbsoluteUnit != "" {
			summary.BodyAbsolute, summary.AllAbsolute = rangeOf(q.BodyAbsolute), rangeOf(q.AllAbsolute)
		}
		s.Quantities = append(s.Quantities, summary)
	}
	if m.Curve != nil {
		s.BestAngle, s.BestSpacing = jsonform.Finite(m.Curve.BestAngle*180/math.Pi), jsonform.Finite(m.Curve.BestSpacing)
	}
	return s
}

func gains(list []person.Gain) []GainSummary {
	summary := []GainSummary{}
	for _, g := range list {
		summary = append(summary, GainSummary{g.String(), jsonform.Finite(g.Width), jsonform.Finite(g.Reduction)})
	}
	return summary
}

// summariseComparison writes angles in degrees.
func summariseComparison(c person.Comparison) ComparisonSummary {
	unit, scale := jsonform.Output(c.Unit)
	return ComparisonSummary{c.What, unit, PostureOf(c.Rule, c.Model), c.Reading.Value * scale, c.Reading.Error * scale, RangeOf(c.Predicted, scale), c.Error * scale, c.Inside}
}

func pooledSummary(answers []PersonAnswer) []PooledSummary {
	var list []PooledSummary
	for _, p := range PoolOf(answers) {
		unit, scale := jsonform.Output(p.Unit)
		list = append(list, PooledSummary{
			p.What, unit, PostureOf(p.Rule, p.Model), p.N, p.Inside, p.Coverage, p.CoverageLow, p.CoverageHigh,
			jsonform.Finite(p.MeanError * scale), jsonform.Finite(p.StandardError * scale), jsonform.Finite(p.RootMeanSquare * scale),
		})
	}
	return list
}

// RangeOf is a spread times a factor.
func RangeOf(s person.Spread, scale float64) Range {
	return Range{jsonform.Finite(s.Low * scale), jsonform.Finite(s.Median * scale), jsonform.Finite(s.High * scale)}
}

func rangeOf(s person.Spread) *Range {
	r := RangeOf(s, 1)
	return &r
}
