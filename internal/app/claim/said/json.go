package said

import (
	"counterpoise/internal/jsonform"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Summary is the outcome of a claim for machines: what claim test --json prints
// and summary.json holds. Forces are in body weights (BW), moments in BW·m,
// angles in degrees, lengths in metres, shares from 0 to 1; a value that is
// infinite, because bodies can no longer take the posture, is null.
type Summary struct {
	Claim      string                            `json:"claim"`
	Says       string                            `json:"says"`
	Verdict    claim.Verdict                     `json:"verdict"`
	Headline   string                            `json:"headline"`
	N          int                               `json:"n"`     // bodies at the central assumptions
	Draws      int                               `json:"draws"` // behind the verdict
	Seed       uint64                            `json:"seed"`
	People     []study.StoredGroup               `json:"people"`
	Quantity   string                            `json:"quantity"`
	Unit       string                            `json:"unit"`
	Expect     claim.Direction                   `json:"expect"`
	Matters    study.StoredThreshold             `json:"matters"`
	Claimed    *study.StoredClaimed              `json:"claimed,omitempty"`
	Share      float64                           `json:"share"`
	Models     []ModelSummary                    `json:"models"`
	Contrast   []outcome.ContrastResult          `json:"contrast,omitempty"`
	Taught     *TaughtSummary                    `json:"taught_rule,omitempty"`
	Added      []outcome.Added                   `json:"added_mass,omitempty"` // kg
	AddedWords string                            `json:"added_mass_in_words,omitempty"`
	Warnings   []string                          `json:"warnings,omitempty"`
	Reweighted map[string]study.StoredReweighted `json:"reweighted,omitempty"`
	ForWhom    *WhomSummary                      `json:"for_whom,omitempty"`
	Measured   *Measured                         `json:"force_plates,omitempty"`
	Validation string                            `json:"validation"`
	Cautions   string                            `json:"cautions"`
	Provenance provenance.Stamp                  `json:"provenance"`
}

// BeforeAfter is the median of a demand for the first and the changed bodies.
type BeforeAfter struct {
	Baseline *float64 `json:"baseline"`
	Changed  *float64 `json:"changed"`
}

// ModelSummary is one model's outcome: over all people together, and that of each
// population. Best angle and hand spacing are medians at the central assumptions.
type ModelSummary struct {
	Model       string            `json:"model"`
	Verdict     claim.Verdict     `json:"verdict"`
	BestAngle   *BeforeAfter      `json:"best_angle,omitempty"`   // degrees
	HandSpacing *BeforeAfter      `json:"hand_spacing,omitempty"` // metres
	Pooled      *outcome.Outcome  `json:"pooled,omitempty"`
	Populations []outcome.Outcome `json:"populations,omitempty"`
}

// TaughtSummary is what the lift-and-turn rule that is taught says, which judges
// nothing: for the bodies together, or of a contrast for every population.
type TaughtSummary struct {
	Model    string             `json:"model"`
	Sentence string             `json:"sentence"`
	N        int                `json:"n"`
	Baseline *outcome.Summary   `json:"baseline,omitempty"`
	Changed  *outcome.Summary   `json:"changed,omitempty"`
	Effect   *outcome.Summary   `json:"effect,omitempty"`
	Percent  *outcome.Summary   `json:"effect_percent,omitempty"`
	Contrast []TaughtDifference `json:"contrast,omitempty"`
	Upwards  float64            `json:"arm_forces_upwards_bw"` // 1 in balance
}

// TaughtDifference is the difference of a contrast's medians in one population.
type TaughtDifference struct {
	People     string   `json:"people"`
	Difference *float64 `json:"difference"`
}

// summariseTaught is nil where the rule has no answer.
func summariseTaught(r *outcome.Result) *TaughtSummary {
	said := r.Taught
	if said == nil {
		return nil
	}
	s := &TaughtSummary{Model: said.Model.String(), Sentence: Taught(r), N: said.N, Upwards: said.Upwards}
	for _, c := range said.Contrast {
		s.Contrast = append(s.Contrast, TaughtDifference{c.People, jsonform.Finite(c.Median.High - c.Median.Low)})
	}
	if r.Claim.Contrast == nil {
		q := &said.Pooled.Quantity
		s.Baseline, s.Changed, s.Effect, s.Percent = &q.Baseline, &q.Changed, &q.Effect, said.Pooled.Percent
	}
	return s
}

// Summarise turns a result into its summary.
func Summarise(r *outcome.Result, stamp provenance.Stamp) Summary {
	c := r.Claim
	_, unit := outcome.ColumnUnit(c.Demand)
	s := Summary{
		Claim: c.Name, Says: c.Says, Verdict: r.Verdict, Headline: Headline(r),
		N: r.N, Draws: r.Draws, Seed: r.Seed, People: study.StoreGroups(c.People),
		Quantity: c.Demand.String(), Unit: unit, Expect: c.Expect, Matters: study.StoreThreshold(c), Claimed: (*study.StoredClaimed)(c.Claimed), Share: c.Share,
		Contrast: r.Contrast, Taught: summariseTaught(r), Added: r.Added, AddedWords: AddedText(r), Warnings: Warnings(r), Reweighted: study.StoreReweighted(r.Reweighted), ForWhom: summariseWhom(r), Measured: MeasuredOf(c), Validation: Validation(c), Cautions: words.Cautions, Provenance: stamp,
	}
	for i := range r.Models {
		m := &r.Models[i]
		summary := ModelSummary{Model: m.Name, Verdict: m.Verdict}
		if c.Contrast == nil {
			o := &m.Pooled
			summary.BestAngle = beforeAfter(c, o, hold.ArmAngle)
			summary.HandSpacing = beforeAfter(c, o, hold.HandSpacing)
			summary.Pooled, summary.Populations = o, m.Groups
		}
		s.Models = append(s.Models, summary)
	}
	return s
}

// beforeAfter returns the medians of a demand, or nil where the model lacks it.
func beforeAfter(c *claim.Claim, o *outcome.Outcome, d hold.Demand) *BeforeAfter {
	m, ok := o.Beside[d.String()]
	if d == c.Demand {
		m, ok = o.Quantity, true
	}
	if !ok {
		return nil
	}
	return &BeforeAfter{m.Baseline.P50, m.Changed.P50}
}
