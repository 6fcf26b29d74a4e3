package outline_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
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

// unequalOnFours makes of a lever somebody on unequal arms and three more places.
func unequalOnFours(o *outline.Outline) {
	o.LegForms, o.Free, o.Faces = false, nil, outline.FacesDown
	o.Parts = [outline.NumParts]outline.Pair{outline.Chest: level(200),
		outline.UpperArm: {First: raised(80).First, Other: raised(60).First, Differ: true}}
	o.Supports = []outline.Support{{At: outline.Hands, On: outline.Floor, Leans: &outline.Amount{Value: 0.2}}}
	for _, at := range []outline.Point{outline.Hips, outline.Knees, outline.WaistPoint} {
		o.Supports = append(o.Supports, outline.Support{At: at, On: outline.Floor, Grips: true})
	}
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
		{func(o *outline.Outline) { o.Faces = outline.FacesRight }, "faces", "the side that the belly faces"},
		{func(o *outline.Outline) { o.Supports = nil }, "supports", "say what holds the body up"},
		{func(o *outline.Outline) { o.Free = nil }, "free", "is missing"},
		{func(o *outline.Outline) { o.Free.To = -1 }, "free.to", "larger than from"},
		{func(o *outline.Outline) { o.Free.From, o.Free.To = 0, 0.1 }, "free", "widen the range"},
		{func(o *outline.Outline) { o.Parts[outline.UpperArm] = raised(90) }, "free", "no angle is free"},
		{func(o *outline.Outline) { o.Parts[outline.Thigh].First.Free = true }, "angles", "only one angle can be"},
		{func(o *outline.Outline) { o.Parts[outline.Thigh] = raised(90) }, "angles.thighs", "only upper arms can be"},
		{func(o *outline.Outline) { o.Parts[outline.Chest] = bent(20) }, "angles.chest", "from the level"},
		{func(o *outline.Outline) { o.Parts[outline.UpperArm] = bent(20); o.Free = nil }, "angles.upper_arms", "raised from the trunk"},
		{func(o *outline.Outline) { o.Parts[outline.Thigh] = bent(1000) }, "angles.thighs", "allowed:"},
		{func(o *outline.Outline) { o.Parts[outline.UpperArm] = raised(90); o.Free = nil }, "supports", "leave one angle free"},
		{func(o *outline.Outline) { o.Free.By = outline.Least }, "supports", "leave one angle free"},
		{func(o *outline.Outline) {
			o.Supports = append(o.Supports, outline.Support{At: outline.FirstHand, On: outline.Bar})
		}, "supports[1].at", "held twice"},
		{func(o *outline.Outline) { o.Supports[0].At = outline.Knees }, "supports[0].on", "only hands can hold a bar"},
		{func(o *outline.Outline) { o.Supports[0].On = outline.Pole }, "supports[0].on", "use view: front"},
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
		}, "supports", "more than one force of them"},
		{func(o *outline.Outline) {
			*o = described["human-flag"]
			o.Name, o.Parts[outline.Chest] = "leaning-flag", level(10)
		}, "angles", "a pole is upright"},
		{func(o *outline.Outline) { o.Supports[0].Fingers = 1 }, "supports[0].at", "hands on the floor"},
		{func(o *outline.Outline) { o.Supports[0].Grip = 2 }, "supports[0].grip", "allowed:"},
		{func(o *outline.Outline) { o.ArmsSpread = 2 }, "arms_spread", "allowed:"},
		{func(o *outline.Outline) { o.Forces = []outline.Force{{At: outline.Hips}} }, "forces[0].force", "does nothing"},
		{func(o *outline.Outline) { // every place there can be, each with all that it can pass on
			unequalOnFours(o)
			o.Supports[0].Leans, o.Supports[0].Grips = nil, true
		}, "supports", "more than one force of them"},
		{func(o *outline.Outline) {
			unequalOnFours(o)
			o.Sharing = outline.Alike
			for k, at := range []outline.Point{outline.Heels, outline.Hips, outline.UpperBack} {
				o.Supports[1+k] = outline.Support{At: at, On: outline.Wall, Rubs: &outline.Amount{Value: 0.3}}
			}
		}, "supports", "none of the bodies tried"},
		{func(o *outline.Outline) { // a ring would have to push
			o.LegForms, o.Free, o.Parts[outline.UpperArm] = false, nil, raised(90)
			o.Supports = []outline.Support{{At: outline.Hands, On: outline.Rings, Cable: 2}, {At: outline.UpperBack, On: outline.Bench}}
		}, "supports", "none of the bodies tried"},
		{func(o *outline.Outline) { o.OneArm, o.Sharing = true, outline.Alike }, "shared", "two hands with vertical forces"},
		{func(o *outline.Outline) {
			*o = described["iron-cross"]
			o.Supports = []outline.Support{{At: outline.Hands, On: outline.Rings, Apart: 5, Cable: 0.4}}
		}, "supports[0].cable", "does not reach"},
		{func(o *outline.Outline) {
			*o = described["iron-cross"]
			o.Sharing = outline.Alike
		}, "shared", "statics does not fix"},
		{func(o *outline.Outline) {
			*o = described["iron-cross"]
			o.HipsDecide = true
		}, "hips_decide", "sideways"},
		{func(o *outline.Outline) { o.ShoulderStrengthAt = new(100.0) }, "shoulder_strength_at", "allowed:"},
		{func(o *outline.Outline) {
			o.Supports[0] = outline.Support{At: outline.Hands, On: outline.Floor, Leans: &outline.Amount{Value: 30}, Press: &outline.Amount{Value: 40}}
		}, "supports[0].leans", "allowed:"},
		{func(o *outline.Outline) {
			o.Supports[0] = outline.Support{At: outline.Hands, On: outline.Floor, Press: &outline.Amount{Value: 40}}
		}, "supports[0].press", "allowed:"},
		{func(o *outline.Outline) { o.Forces = []outline.Force{{At: outline.Hips, Newtons: 1e6}} }, "forces[0].force", "allowed:"},
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
	{Name: "one-forearm", Title: "One forearm", Looks: "Straight on one forearm and the toes, the other arm at the side.", Faces: outline.FacesDown, Feet: outline.Standing, OneArm: true,
		Parts: [outline.NumParts]outline.Pair{outline.Chest: level(185), outline.UpperArm: {First: raised(85).First, Other: raised(0).First, Differ: true},
			outline.Forearm: {First: level(0).First, Other: bent(0).First, Differ: true}},
		Supports: []outline.Support{{At: outline.Forearms, On: outline.Floor}, {At: outline.Balls, On: outline.Floor}}},
	{Name: "split-l-sit", Title: "Split L-sit", Looks: "Upright on the hands, the legs at different angles.", Faces: outline.FacesRight,
		Parts: [outline.NumParts]outline.Pair{outline.Chest: level(-90), outline.UpperArm: freelyRaised,
			outline.Thigh: {First: bent(40).First, Other: bent(95).First, Differ: true}},
		Free:     &outline.Free{From: -60 * degree, To: 60 * degree, By: outline.Balance},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Floor}}, HipsDecide: true},
	{Name: "unequal-rings", Title: "Unequal rings", Looks: "Leaning back under two rings, one arm bent, heels on the floor.", Faces: outline.FacesUp,
		Parts: [outline.NumParts]outline.Pair{outline.Chest: level(-40), outline.UpperArm: {First: raised(140).First, Other: raised(125).First, Differ: true},
			outline.Forearm: {First: bent(0).First, Other: bent(50).First, Differ: true}},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Rings, Cable: 2}, {At: outline.Heels, On: outline.Floor}}, Sharing: outline.Given, Share: 0.6},
	{Name: "headstand", Title: "Headstand", Looks: "Upside down on the head and both hands.", Faces: outline.FacesLeft,
		Parts: [outline.NumParts]outline.Pair{outline.Chest: level(93), outline.UpperArm: raised(75), outline.Forearm: bent(75)},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Floor},
			{At: outline.HeadTop, On: outline.Floor}}},
	{Name: "unlike-hands", Title: "Unlike hands", Looks: "Face down, one hand turned back, the other pressing under its fingers.", Faces: outline.FacesDown,
		Parts: [outline.NumParts]outline.Pair{outline.Chest: level(190), outline.UpperArm: raised(80)}, Feet: outline.Standing,
		Supports: []outline.Support{{At: outline.FirstHand, On: outline.Floor, Fingers: math.Pi}, {At: outline.OtherHand, On: outline.Floor, Press: &outline.Amount{Value: 0.9}},
			{At: outline.Balls, On: outline.Floor}}, Sharing: outline.Alike},
}

// mirrored is an outline as a mirror beside it shows it: right is left.
func mirrored(o outline.Outline) *outline.Outline {
	o.Name = "mirrored-" + o.Name
	turn := func(angle *outline.Angle) {
		if angle.Against == outline.Level && !angle.Free {
			angle.Value = math.Pi - angle.Value
		}
	}
	levelled := false
	for part := range o.Parts {
		p := &o.Parts[part]
		levelled = levelled || p.First.Free && p.First.Against == outline.Level
		turn(&p.First)
		turn(&p.Other)
	}
	o.Faces = map[outline.Facing]outline.Facing{outline.FacesLeft: outline.FacesRight, outline.FacesRight: outline.FacesLeft,
		outline.FacesUp: outline.FacesUp, outline.FacesDown: outline.FacesDown}[o.Faces]
	if o.Free != nil {
		free := *o.Free
		if levelled {
			free.From, free.To = math.Pi-free.To, math.Pi-free.From
		}
		if free.By == outline.Across {
			free.Value = -free.Value
		}
		o.Free = &free
	}
	o.Forces = append([]outline.Force(nil), o.Forces...)
	for k := range o.Forces {
		o.Forces[k].Towards = math.Pi - o.Forces[k].Towards
	}
	return &o
}

// reordered is an outline whose supports are named the other way round.
func reordered(o outline.Outline) *outline.Outline {
	o.Name = "reordered-" + o.Name
	o.Supports = append([]outline.Support(nil), o.Supports...)
	slices.Reverse(o.Supports)
	return &o
}

// A hold is as hard in a mirror, and in whatever order its supports are named.
func TestMirroredAndReordered(t *testing.T) {
	all := append([]outline.Outline(nil), odd...)
	for _, o := range described {
		all = append(all, o)
	}
	b := golden.Must(holdtest.Draw("ansur2-women", body.Residual, 60, assume.Defaults()))(t)
	for _, o := range all {
		h, err := o.Hold()
		if err != nil {
			t.Errorf("%s: %v", o.Name, err)
			continue
		}
		want := b.Solve(h, hold.Posture{}, hold.Equilibrium)
		for _, other := range []*outline.Outline{mirrored(o), reordered(o)} {
			h, err := other.Hold()
			if err != nil {
				t.Errorf("%s: %v", other.Name, err)
				continue
			}
			got := b.Solve(h, hold.Posture{}, hold.Equilibrium)
			for d, column := range want.Value {
				if d == outline.FreeAngle || d == outline.OpenForce {
					continue
				}
				for i, y := range column {
					x := math.NaN()
					if got.Value[d] != nil {
						x = got.Value[d][i]
					}
					if !d.Signed {
						x, y = math.Abs(x), math.Abs(y)
					}
					if !(math.Abs(x-y) <= 1e-7*math.Max(1, math.Abs(y))) && !(math.IsNaN(x) && math.IsNaN(y)) {
						t.Errorf("%s: %s of row %d is %g, was %g", other.Name, d, i, x, y)
						break
					}
				}
			}
		}
	}
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
		first := golden.Must(small.Hold())(t)
		second := golden.Must(large.Hold())(t)
		b := golden.Must(holdtest.Draw("ansur2-women", body.Residual, 50, assume.Defaults()))(t)
		grown := golden.Must(b.Changed(body.Change{Of: body.Amounts{body.Size: {Share: scale - 1}}}))(t)
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
			h := golden.Must(o.Hold())(t)
			holdtest.Battery(t, h)
		})
	}
}
