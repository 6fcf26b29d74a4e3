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

// sample is the first bodies of a group with their effects, for a closer look.
type sample struct {
	trait   [][]float64 // by trait
	effect  [][]float64 // by model, in the demand's unit; NaN where a body does not count
	claimed [][]float64 // by model: 1 where the effect is as claimed, else 0
}

func (t *test) newSample() *sample {
	return &sample{
		trait:  make([][]float64, len(traits)),
		effect: make([][]float64, len(t.models)), claimed: make([][]float64, len(t.models)),
	}
}

// add appends the rows of a tile under one model.
func (s *sample) add(t *test, model int, tile *scenario.Tile) {
	first, changed, bodies := tile.First.Result, tile.Second.Result, tile.First.Bodies
	if model == 0 {
		for k := range traits {
			for i := range bodies.Rows() {
				s.trait[k] = append(s.trait[k], traits[k].of.At(nil, bodies, i))
			}
		}
	}
	for i := range bodies.Rows() {
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
		s.effect[model] = append(s.effect[model], e)
		s.claimed[model] = append(s.claimed[model], claimed)
	}
}

func (s *sample) append(o *sample) {
	for k := range s.trait {
		s.trait[k] = append(s.trait[k], o.trait[k]...)
	}
	for l := range s.effect {
		s.effect[l] = append(s.effect[l], o.effect[l]...)
		s.claimed[l] = append(s.claimed[l], o.claimed[l]...)
	}
}

func (s *sample) reset() {
	for k := range s.trait {
		s.trait[k] = s.trait[k][:0]
	}
	for l := range s.effect {
		s.effect[l] = s.effect[l][:0]
		s.claimed[l] = s.claimed[l][:0]
	}
}

// strongest returns the trait that goes most closely with the effect of a model, or nil.
func (s *sample) strongest(model int) *drivers.Trait {
	best, k := drivers.Strongest(s.trait, s.effect[model], s.claimed[model])
	if best != nil {
		best.Name = traits[k].name
	}
	return best
}
