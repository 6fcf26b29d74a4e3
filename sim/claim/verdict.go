package claim

import (
	"math"

	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
)

// Verdict is what a test says of a claim.
type Verdict int

// The verdicts.
const (
	Supported Verdict = iota
	Contradicted
	TooSmall
	DependsOnBody
	DependsOnAssumptions
	DependsOnModel
	NoEffect
	Undecided
	numVerdicts
)

var verdicts = names.List[Verdict]{
	"supported", "contradicted", "too small to matter", "depends on the body",
	"depends on the assumptions", "depends on the model", "exactly no effect", "undecided at this sample size",
}

// String returns the verdict in words.
func (v Verdict) String() string { return verdicts.Of(v) }

// MarshalText writes the verdict in words.
func (v Verdict) MarshalText() ([]byte, error) { return verdicts.Marshal(v) }

// shares are the parts of the bodies whose effect, in the expected direction, is
// above the threshold, within it, and below its negative. They add up to one.
type shares struct{ plus, zero, minus float64 }

// judge applies the first rule to one set of bodies: a verdict needs the share
// p of them behind it. Where no body counts there is nothing to judge.
func judge(s shares, p float64, expect Direction) Verdict {
	if math.IsNaN(s.zero) {
		return Undecided
	}
	if expect == None {
		switch {
		case s.zero >= p:
			return Supported
		case 1-s.zero >= p:
			return Contradicted
		}
		return DependsOnBody
	}
	switch {
	case s.plus >= p:
		return Supported
	case s.minus >= p:
		return Contradicted
	case s.zero >= p:
		return TooSmall
	}
	return DependsOnBody
}

// drawsThatMustAgree is the share of assumption draws that must give a verdict
// for it to be the model's.
const drawsThatMustAgree = 0.95

// common returns the verdict that at least drawsThatMustAgree of the draws
// hold, and the share of the draws that hold the most frequent one.
func common(draws []Verdict) (v Verdict, agreement float64) {
	var count [numVerdicts]int
	most := Verdict(0)
	for _, d := range draws {
		count[d]++
	}
	for d := range numVerdicts {
		if count[d] > count[most] {
			most = d
		}
	}
	agreement = float64(count[most]) / float64(len(draws))
	if agreement >= drawsThatMustAgree {
		return most, agreement
	}
	return DependsOnAssumptions, agreement
}

// together returns the verdict over several populations from the one of all bodies
// pooled and those of each population: the pooled one unless they differ. Then it
// depends on the body, but where only the assumptions are in the way of one of them,
// it is on these that it depends.
func together(pooled Verdict, each []Verdict) Verdict {
	definite, differ, open := numVerdicts, false, false
	for _, v := range each {
		switch {
		case v == Undecided:
			return Undecided
		case v == DependsOnAssumptions:
			open = true
		case definite == numVerdicts:
			definite = v
		case v != definite:
			differ = true
		}
	}
	switch {
	case pooled == Undecided, pooled == DependsOnBody:
		return pooled
	case differ:
		return DependsOnBody
	case open && definite != numVerdicts:
		return DependsOnAssumptions
	}
	return pooled
}

// decisionConfidence is the confidence of the intervals that must exclude the
// share p before a verdict is given.
const decisionConfidence = 0.99

// decided reports whether the interval around every share that the rule
// compares with p excludes p.
func decided(c counts, p float64, expect Direction) bool {
	total := c.total()
	compared := []int64{c.plus, c.zero, c.minus}
	if expect == None {
		compared = []int64{c.zero, total - c.zero}
	}
	for _, k := range compared {
		low, high := montecarlo.Wilson(k, total, decisionConfidence)
		if low <= p && p <= high {
			return false
		}
	}
	return true
}

// counts are the bodies behind shares.
type counts struct{ plus, zero, minus int64 }

func (c counts) total() int64 { return c.plus + c.zero + c.minus }

func (c counts) shares() shares {
	n := float64(c.total())
	if n == 0 {
		return shares{math.NaN(), math.NaN(), math.NaN()}
	}
	return shares{float64(c.plus) / n, float64(c.zero) / n, float64(c.minus) / n}
}

func (c *counts) add(o counts) {
	c.plus += o.plus
	c.zero += o.zero
	c.minus += o.minus
}

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

// overall joins the verdicts of the models: their common one, or that it
// depends on the model. direction reports whether they contradict each other
// in direction, and not only in size.
func overall(models []Verdict) (v Verdict, direction bool) {
	var seen [numVerdicts]bool
	v = models[0]
	for _, m := range models {
		seen[m] = true
		if m != v {
			v = DependsOnModel
		}
	}
	for _, m := range models {
		if m == Undecided {
			v = Undecided
		}
	}
	return v, seen[Supported] && seen[Contradicted]
}
