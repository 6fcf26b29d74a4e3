package explorer

import (
	"counterpoise/internal/library"
	"counterpoise/internal/words"
)

// Sayings are the shipped claims with their verdicts.
type Sayings struct {
	Sayings []Saying `json:"sayings"`
}

// Saying is one rule of thumb and what came of testing it.
type Saying struct {
	Name     string          `json:"name"`
	Says     string          `json:"says"`
	Hold     string          `json:"hold"`
	Verdict  string          `json:"verdict"`
	Mark     string          `json:"mark"` // that tells the verdict from others without colour
	Headline string          `json:"headline"`
	ForWhom  string          `json:"for_whom,omitempty"` // whether it depends on the people
	Models   []SayingByModel `json:"models"`
	Page     string          `json:"page"` // the evidence, relative to the site's root; "" where there is none
}

// SayingByModel is the verdict of one model with the median body's effect.
type SayingByModel struct {
	Model   string   `json:"model"` // of a contrast also the people
	Verdict string   `json:"verdict"`
	Effect  *float64 `json:"effect"`      // of the median body
	Unit    string   `json:"effect_unit"` // of Effect
}

// Shipped returns the sayings that the program ships, from the results embedded in it,
// each with a page of evidence.
func Shipped() (Sayings, error) {
	l, err := library.Shipped()
	if err != nil {
		return Sayings{}, err
	}
	s := Sayings{Sayings: make([]Saying, 0, len(l.Claims))}
	for i := range l.Claims {
		c := &l.Claims[i]
		saying := Saying{Name: c.Name, Says: c.Says, Hold: c.Hold, Verdict: c.Verdict, Mark: words.VerdictMark(c.Verdict), Headline: c.Headline, Page: "sayings/" + c.Name + ".html"}
		if c.ForWhom != nil {
			saying.ForWhom = c.ForWhom.Says
		}
		for k := range c.Models {
			row := &c.Models[k]
			saying.Models = append(saying.Models, SayingByModel{row.Name(), row.Verdict, row.P50, row.Unit})
		}
		s.Sayings = append(s.Sayings, saying)
	}
	return s, nil
}
