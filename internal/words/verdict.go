package words

import (
	"strings"

	"counterpoise/sim/claim"
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

// verdicts are the words of all verdicts, the one table of them.
var verdicts = [...]VerdictWords{
	claim.Supported: {"supported", "supported", "✓", "supported", "At least 95 % of bodies move as claimed by more than what matters.",
		"At least SHARE of bodies move as claimed by more than what matters.",
		"For at least SHARE of bodies the effect is too small to matter, as claimed.",
		"The groups' medians differ as claimed by more than what matters, sampling error allowed for."},
	claim.Contradicted: {"contradicted", "contradicted", "✗", "contradicted", "At least 95 % move the other way by more than what matters.",
		"At least SHARE of bodies move the other way by more than what matters.",
		"For at least SHARE of bodies there is an effect that matters, against the claim.",
		"The groups' medians differ the other way by more than what matters, sampling error allowed for."},
	claim.TooSmall: {"too small to matter", "too small to matter", "≈", "with no effect that matters", "At least 95 % move by less.",
		"At least SHARE of bodies move by less than what matters.", "",
		"The groups' medians differ by less than what matters, sampling error allowed for."},
	claim.DependsOnBody: {"depends on the body", "depends on the body", "±", "that depend", "None of these; the claim’s page says on what.",
		"No outcome holds for SHARE of bodies, or not for every population: it depends on whose body it is.", "", ""},
	claim.DependsOnAssumptions: {"depends on the assumptions", "depends on the assumptions", "±", "that depend",
		"Too few draws of what nobody has measured agree; the page says on which it hangs.",
		"What nobody has measured decides: over the assumptions' ranges no verdict holds often enough.", "", ""},
	claim.DependsOnModel: {"depends on the model", "depends on the model", "±", "that depend",
		"The models of statics disagree; the page says how each judges, and why.",
		"The models of statics that were asked give different verdicts.", "", ""},
	claim.NoEffect: {"exactly no effect", "exactly no effect", "=", "with no effect that matters", "Nothing moves, for a reason that the page gives.",
		"Nothing moves, for any body, under any assumption: the quantity does not depend on the change.", "", ""},
	claim.Undecided: {"undecided at this sample size", "undecided", "?", "undecided", "A share is too close to call at the number of bodies drawn.",
		"A share of bodies is too close to SHARE to call at this number of bodies.", "", ""},
}

// Verdicts are the words of all verdicts, in their order.
func Verdicts() []VerdictWords { return verdicts[:] }

// Verdict is how a verdict is spoken of.
func Verdict(v claim.Verdict) VerdictWords { return verdicts[v] }

// String is the verdict as it is pronounced.
func (w VerdictWords) String() string { return w.Name }

// VerdictMark is the mark of the verdict of a name.
func VerdictMark(name string) string {
	for v := range verdicts {
		if claim.Verdict(v).String() == name {
			return verdicts[v].Mark
		}
	}
	return ""
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
	return strings.ReplaceAll(text, "SHARE", Share(c.Share))
}
