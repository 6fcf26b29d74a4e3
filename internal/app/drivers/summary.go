package drivers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/chart"
	"counterpoise/internal/draw"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/internal/stored"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/scenario/scores"
)

// DriversSummary is what drivers found, for machines. Responses are in Unit: body
// weights (BW), BW·m, degrees, metres; shares are from 0 to 1; null is a number that
// does not exist.
type DriversSummary struct {
	Hold  string               `json:"hold"`             // its name
	Of    string               `json:"of"`               // demand that is explained
	Unit  string               `json:"unit"`             // of its values
	Legs  jsonform.Legs        `json:"legs,omitzero"`    // how they are held
	Pose  jsonform.Pose        `json:"pose,omitzero"`    // variants of the posture that were set
	Load  jsonform.Load        `json:"load_kg,omitzero"` // what is carried, by point of the body
	Where []stored.Range       `json:"where,omitempty"`  // who was selected
	Parts []DriversPartSummary `json:"parts"`            // one a population and model
	words.Standing
}

// DriversPartSummary is that of one population under one model or several.
type DriversPartSummary struct {
	People     string          `json:"people"`                               // population
	Person     string          `json:"person,omitempty"`                     // whose median body worth is about
	Model      string          `json:"model"`                                // its name, or of several that are drawn among
	Models     []string        `json:"models"`                               // their names
	Note       string          `json:"note,omitempty"`                       // what shares of people of one's own mean
	Headline   string          `json:"headline,omitempty"`                   // in one sentence
	Shares     *IndicesSummary `json:"shares,omitempty"`                     // Shapley effects: shares of the variance that add up to 1
	Split      *SplitSummary   `json:"people_against_assumptions,omitempty"` // where the variance comes from
	Worth      *WorthSummary   `json:"worth,omitempty"`                      // what one unit is worth to the median body
	Sobol      *IndicesSummary `json:"sobol,omitempty"`                      // Sobol' indices
	Full       *IndicesSummary `json:"full_and_independent,omitempty"`       // Sobol' indices of dependent traits, whole and of what is their own
	Screen     []EffectSummary `json:"screen,omitempty"`                     // elementary effects
	Along      *AlongSummary   `json:"along,omitempty"`                      // the demand along a trait
	Impossible int64           `json:"bodies_that_cannot_take_the_posture"`  // of bodies
	Bodies     int64           `json:"bodies"`                               // that were drawn
}

// Interval is a drivers.Estimate.
type Interval struct {
	Value float64 `json:"value"` // estimate
	Low   float64 `json:"low"`   // end of the interval
	High  float64 `json:"high"`  // end of the interval
}

// IndicesSummary is the outcome of a method that gives indices.
type IndicesSummary struct {
	Method      string         `json:"method"`                 // its name
	Over        string         `json:"over,omitempty"`         // what is varied
	Indices     []IndexSummary `json:"indices"`                // one a group and kind
	Mean        Interval       `json:"mean"`                   // of the demand
	Variance    Interval       `json:"variance"`               // of the demand
	Confidence  float64        `json:"confidence"`             // of the intervals
	Base        int            `json:"base_rows"`              // of the design
	Replicates  int            `json:"replicates"`             // of the design, for the intervals
	Evaluations int64          `json:"evaluations"`            // of the model
	Reached     bool           `json:"as_narrow_as_asked_for"` // whether the intervals are
}

// IndexSummary is one index of a group, or of two.
type IndexSummary struct {
	Kind   drivers.Kind `json:"kind"`   // of index
	Groups []string     `json:"groups"` // of inputs: one, or two for an interaction
	Interval
}

func indicesOf(r *drivers.Result, over string) *IndicesSummary {
	if r == nil {
		return nil
	}
	return &IndicesSummary{
		Method: r.Method, Over: over, Mean: Interval(r.Mean), Variance: Interval(r.Variance), Confidence: r.Confidence,
		Base: r.Base, Replicates: r.Replicates, Evaluations: r.Evaluations, Reached: r.Reached,
		Indices: names.Each(r.Indices, func(i drivers.Index) IndexSummary { return IndexSummary{i.Kind, i.Groups, Interval(i.Estimate)} }),
	}
}

// SplitSummary tells people from assumptions.
type SplitSummary struct {
	People      Interval          `json:"people"`           // share of the variance by who it is
	Assumptions Interval          `json:"assumptions"`      // share by what nobody has measured
	Interaction Interval          `json:"interaction"`      // share by both together
	Quantiles   []QuantileSummary `json:"quantiles"`        // of people, with what the draws leave open
	Draws       int               `json:"assumption_draws"` // how many
	Bodies      int               `json:"bodies_a_draw"`    // how many
}

// QuantileSummary is a scores.Quantile.
type QuantileSummary struct {
	Share    float64 `json:"share"`                  // of people below it
	AtCentre float64 `json:"at_central_assumptions"` // the quantile
	Low      float64 `json:"low"`                    // 5 % of the draws
	High     float64 `json:"high"`                   // 95 % of the draws
}

// WorthSummary is the table of what one unit is worth.
type WorthSummary struct {
	Headline string     `json:"headline"`               // in one sentence
	Response float64    `json:"response"`               // of the median body
	StatureM float64    `json:"stature_m"`              // of the median body
	MassKg   float64    `json:"mass_kg"`                // of the median body
	Working  float64    `json:"working_share"`          // of added muscle that works
	Draws    int        `json:"assumption_draws"`       // over which ranges are
	Unable   int        `json:"unable_draws,omitempty"` // of these, left out: the body cannot take the posture
	Rows     []WorthRow `json:"rows"`                   // one a change
}

// WorthRow is one row of it. A change of a unit less is −less.
type WorthRow struct {
	Name           string   `json:"name"`                // of the change
	What           string   `json:"what"`                // in words
	At             float64  `json:"at"`                  // of the median body before the change
	Unit           string   `json:"unit"`                // of at and step
	Step           float64  `json:"step"`                // by which it is changed
	Change         float64  `json:"change"`              // of the response, by the step
	Error          float64  `json:"numerical_error"`     // of the change
	Percent        float64  `json:"percent"`             // of the response
	Low            float64  `json:"percent_low"`         // 5 and 95 % of the draws
	High           float64  `json:"percent_high"`        // likewise
	Elasticity     *float64 `json:"percent_per_percent"` // elasticity; null of what has no size
	Less           float64  `json:"less"`                // what one unit less takes away
	More           float64  `json:"more"`                // what one unit more adds
	Kink           bool     `json:"corner"`              // whether these differ: there is no single rate, and change is their mean
	Finite         bool     `json:"whole_step"`          // whether a whole step was taken instead of a derivative
	PercentNewtons *float64 `json:"percent_in_newtons"`  // of the force in newtons, where the response is in body weights
}

// EffectSummary is one elementary effect.
type EffectSummary struct {
	Name      string   `json:"name"`           // of the input
	Absolute  Interval `json:"mean_magnitude"` // of the change of the response per whole range of the input
	Mean      Interval `json:"mean"`           // the same with its sign
	Deviation float64  `json:"deviation"`      // of it over the places where it was looked for
}

// AlongSummary is a demand along a trait.
type AlongSummary struct {
	Trait    string    `json:"trait"`                                     // its name
	Unit     string    `json:"unit"`                                      // of x
	Headline string    `json:"headline"`                                  // in one sentence
	N        int       `json:"n"`                                         // bodies
	Unable   int       `json:"unable,omitempty"`                          // more, which cannot take the posture
	X        []float64 `json:"x"`                                         // values of the trait
	Mean     []float64 `json:"mean"`                                      // of the demand at each
	Low      []float64 `json:"p5"`                                        // of the bodies at each
	High     []float64 `json:"p95"`                                       // of the bodies at each
	Error    []float64 `json:"standard_error"`                            // of the mean
	Alone    []float64 `json:"median_body_trait_changed_alone,omitempty"` // the demand on the median body where the rest stays the same
}

// SummariseDrivers turns what was found into its summary.
func SummariseDrivers(d *Drivers, stamp provenance.Stamp) DriversSummary {
	unit, _ := jsonform.Output(d.Of.Unit)
	s := DriversSummary{
		Hold: d.Hold.Name, Of: d.Of.String(), Unit: unit, Legs: jsonform.Legs(d.Posture.Legs), Pose: jsonform.Pose(d.Posture.Pose), Load: jsonform.Load(d.Load), Where: stored.StoreRanges(d.Where),
		Standing: words.StandingOf(stamp),
	}
	for i := range d.Parts {
		p := &d.Parts[i]
		part := DriversPartSummary{
			People: p.People, Person: p.Person, Note: p.note(), Model: p.Model(), Headline: DriversHeadline(d, p),
			Shares: indicesOf(p.Shares, ""), Sobol: indicesOf(p.Sobol, p.SobolOf), Full: indicesOf(p.Full, ""),
			Models: names.Of(p.Models),
		}
		part.Impossible, part.Bodies = p.Function.Impossible()
		if p.Split != nil {
			part.Split = splitOf(p.Split)
		}
		if p.Worth != nil {
			part.Worth = worthOf(d, p)
		}
		if p.Screen != nil {
			part.Screen = names.Each(p.Screen.Effects, func(e drivers.ElementaryEffect) EffectSummary {
				return EffectSummary{e.Name, Interval(e.Absolute), Interval(e.Mean), e.Deviation}
			})
		}
		if c := p.Along; c != nil {
			part.Along = &AlongSummary{c.Trait.String(), c.Trait.Unit(), alongHeadline(d, p), c.N, c.Unable, c.X, c.Mean, c.Low, c.High, c.StandardError, c.Alone}
		}
		s.Parts = append(s.Parts, part)
	}
	return s
}

func splitOf(s *scores.Split) *SplitSummary {
	return &SplitSummary{
		People: Interval(s.People), Assumptions: Interval(s.Assumptions), Interaction: Interval(s.Interaction), Draws: len(s.Draws), Bodies: s.Bodies,
		Quantiles: names.Each(s.Quantiles, func(q scores.Quantile) QuantileSummary { return QuantileSummary(q) }),
	}
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
	out := &WorthSummary{Headline: WorthHeadline(d, p), Response: w.Response, StatureM: w.Stature, MassKg: w.Mass, Working: w.Working, Draws: w.Draws, Unable: w.Unable}
	for _, r := range w.Rows {
		unit, shown := worthUnit(r.Unit)
		out.Rows = append(out.Rows, WorthRow{r.Name, worthOfWhat(&r, w.Working), shown(r.At), unit, shown(r.Step), r.Change, r.Error, r.Percent, r.Low, r.High, jsonform.Finite(r.Elasticity), r.Less, r.More, r.Kink, r.Finite, jsonform.Finite(r.PercentNewtons)})
	}
	return out
}

// Drivers is what was found about what drives a demand.
type Drivers struct {
	Hold    *hold.Hold
	Of      hold.Demand
	Posture hold.Posture
	Load    body.Load
	Where   []anthro.Range
	Fixed   bool // whether some assumption is not as by default
	Parts   []DriversPart
}

// DriversPart is what was found for one population under one model, or under several
// of which it is not known which is right. What was not asked for is nil.
type DriversPart struct {
	People   string
	Person   string // whose median body Worth is about; "" for the people's
	Models   []scenario.Model
	Function *scores.Function

	Shares *drivers.Result // Shapley effects
	Split  *scores.Split
	Worth  *scores.BodyWorth
	Body   *anthro.People // the body that Worth is about, one row
	Sobol  *drivers.Result
	// SobolOf says over what: "the assumptions, for the median body", "people as
	// one group and each assumption".
	SobolOf string
	Full    *drivers.Result // full and independent indices
	Screen  *Screening
	Along   *scores.Trend
}

// Screening is the outcome of elementary effects.
type Screening struct {
	Effects     []drivers.ElementaryEffect // in the order of the function's inputs
	Evaluations int64
}

// Model names the model of the part.
func (p *DriversPart) Model() string {
	if len(p.Models) == 1 {
		return words.ModelOf(p.Models[0])
	}
	return "all models, each as likely as another"
}

// FileName is the part's piece of a file name.
func (p *DriversPart) FileName() string {
	if len(p.Models) == 1 {
		return p.People + "-" + draw.FileName(p.Models[0].String())
	}
	return p.People + "-all-models"
}

func (p *DriversPart) spoken(d hold.Demand) words.Demand {
	ph := words.DemandOf(d, p.Models[0].Statics)
	if len(p.Models) > 1 {
		ph.Noun = words.PlainNoun(d)
	}
	return ph
}

// holdWords names the hold with its posture.
func (d *Drivers) holdWords() string { return words.NoBreak(words.Held(d.Hold, d.Posture, d.Load)) }

// peopleWords names people with their conditions.
func (d *Drivers) peopleWords(people string) string {
	return strings.Join(append([]string{people}, names.Of(d.Where)...), ", ")
}

// about says whom a part is about.
func (d *Drivers) about(p *DriversPart) string {
	if p.Person != "" {
		return p.Person + ", the rest as in similar people (" + p.People + ")"
	}
	return d.peopleWords(p.peopleNamed())
}

// population are the part's people.
func (p *DriversPart) population() *anthro.Population { return p.Function.Population() }

// note says what shares of people of one's own mean, or nothing.
func (p *DriversPart) note() string {
	if p.Person != "" {
		return ""
	}
	return p.population().Note()
}

// peopleNamed names the part's people, and says who people of one's own are.
func (p *DriversPart) peopleNamed() string {
	if of := p.population(); of.Resampled() {
		return p.People + " (" + of.Title + ", resampled)"
	}
	return p.People
}

// sourceOf says what kind of not knowing a group or input stands for.
func sourceOf(p *DriversPart, name string) chart.Source {
	switch {
	case name == scores.ModelGroup:
		return chart.FromModels
	case strings.HasPrefix(name, "assumptions"):
		return chart.FromAssumptions
	}
	for _, id := range p.Function.Free() {
		if id.String() == name {
			return chart.FromAssumptions
		}
	}
	return chart.FromPeople
}

// ranked returns the indices of one kind, the greatest first.
func ranked(r *drivers.Result, kind drivers.Kind) []drivers.Index {
	list := slices.DeleteFunc(slices.Clone(r.Indices), func(i drivers.Index) bool { return i.Kind != kind })
	slices.SortStableFunc(list, func(a, b drivers.Index) int { return cmp.Compare(b.Value, a.Value) })
	return list
}

// rankedEffects returns the elementary effects, the greatest first.
func rankedEffects(effects []drivers.ElementaryEffect) []drivers.ElementaryEffect {
	list := slices.Clone(effects)
	slices.SortStableFunc(list, func(a, b drivers.ElementaryEffect) int { return cmp.Compare(b.Absolute.Value, a.Absolute.Value) })
	return list
}

// sharesBySource sums the Shapley effects by what they stand for.
func sharesBySource(p *DriversPart) (people, assumptions, models float64) {
	for _, i := range p.Shares.Indices {
		switch sourceOf(p, i.Groups[0]) {
		case chart.FromPeople:
			people += i.Value
		case chart.FromAssumptions:
			assumptions += i.Value
		case chart.FromModels:
			models += i.Value
		}
	}
	return people, assumptions, models
}

// DriversHeadline says what a part's shares show, in a sentence or two that can be
// said aloud; it is empty where there are none.
func DriversHeadline(d *Drivers, p *DriversPart) string {
	if p.Shares == nil {
		return ""
	}
	people, assumptions, models := sharesBySource(p)
	noun := p.spoken(d.Of).Noun
	var text string
	switch most := max(people, assumptions, models); {
	case assumptions == 0 && models == 0:
		text = fmt.Sprintf("%s varies because people differ; the assumptions are fixed.", words.Capital(noun))
	case most == people:
		text = fmt.Sprintf("%s varies mostly because people differ (%s); what nobody has measured adds %s.", words.Capital(noun), words.Share(people), words.Share(assumptions))
	case most == assumptions:
		text = fmt.Sprintf("%s is uncertain mostly because of what nobody has measured (%s); differences between people add %s.", words.Capital(noun), words.Share(assumptions), words.Share(people))
	default:
		text = fmt.Sprintf("%s depends mostly on which model is right (%s); differences between people add %s.", words.Capital(noun), words.Share(models), words.Share(people))
	}
	var names []string
	for _, i := range ranked(p.Shares, drivers.ShapleyEffect) {
		if sourceOf(p, i.Groups[0]) != chart.FromPeople || i.Low <= 0 || len(names) == 2 || people <= 0 {
			continue
		}
		names = append(names, fmt.Sprintf("%s (%s of all)", words.DrivenBy(i.Groups[0]), words.Share(clampShare(i.Value))))
	}
	switch len(names) {
	case 1:
		text += " Of the differences between people, only " + names[0] + " stands out."
	case 2:
		text += " Of the differences between people, " + names[0] + " counts most, then " + names[1] + "."
	}
	return text
}

func clampShare(x float64) float64 { return min(max(x, 0), 1) }
