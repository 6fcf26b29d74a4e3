package person

import (
	"context"
	"errors"
	"math"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

func turnOptions() Options {
	o := DefaultOptions()
	o.Draws = LeastDraws
	return o
}

func applied(t *testing.T, p Person, model hold.Model, turn Turn) *Effect {
	t.Helper()
	e, err := Apply(context.Background(), p, turnOptions(), model, turn)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// To change nothing does nothing, exactly.
func TestNoTurnMovesNothing(t *testing.T) {
	for _, h := range hold.All() {
		p := coachs()
		p.Hold = h.Name
		for _, m := range h.Models {
			e := applied(t, p, m, Turn{})
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
func TestTurnOfThePoseIsTheAnswerForThatPose(t *testing.T) {
	for _, c := range []struct {
		hold string
		turn Turn
	}{
		{"human-flag", Turn{Legs: hold.LegsIn(hold.Straddle, 0.6)}},
		{"human-flag", Turn{Tilt: 0.1}},
		{"front-lever", Turn{Legs: hold.LegsIn(hold.Tuck, 0)}},
		{"push-up", Turn{Pose: hold.Pose{hold.FeetRaised: 0.45}}},
	} {
		p := coachs()
		p.Hold = c.hold
		h, _ := hold.Parse(c.hold)
		for _, m := range h.Models {
			e := applied(t, p, m, c.turn)
			then := p
			then.Legs, then.Pose, then.Tilt = c.turn.Legs, c.turn.Pose, c.turn.Tilt
			for which, posed := range map[string]Person{"before": p, "after": then} {
				o := turnOptions()
				o.Models = []hold.Model{m}
				r, err := Answer(context.Background(), posed, o)
				if err != nil {
					t.Fatal(err)
				}
				for _, q := range e.Quantities {
					want, _ := r.Models[0].Quantity(q.Demand)
					got, absolute, figure := q.Before, q.BeforeAbsolute, e.Before
					if which == "after" {
						got, absolute, figure = q.After, q.AfterAbsolute, e.After
					}
					if got != want.All || absolute != want.AllAbsolute && math.Abs(absolute.Median/want.AllAbsolute.Median-1) > 1e-12 {
						t.Errorf("%s, %s, %s %s: %+v, the answer says %+v", c.hold, m, q.Demand, which, got, want.All)
					}
					if have, say := figure.Held.Value[q.Demand][0], r.Models[0].Median.Held.Value[q.Demand][0]; have != say {
						t.Errorf("%s, %s, %s %s: the median body has %v, the answer's %v", c.hold, m, q.Demand, which, have, say)
					}
				}
			}
		}
	}
}

// Who has the same shape needs the same force in body weights, and has by size less
// to give: strength grows slower than mass. And a load on the head of a push-up, where
// nothing is known to give out, is felt in newtons.
func TestTurnsOfTheBodyGoTheRightWay(t *testing.T) {
	size := applied(t, coachs(), hold.TwoCondition, Turn{Body: body.Change{Of: body.Amounts{body.Size: {Share: 0.05}}}})
	for _, q := range size.Quantities {
		switch q.Demand {
		case hold.RequiredForce:
			if math.Abs(q.Effect.Low) > 1e-9 || math.Abs(q.Effect.High) > 1e-9 || !(q.EffectAbsolute.Low > 0) {
				t.Errorf("a larger body: %+v", q)
			}
		case hold.HandSpacing:
			if math.Abs(q.Relative.Median-0.05) > 1e-9 {
				t.Errorf("the hands of a body 5 %% larger are %v wider", q.Relative)
			}
		}
	}
	if size.Judged != hold.Difficulty || size.Harder != 1 || size.Easier != 0 {
		t.Errorf("a larger body: %s harder for %v, easier for %v", size.Judged, size.Harder, size.Easier)
	}
	p := coachs()
	p.Hold = "push-up"
	load := applied(t, p, hold.Equilibrium, Turn{Body: body.Change{Mass: []body.AddedMass{{Region: body.Head, Kilograms: 2}}}})
	for _, q := range load.Quantities {
		if q.Demand == hold.HandShare && !(q.EffectAbsolute.Low > 0 && q.EffectAbsolute.High < 2*9.81*1.5) {
			t.Errorf("2 kg on the head weigh %+v N on the hands", q.EffectAbsolute)
		}
	}
	tuck := p
	tuck.Hold = "planche"
	if e := applied(t, tuck, hold.Equilibrium, Turn{Legs: hold.LegsIn(hold.Tuck, 0)}); e.Easier != 1 {
		t.Errorf("a tucked planche is easier for %v", e.Easier)
	}
}

func TestTurnsThatLeaveNoBody(t *testing.T) {
	for field, turn := range map[string]Turn{
		"change": {Body: body.Change{Of: body.Amounts{body.ArmLength: {Metres: -2}}}},
		"legs":   {Legs: hold.LegsIn(hold.Straddle, 0.3)},
	} {
		p := coachs()
		p.Hold = "push-up"
		var fault *FieldError
		if _, err := Apply(context.Background(), p, turnOptions(), hold.Equilibrium, turn); !errors.As(err, &fault) || fault.Field != field {
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
		median, err := NewMedianBody(p, turnOptions())
		if err != nil {
			t.Fatal(err)
		}
		for angle := 20.0; angle <= 70; angle += 5 {
			f, err := median.Hold(hold.Equilibrium, hold.GivenAngle, angle*math.Pi/180)
			if err != nil || f == nil {
				t.Fatalf("%v°: %v, %v", angle, f, err)
			}
			back, err := median.Hold(hold.Equilibrium, hold.GivenSpacing, f.Held.Value[hold.HandSpacing][0])
			if err != nil || back == nil || math.Abs(back.Held.Value[hold.ArmAngle][0]*180/math.Pi-angle) > 1e-9 {
				t.Fatalf("%v°: %+v, %v", angle, back, err)
			}
		}
		if f, err := median.Hold(hold.Equilibrium, hold.GivenSpacing, 5); f != nil || err != nil {
			t.Errorf("hands 5 m apart: %v, %v", f, err)
		}
	}
	best, err := Answer(context.Background(), Person{Sex: anthro.Male}, turnOptions())
	if err != nil {
		t.Fatal(err)
	}
	median, err := NewMedianBody(Person{Sex: anthro.Male}, turnOptions())
	if err != nil {
		t.Fatal(err)
	}
	if f, err := median.Hold(hold.Equilibrium, hold.Best, 0); err != nil || f.Held.Value[hold.ArmAngle][0] != best.Models[1].Curve.BestAngle {
		t.Errorf("%+v, %v", f, err)
	}
}

func BenchmarkMedianBodyHeld(b *testing.B) {
	median, err := NewMedianBody(coachs(), turnOptions())
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := median.Hold(hold.Equilibrium, hold.GivenAngle, 0.7); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNewMedianBody(b *testing.B) {
	for b.Loop() {
		if _, err := NewMedianBody(coachs(), turnOptions()); err != nil {
			b.Fatal(err)
		}
	}
}
