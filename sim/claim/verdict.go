package claim

import (
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
)

// Verdict is what a test says of a claim.
type Verdict int

// The verdicts.
const (
	Supported    Verdict = iota
	LessThanSaid         // supported, but by less than the saying promises
	MoreThanSaid         // supported, and by more
	SizeOpen             // supported, while it is open whether by as much as is said
	Contradicted
	NoDifference // none that matters
	NoEffect     // none at all, on anybody, whatever is assumed
	DependsOnBody
	OpenAssumptions // not settled, for want of measurements
	OpenModels      // not settled, for models that are a choice disagree
	OpenSampling    // not settled at the number of draws
	NobodyHolds     // no simulated body can take the posture before or after
	numVerdicts
)

var verdicts = names.List[Verdict]{
	"supported", "supported, but less than said", "supported, and more than said", "supported, by how much is not settled",
	"contradicted", "no difference that matters", "exactly no effect", "depends on the body",
	"not settled: assumptions", "not settled: models", "not settled: sampling", "not settled: nobody takes the posture",
}

// String returns the verdict in words.
func (v Verdict) String() string { return verdicts.Of(v) }

// MarshalText writes the verdict in words.
func (v Verdict) MarshalText() ([]byte, error) { return verdicts.Marshal(v) }

// UnmarshalText reads a verdict's words.
func (v *Verdict) UnmarshalText(text []byte) error { return verdicts.Unmarshal(v, text) }

// Settled reports whether the verdict says what is the case.
func (v Verdict) Settled() bool { return v <= DependsOnBody }

// Direction returns the verdict without what it says of the size: Supported for all
// that are supported.
func (v Verdict) Direction() Verdict {
	if v <= SizeOpen {
		return Supported
	}
	return v
}

// ruled applies the rule of one draw to how many bodies go which way: a verdict needs
// the claim's share of them behind it. Where no body counts there is nothing to judge.
func (c *Claim) ruled(s shares) Verdict {
	p, none := c.Share, c.Expect == None
	switch {
	case math.IsNaN(s.zero):
		return NobodyHolds
	case none && s.zero >= p, !none && s.plus >= p:
		return Supported
	case none && 1-s.zero >= p, !none && s.minus >= p:
		return Contradicted
	case !none && s.zero >= p:
		return NoDifference
	}
	return DependsOnBody
}

// shares are the parts of the bodies whose effect, in the expected direction, is
// above what matters, within it, and below its negative. They add up to one, and are no
// numbers where nobody counts.
type shares struct{ plus, zero, minus float64 }

func (s *shares) add(o shares, weight float64) {
	s.plus += float64(weight * o.plus)
	s.zero += float64(weight * o.zero)
	s.minus += float64(weight * o.minus)
}

func (s shares) over(total float64) shares {
	return shares{s.plus / total, s.zero / total, s.minus / total}
}

// claimed and against are the shares of bodies for whom the claim and its opposite hold.
func (s shares) claimed(expect Direction) float64 {
	if expect == None {
		return s.zero
	}
	return s.plus
}

func (s shares) against(expect Direction) float64 {
	if expect == None {
		return s.plus + s.minus
	}
	return s.minus
}

// sized adds to a verdict on a claim with a size in it, where it is supported, what the
// median effect says of that.
func (t *test) sized(v Verdict, r *reading) Verdict {
	said := t.claim.Claimed
	if v != Supported || said == nil {
		return v
	}
	size := t.sign * r.median
	if said.Share {
		size = t.sign * r.percent / 100
	}
	switch {
	case size < said.Low:
		return LessThanSaid
	case size > said.High:
		return MoreThanSaid
	}
	return Supported
}

// bodiesConfidence is the confidence with which the interval around a share of bodies
// must exclude p before no more of them are held up.
const bodiesConfidence = 0.99

// clear reports whether the interval around every share that the rule compares with p
// excludes p. Where nobody of the first counts, hardly anybody will.
func (c counts) clear(p float64, expect Direction) bool {
	total := c.total()
	if total == 0 {
		return true
	}
	compared := []int64{c.plus, c.zero, c.minus}
	if expect == None {
		compared = []int64{c.zero, total - c.zero}
	}
	for _, k := range compared {
		if low, high := montecarlo.Wilson(k, total, bodiesConfidence); low <= p && p <= high {
			return false
		}
	}
	return true
}

// counts are bodies by the direction in which their effect matters, if it does.
type counts struct{ plus, zero, minus int64 }

func (c counts) shares() shares {
	return shares{float64(c.plus), float64(c.zero), float64(c.minus)}.over(float64(c.total()))
}

func (c counts) total() int64 { return c.plus + c.zero + c.minus }

// count sorts one effect, already in the expected direction.
func (c *counts) count(effect, threshold float64) {
	switch {
	case effect > threshold:
		c.plus++
	case effect < -threshold:
		c.minus++
	default:
		c.zero++
	}
}

// drawsThatMustAgree is the share of the draws that must give a verdict for it to be
// the model's.
const drawsThatMustAgree = 0.95

// settle returns the verdict of at least drawsThatMustAgree of the draws, given the
// draws' own by replicate, and the share of them that go the most frequent way. At the
// given confidence that share's interval excludes the one asked for, unless the
// verdict is OpenSampling. A size that too few draws are seen to agree on is open.
func settle(replicates [][]Verdict, confidence float64) (v Verdict, agreement Share) {
	most, agreement := frequent(replicates, confidence, Verdict.Direction)
	switch {
	case agreement.Low > drawsThatMustAgree && most != Supported:
		return most, agreement
	case agreement.Low > drawsThatMustAgree:
	case agreement.High < drawsThatMustAgree:
		return OpenAssumptions, agreement
	default:
		return OpenSampling, agreement
	}
	size, sized := frequent(replicates, confidence, func(v Verdict) Verdict { return v })
	if sized.Low > drawsThatMustAgree {
		return size, agreement
	}
	return SizeOpen, agreement
}

// enough reports whether more draws could hardly change what settle says: they do not
// agree or disagree by chance, on the direction nor, where that is settled, on the size.
func enough(replicates [][]Verdict, confidence float64) bool {
	clear := func(agreement Share) bool {
		return agreement.Low > drawsThatMustAgree || agreement.High < drawsThatMustAgree
	}
	most, agreement := frequent(replicates, confidence, Verdict.Direction)
	if most != Supported || !(agreement.Low > drawsThatMustAgree) {
		return clear(agreement)
	}
	_, sized := frequent(replicates, confidence, func(v Verdict) Verdict { return v })
	return clear(sized)
}

// frequent returns the most frequent verdict as seen by a function, and the share of the
// draws behind it with its interval.
func frequent(replicates [][]Verdict, confidence float64, as func(Verdict) Verdict) (most Verdict, agreement Share) {
	var count [numVerdicts]int
	for _, draws := range replicates {
		for _, v := range draws {
			count[as(v)]++
		}
	}
	for v := range numVerdicts {
		if count[v] > count[most] {
			most = v
		}
	}
	agreeing := make([]int, len(replicates))
	for r, draws := range replicates {
		for _, v := range draws {
			if as(v) == most {
				agreeing[r]++
			}
		}
	}
	agreement.Value, agreement.Low, agreement.High = montecarlo.Agreement(agreeing, len(replicates[0]), confidence)
	return most, agreement
}

// together returns the verdict over several populations: their common one. Where two
// that are settled differ it depends on the body; where one is not settled, neither is
// the whole. Populations in which nobody takes the posture say nothing.
func together(each []Verdict) Verdict { return join(each, DependsOnBody) }

// overall joins the verdicts of the models: their common one, or that they disagree
// where two that are settled differ. direction reports whether they contradict each
// other in direction, and not only in size.
func overall(models []Verdict) (v Verdict, direction bool) {
	var seen [numVerdicts]bool
	for _, m := range models {
		seen[m.Direction()] = true
	}
	return join(models, OpenModels), seen[Supported] && seen[Contradicted]
}

// join returns the common verdict, or differ where two that are settled are about
// different things.
func join(each []Verdict, differ Verdict) Verdict {
	whole, open := NobodyHolds, NobodyHolds
	for _, v := range each {
		switch {
		case v == NobodyHolds || v == whole:
		case !v.Settled():
			if open == NobodyHolds {
				open = v
			}
		case whole == NobodyHolds, whole == NoEffect && v == NoDifference:
			whole = v
		case whole == NoDifference && v == NoEffect:
		case whole.Direction() == v.Direction():
			whole = SizeOpen
		default:
			return differ
		}
	}
	if open != NobodyHolds {
		return open
	}
	return whole
}

// exactly is the largest effect, as a share of the baseline, that counts as
// exactly none, and rounding the largest where the baseline itself is next to
// nothing: forces in body weights, angles in radians and lengths in metres come
// out of numbers of the order of one.
const (
	exactly  = 1e-9
	rounding = 1e-14
)

// moves reports whether an effect is more than rounding.
func moves(effect, before float64) bool {
	return !(math.Abs(effect) < max(exactly*math.Abs(before), rounding))
}
