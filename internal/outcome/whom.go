package outcome

import (
	"counterpoise/internal/jsonform"
	"counterpoise/sim/claim"
)

// ForWhom says whether a claim comes out the same for other people than its own.
type ForWhom struct {
	Verdict claim.Verdict `json:"verdict"` // over all of them together
	People  []Judged      `json:"people"`  // one a population
}

// Judged is what came out for one population; see claim.Judged.
type Judged struct {
	People  string         `json:"people"`                       // population
	Verdict *claim.Verdict `json:"verdict"`                      // nil where nobody could be judged
	Why     string         `json:"not_judged_because,omitempty"` // why nobody was
	Models  []JudgedModel  `json:"models,omitempty"`             // one a model
}

// JudgedModel is what one model says.
type JudgedModel struct {
	Model   string        `json:"model"`   // its name
	Verdict claim.Verdict `json:"verdict"` // by it
	Draws   int           `json:"draws"`   // behind it
	Unit    string        `json:"unit"`    // of the Effect, which is in the unit of Draws.InUnit
	Effect  Summary       `json:"effect"`  // median of people, over the draws
}

func forWhomOf(r *claim.Result) *ForWhom {
	if r.ForWhom == nil {
		return nil
	}
	unit, factor := UnitOf(r.Claim)
	told := &ForWhom{}
	var each []claim.Verdict
	for _, j := range r.ForWhom {
		one := Judged{People: j.People, Why: j.Why}
		if j.Why == "" {
			one.Verdict = &j.Verdict
			each = append(each, j.Verdict)
		}
		for _, m := range j.Models {
			effect := m.Effect
			one.Models = append(one.Models, JudgedModel{
				m.Model, m.Verdict, m.Draws, unit, Summary{P5: jsonform.Finite(factor * effect.P5), P50: jsonform.Finite(factor * effect.P50), P95: jsonform.Finite(factor * effect.P95)},
			})
		}
		told.People = append(told.People, one)
	}
	told.Verdict = claim.Together(each)
	return told
}
