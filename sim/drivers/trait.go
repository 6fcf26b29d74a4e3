package drivers

import (
	"slices"

	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// Trait is what an effect goes with most among people.
type Trait struct {
	Name string
	// Correlation is the rank correlation between the trait and the effect.
	Correlation float64
	// ShareLow and ShareHigh are the shares of those of whom the claim holds
	// in the third of the people with the least and with the most of the trait.
	ShareLow  float64
	ShareHigh float64
}

// fewestOfTrait is of how many people nothing is said.
const fewestOfTrait = 30

// Strongest returns the trait whose ranks go with the effect's most closely, and its place
// in the list; nil where the effects do not differ or are few. Effects that are not numbers
// do not count; claimed is 1 where the effect is as claimed, else 0.
func Strongest(traits [][]float64, effects, claimed []float64) (best *Trait, at int) {
	var rows []int
	for i, e := range effects {
		if !math.IsNaN(e) {
			rows = append(rows, i)
		}
	}
	if len(rows) < fewestOfTrait {
		return nil, 0
	}
	pick := func(column []float64) []float64 {
		return names.Each(rows, func(i int) float64 { return column[i] })
	}
	effect := linear.Ranks(pick(effects))
	for k := range traits {
		values := pick(traits[k])
		r := linear.Correlation(linear.Ranks(values), effect)
		if math.IsNaN(r) || best != nil && math.Abs(r) <= math.Abs(best.Correlation) {
			continue
		}
		sorted := slices.Sorted(slices.Values(values))
		low, high := sorted[len(sorted)/3], sorted[len(sorted)-1-len(sorted)/3]
		best, at = &Trait{Correlation: r}, k
		var n, as [2]float64
		for j, i := range rows {
			for side, in := range [2]bool{values[j] <= low, values[j] >= high} {
				if in {
					n[side]++
					as[side] += claimed[i]
				}
			}
		}
		best.ShareLow, best.ShareHigh = as[0]/n[0], as[1]/n[1]
	}
	return best, at
}

// TraitSample is people with what an effect may go with: a column each for every trait, and of every
// model the effects, which are not numbers where a person does not count, and 1 where they are as
// claimed, else 0.
type TraitSample struct{ Traits, Effects, Claimed [][]float64 }

// NewTraitSample returns room for so many traits and models.
func NewTraitSample(traits, models int) *TraitSample {
	return &TraitSample{make([][]float64, traits), make([][]float64, models), make([][]float64, models)}
}

// Append adds the people of another sample.
func (s *TraitSample) Append(o *TraitSample) {
	s.each(o, func(own, other []float64) []float64 { return append(own, other...) })
}

// Reset leaves the sample without people.
func (s *TraitSample) Reset() { s.each(s, func(own, _ []float64) []float64 { return own[:0] }) }

func (s *TraitSample) each(o *TraitSample, of func(own, other []float64) []float64) {
	others := [][][]float64{o.Traits, o.Effects, o.Claimed}
	for i, own := range [][][]float64{s.Traits, s.Effects, s.Claimed} {
		for k := range own {
			own[k] = of(own[k], others[i][k])
		}
	}
}

// Strongest is the trait that goes most closely with the effect of a model, and its place; see
// Strongest.
func (s *TraitSample) Strongest(model int) (best *Trait, at int) {
	return Strongest(s.Traits, s.Effects[model], s.Claimed[model])
}
