package said

import (
	"fmt"
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Besides are the demands that are told beside a claim's own, in order.
func Besides() []hold.Demand { return append([]hold.Demand(nil), besideRows...) }

// ForWhom says, of every model and population, among whom a change's claim holds
// more and less often, in sentences.
func ForWhom(r *outcome.Result) []string {
	var list []string
	for _, m := range r.Models {
		for _, g := range m.Groups {
			t := g.Trait
			if t == nil || m.Verdict == claim.NoEffect {
				continue
			}
			text := fmt.Sprintf("%s, %s: the effect depends most on %s (rank correlation %s); ", words.Capital(m.Name), words.Sexes(g.People), t.Name, words.Correlation(t.Correlation))
			if words.Share(t.ShareLow) == words.Share(t.ShareHigh) {
				text += fmt.Sprintf("it is as claimed for %s of the third with the smallest values, and of the third with the largest.", words.Share(t.ShareLow))
			} else {
				text += fmt.Sprintf("it is as claimed for %s of the third with the smallest values and %s of the third with the largest.", words.Share(t.ShareLow), words.Share(t.ShareHigh))
			}
			list = append(list, text)
		}
	}
	return list
}

// WouldChange says what would turn the verdict: the assumption that decides,
// the smallest effect that matters, the working share that breaks even, another
// model, other people. ranges are those over which assumptions were drawn.
func WouldChange(r *outcome.Result, ranges *assume.Uncertainty) []string {
	var list []string
	assumption := func(where string, d *outcome.Draws) {
		if d == nil {
			return
		}
		text := fmt.Sprintf("What nobody has measured, %s: of %s draws, %s", where, words.Count(d.N), verdictCounts(d)) + decisiveWords(d)
		if d.Decisive != nil {
			if id, ok := assume.Parse(d.Decisive.Name); ok {
				text += fmt.Sprintf("; it is taken as %s and drawn from %s to %s", words.Assumption(id, ranges.Centre[id]), words.Assumption(id, ranges.Low[id]), words.Assumption(id, ranges.High[id]))
			}
		}
		list = append(list, text+".")
	}
	for i := range r.Models {
		m := &r.Models[i]
		if m.Verdict == claim.NoEffect {
			continue
		}
		for _, g := range m.Groups {
			assumption(m.Name+", "+words.Sexes(g.People), g.Draws)
		}
		if b := m.Pooled.BreakEven; b != nil && b.P50 != nil {
			whole := words.Demand{Unit: "%", Scale: 100}
			list = append(list, fmt.Sprintf("Break-even, %s: if %s of the added mass works in the hold, the difficulty of the median body stays the same (%s to %s for 5–95 %% of bodies).",
				m.Name, whole.Number(Val(b.P50)), whole.Number(Val(b.P5)), whole.Number(Val(b.P95))))
		}
	}
	for i := range r.Contrast {
		c := &r.Contrast[i]
		assumption(c.Model+", "+words.Sexes(c.People), c.Draws)
	}
	if r.Verdict == claim.NoEffect {
		list = append(list, "Nothing in this model: neither other people nor other assumptions change the quantity. A model that sees more might.")
	}
	return append(list, otherModel(r), otherPeople(r))
}

func otherModel(r *outcome.Result) string {
	switch {
	case r.Verdict == claim.OpenModels:
		var parts []string
		for _, m := range r.Models {
			parts = append(parts, m.Name+" says “"+words.Verdict(m.Verdict).Name+"”")
		}
		return "Another model: that does change it; " + strings.Join(parts, ", ") + ". Nobody has measured which is closer to the truth."
	case len(r.Models) == 1:
		return "Another model: only " + r.Models[0].Name + " was tested, so what another would find is unknown."
	}
	return fmt.Sprintf("Another model: %s give the same verdict; what none of them sees (see below) could still change it.", everyModel(r))
}

func otherPeople(r *outcome.Result) string {
	verdicts := map[claim.Verdict]bool{}
	var parts []string
	add := func(people, model string, v claim.Verdict) {
		verdicts[v] = true
		text := words.Sexes(people) + " “" + words.Verdict(v).Name + "”"
		if len(r.Models) > 1 {
			text = words.Sexes(people) + " under " + model + " “" + words.Verdict(v).Name + "”"
		}
		parts = append(parts, text)
	}
	for i := range r.Models {
		own := map[claim.Verdict]bool{}
		before := len(parts)
		for _, g := range r.Models[i].Groups {
			own[g.Verdict] = true
			add(g.People, r.Models[i].Name, g.Verdict)
		}
		if len(own) < 2 { // only where the people of one model differ
			parts = parts[:before]
		}
	}
	for i := range r.Contrast {
		add(r.Contrast[i].People, r.Contrast[i].Model, r.Contrast[i].Verdict)
	}
	if r.Claim.Contrast != nil && len(verdicts) < 2 {
		parts = nil
	}
	text := "Other people: "
	switch {
	case len(parts) > 0:
		text += strings.Join(parts, ", ") + ". "
	case len(r.Claim.People) > 1:
		text += "the verdict is the same in each of the populations tested. "
	}
	return text + "People built differently from these, such as athletes who train this hold, were not tested."
}

// Drawn is one population of a result, in the words of its survey.
type Drawn struct {
	Name     string `json:"name"`
	Title    string `json:"title"`
	Measured int    `json:"measured"`
	Citation string `json:"citation"`
	Limits   string `json:"limits"`
}

// DrawnPeople tells whose bodies stand behind a result.
func DrawnPeople(r *outcome.Result) ([]Drawn, error) {
	var list []Drawn
	for _, p := range r.Claim.People {
		population, limits := p.Own, ""
		if population == nil {
			var err error
			if population, err = anthro.Load(p.Population); err != nil {
				return nil, err
			}
			limits = words.SurveyOf(p.Population).Limits
		} else {
			limits = "These people are resampled, so the shares apply to them; what was not measured on them is drawn from those of " +
				words.Drawn([]string{population.Survey().Name}, nil) + " with the same measurements otherwise. No interval says how far other people differ."
		}
		list = append(list, Drawn{p.Population, population.Title, population.N, population.Provenance.Citation, limits})
	}
	return list, nil
}

// ModelMeans says in a sentence or two what a model of statics takes a body for.
func ModelMeans(m hold.Model) string {
	if m == hold.TwoCondition {
		return words.Capital(words.TaughtRule) + ", which gives no verdict: each arm acts only along its own line, both equally hard; the force must lift the body and stop it from turning."
	}
	return "Exact planar statics: all forces and moments balance. Where a hold leaves a choice of posture, the best one uses the same share of the strength of arms and shoulders."
}
