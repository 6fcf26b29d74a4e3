package verdict

import (
	"fmt"
	"slices"
	"testing"

	"counterpoise/sim/math"
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
		if got := Of(Shares{c.plus, c.zero, c.minus}, 0.95, c.expect); got != c.want {
			t.Errorf("%+v: %s, want %s", c, got, c.want)
		}
		if got := Of(Counts{}.Shares(), 0.95, c.expect); got != NobodyHolds {
			t.Errorf("%s: %s on nobody", c.expect, got)
		}
	}
}

func TestCount(t *testing.T) {
	var c Counts
	for _, e := range []float64{0.011, 0.01, -0.01, -0.0101, 0, 0.2} {
		c.Count(e, 0.01)
	}
	if c != (Counts{Plus: 2, Zero: 3, Minus: 1}) {
		t.Errorf("counted %+v; an effect of just the threshold is too small to matter", c)
	}
}

// The interval around every share that is compared must exclude p: 950 of 1000 calls for
// more bodies, 980 do not.
func TestClear(t *testing.T) {
	for _, c := range []struct {
		counts Counts
		expect Direction
		want   bool
	}{
		{Counts{Plus: 950, Zero: 50}, Increase, false},
		{Counts{Plus: 980, Zero: 20}, Increase, true},
		{Counts{Plus: 935, Zero: 65}, Increase, false}, // within 2.6 standard errors of 950
		{Counts{Plus: 920, Zero: 80}, Increase, true},
		{Counts{Plus: 20, Zero: 30, Minus: 950}, Increase, false},
		{Counts{Plus: 40, Zero: 950, Minus: 10}, Decrease, false},
		{Counts{Plus: 256}, Increase, true}, // the first stage is enough where all go one way
		{Counts{Plus: 480, Zero: 50, Minus: 470}, None, false},
		{Counts{Plus: 500, Zero: 20, Minus: 480}, None, true},
		{Counts{Plus: 950, Zero: 20, Minus: 30}, None, true}, // which way it is does not matter
	} {
		if got := c.counts.Clear(0.95, c.expect); got != c.want {
			t.Errorf("%+v, %s: clear is %v", c.counts, c.expect, got)
		}
	}
	if !(Counts{}).Clear(0.95, Increase) {
		t.Error("more are met though nobody counts")
	}
}

// What the draws are and how sure the rule is, as in package claim.
const (
	replicates = 16
	confidence = 0.9975
)

// replicated deals verdicts out to 16 replicates of 32 draws in turn: so many of each.
func replicated(of map[Verdict]int) [][]Verdict {
	var all []Verdict
	for v := range NumVerdicts {
		all = append(all, slices.Repeat([]Verdict{v}, of[v])...)
	}
	list := make([][]Verdict, replicates)
	for k, v := range all {
		list[k%replicates] = append(list[k%replicates], v)
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
		v, agreement := Settle(replicated(c.draws), confidence)
		if v != c.want || agreement.Value != c.value || !(agreement.Low <= c.value && c.value <= agreement.High) {
			t.Errorf("%v: %s, %+v, want %s, %g", c.draws, v, agreement, c.want, c.value)
		}
		if got := Enough(replicated(c.draws), confidence); got != c.enough {
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
	_, wide := Settle(together, confidence)
	_, narrow := Settle(apart, confidence)
	if wide.Value != narrow.Value || !(wide.High-wide.Low > 2*(narrow.High-narrow.Low)) {
		t.Errorf("one replicate says otherwise: %+v; a few draws of each: %+v", wide, narrow)
	}
}

// Populations, and models, are joined alike but for what is said where settled ones
// differ; the order says nothing.
func TestJoin(t *testing.T) {
	type list = []Verdict
	const differ = NumVerdicts // DependsOnBody, or OpenModels
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
			if got := Together(each); got != people {
				t.Errorf("populations %v: %s, want %s", each, got, people)
			}
			if got, _ := Overall(each); got != models {
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
		if _, got := Overall(c.models); got != c.want {
			t.Errorf("%v: %v", c.models, got)
		}
	}
}

// Directions, settled verdicts and words, of all.
func TestVerdictsByName(t *testing.T) {
	for v := range NumVerdicts {
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

func ExampleVerdict() {
	fmt.Println(LessThanSaid, LessThanSaid.Direction() == Supported, OpenSampling.Settled())
	// Output: supported, but less than said true false
}

func TestMoves(t *testing.T) {
	for _, c := range []struct {
		effect, before float64
		want           bool
	}{
		{3e-10, 0.4, false}, {5e-10, 0.4, true}, {-5e-10, 0.4, true}, {3e-10, -0.4, false},
		{0, 0, false}, {4e-16, 0, false}, {4e-16, 3e-17, false}, {2e-14, 0, true},
		{math.Inf(1), 0.4, true}, {math.Inf(-1), 0, true}, {math.NaN(), 0.4, true},
	} {
		// An infinite effect is told by comparison with any baseline.
		if got := Moves(c.effect, c.before); got != c.want {
			t.Errorf("%g from %g moves: %v", c.effect, c.before, got)
		}
	}
}

// A share of nothing does not turn rounding into an effect.
func TestThresholdOfNothing(t *testing.T) {
	var c Counts
	for _, e := range []float64{3e-17, -3e-17, 0.002, -0.003, math.Inf(1)} {
		c.Count(e, Threshold{Share: 0.07}.Of(0))
	}
	if c != (Counts{Plus: 2, Zero: 2, Minus: 1}) {
		t.Errorf("counted %+v", c)
	}
	if got := (Threshold{Share: 0.07}).Of(-3); !(math.Abs(got-0.21) <= 1e-15) {
		t.Errorf("7 %% of −3 is %g", got)
	}
}
