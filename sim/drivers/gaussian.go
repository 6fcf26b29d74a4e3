package drivers

import (
	"errors"
	"fmt"

	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/names"

	"gonum.org/v1/gonum/mat"
)

// maxCondition is the greatest condition number of a covariance matrix that is
// worth inverting: ten of the sixteen digits are lost there.
const maxCondition = 1e10

// A Gaussian is a [Sampler] of jointly normal inputs with mean 0: normal scores.
// A model that wants measurements maps each score to its measurement, which
// makes the dependence a Gaussian copula. An input of another kind (an
// assumption, uniform on its range) joins as a score that is uncorrelated with all
// others, mapped through the normal distribution function.
type Gaussian struct {
	covariance *mat.SymDense
	lower      []float64 // Cholesky factor, row-major
}

// NewGaussian returns the sampler of scores with this covariance (or
// correlation) matrix, which it copies. Elements that are not finite, and a
// matrix that is not positive definite or so nearly singular that no
// regression can be trusted, are errors. An exact 0 declares two inputs
// uncorrelated.
func NewGaussian(covariance mat.Symmetric) (*Gaussian, error) {
	n := covariance.SymmetricDim()
	if n == 0 {
		return nil, errors.New("the covariance matrix is empty")
	}
	c := mat.NewSymDense(n, nil)
	c.CopySym(covariance)
	for i := range n {
		for j := range i + 1 {
			if !math.Finite(c.At(i, j)) {
				return nil, fmt.Errorf("covariance of inputs %d and %d: %v", j, i, c.At(i, j))
			}
		}
	}
	factor, ok := linear.Factorize(c)
	if !ok {
		return nil, errors.New("the covariance matrix is not positive definite")
	}
	if !(factor.Cond < maxCondition) {
		return nil, fmt.Errorf("the covariance matrix is nearly singular (condition number %.1g): some input is almost a sum of others", factor.Cond)
	}
	g := &Gaussian{covariance: c, lower: make([]float64, n*n)}
	for i := range n {
		for j := range i + 1 {
			g.lower[i*n+j] = factor.At(i, j)
		}
	}
	return g, nil
}

// Inputs returns the number of inputs.
func (g *Gaussian) Inputs() int { return g.covariance.SymmetricDim() }

// Independent reports whether every covariance between an input of a and one
// of b is exactly 0.
func (g *Gaussian) Independent(a, b []int) bool {
	for _, i := range a {
		for _, j := range b {
			if g.covariance.At(i, j) != 0 {
				return false
			}
		}
	}
	return true
}

// Draw turns uniform numbers into normal ones and these into scores with the
// covariance, by its Cholesky factor.
func (g *Gaussian) Draw(dst, uniforms [][]float64) {
	n := g.Inputs()
	for _, column := range uniforms {
		for i, u := range column {
			column[i] = math.NormalQuantile(u)
		}
	}
	for i := range n {
		fill(dst[i], 0)
		for j := range i + 1 {
			if c := g.lower[i*n+j]; c != 0 {
				linear.AddScaled(dst[i], c, uniforms[j])
			}
		}
	}
}

// Condition regresses the inputs that are not kept on those that are.
//
// Given kept scores s, the others t are normal with mean B·s, B = Σts·Σss⁻¹, and
// a covariance that does not depend on s. So if (s′, t′) is an independent draw
// of all scores, t′ − B·s′ is the residual, independent of s′, and
// t′ + B·(s − s′) is a draw given s (Journel and Huijbregts 1978, Mining
// Geostatistics, section VII.A: conditioning by kriging, citation from memory).
// No factor of the conditional covariance is needed, and draws for different
// sets of kept inputs share their random numbers.
func (g *Gaussian) Condition(keep []bool) (Redraw, error) {
	if len(keep) != g.Inputs() {
		panic("drivers: keep has not one element for each input")
	}
	var kept, redrawn []int
	for i, k := range keep {
		if k {
			kept = append(kept, i)
		} else {
			redrawn = append(redrawn, i)
		}
	}
	if len(kept) == 0 || len(redrawn) == 0 {
		return Uniform(g.Inputs()).Condition(keep)
	}
	within := mat.NewSymDense(len(kept), nil)
	for a, i := range kept {
		for b, j := range kept[:a+1] {
			within.SetSym(a, b, g.covariance.At(i, j))
		}
	}
	factor, ok := linear.Factorize(within)
	if !ok {
		return nil, errors.New("the covariance matrix of some of the inputs is not positive definite")
	}
	slopes := make([][]float64, len(redrawn))
	for b, j := range redrawn {
		across := names.Each(kept, func(i int) float64 { return g.covariance.At(i, j) })
		slopes[b] = factor.Solve(across)
	}
	r := regression{redrawn: redrawn}
	for a, i := range kept {
		p := predictor{input: i}
		for b, j := range redrawn {
			if s := slopes[b][a]; s != 0 {
				p.targets = append(p.targets, target{input: j, slope: s})
			}
		}
		if p.targets != nil {
			r.predictors = append(r.predictors, p)
		}
	}
	return r.redraw, nil
}

// A regression is B, without its zeros.
type regression struct {
	redrawn    []int
	predictors []predictor
}

type predictor struct {
	input   int
	targets []target
}

type target struct {
	input int
	slope float64
}

func (r regression) redraw(dst, x, fresh [][]float64) {
	for _, j := range r.redrawn {
		copy(dst[j], fresh[j])
	}
	for _, p := range r.predictors {
		difference := dst[p.input] // a kept column, free for use
		linear.SubTo(difference, x[p.input], fresh[p.input])
		for _, t := range p.targets {
			linear.AddScaled(dst[t.input], t.slope, difference)
		}
	}
}
