package bodies_test

import (
	"fmt"
	"math"
	"testing"

	"counterpoise/internal/bodies"
	"counterpoise/internal/freebody"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
)

// postures lists every leg form and every variant of a hold.
func postures(h *hold.Hold) map[string]hold.Posture {
	all := map[string]hold.Posture{hold.Together.String(): {}}
	for _, f := range h.LegForms { // together comes again, and is the same
		all[f.String()] = hold.Posture{Legs: hold.LegsIn(f, 0.63)}
	}
	for _, v := range h.Variants {
		p := hold.Posture{}
		switch p.Pose[v] = 1; v.Info().Unit {
		case "m":
			if p.Pose[v] = 0.37; v.Info().Default != 0 {
				p.Pose[v] = 0.8 * v.Info().Default
			}
		case "rad":
			p.Pose[v] = 0.44
		}
		all[v.String()] = p
	}
	return all
}

// Every hold in every leg form and variant, of a median man and woman: no text
// over text, heads, joints or arrows, nothing off the canvas, the arrows to scale,
// in balance, and acting where the balance of moments wants them.
func TestFreeBodyOfEveryHold(t *testing.T) {
	a := assume.Defaults()
	for _, h := range hold.All() {
		for name, posture := range postures(h) {
			for _, people := range anthro.Names() {
				for _, model := range h.Models {
					t.Run(fmt.Sprintf("%s/%s/%s/%s", h.Name, name, people, model), func(t *testing.T) {
						t.Parallel()
						population, err := anthro.Load(people)
						if err != nil {
							t.Fatal(err)
						}
						held, err := freebody.HoldMedianBody(h, model, posture, body.Load{}, population, &a)
						if err != nil {
							t.Fatal(err)
						}
						f, err := freebody.FreeBodyOf(held)
						if err != nil {
							t.Fatal(err)
						}
						checkMoments(t, f)
						bodies.CheckFreeBody(t, f)
					})
				}
			}
		}
	}
}

// checkMoments says whether the forces as drawn turn the body, and whether the
// centre of mass is where its supports can carry it.
func checkMoments(t *testing.T, f bodies.FreeBody) {
	t.Helper()
	const exact = 1e-9
	turn := -f.Centre.X // of the weight about the origin, BW·m
	low, high, level := math.Inf(1), math.Inf(-1), true
	for _, force := range f.Forces {
		turn += force.At.X*force.Y - force.At.Y*force.X
		low, high = min(low, force.At.X), max(high, force.At.X)
		level = level && math.Abs(force.X) < exact
	}
	if math.Abs(turn) > exact {
		t.Errorf("the forces leave a moment of %g BW·m", turn)
	}
	if level && (f.Centre.X < low-exact || f.Centre.X > high+exact) {
		t.Errorf("the centre of mass at %g is not between the vertical supports at %g and %g", f.Centre.X, low, high)
	}
}
