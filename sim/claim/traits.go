package claim

import (
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/math"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
)

// sampleBlocks is how many blocks of each population are kept for a closer
// look at what the effect goes with.
const sampleBlocks = 2

// closerBlocks is how many blocks of each population stand behind what is
// reported beside the claim's own quantity: other demands, the other posture
// rules, what binds. Medians of 65,536 bodies need no more.
const closerBlocks = 16

// traits are what an effect may go with, read off the first body.
var traits = []struct {
	name string
	of   body.Quantity
}{
	{"stature", body.Of(body.Stature)},
	{"body mass", body.Of(body.Mass)},
	{"mass for stature (BMI)", body.BodyMassIndex},
	{"arm length for stature", body.Ratio(body.ArmLength, body.Stature)},
	{"shoulder breadth for stature", body.Ratio(body.ShoulderSpan, body.Stature)},
	{"trunk length for stature", body.Ratio(body.TrunkLength, body.Stature)},
	{"leg length for stature", body.Ratio(body.LegLength, body.Stature)},
	{"share of mass in the arms", body.Of(body.ArmsMassShare)},
	{"share of mass in the legs", body.Of(body.LegsMassShare)},
}

// sampled appends the bodies of a tile under one model, with their effects, to a sample.
func (t *test) sampled(s *drivers.TraitSample, model int, tile *scenario.Tile) {
	first, changed, bodies := tile.First.Result, tile.Second.Result, tile.First.Bodies
	for i := range bodies.Rows() {
		for k := range traits {
			if model == 0 {
				s.Traits[k] = append(s.Traits[k], traits[k].of.At(nil, bodies, i))
			}
		}
		e, ok := t.effect(first, changed, i)
		claimed := 0.0
		var c verdict.Counts
		c.Count(t.sign*e, t.claim.Threshold().Of(first.Value[t.claim.Demand][i]))
		if t.claim.Expect == None && c.Zero > 0 || t.claim.Expect != None && c.Plus > 0 {
			claimed = 1
		}
		if !ok {
			e = math.NaN()
		}
		s.Effects[model], s.Claimed[model] = append(s.Effects[model], e), append(s.Claimed[model], claimed)
	}
}
