// Package report puts results into words: the sentence a coach can say aloud,
// the text on the terminal, and the caption of a chart. Every statement of a
// direction is read off the sign of a result.
package report

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/wording"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// NotValidated stands under every number about a hold for which no measured
// force has been published.
const NotValidated = wording.NotValidated

// Cautions are printed wherever somebody might act on a number.
const Cautions = wording.Cautions

// val is a value that may not be there: NaN where it is not.
func val(x *float64) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}

// moves says which way a demand moves for the median body, and by how much
// over people; percent is the same in per cent of the baseline, or nil.
func moves(p words.Demand, effect outcome.Summary, percent *outcome.Summary) string {
	if effect.P50 == nil {
		return p.Noun + " cannot be compared for the median body: most take the posture only before the change or only after it"
	}
	between := "5–95 % of bodies: " + ends(p.Signed, effect)
	if p.IsNothing(*effect.P50) {
		return fmt.Sprintf("%s hardly moves for the median body (%s)", p.Noun, between)
	}
	size := p.Number(math.Abs(*effect.P50))
	if percent != nil && percent.P50 != nil {
		size += fmt.Sprintf(", %s of what it was,", effectText(*percent.P50))
	}
	return fmt.Sprintf("%s %s by %s for the median body (%s)", p.Noun, words.Way(*effect.P50, "rises", "falls"), size, between)
}

func ptr(x float64) *float64 { return &x }

// effectText is the size of an effect in per cent of what was before.
func effectText(percent float64) string { return words.NoBreak(words.Effect(percent)) }

// Headline is the verdict in one or two sentences: the strongest thing on which
// all models agree, then where they part.
func Headline(r *outcome.Result) string {
	if r.Claim.Contrast != nil {
		return contrastHeadline(r)
	}
	quantity := words.DemandOf(r.Claim.Demand, hold.TwoCondition).Noun
	switch r.Verdict {
	case claim.NoEffect:
		return fmt.Sprintf("Exactly no effect: %s stays as it is for every body, in %s. %s", quantity, everyModel(r), noEffectReason(r))
	case claim.Undecided:
		if nobody(r) {
			return "Undecided: no body that was drawn can take the posture, neither before nor after the change."
		}
		return fmt.Sprintf("Undecided at this sample size (%s bodies): a share of bodies is too close to %s to call.", words.Count(r.N), words.Share(r.Claim.Share))
	case claim.DependsOnModel:
		return agreement(r) + " " + modelByModel(r)
	}
	var parts []string
	for _, m := range r.Models {
		text := moves(words.DemandOf(r.Claim.Demand, m.Model.Statics), m.Pooled.Quantity.Effect, m.Pooled.Percent)
		if len(r.Models) > 1 {
			text = m.Name + ": " + text
		}
		parts = append(parts, text)
	}
	effects := strings.Join(parts, "; ") + otherWay(r)
	if len(r.Models) > mostQuoted {
		effects = words.PlainNoun(r.Claim.Demand) + " " + rangeOfMedians(r)
	}
	switch r.Verdict {
	case claim.Supported:
		return fmt.Sprintf("Supported in %s. %s.", everyModel(r), words.Capital(effects))
	case claim.Contradicted:
		if r.Claim.Expect == claim.None {
			return fmt.Sprintf("Contradicted in %s: there is an effect that matters. %s.", everyModel(r), words.Capital(effects))
		}
		return fmt.Sprintf("Contradicted in %s: it goes the other way. %s.", everyModel(r), words.Capital(effects))
	case claim.TooSmall:
		return fmt.Sprintf("Too small to matter in %s: less than %s for at least %s of bodies. %s.", everyModel(r), words.Threshold(r.Claim), words.Share(r.Claim.Share), words.Capital(effects))
	case claim.DependsOnAssumptions:
		return fmt.Sprintf("It depends on what nobody has measured. %s %s.", assumptionsSentence(r), words.Capital(effects))
	}
	return "It depends on the body. " + bodySentence(r) + " " + words.Capital(effects) + "."
}

func everyModel(r *outcome.Result) string {
	switch len(r.Models) {
	case 1:
		return "the one model tested (" + r.Models[0].Name + ")"
	case 2:
		return "both models"
	}
	return fmt.Sprintf("all %d models", len(r.Models))
}

// agreement is the strongest thing on which all models agree: over the ranges
// of the assumptions where that holds, else at their central values, and it
// says which.
func agreement(r *outcome.Result) string {
	rest := 1 - r.Claim.Share
	no := "in neither model"
	if len(r.Models) > 2 {
		no = "in none of the models"
	}
	everywhere := func(band func(*outcome.Draws) outcome.Summary) bool {
		for _, m := range r.Models {
			if m.Draws == nil || band(m.Draws).P95 == nil || *band(m.Draws).P95 > rest {
				return false
			}
		}
		return true
	}
	never, neverAgainst := true, true
	for _, m := range r.Models {
		never = never && m.Pooled.AsClaimed.Value <= rest
		neverAgainst = neverAgainst && m.Pooled.Against.Value <= rest
	}
	switch {
	case everywhere(func(d *outcome.Draws) outcome.Summary { return d.AsClaimed }):
		return fmt.Sprintf("%s is it so for more than %s of bodies, whatever is assumed.", words.Capital(no), words.Share(rest))
	case r.InDirection:
		return "The models contradict each other."
	case r.Claim.Expect != claim.None && everywhere(func(d *outcome.Draws) outcome.Summary { return d.Against }):
		return fmt.Sprintf("%s is the opposite true for more than %s of bodies, whatever is assumed; they differ in whether the effect is large enough to matter.", words.Capital(no), words.Share(rest))
	case never:
		return fmt.Sprintf("At the central assumptions %s is it so for more than %s of bodies.", no, words.Share(rest))
	case neverAgainst && r.Claim.Expect != claim.None:
		return fmt.Sprintf("At the central assumptions %s is the opposite true for more than %s of bodies; they differ in whether the effect is large enough to matter.", no, words.Share(rest))
	}
	return "The models disagree."
}

// modelByModel lists what each model says.
func modelByModel(r *outcome.Result) string {
	var parts []string
	for _, m := range r.Models {
		text := fmt.Sprintf("%s: %s; %s", words.Capital(m.Name), words.Verdict(m.Verdict), moves(words.DemandOf(r.Claim.Demand, m.Model.Statics), m.Pooled.Quantity.Effect, m.Pooled.Percent))
		if m.Verdict == claim.DependsOnAssumptions {
			text += fmt.Sprintf("; of %s draws of the assumptions %s", words.Count(m.Draws.N), verdictCounts(m.Draws))
		}
		parts = append(parts, text+difficultyOtherWay(r.Claim, &m)+".")
	}
	return strings.Join(parts, " ")
}

// difficultyOtherWay says of a model that the hold gets harder where a claim's force
// or moment falls, or easier where it rises; it is empty where the two go together.
func difficultyOtherWay(c *claim.Claim, m *outcome.ModelResult) string {
	beside, told := m.Pooled.Beside[hold.Difficulty.String()]
	if unit := c.Demand.Unit; !told || unit != "BW" && unit != "BW·m" {
		return ""
	}
	effect, difficulty := m.Pooled.Quantity.Effect.P50, beside.Effect.P50
	p := words.DemandOf(hold.Difficulty, m.Model.Statics)
	if effect == nil || difficulty == nil || *effect**difficulty >= 0 || words.DemandOf(c.Demand, m.Model.Statics).IsNothing(*effect) || p.IsNothing(*difficulty) {
		return ""
	}
	return fmt.Sprintf(", but %s %s by %s", p.Noun, words.Way(*difficulty, "rises", "falls"), p.Number(math.Abs(*difficulty)))
}

// otherWay says it of all models, each by its name where there are several.
func otherWay(r *outcome.Result) string {
	var text string
	for i := range r.Models {
		m := &r.Models[i]
		if but := difficultyOtherWay(r.Claim, m); but != "" {
			text += but
			if len(r.Models) > 1 {
				text += " under " + m.Name
			}
		}
	}
	return text
}

// noEffectReason says why a change can leave a quantity exactly as it was: in the
// author's words where there are any.
func noEffectReason(r *outcome.Result) string {
	reason := "Nothing in this quantity depends on what is changed."
	if ch := r.Claim.Change; ch != nil && ch.Body.Scale() != 1 {
		reason = "Every length grows by the same factor, so every force in body weights stays what it was."
		if r.Claim.Demand.Unit == "rad" {
			reason = "Every length grows by the same factor, so every angle stays what it was."
		}
	}
	return strings.TrimSpace(reason + " " + r.Claim.Reason)
}

// nobody reports whether nobody drawn takes the posture before or after.
func nobody(r *outcome.Result) bool {
	for _, m := range r.Models {
		if m.Pooled.N > 0 {
			return false
		}
	}
	return true
}

// assumptionsSentence says how the assumption draws divide.
func assumptionsSentence(r *outcome.Result) string {
	var parts []string
	for _, m := range r.Models {
		if m.Draws == nil {
			continue
		}
		text := fmt.Sprintf("Of %s draws of the assumptions under %s, %s", words.Count(m.Draws.N), m.Name, verdictCounts(m.Draws))
		parts = append(parts, text+driverWords(m.Draws)+".")
	}
	return strings.Join(parts, " ")
}

// weakDriver is the rank correlation below which no one assumption is said to
// decide: even the strongest then goes with less than a tenth of the ranks' variance.
const weakDriver = 0.3

// driverWords says which assumption decides most, what it is, and how closely the
// effect follows it; or that none does. Where all draws give the same verdict there is
// nothing to decide, and it says what moves the effect.
func driverWords(d *outcome.Draws) string {
	if d.Driver == nil {
		return ""
	}
	name, how := d.Driver.Name, words.Correlation(d.Driver.Correlation)
	if id, ok := assume.Parse(name); ok {
		meaning, _, _ := strings.Cut(id.Info().Meaning, ";")
		name = meaning + " (" + name + ", rank correlation " + how + ")"
	} else {
		name += " (rank correlation " + how + ")"
	}
	switch {
	case math.Abs(d.Driver.Correlation) < weakDriver:
		return "; no single assumption decides, the most telling: " + name
	case len(d.Verdicts) == 1:
		return "; what moves the effect most: " + name
	}
	return "; what decides most: " + name
}

// verdictCounts lists how many draws give which verdict, most frequent first.
func verdictCounts(d *outcome.Draws) string {
	type count struct {
		verdict string
		n       int
	}
	var counts []count
	for v, n := range d.Verdicts {
		counts = append(counts, count{v, n})
	}
	sort.Slice(counts, func(a, b int) bool {
		return counts[a].n > counts[b].n || counts[a].n == counts[b].n && counts[a].verdict < counts[b].verdict
	})
	var parts []string
	for _, c := range counts {
		parts = append(parts, fmt.Sprintf("%s say %s", words.Share(float64(c.n)/float64(d.N)), c.verdict))
	}
	return strings.Join(parts, ", ")
}

// bodySentence says for whom the claim holds.
func bodySentence(r *outcome.Result) string {
	var parts []string
	for _, m := range r.Models {
		text := "Under " + m.Name
		differ, shares := false, map[string]bool{}
		var groups, verdicts []string
		for _, g := range m.Groups {
			differ = differ || g.Verdict != m.Groups[0].Verdict
			share := words.Share(g.AsClaimed.Value)
			shares[share] = true
			groups = append(groups, words.Sexes(g.People)+" "+share)
			verdicts = append(verdicts, words.Sexes(g.People)+" “"+words.Verdict(g.Verdict).Name+"”")
		}
		if differ && m.Draws != nil {
			text += " and the central assumptions"
		}
		text += fmt.Sprintf(" it is as claimed for %s of bodies", words.Share(m.Pooled.AsClaimed.Value))
		if len(shares) > 1 {
			text += " (" + strings.Join(groups, ", ") + ")"
		}
		if t, people := tellingTrait(&m); t != nil {
			text += fmt.Sprintf("; among %s for %s of the third with the smallest %s and %s of the third with the largest",
				people, words.Share(t.ShareLow), t.Name, words.Share(t.ShareHigh))
		}
		if differ {
			text += "; the populations' verdicts differ: " + strings.Join(verdicts, ", ")
			if m.Draws != nil {
				text += fmt.Sprintf("; of %s draws of the assumptions %s", words.Count(m.Draws.N), verdictCounts(m.Draws))
			}
		}
		parts = append(parts, text+".")
	}
	return strings.Join(parts, " ")
}

// tellingTrait returns the trait that tells best for whom a claim holds, and among
// whom: that of the population whose thirds are furthest apart. It is nil where no
// population's thirds are told apart.
func tellingTrait(m *outcome.ModelResult) (trait *outcome.Trait, people string) {
	furthest := 0.0
	for _, g := range m.Groups {
		t := g.Trait
		if t == nil || words.Share(t.ShareLow) == words.Share(t.ShareHigh) {
			continue
		}
		if apart := math.Abs(t.ShareHigh - t.ShareLow); apart > furthest {
			furthest, trait, people = apart, t, words.Sexes(g.People)
		}
	}
	return trait, people
}

// contrastHeadline is the verdict of a contrast in words.
func contrastHeadline(r *outcome.Result) string {
	var parts []string
	for _, c := range r.Contrast {
		p := words.DemandOf(r.Claim.Demand, modelOf(r, c.Model))
		where := fmt.Sprintf("%s, %s: %s", words.Capital(c.Model), words.Sexes(c.People), words.Verdict(c.Verdict))
		if math.IsNaN(c.Difference.Value) || math.IsInf(c.Difference.Value, 0) {
			parts = append(parts, fmt.Sprintf("%s; %s of the two groups' %s people cannot take the posture, too many for their medians to be compared", where, words.Count(c.Impossible), words.Count(2*c.N)))
			continue
		}
		way := words.Way(c.Difference.Value, "higher", "lower")
		parts = append(parts, fmt.Sprintf("%s; %s is %s by %s in the top group by %s (95 %% interval %s to %s), and a person of the top group has the greater value in %s of pairs",
			where, p.Noun, way, p.Number(math.Abs(c.Difference.Value)), words.ToldApartBy(r.Claim.Contrast.By),
			p.Signed(c.Difference.Low), p.Signed(c.Difference.High), words.Share(c.TopGreater)))
	}
	return fmt.Sprintf("%s. %s. A contrast compares different people and mixes everything that goes with %s.",
		words.Capital(words.Verdict(r.Verdict).Name), strings.Join(parts, ". "), words.ToldApartBy(r.Claim.Contrast.By))
}

func modelOf(r *outcome.Result, name string) hold.Model {
	for _, m := range r.Models {
		if m.Name == name {
			return m.Model.Statics
		}
	}
	return hold.TwoCondition
}
