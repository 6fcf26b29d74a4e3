// Package claim decides whether a rule of thumb is true: for whom, by how much,
// under which model and how surely.
//
// A claim is a sentence with a hold, people, a change of the same body (or a contrast between
// different people), a quantity, the direction in which it is said to move, the smallest effect
// that matters and, where the sentence promises one, the size. Test draws people, holds each of
// them up before and after, and applies one stated rule to the paired effects. Three kinds of not
// knowing are kept apart: people differ (drawn), assumptions are uncertain (an outer loop over
// their ranges), models differ (listed, never averaged).
package claim

import (
	"errors"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/plain"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
)

// What the verdict rule speaks of; see package verdict.
type (
	Verdict   = verdict.Verdict
	Direction = verdict.Direction
	Threshold = verdict.Threshold
	Claimed   = verdict.Claimed
	Share     = verdict.Share
)

// The verdicts, and the directions in which a claim says that its quantity moves.
const (
	Supported       = verdict.Supported
	LessThanSaid    = verdict.LessThanSaid
	MoreThanSaid    = verdict.MoreThanSaid
	SizeOpen        = verdict.SizeOpen
	Contradicted    = verdict.Contradicted
	NoDifference    = verdict.NoDifference
	NoEffect        = verdict.NoEffect
	DependsOnBody   = verdict.DependsOnBody
	OpenAssumptions = verdict.OpenAssumptions
	OpenModels      = verdict.OpenModels
	OpenSampling    = verdict.OpenSampling
	NobodyHolds     = verdict.NobodyHolds

	Increase      = verdict.Increase
	Decrease      = verdict.Decrease
	None          = verdict.None
	NumDirections = verdict.NumDirections
)

// Contrast compares different people, a top group against a bottom group: the top share of
// a measurement against the bottom share, those within a range of it against those within
// another, or women against men. Each person's difficulty is against what the median
// untrained person of their own sex, size, build and age gives, by one law for all.
type Contrast struct {
	By    anthro.Quantity // not looked at where it is sexes that are compared
	Share float64         // of the people in each of the two groups, at most ½; 0 where they are stated
	// Bottom and Top say within what By lies in the two groups, where they are stated.
	Bottom, Top anthro.Interval
	// Sexes compares the women, as the top group, with the men of a claim about one
	// population of each.
	Sexes bool
}

// Stated reports whether the groups are ranges, rather than shares of the people.
func (c *Contrast) Stated() bool { return c.Share == 0 }

// Name is what people are told apart by: "sex", or the quantity.
func (c *Contrast) Name() string {
	if c.Sexes {
		return "sex"
	}
	return c.By.String()
}

// check returns what is wrong with the contrast, or nil.
func (c *Contrast) check() error {
	switch ranges := [2]anthro.Interval{c.Bottom, c.Top}; {
	case c.Sexes:
	case c.Stated() && ranges != [2]anthro.Interval{}:
		if !(c.Bottom.Low <= c.Bottom.High && c.Top.Low <= c.Top.High) {
			return fault.New("contrast", c.Share, "a range of %s is the wrong way round, or no range", c.By)
		}
		if !(c.Bottom.High < c.Top.Low) {
			return fault.New("contrast", c.Top.Low, "the high group must lie above the low one: that ends at %g, found %g", c.Bottom.High, c.Top.Low)
		}
	case !(c.Share > 0 && c.Share <= 0.5):
		return fault.New("contrast", c.Share, "each group is a share of the people above 0 and at most 0.5, found %g", c.Share)
	}
	return nil
}

// Claim is a rule of thumb made testable.
type Claim struct {
	Name string
	Says string
	Why  string // why people believe it
	// Scenario is who is held up, and how; its change is what the claim is about, unless
	// that is a contrast.
	scenario.Scenario
	Contrast *Contrast
	Demand   hold.Demand // that is said to move
	Expect   Direction
	// Matters is the smallest effect that anybody would notice; where it is none, that of
	// DefaultMatters. Because says why one of the claim's own has its size.
	Matters Threshold
	Because string
	// Claimed is the size that the sentence promises; nil where it promises none.
	Claimed *Claimed
	Share   float64 // p: the share of bodies for which it must hold

	// Reason says, in the author's words, why the change alters the demand of
	// nobody; it is told where the verdict is exactly no effect.
	Reason string
}

// DefaultShare is the share of bodies for which a claim must hold to be supported.
const DefaultShare = 0.95

// Check reports everything that is wrong with the claim, as joined
// *fault.Error.
func (c *Claim) Check() error {
	if c == nil {
		return fault.New("claim", nil, "a claim is needed")
	}
	var wrong fault.List
	if c.Name == "" {
		wrong.Fail("claim", nil, "a claim needs a name")
	}
	if c.Says == "" {
		wrong.Fail("says", nil, "a claim needs a sentence")
	}
	wrong = append(wrong, plain.CheckName("claim", c.Name), plain.CheckText("says", c.Says), plain.CheckText("why", c.Why),
		plain.CheckText("matters_because", c.Because), plain.CheckText("no_effect_because", c.Reason))
	switch {
	case c.Change == nil && c.Contrast == nil:
		wrong.Fail("change", nil, "a claim needs a change or a contrast")
	case c.Change != nil && c.Contrast != nil:
		wrong.Fail("contrast", nil, "a claim has a change or a contrast, not both")
	case c.Contrast != nil:
		wrong.Add(c.Contrast.check())
	}
	if c.Expect < 0 || c.Expect >= NumDirections {
		wrong.Fail("expect", int(c.Expect), "no direction has the number %d", int(c.Expect))
	}
	if !(c.Share > 0.5 && c.Share < 1) {
		wrong.Fail("share", c.Share, "the share of bodies must be above 0.5 and below 1, found %g", c.Share)
	}
	held := c.Scenario.Check(c.Demand)
	if held == nil && len(c.Judging()) == 0 {
		wrong.Fail("models", c.Models[0].Statics, "%s gives no verdict: it is the lift-and-turn rule that is taught, and its forces do not balance; add %s, which gives one", c.Models[0].Statics, hold.Equilibrium)
	}
	return errors.Join(append(wrong, c.checkSizes(), held)...)
}

// Judging lists the claim's models from which verdicts follow; see hold.Model.Judges.
func (c *Claim) Judging() []scenario.Model {
	return slices.DeleteFunc(slices.Clone(c.Models), func(m scenario.Model) bool { return !m.Statics.Judges() })
}

// ruled applies the rule of one draw to how many bodies go which way.
func (c *Claim) ruled(s verdict.Shares) Verdict { return verdict.Of(s, c.Share, c.Expect) }

// sized adds to a verdict on a claim with a size in it, where it is supported, what the
// median effect says of that.
func (t *test) sized(v Verdict, r *reading) Verdict {
	return t.claim.Claimed.Size(v, t.sign*r.median, t.sign*r.percent/100)
}

// ClaimedAbout returns a promised size with the range that counts as said where the
// claim names no other.
func ClaimedAbout(value float64, share bool) *Claimed { return verdict.About(value, share) }

// Together returns the verdict over several populations.
func Together(each []Verdict) Verdict { return verdict.Together(each) }
