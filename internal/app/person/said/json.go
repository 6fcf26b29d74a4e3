package said

import (
	"math"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/person"
)

// PersonsSummary is what person --json prints and summary.json holds. Forces are
// In body weights (BW) and newtons, moments in BW·m and N·m, angles in degrees,
// lengths in metres, masses in kilograms, shares and percentiles from 0 to 1; a
// value that there is not is null.
type PersonsSummary struct {
	Persons []PersonSummary `json:"persons"`
	Pooled  []PooledSummary `json:"measured_pooled,omitempty"`
	words.Standing
}

// PersonSummary is the answer for one person.
type PersonSummary struct {
	Person      string             `json:"person"`
	Sex         string             `json:"sex"`
	People      string             `json:"people"`
	Rest        string             `json:"rest_drawn_from"` // whence what was not measured is
	Hold        string             `json:"hold"`
	Legs        jsonform.Legs      `json:"legs"`
	Pose        jsonform.Pose      `json:"pose"`
	TiltDegrees float64            `json:"tilt_deg"`
	Load        jsonform.Load      `json:"load_kg,omitzero"`
	Headline    string             `json:"headline"`
	Known       []KnownSummary     `json:"known"`
	Scan        map[string]float64 `json:"scan_kg,omitempty"`
	Models      []PersonModel      `json:"models"`
	// Spacing is the hand spacing that is recommended, with what is left open; nil where
	// the hold has none.
	Spacing *Range `json:"recommended_hand_spacing_m,omitempty"`
	Sharing string `json:"hands_share,omitempty"` // in the posture recommended
	// Taught is what the lift-and-turn rule that is taught says, which gives no verdict.
	Taught    string              `json:"taught_rule,omitempty"`
	Fixture   *FixtureSummary     `json:"fixture,omitempty"`
	FootLoad  *Range              `json:"foot_load_kg,omitempty"`
	Measured  []ComparisonSummary `json:"measured,omitempty"`
	Readiness *ReadinessSummary   `json:"readiness,omitempty"`
	Card      *CardSummary        `json:"card,omitempty"` // of a club's athlete
	Notes     []string            `json:"notes,omitempty"`
	Draws     int                 `json:"draws"`
}

// Range is a median and the 5 % and 95 % quantiles.
type Range struct {
	P5  *float64 `json:"p5"`
	P50 *float64 `json:"p50"`
	P95 *float64 `json:"p95"`
}

// KnownSummary is one measurement with its place among the people.
type KnownSummary struct {
	Measurement string   `json:"measurement"`
	Value       float64  `json:"value"`
	Error       float64  `json:"error"` // standard deviation; 0 for an exact value
	Unit        string   `json:"unit"`
	Percentile  *float64 `json:"percentile"`
	ForStature  *float64 `json:"percentile_for_stature"`
}

// PersonModel is the answer under one model.
type PersonModel struct {
	Model         string            `json:"model"`
	Judges        bool              `json:"judges"` // false: shown, but nothing rests on it
	Main          string            `json:"main_quantity"`
	PossibleShare float64           `json:"possible_share"`
	Quantities    []QuantitySummary `json:"quantities"`
	Everything    GainSummary       `json:"measure_everything"` // what no tape removes is left
	Next          []GainSummary     `json:"measure_next"`       // each alone
	Plan          []GainSummary     `json:"measure_plan"`       // each on top of those before
	BestAngle     *float64          `json:"median_body_best_angle_deg"`
	BestSpacing   *float64          `json:"median_body_hand_spacing_m"`
}

// QuantitySummary is one demand: from the body alone at the central assumptions,
// and with the assumptions drawn as well.
type QuantitySummary struct {
	Quantity        string  `json:"quantity"`
	Unit            string  `json:"unit"`
	Body            Range   `json:"body"`
	All             Range   `json:"body_and_assumptions"`
	AbsoluteUnit    string  `json:"absolute_unit,omitempty"`
	BodyAbsolute    *Range  `json:"body_absolute,omitempty"`
	AllAbsolute     *Range  `json:"body_and_assumptions_absolute,omitempty"`
	FromBody        float64 `json:"variance_share_body"`
	FromAssumptions float64 `json:"variance_share_assumptions"`
	// Percentile is the share of people who need less, over all that is left open, the
	// assumptions the same for the person and for them.
	Percentile Range `json:"percentile"`
}

// GainSummary is what measuring something would leave of the 5–95 % range of the
// main quantity, body and assumptions, in its unit.
type GainSummary struct {
	Measure   string   `json:"measure"`
	Width     *float64 `json:"width"`
	Reduction *float64 `json:"reduction"`
}

// FixtureSummary is what carries the person, at rest, in newtons and N·m.
type FixtureSummary struct {
	Forces      []FixtureForceSummary `json:"forces"`
	Overturning *Range                `json:"overturning_nm,omitempty"`
}

// FixtureForceSummary is the force on the support at one place, N: horizontal
// positive towards the body, vertical positive downwards.
type FixtureForceSummary struct {
	Support    string `json:"support"`
	Horizontal Range  `json:"horizontal_n"`
	Vertical   Range  `json:"vertical_n"`
}

// PooledSummary is how the predictions of one kind did over several persons.
type PooledSummary struct {
	What           string   `json:"what"`
	Unit           string   `json:"unit"`
	At             string   `json:"at"`
	N              int      `json:"n"`
	Inside         int      `json:"inside_5_95"`
	Coverage       float64  `json:"coverage"`
	CoverageLow    float64  `json:"coverage_low"`  // 95 % interval
	CoverageHigh   float64  `json:"coverage_high"` // 95 % interval
	MeanError      *float64 `json:"mean_error"`
	StandardError  *float64 `json:"standard_error"`
	RootMeanSquare *float64 `json:"root_mean_square_error"`
}

// ComparisonSummary is one reading against its prediction.
type ComparisonSummary struct {
	What         string  `json:"what"`
	Unit         string  `json:"unit"`
	At           string  `json:"at"`
	Reading      float64 `json:"reading"`
	ReadingError float64 `json:"reading_error"`
	Predicted    Range   `json:"predicted"`
	Error        float64 `json:"error"` // reading less predicted median
	Inside       bool    `json:"inside_5_95"`
}

// SummarisePersons turns answers into their summary.
func SummarisePersons(answers []PersonAnswer, stamp provenance.Stamp) PersonsSummary {
	s := PersonsSummary{Standing: words.StandingOf(stamp)}
	for i := range answers {
		s.Persons = append(s.Persons, SummarisePerson(&answers[i]))
	}
	s.Pooled = pooledSummary(answers)
	return s
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
	for i := range a.Models {
		s.Models = append(s.Models, summarisePersonModel(&a.Models[i]))
	}
	if m := a.Primary(); m.PossibleAll > 0 {
		if at, ok := RecommendedSpacing(a); ok {
			s.Spacing = rangeOf(at)
		}
		s.Sharing = Sharing(m)
	}
	s.Taught = Taught(a, words.Metric)
	if f := a.Fixture; f != nil {
		s.Fixture = &FixtureSummary{}
		for _, force := range f.Forces {
			s.Fixture.Forces = append(s.Fixture.Forces, FixtureForceSummary{force.Support, RangeOf(force.Horizontal, 1), RangeOf(force.Vertical, 1)})
		}
		if f.Overturning != nil {
			s.Fixture.Overturning = rangeOf(*f.Overturning)
		}
	}
	if a.FootLoad != nil {
		s.FootLoad = rangeOf(*a.FootLoad)
	}
	for _, c := range a.Comparisons {
		s.Measured = append(s.Measured, summariseComparison(c))
	}
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
