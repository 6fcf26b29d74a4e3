package explorer

// Sayings are the shipped claims with their verdicts.
type Sayings struct {
	Sayings []Saying `json:"sayings"`
}

// Saying is one rule of thumb and what came of testing it.
type Saying struct {
	Name     string          `json:"name"`
	Says     string          `json:"says"`
	Why      string          `json:"why,omitempty"` // why people believe it
	Hold     string          `json:"hold"`
	Verdict  string          `json:"verdict"`
	Headline string          `json:"headline"`
	Models   []SayingByModel `json:"models"`
	Page     string          `json:"page"` // the evidence, relative to the site's root; "" where there is none
}

// SayingByModel is the verdict of one model with the median body's effect.
type SayingByModel struct {
	Model   string   `json:"model"`
	Verdict string   `json:"verdict"`
	Effect  *float64 `json:"effect"`      // of the median body
	Unit    string   `json:"effect_unit"` // of Effect
}
