// Package drivers says which inputs of a function drive its response: shares
// of the response's variance by groups of inputs, screening by elementary
// effects, and slopes at one point. It works on any Go function of any
// sampler, and knows nothing of bodies.
//
// Which method fits depends on whether the inputs depend on each other:
//
//   - [Shapley] shares the variance out fairly among groups of inputs that may
//     depend on each other. The shares add up to 1.
//   - [Sobol] gives first-order, total and second-order indices. They mean
//     what they are taken to mean for independent groups only, so it refuses
//     others.
//   - [FullAndIndependent] is what becomes of first-order and total indices under
//     dependence: each twice, with and without what a group shares with the others.
//   - [Morris] ranks many inputs by a few evaluations for each.
//   - [Elasticities] takes derivatives at one point.
//
// A Shapley effect is about information, not about cause. An input that the
// function never reads earns a share if it depends on one that the function
// does read: knowing it tells something about the response. Its independent total
// index is 0, which gives it away.
//
// What is reported comes with an interval from independent replicates, each a
// randomised quasi-random sample of its own, not from resampling one sample.
// The same seed gives the same bytes, whatever the number of workers.
//
// The package refuses to be clever about responses that are not numbers: NaN or
// an infinite response is an error that names the inputs.
package drivers

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// A Model computes the response of every row: out[i] from in[0][i], in[1][i] and
// so on, one column for each input, all of the length of out. It must set all
// of out, must neither change nor keep in, and must give a row the same
// response wherever the row stands. A model is called on one goroutine at a
// time, so it may own scratch space.
type Model func(out []float64, in [][]float64) error

// A Group is a set of inputs whose influence is asked for together.
type Group struct {
	Name   string
	Inputs []int // columns, counted from 0
}

// A Problem is a function, the distribution of its inputs, and the groups of
// inputs to hold responsible.
type Problem struct {
	Inputs  []string // the name of each column
	Groups  []Group  // every input in exactly one; nil means each input on its own
	Sampler Sampler  // the inputs' joint distribution

	// NewModel makes the model of one goroutine. It is itself called on one
	// goroutine at a time.
	NewModel func() Model
}

// ErrDependent is the error of a method that needs independent groups of
// inputs and was given others.
var ErrDependent = errors.New("first-order and total indices assume independent inputs: " +
	"with dependent ones they count twice what inputs share; " +
	"take Shapley effects, or full and independent indices")

// ErrConstant is the error for a response that is the same, but for rounding,
// whatever the inputs: no variance is there to be shared.
var ErrConstant = errors.New("the response does not vary with the inputs")

// A ResponseError is a response that is NaN or infinite, and where it came up.
type ResponseError struct {
	Response float64
	Inputs   []string
	At       []float64 // the value of each input
}

func (e *ResponseError) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "the response is %v at", e.Response)
	for i, name := range e.Inputs {
		fmt.Fprintf(&b, " %s=%g", name, e.At[i])
	}
	return b.String()
}

// checked returns the problem with its groups filled in.
func (p Problem) checked() (Problem, error) {
	if p.Sampler == nil || p.NewModel == nil {
		return p, errors.New("a problem needs a sampler and a model")
	}
	if err := checkNames("input", p.Inputs); err != nil {
		return p, err
	}
	if n := p.Sampler.Inputs(); n != len(p.Inputs) {
		return p, fmt.Errorf("%d inputs are named, but the sampler draws %d", len(p.Inputs), n)
	}
	if p.Groups == nil {
		for i, name := range p.Inputs {
			p.Groups = append(p.Groups, Group{Name: name, Inputs: []int{i}})
		}
	}
	if err := checkNames("group", p.groupNames()); err != nil {
		return p, err
	}
	owner := make([]string, len(p.Inputs))
	for _, g := range p.Groups {
		if len(g.Inputs) == 0 {
			return p, fmt.Errorf("group %q is empty", g.Name)
		}
		for _, i := range g.Inputs {
			if i < 0 || i >= len(p.Inputs) {
				return p, fmt.Errorf("group %q: there is no input %d, want 0 to %d", g.Name, i, len(p.Inputs)-1)
			}
			if owner[i] != "" {
				return p, fmt.Errorf("input %q is in group %q and again in group %q", p.Inputs[i], owner[i], g.Name)
			}
			owner[i] = g.Name
		}
	}
	for i, name := range owner {
		if name == "" {
			return p, fmt.Errorf("input %q is in no group", p.Inputs[i])
		}
	}
	return p, nil
}

func checkNames(what string, names []string) error {
	if len(names) == 0 {
		return fmt.Errorf("there is no %s", what)
	}
	seen := make(map[string]bool, len(names))
	for i, name := range names {
		if name == "" {
			return fmt.Errorf("%s %d has no name", what, i)
		}
		if seen[name] {
			return fmt.Errorf("two %ss are named %q", what, name)
		}
		seen[name] = true
	}
	return nil
}

func (p Problem) groupNames() []string {
	return names.Each(p.Groups, func(g Group) string { return g.Name })
}

// columns returns which inputs are in the kept groups.
func (p Problem) columns(kept []bool) []bool {
	columns := make([]bool, len(p.Inputs))
	for g, group := range p.Groups {
		for _, i := range group.Inputs {
			columns[i] = kept[g]
		}
	}
	return columns
}

// checkIndependent names two groups that depend on each other, if any do.
func (p Problem) checkIndependent() error {
	for i, a := range p.Groups {
		for _, b := range p.Groups[:i] {
			if !p.Sampler.Independent(a.Inputs, b.Inputs) {
				return fmt.Errorf("%q and %q depend on each other: %w", b.Name, a.Name, ErrDependent)
			}
		}
	}
	return nil
}

func allFinite(xs ...float64) bool {
	return !slices.ContainsFunc(xs, func(x float64) bool { return !math.Finite(x) })
}

// fill sets every element.
func fill(dst []float64, x float64) {
	for i := range dst {
		dst[i] = x
	}
}

var nan = math.NaN()
