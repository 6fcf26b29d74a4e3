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
	"counterpoise/sim/scenario"
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

// moves says which way a demand moves at the central assumptions for the median body,
// and by how much over people; percent is the same in per cent of the baseline, or nil.
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
		size += fmt.Sprintf(", %s of what it was,", words.NoBreak(words.Effect(*percent.P50)))
	}
	return fmt.Sprintf("%s %s by %s for the median body (%s)", p.Noun, words.Way(*effect.P50, "rises", "falls"), size, between)
}

func ptr(x float64) *float64 { return &x }

// sizes are how effects of a claim are written, in the unit of its draws: with their
// signs, and without.
type sizes struct{ signed, plain func(float64) string }

func sizesOf(c *claim.Claim, m hold.Model) sizes {
	p := words.DemandOf(c.Demand, m)
	if c.Threshold().Share > 0 {
		return sizes{func(x float64) string { return words.NoBreak(words.SignedEffect(x)) }, func(x float64) string { return words.NoBreak(words.Effect(x)) }}
	}
	return sizes{p.Signed, p.Number}
}

// between writes the ends of a summary.
func between(write func(float64) string, s outcome.Summary) string {
	return write(val(s.P5)) + " to " + write(val(s.P95))
}

// drawnMoves says which way a demand moves, by the median over the draws, with what
// nobody measured and how people differ kept apart.
func drawnMoves(c *claim.Claim, m hold.Model, d *outcome.Draws) string {
	p, size := words.DemandOf(c.Demand, m), sizesOf(c, m)
	e := d.InUnit
	if e.P50 == nil {
		return p.Noun + " cannot be compared for the median body: most take the posture only before the change or only after it"
	}
	open := between(size.signed, e) + " over what nobody measured"
	people := "from body to body " + between(size.signed, d.PeopleInUnit)
	if size.plain(*e.P50) == size.plain(0) {
		return fmt.Sprintf("%s hardly moves for the median body (%s; %s)", p.Noun, open, people)
	}
	return fmt.Sprintf("%s %s by %s for the median body (%s; %s)", p.Noun, words.Way(*e.P50, "rises", "falls"), size.plain(math.Abs(*e.P50)), open, people)
}

// agreedOn says what at least 95 % of the draws agree on where the verdict is open, and
// what is so where the changed body may not choose its posture; it is empty where there
// is nothing to say.
func agreedOn(c *claim.Claim, m hold.Model, d *outcome.Draws, open bool) string {
	less, more := words.Ways(c.Demand)
	never := func(rises, falls bool) string {
		switch {
		case rises && falls:
			return "neither " + more + " nor " + less + " by what matters"
		case rises:
			return "never " + more
		case falls:
			return "never " + less
		}
		return ""
	}
	var parts []string
	if said := never(d.NeverRises, d.NeverFalls); open && said != "" {
		parts = append(parts, said)
	}
	size := sizesOf(c, m)
	for rule := range scenario.NumPostureRules {
		u, told := d.Under[rule.String()]
		if !told || u.Effect.P50 == nil {
			continue
		}
		text := map[scenario.PostureRule]string{
			scenario.AtBest: "in the best posture", scenario.SameAngle: "at the old angle of the arms", scenario.SameSpacing: "with the hands where they were",
		}[rule] + " "
		switch u.Verdict {
		case claim.Supported, claim.Contradicted:
			text += map[bool]string{true: more, false: less}[*u.Effect.P50 > 0] + " by "
		default:
			if said := never(u.NeverRises, u.NeverFalls); said != "" {
				text += said + ", "
			}
		}
		parts = append(parts, text+fmt.Sprintf("%s (%s)", size.signed(*u.Effect.P50), between(size.signed, u.Effect)))
	}
	return words.Capital(strings.Join(parts, "; "))
}

// sentence ends a text that says something.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	return words.Capital(text) + ". "
}

// Headline is the verdict in a few sentences: what the draws agree on, by how much the
// quantity moves over what nobody measured and over people, and what is left open.
func Headline(r *outcome.Result) string {
	if r.Claim.Contrast != nil {
		return contrastHeadline(r)
	}
	c := r.Claim
	switch r.Verdict {
	case claim.NoEffect:
		return fmt.Sprintf("Exactly no effect: %s stays as it is for every body, whatever is assumed, in %s. %s", words.PlainNoun(c.Demand), everyModel(r), noEffectReason(r))
	case claim.NobodyHolds:
		return "Not settled: no body that was drawn can take the posture, neither before nor after the change."
	}
	text := ""
	if len(r.Models) > mostQuoted {
		text = sentence(words.PlainNoun(c.Demand) + " " + rangeOfMedians(r))
	}
	for i := range r.Models {
		m := &r.Models[i]
		d, name := m.Pooled.Draws, ""
		if len(r.Models) > 1 {
			name = m.Name + ": " + words.Verdict(m.Verdict).Name + "; "
		}
		if len(r.Models) <= mostQuoted {
			text += sentence(name + drawnMoves(c, m.Model.Statics, d) + difficultyOtherWay(c, m))
			text += sentence(agreedOn(c, m.Model.Statics, d, !m.Verdict.Settled()))
		}
	}
	return opening(r) + text + strings.TrimSpace(remaining(r))
}

// opening says what a verdict means beyond its name.
func opening(r *outcome.Result) string {
	c := r.Claim
	in := ""
	if len(r.Models) > 1 {
		in = " in " + everyModel(r)
	}
	switch r.Verdict {
	case claim.LessThanSaid, claim.MoreThanSaid, claim.SizeOpen:
		return words.Capital(words.Verdict(r.Verdict).Name) + in + "; said is " + words.Claimed(c) + ". "
	case claim.NoDifference:
		return fmt.Sprintf("No difference that matters%s: less than %s for at least %s of bodies. ", in, words.Threshold(c), words.Share(c.Share))
	case claim.Contradicted:
		if c.Expect == claim.None {
			return "Contradicted" + in + ": there is an effect that matters. "
		}
		return "Contradicted" + in + ": it goes the other way. "
	}
	return words.Capital(words.Verdict(r.Verdict).Name) + in + ". "
}

// remaining says what is left open, and on whom it depends.
func remaining(r *outcome.Result) string {
	text := ""
	for i := range r.Models {
		m := &r.Models[i]
		for _, g := range m.Groups {
			if g.Verdict == claim.OpenAssumptions || g.Verdict == claim.OpenSampling || g.Verdict == claim.SizeOpen {
				text += sentence(drawsDivide(m.Name, g.People, g.Draws, len(r.Models) > 1))
			}
		}
	}
	if r.Verdict == claim.DependsOnBody {
		text += bodySentence(r)
	}
	return text
}

// drawsDivide says how the draws divide, and what decides.
func drawsDivide(model, people string, d *outcome.Draws, several bool) string {
	of := words.Sexes(people)
	if several {
		of += ", " + model
	}
	return fmt.Sprintf("%s: of %s draws %s%s", words.Capital(of), words.Count(d.N), verdictCounts(d), decisiveWords(d))
}

// decisiveWords says what leaves the verdict open, what that is, and for how much of it
// it stands; or that nothing does alone. It is empty where the verdict is settled.
func decisiveWords(d *outcome.Draws) string {
	if d.Agreement.High >= drawsThatMustAgree {
		return ""
	}
	k := d.Decisive
	if k == nil {
		return "; nothing decides it alone"
	}
	meaning := k.Name
	if id, ok := assume.Parse(k.Name); ok {
		meaning, _, _ = strings.Cut(id.Info().Meaning, ";")
		meaning += " (" + k.Name + ")"
	}
	return fmt.Sprintf("; what decides is %s: %s of whether they agree", meaning, words.Share(min(k.OfVerdict.Value, 1)))
}

// drawsThatMustAgree is the share of the draws that a verdict takes.
const drawsThatMustAgree = 0.95

func everyModel(r *outcome.Result) string {
	switch len(r.Models) {
	case 1:
		return "the one model tested (" + r.Models[0].Name + ")"
	case 2:
		return "both models"
	}
	return fmt.Sprintf("all %d models", len(r.Models))
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
	return fmt.Sprintf(", but %s %s by %s at the central assumptions", p.Noun, words.Way(*difficulty, "rises", "falls"), p.Number(math.Abs(*difficulty)))
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
		parts = append(parts, fmt.Sprintf("%s say “%s”", words.Share(float64(c.n)/float64(d.N)), c.verdict))
	}
	return strings.Join(parts, ", ")
}

// bodySentence says for whom the claim holds.
func bodySentence(r *outcome.Result) string {
	text := ""
	for i := range r.Models {
		m := &r.Models[i]
		var groups []string
		for _, g := range m.Groups {
			groups = append(groups, fmt.Sprintf("%s “%s”, as claimed for %s of them", words.Sexes(g.People), words.Verdict(g.Verdict), words.Share(val(g.Draws.AsClaimed.P50))))
		}
		part := strings.Join(groups, "; ")
		if len(r.Models) > 1 {
			part = m.Name + ": " + part
		}
		if t, people := tellingTrait(m); t != nil {
			part += fmt.Sprintf("; among %s, at the central assumptions, for %s of the third with the smallest %s and %s of the third with the largest",
				people, words.Share(t.ShareLow), t.Name, words.Share(t.ShareHigh))
		}
		text += sentence(part)
	}
	return text
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
	text := opening(r)
	for i := range r.Contrast {
		d := &r.Contrast[i]
		m := modelOf(r, d.Model)
		where := words.Sexes(d.People)
		if len(r.Models) > 1 {
			where += ", " + d.Model
		}
		if d.Verdict != r.Verdict {
			where += ": " + words.Verdict(d.Verdict).Name
		}
		if d.Draws.InUnit.P50 == nil {
			text += sentence(where + "; too many cannot take the posture for the groups' medians to be compared")
			continue
		}
		size := sizesOf(r.Claim, m)
		text += sentence(fmt.Sprintf("%s; %s is %s by %s in the top group by %s (%s over what nobody measured), and a person of the top group has the greater value in %s of pairs",
			where, words.DemandOf(r.Claim.Demand, m).Noun, words.Way(*d.Draws.InUnit.P50, "higher", "lower"), size.plain(math.Abs(*d.Draws.InUnit.P50)),
			words.ToldApartBy(r.Claim.Contrast.By), between(size.signed, d.Draws.InUnit), words.Share(val(d.Draws.Greater.P50))))
		if d.Verdict == claim.OpenAssumptions || d.Verdict == claim.OpenSampling || d.Verdict == claim.SizeOpen {
			text += sentence(drawsDivide(d.Model, d.People, d.Draws, len(r.Models) > 1))
		}
	}
	return text + fmt.Sprintf("A contrast compares different people and mixes everything that goes with %s.", words.ToldApartBy(r.Claim.Contrast.By))
}

func modelOf(r *outcome.Result, name string) hold.Model {
	for _, m := range r.Models {
		if m.Name == name {
			return m.Model.Statics
		}
	}
	return hold.TwoCondition
}
