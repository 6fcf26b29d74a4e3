package drivers

import (
	"context"
	"fmt"

	"counterpoise/sim/linear"
	"counterpoise/sim/montecarlo"
)

// An Estimator is a pair of formulas for first-order and total indices.
type Estimator int

const (
	// SaltelliJansen estimates first-order indices by Saltelli et al. 2010
	// (Computer Physics Communications 181:259, table 2, row b), and total ones
	// by Jansen 1999 (Computer Physics Communications 117:35; row f there).
	SaltelliJansen Estimator = iota

	// Janon estimates both by Janon, Klein, Lagnoux, Nodet and Prieur 2014 (ESAIM
	// Probability and Statistics 18:342), which is asymptotically efficient:
	// covariance over variance of the two responses that share what they
	// share, the two taken as one sample in both (citation from memory).
	Janon
)

// SobolOptions are the options of [Sobol].
type SobolOptions struct {
	Options
	Estimator   Estimator
	SecondOrder bool // second-order indices, too
}

// Sobol estimates first-order and total indices of independent groups (Sobol'
// 1993, Mathematical Modelling and Computational Experiments 1:407; Homma and Saltelli
// 1996, Reliability Engineering & System Safety 52:1), and on request second-order ones
// (Saltelli 2002, Computer Physics Communications 145:280). Groups that depend on
// each other are an error that wraps [ErrDependent]; inputs within a group
// may.
//
// The variance in the denominators of Saltelli and Jansen is half the mean squared
// difference between the two samples, which is unbiased for quasi-random samples.
//
// Each row of the base sample costs d+2 evaluations for d groups, with
// second-order indices 2d+2.
func Sobol(ctx context.Context, p Problem, o SobolOptions) (*Result, error) {
	p, options, err := checked(p, o.Options)
	if err != nil {
		return nil, err
	}
	if err := p.checkIndependent(); err != nil {
		return nil, prefixed(err)
	}
	estimator := "Saltelli 2010 and Jansen 1999"
	switch o.Estimator {
	case SaltelliJansen:
	case Janon:
		estimator = "Janon et al. 2014"
	default:
		return nil, prefixed(fmt.Errorf("there is no estimator %d", o.Estimator))
	}
	d := len(p.Groups)
	s := sobolSums{groups: d}
	m := &method{
		name:    fmt.Sprintf("Sobol' indices of %d independent groups, %s", d, estimator),
		purpose: "drivers/sobol",
		indices: append(oneIndexEach(First, p.Groups), oneIndexEach(Total, p.Groups)...),
		perRow:  int64(d + 2),
		sums:    s.len(),
	}
	if o.SecondOrder {
		m.name += ", second order by Saltelli 2002"
		m.perRow = int64(2*d + 2)
		for i, a := range p.Groups {
			for _, b := range p.Groups[i+1:] {
				m.indices = append(m.indices, Index{Kind: Second, Groups: []string{a.Name, b.Name}})
			}
		}
	}

	o.Options = options
	r := &sobolRows{problem: p, options: o, sums: s}
	for g := range d {
		others, only := all(d), make([]bool, d)
		others[g], only[g] = false, true
		r.others, r.only = append(r.others, others), append(r.only, only)
	}
	m.newChunk, m.finish = r.newChunk, r.finish
	return m.run(ctx, p, options)
}

// sobolRows evaluates the rows of Sobol, and makes indices of their sums.
type sobolRows struct {
	problem Problem
	options SobolOptions
	sums    sobolSums
	// Which groups rows keep from the base: all but one, and only one.
	others, only [][]bool
}

func (r *sobolRows) newChunk(e *evaluator) func(*chunk, []float64) error {
	s, d, everything := r.sums, r.sums.groups, all(r.sums.groups)
	in := make([][]float64, len(r.problem.Inputs))
	mix := func(kept []bool, c *chunk) [][]float64 {
		for g, group := range r.problem.Groups {
			from := c.second
			if kept[g] {
				from = c.base
			}
			for _, i := range group.Inputs {
				in[i] = from[i]
			}
		}
		return in
	}
	rows := min(r.options.Base, chunkRows)
	a, b := make([]float64, rows), make([]float64, rows)
	ab, ba := montecarlo.Columns(d, rows), montecarlo.Columns(d, rows)
	return func(c *chunk, sums []float64) error {
		at := Sample{Replicate: c.replicate, First: c.first, Kept: everything}
		if err := e.both(a, b, c.base, c.second, at, sums); err != nil {
			return err
		}
		sums[s.baseSquares()], sums[s.secondSquares()] = linear.Dot(a, a), linear.Dot(b, b)
		for g := range d {
			at.Kept = r.others[g]
			if err := e.centred(ab[g], mix(at.Kept, c), at); err != nil {
				return err
			}
			sums[s.shared(g)] = dotDifference(b, ab[g], a)
			sums[s.jansen(g)] = squaredDifference(a, ab[g])
			sums[s.mixed(g)] = linear.Sum(ab[g])
			sums[s.mixedSquares(g)] = linear.Dot(ab[g], ab[g])
			sums[s.product(g)] = linear.Dot(b, ab[g])
		}
		if !r.options.SecondOrder {
			return nil
		}
		for g := range d {
			at.Kept = r.only[g]
			if err := e.centred(ba[g], mix(at.Kept, c), at); err != nil {
				return err
			}
		}
		unshared := linear.Dot(a, b)
		for i := range d {
			for j := range i {
				sums[s.pair(j, i)] = float64(0.5*(linear.Dot(ba[i], ab[j])+linear.Dot(ba[j], ab[i]))) - unshared
			}
		}
		return nil
	}
}

func (r *sobolRows) finish(sums []float64, rows int, numerators, denominators []float64) {
	s, d, n := r.sums, r.sums.groups, float64(rows)
	fill(denominators, variance(sums, rows))
	for g := range d {
		first, total := sums[s.shared(g)]/n, sums[s.jansen(g)]/(2*n)
		if r.options.Estimator == SaltelliJansen {
			numerators[g], numerators[d+g] = first, total
			continue
		}
		pairMean := (sums[sumSecond] + sums[s.mixed(g)]) / (2 * n)
		numerators[g] = sums[s.product(g)]/n - float64(pairMean*pairMean)
		denominators[g] = (sums[s.secondSquares()]+sums[s.mixedSquares(g)])/(2*n) - float64(pairMean*pairMean)
		// One less covariance over variance; the covariance is the variance
		// less half the mean squared difference.
		pairMean = (sums[sumBase] + sums[s.mixed(g)]) / (2 * n)
		numerators[d+g] = total
		denominators[d+g] = (sums[s.baseSquares()]+sums[s.mixedSquares(g)])/(2*n) - float64(pairMean*pairMean)
	}
	if !r.options.SecondOrder {
		return
	}
	k := 2 * d
	for i := range d {
		for j := i + 1; j < d; j++ {
			numerators[k] = (sums[s.pair(i, j)] - sums[s.shared(i)] - sums[s.shared(j)]) / n
			k++
		}
	}
}

// TotalOf estimates a total index from responses that are there already, by Jansen's
// formula (see [SaltelliJansen]). base holds the responses to the points of independent
// replicates; exchanged, of the first points of each, the responses with what the index is
// of exchanged for an independent draw. The variance is that of all of base about its
// mean. The interval is of the replicates, of which at least two are needed. Everything is
// NaN where a response is not finite, or none differs.
func TotalOf(base, exchanged [][]float64, confidence float64) Estimate {
	mean, n := 0.0, 0
	for _, of := range base {
		mean += linear.Sum(of)
		n += len(of)
	}
	mean /= float64(n)
	replicates := make([]replicate, len(base))
	for r, of := range base {
		square, turned := 0.0, exchanged[r]
		for _, y := range of {
			square += float64((y - mean) * (y - mean))
		}
		replicates[r] = replicate{
			numerators:   []float64{squaredDifference(of[:len(turned)], turned) / float64(2*len(turned))},
			denominators: []float64{square / float64(len(of))},
		}
	}
	e := ratio(replicates, confidence, func(r *replicate) (float64, float64) { return r.numerators[0], r.denominators[0] })
	if !allFinite(e.Value, e.Low, e.High) {
		return Estimate{nan, nan, nan}
	}
	return e
}

// sobolSums says where each sum stands. A is the base sample, B the second,
// ABᵢ is A with group i from B, BAᵢ the reverse; all responses are centred.
type sobolSums struct{ groups int }

func (s sobolSums) baseSquares() int       { return baseSums }           // Σ A²
func (s sobolSums) secondSquares() int     { return baseSums + 1 }       // Σ B²
func (s sobolSums) shared(g int) int       { return baseSums + 2 + 5*g } // Σ B·(ABᵢ − A)
func (s sobolSums) jansen(g int) int       { return s.shared(g) + 1 }    // Σ (A − ABᵢ)²
func (s sobolSums) mixed(g int) int        { return s.shared(g) + 2 }    // Σ ABᵢ
func (s sobolSums) mixedSquares(g int) int { return s.shared(g) + 3 }    // Σ ABᵢ²
func (s sobolSums) product(g int) int      { return s.shared(g) + 4 }    // Σ B·ABᵢ

// pair, for i < j, is ½·Σ (BAⱼ·ABᵢ + BAᵢ·ABⱼ) − Σ A·B: n times the variance
// explained by both together.
func (s sobolSums) pair(i, j int) int { return s.shared(s.groups) + j*(j-1)/2 + i }
func (s sobolSums) len() int          { return s.pair(0, s.groups) }
