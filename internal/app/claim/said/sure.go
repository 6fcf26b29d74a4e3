package said

import (
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
)

// Sure is one line of how sure a result is.
type Sure struct{ Of, Says string }

// HowSure says in three lines what the draws of what nobody has measured agree on, what decides
// whether they do, and what was measured.
func HowSure(r *outcome.Result) []Sure {
	measured := Validation(r.Claim)
	if m := MeasuredOf(r.Claim); m != nil {
		measured = words.Capital(m.Quoted) + "."
	}
	return []Sure{{"The draws say", drawsSay(r)}, {"What decides", whatDecides(r)}, {"Measured", measured}}
}

// drawsSay is the most frequent verdict of the draws for each of the people.
func drawsSay(r *outcome.Result) string {
	if r.Verdict == claim.NoEffect {
		return noEffectReason(r)
	}
	var parts []string
	add := func(model, people string, d *outcome.Draws) {
		of := words.Sexes(people)
		if len(r.Models) > 1 {
			of += ", " + model
		}
		parts = append(parts, of+": "+eachVerdict(d)[0])
	}
	for i := range r.Models {
		for _, g := range r.Models[i].Groups {
			add(r.Models[i].Name, g.People, g.Draws)
		}
	}
	for i := range r.Contrast {
		add(r.Contrast[i].Model, r.Contrast[i].People, r.Contrast[i].Draws)
	}
	if len(parts) > 2*mostQuoted {
		return "See below: " + words.Count(len(parts)) + " models and people."
	}
	return words.Capital(strings.Join(parts, "; ")) + "."
}

// whatDecides names what leaves the verdict open.
func whatDecides(r *outcome.Result) string {
	name, share := deciding(r)
	switch {
	case r.Verdict.Settled() && r.Verdict != claim.SizeOpen:
		return "Nothing: enough of the draws agree."
	case r.Verdict == claim.OpenModels:
		return otherModel(r)
	case name == "":
		return "Nothing decides it alone."
	}
	return words.Capital(plainDecider(name)) + ": " + words.Share(min(share, 1)) + " of whether draws agree."
}
