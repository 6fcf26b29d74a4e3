package said

import (
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/claim"
	"counterpoise/sim/scenario"
)

// Finding is the title of the chart of a change: what is changed of which hold, and what is
// so, made of what the first screen says.
func Finding(r *outcome.Result) string {
	before, behind, sized := words.Finding(r.Verdict, r.Claim.Expect)
	parts := []string{}
	if before != "" {
		parts = append(parts, before)
	}
	if sized {
		if size := overModels(r); size != "" {
			parts = append(parts, size)
		}
	}
	if behind != "" {
		parts = append(parts, behind)
	}
	text := strings.Replace(strings.Join(parts, ", "), ", whether", "; whether", 1)
	text += strings.Replace(NeverSaid(r), " but", "", 1)
	if bars := onSameBars(r); bars != "" {
		text += "; " + bars
	}
	return words.NoBreak(Titled(r) + ": " + text + CentralAlone(r))
}

// Titled names the hold and what is changed or compared of it.
func Titled(r *outcome.Result) string {
	c := r.Claim
	of := ChangeSentence(c)
	if c.Change != nil && c.Change.Hold != nil {
		return words.Capital(of)
	}
	return words.Capital(strings.TrimPrefix(Held(c), "the ")) + ", " + of
}

// overModels is the size for the middle person over what nobody has measured, under every
// model; of people, where it depends on whose body it is.
func overModels(r *outcome.Result) string {
	low, high, told := middleReach(r)
	if !told {
		return ""
	}
	size := SizesOf(r.Claim, r.Models[0].Model.Statics)
	text := size.Between(low, high)
	if size.Way(low)*size.Way(high) < 0 { // shorter than with both ways named
		text = words.Interval(size.Signed(low), size.Signed(high))
	}
	if !size.Hard {
		text = words.PlainNoun(r.Claim.Demand) + " " + text
	}
	return text
}

// middleReach is from where to where overModels goes; of a contrast, reachOver of all.
func middleReach(r *outcome.Result) (low, high float64, told bool) {
	if r.Claim.Contrast != nil {
		return reachOver(r, nil)
	}
	for i := range r.Models {
		d := r.Models[i].Pooled.Draws
		e := d.InUnit
		if r.Verdict == claim.DependsOnBody {
			e = d.PeopleInUnit
		}
		if e.P5 == nil || e.P95 == nil {
			return 0, 0, false
		}
		if !told {
			low, high, told = *e.P5, *e.P95, true
		}
		low, high = min(low, *e.P5), max(high, *e.P95)
	}
	return low, high, told
}

// onSameBars is what is so where the hands may not move, where a change that they answer
// makes no difference or is not settled.
func onSameBars(r *outcome.Result) string {
	if len(r.Models) != 1 || r.Claim.Change.Posture == scenario.SameSpacing || r.Verdict.Settled() && r.Verdict != claim.NoDifference {
		return ""
	}
	m := &r.Models[0]
	u, told := m.Pooled.Draws.Under[scenario.SameSpacing.String()]
	if !told || u.Effect.P50 == nil {
		return ""
	}
	size := SizesOf(r.Claim, m.Model.Statics)
	if text := size.About(u.Effect, HardlyChanges); text != size.About(m.Pooled.Draws.InUnit, HardlyChanges) {
		return text + " " + where[scenario.SameSpacing]
	}
	return ""
}
