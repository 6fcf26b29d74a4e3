package person

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

// known returns a person and options that leave one body.
func known(t *testing.T) (Person, Options) {
	o := few()
	o.N, o.Masses, o.Assumptions = LeastN, body.Table, fixed(t)
	return measuredMan(), o
}

func one(t *testing.T, what string, s Spread, want, tolerance float64) {
	t.Helper()
	if s.Low != s.Median || s.High != s.Median {
		t.Errorf("%s: %v is not one number", what, s)
	}
	if !(math.Abs(s.Median-want) <= tolerance) {
		t.Errorf("%s: %.9g, want %.9g", what, s.Median, want)
	}
}

// What the pole carries, against the general statics of the figure: the reactions
// turned round, and their moment about a foot as far below the hands as you like,
// which is the weight times its distance from the pole.
func TestPole(t *testing.T) {
	for _, tilt := range []float64{0, 0.13} {
		p, o := known(t)
		p.Tilt = tilt
		p.Legs = hold.LegsIn(hold.Straddle, 0.35)
		r := answer(t, p, o)
		f := r.Models[0].Median
		weight := 78.6 * statics.StandardGravity
		tolerance := 1e-9 * weight
		for _, force := range r.Fixture.Forces {
			reaction := golden.Must(f.Figure.Force(f.Solution, force.Support))(t)
			one(t, force.Support+", horizontal", force.Horizontal, -reaction.X, tolerance)
			one(t, force.Support+", vertical", force.Vertical, reaction.Y, tolerance)
		}
		if top := r.Fixture.Forces[0]; top.Support != hold.SupportTopHand || !(top.Horizontal.Median > 0) || !(top.Vertical.Median > 0) {
			t.Errorf("the top hand does not pull the pole towards the body: %+v", top)
		}
		one(t, "overturning", *r.Fixture.Overturning, f.Figure.System.CentreOfMass().X*weight, tolerance)
		for _, below := range []float64{0.4, 2.3} {
			moment := 0.0
			for _, s := range f.Figure.Supports {
				reaction := golden.Must(f.Figure.Force(f.Solution, s.Name))(t)
				moment -= s.At.Minus(statics.Vec{Y: -below}).Cross(reaction)
			}
			// Clockwise on the pole, as the body is on the right.
			one(t, "overturning about a foot", *r.Fixture.Overturning, -moment, tolerance)
		}
		if r.FootLoad != nil {
			t.Error("legs apart have no scale under both ankles")
		}
	}
}

// What the scale reads, against the general statics of the same figure with one
// hand and the scale for supports: either hand gives the same.
func TestFootLoad(t *testing.T) {
	p, o := known(t)
	spacing := 1.07
	p.Measured = &Measured{HandSpacing: &Reading{Value: spacing}}
	r := answer(t, p, o)
	// The same body at that spacing.
	s := scenario.HeldBody{Body: r.Models[0].Median.Body}
	capacity, held := hold.NewCapacity(1), hold.NewResult(1, hold.ArmAngle, hold.HandSpacing, hold.TopShare)
	posture := hold.Posture{Rule: hold.GivenSpacing, Spacing: []float64{spacing}}
	strength.OfReference(capacity, s.Body, &o.Assumptions.Centre)
	hold.HumanFlag.Solve(held, s.Body, capacity, posture, hold.Equilibrium, &o.Assumptions.Centre)
	for _, hand := range []string{"top hand", "bottom hand"} {
		figure := golden.Must(hold.HumanFlag.Figure(s.Body, 0, posture, held, &o.Assumptions.Centre))(t)
		var ankle statics.Vec
		for _, g := range figure.System.Segments {
			if g.Name == "first foot" {
				ankle = g.Joint
			}
		}
		var supports []statics.Reaction
		for _, reaction := range figure.System.Reactions {
			if reaction.Segment == hand {
				supports = append(supports, reaction)
			}
		}
		figure.System.Reactions = append(supports, statics.Reaction{Name: "scale", Segment: "first foot", At: ankle, Direction: statics.Vec{Y: 1}})
		figure.System.Closures = nil
		solution := golden.Must(figure.System.Solve())(t)
		one(t, "scale, "+hand, *r.FootLoad, solution.Value["scale"]/statics.StandardGravity, 1e-9*78.6)
	}
}

// Readings are compared with what they should be: exact ones with the number
// itself, uncertain ones with a range that their error alone makes.
func TestComparisons(t *testing.T) {
	p, o := known(t)
	plain := answer(t, p, o)
	q, _ := plain.Models[0].Quantity(hold.HandSpacing)
	spacing := q.All.Median
	angle, _ := plain.Models[0].Quantity(hold.ArmAngle)
	load := plain.FootLoad.Median
	p.Measured = &Measured{
		FootLoad: &Reading{load + 0.9, 0.5}, ArmAngle: &Reading{angle.All.Median, 0}, HandSpacing: &Reading{spacing, 0.02},
	}
	r := answer(t, p, o)
	got := map[string]Comparison{}
	for _, c := range r.Comparisons {
		got[c.What+"/"+[]string{"best", "angle", "spacing"}[c.Rule]+"/"+c.Model.String()] = c
	}
	if len(got) != 4 {
		t.Fatalf("comparisons %v", got)
	}
	if c := got["arm_angle/spacing/equilibrium"]; !(math.Abs(c.Error) <= 1e-12) || !(math.Abs(c.Predicted.Low-c.Predicted.High) <= 1e-15) {
		t.Errorf("the angle at its own spacing: %+v", c)
	}
	if c := got["arm_angle/best/equilibrium"]; c.Error != 0 || !c.Inside {
		t.Errorf("the best angle itself: %+v", c)
	}
	if c := got["hand_spacing/best/equilibrium"]; c.Error != 0 || !c.Inside || math.Abs(c.Predicted.Width()-2*ninety*0.02) > 1e-12 {
		t.Errorf("the best spacing itself: %+v", c)
	}
	c := got["foot_load/angle/equilibrium"]
	if math.Abs(c.Predicted.Median-load) > 1e-9*load || math.Abs(c.Predicted.Width()-2*ninety*0.5) > 1e-9 {
		t.Errorf("foot load %+v", c)
	}
	if c.Inside != (math.Abs(c.Error) <= ninety*0.5) || c.Error != c.Reading.Value-c.Predicted.Median {
		t.Errorf("foot load %+v", c)
	}
}
