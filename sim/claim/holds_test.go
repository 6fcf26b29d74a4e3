package claim_test

import (
	"context"
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/outcome"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
)

// over writes a claim over a hold.
func over(h string, lines ...string) string {
	return "claim: made-up\nsays: Made up.\npeople: [ansur2-men, ansur2-women]\nhold: " + h + "\n" + strings.Join(lines, "\n") + "\n"
}

// Every hold can be claimed about: the table has the quantity and what tells its
// postures apart, and everything that the hold asks for is reported.
func TestEveryHold(t *testing.T) {
	for _, h := range hold.All() {
		for _, model := range h.Judging() {
			for _, d := range h.Asks(model) {
				c := &claim.Claim{
					Name: "made-up", Says: "Made up.", Demand: d, Matters: claim.Threshold{Share: 0.01}, Share: 0.95,
					Scenario: scenario.Scenario{
						Hold: h, People: scenario.Survey("ansur2-women"), Models: []scenario.Model{scenario.DefaultModel(model)},
						Change: &scenario.Change{Body: body.Change{Of: body.Amounts{body.LegLength: {Metres: 0.03}}}},
					},
				}
				m, open := keep()
				r := test(t, c, func(o *claim.Options) { o.N, o.Draws, o.Open = 700, 0, open })
				if _, err := json.Marshal(outcome.Of(r)); err != nil {
					t.Errorf("%s, %s: %v", h.Name, d, err)
				}
				suffix, _ := outcome.ColumnUnit(d)
				slug := strings.ReplaceAll(model.String(), "-", "_") + "_"
				for _, when := range []string{"_before", "_after", "_effect"} {
					column := m.float[slug+d.String()+when+suffix]
					if len(column) != r.N {
						t.Fatalf("%s: %d rows of %s%s, want %d", h.Name, len(column), d, when, r.N)
					}
					for i, v := range column {
						if math.IsNaN(v) || math.IsInf(v, 0) {
							t.Fatalf("%s: row %d of %s%s is %g", h.Name, i, d, when, v)
						}
					}
				}
				if _, ok := m.float[slug+"lean_angle_before_deg"]; ok != h.AsksFor(model, hold.LeanAngle) {
					t.Errorf("%s, %s: lean angle in the table: %v", h.Name, d, ok)
				}
				o := r.Models[0].Pooled
				if got, want := len(o.Beside)+1, len(h.Asks(model)); h.Name != "human-flag" && got != want {
					t.Errorf("%s, %s: %d demands are reported, it asks for %d", h.Name, d, got, want)
				}
				if got := len(o.Postures); (got == 3) != (h.Name == "human-flag") || got != 3 && got != 0 {
					t.Errorf("%s, %s: %d rules of posture", h.Name, d, got)
				}
			}
		}
	}
}

// The shoulders of a lever turn the weight of everything but the arms about
// themselves: M₀·c, in which the arms' length does not occur. It acts on where
// the arms are.
func TestLongArmsAndTheLever(t *testing.T) {
	text := func(quantity, matters string) string {
		return over("front-lever", "change: {arm_length: +7 cm, mass: stays}", "quantity: "+quantity, "expect: increase", "matters: "+matters)
	}
	r := test(t, written(t, text("shoulder_moment", "3 %")), nil)
	if r.Verdict != claim.NoEffect {
		t.Errorf("shoulder moment: %s", r.Verdict)
	}
	moved := r.Models[0].Pooled.Beside[hold.ArmTrunkAngle].Effect
	if !(moved.P5 > 1*math.Pi/180) {
		t.Errorf("the angle between arms and trunk moves by %g rad and more", moved.P5)
	}
	r = test(t, written(t, text("arm_trunk_angle", "1 deg")), nil)
	if r.Verdict != claim.Supported {
		t.Errorf("angle between arms and trunk: %s", r.Verdict)
	}
	if again := r.Models[0].Pooled.Quantity.Effect; !(math.Abs(again.P50/(moved.P50)-1) <= 1e-3) {
		t.Errorf("the angle moves by %g°, as a claim's quantity by %g°", moved.P50, again.P50)
	}
}

// Arms too short to bring the centre of mass under the bar: what is counted is
// what the table holds, and impossible is harder than any threshold.
func TestArmsTooShort(t *testing.T) {
	const shorter = "change: {arm_length: -35 %, mass: stays}"
	for _, expect := range []string{"increase", "decrease", "none"} {
		m, open := keep()
		r := test(t, written(t, over("front-lever", shorter, "quantity: shoulder_moment", "expect: "+expect, "matters: 0.01 BW·m")), func(o *claim.Options) {
			o.N, o.Draws, o.Open = 9001, 0, open
		})
		o := r.Models[0].Pooled
		var can, lost int64
		for i, p := range m.integer["equilibrium_possible"] {
			switch p {
			case 3:
				can++
			case 1:
				lost++
				if after := m.float["equilibrium_shoulder_moment_after_bw_m"][i]; after != 0 {
					t.Fatalf("row %d cannot take the posture, but is asked for %g", i, after)
				}
			default:
				t.Fatalf("row %d: possible is %d", i, p)
			}
		}
		if lost < 500 || can < 500 {
			t.Fatalf("%d can no longer take the posture, %d can: a test of neither", lost, can)
		}
		if o.BecameImpossible != lost || o.N != can+lost || o.Excluded != 0 || o.BecamePossible != 0 {
			t.Errorf("%d no longer, %d count, %d left out, %d only now; the table has %d and %d", o.BecameImpossible, o.N, o.Excluded, o.BecamePossible, lost, can+lost)
		}
		// The moment of the others is what it was, so only the lost move.
		share := float64(lost) / float64(can+lost)
		d, within := o.Draws, 4*math.Sqrt(share*(1-share)/4096) // of people of their own
		rises := map[string]claim.Summary{"increase": d.AsClaimed, "decrease": d.Against, "none": d.Against}[expect]
		if !(math.Abs(rises.P50-share) <= within) || d.NeverRises || !d.NeverFalls {
			t.Errorf("%s: rises for %+v, want %g; never rises %v, falls %v", expect, rises, share, d.NeverRises, d.NeverFalls)
		}
		if expect == "none" && d.AsClaimed != d.TooSmall && !(math.IsNaN(d.AsClaimed.Mean) && d.AsClaimed.P50 == d.TooSmall.P50) {
			t.Errorf("as claimed %+v, too small %+v", d.AsClaimed, d.TooSmall)
		}
		// Exactly none for those who can is not exactly no effect for all.
		if r.Verdict == claim.NoEffect {
			t.Errorf("%s: %s", expect, r.Verdict)
		}
		for _, p := range []float64{0, 0.3, 1 - share - 0.05} {
			if e := d.PeopleAt(p); !(math.Abs(e) <= 1e-14) {
				t.Errorf("the %g-quantile of people is %g, who can are moved by nothing", p, e)
			}
		}
		if e := d.PeopleAt(1); !math.IsInf(e, 1) {
			t.Errorf("the most that anybody is moved by is %g", e)
		}
	}
	never := test(t, written(t, over("front-lever", "change: {arm_length: -60 %}", "quantity: lean_angle", "expect: increase", "matters: 1 deg")), nil)
	if o := never.Models[0].Pooled; never.Verdict != claim.Supported || o.BecameImpossible != o.N || !math.IsInf(o.Draws.Effect.P5, 1) {
		t.Errorf("%s: %d of %d no longer, effect %+v", never.Verdict, o.BecameImpossible, o.N, o.Draws.Effect)
	}
	if _, err := json.Marshal(outcome.Of(never)); err != nil {
		t.Error(err)
	}
}

// fixed gives assumptions for which many or all cannot lean far enough in the
// planche: flat hands that press at the fingers, short arms, a long trunk.
func fixed(t *testing.T, c *claim.Claim, values map[assume.ID]float64) {
	t.Helper()
	c.Assumptions = c.Assumed()
	for id, value := range values {
		golden.OK(t, c.Assumptions.Fix(id, value))
	}
}

// Longer arms let some take the planche who could not before: infinitely easier.
func TestBecomingPossible(t *testing.T) {
	c := written(t, over("planche", "change: {arm_length: +10 cm}", "quantity: lean_angle", "expect: decrease", "matters: 1 deg"))
	m, open := keep()
	r := test(t, c, func(o *claim.Options) {
		o.N, o.Draws, o.Open = 5000, 0, open
		fixed(t, c, map[assume.ID]float64{assume.PressureReach: 1})
	})
	var now, never, easier int64
	for i, p := range m.integer["equilibrium_possible"] {
		switch {
		case p == 2:
			now++
			easier++
		case p == 0:
			never++
		case m.float["equilibrium_lean_angle_effect_deg"][i] < -1:
			easier++
		}
	}
	o := r.Models[0].Pooled
	if now < 100 || o.BecamePossible != now || o.Excluded != never || o.BecameImpossible != 0 {
		t.Errorf("%d only now and %d never, counted %d and %d", now, never, o.BecamePossible, o.Excluded)
	}
	share := float64(easier) / float64(int64(r.N)-never)
	if got := o.Draws.AsClaimed.P50; !(math.Abs(got-share) <= 4*math.Sqrt(share*(1-share)/4096)) {
		t.Errorf("as claimed for %g in the draws, counted %g", got, share)
	}
}

// Where nobody can take the posture, before or after, there is no verdict, and no
// "exactly no effect" on nobody.
func TestNobodyTakesThePosture(t *testing.T) {
	c := written(t, over("planche", "change: {leg_length: +2 cm}", "quantity: lean_angle", "expect: increase", "matters: 1 deg"))
	c.Where = []anthro.Range{{Of: anthro.Ratio(anthro.Span, anthro.Stature), Low: 0.9, High: 0.97}}
	r := test(t, c, func(o *claim.Options) {
		o.N, o.Draws = 3000, 0
		fixed(t, c, map[assume.ID]float64{assume.PressureReach: 1, assume.ShoulderDrop: 0.3, assume.HipDrop: 0.08, assume.HeelShare: 0, assume.GripReach: 0})
	})
	m := r.Models[0]
	if o := m.Pooled; o.N != 0 || o.Excluded != int64(r.N) || m.Verdict != claim.NobodyHolds {
		t.Errorf("%d count, %d of %d are left out; %s", o.N, o.Excluded, r.N, m.Verdict)
	}
	if !math.IsNaN(m.Pooled.Draws.Effect.P50) {
		t.Errorf("the median effect on nobody is %g", m.Pooled.Draws.Effect.P50)
	}
	if _, err := json.Marshal(outcome.Of(r)); err != nil {
		t.Error(err)
	}
}

// A contrast between people of whom some or most cannot take the posture.
func TestContrastOfPeopleWhoCannot(t *testing.T) {
	for name, c := range map[string]struct {
		values map[assume.ID]float64
		want   func(claim.ContrastResult) bool
	}{
		"some": {map[assume.ID]float64{assume.PressureReach: 1}, func(c claim.ContrastResult) bool {
			return c.Impossible > 0 && c.Impossible < c.N && c.Verdict == claim.Supported && c.Draws.Effect.P95 < 0
		}},
		"most": {map[assume.ID]float64{assume.PressureReach: 1, assume.ShoulderDrop: 0.3, assume.HipDrop: 0.08}, func(c claim.ContrastResult) bool {
			return c.Impossible > c.N && c.Verdict == claim.NobodyHolds && math.IsNaN(c.Draws.Effect.P50)
		}},
	} {
		for _, matters := range []string{"1 deg", "1 %"} {
			compared := written(t, over("planche", "contrast: {by: span/stature}", "quantity: lean_angle", "expect: decrease", "matters: "+matters))
			r := test(t, compared, func(o *claim.Options) {
				o.N, o.Draws = 9001, 0
				fixed(t, compared, c.values)
			})
			for _, contrast := range r.Contrast {
				if !c.want(contrast) {
					t.Errorf("%s, %s: %d of twice %d cannot; %s; %+v", name, matters, contrast.Impossible, contrast.N, contrast.Verdict, contrast.Draws.Effect)
				}
			}
			if _, err := json.Marshal(outcome.Of(r)); err != nil {
				t.Errorf("%s, %s: %v", name, matters, err)
			}
		}
	}
}

// Thighs drawn up past the hips turn the other way about them: a baseline below
// zero. Longer legs then make that moment more negative, a fall, whether the
// threshold is a share or a size.
func TestBaselineBelowZero(t *testing.T) {
	for _, matters := range []string{"1 %", "0.0001 BW·m"} {
		m, open := keep()
		r := test(t, written(t, over("front-lever", "legs: {form: tuck, hip: 150 deg, knee: 100 deg}", "change: {leg_length: +4 cm}", "quantity: hip_moment", "expect: decrease", "matters: "+matters)),
			func(o *claim.Options) { o.Draws, o.N, o.Open = 0, 5000, open })
		if r.Verdict != claim.Supported {
			t.Errorf("%s: %s", matters, r.Verdict)
		}
		for i, v := range m.float["equilibrium_hip_moment_before_bw_m"] {
			if !(v < 0) {
				t.Fatalf("row %d: the baseline is %g", i, v)
			}
		}
		if p := r.Models[0].Pooled.Percent; p != nil && !(p.P95 < 0) {
			t.Errorf("the effect is %g %% of the baseline, want it below zero", p.P95)
		}
	}
}

// A change of pose is the whole pose of the changed body, and back again is the
// opposite effect.
func TestChangeOfPose(t *testing.T) {
	there := test(t, written(t, over("push-up", "pose: {hands_raised: 30 cm}", "change: {pose: {hands_raised: 0 cm, feet_raised: 30 cm}}", "quantity: hand_share", "expect: increase", "matters: 0.01 BW")), fixedN)
	back := test(t, written(t, over("push-up", "pose: {feet_raised: 30 cm}", "change: {pose: {feet_raised: 0 cm, hands_raised: 30 cm}}", "quantity: hand_share", "expect: decrease", "matters: 0.01 BW")), fixedN)
	a, b := there.Models[0].Pooled, back.Models[0].Pooled
	if there.Verdict != claim.Supported || back.Verdict != claim.Supported {
		t.Errorf("there %s, back %s", there.Verdict, back.Verdict)
	}
	if !(math.Abs(a.Quantity.Effect.Mean+b.Quantity.Effect.Mean) <= 1e-12) || a.Quantity.Changed.P50 != b.Quantity.Baseline.P50 {
		t.Errorf("there %g, back %g", a.Quantity.Effect.Mean, b.Quantity.Effect.Mean)
	}
	// The weight is on hands and feet, so one's gain is the other's loss.
	if feet := a.Beside[hold.FootShare].Effect.P50; !(math.Abs(feet+a.Quantity.Effect.P50) <= 1e-3*math.Abs(feet)) {
		t.Errorf("hands %+g, feet %+g", a.Quantity.Effect.P50, feet)
	}
}

// What a claim asks of a hold that does not have it, each with what it has.
func TestHoldHasNoSuchThing(t *testing.T) {
	angle, straddle := 0.3, hold.LegsIn(hold.Straddle, 0.5)
	var bent, far hold.Pose
	bent[hold.Bent], far[hold.WallDistance] = 1, 1.7
	for _, c := range []struct {
		hold  string
		alter func(*claim.Claim)
		want  string
	}{
		{"front-lever", func(c *claim.Claim) { c.Pose = bent }, "pose.bent: front-lever has no bent, nor any other variant of its pose"},
		{"iron-cross", func(c *claim.Claim) { c.Change.Pose = &bent }, "change.pose.bent: iron-cross has no bent; it has arms_low, rings_apart, cable_length"},
		{"wall-handstand", func(c *claim.Claim) { c.Pose = far }, "pose.wall_distance: 1.7 m is not possible, allowed: 0.02 to 1.2 m"},
		{"iron-cross", func(c *claim.Claim) { c.Legs = straddle }, "legs: iron-cross cannot be done with the legs straddle; allowed: together"},
		{"push-up", func(c *claim.Claim) { c.Change.Legs = &straddle }, "change.legs: push-up cannot be done with the legs straddle; allowed: together"},
		{"planche", func(c *claim.Claim) { c.Tilt = angle }, "tilt: planche is not tilted, leave this out"},
		{"planche", func(c *claim.Claim) { c.Change.Tilt = &angle }, "change.tilt: planche is not tilted, leave this out"},
		{"planche", func(c *claim.Claim) { c.Change.Posture = scenario.SameSpacing }, "posture: planche leaves no choice of posture: leave this out or write best"},
		{"planche", func(c *claim.Claim) { c.Change.Arms = &scenario.Arms{Turn: &angle} }, "change: planche leaves no choice of arm position: leave out arm_angle and hand_spacing"},
		{"planche", func(c *claim.Claim) { c.Demand = hold.HandShare }, "quantity: planche has no hand_share; it has required_force, difficulty, shoulder_moment, waist_moment, hip_moment, lean_angle, arm_trunk_angle, elbow_moment, wrist_moment, wrist_angle, use_of_shoulder_flexion, use_of_elbow_flexion, use_of_waist_backward, use_of_arm_push"},
		{"l-sit", func(c *claim.Claim) { c.Demand, c.Legs = hold.Difficulty, hold.LegsIn(hold.Tuck, 0) }, "quantity: the difficulty of l-sit is not known: the strength of the muscles that lift a thigh was never measured beyond a right angle"},
		{"back-lever", func(c *claim.Claim) { c.Demand = hold.Difficulty }, "quantity: the difficulty of back-lever is not known: the strength of the muscles that lift the arm forwards was never measured with the arm behind the trunk"},
		{"planche", func(c *claim.Claim) { c.Models = []scenario.Model{scenario.DefaultModel(hold.TwoCondition)} }, "models: planche is not computed under two-condition, only under equilibrium"},
		{"planche", func(c *claim.Claim) { c.Models = nil }, "models: a model is needed"},
		{"planche", func(c *claim.Claim) { c.Change.Assume = map[assume.ID]float64{assume.WallFriction: 0.1} }, "change: the assumption wall_friction is not about the hold's own statics, so a change cannot alter it"},
		{"back-lever", func(c *claim.Claim) {
			c.Change.Body.Mass = []body.AddedMass{{Region: body.Trunk, Kilograms: 2, Working: 0.4}}
		}, "change: back-lever does not compare demands with strength, so working_share changes nothing: leave it out"},
	} {
		h, _ := hold.Parse(c.hold)
		made := &claim.Claim{
			Name: "made-up", Says: "Made up.", Demand: h.Asks(hold.Equilibrium)[0], Matters: claim.Threshold{Share: 0.01}, Share: 0.95,
			Scenario: scenario.Scenario{
				Hold: h, People: scenario.Survey("ansur2-men"), Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
				Change: &scenario.Change{Body: body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.05}}}},
			},
		}
		if err := made.Check(); err != nil {
			t.Fatalf("%s: %v", c.hold, err)
		}
		c.alter(made)
		if err := made.Check(); err == nil || err.Error() != c.want {
			t.Errorf("%s:\n got %v\nwant %s", c.hold, err, c.want)
		}
	}
}

// Curves are of a choice of posture; bodies can be shown in every hold.
func TestNoCurvesWithoutAChoice(t *testing.T) {
	c := written(t, over("planche", "change: {leg_length: +5 cm}", "expect: increase", "matters: 1 %"))
	m, err := claim.MediansOf(c, 0, 0, claim.OwnMiddle, assume.Defaults())
	if err != nil || m.Before.Held == nil || m.After.Held == nil || m.Before.Curve != nil || m.After.Curve != nil {
		t.Errorf("medians %+v, error %v", m, err)
	}
	_, err = claim.GroupsOf(c, 0, 0, assume.Defaults(), 1)
	var field *fault.Error
	if !errors.As(err, &field) || field.Field != "contrast" {
		t.Errorf("error %v", err)
	}
}

// The curve of the middle body goes through the point at which it is held, lies above the
// least of a demand that its posture makes least, and is true between its points.
func TestCurveOfAMiddleBody(t *testing.T) {
	for _, quantity := range []string{"difficulty", "required_force"} {
		c := written(t, over("human-flag", "change: {arm_length: +10 cm}", "quantity: "+quantity, "expect: increase", "matters: 1 %"))
		a := assume.Defaults()
		narrow, wide := a, a
		narrow[assume.ShoulderSpan], wide[assume.ShoulderSpan] = assume.ShoulderSpan.Info().Low, assume.ShoulderSpan.Info().High
		m := golden.Must(claim.MediansOf(c, 0, 0, claim.OwnMiddle, narrow, wide, a))(t)
		for _, k := range []*claim.Curve{m.Before.Curve, m.After.Curve} {
			i := slices.IndexFunc(k.Spacing, func(x float64) bool { return x >= k.BestSpacing })
			if i < 1 || !slices.IsSorted(k.Spacing) {
				t.Fatalf("%s: the body holds on %v m apart, the curve goes from %v to %v", quantity, k.BestSpacing, k.Spacing[0], k.Spacing[len(k.Spacing)-1])
			}
			at := k.Demand[i-1] + (k.BestSpacing-k.Spacing[i-1])/(k.Spacing[i]-k.Spacing[i-1])*(k.Demand[i]-k.Demand[i-1])
			if math.Abs(at/k.Best-1) > 2e-3 {
				t.Errorf("%s: %v where it is held, the curve says %v", quantity, k.Best, at)
			}
			if least := slices.Min(k.Demand); quantity == "difficulty" && least < k.Best*(1-1e-9) {
				t.Errorf("best %v, the curve comes down to %v", k.Best, least)
			}
			if at := k.Spacings; len(at) != 3 || !(at[0] < at[1] && at[1] < at[2]) || at[1] != k.BestSpacing {
				t.Errorf("held %v m apart, and %v with narrower and wider shoulders and such as usual", k.BestSpacing, at)
			}
			if len(k.Spacing) > 400 {
				t.Errorf("%d points", len(k.Spacing))
			}
		}
		if held := m.After.Held.Held.Value[hold.HandSpacing][0]; math.Abs(held-m.After.Curve.BestSpacing) > 1e-9 {
			t.Errorf("the body is held %v m apart, the curve says %v", held, m.After.Curve.BestSpacing)
		}
	}
}

// The middle body is shown under assumptions that do to it what is told of people, not what they
// do to it on the whole: bodies of middle measures are not in the middle of effects.
func TestMiddleBodyIsAffectedAsIsTold(t *testing.T) {
	c := written(t, over("human-flag", "change: {hand_spacing: widest}", "quantity: required_force", "expect: decrease"))
	r := golden.Must(claim.Test(context.Background(), c, claim.Options{N: 10000, Seed: 1, Draws: 256}))(t)
	of := r.Models[0].Groups[0].Draws
	span := of.MedianAt(0.95) - of.MedianAt(0.05)
	for _, effect := range []float64{of.MedianAt(0.2), of.PeopleAt(0.5), of.MedianAt(0.8)} { // far apart
		m := golden.Must(claim.MediansOf(c, 0, 0, claim.Told{Before: of.Before.P50, Effect: effect}, r.Assumed(256)...))(t)
		if got := 100 * (m.After.Curve.Best/m.Before.Curve.Best - 1); math.Abs(got-effect) > span/20 || math.Abs(m.Before.Curve.Best/of.Before.P50-1) > 0.05 {
			t.Errorf("told to need %.3f and %.2f %% more, the middle body shows %.3f and %.2f %%", of.Before.P50, effect, m.Before.Curve.Best, got)
		}
	}
}

// Groups are as large as the contrast makes them, and their middle ones what they are
// called.
func TestGroupsOfAContrast(t *testing.T) {
	c := written(t, over("human-flag", "contrast: {by: stature, groups: thirds}", "quantity: difficulty", "expect: increase", "matters: 1 %"))
	g := golden.Must(claim.GroupsOf(c, 0, 0, assume.Defaults(), 1))(t)
	short, tall := g.Bottom.Held.Body.Stature[0], g.Top.Held.Body.Stature[0]
	if !(short < tall-0.08) || len(g.Top.Demand) < 5000 || len(g.Top.Demand) > 5500 || !slices.IsSorted(g.Top.Demand) {
		t.Errorf("%v and %v m; %d of the tallest", short, tall, len(g.Top.Demand))
	}
	r := golden.Must(claim.Test(context.Background(), c, claim.Options{N: 20000, Seed: 1, Workers: 2}))(t)
	if want := r.Contrast[0].Median.High; math.Abs(g.Top.At(0.5)/want-1) > 0.02 {
		t.Errorf("the tallest are asked for %v, the test says %v", g.Top.At(0.5), want)
	}
}

// Everybody in the population who is drawn for a claim over one hold is drawn for
// a claim over another.
func TestSamePeopleForEveryHold(t *testing.T) {
	var first []float64
	for _, name := range []string{"human-flag", "l-sit"} {
		m, open := keep()
		c := written(t, over(name, "change: {leg_length: +5 cm}", "quantity: hip_moment", "expect: increase", "matters: 1 %"))
		o := claim.DefaultOptions()
		o.N, o.Draws, o.Open = 5000, 0, open
		if _, err := claim.Test(context.Background(), c, o); err != nil {
			t.Fatal(err)
		}
		if first == nil {
			first = m.float["stature_m"]
		}
		for i, h := range m.float["stature_m"] {
			if h != first[i] {
				t.Fatalf("row %d: %g m tall, then %g m", i, first[i], h)
			}
		}
	}
	if len(first) != 5000 {
		t.Errorf("%d people", len(first))
	}
}

// The same body in another hold: what the flag asks for less what the hang does.
func TestOtherHold(t *testing.T) {
	c := &claim.Claim{
		Name: "made-up", Says: "Made up.", Demand: hold.RequiredForce, Matters: claim.Threshold{Absolute: 0.05}, Share: 0.95,
		Scenario: scenario.Scenario{
			Hold: hold.OneArmHang, People: scenario.Survey("ansur2-men"), Change: &scenario.Change{Hold: hold.HumanFlag},
			Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
		},
	}
	r := test(t, c, func(o *claim.Options) { o.N, o.Draws = 3000, 0 })
	flag := *c
	flag.Hold, flag.Change = hold.HumanFlag, &scenario.Change{Body: body.Change{Of: body.Amounts{body.LegLength: {Metres: 0.01}}}}
	alone := test(t, &flag, func(o *claim.Options) { o.N, o.Draws = 3000, 0 })
	if said := r.Taught.Pooled.Quantity; said.Changed.Mean != alone.Taught.Pooled.Quantity.Baseline.Mean {
		t.Errorf("the rule that is taught: %g BW in the flag, alone %g BW", said.Changed.Mean, alone.Taught.Pooled.Quantity.Baseline.Mean)
	}
	for l := range r.Models {
		got, want := r.Models[l].Pooled.Quantity, alone.Models[l].Pooled.Quantity
		if got.Baseline.P50 != 1 {
			t.Errorf("%s: a hang asks for %g BW", r.Models[l].Name, got.Baseline.P50)
		}
		if got.Changed.Mean != want.Baseline.Mean || !(math.Abs(got.Effect.Mean-(want.Baseline.Mean-1)) <= 1e-12) {
			t.Errorf("%s: %g BW in the flag, effect %g; the flag alone %g BW", r.Models[l].Name, got.Changed.Mean, got.Effect.Mean, want.Baseline.Mean)
		}
		if _, told := r.Models[l].Pooled.Beside[hold.Difficulty]; told != (r.Models[l].Model.Statics == hold.Equilibrium) {
			t.Errorf("%s: difficulties compared: %v", r.Models[l].Name, told)
		}
	}
}

// The rule that is taught is of the flag alone: its difficulty is not set against that of
// another hold, which is another thing. A force is a force.
func TestTaughtDifficultyOfAnotherHold(t *testing.T) {
	c := &claim.Claim{
		Name: "made-up", Says: "Made up.", Share: 0.95,
		Scenario: scenario.Scenario{
			Hold: hold.HumanFlag, People: scenario.Survey("ansur2-men"), Change: &scenario.Change{Hold: hold.FrontLever},
			Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
		},
	}
	for d, told := range map[hold.Demand]bool{hold.Difficulty: false, hold.RequiredForce: true} {
		c.Demand = d
		r := test(t, c, func(o *claim.Options) { o.N, o.Draws = 600, 0 })
		if (r.Taught != nil) != told {
			t.Errorf("%s: the rule that is taught is told: %v, want %v", d, r.Taught != nil, told)
		}
	}
}

// People are not compared by a difficulty that nobody knows.
func TestContrastOfWhatNobodyKnows(t *testing.T) {
	c := written(t, over("l-sit", "contrast: {by: stature, groups: thirds}", "quantity: difficulty", "expect: increase"))
	golden.OK(t, c.Check())
	c.Legs = hold.LegsIn(hold.Tuck, 0)
	if err := c.Check(); err == nil || !strings.Contains(err.Error(), "quantity: the difficulty of l-sit is not known: the strength of the muscles that lift a thigh was") {
		t.Errorf("error %v", err)
	}
}
