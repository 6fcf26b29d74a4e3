package claim

import (
	"sort"

	"counterpoise/sim/body"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/scenario"
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
		var c counts
		c.count(t.sign*e, t.claim.Threshold().Of(first.Value[t.claim.Demand][i]))
		if t.claim.Expect == None && c.zero > 0 || t.claim.Expect != None && c.plus > 0 {
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

// Trait is what the effect goes with most among people.
type Trait struct {
	Name string
	// Correlation is the rank correlation between the trait and the effect.
	Correlation float64
	// ShareLow and ShareHigh are the shares of bodies for whom the claim holds
	// in the third of the people with the least and with the most of the trait.
	ShareLow  float64
	ShareHigh float64
}

// strongest returns the trait whose ranks go with the effect's most closely,
// within one group, or nil where the effects do not differ.
func (s *sample) strongest(model int) *Trait {
	var rows []int
	for i, e := range s.effect[model] {
		if !math.IsNaN(e) {
			rows = append(rows, i)
		}
	}
	if len(rows) < 30 {
		return nil
	}
	pick := func(column []float64) []float64 {
		values := make([]float64, len(rows))
		for k, i := range rows {
			values[k] = column[i]
		}
		return values
	}
	effect := ranks(pick(s.effect[model]))
	var best *Trait
	for k := range traits {
		values := pick(s.trait[k])
		r := linear.Correlation(ranks(values), effect)
		if math.IsNaN(r) || best != nil && math.Abs(r) <= math.Abs(best.Correlation) {
			continue
		}
		sorted := append([]float64(nil), values...)
		sort.Float64s(sorted)
		low, high := sorted[len(sorted)/3], sorted[len(sorted)-1-len(sorted)/3]
		best = &Trait{Name: traits[k].name, Correlation: r}
		var n, claimed [2]float64
		for j, i := range rows {
			for side, in := range [2]bool{values[j] <= low, values[j] >= high} {
				if in {
					n[side]++
					claimed[side] += s.claimed[model][i]
				}
			}
		}
		best.ShareLow, best.ShareHigh = claimed[0]/n[0], claimed[1]/n[1]
	}
	return best
}

// ranks returns the rank of every value, ties sharing their mean rank.
func ranks(values []float64) []float64 {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(a, b int) bool { return values[order[a]] < values[order[b]] })
	ranked := make([]float64, len(values))
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && values[order[to]] == values[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			ranked[i] = float64(from+to-1) / 2
		}
		from = to
	}
	return ranked
}
