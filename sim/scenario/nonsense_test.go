package scenario_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/scenario"
	"counterpoise/sim/scenario/scores"
	"counterpoise/sim/sweep"
)

var (
	nan = math.NaN()
	inf = math.Inf(1)
)

// sense is a scenario that makes sense.
func sense() scenario.Scenario {
	return scenario.Scenario{
		Hold: hold.HumanFlag, People: scenario.Survey("ansur2-men"), Models: []scenario.Model{scenario.DefaultModel(hold.Equilibrium)},
		Change: &scenario.Change{Body: body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.05}}}},
	}
}

// changed is a scenario with a change of the body.
func changed(t body.Trait, by body.Amount) func(*scenario.Scenario) {
	return func(s *scenario.Scenario) { s.Change.Body.Of[t] = by }
}

func added(m body.AddedMass) func(*scenario.Scenario) {
	return func(s *scenario.Scenario) { s.Change.Body.Mass = []body.AddedMass{m} }
}

func armed(a scenario.Arms) func(*scenario.Scenario) {
	return func(s *scenario.Scenario) { s.Change.Arms = &a }
}

func assumed(id assume.ID, x float64) func(*scenario.Scenario) {
	return func(s *scenario.Scenario) { s.Change.Assume = map[assume.ID]float64{id: x} }
}

func believed(spoil func(u *assume.Uncertainty)) func(*scenario.Scenario) {
	return func(s *scenario.Scenario) {
		s.Assumptions = assume.DefaultUncertainty()
		spoil(&s.Assumptions)
	}
}

// What no scenario can mean, by the field that is at fault.
var nonsense = []struct {
	field string
	spoil func(*scenario.Scenario)
}{
	{"hold", func(s *scenario.Scenario) { s.Hold = nil }},
	{"legs.form", func(s *scenario.Scenario) { s.Legs.Form = 99 }},
	{"legs.form", func(s *scenario.Scenario) { s.Legs.Form = -1 }},
	{"legs.angle", func(s *scenario.Scenario) { s.Legs = hold.LegsIn(hold.Straddle, nan) }},
	{"legs.angle", func(s *scenario.Scenario) { s.Legs = hold.LegsIn(hold.Straddle, 0) }},
	{"legs.angle", func(s *scenario.Scenario) { s.Legs = hold.LegsIn(hold.Straddle, 30) }},
	{"legs.angle", func(s *scenario.Scenario) { s.Legs.Angle = 0.3 }},
	{"legs", func(s *scenario.Scenario) { s.Legs.Hip = 0.3 }},
	{"legs.hip", func(s *scenario.Scenario) { s.Legs = hold.LegsIn(hold.Tuck, 0); s.Legs.Hip = 90 }},
	{"legs.knee", func(s *scenario.Scenario) { s.Legs = hold.LegsIn(hold.Tuck, 0); s.Legs.Knee = nan }},
	{"pose.one_arm", func(s *scenario.Scenario) { s.Pose[hold.OneArm] = 1 }},
	{"pose.feet_raised", func(s *scenario.Scenario) { s.Pose[hold.FeetRaised] = nan }},
	{"tilt", func(s *scenario.Scenario) { s.Tilt = nan }},
	{"tilt", func(s *scenario.Scenario) { s.Tilt = inf }},
	{"tilt", func(s *scenario.Scenario) { s.Tilt = 10 }},
	{"people", func(s *scenario.Scenario) { s.People = nil }},
	{"people", func(s *scenario.Scenario) { s.People[0].Weight = nan }},
	{"people", func(s *scenario.Scenario) { s.People[0].Weight = 0 }},
	{"people", func(s *scenario.Scenario) { s.People[0].Weight = inf }},
	{"people", func(s *scenario.Scenario) { s.People[0].Population = "atlantis" }},
	{"people", func(s *scenario.Scenario) { s.People[0].Population = "" }},
	{"people", func(s *scenario.Scenario) { s.People = scenario.Survey("ansur2-men", "ansur2-men") }},
	{"people.where", func(s *scenario.Scenario) { s.Where = []anthro.Range{{Of: anthro.BodyMassIndex, Low: nan, High: 27}} }},
	{"people.where", func(s *scenario.Scenario) { s.Where = []anthro.Range{{Of: anthro.BodyMassIndex, Low: 27, High: 18}} }},
	{"people.targets", func(s *scenario.Scenario) { s.Targets = []anthro.Target{{Of: anthro.BodyMassIndex, Value: nan}} }},
	{"people.targets", func(s *scenario.Scenario) { s.Targets = []anthro.Target{{Of: anthro.Of(anthro.Stature), Value: -1.7}} }},
	{"models", func(s *scenario.Scenario) { s.Models[0].Statics = 9 }},
	{"models", func(s *scenario.Scenario) { s.Models[0].Statics = -1 }},
	{"models", func(s *scenario.Scenario) { s.Hold, s.Models[0].Statics = hold.FrontLever, hold.TwoCondition }},
	{"regional_masses", func(s *scenario.Scenario) { s.Models[0].Masses = 9 }},
	{"segments", func(s *scenario.Scenario) { s.Models[0].Segments = "" }},
	{"segments", func(s *scenario.Scenario) { s.Models[0].Segments = "galen-170" }},
	{"assume.top_share", believed(func(u *assume.Uncertainty) { u.Centre[assume.TopShare] = nan })},
	{"assume.top_share", believed(func(u *assume.Uncertainty) { u.Centre[assume.TopShare] = 0.9 })},
	{"assume.grip_reach", believed(func(u *assume.Uncertainty) { u.High[assume.GripReach] = 7 })},
	{"assume.grip_reach", believed(func(u *assume.Uncertainty) { u.Low[assume.GripReach] = 0.9 })},

	{"change.size", changed(body.Size, body.Amount{Share: nan})},
	{"change.size", changed(body.Size, body.Amount{Share: -1})},
	{"change.size", changed(body.Size, body.Amount{Share: inf})},
	{"change.arm_length", changed(body.ArmLength, body.Amount{Metres: 10})},
	{"change.arm_length", changed(body.ArmLength, body.Amount{Metres: nan})},
	{"change.leg_length", changed(body.LegLength, body.Amount{Share: 500})},
	{"change.shoulder_breadth", changed(body.ShoulderBreadth, body.Amount{Metres: -inf})},
	{"change", changed(body.ArmLength, body.Amount{Metres: -0.4, Share: -0.8})},
	{"load.ankles", func(s *scenario.Scenario) { s.Load[body.AtAnkles] = 900 }},
	{"load.ankles", func(s *scenario.Scenario) { s.Load[body.AtAnkles] = nan }},
	{"assist.hips", func(s *scenario.Scenario) { s.Load[body.AtHips] = -900 }},
	{"assist", func(s *scenario.Scenario) { s.Load[body.AtHips] = -150 }},
	{"change.load.head", func(s *scenario.Scenario) { s.Change.Load[body.AtHead] = inf }},
	{"change.assist.chest", func(s *scenario.Scenario) { s.Change.Load[body.AtChest] = -300 }},
	{"change.load", func(s *scenario.Scenario) { s.Change.Load[body.AtAnkles] = -150 }},
	{"change.added_mass", added(body.AddedMass{Region: 99, Kilograms: 1})},
	{"change.added_mass", added(body.AddedMass{Region: -1, Kilograms: 1})},
	{"change.added_mass.legs", added(body.AddedMass{Region: body.Legs, Kilograms: nan})},
	{"change.added_mass.legs", added(body.AddedMass{Region: body.Legs, Kilograms: 5000})},
	{"change.working_share", added(body.AddedMass{Region: body.Legs, Kilograms: 1, Working: 2})},
	{"change.working_share", added(body.AddedMass{Region: body.Legs, Kilograms: 1, Working: nan})},
	{"change", added(body.AddedMass{Region: body.Head, Kilograms: -60})},
	{"posture", func(s *scenario.Scenario) { s.Change.Posture = 9 }},
	{"posture", func(s *scenario.Scenario) { s.Change.Posture = -1 }},
	{"change", armed(scenario.Arms{})},
	{"change", armed(scenario.Arms{Angle: new(0.5), Turn: new(0.1)})},
	{"change.arm_angle", armed(scenario.Arms{Angle: new(nan)})},
	{"change.arm_angle", armed(scenario.Arms{Angle: new(30.0)})},
	{"change.arm_angle", armed(scenario.Arms{Turn: new(5.0)})},
	{"change.hand_spacing", armed(scenario.Arms{Spacing: &body.Amount{Metres: nan}})},
	{"change.hand_spacing", armed(scenario.Arms{Spacing: &body.Amount{Share: 50}})},
	{"posture", func(s *scenario.Scenario) {
		s.Change.Arms, s.Change.Posture = &scenario.Arms{Angle: new(0.5)}, scenario.SameAngle
	}},
	{"change.assume", assumed(99, 1)},
	{"change.assume.top_share", assumed(assume.TopShare, nan)},
	{"change.assume.top_share", assumed(assume.TopShare, 40)},
	{"change", assumed(assume.WallFriction, 0.1)},
}

// afterwards are faults of a change of how the hold is done, which a sweep has not.
var afterwards = []struct {
	field string
	spoil func(*scenario.Scenario)
}{
	{"change.tilt", func(s *scenario.Scenario) { s.Change.Tilt = new(nan) }},
	{"change.tilt", func(s *scenario.Scenario) { s.Change.Tilt = new(-20.0) }},
	{"change.legs.form", func(s *scenario.Scenario) { s.Change.Legs = &hold.Legs{Form: 7} }},
	{"change.legs.angle", func(s *scenario.Scenario) { s.Change.Legs = &hold.Legs{Form: hold.Straddle, Angle: -0.2} }},
	{"change.pose.bent", func(s *scenario.Scenario) { s.Change.Pose = &hold.Pose{hold.Bent: 1} }},
	{"change", func(s *scenario.Scenario) { s.Change.Hold = hold.OneArmHang }},
}

// refused runs something and fails unless it returns a fault of the field.
func refused(t *testing.T, what, field string, run func() error) {
	t.Helper()
	defer func() {
		if r := recover(); r != nil {
			t.Errorf("%s, %s: panic: %v", what, field, r)
		}
	}()
	err := run()
	for _, wrong := range fault.All(err) {
		if wrong.Field == field && wrong.Reason != "" {
			return
		}
	}
	t.Errorf("%s: %v, want a fault of %s", what, err, field)
}

func claimOf(s scenario.Scenario) *claim.Claim {
	return &claim.Claim{Name: "n", Says: "s", Scenario: s, Demand: hold.RequiredForce, Matters: claim.Threshold{Share: 0.01}, Share: 0.95}
}

func tested(c *claim.Claim, spoil func(*claim.Options)) error {
	o := claim.DefaultOptions()
	o.N, o.Draws = 600, 0
	if spoil != nil {
		spoil(&o)
	}
	r, err := claim.Test(context.Background(), c, o)
	if err == nil {
		err = fmt.Errorf("the verdict is %s", r.Verdict)
	}
	return err
}

func sweepOf(s scenario.Scenario) *sweep.Study {
	return &sweep.Study{Name: "n", Base: s, Demands: []hold.Demand{hold.RequiredForce}, Quantiles: []float64{0.5}, N: 300,
		Axes: []sweep.Axis{{Of: "change.hand_length", Unit: "m", Values: []float64{0, 0.02}}}}
}

func swept(s *sweep.Study, spoil func(*sweep.Study)) error {
	if spoil != nil {
		spoil(s)
	}
	return sweep.Run(context.Background(), s, sweep.Options{})
}

// Claims, sweeps and drivers refuse the same nonsense, with the same field, and give
// no verdict, no point and no function.
func TestScenariosThatMakeNoSense(t *testing.T) {
	if err := tested(claimOf(sense()), nil); err == nil || !strings.HasPrefix(err.Error(), "the verdict is ") {
		t.Fatalf("what makes sense: %v", err)
	}
	golden.OK(t, swept(sweepOf(sense()), nil))
	for _, c := range append(nonsense, afterwards...) {
		s := sense()
		c.spoil(&s)
		refused(t, "claim", c.field, func() error { return tested(claimOf(s), nil) })
	}
	for _, c := range nonsense {
		s := sense()
		c.spoil(&s)
		if c.field != "models" { // which an axis may bring
			refused(t, "sweep", c.field, func() error { return swept(sweepOf(s), nil) })
		}
		if s.Change = nil; strings.HasPrefix(c.field, "change") || c.field == "posture" {
			continue
		}
		refused(t, "drivers", c.field, func() error {
			_, err := scores.New(scores.Study{Scenario: s, Of: hold.RequiredForce})
			return err
		})
	}
}

func TestClaimsThatMakeNoSense(t *testing.T) {
	other := &hold.DemandInfo{Name: "nobody_asks", Unit: "BW"}
	for _, c := range []struct {
		field string
		spoil func(*claim.Claim)
	}{
		{"claim", func(c *claim.Claim) { c.Name = "" }},
		{"says", func(c *claim.Claim) { c.Says = "" }},
		{"change", func(c *claim.Claim) { c.Change = nil }},
		{"contrast", func(c *claim.Claim) { c.Contrast = &claim.Contrast{Share: 0.3} }},
		{"contrast", func(c *claim.Claim) { c.Change, c.Contrast = nil, &claim.Contrast{Share: nan} }},
		{"contrast", func(c *claim.Claim) { c.Change, c.Contrast = nil, &claim.Contrast{Share: 0.8} }},
		{"quantity", func(c *claim.Claim) { c.Demand = nil }},
		{"quantity", func(c *claim.Claim) { c.Demand = other }},
		{"quantity", func(c *claim.Claim) { c.Demand = hold.WallPush }},
		{"expect", func(c *claim.Claim) { c.Expect = 9 }},
		{"matters", func(c *claim.Claim) { c.Matters = claim.Threshold{Absolute: -0.1} }},
		{"matters", func(c *claim.Claim) { c.Matters = claim.Threshold{Share: nan} }},
		{"matters", func(c *claim.Claim) { c.Matters = claim.Threshold{Absolute: inf} }},
		{"matters", func(c *claim.Claim) { c.Matters = claim.Threshold{Absolute: 0.1, Share: 0.1} }},
		{"matters_because", func(c *claim.Claim) { c.Matters, c.Because = claim.Threshold{}, "So." }},
		{"claimed", func(c *claim.Claim) { c.Claimed = claim.ClaimedAbout(0, true) }},
		{"claimed", func(c *claim.Claim) {
			c.Claimed, c.Matters = claim.ClaimedAbout(0, true), claim.Threshold{Absolute: 0.01}
		}},
		{"claimed", func(c *claim.Claim) { c.Claimed = claim.ClaimedAbout(-0.1, false) }},
		{"claimed", func(c *claim.Claim) { c.Claimed = claim.ClaimedAbout(nan, true) }},
		{"claimed", func(c *claim.Claim) { c.Claimed = claim.ClaimedAbout(inf, true) }},
		{"claimed", func(c *claim.Claim) { c.Claimed, c.Expect = claim.ClaimedAbout(0.1, true), claim.None }},
		{"claimed", func(c *claim.Claim) { c.Claimed, c.Expect = claim.ClaimedAbout(1.1, true), claim.Decrease }},
		{"claimed", func(c *claim.Claim) { c.Claimed = claim.ClaimedAbout(0.009, true) }},
		{"within", func(c *claim.Claim) { c.Claimed = &claim.Claimed{Value: 0.1, Low: 0.11, High: 0.2} }},
		{"within", func(c *claim.Claim) { c.Claimed = &claim.Claimed{Value: 0.1, Low: 0.05, High: 0.09} }},
		{"within", func(c *claim.Claim) { c.Claimed = &claim.Claimed{Value: 0.1} }},
		{"within", func(c *claim.Claim) { c.Claimed = &claim.Claimed{Value: 0.1, Low: -1, High: 0.2} }},
		{"share", func(c *claim.Claim) { c.Share = nan }},
		{"share", func(c *claim.Claim) { c.Share = 0.3 }},
		{"share", func(c *claim.Claim) { c.Share = 1 }},
		{"models", func(c *claim.Claim) { c.Models = nil }},
		{"models", func(c *claim.Claim) { c.Models = []scenario.Model{scenario.DefaultModel(hold.TwoCondition)} }},
		{"models", func(c *claim.Claim) { c.Models = append(c.Models, c.Models[0]) }},
	} {
		made := claimOf(sense())
		c.spoil(made)
		refused(t, "claim", c.field, func() error { return tested(made, nil) })
	}
	for field, spoil := range map[string]func(*claim.Options){
		"n": func(o *claim.Options) { o.N = 0 }, "workers": func(o *claim.Options) { o.Workers = -1 },
		"assumption-draws": func(o *claim.Options) { o.Draws = 5 },
	} {
		refused(t, "options", field, func() error { return tested(claimOf(sense()), spoil) })
	}
	refused(t, "no claim", "claim", func() error { return tested(nil, nil) })
	for _, at := range [][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
		refused(t, "curves", "people", func() error {
			_, err := claim.MediansOf(claimOf(sense()), at[0], at[1], claim.OwnMiddle, assume.Defaults())
			return err
		})
	}
}

func TestSweepsThatMakeNoSense(t *testing.T) {
	axis := func(a sweep.Axis) func(*sweep.Study) { return func(s *sweep.Study) { s.Axes = []sweep.Axis{a} } }
	for _, c := range []struct {
		field string
		spoil func(*sweep.Study)
	}{
		{"sweep", func(s *sweep.Study) { s.Name = "" }},
		{"n", func(s *sweep.Study) { s.N = -1 }},
		{"axes", func(s *sweep.Study) { s.Axes = nil }},
		{"design", func(s *sweep.Study) { s.Design = 7 }},
		{"points", func(s *sweep.Study) { s.Design, s.Points = sweep.QuasiRandom, -3 }},
		{"demands", func(s *sweep.Study) { s.Demands = nil }},
		{"demands", func(s *sweep.Study) { s.Demands = []hold.Demand{nil} }},
		{"quantiles", func(s *sweep.Study) { s.Quantiles = []float64{nan} }},
		{"quantiles", func(s *sweep.Study) { s.Quantiles = []float64{0.5, 0.5} }},
		{"model", func(s *sweep.Study) { s.Base.Models = nil }},
		{"models", func(s *sweep.Study) { s.Base.Models[0].Statics = 9 }},
		{"change", func(s *sweep.Study) { s.Base.Change.Tilt = new(0.1) }},
		{"axes.colour", axis(sweep.Axis{Of: "colour", Values: []float64{1}})},
		{"axes.tilt", axis(sweep.Axis{Of: "tilt", Unit: "rad"})},
		{"axes.tilt", axis(sweep.Axis{Of: "tilt", Unit: "deg", Values: []float64{0, 5}})},
		{"axes.tilt", axis(sweep.Axis{Of: "tilt", Unit: "rad", Values: []float64{0, 5}})},
		{"axes.tilt", axis(sweep.Axis{Of: "tilt", Unit: "rad", Values: []float64{0, nan}})},
		{"axes.tilt", axis(sweep.Axis{Of: "tilt", Unit: "rad", Values: []float64{0, 0}})},
		{"axes.tilt", axis(sweep.Axis{Of: "tilt", Names: []string{"level"}})},
		{"axes.tilt", axis(sweep.Axis{Of: "tilt", Unit: "rad", Values: []float64{0, 0.1}, Legs: make([]hold.Legs, 1)})},
		{"axes.tilt", axis(sweep.Axis{Of: "tilt", Unit: "rad", Values: []float64{0}, Low: 0.2, High: 0.1})},
		{"axes.hold", axis(sweep.Axis{Of: "hold", Names: []string{"human-flag"}})},
		{"axes.hold", axis(sweep.Axis{Of: "hold", Names: []string{"human-flag"}, Holds: []*hold.Hold{nil}})},
		{"axes.model", axis(sweep.Axis{Of: "model", Names: []string{"magic"}})},
		{"axes.people", axis(sweep.Axis{Of: "people", Names: []string{"a", "a"}, People: scenario.Survey("ansur2-men", "ansur2-women")})},
		{"axes.assume.top_share", axis(sweep.Axis{Of: "assume.top_share", Values: []float64{0.5, 7}})},
		{"axes.pose.bent", axis(sweep.Axis{Of: "pose.bent", Names: []string{"maybe"}})},
	} {
		refused(t, "sweep", c.field, func() error { return swept(sweepOf(sense()), c.spoil) })
	}
	refused(t, "no sweep", "sweep", func() error { return swept(nil, nil) })
}

func TestPersonsThatMakeNoSense(t *testing.T) {
	good := func() (person.Person, person.Options) {
		o := person.DefaultOptions()
		o.N = person.LeastN
		return person.Person{Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.8}}}, o
	}
	type spoil func(*person.Person, *person.Options)
	for _, c := range []struct {
		field string
		spoil
	}{
		{"hold", func(p *person.Person, _ *person.Options) { p.Hold = nil }},
		{"sex", func(p *person.Person, _ *person.Options) { p.Sex = 9 }},
		{"people", func(p *person.Person, _ *person.Options) { p.Population = "atlantis" }},
		{"people", func(p *person.Person, _ *person.Options) { p.Population = "ansur2-women" }},
		{"legs.form", func(p *person.Person, _ *person.Options) { p.Legs.Form = 99 }},
		{"legs.angle", func(p *person.Person, _ *person.Options) { p.Legs = hold.LegsIn(hold.Straddle, 40) }},
		{"pose.bent", func(p *person.Person, _ *person.Options) { p.Pose[hold.Bent] = nan }},
		{"tilt", func(p *person.Person, _ *person.Options) { p.Tilt = nan }},
		{"tilt", func(p *person.Person, _ *person.Options) { p.Tilt = 10 }},
		{"scan", func(p *person.Person, _ *person.Options) { p.Scan = &[anthro.NumRegions]float64{nan, 1, 1, 1} }},
		{"tests", func(p *person.Person, _ *person.Options) {
			p.Tests = &person.Tests{Hangs: []person.Hang{{Seconds: nan}}}
		}},
		{"tests", func(p *person.Person, _ *person.Options) {
			p.Tests = &person.Tests{Hangs: []person.Hang{{Seconds: 1e9}}}
		}},
		{"tests", func(p *person.Person, _ *person.Options) {
			p.Tests = &person.Tests{Handstands: []person.Handstand{{Seconds: 5, Side: 9}}}
		}},
		{"measured.arm_angle", func(p *person.Person, _ *person.Options) {
			p.Measured = &person.Measured{ArmAngle: &person.Reading{Value: 41}}
		}},
		{"n", func(_ *person.Person, o *person.Options) { o.N = 3 }},
		{"workers", func(_ *person.Person, o *person.Options) { o.Workers = -2 }},
		{"models", func(_ *person.Person, o *person.Options) { o.Models = []hold.Model{9} }},
		{"models", func(_ *person.Person, o *person.Options) { o.Models = []hold.Model{hold.Equilibrium, hold.Equilibrium} }},
		{"regional_masses", func(_ *person.Person, o *person.Options) { o.Masses = 9 }},
		{"segments", func(_ *person.Person, o *person.Options) { o.Segments = "" }},
		{"endurance", func(_ *person.Person, o *person.Options) { o.Endurance = 99 }},
		{"assume.hip_drop", func(_ *person.Person, o *person.Options) {
			o.Assumptions = assume.DefaultUncertainty()
			o.Assumptions.Centre[assume.HipDrop] = inf
		}},
	} {
		p, o := good()
		c.spoil(&p, &o)
		for what, run := range map[string]func() error{
			"answer": func() error { _, err := person.Answer(context.Background(), p, o); return err },
			"ready":  func() error { _, err := person.Ready(context.Background(), p, o); return err },
			"median": func() error { _, err := person.NewMedianBody(p, o); return err },
		} {
			refused(t, what, c.field, run)
		}
	}
	for _, known := range []anthro.Known{{Of: anthro.Stature, Value: nan}, {Of: anthro.Stature, Value: -2}, {Of: 99, Value: 1}, {Of: anthro.Mass, Value: 70, Error: nan}} {
		p, o := good()
		p.Known = []anthro.Known{known}
		func() {
			defer func() {
				if r := recover(); r != nil {
					t.Errorf("%v: panic: %v", known, r)
				}
			}()
			if _, err := person.Answer(context.Background(), p, o); err == nil {
				t.Errorf("%+v is answered", known)
			}
		}()
	}
	// Changes of a person are those of claims.
	for _, c := range append(nonsense, afterwards...) {
		if !strings.HasPrefix(c.field, "change") || strings.HasPrefix(c.field, "change.a") && strings.HasPrefix(c.field, "change.arm_angle") || c.field == "change.hand_spacing" {
			continue
		}
		p, o := good()
		s := sense()
		c.spoil(&s)
		refused(t, "change", c.field, func() error {
			_, err := person.Apply(context.Background(), p, o, hold.TwoCondition, *s.Change)
			return err
		})
	}
	p, o := good()
	median := golden.Must(person.NewMedianBody(p, o))(t)
	for field, run := range map[string]func() error{
		"models":       func() error { _, err := median.Hold(9, hold.Best, 0); return err },
		"posture":      func() error { _, err := median.Hold(hold.Equilibrium, 9, 0); return err },
		"arm_angle":    func() error { _, err := median.Hold(hold.Equilibrium, hold.GivenAngle, nan); return err },
		"hand_spacing": func() error { _, err := median.Hold(hold.Equilibrium, hold.GivenSpacing, nan); return err },
	} {
		refused(t, "median body", field, run)
	}
	if least, most := median.Angles(9); least <= most {
		t.Errorf("under no model the arms may be from %v to %v", least, most)
	}
}

func TestDriversThatMakeNoSense(t *testing.T) {
	study := scores.Study{Scenario: sense(), Of: hold.RequiredForce}
	study.Change = nil
	for field, spoil := range map[string]func(*scores.Study){
		"quantity": func(s *scores.Study) { s.Of = nil }, "scale": func(s *scores.Study) { s.Scale = -1 },
		"models": func(s *scores.Study) { s.Models = nil }, "change": func(s *scores.Study) { s.Change = &scenario.Change{} },
	} {
		refused(t, "drivers", field, func() error {
			s := study
			spoil(&s)
			_, err := scores.New(s)
			return err
		})
	}
	f := golden.Must(scores.New(study))(t)
	stature := golden.Must(body.ParseQuantity("stature"))(t)
	for field, run := range map[string]func() error{
		"working-share":    func() error { _, err := f.Worth(f.MedianPerson(), nan); return err },
		"person":           func() error { _, err := f.Worth(anthro.NewPeople(2), 0.5); return err },
		"n":                func() error { _, err := f.Along(stature, -1, 1); return err },
		"assumption-draws": func() error { _, err := f.Split(context.Background(), scores.SplitOptions{Draws: 7}); return err },
		"bodies a draw":    func() error { _, err := f.Split(context.Background(), scores.SplitOptions{Bodies: -7}); return err },
	} {
		refused(t, "drivers", field, run)
	}
}
