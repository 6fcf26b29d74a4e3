package outline_test

import (
	"math"
	"strings"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/hold/holdtest"
	"counterpoise/sim/outline"
)

// lever is a front lever with something changed.
func lever(change func(o *outline.Outline)) *outline.Outline {
	o := described["front-lever"]
	o.Supports = append([]outline.Support(nil), o.Supports...)
	free := *o.Free
	o.Free = &free
	change(&o)
	return &o
}

// What cannot be meant is refused, in the field that says it, with what to do.
func TestCheck(t *testing.T) {
	for _, of := range []struct {
		change      func(o *outline.Outline)
		field, says string
	}{
		{func(o *outline.Outline) { o.Name = "My Lever" }, "hold", "small letters"},
		{func(o *outline.Outline) { o.Name = "planche" }, "hold", "choose another name"},
		{func(o *outline.Outline) { o.Looks = " " }, "looks", "missing"},
		{func(o *outline.Outline) { o.Faces = outline.FacesRight }, "faces", "the side to which the belly looks"},
		{func(o *outline.Outline) { o.Supports = nil }, "supports", "what the body is held by"},
		{func(o *outline.Outline) { o.Free = nil }, "free", "is missing"},
		{func(o *outline.Outline) { o.Free.To = -1 }, "free.to", "larger than from"},
		{func(o *outline.Outline) { o.Free.From, o.Free.To = 0, 0.1 }, "free", "widen the range"},
		{func(o *outline.Outline) { o.Parts[outline.UpperArm] = raised(90) }, "free", "no angle is free"},
		{func(o *outline.Outline) { o.Parts[outline.Thigh].First.Free = true }, "angles", "one angle may be"},
		{func(o *outline.Outline) { o.Parts[outline.Thigh] = raised(90) }, "angles.thighs", "only upper arms are"},
		{func(o *outline.Outline) { o.Parts[outline.Chest] = bent(20) }, "angles.chest", "against the level"},
		{func(o *outline.Outline) { o.Parts[outline.UpperArm] = bent(20); o.Free = nil }, "angles.upper_arms", "raised from the trunk"},
		{func(o *outline.Outline) { o.Parts[outline.Thigh] = bent(1000) }, "angles.thighs", "allowed are"},
		{func(o *outline.Outline) { o.Parts[outline.UpperArm] = raised(90); o.Free = nil }, "supports", "leave an angle free"},
		{func(o *outline.Outline) { o.Free.By = outline.Least }, "supports", "leave an angle free"},
		{func(o *outline.Outline) {
			o.Supports = append(o.Supports, outline.Support{At: outline.FirstHand, On: outline.Bar})
		}, "supports[1].at", "held twice"},
		{func(o *outline.Outline) { o.Supports[0].At = outline.Knees }, "supports[0].on", "only hands hold a bar"},
		{func(o *outline.Outline) { o.Supports[0].On = outline.Pole }, "supports[0].on", "seen from the front"},
		{func(o *outline.Outline) {
			o.Supports = append(o.Supports, outline.Support{At: outline.Heels, On: outline.Partner})
		}, "leg_forms", "bear weight"},
		{func(o *outline.Outline) {
			o.LegForms = false
			o.Supports = append(o.Supports, outline.Support{At: outline.Heels, On: outline.Partner})
		}, "free.by", "one place carries everything"},
		{func(o *outline.Outline) {
			o.LegForms, o.Free, o.Parts[outline.UpperArm] = false, nil, raised(75)
			o.Feet = outline.Standing
			o.Supports = append(o.Supports, outline.Support{At: outline.Balls, On: outline.Floor, Grips: true},
				outline.Support{At: outline.Hips, On: outline.Partner})
		}, "supports", "more than one force is left open"},
		{func(o *outline.Outline) {
			*o = described["human-flag"]
			o.Name, o.Parts[outline.Chest] = "leaning-flag", level(10)
		}, "angles", "a pole is upright"},
		{func(o *outline.Outline) { o.Supports[0].Fingers = 1 }, "supports[0].at", "hands on the floor"},
		{func(o *outline.Outline) { o.Supports[0].Grip = 2 }, "supports[0].grip", "allowed are"},
		{func(o *outline.Outline) { o.ArmsSpread = 2 }, "arms_spread", "allowed are"},
		{func(o *outline.Outline) { o.Forces = []outline.Force{{At: outline.Hips}} }, "forces[0].force", "does nothing"},
		{func(o *outline.Outline) { o.Forces = []outline.Force{{At: outline.Hips, Newtons: 1e6}} }, "forces[0].force", "allowed are"},
	} {
		err := lever(of.change).Check()
		found := false
		for _, f := range fault.All(err) {
			found = found || f.Field == of.field && strings.Contains(f.Reason, of.says)
		}
		if !found {
			t.Errorf("%s with %q: got %v", of.field, of.says, err)
		}
	}
	if err := lever(func(*outline.Outline) {}).Check(); err != nil {
		t.Errorf("a good one: %v", err)
	}
}

// odd are holds that use what the shipped ones leave out: unequal arms, a share that is
// given, a partner, forces in any direction, a bent spine, a head of its own way.
var odd = []outline.Outline{
	{Name: "one-hand-lower", Title: "One hand lower", Looks: "Under a bar, one hand lower than the other.", Faces: outline.FacesUp,
		Parts: [outline.NumParts]outline.Pair{outline.Chest: level(0), outline.Head: bent(20),
			outline.UpperArm: {First: outline.Angle{Against: outline.Trunk, Free: true}, Other: raised(60).First, Differ: true},
			outline.Forearm:  {Other: bent(60).First, Differ: true}},
		Free:     &outline.Free{From: 30 * degree, To: 100 * degree, By: outline.Higher, Of: outline.FirstHand, Over: outline.OtherHand, Value: 0.03},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Bar}}},
	{Name: "shared-as-told", Title: "Shared as told", Looks: "Out from a pole, the top hand carrying a third.", View: outline.Front, ShouldersRaised: true,
		Parts:    [outline.NumParts]outline.Pair{outline.Chest: level(0), outline.UpperArm: raised(130)},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Pole}}, Sharing: outline.Given, Share: 0.33},
	{Name: "helped-lever", Title: "Helped lever", Looks: "Level under a bar, arched, a band at the waist, a partner at the heels.", Faces: outline.FacesUp,
		Parts: [outline.NumParts]outline.Pair{outline.Chest: level(-5), outline.Abdomen: bent(10), outline.Pelvis: bent(-20), outline.Thigh: bent(10),
			outline.Shank: bent(15), outline.UpperArm: raised(70)},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Bar}, {At: outline.Heels, On: outline.Partner}},
		Forces:   []outline.Force{{At: outline.WaistPoint, Newtons: 120, Towards: 110 * degree}, {At: outline.HeadTop, Newtons: 15, Towards: 90 * degree}}},
	{Name: "kneeling-push", Title: "Kneeling", Looks: "On hands and knees.", Faces: outline.FacesDown,
		Parts:    [outline.NumParts]outline.Pair{outline.Chest: {First: outline.Angle{Against: outline.Level, Free: true}}, outline.UpperArm: raised(80), outline.Shank: level(180)},
		Free:     &outline.Free{From: 180 * degree, To: 240 * degree, By: outline.Higher, Of: outline.Hands, Over: outline.Knees},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Floor}, {At: outline.Knees, On: outline.Floor}}},
}

// What has lengths of its own scales with them: a cross between rings that hang farther
// apart on longer cables, a handstand farther from its wall.
func TestSizedHoldsScale(t *testing.T) {
	const scale = 1.37
	for _, name := range []string{"iron-cross", "wall-handstand"} {
		small := described[name]
		large := small
		large.Supports = append([]outline.Support(nil), small.Supports...)
		large.Supports[0].Apart *= scale
		large.Supports[0].Cable *= scale
		if small.Free != nil {
			free := *small.Free
			free.Value *= scale
			large.Free = &free
		}
		first, err := small.Hold()
		if err != nil {
			t.Fatal(err)
		}
		second, err := large.Hold()
		if err != nil {
			t.Fatal(err)
		}
		b, err := holdtest.Draw("ansur2-women", body.Residual, 50, assume.Defaults())
		if err != nil {
			t.Fatal(err)
		}
		grown, err := b.Changed(body.Change{Of: body.Amounts{body.Size: {Share: scale - 1}}})
		if err != nil {
			t.Fatal(err)
		}
		r, s := b.Solve(first, hold.Posture{}, hold.Equilibrium), grown.Solve(second, hold.Posture{}, hold.Equilibrium)
		for i := range b.Rows() {
			x, y := r.Value[hold.RequiredForce][i], s.Value[hold.RequiredForce][i]
			m, n := r.Value[hold.ElbowMoment][i], s.Value[hold.ElbowMoment][i]
			if !(math.Abs(x-y) <= 1e-9) || !(math.Abs(m*scale-n) <= 1e-9) || !r.Possible[i] {
				t.Fatalf("%s, row %d: force %g and moment %g, enlarged %g and %g", name, i, x, m, y, n)
			}
		}
	}
}

func TestOddHolds(t *testing.T) {
	for _, o := range odd {
		t.Run(o.Name, func(t *testing.T) {
			h, err := o.Hold()
			if err != nil {
				t.Fatal(err)
			}
			holdtest.Battery(t, h)
		})
	}
}
