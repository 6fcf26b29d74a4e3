package drivers

import (
	"context"
	"fmt"
	"math/bits"
	"math/rand/v2"

	"counterpoise/sim/linear"
	"counterpoise/sim/montecarlo"
)

// MaxSubsetGroups is the greatest number of groups for which [Shapley] goes
// through all subsets: their number doubles with every group.
const MaxSubsetGroups = 12

// Shapley estimates the Shapley effect of every group (Owen 2014, SIAM/ASA
// Journal on Uncertainty Quantification 2:245; for dependent inputs Song, Nelson and
// Staum 2016, the same journal 4:1060). With d groups and c(S) = Var(E[Y | X_S]),
//
//	effect of i = 1/(d·V) · Σ over S without i of (c(S∪i) − c(S)) / (d−1 choose |S|).
//
// Up to MaxSubsetGroups groups, all 2ᵈ subsets are estimated; beyond, random
// orders stand for all as in [ShapleyPermutations].
//
// c(S) is estimated as the covariance of Y with Y_S, the response when X_S is
// kept and the rest drawn anew given X_S: the pick-and-freeze estimator of
// Broto, Bachoc and Depecker 2020 (the same journal 8:693) instead of a double loop
// (citations from memory). All subsets share the base sample and their random
// numbers. With f the response less its mean,
//
//	c(S) − c(∅) ≈ mean of f(X)·(f(X_S) − f(X_∅)),
//
// X_∅ being the independent second sample, whose own c(∅) is 0 but for chance. So
// an input that is neither read by the model nor dependent on others earns 0
// exactly, and effects add up to 1, but for rounding, in every replicate.
//
// Each row of the base sample costs 2ᵈ evaluations.
func Shapley(ctx context.Context, p Problem, o Options) (*Result, error) {
	if p.Groups == nil && len(p.Inputs) > MaxSubsetGroups || len(p.Groups) > MaxSubsetGroups {
		return ShapleyPermutations(ctx, p, o)
	}
	p, o, err := checked(p, o)
	if err != nil {
		return nil, err
	}
	d := len(p.Groups)
	subsets := 1 << d
	full := subsets - 1

	kept := make([][]bool, subsets)
	redraws := make([]Redraw, subsets)
	for s := range subsets {
		kept[s] = make([]bool, d)
		for g := range d {
			kept[s][g] = s>>g&1 == 1
		}
		if s == 0 || s == full {
			continue
		}
		if redraws[s], err = p.Sampler.Condition(p.columns(kept[s])); err != nil {
			return nil, prefixed(err)
		}
	}

	weights := make([]float64, d) // by the size of S
	choose := 1.0                 // d−1 choose size
	for size := range weights {
		weights[size] = 1 / (float64(d) * choose)
		choose *= float64(d-1-size) / float64(size+1)
	}

	m := &method{
		name:    fmt.Sprintf("Shapley effects over all %d subsets of %d groups, pick-and-freeze", subsets, d),
		purpose: "drivers/shapley",
		indices: oneIndexEach(ShapleyEffect, p.Groups),
		perRow:  int64(subsets),
		sums:    baseSums + subsets,
		newChunk: func(e *evaluator) func(*chunk, []float64) error {
			mixed := newMixer(p)
			rows := min(o.Base, chunkRows)
			y, other := make([]float64, rows), make([]float64, rows)
			return func(c *chunk, sums []float64) error {
				at := Sample{Replicate: c.replicate, First: c.first, Kept: kept[full]}
				if err := e.both(y, other, c.base, c.second, at, sums); err != nil {
					return err
				}
				covariances := sums[baseSums:]
				covariances[full], covariances[0] = linear.Dot(y, y), linear.Dot(y, other)
				for s := 1; s < full; s++ {
					at.Kept = kept[s]
					in := mixed.mix(redraws[s], at.Kept, c.base, c.second)
					if err := e.centred(other, in, at); err != nil {
						return err
					}
					covariances[s] = linear.Dot(y, other)
				}
				return nil
			}
		},
		finish: func(sums []float64, rows int, numerators, denominators []float64) {
			c := sums[baseSums:]
			for s := range full {
				w := weights[bits.OnesCount(uint(s))] / float64(rows)
				for g := range d {
					if s>>g&1 == 0 {
						numerators[g] += float64(w * (c[s|1<<g] - c[s]))
					}
				}
			}
			fill(denominators, (c[full]-c[0])/float64(rows))
		},
	}
	return m.run(ctx, p, o)
}

// A mixer holds the columns of mixed rows, for one goroutine.
type mixer struct {
	groups []Group
	drawn  [][]float64
	in     [][]float64
}

func newMixer(p Problem) *mixer {
	n := len(p.Inputs)
	return &mixer{groups: p.Groups, drawn: montecarlo.Columns(n, chunkRows), in: make([][]float64, n)}
}

// mix returns rows with the kept groups from x and the rest redrawn from fresh.
// Columns that are kept are those of x themselves.
func (m *mixer) mix(redraw Redraw, kept []bool, x, fresh [][]float64) [][]float64 {
	for i := range m.in {
		m.in[i] = m.drawn[i][:len(x[i])]
	}
	redraw(m.in, x, fresh)
	for g, group := range m.groups {
		if kept[g] {
			for _, i := range group.Inputs {
				m.in[i] = x[i]
			}
		}
	}
	return m.in
}

// checked checks what every method is given.
func checked(p Problem, o Options) (Problem, Options, error) {
	p, err := p.checked()
	if err == nil {
		o, err = o.checked()
	}
	return p, o, prefixed(err)
}

// run estimates and says whose errors they are.
func (m *method) run(ctx context.Context, p Problem, o Options) (*Result, error) {
	r, err := m.estimate(ctx, p, o)
	return r, prefixed(err)
}

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
