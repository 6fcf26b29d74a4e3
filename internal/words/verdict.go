package words

import (
	"slices"
	"strings"

	"counterpoise/sim/claim"
	"counterpoise/sim/names"
)

// VerdictWords is how one verdict is spoken of.
type VerdictWords struct {
	Name  string // as it is pronounced
	Short string // in a list of them
	Mark  string // tells verdicts apart without colour
	Kind  string // of what a chart counts: verdicts that come to the same for somebody who scans it
	Brief string // what it stands for, of any claim

	// What it stands for in full, of a claim that a change raises or lowers something,
	// that it makes no difference, and about two groups of people; empty where it means
	// the same as the first. SHARE stands for the share of bodies that the claim asks for.
	change, none, contrast string
}

// verdicts are the words of all verdicts, the one table of them. What is said of draws
// goes for at least 95 % of them.
var verdicts = [...]VerdictWords{
	claim.Supported: {"supported", "supported", "✓", "supported", "In nearly all tries of what nobody has measured nearly all bodies move as claimed, by enough to matter.",
		"At least SHARE of bodies move as claimed, by enough to matter.",
		"For at least SHARE of bodies the effect is too small to matter, as claimed.",
		"The groups' medians differ as claimed, by enough to matter."},
	claim.LessThanSaid: {"supported, but less than said", "supported, less", "✓−", "supported but less than said", "True, but by less than the saying promises.",
		"At least SHARE of bodies move as claimed, by enough to matter, but most by less than the saying promises.", "",
		"The groups' medians differ as claimed, but by less than the saying promises."},
	claim.MoreThanSaid: {"supported, and more than said", "supported, more", "✓+", "supported and more than said", "True, and by more than the saying promises.",
		"At least SHARE of bodies move as claimed, by enough to matter, and most by more than the saying promises.", "",
		"The groups' medians differ as claimed, and by more than the saying promises."},
	claim.SizeOpen: {"supported, by how much is not settled", "way as said, size not settled", "(✓)", "supported with the size not settled", "True; whether by as much as the saying promises is not settled.",
		"At least SHARE of bodies move as claimed, by enough to matter; whether by as much as the saying promises is not settled.", "",
		"The groups' medians differ as claimed; whether by as much as the saying promises is not settled."},
	claim.Contradicted: {"contradicted", "contradicted", "✗", "contradicted", "In nearly all tries nearly all move the other way, by enough to matter.",
		"At least SHARE of bodies move the other way, by enough to matter.",
		"For at least SHARE of bodies there is an effect that matters, against the claim.",
		"The groups' medians differ the other way, by enough to matter."},
	claim.NoDifference: {"no difference that matters", "no difference", "≈", "no difference that matters", "In nearly all tries nearly all move by too little to matter.",
		"At least SHARE of bodies move by too little to matter.", "",
		"The groups' medians differ by too little to matter."},
	claim.NoEffect: {"exactly no effect", "exactly no effect", "=", "no difference that matters", "Nothing moves; the claim’s page says why.",
		"Nothing moves, for any body, under any assumption: the quantity does not depend on the change.", "", ""},
	claim.DependsOnBody: {"depends on the body", "depends on the body", "±", "depends on the body", "None of these holds for everybody; the claim’s page says what it depends on.",
		"No outcome holds for SHARE of bodies in every population: it depends on the body.", "", ""},
	claim.OpenAssumptions: {"not settled: assumptions", "not settled", "?", "not settled",
		"It depends on what nobody has measured; the claim’s page says what.",
		"No verdict holds often enough across what nobody has measured.", "", ""},
	claim.OpenModels: {"not settled: models", "not settled", "?", "not settled",
		"The models disagree; the claim’s page gives the verdict of each.",
		"The models give different verdicts, and nothing shows which one is right.", "", ""},
	claim.OpenSampling: {"not settled: sampling", "not settled", "?", "not settled", "Too close to call with this many draws.",
		"The share of draws that agree is so close to 95 % that more draws are needed.", "", ""},
	claim.NobodyHolds: {"not settled: nobody takes the posture", "not settled", "?", "not settled", "No simulated body can take the posture.",
		"No simulated body can take the posture, before or after the change.", "", "Hardly any simulated body can take the posture."},
}

// Verdicts are the words of all verdicts, in their order.
func Verdicts() []VerdictWords { return verdicts[:] }

// Tallied says in the middle of a sentence that so many claims have verdicts of a kind.
func Tallied(n int, kind string) string {
	text := tallied[kind]
	if n != 1 {
		text = strings.NewReplacer("goes", "go", "is true", "are true", "makes", "make", "depends", "depend", "differs", "differ", "is not", "are not").Replace(text)
	}
	return Count(n) + "\u00a0" + text
}

var tallied = map[string]string{
	"supported": "is true", "supported but less than said": "is true but by less than said", "supported and more than said": "is true and by more than said",
	"supported with the size not settled": "goes the way said but by how much is open", "contradicted": "goes the other way",
	"no difference that matters": "makes no difference", "depends on the body": "depends on the body", "not settled": "is not settled",
	Differs: "differs between those asked about",
}

// Differs stands among the kinds of verdicts for one that is not the same of all people.
const Differs = "differs"

// Legend are what the marks stand for, each once: why something is not settled is left to where
// it is said.
func Legend() []VerdictWords {
	var list []VerdictWords
	for _, w := range verdicts {
		if !slices.ContainsFunc(list, func(v VerdictWords) bool { return v.Mark == w.Mark }) {
			if w.Kind == "not settled" {
				w.Brief = "Nobody can tell yet; the claim’s page says why."
			}
			list = append(list, w)
		}
	}
	return list
}

// Plainly is a verdict in a few words, beside its mark.
func (w VerdictWords) Plainly() string {
	switch w.Mark {
	case verdicts[claim.OpenAssumptions].Mark:
		return w.Short + ": nobody can tell yet"
	case verdicts[claim.Supported].Mark:
		return w.Name + ": it comes out so"
	case verdicts[claim.Contradicted].Mark:
		return w.Name + ": it goes the other way"
	}
	return w.Name
}

// Verdict is how a verdict is spoken of.
func Verdict(v claim.Verdict) VerdictWords { return verdicts[v] }

// String is the verdict as it is pronounced.
func (w VerdictWords) String() string { return w.Name }

// verdictNamed is the number of the verdict of a name, -1 where there is none.
func verdictNamed(name string) int {
	return slices.Index(names.All(claim.Verdict(len(verdicts))), name)
}

// VerdictMark is the mark of the verdict of a name.
func VerdictMark(name string) string {
	if v := verdictNamed(name); v >= 0 {
		return verdicts[v].Mark
	}
	return ""
}

// VerdictShort is the short word for the verdict of a name.
func VerdictShort(name string) string {
	if v := verdictNamed(name); v >= 0 {
		return verdicts[v].Short
	}
	return name
}

// Means says what a verdict on a claim stands for.
func (w VerdictWords) Means(c *claim.Claim) string {
	text := w.change
	switch {
	case c.Contrast != nil && w.contrast != "":
		text = w.contrast
	case c.Contrast == nil && c.Expect == claim.None && w.none != "":
		text = w.none
	}
	return strings.ReplaceAll(text, "SHARE", Least(c))
}

// Answer is a verdict as it is said first, in capitals what it comes to: whether a saying
// that expects a direction is true.
func Answer(v claim.Verdict, expects claim.Direction) string {
	return Loud(English.Answer(v, expects))
}

// Loud puts what stands before a colon, or all of an answer without one, into capitals.
func Loud(answer string) string {
	head, rest, explained := strings.Cut(answer, ": ")
	if head = strings.ToUpper(head); explained {
		return head + ": " + rest
	}
	return head
}

// Finding is Answer within a title: what stands before the size of the effect, or in its
// place where nothing is to follow, and what stands behind it.
func Finding(v claim.Verdict, expects claim.Direction) (before, behind string, sized bool) {
	head, rest, _ := strings.Cut(Answer(v, expects), ": ")
	switch {
	case v == claim.NobodyHolds:
		return rest, "", false
	case v == claim.SizeOpen:
		_, behind, _ = strings.Cut(English.Answer(v, expects), ", ")
		return "", behind, true
	case !v.Settled():
		return strings.ToLower(head), "", true
	case rest != "":
		return rest, "", v != claim.NoEffect && v != claim.NoDifference && !(v == claim.Supported && expects == claim.None)
	}
	_, behind, _ = strings.Cut(strings.ToLower(head), "true, ")
	if behind == "" && head != "TRUE" {
		return strings.ToLower(head), "", true
	}
	return "", behind, true
}
