package claim

import (
	"fmt"
	"slices"
	"testing"

	"counterpoise/sim/assume"
)

func TestRuled(t *testing.T) {
	for _, c := range []struct {
		plus, zero, minus float64
		expect            Direction
		want              Verdict
	}{
		{0.95, 0.03, 0.02, Increase, Supported},
		{0.949, 0.031, 0.02, Increase, DependsOnBody},
		{0.01, 0.02, 0.97, Increase, Contradicted},
		{0.01, 0.97, 0.02, Decrease, NoDifference},
		{0.4, 0.2, 0.4, Decrease, DependsOnBody},
		{0.01, 0.97, 0.02, None, Supported},
		{0.5, 0.04, 0.46, None, Contradicted},
		{0.3, 0.4, 0.3, None, DependsOnBody},
	} {
		claim := &Claim{Share: 0.95, Expect: c.expect}
		if got := claim.ruled(shares{c.plus, c.zero, c.minus}); got != c.want {
			t.Errorf("%+v: %s, want %s", c, got, c.want)
		}
		if got := claim.ruled(counts{}.shares()); got != NobodyHolds {
			t.Errorf("%s: %s on nobody", c.expect, got)
		}
	}
}

func TestCount(t *testing.T) {
	var c counts
	for _, e := range []float64{0.011, 0.01, -0.01, -0.0101, 0, 0.2} {
		c.count(e, 0.01)
	}
	if c != (counts{plus: 2, zero: 3, minus: 1}) {
		t.Errorf("counted %+v; an effect of just the threshold is too small to matter", c)
	}
}

// The interval around every share that is compared must exclude p: 950 of 1000 calls for
// more bodies, 980 do not.
func TestClear(t *testing.T) {
	for _, c := range []struct {
		counts counts
		expect Direction
		want   bool
	}{
		{counts{plus: 950, zero: 50}, Increase, false},
		{counts{plus: 980, zero: 20}, Increase, true},
		{counts{plus: 935, zero: 65}, Increase, false}, // within 2.6 standard errors of 950
		{counts{plus: 920, zero: 80}, Increase, true},
		{counts{plus: 20, zero: 30, minus: 950}, Increase, false},
		{counts{plus: 40, zero: 950, minus: 10}, Decrease, false},
		{counts{plus: 256}, Increase, true}, // the first stage is enough where all go one way
		{counts{plus: 480, zero: 50, minus: 470}, None, false},
		{counts{plus: 500, zero: 20, minus: 480}, None, true},
		{counts{plus: 950, zero: 20, minus: 30}, None, true}, // which way it is does not matter
	} {
		if got := c.counts.clear(0.95, c.expect); got != c.want {
			t.Errorf("%+v, %s: clear is %v", c.counts, c.expect, got)
		}
	}
	if !(counts{}).clear(0.95, Increase) {
		t.Error("more are met though nobody counts")
	}
}

// What the median effect says of a size that is promised, whichever way it is to go.
func TestSized(t *testing.T) {
	for _, c := range []struct {
		share           bool
		median, percent float64
		want            Verdict
	}{
		{true, 0.9, 37, LessThanSaid}, {true, 0.9, 38, Supported}, {true, 0.9, 62, Supported}, {true, 0.9, 63, MoreThanSaid},
		{false, 0.37, 90, LessThanSaid}, {false, 0.38, 90, Supported}, {false, 0.62, 90, Supported}, {false, 0.63, 90, MoreThanSaid},
	} {
		for _, sign := range []float64{1, -1} {
			claimed := &test{claim: &Claim{Claimed: ClaimedAbout(0.5, c.share)}, sign: sign}
			r := &reading{median: sign * c.median, percent: sign * c.percent}
			if got := claimed.sized(Supported, r); got != c.want {
				t.Errorf("%+v, sign %g: %s", c, sign, got)
			}
			if got := claimed.sized(Contradicted, r); got != Contradicted {
				t.Errorf("what is contradicted is %s", got)
			}
			claimed.claim.Claimed = nil
			if got := claimed.sized(Supported, r); got != Supported {
				t.Errorf("where no size is promised: %s", got)
			}
		}
	}
}

// replicated deals verdicts out to 16 replicates of 32 draws in turn: so many of each.
func replicated(of map[Verdict]int) [][]Verdict {
	var all []Verdict
	for v := range numVerdicts {
		all = append(all, slices.Repeat([]Verdict{v}, of[v])...)
	}
	list := make([][]Verdict, Replicates)
	for k, v := range all {
		list[k%Replicates] = append(list[k%Replicates], v)
	}
	return list
}

// Of 512 draws dealt evenly the interval is Clopper and Pearson's: at 0.9975 it excludes
// 0.95 from 499 draws (0.9506 to) and up to 467 (to 0.9449) on; see
// montecarlo.TestClopperPearson for its ends.
func TestSettle(t *testing.T) {
	type of = map[Verdict]int
	for _, c := range []struct {
		draws  of
		want   Verdict
		value  float64
		enough bool // more draws would not be asked for
	}{
		{of{Contradicted: 512}, Contradicted, 1, true},
		{of{Contradicted: 504, NoDifference: 8}, Contradicted, 504. / 512, true},
		{of{Contradicted: 496, NoDifference: 16}, OpenSampling, 496. / 512, false},
		{of{Contradicted: 480, NoDifference: 32}, OpenSampling, 480. / 512, false},
		{of{Contradicted: 448, NoDifference: 64}, OpenAssumptions, 448. / 512, true},
		{of{Supported: 128, NoDifference: 128, DependsOnBody: 256}, OpenAssumptions, 0.5, true},
		{of{NobodyHolds: 512}, NobodyHolds, 1, true},
		// Sizes are of one direction.
		{of{Supported: 512}, Supported, 1, true},
		{of{LessThanSaid: 512}, LessThanSaid, 1, true},
		{of{LessThanSaid: 504, Contradicted: 8}, LessThanSaid, 504. / 512, true},
		{of{LessThanSaid: 256, Supported: 256}, SizeOpen, 1, true},
		{of{LessThanSaid: 200, Supported: 200, MoreThanSaid: 112}, SizeOpen, 1, true},
		{of{MoreThanSaid: 496, Supported: 16}, SizeOpen, 1, false},
		{of{MoreThanSaid: 256, Supported: 192, DependsOnBody: 64}, OpenAssumptions, 448. / 512, true},
	} {
		v, agreement := settle(replicated(c.draws), lookConfidence)
		if v != c.want || agreement.Value != c.value || !(agreement.Low <= c.value && c.value <= agreement.High) {
			t.Errorf("%v: %s, %+v, want %s, %g", c.draws, v, agreement, c.want, c.value)
		}
		if got := enough(replicated(c.draws), lookConfidence); got != c.enough {
			t.Errorf("%v: enough draws is %v", c.draws, got)
		}
	}
	// Draws that a replicate's people turn all at once say less than as many that differ
	// within replicates.
	together := replicated(of{Contradicted: 512})
	for k := range together[0] {
		together[0][k] = NoDifference
	}
	apart := replicated(of{Contradicted: 480, NoDifference: 32})
	_, wide := settle(together, lookConfidence)
	_, narrow := settle(apart, lookConfidence)
	if wide.Value != narrow.Value || !(wide.High-wide.Low > 2*(narrow.High-narrow.Low)) {
		t.Errorf("one replicate says otherwise: %+v; a few draws of each: %+v", wide, narrow)
	}
}

// Populations, and models, are joined alike but for what is said where settled ones
// differ; the order says nothing.
func TestJoin(t *testing.T) {
	type list = []Verdict
	const differ = numVerdicts // DependsOnBody, or OpenModels
	for _, c := range []struct {
		each list
		want Verdict
	}{
		{list{Supported}, Supported},
		{list{NoDifference, NoDifference, NoDifference}, NoDifference},
		{list{DependsOnBody, DependsOnBody}, DependsOnBody},
		{list{Supported, Contradicted}, differ},
		{list{Contradicted, NoDifference, Contradicted}, differ},
		{list{Supported, NoEffect}, differ},
		{list{Supported, Contradicted, OpenAssumptions}, differ},
		{list{Supported, OpenAssumptions}, OpenAssumptions},
		{list{LessThanSaid, OpenSampling}, OpenSampling},
		{list{OpenAssumptions, OpenAssumptions}, OpenAssumptions},
		// No effect is no difference that matters, and not the other way round.
		{list{NoEffect, NoDifference}, NoDifference},
		{list{NoEffect, NoEffect}, NoEffect},
		// Nobody says nothing.
		{list{NobodyHolds, Supported}, Supported},
		{list{NobodyHolds, NobodyHolds}, NobodyHolds},
		{list{NobodyHolds, OpenAssumptions}, OpenAssumptions},
		{nil, NobodyHolds},
		// Those that differ in size alone agree on the direction.
		{list{Supported, LessThanSaid}, SizeOpen},
		{list{LessThanSaid, MoreThanSaid, LessThanSaid}, SizeOpen},
		{list{LessThanSaid, SizeOpen}, SizeOpen},
		{list{LessThanSaid, Contradicted}, differ},
		{list{LessThanSaid, MoreThanSaid, NoDifference}, differ},
	} {
		turned := slices.Clone(c.each)
		slices.Reverse(turned)
		for _, each := range []list{c.each, turned} {
			people, models := c.want, c.want
			if c.want == differ {
				people, models = DependsOnBody, OpenModels
			}
			if got := together(each); got != people {
				t.Errorf("populations %v: %s, want %s", each, got, people)
			}
			if got, _ := overall(each); got != models {
				t.Errorf("models %v: %s, want %s", each, got, models)
			}
		}
	}
}

// Models contradict each other in direction only where one supports and one contradicts.
func TestModelsInDirection(t *testing.T) {
	for _, c := range []struct {
		models []Verdict
		want   bool
	}{
		{[]Verdict{Supported, Contradicted}, true},
		{[]Verdict{LessThanSaid, NoDifference, Contradicted}, true},
		{[]Verdict{LessThanSaid, MoreThanSaid}, false},
		{[]Verdict{Contradicted, NoDifference}, false},
		{[]Verdict{Supported, OpenAssumptions}, false},
	} {
		if _, got := overall(c.models); got != c.want {
			t.Errorf("%v: %v", c.models, got)
		}
	}
}

// Directions, settled verdicts and words, of all.
func TestVerdictsByName(t *testing.T) {
	for v := range numVerdicts {
		text, err := v.MarshalText()
		if err != nil || string(text) != v.String() {
			t.Errorf("%d is %q, %v", int(v), text, err)
		}
		if supported := v == Supported || v == LessThanSaid || v == MoreThanSaid || v == SizeOpen; supported != (v.Direction() == Supported) || !supported && v.Direction() != v {
			t.Errorf("%s goes %s", v, v.Direction())
		}
		if open := v == OpenAssumptions || v == OpenModels || v == OpenSampling || v == NobodyHolds; v.Settled() == open {
			t.Errorf("%s: settled is %v", v, v.Settled())
		}
	}
}

// Where nothing but people is drawn no assumption leaves anything open.
func TestNothingButPeopleLeavesNoAssumptionOpen(t *testing.T) {
	d := &outer{unknowns: &unknowns{t: &test{}}, fixed: true}
	for r := range Replicates {
		v := [...]Verdict{DependsOnBody, Supported, NoDifference}[r%3]
		d.read = append(d.read, slices.Repeat([][][]reading{{{{verdict: v}}}}, 32))
	}
	if v, agreement := d.settle(0, 0); v != OpenSampling || agreement.Value != 6./16 {
		t.Errorf("%s, %+v", v, agreement)
	}
	d.fixed, d.assumed = false, []assume.ID{assume.HipDrop}
	if v, _ := d.settle(0, 0); v != OpenAssumptions {
		t.Errorf("where something is drawn: %s", v)
	}
}

func ExampleVerdict() {
	fmt.Println(LessThanSaid, LessThanSaid.Direction() == Supported, OpenSampling.Settled())
	// Output: supported, but less than said true false
}
