// Package outcome is what came out of a claim's test as it is told outside the
// library, to machines and in texts: angles in degrees, what is infinite or unknown
// without a number, things by their names.
package outcome

import (
	"context"
	"encoding/json"
	"math"
	"slices"

	"counterpoise/internal/jsonform"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/columns"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"

	"gonum.org/v1/gonum/floats"
)

// Shown says how what has a unit is told: how the names of columns end, the unit, and
// the factor from the library's.
func Shown(unit string) (suffix, shown string, factor float64) {
	switch unit {
	case "BW":
		return "_bw", unit, 1
	case "BW·m":
		return "_bw_m", unit, 1
	case "rad":
		return "_deg", "deg", 180 / math.Pi
	case "m":
		return "_m", unit, 1
	}
	return "_ratio", "", 1
}

// ColumnUnit says how a demand's unit ends a column name, and the unit that files hold.
func ColumnUnit(d hold.Demand) (suffix, unit string) {
	suffix, unit, _ = Shown(d.Unit)
	return suffix, unit
}

// Summary is a distribution over people. A value is nil where bodies can no longer
// take the posture.
type Summary struct {
	P5   *float64 `json:"p5"`             // exceeded by 95 %
	P50  *float64 `json:"p50"`            // the median
	P95  *float64 `json:"p95"`            // exceeded by 5 %
	Mean *float64 `json:"mean,omitempty"` // of all
}

func summaryOf(s claim.Summary, factor float64) Summary {
	return Summary{jsonform.Finite(factor * s.P5), jsonform.Finite(factor * s.P50), jsonform.Finite(factor * s.P95), jsonform.Finite(factor * s.Mean)}
}

func optional(s *claim.Summary) *Summary {
	if s == nil {
		return nil
	}
	told := summaryOf(*s, 1)
	return &told
}

// Share is a share with an interval around it.
type Share struct {
	Value float64 `json:"value"` // from 0 to 1
	Low   float64 `json:"low"`   // end of the 95 % interval
	High  float64 `json:"high"`  // end of the 95 % interval
}

// Movement is a demand before and after the change, and the change itself.
type Movement struct {
	Unit     string  `json:"unit"`     // of all that follows
	Baseline Summary `json:"baseline"` // before the change
	Changed  Summary `json:"changed"`  // after it
	Effect   Summary `json:"effect"`   // of the change, paired by body
}

func movementOf(m claim.Movement, d hold.Demand) Movement {
	_, unit, factor := Shown(d.Unit)
	return Movement{unit, summaryOf(m.Baseline, factor), summaryOf(m.Changed, factor), summaryOf(m.Effect, factor)}
}

// Trait is what the effect goes with most among people; see drivers.Trait.
type Trait struct {
	Name        string  `json:"name"`                           // of the trait
	Correlation float64 `json:"rank_correlation"`               // of trait and effect over people
	ShareLow    float64 `json:"share_as_claimed_lowest_third"`  // share of whom the saying is true in the lowest third
	ShareHigh   float64 `json:"share_as_claimed_highest_third"` // likewise in the highest third
}

// Outcome is what one model says of one group of people, or of all together: by the
// draws, and in detail at the central assumptions; see claim.Outcome.
type Outcome struct {
	People  string        `json:"people"`          // population
	Verdict claim.Verdict `json:"verdict"`         // of them
	Draws   *Draws        `json:"draws,omitempty"` // of what nobody has measured

	// At the central assumptions.
	N                int64               `json:"n"`                                  // bodies at the central assumptions
	Excluded         int64               `json:"excluded"`                           // bodies that cannot take the posture before
	BecameImpossible int64               `json:"became_impossible"`                  // bodies that cannot take it after the change
	BecamePossible   int64               `json:"became_possible"`                    // bodies that can take it only after
	Quantity         Movement            `json:"quantity"`                           // demand that the claim is about
	Percent          *Summary            `json:"effect_percent,omitempty"`           // of the demand before
	MedianError      *float64            `json:"median_error"`                       // in the unit of the draws, by the number of bodies
	Closer           int64               `json:"closer_look_n"`                      // the first bodies, which stand behind all that follows
	Beside           map[string]Movement `json:"beside"`                             // by the demand's name
	Postures         map[string]Summary  `json:"postures,omitempty"`                 // by the rule's
	Limits           map[string][2]Share `json:"limits,omitempty"`                   // by the limit's
	BreakEven        *Summary            `json:"break_even_working_share,omitempty"` // of added mass that must work for the change to pay
	Trait            *Trait              `json:"goes_with,omitempty"`                // trait that the effect goes with most
}

func outcomeOf(o *claim.Outcome, c *claim.Claim) Outcome {
	_, _, factor := Shown(c.Demand.Unit)
	_, in := UnitOf(c)
	told := Outcome{
		People: o.People, Verdict: o.Verdict, Draws: drawsOf(o.Draws, c), N: o.N,
		Excluded: o.Excluded, BecameImpossible: o.BecameImpossible, BecamePossible: o.BecamePossible,
		Quantity: movementOf(o.Quantity, c.Demand), Closer: o.Closer, Beside: map[string]Movement{}, Limits: map[string][2]Share{},
		BreakEven: optional(o.BreakEven), Trait: (*Trait)(o.Trait), MedianError: jsonform.Finite(in * o.MedianError), Percent: optional(o.Percent),
	}
	for d, m := range o.Beside {
		told.Beside[d.Name] = movementOf(m, d)
	}
	if o.Postures != nil {
		told.Postures = map[string]Summary{}
	}
	for rule, s := range o.Postures {
		told.Postures[rule.String()] = summaryOf(s, factor)
	}
	for l, shares := range o.Limits {
		told.Limits[l.String()] = [2]Share{Share(shares[0]), Share(shares[1])}
	}
	return told
}

// UnitOf is the unit in which a claim's effects are compared with what matters, per cent
// of the baseline or the quantity's own as files hold it, and the factor to it from the
// library's.
func UnitOf(c *claim.Claim) (unit string, factor float64) {
	if c.Threshold().Share > 0 {
		return "%", 1
	}
	_, unit, factor = Shown(c.Demand.Unit)
	return unit, factor
}

// Decisive is what leaves a verdict open more than all else together; see
// claim.Decisive.
type Decisive struct {
	Name      string   `json:"name"`                         // of the assumption
	OfVerdict Interval `json:"total_index_on_verdict"`       // share of the variance of the verdict that it has part in
	OfEffect  Interval `json:"total_index_on_median_effect"` // likewise of the median effect
}

// VarianceSplit says where an effect's variance comes from; see claim.VarianceSplit.
type VarianceSplit struct {
	People      float64 `json:"people"`      // share by who it is
	Assumptions float64 `json:"assumptions"` // share by what nobody has measured
	Both        float64 `json:"both"`        // share by both together
}

// Under is what the draws say under another rule of posture; see claim.Under.
type Under struct {
	Verdict    claim.Verdict `json:"verdict"`     // under it
	Effect     Summary       `json:"effect"`      // in the unit of the Draws
	NeverRises bool          `json:"never_rises"` // the draws agree that it rises, by enough to matter, for hardly anybody
	NeverFalls bool          `json:"never_falls"` // likewise that it falls
}

// Draws says what the draws do; see claim.Draws.
type Draws struct {
	N                int              `json:"n"`                            // draws of the assumptions
	Replicates       int              `json:"replicates"`                   // parts of them that have people and scrambles of their own
	Agreement        Share            `json:"agreement"`                    // share of the draws that go the most frequent way
	Verdicts         map[string]int   `json:"verdicts"`                     // draws, by verdict
	AsClaimed        Summary          `json:"as_claimed"`                   // share of people of whom the saying is true, over the draws
	TooSmall         Summary          `json:"too_small"`                    // share of people whose effect is too small to matter
	Against          Summary          `json:"against"`                      // share of people whose effect goes the other way
	Greater          Summary          `json:"top_greater"`                  // of a contrast: share of pairs in which the top group needs more
	Before           Summary          `json:"before"`                       // median of people
	After            Summary          `json:"after"`                        // median of people
	Effect           Summary          `json:"effect"`                       // median of people
	Percent          Summary          `json:"effect_percent"`               // median of people, of the demand before
	People           Summary          `json:"people"`                       // how people differ: medians over the draws of quantiles of people
	Unit             string           `json:"unit"`                         // of all that follows
	InUnit           Summary          `json:"in_unit"`                      // the effect over the draws
	PeopleInUnit     Summary          `json:"people_in_unit"`               // the same
	DrawingError     *float64         `json:"drawing_error"`                // of the median effect, by the number of draws
	SurveyError      *float64         `json:"survey_error"`                 // of the median effect, by who was in the survey
	SurveyShareError *float64         `json:"survey_error_of_share"`        // of the share as claimed, likewise
	NeverRises       bool             `json:"never_rises"`                  // the draws agree that it rises, by enough to matter, for hardly anybody
	NeverFalls       bool             `json:"never_falls"`                  // likewise that it falls
	Under            map[string]Under `json:"other_postures,omitempty"`     // by the rule's name
	Difficulty       *Summary         `json:"difficulty_percent,omitempty"` // over the draws, its median change
	Decisive         *Decisive        `json:"decisive,omitempty"`           // what leaves the verdict open more than all else together
	Split            *VarianceSplit   `json:"variance,omitempty"`           // of people's effects, by where it comes from
	Bodies           int              `json:"bodies"`                       // how many people stand behind the draws

	of    *claim.Draws
	scale float64
}

// MedianAt is claim.Draws.MedianAt in the unit of the draws.
func (d *Draws) MedianAt(p float64) float64 { return d.scale * d.of.MedianAt(p) }

// Medians are claim.Draws.Medians in the unit of the draws.
func (d *Draws) Medians() []float64 {
	medians := slices.Clone(d.of.Medians())
	floats.Scale(d.scale, medians)
	return medians
}

// PeopleAt is claim.Draws.PeopleAt in the unit of the draws.
func (d *Draws) PeopleAt(p float64) float64 { return d.scale * d.of.PeopleAt(p) }

// PeopleBins is claim.Draws.PeopleBins in the unit of the draws.
func (d *Draws) PeopleBins(low, high float64, bins int) []float64 {
	return d.of.PeopleBins(low/d.scale, high/d.scale, bins)
}

// PeopleBelow is claim.Draws.PeopleBelow in the unit of the draws.
func (d *Draws) PeopleBelow(x float64) float64 { return d.of.PeopleBelow(x / d.scale) }

func drawsOf(d *claim.Draws, c *claim.Claim) *Draws {
	if d == nil {
		return nil
	}
	_, _, own := Shown(c.Demand.Unit)
	unit, factor := UnitOf(c)
	told := &Draws{
		N: d.N, Replicates: claim.Replicates, Agreement: Share(d.Agreement), Verdicts: map[string]int{},
		AsClaimed: summaryOf(d.AsClaimed, 1), TooSmall: summaryOf(d.TooSmall, 1), Against: summaryOf(d.Against, 1), Greater: summaryOf(d.Greater, 1),
		Before: summaryOf(d.Before, own), After: summaryOf(d.After, own), Effect: summaryOf(d.Effect, own), Percent: summaryOf(d.Percent, 1), People: summaryOf(d.People, own),
		Unit: unit, DrawingError: jsonform.Finite(factor * d.DrawingError), SurveyError: jsonform.Finite(factor * d.SurveyError), SurveyShareError: jsonform.Finite(d.SurveyShareError),
		NeverRises: d.NeverRises, NeverFalls: d.NeverFalls, Difficulty: optional(d.Difficulty), Split: (*VarianceSplit)(d.Split), Bodies: d.Bodies, of: d, scale: factor,
	}
	told.InUnit = Summary{P5: jsonform.Finite(told.MedianAt(0.05)), P50: jsonform.Finite(told.MedianAt(0.5)), P95: jsonform.Finite(told.MedianAt(0.95))}
	told.PeopleInUnit = Summary{P5: jsonform.Finite(told.PeopleAt(0.05)), P50: jsonform.Finite(told.PeopleAt(0.5)), P95: jsonform.Finite(told.PeopleAt(0.95))}
	for v, n := range d.Verdicts {
		told.Verdicts[v.String()] = n
	}
	if d.Under != nil {
		told.Under = map[string]Under{}
	}
	for rule, u := range d.Under {
		told.Under[rule.String()] = Under{u.Verdict, summaryOf(u.Effect, factor), u.NeverRises, u.NeverFalls}
	}
	if k := d.Decisive; k != nil {
		told.Decisive = &Decisive{k.Name, Interval(k.OfVerdict), Interval(k.OfEffect)}
	}
	return told
}

// ModelResult is what one model says of the claim.
type ModelResult struct {
	Model   scenario.Model
	Name    string
	Verdict claim.Verdict
	Pooled  Outcome
	Groups  []Outcome
}

// Ends are the values for the bottom and the top group.
type Ends struct{ Low, High float64 }

// MarshalJSON writes bottom and top, null where infinite.
func (e Ends) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Low  *float64 `json:"bottom"`
		High *float64 `json:"top"`
	}{jsonform.Finite(e.Low), jsonform.Finite(e.High)})
}

// Interval is a value with its lower and upper limit.
type Interval struct{ Value, Low, High float64 }

// MarshalJSON writes value, low and high, null where infinite or unknown.
func (i Interval) MarshalJSON() ([]byte, error) {
	return json.Marshal(struct {
		Value *float64 `json:"value"`
		Low   *float64 `json:"low"`
		High  *float64 `json:"high"`
	}{jsonform.Finite(i.Value), jsonform.Finite(i.Low), jsonform.Finite(i.High)})
}

// ContrastResult is what one model says of a contrast among the people of one
// population; see claim.ContrastResult.
type ContrastResult struct {
	Model   string        `json:"model"`           // its name
	People  string        `json:"people"`          // population
	By      string        `json:"by"`              // trait that divides the groups
	Unit    string        `json:"unit"`            // of the cut
	Verdict claim.Verdict `json:"verdict"`         // of them
	Draws   *Draws        `json:"draws,omitempty"` // of what nobody has measured

	// At the central assumptions.
	N          int     `json:"n"`                                 // people of both groups
	Cut        Ends    `json:"cut"`                               // of the trait
	Median     Ends    `json:"median"`                            // of the demand
	TopGreater float64 `json:"top_greater"`                       // share of pairs in which the top group needs more; strength differs as between people of one size
	Impossible int     `json:"cannot_take_the_posture,omitempty"` // people

	MedianError *float64 `json:"median_error"` // of the difference, in the unit of the draws, by the number of people
}

// Part is what came out for one population under one model.
type Part struct {
	Model, People string
	Verdict       claim.Verdict
	Draws         *Draws
}

// Parts are those of all models and populations.
func (r *Result) Parts() []Part {
	var list []Part
	for i := range r.Models {
		for _, g := range r.Models[i].Groups {
			list = append(list, Part{r.Models[i].Name, g.People, g.Verdict, g.Draws})
		}
	}
	for i := range r.Contrast {
		c := &r.Contrast[i]
		list = append(list, Part{c.Model, c.People, c.Verdict, c.Draws})
	}
	return list
}

// Taught is what the lift-and-turn rule that is taught says; see claim.Taught.
type Taught struct {
	Model    scenario.Model
	N        int
	Pooled   Outcome          // of a change
	Contrast []ContrastResult // of a contrast, a population each
	Upwards  float64
}

// Added is the mass that a change puts on a region, kg; see claim.Added.
type Added struct {
	Region    body.Region `json:"region"` // of the body
	Kilograms Summary     `json:"kg"`     // over people
}

// Result is the outcome of a test.
type Result struct {
	Claim       *claim.Claim `json:"-"`
	Verdict     claim.Verdict
	InDirection bool
	N           int // bodies at the central assumptions
	Draws       int
	Seed        uint64
	Central     bool // nothing but people was drawn
	Drawn       bool // see claim.Result.Drawn
	Models      []ModelResult
	Contrast    []ContrastResult
	Taught      *Taught // nil where the rule has no answer
	Added       []Added
	Warnings    []string
	Reweighted  map[string]*anthro.Reweighted
	ForWhom     *ForWhom // nil where nobody else was asked about

	of *claim.Result
}

// Light is the result without the draws themselves and what only its own page tells: what
// an overview of many needs. It is small, and read back from JSON the same, with its Claim
// to be put back.
func (r *Result) Light() *Result {
	light := &Result{
		Claim: r.Claim, Verdict: r.Verdict, InDirection: r.InDirection, N: r.N, Draws: r.Draws, Seed: r.Seed, Central: r.Central, Drawn: r.Drawn,
		Models: slices.Clone(r.Models), Contrast: slices.Clone(r.Contrast), ForWhom: r.ForWhom,
	}
	without := func(d **Draws) {
		if *d != nil {
			copied := **d
			copied.of, *d = nil, &copied
		}
	}
	for i := range light.Models {
		m := &light.Models[i]
		m.Model, m.Groups = scenario.Model{}, slices.Clone(m.Groups)
		without(&m.Pooled.Draws)
		for j := range m.Groups {
			without(&m.Groups[j].Draws)
		}
	}
	for i := range light.Contrast {
		without(&light.Contrast[i].Draws)
	}
	return light
}

// DrawTable is claim.Result.DrawTable in the units of output.
func (r *Result) DrawTable() (columns.Layout, *columns.Rows) { return r.of.DrawTable(Shown) }

// Typical is claim.Result.Typical.
func (r *Result) Typical(model, population int) assume.Set { return r.of.Typical(model, population) }

// MediansOf is claim.MediansOf among so many of the draws: of a body that needs what its people
// are told to need, and is affected as they are.
func (r *Result) MediansOf(population, model, most int) (*claim.Medians, error) {
	of := r.of.Models[model].Groups[population].Draws
	told := claim.Told{Before: of.Before.P50, Effect: of.PeopleAt(0.5)}
	return claim.MediansOf(r.Claim, population, model, told, r.of.Assumed(most)...)
}

// Test tests a claim, its table of bodies in the units of output, and tells the result.
func Test(ctx context.Context, c *claim.Claim, o claim.Options) (*Result, error) {
	o.Shown = Shown
	r, err := claim.Test(ctx, c, o)
	if err != nil {
		return nil, err
	}
	return Of(r), nil
}

// Of tells a result.
func Of(r *claim.Result) *Result {
	told := &Result{Claim: r.Claim, Verdict: r.Verdict, InDirection: r.InDirection, N: r.N, Draws: r.Draws, Seed: r.Seed, Central: r.Central, Drawn: r.Drawn(), Warnings: r.Warnings, Reweighted: r.Reweighted, of: r}
	for i := range r.Models {
		m := &r.Models[i]
		told.Models = append(told.Models, ModelResult{
			Model: m.Model, Name: m.Name, Verdict: m.Verdict, Pooled: outcomeOf(&m.Pooled, r.Claim),
			Groups: names.Each(m.Groups, func(o claim.Outcome) Outcome { return outcomeOf(&o, r.Claim) }),
		})
	}
	told.Contrast = contrastsOf(r.Contrast, r.Claim)
	if said := r.Taught; said != nil {
		told.Taught = &Taught{Model: said.Model, N: said.N, Pooled: outcomeOf(&said.Pooled, r.Claim), Contrast: contrastsOf(said.Contrast, r.Claim), Upwards: said.Upwards}
	}
	told.Added = names.Each(r.Added, func(a claim.Added) Added { return Added{a.Region, summaryOf(a.Kilograms, 1)} })
	told.ForWhom = forWhomOf(r)
	return told
}

func contrastsOf(results []claim.ContrastResult, of *claim.Claim) (told []ContrastResult) {
	_, unit, factor := Shown(of.Demand.Unit)
	_, in := UnitOf(of)
	for i := range results {
		c := &results[i]
		told = append(told, ContrastResult{
			Model: c.Model, People: c.People, By: c.By, Unit: unit, Verdict: c.Verdict, Draws: drawsOf(c.Draws, of),
			N: c.N, Cut: Ends(c.Cut), Median: Ends{factor * c.Median.Low, factor * c.Median.High}, TopGreater: c.TopGreater, Impossible: c.Impossible, MedianError: jsonform.Finite(in * c.MedianError),
		})
	}
	return told
}
