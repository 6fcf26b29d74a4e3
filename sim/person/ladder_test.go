package person

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
)

func untested(t *testing.T) (*Result, []Rung) {
	t.Helper()
	o := DefaultOptions()
	o.N = LeastN
	p := Person{Name: "Ana", Sex: anthro.Female, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.64}, {Of: anthro.Mass, Value: 56}}}
	r := golden.Must(Answer(t.Context(), p, o))(t)
	rungs := golden.Must(Ladder(t.Context(), r, []hold.Legs{hold.LegsIn(hold.Tuck, 0), hold.LegsIn(hold.Straddle, math.Pi/4), {}}))(t)
	return r, rungs
}

// Of each body and each draw the tuck asks less than the straddle, and that less than the
// full hold, which is itself; and the tests that would show them ask for less.
func TestLadder(t *testing.T) {
	r, rungs := untested(t)
	if full := rungs[2].Share; full != (Spread{1, 1, 1}) {
		t.Errorf("the full hold asks %v of itself", full)
	}
	for i, rung := range rungs[:2] {
		if next := rungs[i+1].Share; !rung.Known || !(rung.Share.Low > 0.3) || !(rung.Share.Median < next.Median) || !(rung.Share.High <= next.High) {
			t.Errorf("%s: %+v, then %+v", rung.Legs.Form, rung, next)
		}
	}
	// As an answer of its own with these legs.
	p := r.Person
	p.Legs = rungs[0].Legs
	alone := golden.Must(Answer(t.Context(), p, r.Options))(t)
	if share, ok := alone.against(r, hold.Difficulty); !ok || share != rungs[0].Share {
		t.Errorf("alone %v, on the ladder %v", share, rungs[0].Share)
	}
	reading := func(r *Rung, g muscle.Group) float64 {
		for _, e := range r.Tests.Enough {
			if e.Group == g {
				return e.Kilograms
			}
		}
		return math.NaN()
	}
	for _, g := range []muscle.Group{muscle.ShoulderAbduction, muscle.ShoulderAdduction} {
		if tuck, full := reading(&rungs[0], g), reading(&rungs[2], g); !(tuck > 1 && tuck < full && full < 50) {
			t.Errorf("%s: %v kg for the tuck, %v kg for the full hold", g, tuck, full)
		}
	}
}

// What is said to be enough is: with such a result, and no other test, half of the draws
// have the strength in that group.
func TestUntestedResultIsEnough(t *testing.T) {
	r, rungs := untested(t)
	for _, e := range rungs[2].Tests.Enough {
		if e.Kind != ScaleTest || e.Tested {
			continue
		}
		with := func(kg float64) float64 {
			p := r.Person
			p.Tests = &Tests{Scales: []Scale{{Way: e.Way, Angle: e.Angle, Kilograms: kg}}}
			ready := golden.Must(Ready(t.Context(), p, r.Options))(t)
			all := ready.Result.Models[0].All
			n, of := 0, 0
			for i, ok := range all.Possible {
				if ok {
					of++
					if all.Value[hold.UseOf(e.Group)][i] <= 1 {
						n++
					}
				}
			}
			return float64(n) / float64(of)
		}
		// The result was sought over some of the draws, at the posture that the strength
		// of an untrained adult asks for; with the person's own the hands move.
		if share := with(e.Kilograms); !(share > 0.35) {
			t.Errorf("%s: with %.1f kg %v of the draws have the strength", e.Group, e.Kilograms, share)
		}
		if share := with(0.6 * e.Kilograms); !(share < 0.5) {
			t.Errorf("%s: with %.1f kg %v of the draws have the strength", e.Group, 0.6*e.Kilograms, share)
		}
	}
}

// Whoever was tested is answered for by Ready.
func TestAskUntestedOfTheTested(t *testing.T) {
	r, _ := untested(t)
	r.Person.Tests = &Tests{Hangs: []Hang{{Seconds: 20}}}
	if u, err := AskUntested(t.Context(), r); u != nil || err != nil {
		t.Errorf("%v, %v", u, err)
	}
}
