package drivers

import (
	"context"
	"fmt"
)

// FullAndIndependent estimates first-order and total indices of groups that
// may depend on each other, each in two versions (Mara and Tarantola 2012,
// Reliability Engineering & System Safety 107:115; Mara, Tarantola and Annoni 2015,
// Environmental Modelling & Software 72:173; citations from memory): full, the
// group standing first in Rosenblatt's construction of the inputs, with all that
// it shares with the others; and independent, the group standing last, with only
// what none of the others can tell about it. Of independent groups both versions
// are the ordinary indices.
//
// Either can be the greater: with dependence, an independent total index may be
// less than the full first-order one. They do not add up to 1; [Shapley] effects do.
// An input that the model does not read has independent indices of exactly 0.
//
// The samples are mixed so that X keeps, or loses, just the part in question;
// then first-order indices are covariances as in [Shapley], and total ones are
// half mean squared differences (Jansen 1999, Computer Physics Communications
// 117:35). The sampler must do as [Redraw] says.
//
// Each row of the base sample costs 4d+2 evaluations for d groups.
func FullAndIndependent(ctx context.Context, p Problem, o Options) (*Result, error) {
	p, o, err := checked(p, o)
	if err != nil {
		return nil, err
	}
	d := len(p.Groups)
	const versions = 4

	// Which groups a row keeps of which sample, by version. Exchanging the
	// samples exchanges what is kept and what is redrawn: given x, the row that
	// keeps group g of the second sample has from x the residuals of the others.
	type row struct {
		kept   []bool
		redraw Redraw
		second bool
		total  bool
	}
	rows := make([][versions]row, d)
	var indices []Index
	for _, kind := range []Kind{FullFirst, FullTotal, IndependentFirst, IndependentTotal} {
		indices = append(indices, oneIndexEach(kind, p.Groups)...)
	}
	for g := range d {
		only, others := make([]bool, d), all(d)
		only[g], others[g] = true, false
		onlyRedraw, err := p.Sampler.Condition(p.columns(only))
		if err != nil {
			return nil, prefixed(err)
		}
		othersRedraw, err := p.Sampler.Condition(p.columns(others))
		if err != nil {
			return nil, prefixed(err)
		}
		rows[g] = [versions]row{
			{kept: only, redraw: onlyRedraw},                            // full first
			{kept: only, redraw: onlyRedraw, second: true, total: true}, // full total
			{kept: others, redraw: othersRedraw, second: true},          // independent first
			{kept: others, redraw: othersRedraw, total: true},           // independent total
		}
	}
	everything := all(d)
	m := &method{
		name:    fmt.Sprintf("full and independent indices of %d groups, pick-and-freeze", d),
		purpose: "drivers/full and independent",
		indices: indices,
		perRow:  int64(versions*d + 2),
		sums:    baseSums + versions*d,
		newChunk: func(e *evaluator) func(*chunk, []float64) error {
			mixed := newMixer(p)
			n := min(o.Base, chunkRows)
			a, b, other := make([]float64, n), make([]float64, n), make([]float64, n)
			return func(c *chunk, sums []float64) error {
				at := Sample{Replicate: c.replicate, First: c.first, Kept: everything}
				if err := e.both(a, b, c.base, c.second, at, sums); err != nil {
					return err
				}
				for g := range d {
					for v, r := range rows[g] {
						x, fresh := c.base, c.second
						if r.second {
							x, fresh = fresh, x
						}
						at.Second, at.Kept = r.second, r.kept
						if err := e.centred(other, mixed.mix(r.redraw, r.kept, x, fresh), at); err != nil {
							return err
						}
						k := baseSums + v*d + g
						if r.total {
							sums[k] = squaredDifference(a, other) / 2
						} else {
							sums[k] = dotDifference(a, other, b)
						}
					}
				}
				return nil
			}
		},
		finish: func(sums []float64, rows int, numerators, denominators []float64) {
			fill(denominators, variance(sums, rows))
			for i := range numerators {
				numerators[i] = sums[baseSums+i] / float64(rows)
			}
		},
	}
	return m.run(ctx, p, o)
}
