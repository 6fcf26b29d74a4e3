// Package said puts results of claims into words: the sentence a coach can say aloud, the text
// on the terminal, and the summary that --json prints. It draws no pictures. Every statement
// of a direction is read off the sign of a result.
package said

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"counterpoise/internal/outcome"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// Finding is the title of the chart of a change: what is changed of which hold, and what is
// so, made of what the first screen says.
func Finding(r *outcome.Result) string {
	if parts := Apart(r); parts != nil {
		return words.Together(Titled(r) + ": " + apartInTitle(r, parts))
	}
	before, behind, sized := words.Finding(r.Verdict, r.Claim.Expect)
	parts := []string{}
	if before != "" {
		parts = append(parts, before)
	}
	if sized {
		size := overModels(r)
		if size != "" && r.Claim.Contrast == nil && (isRange(r) || Each(r) != nil) {
			size += words.English.Say(inMiddle(r))
		}
		if size != "" {
			parts = append(parts, size)
		}
	}
	switch said := promised(r.Claim); {
	case said != "" && r.Verdict == claim.LessThanSaid:
		behind = "less than the " + said + " that the saying promises"
	case said != "" && r.Verdict == claim.MoreThanSaid:
		behind = "more than the " + said + " that the saying promises"
	case r.Verdict == claim.SizeOpen:
		_, behind, _ = strings.Cut(answered(r, words.English), ", ")
	}
	if behind != "" {
		parts = append(parts, behind)
	}
	return words.Together(Titled(r) + ": " + strings.Join(parts, ", ") + CentralAlone(r))
}

// apartInTitle is what is so for each of the people, in a title.
func apartInTitle(r *outcome.Result, parts []outcome.Part) string {
	less, more := words.Ways(r.Claim.Demand)
	text := make([]string, len(parts))
	for i, p := range parts {
		text[i] = saysOf(r, p, words.English)
		if at := p.Draws.InUnit.P50; at != nil && p.Verdict.Settled() && p.Verdict.Direction() != claim.NoDifference {
			text[i] = words.Way(*at, more, less) // how far is not drawn for each
		}
		text[i] += " for " + words.Sexes(p.People)
	}
	noun := ""
	if r.Claim.Demand != hold.Difficulty {
		noun = words.Label(r.Claim.Demand) + " "
	}
	return noun + strings.Join(text, ", ")
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
	if !size.Hard {
		text = words.Label(r.Claim.Demand) + " " + text
	}
	return text
}

// middleReach is from where to where overModels goes; where it is told of each of the people, reachOver
// of all.
func middleReach(r *outcome.Result) (low, high float64, told bool) {
	if Each(r) != nil {
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

// Val is a value that may not be there: NaN where it is not.
func Val(x *float64) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}

// agreedOn says what at least 95 % of the draws agree on where the verdict is open, and
// what is so where the changed body may not choose its posture and that is told
// otherwise; it is empty where there is nothing to say.
func agreedOn(r *outcome.Result, m *outcome.ModelResult) string {
	d, v := m.Pooled.Draws, m.Verdict
	less, more := words.Ways(r.Claim.Demand)
	never := func(rises, falls bool) string {
		switch {
		case rises && falls:
			return "almost never " + more + " or " + less + " by enough to matter"
		case rises:
			return "almost never " + more + " by enough to matter"
		case falls:
			return "almost never " + less + " by enough to matter"
		}
		return ""
	}
	var parts []string
	always := ""
	if !v.Settled() {
		always = never(d.NeverRises, d.NeverFalls)
	}
	if always != "" {
		parts = append(parts, always)
	}
	size := SizesOf(r.Claim, m.Model.Statics)
	last := ""
	for rule := range scenario.NumPostureRules {
		u, told := d.Under[rule.String()]
		if !told || u.Effect.P50 == nil || v.Settled() && u.Verdict == v.Direction() {
			continue
		}
		text := size.Compared(*u.Effect.P50)
		if e := underRule(r, m, rule); size.unsure(e) != "" {
			text += " (" + size.Span(e) + ")"
		}
		if said := never(u.NeverRises, u.NeverFalls); !u.Verdict.Settled() && said != "" && said != always {
			text += ", " + said
		}
		if text == last { // what a change does not move is where both rules leave it
			parts = parts[:len(parts)-1]
		}
		parts, last = append(parts, words.PostureRule(rule)+" "+text), text
	}
	return strings.Join(parts, "; ")
}

// sentence ends a text that says something.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	return words.Capital(text) + ". "
}

// CentralAlone stands behind a verdict where only people was drawn, so that it does
// not pass for one that all the draws give; else it is empty.
func CentralAlone(r *outcome.Result) string {
	if r.Central {
		return " (at the central assumptions alone)"
	}
	return ""
}

// Headline is the verdict in a few sentences: what the draws agree on, by how much the
// quantity moves over what nobody has measured and over people, and what is left open.
func Headline(r *outcome.Result) string {
	text := ""
	if r.Claim.Contrast != nil {
		text = contrastHeadline(r)
	} else {
		text = strings.TrimSpace(changeHeadline(r))
	}
	if r.Central {
		text += " Only people were drawn: this holds at the central assumptions, and other assumptions may give another verdict."
	}
	return text
}

// changeHeadline is the verdict of a change in words.
func changeHeadline(r *outcome.Result) string {
	c := r.Claim
	switch r.Verdict {
	case claim.NoEffect:
		return fmt.Sprintf("Exactly no effect: %s stays the same for every body, under every assumption, in %s. %s", words.PlainNoun(c.Demand), everyModel(r), noEffectReason(r))
	case claim.NobodyHolds:
		return "Not settled: no simulated body can take the posture, before or after the change."
	}
	text := opening(r)
	if len(r.Models) > mostQuoted {
		return text + sentence(words.PlainNoun(c.Demand)+" "+rangeOfMedians(r)) + strings.TrimSpace(remaining(r))
	}
	for i := range r.Models {
		m := &r.Models[i]
		if len(r.Models) > 1 {
			text += words.Capital(m.Name) + ": " + words.Verdict(m.Verdict).Name + ". "
		}
		size := SizesOf(c, m.Model.Statics)
		text += sentence(agreedOn(r, m))
		text += sentence(size.forMost(r, m) + difficultyOtherWay(r, m))
	}
	return text + strings.TrimSpace(remaining(r))
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
		return words.Capital(words.Verdict(r.Verdict).Name) + in + ": the saying promises " + words.Claimed(c) + ". "
	case claim.NoDifference:
		if c.Contrast != nil {
			return fmt.Sprintf("No difference that matters%s: less than %s. ", in, words.Threshold(c))
		}
		return fmt.Sprintf("No difference that matters%s: less than %s for at least %s of bodies. ", in, words.Threshold(c), words.Least(c))
	case claim.Contradicted:
		if c.Expect == claim.None {
			return "Contradicted" + in + ": there is an effect that matters. "
		}
		return "Contradicted" + in + ": it goes the other way. "
	case claim.OpenAssumptions:
		return "Not settled: it depends on what nobody has measured. "
	case claim.OpenModels:
		return "Not settled: the models disagree. "
	case claim.OpenSampling:
		return "Not settled: too close to call with this many draws. "
	case claim.NobodyHolds:
		return "Not settled: hardly any simulated body can take the posture. "
	}
	return words.Capital(words.Verdict(r.Verdict).Name) + in + ". "
}

// remaining says what is left open, and on whom it depends.
func remaining(r *outcome.Result) string {
	var open divided
	for _, p := range r.Parts() {
		open.add(r, p)
	}
	text := open.String()
	if r.Verdict == claim.DependsOnBody {
		text += bodySentence(r)
	}
	return text
}

// divided says how draws divide where they leave a verdict open, and what decides.
type divided struct {
	counts   []string
	deciders []string            // names, in order
	whom     map[string][]string // by decider, with how much of it
}

// add takes the draws of one population under one model.
func (s *divided) add(r *outcome.Result, p outcome.Part) {
	if p.Verdict != claim.OpenAssumptions && p.Verdict != claim.OpenSampling && p.Verdict != claim.SizeOpen {
		return
	}
	of, d := words.Sexes(p.People), p.Draws
	if len(r.Models) > 1 {
		of += ", " + p.Model
	}
	s.counts = append(s.counts, of+" "+verdictCounts(d))
	if d.Agreement.High >= drawsThatMustAgree || d.Decisive == nil {
		return
	}
	if s.whom == nil {
		s.whom = map[string][]string{}
	}
	name := d.Decisive.Name
	s.deciders = names.Once(s.deciders, name)
	s.whom[name] = append(s.whom[name], fmt.Sprintf("%s for %s", words.Share(min(d.Decisive.OfVerdict.Value, 1)), of))
}

func (s *divided) String() string {
	if len(s.counts) == 0 {
		return ""
	}
	text := sentence("of the draws for " + strings.Join(s.counts, "; for "))
	parts := names.Each(s.deciders, func(name string) string { return decider(name) + ", " + words.And(s.whom[name]) })
	if len(parts) > 0 {
		text += sentence("whether draws agree depends on: " + strings.Join(parts, "; "))
	}
	return text
}

// decider is what leaves a verdict open, in words and by its name.
func decider(name string) string {
	id, ok := assume.Parse(name)
	if !ok {
		return words.English.Unknown(name)
	}
	return words.Meant(id) + " (" + name + ")"
}

// decisiveWords says what leaves the verdict open, what that is, and for how much of it
// it stands; or that nothing does alone. It is empty where the verdict is settled.
func decisiveWords(d *outcome.Draws) string {
	if d.Agreement.High >= drawsThatMustAgree {
		return ""
	}
	if d.Decisive == nil {
		return "; no single thing decides it"
	}
	return fmt.Sprintf("; %s decides %s of that", decider(d.Decisive.Name), words.Share(min(d.Decisive.OfVerdict.Value, 1)))
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
// or moment falls, or easier where it rises; it is empty where the two go together, or
// neither goes anywhere.
func difficultyOtherWay(r *outcome.Result, m *outcome.ModelResult) string {
	d := m.Pooled.Draws
	if d.Difficulty == nil || d.Difficulty.P50 == nil || d.InUnit.P50 == nil {
		return ""
	}
	size, own := ClaimSizes{words.SizesOf(hold.Difficulty, m.Model.Statics)}, SizesOf(r.Claim, m.Model.Statics)
	whole := *d.Difficulty
	if low, high, told := widest(r, m, wholeOf); told {
		whole.P5, whole.P95 = &low, &high
	}
	hardly := math.Abs(*d.InUnit.P50) < own.Little && math.Abs(*d.Difficulty.P50) < size.Little // does either move
	if hardly || own.Way(*d.InUnit.P50)*size.Way(*d.Difficulty.P50) >= 0 {
		return ""
	}
	return "; but " + size.Moves(*whole.P50) + size.open(whole)
}

// noEffectReason says why a change can leave a quantity exactly as it was: in the
// author's words where there are any.
func noEffectReason(r *outcome.Result) string {
	reason := "Nothing in this quantity depends on the change."
	if ch := r.Claim.Change; ch != nil && ch.Body.Scale() != 1 {
		reason = "Every length grows by the same factor, so every force in body weights stays the same."
		if r.Claim.Demand.Unit == "rad" {
			reason = "Every length grows by the same factor, so every angle stays the same."
		}
	}
	return strings.TrimSpace(reason + " " + r.Claim.Reason)
}

// verdictCounts lists how many draws give which verdict, most frequent first.
func verdictCounts(d *outcome.Draws) string {
	order := slices.SortedFunc(maps.Keys(d.Verdicts), func(a, b string) int {
		return cmp.Or(cmp.Compare(d.Verdicts[b], d.Verdicts[a]), strings.Compare(a, b))
	})
	parts := names.Each(order, func(verdict string) string {
		return fmt.Sprintf("%s say “%s”", words.Share(float64(d.Verdicts[verdict])/float64(d.N)), verdict)
	})
	return strings.Join(parts, ", ")
}

// bodySentence says for whom the claim holds.
func bodySentence(r *outcome.Result) string {
	text := ""
	for i := range r.Models {
		m := &r.Models[i]
		groups := names.Each(m.Groups, func(g outcome.Outcome) string {
			return fmt.Sprintf("%s “%s”, as claimed for %s of them", words.Sexes(g.People), words.Verdict(g.Verdict), words.Share(Val(g.Draws.AsClaimed.P50)))
		})
		part := strings.Join(groups, "; ")
		if len(r.Models) > 1 {
			part = m.Name + ": " + part
		}
		if t, people := tellingTrait(m); t != nil {
			part += fmt.Sprintf("; among %s more often with %s %s", people, words.Way(t.ShareHigh-t.ShareLow, "larger", "smaller"), t.Name)
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
	c := r.Claim
	var parts []string
	var open divided
	top, bottom := words.Contrasted(c.Contrast)
	for i, d := range r.Parts() {
		size := SizesOf(c, ModelOf(r, d.Model))
		where := words.Sexes(d.People)
		if len(r.Models) > 1 {
			where += ", " + d.Model
		}
		if d.Verdict != r.Verdict {
			where += " (" + words.Verdict(d.Verdict).Name + ")"
		}
		if d.Draws.InUnit.P50 == nil {
			parts = append(parts, where+" cannot be compared: too many cannot take the posture")
			continue
		}
		pairs := fmt.Sprintf(", and in %s of pairs %s has the greater value", words.Share(Val(d.Draws.Greater.P50)), words.ContrastedOne(c.Contrast))
		if i > 0 {
			pairs = fmt.Sprintf(", in %s of pairs", words.Share(Val(d.Draws.Greater.P50)))
		}
		parts = append(parts, where+" "+size.Compared(*d.Draws.InUnit.P50)+size.open(d.Draws.InUnit)+pairs)
		open.add(r, d)
	}
	by := words.ContrastedBy(c.Contrast)
	between := top + " against " + bottom
	if !c.Contrast.Sexes && !c.Contrast.Stated() {
		between = "top group by " + by + " against bottom group"
	}
	strength := ""
	if c.Demand == hold.Difficulty {
		strength = " In the medians everybody is as strong as is usual for that body; in the pairs strength differs as between untrained people of one size."
	}
	return opening(r) + sentence(fmt.Sprintf("%s, %s: %s", words.PlainNoun(c.Demand), between, strings.Join(parts, "; "))) + open.String() +
		fmt.Sprintf("A contrast compares different people, so it mixes in everything that comes with %s.", by) + strength
}

// ModelOf is the model of statics of a name that results bear.
func ModelOf(r *outcome.Result, name string) hold.Model {
	for _, m := range r.Models {
		if m.Name == name {
			return m.Model.Statics
		}
	}
	return hold.TwoCondition
}

// ClaimSizes are the words for the effects of a claim.
type ClaimSizes struct{ words.Sizes }

// SizesOf are those of a claim's effects, in the unit of its draws.
func SizesOf(c *claim.Claim, m hold.Model) ClaimSizes {
	s := ClaimSizes{words.SizesOf(c.Demand, m)}
	own, usual := c.Threshold(), claim.DefaultMatters(c.Demand)
	if own.Share == 0 {
		s.Signed = words.DemandOf(c.Demand, m).Signed
	}
	_, factor := outcome.UnitOf(c)
	in := func(t claim.Threshold) float64 { return float64(100*t.Share) + float64(factor*t.Absolute) }
	s.Little = in(own)
	if (own.Share > 0) == (usual.Share > 0) {
		s.Little = min(s.Little, in(usual))
	}
	s.Little /= 2
	return s
}

// Span writes the ends of a summary: without signs where both go the way that is told of
// its middle, "1.7 to 4.9 %".
func (s *ClaimSizes) Span(e outcome.Summary) string {
	low, middle, high := Val(e.P5), Val(e.P50), Val(e.P95)
	text := words.Interval(s.Signed(low), s.Signed(high))
	switch told := e.P5 != nil && e.P95 != nil; {
	case told && s.Way(middle) > 0 && s.Way(low) >= 0:
		text = words.Interval(s.Plain(low), s.Plain(high))
	case told && s.Way(middle) < 0 && s.Way(high) <= 0:
		text = words.Interval(s.Plain(high), s.Plain(low))
	}
	return words.NoBreak(text)
}

// open says, in brackets, how far what nobody has measured leaves an effect open; it is empty
// where nothing of the kind was drawn, or its digits do not move.
func (s *ClaimSizes) open(e outcome.Summary) string {
	if e.P5 != nil && e.P95 != nil && s.Signed(*e.P5) == s.Signed(*e.P95) {
		return ""
	}
	return " (" + s.Span(e) + " over what nobody has measured)"
}

// spread writes the middle of a summary with its ends.
func (s *ClaimSizes) spread(e outcome.Summary) string {
	return words.NoBreak(spread(s.Signed, e))
}

// forMost says which way the quantity moves for the middle person, or for the middle one of each of the
// people where they part, by the median over the draws, what nobody has measured leaves open of it,
// asSaid, and apart from that how people differ.
func (s *ClaimSizes) forMost(r *outcome.Result, m *outcome.ModelResult) string {
	d := m.Pooled.Draws
	if d.InUnit.P50 == nil {
		return incomparable(s.Noun)
	}
	text := "for the middle person " + s.Moves(*d.InUnit.P50) + s.open(d.InUnit) + asSaid(r.Claim, m.Model.Statics, d)
	if Parted(r, m) {
		text = strings.Join(s.ofEach(r, m, func(who, size string, d *outcome.Draws) string {
			if d == m.Groups[0].Draws {
				size = s.Moves(*d.InUnit.P50)
			}
			return "for " + who + " " + size
		}), ", ")
	}
	return text + "; nine in ten people: " + s.Span(d.PeopleInUnit)
}

// ofEach says of the middle one of each of the people how far the quantity moves, as told puts it, with
// what nobody has measured leaves open of it.
func (s *ClaimSizes) ofEach(r *outcome.Result, m *outcome.ModelResult, told func(who, size string, d *outcome.Draws) string) []string {
	parts := make([]string, len(m.Groups))
	for g, of := range m.Groups {
		parts[g] = told(MiddleOf(r, g), s.Compared(*of.Draws.InUnit.P50), of.Draws) + s.open(of.Draws.InUnit) + asSaid(r.Claim, m.Model.Statics, of.Draws)
	}
	return parts
}

// asSaid adds the median effect in the unit in which a saying promises its size, where
// that is another than the one in which effects are told.
func asSaid(c *claim.Claim, m hold.Model, d *outcome.Draws) string {
	said := c.Claimed
	if said == nil || said.Share == (c.Threshold().Share > 0) || d.Effect.P50 == nil {
		return ""
	}
	in, effect := ClaimSizes{words.SizesOf(c.Demand, m)}, d.Percent
	if !said.Share {
		in.Signed, effect = words.DemandOf(c.Demand, m).Signed, d.Effect
	}
	return ", that is " + words.NoBreak(in.Plain(*effect.P50)) + " (" + in.Span(effect) + ")"
}

func incomparable(noun string) string {
	return noun + " cannot be compared for the middle person: most can take the posture only before the change or only after it"
}
