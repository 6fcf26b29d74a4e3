package drivers

import (
	"math"

	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/drivers"
	"counterpoise/sim/scenario/scores"
)

// DriversSummary is what drivers found, for machines. Responses are in Unit: body
// weights (BW), BW·m, degrees, metres; shares are from 0 to 1; null is a number that
// does not exist.
type DriversSummary struct {
	Hold       string               `json:"hold"`
	Of         string               `json:"of"`
	Unit       string               `json:"unit"`
	Legs       jsonform.Legs        `json:"legs,omitzero"`
	Pose       jsonform.Pose        `json:"pose,omitzero"`
	Load       jsonform.Load        `json:"load_kg,omitzero"`
	Where      []study.StoredRange  `json:"where,omitempty"`
	Parts      []DriversPartSummary `json:"parts"`
	Validation string               `json:"validation"`
	Cautions   string               `json:"cautions"`
	Provenance provenance.Stamp     `json:"provenance"`
}

// DriversPartSummary is that of one population under one model or several.
type DriversPartSummary struct {
	People     string          `json:"people"`
	Person     string          `json:"person,omitempty"` // whose median body worth is about
	Model      string          `json:"model"`
	Models     []string        `json:"models"`
	Note       string          `json:"note,omitempty"` // what shares of people of one's own mean
	Headline   string          `json:"headline,omitempty"`
	Shares     *IndicesSummary `json:"shares,omitempty"`
	Split      *SplitSummary   `json:"people_against_assumptions,omitempty"`
	Worth      *WorthSummary   `json:"worth,omitempty"`
	Sobol      *IndicesSummary `json:"sobol,omitempty"`
	Full       *IndicesSummary `json:"full_and_independent,omitempty"`
	Screen     []EffectSummary `json:"screen,omitempty"`
	Along      *AlongSummary   `json:"along,omitempty"`
	Impossible int64           `json:"bodies_that_cannot_take_the_posture"`
	Bodies     int64           `json:"bodies"`
}

// Interval is a drivers.Estimate.
type Interval struct {
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// IndicesSummary is the outcome of a method that gives indices.
type IndicesSummary struct {
	Method      string         `json:"method"`
	Over        string         `json:"over,omitempty"`
	Indices     []IndexSummary `json:"indices"`
	Mean        Interval       `json:"mean"`
	Variance    Interval       `json:"variance"`
	Confidence  float64        `json:"confidence"`
	Base        int            `json:"base_rows"`
	Replicates  int            `json:"replicates"`
	Evaluations int64          `json:"evaluations"`
	Reached     bool           `json:"as_narrow_as_asked_for"`
}

// IndexSummary is one index of a group, or of two.
type IndexSummary struct {
	Kind   drivers.Kind `json:"kind"`
	Groups []string     `json:"groups"`
	Interval
}

func indicesOf(r *drivers.Result, over string) *IndicesSummary {
	if r == nil {
		return nil
	}
	s := &IndicesSummary{
		Method: r.Method, Over: over, Mean: Interval(r.Mean), Variance: Interval(r.Variance), Confidence: r.Confidence,
		Base: r.Base, Replicates: r.Replicates, Evaluations: r.Evaluations, Reached: r.Reached,
	}
	for _, i := range r.Indices {
		s.Indices = append(s.Indices, IndexSummary{i.Kind, i.Groups, Interval(i.Estimate)})
	}
	return s
}

// SplitSummary tells people from assumptions.
type SplitSummary struct {
	People      Interval          `json:"people"`
	Assumptions Interval          `json:"assumptions"`
	Interaction Interval          `json:"interaction"`
	Quantiles   []QuantileSummary `json:"quantiles"`
	Draws       int               `json:"assumption_draws"`
	Bodies      int               `json:"bodies_a_draw"`
}

// QuantileSummary is a scores.Quantile.
type QuantileSummary struct {
	Share    float64 `json:"share"`
	AtCentre float64 `json:"at_central_assumptions"`
	Low      float64 `json:"low"`  // 5 % of the draws
	High     float64 `json:"high"` // 95 % of the draws
}

// WorthSummary is the table of what one unit is worth.
type WorthSummary struct {
	Headline string     `json:"headline"`
	Response float64    `json:"response"`
	StatureM float64    `json:"stature_m"`
	MassKg   float64    `json:"mass_kg"`
	Working  float64    `json:"working_share"`
	Rows     []WorthRow `json:"rows"`
}

// WorthRow is one row of it. A change of a unit less is −less.
type WorthRow struct {
	Name           string   `json:"name"`
	What           string   `json:"what"`
	At             float64  `json:"at"`
	Unit           string   `json:"unit"`
	Step           float64  `json:"step"`
	Change         float64  `json:"change"`
	Error          float64  `json:"numerical_error"`
	Percent        float64  `json:"percent"`
	Low            float64  `json:"percent_low"` // 5 and 95 % of the draws
	High           float64  `json:"percent_high"`
	Elasticity     *float64 `json:"percent_per_percent"`
	Less           float64  `json:"less"`
	More           float64  `json:"more"`
	Kink           bool     `json:"corner"`
	Finite         bool     `json:"whole_step"`
	PercentNewtons *float64 `json:"percent_in_newtons"`
}

// EffectSummary is one elementary effect.
type EffectSummary struct {
	Name      string   `json:"name"`
	Absolute  Interval `json:"mean_magnitude"`
	Mean      Interval `json:"mean"`
	Deviation float64  `json:"deviation"`
}

// AlongSummary is a demand along a trait.
type AlongSummary struct {
	Trait    string    `json:"trait"`
	Unit     string    `json:"unit"`
	Headline string    `json:"headline"`
	N        int       `json:"n"`
	X        []float64 `json:"x"`
	Mean     []float64 `json:"mean"`
	Low      []float64 `json:"p5"`
	High     []float64 `json:"p95"`
	Error    []float64 `json:"standard_error"`
	Alone    []float64 `json:"median_body_trait_changed_alone,omitempty"`
}

// SummariseDrivers turns what was found into its summary.
func SummariseDrivers(d *Drivers, stamp provenance.Stamp) DriversSummary {
	unit, _ := jsonform.Output(d.Of.Unit)
	s := DriversSummary{
		Hold: d.Hold.Name, Of: d.Of.String(), Unit: unit, Legs: jsonform.Legs(d.Posture.Legs), Pose: jsonform.Pose(d.Posture.Pose), Load: jsonform.Load(d.Load), Where: study.StoreRanges(d.Where),
		Validation: words.NotValidated, Cautions: words.Cautions, Provenance: stamp,
	}
	for i := range d.Parts {
		p := &d.Parts[i]
		part := DriversPartSummary{
			People: p.People, Person: p.Person, Note: p.note(), Model: p.Model(), Headline: DriversHeadline(d, p),
			Shares: indicesOf(p.Shares, ""), Sobol: indicesOf(p.Sobol, p.SobolOf), Full: indicesOf(p.Full, ""),
		}
		for _, m := range p.Models {
			part.Models = append(part.Models, m.String())
		}
		part.Impossible, part.Bodies = p.Function.Impossible()
		if p.Split != nil {
			part.Split = splitOf(p.Split)
		}
		if p.Worth != nil {
			part.Worth = worthOf(d, p)
		}
		if p.Screen != nil {
			for _, e := range p.Screen.Effects {
				part.Screen = append(part.Screen, EffectSummary{e.Name, Interval(e.Absolute), Interval(e.Mean), e.Deviation})
			}
		}
		if c := p.Along; c != nil {
			part.Along = &AlongSummary{c.Trait.String(), c.Trait.Unit(), alongHeadline(d, p), c.N, c.X, c.Mean, c.Low, c.High, c.StandardError, c.Alone}
		}
		s.Parts = append(s.Parts, part)
	}
	return s
}

func splitOf(s *scores.Split) *SplitSummary {
	out := &SplitSummary{People: Interval(s.People), Assumptions: Interval(s.Assumptions), Interaction: Interval(s.Interaction), Draws: len(s.Draws), Bodies: s.Bodies}
	for _, q := range s.Quantiles {
		out.Quantiles = append(out.Quantiles, QuantileSummary(q))
	}
	return out
}

// worthUnit is the unit in which machines are told where a body is, and what turns the
// library's into it.
func worthUnit(unit string) (shown string, turn func(float64) float64) {
	switch unit {
	case "m":
		return "cm", func(x float64) float64 { return 100 * x }
	case "rad":
		return "deg", func(x float64) float64 { return x / (math.Pi / 180) }
	}
	return unit, func(x float64) float64 { return x }
}

func worthOf(d *Drivers, p *DriversPart) *WorthSummary {
	w := p.Worth
	out := &WorthSummary{Headline: WorthHeadline(d, p), Response: w.Response, StatureM: w.Stature, MassKg: w.Mass, Working: w.Working}
	for _, r := range w.Rows {
		unit, shown := worthUnit(r.Unit)
		out.Rows = append(out.Rows, WorthRow{r.Name, worthOfWhat(&r, w.Working), shown(r.At), unit, shown(r.Step), r.Change, r.Error, r.Percent, r.Low, r.High, jsonform.Finite(r.Elasticity), r.Less, r.More, r.Kink, r.Finite, jsonform.Finite(r.PercentNewtons)})
	}
	return out
}
