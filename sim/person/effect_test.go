package person

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

func quick() Options {
	o := DefaultOptions()
	o.N = LeastN
	return o
}

func applied(t *testing.T, p Person, model hold.Model, change scenario.Change) *Effect {
	t.Helper()
	return golden.Must(Apply(context.Background(), p, quick(), model, change))(t)
}

func TestNoChangeMovesNothing(t *testing.T) {
	for _, h := range hold.All() {
		p := coachs()
		p.Hold = h
		for _, m := range h.Models {
			e := applied(t, p, m, scenario.Change{})
			if e.Easier != 0 || e.Harder != 0 || e.PossibleBefore != e.PossibleAfter {
				t.Errorf("%s, %s: easier %v, harder %v", h.Name, m, e.Easier, e.Harder)
			}
			for _, q := range e.Quantities {
				if q.Effect != (Spread{}) || q.EffectAbsolute != (Spread{}) || q.Before != q.After {
					t.Errorf("%s, %s, %s: %+v", h.Name, m, q.Demand, q)
				}
			}
		}
	}
}

// Before and after a turn of the pose are the answers for the two poses: the same
// draws, to the bit.
func TestChangeOfThePoseIsTheAnswerForThatPose(t *testing.T) {
	tilt := 0.1
	for _, c := range []struct {
		hold   *hold.Hold
		change scenario.Change
	}{
		{hold.HumanFlag, scenario.Change{Legs: new(hold.LegsIn(hold.Straddle, 0.6))}},
		{hold.HumanFlag, scenario.Change{Tilt: &tilt}},
		{hold.FrontLever, scenario.Change{Legs: new(hold.LegsIn(hold.Tuck, 0))}},
		{hold.PushUp, scenario.Change{Pose: &hold.Pose{hold.FeetRaised: 0.45}}},
	} {
		p := coachs()
		p.Hold = c.hold
		for _, m := range c.hold.Models {
			e := applied(t, p, m, c.change)
			then := p
			after := scenario.Scenario{Hold: c.hold, Change: &c.change}
			posture := after.PostureAfter()
			then.Legs, then.Pose, then.Tilt = posture.Legs, posture.Pose, posture.Tilt
			for which, posed := range map[string]Person{"before": p, "after": then} {
				o := quick()
				o.Models = []hold.Model{m}
				r := golden.Must(Answer(context.Background(), posed, o))(t)
				for _, q := range e.Quantities {
					want, _ := r.Models[0].Quantity(q.Demand)
					got, absolute, figure := q.Before, q.BeforeAbsolute, e.Before
					if which == "after" {
						got, absolute, figure = q.After, q.AfterAbsolute, e.After
					}
					if got != want.All || absolute != want.AllAbsolute && !(math.Abs(absolute.Median/want.AllAbsolute.Median-1) <= 1e-12) {
						t.Errorf("%s, %s, %s %s: %+v, the answer says %+v", c.hold.Name, m, q.Demand, which, got, want.All)
					}
					if have, say := figure.Held.Value[q.Demand][0], r.Models[0].Median.Held.Value[q.Demand][0]; have != say {
						t.Errorf("%s, %s, %s %s: the median body has %v, the answer's %v", c.hold.Name, m, q.Demand, which, have, say)
					}
				}
			}
		}
	}
}

// Who has the same shape needs the same force in body weights, and has by size less
// to give: strength grows slower than mass. And a load on the head of a push-up, where
// nothing is known to give out, is felt in newtons.
func TestChangesOfTheBodyGoTheRightWay(t *testing.T) {
	size := applied(t, coachs(), hold.Equilibrium, scenario.Change{Body: body.Change{Of: body.Amounts{body.Size: {Share: 0.05}}}})
	for _, q := range size.Quantities {
		switch q.Demand {
		case hold.RequiredForce:
			if math.Abs(q.Effect.Low) > 1e-9 || math.Abs(q.Effect.High) > 1e-9 || !(q.EffectAbsolute.Low > 0) {
				t.Errorf("a larger body: %+v", q)
			}
		case hold.HandSpacing:
			if !(math.Abs(q.Relative.Median-0.05) <= 1e-9) {
				t.Errorf("the hands of a body 5 %% larger are %v wider", q.Relative)
			}
		}
	}
	if size.Judged != hold.Difficulty || size.Harder != 1 || size.Easier != 0 {
		t.Errorf("a larger body: %s harder for %v, easier for %v", size.Judged, size.Harder, size.Easier)
	}
	p := coachs()
	p.Hold = hold.PushUp
	load := applied(t, p, hold.Equilibrium, scenario.Change{Body: body.Change{Mass: []body.AddedMass{{Region: body.Head, Kilograms: 2}}}})
	for _, q := range load.Quantities {
		if q.Demand == hold.HandShare && !(q.EffectAbsolute.Low > 0 && q.EffectAbsolute.High < 2*9.81*1.5) {
			t.Errorf("2 kg on the head weigh %+v N on the hands", q.EffectAbsolute)
		}
	}
	tuck := p
	tuck.Hold = hold.Planche
	if e := applied(t, tuck, hold.Equilibrium, scenario.Change{Legs: new(hold.LegsIn(hold.Tuck, 0))}); e.Easier != 1 {
		t.Errorf("a tucked planche is easier for %v", e.Easier)
	}
}

// Where the difficulty is not known before or after, it is said why, and what is told
// instead says nothing of easier and harder.
func TestChangeIntoWhatNobodyKnows(t *testing.T) {
	p := coachs()
	p.Hold = hold.LSit
	e := applied(t, p, hold.Equilibrium, scenario.Change{Legs: new(hold.LegsIn(hold.Tuck, 0))})
	if e.Judged == hold.Difficulty || !strings.Contains(e.Unknown, "never measured") {
		t.Errorf("into a tuck: judged by %s, unknown %q", e.Judged, e.Unknown)
	}
	for _, m := range e.Quantities {
		if m.Demand == hold.Difficulty {
			t.Error("into a tuck: the difficulties are compared")
		}
	}
	e = applied(t, p, hold.Equilibrium, scenario.Change{Body: body.Change{Of: body.Amounts{body.LegLength: {Metres: 0.01}}}})
	if e.Judged != hold.Difficulty || e.Unknown != "" {
		t.Errorf("longer legs: judged by %s, unknown %q", e.Judged, e.Unknown)
	}
}

func TestChangesThatLeaveNoBody(t *testing.T) {
	for field, change := range map[string]scenario.Change{
		"change.arm_length": {Body: body.Change{Of: body.Amounts{body.ArmLength: {Metres: -2}}}},
		"change":            {Body: body.Change{Of: body.Amounts{body.HandLength: {Metres: -0.2}}}},
		"change.legs":       {Legs: new(hold.LegsIn(hold.Straddle, 0.3))},
	} {
		p := coachs()
		p.Hold = hold.PushUp
		var fault *fault.Error
		if _, err := Apply(context.Background(), p, quick(), hold.Equilibrium, change); !errors.As(err, &fault) || fault.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

// The median body can be held at any angle that leaves it a hand spacing, and at that
// spacing it is at that angle.
func TestMedianBodyByAngleAndBySpacing(t *testing.T) {
	for _, tilt := range []float64{0, 0.15} {
		p := coachs()
		p.Tilt = tilt
		median := golden.Must(NewMedianBody(p, quick()))(t)
		for angle := 20.0; angle <= 70; angle += 5 {
			f, err := median.Hold(hold.Equilibrium, hold.GivenAngle, angle*math.Pi/180)
			if err != nil || f == nil {
				t.Fatalf("%v°: %v, %v", angle, f, err)
			}
			back, err := median.Hold(hold.Equilibrium, hold.GivenSpacing, f.Held.Value[hold.HandSpacing][0])
			if err != nil || back == nil || !(math.Abs(back.Held.Value[hold.ArmAngle][0]*180/math.Pi-angle) <= 1e-9) {
				t.Fatalf("%v°: %+v, %v", angle, back, err)
			}
		}
		if f, err := median.Hold(hold.Equilibrium, hold.GivenSpacing, 5); f != nil || err != nil {
			t.Errorf("hands 5 m apart: %v, %v", f, err)
		}
	}
	best := golden.Must(Answer(context.Background(), Person{Sex: anthro.Male, Hold: hold.HumanFlag}, quick()))(t)
	median := golden.Must(NewMedianBody(Person{Sex: anthro.Male, Hold: hold.HumanFlag}, quick()))(t)
	if f, err := median.Hold(hold.Equilibrium, hold.Best, 0); err != nil || f.Held.Value[hold.ArmAngle][0] != best.Models[0].Curve.BestAngle {
		t.Errorf("%+v, %v", f, err)
	}
}

func BenchmarkMedianBodyHeld(b *testing.B) {
	median := golden.Must(NewMedianBody(coachs(), quick()))(b)
	for b.Loop() {
		if _, err := median.Hold(hold.Equilibrium, hold.GivenAngle, 0.7); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewMedianBody(b *testing.B) {
	for b.Loop() {
		if _, err := NewMedianBody(coachs(), quick()); err != nil {
			b.Fatal(err)
		}
	}
}
