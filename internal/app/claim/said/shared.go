package said

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// Saying is what a claim says in a language, in quotation marks: a shipped claim's saying is
// translated, another one is as its author wrote it.
func Saying(c *claim.Claim, l words.Language) string {
	says := c.Says
	if shipped, err := study.ShippedClaim(c.Name); err == nil && shipped.Says == says {
		says = l.Saying(c.Name, says)
	}
	return l.Quoted(says)
}

// InOneSentence is the answer to a saying in a language: whether it is true, and by how much; for
// each of the people where that is not the same.
func InOneSentence(r *outcome.Result, l words.Language) string {
	if parts := Apart(r); parts != nil {
		text := ""
		for _, p := range parts {
			text += words.Capital(l.Sexes(p.People)) + ": " + saysOf(r, p, l) + ". "
		}
		return words.Together(strings.TrimSpace(text))
	}
	text, size := answered(r, l), sizeOfAnswer(r)
	open := isRange(r) && r.Verdict != claim.SizeOpen
	if size != "" {
		if open { // the range says what it depends on how far
			text, _, _ = strings.Cut(text, ":")
			text += never(r, l)
		}
		glue := ": "
		if strings.Contains(text, ":") {
			glue = ", "
		}
		text += glue + l.Effect(size)
		if r.Claim.Contrast == nil && (isRange(r) || Each(r) != nil) {
			text += l.Say(inMiddle(r))
		}
	}
	if promised := promised(r.Claim); promised != "" && (r.Verdict == claim.LessThanSaid || r.Verdict == claim.MoreThanSaid) {
		text += l.Say(words.PhraseNot, l.Effect(promised))
	}
	if r.Central {
		text += l.Say(words.PhraseCentral)
	}
	if size == "" {
		text += never(r, l)
	}
	return words.Together(text + ".")
}

// isRange says whether the answer to a saying is a range: of an open verdict or size.
func isRange(r *outcome.Result) bool {
	return r.Verdict == claim.OpenAssumptions || r.Verdict == claim.OpenSampling || r.Verdict == claim.SizeOpen
}

// answered is the verdict as it is said first in a language; where the size is open, on which side
// of what was said it may lie.
func answered(r *outcome.Result, l words.Language) string {
	low, high, told := widestReach(r)
	if r.Verdict != claim.SizeOpen || promised(r.Claim) == "" || !told {
		return l.Answer(r.Verdict, r.Claim.Expect)
	}
	less, way := words.Ways(r.Claim.Demand)
	if r.Claim.Expect == claim.Decrease {
		low, high, way = -high, -low, less
	}
	size, from, to := CountsAsSaid(r.Claim)
	phrase := words.PhraseSizeOpen
	switch under, over := low < from, high > to; {
	case high < size:
		phrase = words.PhraseSizeShort
	case under && !over:
		phrase = words.PhraseSizeLess
	case over && !under:
		phrase = words.PhraseSizeMore
	}
	return words.Capital(l.Say(phrase, l.Effect(way)))
}

// inMiddle says of whom middleReach is.
func inMiddle(r *outcome.Result) words.Phrase {
	if Each(r) == nil {
		return words.PhraseInMiddle
	}
	if eitherSex(r) {
		return words.PhraseInEither
	}
	return words.PhraseInGroups
}

// eitherSex reports whether the people are those of one sex and those of the other.
func eitherSex(r *outcome.Result) bool {
	people := r.Claim.People
	if len(people) != 2 {
		return false
	}
	kind, one := words.KindBriefly(people[0].Population)
	other, two := words.KindBriefly(people[1].Population)
	return kind == other && one != two
}

// MiddleOf is what somebody in the middle of some of the people is called.
func MiddleOf(r *outcome.Result, g int) string {
	people := r.Claim.People[g]
	if p, err := people.Load(); err == nil && eitherSex(r) {
		return "the middle " + words.UntrainedOf(p).One
	}
	return "the middle of " + words.Sexes(people.Population)
}

// widestReach is middleReach, as far as it goes for any of the people by themselves.
func widestReach(r *outcome.Result) (low, high float64, told bool) {
	low, high, told = middleReach(r)
	if from, to, any := reachOver(r, nil); any {
		low, high = min(low, from), max(high, to)
	}
	return low, high, told
}

// CountsAsSaid is the size that a saying promises and from where to where an effect counts as that,
// in the unit in which effects are told, without their sign.
func CountsAsSaid(c *claim.Claim) (size, low, high float64) {
	_, factor := outcome.UnitOf(c)
	if c.Claimed.Share {
		factor = 100
	}
	return factor * c.Claimed.Value, factor * c.Claimed.Low, factor * c.Claimed.High
}

// Apart are the answers for each of the people where no one answer is for all of them but one is
// settled for some; else there are none.
func Apart(r *outcome.Result) []outcome.Part {
	if v := r.Verdict; len(r.Models) != 1 || r.Central || v != claim.OpenAssumptions && v != claim.OpenSampling && v != claim.DependsOnBody {
		return nil
	}
	parts := r.Parts()
	settled := func(p outcome.Part) bool { return p.Verdict.Settled() && p.Verdict != claim.DependsOnBody }
	other := func(p outcome.Part) bool { return p.Verdict != parts[0].Verdict }
	if !slices.ContainsFunc(parts, settled) || !slices.ContainsFunc(parts, other) {
		return nil
	}
	return parts
}

// Each are the parts of a result for each of the people, by whom it is told: of a contrast, and where
// one answer is not that of all (see Apart), or the people part, and it does not depend on whose body
// it is besides; else there are none.
func Each(r *outcome.Result) []outcome.Part {
	parts := Apart(r)
	if r.Claim.Contrast != nil || parts == nil && len(r.Models) == 1 && !r.Central && r.Verdict != claim.DependsOnBody && Parted(r, &r.Models[0]) {
		parts = r.Parts()
	}
	return parts
}

// Parted reports whether the people do not share a verdict, a way, or from where to where what nobody
// has measured moves the effect, under a model: then what is so of the middle of all is so of none of
// them.
func Parted(r *outcome.Result, m *outcome.ModelResult) bool {
	if len(m.Groups) < 2 || m.Pooled.Draws.InUnit.P50 == nil || slices.ContainsFunc(m.Groups, func(g outcome.Outcome) bool { return g.Draws.InUnit.P50 == nil }) {
		return false
	}
	size, first, all := SizesOf(r.Claim, m.Model.Statics), &m.Groups[0], m.Pooled.Draws.InUnit
	return slices.ContainsFunc(m.Groups, func(g outcome.Outcome) bool {
		own := g.Draws.InUnit
		much := max(farFrom*(Val(all.P95)-Val(all.P5)), size.Little/2)
		far := math.Abs(Val(own.P5)-Val(all.P5)) > much || math.Abs(Val(own.P95)-Val(all.P95)) > much
		other := g.Verdict != first.Verdict || size.Way(*own.P50)*size.Way(*first.Draws.InUnit.P50) < 0
		return (far || other) && size.Span(own) != size.Span(all)
	})
}

// farFrom is by how much of a range its ends are so far from another's that one is not told for the
// other, if that is half of what anybody would notice.
const farFrom = 0.2

// saysOf is a part's answer in the middle of a sentence.
func saysOf(r *outcome.Result, p outcome.Part, l words.Language) string {
	answer := l.Answer(p.Verdict, r.Claim.Expect)
	head, rest, _ := strings.Cut(answer, ": ")
	head = strings.ToLower(head[:1]) + head[1:]
	size := ReachOf(r, p)
	switch {
	case !p.Verdict.Settled():
		return head
	case size != "" && p.Verdict.Direction() != claim.NoDifference && p.Verdict != claim.NoEffect && p.Verdict != claim.DependsOnBody && !(r.Claim.Expect == claim.None && p.Verdict == claim.Supported):
		return head + ", " + l.Effect(size)
	case rest != "":
		return head + ", " + rest
	}
	return head
}

// ReachOf is from where to where what nobody has measured moves the effect for a part of the people;
// empty where that cannot be told.
func ReachOf(r *outcome.Result, p outcome.Part) string {
	if e := p.Draws.InUnit; e.P5 != nil && e.P95 != nil {
		size := SizesOf(r.Claim, r.Models[0].Model.Statics)
		return size.Between(*e.P5, *e.P95)
	}
	return ""
}

// Came is the verdict in a list of them; where it differs, for each of the people.
func Came(r *outcome.Result) string {
	parts := Apart(r)
	if parts == nil {
		return words.Verdict(r.Verdict).Short
	}
	return strings.Join(names.Each(parts, func(p outcome.Part) string {
		return words.Verdict(p.Verdict).Short + " for\u00a0" + words.Sexes(p.People)
	}), ", ")
}

// sizeOfAnswer is how large an effect is that a verdict is about, from where to where if that is
// open; else it is empty.
func sizeOfAnswer(r *outcome.Result) string {
	switch r.Verdict {
	case claim.Supported, claim.LessThanSaid, claim.MoreThanSaid, claim.SizeOpen, claim.Contradicted, claim.OpenAssumptions, claim.OpenSampling:
	default:
		return ""
	}
	if r.Claim.Expect == claim.None && r.Verdict == claim.Supported {
		return ""
	}
	size := SizesOf(r.Claim, r.Models[0].Model.Statics)
	if e := r.Models[0].Pooled.Draws; Each(r) == nil && len(r.Models) == 1 && e.InUnit.P50 != nil && r.Verdict.Settled() && r.Verdict != claim.SizeOpen {
		return size.Compared(*e.InUnit.P50)
	}
	if low, high, told := middleReach(r); told {
		return size.Between(low, high)
	}
	return ""
}

// promised is the size that a saying promises, where its effects are told in the same unit; else it
// is empty.
func promised(c *claim.Claim) string {
	if c.Claimed == nil || c.Claimed.Share != (c.Threshold().Share > 0) {
		return ""
	}
	return words.Promised(c)
}

// never is NeverSaid in a language.
func never(r *outcome.Result, l words.Language) string {
	rises, falls := AgreedNever(r)
	less, more := words.Ways(r.Claim.Demand)
	less, more = l.Effect(less), l.Effect(more)
	switch {
	case l == words.English:
		return NeverSaid(r)
	case OwnThreshold(r.Claim): // for which there are no words but English ones
		return ""
	case rises && falls:
		return l.Say(words.PhraseNeither, more, less)
	case rises:
		return l.Say(words.PhraseNever, more)
	case falls:
		return l.Say(words.PhraseNever, less)
	}
	return ""
}

// mostBrief is how many words a brief quote has.
const mostBrief = 35

// Brief is Quotable in at most 35 words of a language, as much as fits of: the saying, else what
// was done to the bodies; the verdict; from where to where what nobody has measured moves the
// effect; the people; that it is an estimate; and what was measured.
func Brief(r *outcome.Result, l words.Language) string {
	c := r.Claim
	size := SizesOf(c, hold.Equilibrium)
	verdict := answered(r, l)
	if !r.Verdict.Settled() {
		verdict, _, _ = strings.Cut(verdict, ":")
	}
	if verdict = strings.ToLower(verdict[:1]) + verdict[1:]; r.Central {
		verdict += l.Say(words.PhraseCentral)
	}
	parts := Apart(r)
	for i, p := range parts {
		if i == 0 {
			verdict = ""
		}
		verdict += []string{"", "; "}[min(i, 1)] + l.Sexes(p.People) + ": " + saysOf(r, p, l)
	}
	middle, by := l.Say(inMiddle(r)), ""
	switch {
	case c.Contrast != nil:
		middle = l.Say(words.PhraseInGroups)
	case r.Verdict == claim.DependsOnBody:
		middle = l.Say(words.PhraseInMost)
	}
	plates := platesBriefly(r, l)
	if !r.Central && r.Verdict != claim.DependsOnBody && plates == "" {
		by = l.Say(words.PhraseByUnmeasured)
	}
	noun, effect, signed := "", "", ""
	if low, high, told := middleReach(r); told && parts == nil && r.Verdict != claim.NoEffect && r.Verdict != claim.NobodyHolds {
		if effect, signed = l.Effect(size.Between(low, high)), l.Effect(words.Interval(size.Signed(low), size.Signed(high))); !size.Hard {
			noun = l.Noun(c.Demand) + " "
		}
	}
	own := ""
	if c.Assumed().Centre != assume.Defaults() {
		own = l.Say(words.PhraseOwnAssumptions)
	}
	if PlatesOutweigh(r) {
		own += l.Say(words.PhraseOutweighedBriefly)
	}
	if plates != "" {
		own += "; " + plates
	}
	subject, people := Saying(c, l), l.People(populations(r), populations(r))
	briefest, inFull := subject, people
	if l == words.English {
		inFull = PeopleWords(r)
		if change := words.Capital(ChangeSentence(c)); wordsIn(change) < wordsIn(subject) {
			briefest = change
		}
	}
	full, short := words.PhraseEstimateOf, words.PhraseEstimateBriefly
	text := ""
	for _, form := range []struct {
		subject, effect, by, people string
		estimate                    words.Phrase
	}{
		{subject, noun + effect + middle, by, inFull, full},
		{subject, noun + effect + middle, by, people, full},
		{subject, noun + effect, by, people, full},
		{subject, effect, by, people, full},
		{briefest, noun + effect, by, people, full},
		{subject, signed, by, people, short},
		{briefest, signed, by, people, short},
		{briefest, signed, "", people, short},
	} {
		text = form.subject + ": " + verdict
		if effect != "" {
			text += "; " + form.effect + form.by
		} else if parts != nil {
			text += form.by
		}
		text += ". " + l.Say(form.estimate, form.people) + own + "."
		if wordsIn(text) <= mostBrief {
			break
		}
	}
	return text
}

// wordsIn counts the words of a text; a lone sign is none.
func wordsIn(text string) int {
	n := 0
	for _, word := range strings.Fields(text) {
		if strings.ContainsFunc(word, func(c rune) bool { return unicode.IsLetter(c) || unicode.IsDigit(c) }) {
			n++
		}
	}
	return n
}

// Open writes an effect in a language and, put beside it by a function, from where to where what nobody
// has measured moves it, if it does.
func (s *ClaimSizes) Open(low, middle, high float64, l words.Language, beside func(middle, span string) string) string {
	text := l.Effect(s.Compared(middle))
	if span := s.unsure(outcome.Summary{P5: &low, P50: &middle, P95: &high}); span != "" {
		text = beside(text, l.Effect(span))
	}
	return text
}

// Sure is one line of how sure a result is.
type Sure struct{ Of, Says string }

// HowSure says in three lines of a language how often the draws of what nobody has measured come
// out alike, what decides whether they do, and what was measured.
func HowSure(r *outcome.Result, l words.Language) []Sure {
	return []Sure{{l.Say(words.PhraseAgree), drawsSay(r, l)}, {l.Say(words.PhraseDecides), whatDecides(r, l)}, {l.Say(words.PhraseMeasured), wasMeasured(r, l)}}
}

// SureBriefly says in a sentence how sure a result is.
func SureBriefly(r *outcome.Result, l words.Language) string {
	asked := words.Number(100*drawsThatMustAgree, 0)
	switch {
	case r.Central:
		return l.Say(words.PhraseSureCentral)
	case r.Verdict.Settled() && r.Verdict != claim.SizeOpen && r.Verdict != claim.DependsOnBody:
		least := 1.0
		for _, p := range r.Parts() {
			least = min(least, p.Draws.Agreement.Value)
		}
		return l.Say(words.PhraseSureAgree, ofHundred(least), asked)
	}
	phrase := words.PhraseSureOpen
	if r.Verdict == claim.OpenSampling {
		phrase = words.PhraseSureClose
	}
	name := func(v claim.Verdict) string {
		if v == claim.Supported && r.Claim.Claimed != nil {
			return l.Say(words.PhraseAsSaid)
		}
		head, rest, explained := strings.Cut(l.Answer(v, r.Claim.Expect), ": ")
		if explained {
			head = rest
		}
		return strings.ToLower(head[:1]) + head[1:]
	}
	told := tally(r, l, ofHundred, func(how string, v claim.Verdict) string {
		text := l.Say(words.PhraseSetsSay, how, name(v))
		if r.Claim.Contrast == nil && r.Claim.Share >= nearlyAll && v.Settled() && v != claim.DependsOnBody {
			text += l.Say(words.PhraseOfBodies)
		}
		return text
	})
	text := strings.Join(told, "; ")
	if others, whose := otherVerdicts(r); len(others) > 0 {
		text += l.Say(words.PhraseOthersSay, strings.Join(names.Each(others, name), l.Say(words.PhraseOr)))
		if len(whose) > 0 {
			text += l.Say(words.PhraseFor, l.And(names.Each(whose, l.Sexes)))
		}
	}
	return l.Say(phrase, text, asked)
}

// nearlyAll is the least share of bodies that is called so.
const nearlyAll = 0.9

// otherVerdicts are those that one draw in twenty or more gives of some of the people, and the most of
// none, the more frequent first: two at most; with whose they are, where some have none.
func otherVerdicts(r *outcome.Result) (others []claim.Verdict, whose []string) {
	largest, told := map[claim.Verdict]float64{}, map[claim.Verdict]bool{}
	parts := r.Parts()
	for _, p := range parts {
		most, n := mostFrequent(p.Draws)
		if told[most] = true; float64(p.Draws.N-n) >= 0.05*float64(p.Draws.N) {
			whose = names.Once(whose, p.People)
		}
		for v := claim.Supported; v <= claim.NobodyHolds; v++ {
			largest[v] = max(largest[v], float64(p.Draws.Verdicts[v.String()])/float64(p.Draws.N))
		}
	}
	if len(whose) == len(parts) || len(r.Models) > 1 {
		whose = nil
	}
	for v := claim.Supported; v <= claim.NobodyHolds; v++ {
		if !told[v] && largest[v] >= 0.05 {
			others = append(others, v)
		}
	}
	slices.SortStableFunc(others, func(a, b claim.Verdict) int { return cmp.Compare(largest[b], largest[a]) })
	return others[:min(len(others), 2)], whose
}

// AlsoBriefly is what else a picture of a claim must tell, lest it mislead: what it is with the hands
// where they were, where that is something else; how hard the hold as a whole gets, beside a force or
// a moment in it; and in how many pairs of a contrast it is so, under the first model.
func AlsoBriefly(r *outcome.Result, l words.Language) string {
	if r.Claim.Contrast != nil {
		return inPairs(r, l)
	}
	var parts []string
	for i := range r.Models {
		m := &r.Models[i]
		own := SizesOf(r.Claim, m.Model.Statics)
		tell := func(p words.Phrase, low, middle, high float64, size *ClaimSizes) {
			text := l.Say(p, size.Open(low, middle, high, l, func(middle, span string) string { return middle + " (" + span + ")" }))
			if Parted(r, m) { // the middle of all is nobody's
				text = l.Say(p, l.Effect(size.Between(low, high))+l.Say(inMiddle(r)))
			}
			if len(r.Models) > 1 {
				text = words.Capital(m.Name) + ": " + text
			}
			parts = append(parts, text)
		}
		low, high, told := widest(r, m, func(d *outcome.Draws) outcome.Summary { return d.InUnit })
		from, to, stays := widest(r, m, func(d *outcome.Draws) outcome.Summary { return d.Under[scenario.SameSpacing.String()].Effect })
		if told && stays && own.Between(from, to) != own.Between(low, high) {
			tell(words.PhraseHandsStay, from, *m.Pooled.Draws.Under[scenario.SameSpacing.String()].Effect.P50, to, &own)
		}
		if from, to, told = widest(r, m, wholeOf); told {
			phrase := words.PhraseWhole
			if ch := r.Claim.Change; ch != nil && ch.Arms != nil && ch.Hold == nil {
				phrase = words.PhraseWholeGrip
			}
			tell(phrase, from, *wholeOf(m.Pooled.Draws).P50, to, &ClaimSizes{words.SizesOf(hold.Difficulty, m.Model.Statics)})
		}
	}
	return strings.Join(parts, " ")
}

// wholeOf is how hard the hold as a whole gets; empty where that is not told.
func wholeOf(d *outcome.Draws) outcome.Summary {
	if d.Difficulty == nil {
		return outcome.Summary{}
	}
	return *d.Difficulty
}

// widest is from where to where something lies in the draws of all under a model, or where the people
// part in those of any of them.
func widest(r *outcome.Result, m *outcome.ModelResult, of func(*outcome.Draws) outcome.Summary) (low, high float64, told bool) {
	draws := []*outcome.Draws{m.Pooled.Draws}
	if Parted(r, m) {
		draws = names.Each(m.Groups, func(g outcome.Outcome) *outcome.Draws { return g.Draws })
	}
	low, high = math.Inf(1), math.Inf(-1)
	for _, d := range draws {
		e := of(d)
		if e.P5 == nil || e.P95 == nil {
			return 0, 0, false
		}
		low, high = min(low, *e.P5), max(high, *e.P95)
	}
	return low, high, true
}

// underRule is the effect under a rule of posture, as far as it goes for any of the people.
func underRule(r *outcome.Result, m *outcome.ModelResult, rule scenario.PostureRule) outcome.Summary {
	of := func(d *outcome.Draws) outcome.Summary { return d.Under[rule.String()].Effect }
	effect := of(m.Pooled.Draws)
	if low, high, told := widest(r, m, of); told {
		effect.P5, effect.P95 = &low, &high
	}
	return effect
}

// inPairs is in how many of a hundred pairs a contrast is so, and from how many to how many by what
// nobody has measured; empty where nothing is said to be.
func inPairs(r *outcome.Result, l words.Language) string {
	rows := slices.DeleteFunc(slices.Clone(r.Contrast), func(c outcome.ContrastResult) bool {
		return c.Model != r.Contrast[0].Model || c.Draws.Greater.P50 == nil
	})
	if len(rows) == 0 || r.Claim.Expect == claim.None {
		return ""
	}
	told := make([]string, len(rows))
	for i, c := range rows {
		low, middle, high := *c.Draws.Greater.P5, *c.Draws.Greater.P50, *c.Draws.Greater.P95
		if r.Claim.Expect == claim.Decrease {
			low, middle, high = 1-high, 1-middle, 1-low
		}
		told[i] = ofHundred(middle)
		if from, to := ofHundred(low), ofHundred(high); from != to {
			told[i] += l.Effect(" (" + words.Interval(from, to) + ")")
		}
		if len(rows) > 1 {
			told[i] += l.Say(words.PhraseFor, l.Sexes(c.People))
		}
	}
	return l.Say(words.PhrasePairs, l.And(told))
}

// ofHundred is a share as so many of a hundred; all of them where it is all.
func ofHundred(share float64) string {
	if n := math.Round(100 * share); share == 1 || n < 100 {
		return words.Number(n, 0)
	}
	return "99"
}

// drawsSay is the most frequent verdict of the draws for each of the people.
func drawsSay(r *outcome.Result, l words.Language) string {
	switch {
	case r.Verdict == claim.NoEffect && l == words.English:
		return noEffectReason(r)
	case r.Verdict == claim.NoEffect, r.Verdict == claim.NobodyHolds:
		return l.Answer(r.Verdict, r.Claim.Expect) + "."
	}
	parts := tally(r, l, words.Share, func(how string, v claim.Verdict) string {
		return l.Say(words.PhraseShareSays, how, l.Answer(v, r.Claim.Expect))
	})
	text := l.Say(words.PhraseDrawsSay, l.Effect(words.Count(max(r.Draws, 1))), strings.Join(parts, "; "))
	if (!r.Verdict.Settled() || r.Verdict == claim.SizeOpen) && r.Verdict != claim.OpenSampling {
		text += l.Say(words.PhraseWouldSettle, words.NoBreak(words.Percent(drawsThatMustAgree, 0)))
	}
	return text
}

// tally says for each verdict that is the most frequent of some people's draws how many of them
// give it, for whom.
func tally(r *outcome.Result, l words.Language, write func(float64) string, says func(how string, v claim.Verdict) string) []string {
	whom, shares := map[claim.Verdict][][]string{}, map[claim.Verdict][]float64{} // by verdict: which share for whom
	var verdicts []claim.Verdict
	asked := 0
	for _, p := range r.Parts() {
		most, n := mostFrequent(p.Draws)
		who, share := l.Sexes(p.People), float64(n)/float64(p.Draws.N)
		if len(r.Models) > 1 {
			who += " (" + p.Model + ")"
		}
		if k := len(shares[most]) - 1; k >= 0 && write(shares[most][k]) == write(share) {
			whom[most][k] = append(whom[most][k], who)
		} else {
			whom[most], shares[most] = append(whom[most], []string{who}), append(shares[most], share)
		}
		verdicts, asked = names.Once(verdicts, most), asked+1
	}
	var parts []string
	for _, v := range verdicts {
		told := make([]string, len(shares[v]))
		for k, share := range shares[v] {
			told[k] = l.Effect(write(share)) + l.Say(words.PhraseFor, l.And(whom[v][k]))
		}
		how := l.And(told)
		if asked > 2*mostQuoted { // too many to name
			how = l.Effect(words.Over(shares[v], write))
		}
		parts = append(parts, says(how, v))
	}
	return parts
}

// mostFrequent is the verdict that most draws give, and how many do.
func mostFrequent(d *outcome.Draws) (most claim.Verdict, n int) {
	for v := claim.Supported; v <= claim.NobodyHolds; v++ {
		if k := d.Verdicts[v.String()]; k > n {
			most, n = v, k
		}
	}
	return most, n
}

// whatDecides names what leaves the verdict open.
func whatDecides(r *outcome.Result, l words.Language) string {
	name, share := deciding(r)
	switch {
	case r.Verdict.Settled() && r.Verdict != claim.SizeOpen:
		return l.Say(words.PhraseAllAgree)
	case r.Verdict == claim.OpenModels && l == words.English:
		return otherModel(r)
	case r.Verdict == claim.OpenModels:
		return l.Answer(r.Verdict, r.Claim.Expect) + "."
	case name == "":
		return l.Say(words.PhraseNoneDecides)
	}
	return l.Say(words.PhraseExplains, words.Capital(l.Unknown(name)), l.Effect(words.Share(min(share, 1))))
}

// wasMeasured is what force plates measured of it, beside the model.
func wasMeasured(r *outcome.Result, l words.Language) string {
	m := MeasuredOf(r.Claim)
	switch {
	case m == nil && MeasuredOnPlates(r.Claim):
		return l.Say(words.PhraseChecked)
	case m == nil:
		return l.Say(words.PhraseNothingMeasured)
	}
	measured, model := m.sizes(r.Claim, l)
	heights := ""
	if !m.like {
		heights = l.Say(words.PhraseOtherHeights)
	}
	text := l.Say(words.PhraseAgainstPlates, measured, heights, model, strings.Join(m.studies, ", "))
	if PlatesOutweigh(r) {
		text += l.Say(words.PhraseOutweighed)
	}
	return text
}

// platesBriefly is what force plates measured of a claim's effect; empty where they did not.
func platesBriefly(r *outcome.Result, l words.Language) string {
	if m := MeasuredOf(r.Claim); m != nil {
		if _, _, told := m.Reach(r.Claim); told {
			measured, _ := m.sizes(r.Claim, l)
			return l.Say(words.PhraseOnPlates, measured)
		}
	}
	return ""
}

// Citation is the line by which a result can be found and made again: the tool, its
// version, the claim, seed, number of bodies, and hashes of the data sets and of the
// whole study. It has no date.
func Citation(r *outcome.Result, stamp *provenance.Stamp, l words.Language) (string, error) {
	data, err := stamp.DataHash()
	if err != nil {
		return "", err
	}
	return l.Say(words.PhraseCited, stamp.Tool+" "+stamp.Version, r.Claim.Name, strconv.FormatUint(r.Seed, 10), l.Effect(words.Count(r.N)), data[:12], stamp.StudyHash()[:12]), nil
}

// Source says where the evidence of a result is: at an address, if one was given, else in which
// study of which version, by which it can be found and made again.
func Source(r *outcome.Result, stamp *provenance.Stamp, l words.Language, address string) string {
	if address != "" {
		return l.Say(words.PhraseEvidence, address)
	}
	return strings.Join([]string{stamp.Tool + " " + stamp.Version, l.Say(words.PhraseClaim, r.Claim.Name), l.Say(words.PhraseStudy, stamp.StudyHash()[:12])}, ", ") + "."
}
