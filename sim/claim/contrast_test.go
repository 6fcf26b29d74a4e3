package claim

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/hold"
)

// groups gathers a contrast between 300 people around bottom and 300 around top, by a key that
// tells them apart, in random order; the middle third says nothing.
func groups(seed uint64, bottom, top float64) (y *drawTally, key []float64) {
	random := rand.New(rand.NewPCG(seed, 5))
	y = &drawTally{}
	for _, k := range random.Perm(900) {
		key = append(key, float64(k))
		x := random.NormFloat64()
		switch {
		case k < 300:
			x += bottom
		case k >= 600:
			x += top
		default:
			x = 1e6
		}
		y.before = append(y.before, x)
	}
	return y, key
}

// divided are the two groups of people who were all held up.
func divided(t *test, key []float64) *crowd {
	bottom, top, _ := t.ends(key)
	return &crowd{bottom: bottom, top: top}
}

// A draw of a contrast says what the groups' medians do, and is sure of it where the
// interval around their difference does not hold the threshold: of 300 standard normals a
// median has the standard error √(π/2/300) = 0.072, so the interval is ±0.26.
func TestContrastOfADraw(t *testing.T) {
	for _, c := range []struct {
		expect      Direction
		bottom, top float64
		want        Verdict
		sure        bool
	}{
		{Increase, 10, 12, Supported, true}, {Increase, 10, 11.1, Supported, false}, {Increase, 10, 9, Contradicted, false},
		{Increase, 10, 8, Contradicted, true}, {Increase, 10, 10.3, NoDifference, true}, {Decrease, 10, 8, Supported, true}, {Decrease, 10, 12, Contradicted, true},
		{None, 10, 10.3, Supported, true}, {None, 10, 12, Contradicted, true}, {None, 10, 8, Contradicted, true},
	} {
		of := &test{claim: &Claim{Demand: hold.Difficulty, Expect: c.expect, Matters: Threshold{Absolute: 0.95}, Contrast: &Contrast{Share: 1. / 3}}, sign: 1}
		if c.expect == Decrease {
			of.sign = -1
		}
		verdicts, sures := map[Verdict]int{}, 0
		for seed := range uint64(20) {
			y, key := groups(seed, c.bottom, c.top)
			var r reading
			sure := golden.Must(y.contrast(&r, of, divided(of, key)))(t)
			verdicts[r.verdict]++
			if sure {
				sures++
			}
			if r.bodies != 300 || r.median != r.after-r.before || !(math.Abs(r.before-c.bottom) < 0.3) || !(math.Abs(r.after-c.top) < 0.3) {
				t.Errorf("%+v: %d in a group, from %g to %g", c, r.bodies, r.before, r.after)
			}
			if got := 100 * (r.after - r.before) / r.before; r.percent != got {
				t.Errorf("%+v: %g %%, want %g", c, r.percent, got)
			}
			// Pairs differ by the difference and √2 standard deviations: 1.645 of them up to 95 %.
			if !(math.Abs(r.p95-r.p5-2*1.645*math.Sqrt2) < 0.9) {
				t.Errorf("%+v: pairs from %g to %g", c, r.p5, r.p95)
			}
		}
		if c.sure && (verdicts[c.want] != 20 || sures != 20) || !c.sure && sures > 5 {
			t.Errorf("%+v: %v, sure in %d", c, verdicts, sures)
		}
	}
}

// People who cannot take the posture count as infinitely hard; what is not a number is an
// error.
func TestContrastOfSomeWhoCannot(t *testing.T) {
	of := &test{claim: &Claim{Demand: hold.Difficulty, Expect: Increase, Matters: Threshold{Share: 0.01}, Contrast: &Contrast{Share: 1. / 3}}, sign: 1}
	cannot := func(low, high int) (*drawTally, []float64) {
		y, key := groups(1, 10, 12)
		for i, k := range key {
			if int(k) < low || int(k) >= 900-high {
				y.before[i] = math.Inf(1)
			}
		}
		return y, key
	}
	for _, c := range []struct {
		low, high int // so many at the far ends cannot
		want      Verdict
		sure      bool
	}{
		{20, 20, Supported, true}, {20, 300, Supported, true}, {300, 20, Contradicted, true}, {300, 300, NobodyHolds, true},
		// Of little more than half nobody knows that it is more than half.
		{20, 155, Supported, false}, {155, 20, Contradicted, false},
	} {
		y, key := cannot(c.low, c.high)
		var r reading
		sure, err := y.contrast(&r, of, divided(of, key))
		if err != nil || r.verdict != c.want || sure != c.sure {
			t.Errorf("%d of the bottom, %d of the top cannot: %s, sure %v, %v", c.low, c.high, r.verdict, sure, err)
		}
	}
	y, key := groups(1, 10, 12)
	y.before[slices.Index(key, 899)] = math.NaN()
	if _, err := y.contrast(new(reading), of, divided(of, key)); err == nil || !strings.Contains(err.Error(), "difficulty") {
		t.Errorf("not a number: %v", err)
	}
}
