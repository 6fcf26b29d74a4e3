// Package verdict is the rule by which a claim is judged, apart from what it is about: what
// the effects on many bodies say, in one draw of what is not known of the bodies, what many draws
// agree on, and what several populations and models say together.
package verdict

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
	NumVerdicts
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

// Of applies the rule of one draw to how many bodies go which way: a verdict needs
// the share p of them behind it. Where no body counts there is nothing to judge.
func Of(s Shares, p float64, expect Direction) Verdict {
	none := expect == None
	switch {
	case math.IsNaN(s.Zero):
		return NobodyHolds
	case none && s.Zero >= p, !none && s.Plus >= p:
		return Supported
	case none && 1-s.Zero >= p, !none && s.Minus >= p:
		return Contradicted
	case !none && s.Zero >= p:
		return NoDifference
	}
	return DependsOnBody
}

// OfDifference applies the rule to one difference, in the expected direction, that is
// unknown where it is not a number.
func OfDifference(e, threshold float64, expect Direction) Verdict {
	none := expect == None
	switch {
	case math.IsNaN(e):
		return NobodyHolds
	case none && math.Abs(e) <= threshold, !none && e > threshold:
		return Supported
	case none, e < -threshold:
		return Contradicted
	}
	return NoDifference
}

// DrawsThatMustAgree is the share of the draws that must give a verdict for it to be
// the model's.
const DrawsThatMustAgree = 0.95

// Settle returns the verdict of at least DrawsThatMustAgree of the draws, given the
// draws' own by replicate, and the share of them that go the most frequent way. At the
// given confidence that share's interval excludes the one asked for, unless the
// verdict is OpenSampling. A size that too few draws are seen to agree on is open.
func Settle(replicates [][]Verdict, confidence float64) (v Verdict, agreement Share) {
	most, agreement := Frequent(replicates, confidence, Verdict.Direction)
	switch {
	case agreement.Low > DrawsThatMustAgree && most != Supported:
		return most, agreement
	case agreement.Low > DrawsThatMustAgree:
	case agreement.High < DrawsThatMustAgree:
		return OpenAssumptions, agreement
	default:
		return OpenSampling, agreement
	}
	size, sized := Frequent(replicates, confidence, func(v Verdict) Verdict { return v })
	if sized.Low > DrawsThatMustAgree {
		return size, agreement
	}
	return SizeOpen, agreement
}

// Enough reports whether more draws could hardly change what Settle says: they do not
// agree or disagree by chance, on the direction nor, where that is settled, on the size.
func Enough(replicates [][]Verdict, confidence float64) bool {
	clear := func(agreement Share) bool {
		return agreement.Low > DrawsThatMustAgree || agreement.High < DrawsThatMustAgree
	}
	most, agreement := Frequent(replicates, confidence, Verdict.Direction)
	if most != Supported || !(agreement.Low > DrawsThatMustAgree) {
		return clear(agreement)
	}
	_, sized := Frequent(replicates, confidence, func(v Verdict) Verdict { return v })
	return clear(sized)
}

// Frequent returns the most frequent verdict as seen by a function, and the share of the
// draws behind it with its interval.
func Frequent(replicates [][]Verdict, confidence float64, as func(Verdict) Verdict) (most Verdict, agreement Share) {
	var count [NumVerdicts]int
	for _, draws := range replicates {
		for _, v := range draws {
			count[as(v)]++
		}
	}
	for v := range NumVerdicts {
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

// Together returns the verdict over several populations: their common one. Where two
// that are settled differ it depends on the body; where one is not settled, neither is
// the whole. Populations in which nobody takes the posture say nothing.
func Together(each []Verdict) Verdict { return join(each, DependsOnBody) }

// Overall joins the verdicts of the models: their common one, or that they disagree
// where two that are settled differ. direction reports whether they contradict each
// other in direction, and not only in size.
func Overall(models []Verdict) (v Verdict, direction bool) {
	var seen [NumVerdicts]bool
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
