package report

import (
	"fmt"
	"math"
	"strings"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// Number prints a value of a demand with its unit, in the digits in which the demand
// is spoken of; with its sign, where signed. Angles come in degrees, all else in the
// demand's own unit. A nil is beyond reach.
func Number(d hold.Demand, x *float64, signed bool) string {
	return phraseOf(d, hold.TwoCondition).number(x, signed)
}

// Scale is what a value of a demand is multiplied by where Number prints it.
func Scale(d hold.Demand) float64 { return phraseOf(d, hold.TwoCondition).scale }

// Percent prints a share as per cent; one that is not whole never as 0 or 100.
func Percent(share float64) string { return percent(share) }

// Thousands prints a whole number with commas.
func Thousands(n int) string { return thousands(n) }

// Correlation prints a correlation with its sign.
func Correlation(x float64) string { return signed(x) }

// Noun names a demand as a model means it.
func Noun(d hold.Demand, m hold.Model) string { return phraseOf(d, m).noun }

// Label names a demand in a table.
func Label(d hold.Demand) string { return label(d) }

// Threshold prints the smallest effect that matters of a claim.
func Threshold(c *claim.Claim) string { return threshold(c) }

// Besides are the demands that are told beside a claim's own, in order.
func Besides() []hold.Demand { return append([]hold.Demand(nil), besideRows...) }

// ForWhom says, of every model and population, among whom a change's claim holds
// more and less often, in sentences.
func ForWhom(r *claim.Result) []string {
	var list []string
	for _, m := range r.Models {
		for _, g := range m.Groups {
			t := g.Trait
			if t == nil || m.Verdict == claim.NoEffect {
				continue
			}
			text := fmt.Sprintf("%s, %s: the effect goes most with %s (rank correlation %s); ", capital(m.Name), SexWords(g.People), t.Name, signed(t.Correlation))
			if percent(t.ShareLow) == percent(t.ShareHigh) {
				text += fmt.Sprintf("it is as claimed for %s of the third with the least of it and for as many of the third with the most.", percent(t.ShareLow))
			} else {
				text += fmt.Sprintf("it is as claimed for %s of the third with the least of it and %s of the third with the most.", percent(t.ShareLow), percent(t.ShareHigh))
			}
			list = append(list, text)
		}
	}
	return list
}

// WouldChange says what would turn the verdict: the assumption that decides most,
// the smallest effect that matters, the working share that breaks even, another
// model, other people. ranges are those over which assumptions were drawn.
func WouldChange(r *claim.Result, ranges *assume.Uncertainty) []string {
	var list []string
	assumption := func(where string, d *claim.Draws) {
		if d == nil {
			return
		}
		text := fmt.Sprintf("Assumptions, %s: of %d draws of all of them over their ranges %s", where, d.N, verdictCounts(d)) + driverWords(d)
		if d.Driver != nil {
			if id, ok := assume.Parse(d.Driver.Name); ok {
				text += strings.ReplaceAll(fmt.Sprintf(", taken as %.4g, drawn from %.4g to %.4g", ranges.Centre[id], ranges.Low[id], ranges.High[id]), " -", " −")
			}
		}
		list = append(list, text+".")
	}
	for i := range r.Models {
		m := &r.Models[i]
		if m.Verdict == claim.NoEffect {
			continue
		}
		assumption(m.Name, m.Draws)
		if b := m.Pooled.BreakEven; b != nil && b.P50 != nil {
			whole := phrase{unit: " %", scale: 100}
			list = append(list, fmt.Sprintf("Break-even, %s: where %s of the added mass works in the hold, the difficulty of the median body stays as it was (%s to %s for 5–95 %% of bodies).",
				m.Name, whole.number(b.P50, false), whole.number(b.P5, false), whole.number(b.P95, false)))
		}
		if text := largestThatMatters(r.Claim, m); text != "" {
			list = append(list, text)
		}
	}
	for i := range r.Contrast {
		c := &r.Contrast[i]
		assumption(c.Model+", "+SexWords(c.People), c.Draws)
	}
	if r.Verdict == claim.NoEffect {
		list = append(list, "Nothing that this model knows of: neither other people nor other assumptions move the quantity. A model that sees more might.")
	}
	return append(list, otherModel(r), otherPeople(r))
}

// largestThatMatters says up to which smallest effect that matters a supported or
// contradicted claim would have stayed so, at the central assumptions.
func largestThatMatters(c *claim.Claim, m *claim.ModelResult) string {
	if c.Expect == claim.None || c.Share != claim.DefaultShare || m.Verdict != claim.Supported && m.Verdict != claim.Contradicted {
		return ""
	}
	effect := m.Pooled.Quantity.Effect
	print := func(x float64) string { return phraseOf(c.Quantity, m.Model.Statics).number(&x, false) }
	if m.Pooled.Percent != nil {
		effect, print = *m.Pooled.Percent, ofItself
	}
	rises := (c.Expect == claim.Increase) == (m.Verdict == claim.Supported)
	end := effect.P5
	if !rises {
		end = effect.P95
	}
	if end == nil || *end == 0 || math.Signbit(*end) == rises {
		return ""
	}
	return fmt.Sprintf("Size, %s: at the central assumptions %s would be the verdict for any smallest effect that matters up to %s; taken is %s.",
		m.Name, m.Verdict, print(math.Abs(*end)), threshold(c))
}

func otherModel(r *claim.Result) string {
	switch {
	case r.Verdict == claim.DependsOnModel:
		var parts []string
		for _, m := range r.Models {
			parts = append(parts, m.Name+" says “"+m.Verdict.String()+"”")
		}
		return "Another model: it does turn on that here; " + strings.Join(parts, ", ") + ". Nobody has measured which is nearer to the truth."
	case len(r.Models) == 1:
		return "Another model: only " + r.Models[0].Name + " was asked, so that nothing here says what another would find."
	}
	return fmt.Sprintf("Another model: %s asked agree in the verdict; what none of them sees (see below) could still change it.", everyModel(r))
}

func otherPeople(r *claim.Result) string {
	verdicts := map[claim.Verdict]bool{}
	var parts []string
	add := func(people, model string, v claim.Verdict) {
		verdicts[v] = true
		text := SexWords(people) + " “" + v.String() + "”"
		if len(r.Models) > 1 {
			text = SexWords(people) + " under " + model + " “" + v.String() + "”"
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
	return text + "People built otherwise than those drawn here, athletes of this hold among them, were not tested."
}

// Drawn is one population of a result, in the words of its survey.
type Drawn struct {
	Name     string `json:"name"`
	Title    string `json:"title"`
	Measured int    `json:"measured"`
	Citation string `json:"citation"`
	Limits   string `json:"limits"`
}

// soldiers is what the survey's people are not.
const soldiers = "Soldiers are fitter and leaner than the public, and no athletes of this hold; people older or heavier than soldiers are missing. Nobody's strength was measured."

// DrawnPeople tells whose bodies stand behind a result.
func DrawnPeople(r *claim.Result) ([]Drawn, error) {
	var list []Drawn
	for _, p := range r.Claim.People {
		population, limits := p.Own, "These people are drawn again and again, so that the shares are theirs; what was not measured of them is drawn from soldiers who have the rest in common. No interval says how far others differ."
		if population == nil {
			var err error
			if population, err = anthro.Load(p.Population); err != nil {
				return nil, err
			}
			limits = soldiers
		}
		list = append(list, Drawn{p.Population, population.Title, population.N, population.Provenance.Citation, limits})
	}
	return list, nil
}

// VerdictMeans says what a claim's verdict stands for.
func VerdictMeans(c *claim.Claim, v claim.Verdict) string {
	share := percent(c.Share)
	switch v {
	case claim.Supported:
		switch {
		case c.Contrast != nil:
			return "The groups' medians differ as claimed by more than what matters, sampling error allowed for."
		case c.Expect == claim.None:
			return fmt.Sprintf("For at least %s of bodies the effect is too small to matter, as claimed.", share)
		}
		return fmt.Sprintf("At least %s of bodies move as claimed by more than what matters.", share)
	case claim.Contradicted:
		switch {
		case c.Contrast != nil:
			return "The groups' medians differ the other way by more than what matters, sampling error allowed for."
		case c.Expect == claim.None:
			return fmt.Sprintf("For at least %s of bodies there is an effect that matters, against the claim.", share)
		}
		return fmt.Sprintf("At least %s of bodies move the other way by more than what matters.", share)
	case claim.TooSmall:
		if c.Contrast != nil {
			return "The groups' medians differ by less than what matters, sampling error allowed for."
		}
		return fmt.Sprintf("At least %s of bodies move by less than what matters.", share)
	case claim.DependsOnBody:
		return fmt.Sprintf("No outcome holds for %s of bodies, or not for every population: it depends on whose body it is.", share)
	case claim.DependsOnAssumptions:
		return "What nobody has measured decides: over the assumptions' ranges no verdict holds often enough."
	case claim.DependsOnModel:
		return "The models of statics that were asked give different verdicts."
	case claim.NoEffect:
		return "Nothing moves, for any body, under any assumption: the quantity does not depend on the change."
	}
	return fmt.Sprintf("A share of bodies is too close to %s to call at this number of bodies.", share)
}

// ModelMeans says in a sentence or two what a model of statics takes a body for.
func ModelMeans(m hold.Model) string {
	if m == hold.TwoCondition {
		return "The model that educators use: each arm acts only along its own line, both equally hard; the force must lift the body and must stop it from turning."
	}
	return "Exact planar statics: all forces and moments balance. Where a hold leaves a choice of posture, the best one asks arms and shoulders for the same share of what they can give."
}
