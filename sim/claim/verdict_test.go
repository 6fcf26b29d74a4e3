//go:build ignore

package claim

import (
	"testing"
)

func TestJudge(t *testing.T) {
	for _, c := range []struct {
		plus, zero, minus float64
		expect            Direction
		want              Verdict
	}{
		{0.95, 0.03, 0.02, Increase, Supported},
		{0.949, 0.031, 0.02, Increase, DependsOnBody},
		{0.01, 0.02, 0.97, Increase, Contradicted},
		{0.01, 0.97, 0.02, Decrease, TooSmall},
		{0.4, 0.2, 0.4, Decrease, DependsOnBody},
		{0.01, 0.97, 0.02, None, Supported},
		{0.5, 0.04, 0.46, None, Contradicted},
		{0.3, 0.4, 0.3, None, DependsOnBody},
	} {
		if got := judge(shares{c.plus, c.zero, c.minus}, 0.95, c.expect); got != c.want {
			t.Errorf("%+v: %s, want %s", c, got, c.want)
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

func TestCommonNeeds95PercentOfTheDraws(t *testing.T) {
	draws := make([]Verdict, 100)
	for k := range draws {
		draws[k] = Contradicted
	}
	for k := range 5 {
		draws[k] = TooSmall
	}
	if v, agreement := common(draws); v != Contradicted || agreement != 0.95 {
		t.Errorf("95 of 100 agree: %s, %g", v, agreement)
	}
	draws[5] = Supported
	if v, agreement := common(draws); v != DependsOnAssumptions || agreement != 0.94 {
		t.Errorf("94 of 100 agree: %s, %g", v, agreement)
	}
}

func TestOverall(t *testing.T) {
	for _, c := range []struct {
		models    []Verdict
		want      Verdict
		direction bool
	}{
		{[]Verdict{Supported}, Supported, false},
		{[]Verdict{TooSmall, TooSmall, TooSmall}, TooSmall, false},
		{[]Verdict{Supported, Contradicted}, DependsOnModel, true},
		{[]Verdict{Contradicted, TooSmall}, DependsOnModel, false},
		{[]Verdict{Contradicted, TooSmall, Contradicted}, DependsOnModel, false},
		{[]Verdict{Supported, Undecided}, Undecided, false},
	} {
		v, direction := overall(c.models)
		if v != c.want || direction != c.direction {
			t.Errorf("%v: %s, in direction %v, want %s, %v", c.models, v, direction, c.want, c.direction)
		}
	}
}

// The interval around a share must exclude p: 950 of 1000 is no verdict, 980 is.
func TestDecided(t *testing.T) {
	if decided(counts{plus: 950, zero: 50}, 0.95, Increase) {
		t.Error("950 of 1000 against 0.95 was called")
	}
	if !decided(counts{plus: 980, zero: 20}, 0.95, Increase) {
		t.Error("980 of 1000 against 0.95 was not called")
	}
	if decided(counts{plus: 20, zero: 30, minus: 950}, 0.95, Increase) || decided(counts{plus: 40, zero: 950, minus: 10}, 0.95, Increase) {
		t.Error("a share against or too small was not looked at")
	}
	// Expecting none: what counts is zero against not zero.
	if decided(counts{plus: 480, zero: 50, minus: 470}, 0.95, None) || !decided(counts{plus: 500, zero: 20, minus: 480}, 0.95, None) {
		t.Error("expecting none: the wrong share was looked at")
	}
}
