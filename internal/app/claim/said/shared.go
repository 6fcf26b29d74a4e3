package said

import (
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

// InOneSentence is the answer to a saying in a language: whether it is true, and by how much.
func InOneSentence(r *outcome.Result, l words.Language) string {
	text := OpenFor(l.Answer(r.Verdict, r.Claim.Expect), r, l)
	if size := sizeOfAnswer(r); size != "" {
		glue := ": "
		if strings.Contains(text, ":") {
			glue = ", "
		}
		text += glue + l.Effect(size)
	}
	if promised := promised(r.Claim); promised != "" && (r.Verdict == claim.LessThanSaid || r.Verdict == claim.MoreThanSaid) {
		text += l.Say(words.PhraseNot, l.Effect(promised))
	}
	if r.Central {
		text += l.Say(words.PhraseCentral)
	}
	return words.NoBreak(text + never(r, l) + ".")
}

// sizeOfAnswer is how large an effect is that a settled verdict is about; else it is empty.
func sizeOfAnswer(r *outcome.Result) string {
	switch r.Verdict {
	case claim.Supported, claim.LessThanSaid, claim.MoreThanSaid, claim.SizeOpen, claim.Contradicted:
	default:
		return ""
	}
	if r.Claim.Expect == claim.None && r.Verdict == claim.Supported {
		return ""
	}
	size := SizesOf(r.Claim, r.Models[0].Model.Statics)
	if e := r.Models[0].Pooled.Draws; r.Claim.Contrast == nil && len(r.Models) == 1 && e.InUnit.P50 != nil && r.Verdict != claim.SizeOpen {
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

// OpenFor puts for whom an open verdict is open, where it is settled for others, into an
// answer.
func OpenFor(answer string, r *outcome.Result, l words.Language) string {
	if r.Verdict != claim.OpenAssumptions || len(r.Models) != 1 {
		return answer
	}
	groups := r.Models[0].Groups
	var open []string
	for _, g := range groups {
		if !g.Verdict.Settled() {
			open = append(open, l.Sexes(g.People))
		}
	}
	if len(open) == 0 || len(open) == len(groups) {
		return answer
	}
	head, rest, more := strings.Cut(answer, ":")
	if head += l.Say(words.PhraseFor, strings.Join(open, ", ")); more {
		head += ":" + rest
	}
	return head
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
	verdict := l.Answer(r.Verdict, c.Expect)
	if !r.Verdict.Settled() {
		verdict, _, _ = strings.Cut(verdict, ":")
	}
	if verdict = strings.ToLower(verdict[:1]) + verdict[1:]; r.Central {
		verdict += l.Say(words.PhraseCentral)
	}
	middle, by := l.Say(words.PhraseInMiddle), ""
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
	if low, high, told := middleReach(r); told && r.Verdict != claim.NoEffect && r.Verdict != claim.NobodyHolds {
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

// Sure is one line of how sure a result is.
type Sure struct{ Of, Says string }

// HowSure says in three lines of a language how often the draws of what nobody has measured come
// out alike, what decides whether they do, and what was measured.
func HowSure(r *outcome.Result, l words.Language) []Sure {
	return []Sure{{l.Say(words.PhraseAgree), drawsSay(r, l)}, {l.Say(words.PhraseDecides), whatDecides(r, l)}, {l.Say(words.PhraseMeasured), wasMeasured(r, l)}}
}

// SureBriefly says in a sentence how sure a result is.
func SureBriefly(r *outcome.Result, l words.Language) string {
	name, _ := deciding(r)
	switch {
	case r.Central:
		return l.Say(words.PhraseSureCentral)
	case r.Verdict.Settled() && r.Verdict != claim.SizeOpen:
		return l.Say(words.PhraseSureAgree)
	case name == "":
		return l.Say(words.PhraseSureNone)
	}
	return l.Say(words.PhraseSureOpen, l.Unknown(name))
}

// drawsSay is the most frequent verdict of the draws for each of the people.
func drawsSay(r *outcome.Result, l words.Language) string {
	switch {
	case r.Verdict == claim.NoEffect && l == words.English:
		return noEffectReason(r)
	case r.Verdict == claim.NoEffect, r.Verdict == claim.NobodyHolds:
		return l.Answer(r.Verdict, r.Claim.Expect) + "."
	}
	whom, shares := map[claim.Verdict][][]string{}, map[claim.Verdict][]float64{} // by verdict: which share for whom
	var verdicts []claim.Verdict
	asked := 0
	for _, p := range r.Parts() {
		most, n := mostFrequent(p.Draws)
		who, share := l.Sexes(p.People), float64(n)/float64(p.Draws.N)
		if len(r.Models) > 1 {
			who += " (" + p.Model + ")"
		}
		if k := len(shares[most]) - 1; k >= 0 && words.Share(shares[most][k]) == words.Share(share) {
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
			told[k] = l.Effect(words.Share(share)) + l.Say(words.PhraseFor, l.And(whom[v][k]))
		}
		how := l.And(told)
		if asked > 2*mostQuoted { // too many to name
			how = l.Effect(words.Over(shares[v], words.Share))
		}
		parts = append(parts, l.Say(words.PhraseShareSays, how, l.Answer(v, r.Claim.Expect)))
	}
	text := l.Say(words.PhraseDrawsSay, l.Effect(words.Count(max(r.Draws, 1))), strings.Join(parts, "; "))
	if !r.Verdict.Settled() || r.Verdict == claim.SizeOpen {
		text += l.Say(words.PhraseWouldSettle, words.NoBreak(words.Percent(drawsThatMustAgree, 0)))
	}
	return text
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
