package claim

import "counterpoise/sim/verdict"

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
