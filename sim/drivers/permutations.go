package drivers

import (
	"context"
	"fmt"
	"math/rand/v2"

	"counterpoise/sim/montecarlo"
)

// permutationRows is the number of base rows that share an order of the
// groups. Fewer mean more orders, and more regressions to compute.
const permutationRows = 32

// ShapleyPermutations estimates the Shapley effects as [Shapley] does, but over
// random orders of the groups instead of all subsets (Castro, Gómez and Tejada
// 2009, Computers & Operations Research 36:1726; Song, Nelson and Staum 2016): in an
// order, each group is credited with what it adds to the variance explained by
// those before it. Every order is followed by its reverse, which evens out
// who comes first (Mitchell, Cooper, Frank and Holmes 2022, Journal of Machine
// Learning Research 23(43), citation from memory). Orders are drawn anew every 32
// rows of the base sample; the intervals hold the chance of the orders, too.
//
// Each row of the base sample costs d+1 evaluations for d groups. Where the model
// is dear, this is the better method for few groups, too: most of the noise is
// of the base sample, which all subsets share, so that going through all of them
// costs much more than it gains.
func ShapleyPermutations(ctx context.Context, p Problem, o Options) (*Result, error) {
	p, o, err := checked(p, o)
	if err != nil {
		return nil, err
	}
	d := len(p.Groups)
	const purpose = "drivers/shapley permutations"
	m := &method{
		name:    fmt.Sprintf("Shapley effects over random orders of %d groups, pick-and-freeze", d),
		purpose: purpose,
		indices: oneIndexEach(ShapleyEffect, p.Groups),
		perRow:  int64(d + 1),
		sums:    baseSums + d,
		newChunk: func(e *evaluator) func(*chunk, []float64) error {
			stream := montecarlo.NewStream(o.Seed, purpose+"/orders")
			random := rand.New(stream)
			order, kept, everything := make([]int, d), make([]bool, d), all(d)
			mixed := newMixer(p)
			base, second := make([][]float64, len(p.Inputs)), make([][]float64, len(p.Inputs))
			y, before, after := make([]float64, permutationRows), make([]float64, permutationRows), make([]float64, permutationRows)
			return func(c *chunk, sums []float64) error {
				for low := 0; low < c.rows; low += permutationRows {
					high := min(low+permutationRows, c.rows)
					for i := range base {
						base[i], second[i] = c.base[i][low:high], c.second[i][low:high]
					}
					y, before, after = y[:high-low], before[:high-low], after[:high-low]

					number := (c.first + low) / permutationRows
					stream.Reset(uint64(c.replicate)<<32 | uint64(number/2))
					for i := range order {
						order[i] = i
					}
					random.Shuffle(d, func(i, j int) { order[i], order[j] = order[j], order[i] })

					at := Sample{Replicate: c.replicate, First: c.first + low, Kept: everything}
					if err := e.both(y, before, base, second, at, sums); err != nil {
						return err
					}
					at.Kept = kept
					clear(kept)
					for i := range order {
						g := order[i]
						if number%2 == 1 {
							g = order[d-1-i]
						}
						kept[g] = true
						if i == d-1 {
							sums[baseSums+g] += dotDifference(y, y, before)
							break
						}
						redraw, err := p.Sampler.Condition(p.columns(kept))
						if err != nil {
							return err
						}
						if err := e.centred(after, mixed.mix(redraw, kept, base, second), at); err != nil {
							return err
						}
						sums[baseSums+g] += dotDifference(y, after, before)
						before, after = after, before
					}
				}
				return nil
			}
		},
		finish: func(sums []float64, rows int, numerators, denominators []float64) {
			var whole float64
			for g := range numerators {
				numerators[g] = sums[baseSums+g] / float64(rows)
				whole += numerators[g]
			}
			fill(denominators, whole)
		},
	}
	return m.run(ctx, p, o)
}
