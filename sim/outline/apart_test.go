package outline_test

import (
	"math"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/hold/holdtest"
	"counterpoise/sim/outline"
)

// A moment at the shoulders is of both arms together where these do the same, and of one where
// they are told apart: half of it, where each carries half. Only what is of as many is like.
func TestMomentsOfOneArmAndOfBoth(t *testing.T) {
	lever := func(name string, change func(*outline.Outline)) *hold.Hold {
		o := &outline.Outline{
			Name: name, Title: "Lever", Looks: "Level under a bar, face up.", Faces: outline.FacesUp,
			Parts: [outline.NumParts]outline.Pair{
				outline.Chest:    {First: outline.Angle{Against: outline.Level}},
				outline.UpperArm: {First: outline.Angle{Against: outline.Trunk, Free: true}},
			},
			Free:     &outline.Free{From: 0, To: 120 * math.Pi / 180, By: outline.Balance},
			Supports: []outline.Support{{At: outline.Hands, On: outline.Bar}},
		}
		change(o)
		h, err := o.Hold()
		if err != nil {
			t.Fatal(err)
		}
		return h
	}
	both := lever("both", func(*outline.Outline) {})
	halves := lever("halves", func(o *outline.Outline) { o.Sharing, o.Share = outline.Given, 0.5 })
	drawn, err := holdtest.Draw("ansur2-men", body.Residual, 1, assume.Defaults())
	if err != nil {
		t.Fatal(err)
	}
	moment := func(h *hold.Hold) float64 {
		r := hold.NewResult(1, hold.ShoulderMoment)
		h.Solve(r, drawn.Columns, drawn.Capacity, hold.Posture{}, hold.Equilibrium, &drawn.Assume)
		return r.Value[hold.ShoulderMoment][0]
	}
	if a, b := moment(both), moment(halves); !(b > 0) || math.Abs(a/b-2) > 1e-9 {
		t.Errorf("both together %v, each of two halves %v", a, b)
	}
	for _, c := range []struct {
		d    hold.Demand
		a, b *hold.Hold
		like bool
	}{
		{hold.ShoulderMoment, both, hold.FrontLever, true}, {hold.ShoulderMoment, both, halves, false}, {hold.ShoulderMoment, halves, hold.IronCross, true},
		{hold.ElbowMoment, hold.OneArmHang, hold.IronCross, true}, {hold.ElbowMoment, hold.TwoArmHang, hold.IronCross, false}, {hold.WristMoment, hold.OneArmHang, hold.TwoArmHang, false},
		{hold.Difficulty, both, halves, true}, {hold.RequiredForce, hold.OneArmHang, hold.HumanFlag, true},
	} {
		for _, pair := range [][2]*hold.Hold{{c.a, c.b}, {c.b, c.a}} {
			if why := hold.Unlike(c.d, pair[0], pair[1]); (why == "") != c.like {
				t.Errorf("%s of %s and %s: %q", c.d, pair[0].Name, pair[1].Name, why)
			}
		}
	}
}
