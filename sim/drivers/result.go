package drivers

import (
	"slices"

	"counterpoise/sim/math"
)

// A Kind is what an [Index] measures. V is the variance of the response Y; X is
// what the index is of.
type Kind string

// The kinds of indices.
const (
	// ShapleyEffect is the share of V that is due to X, shared out by
	// Shapley's rule: the mean over all orders of the groups of what X adds to
	// the explained variance when it joins those before it.
	ShapleyEffect Kind = "shapley"

	// First is Var(E[Y | X])/V, for independent groups: what X explains alone.
	First Kind = "first"
	// Total is E[Var(Y | all but X)]/V, for independent groups: what X explains
	// alone and by interactions.
	Total Kind = "total"
	// Second is what two independent groups explain by their interaction.
	Second Kind = "second"

	// FullFirst is Var(E[Y | X])/V: what X explains alone, with all that it
	// shares with other groups.
	FullFirst Kind = "full first"
	// FullTotal adds interactions to FullFirst: 1 − Var(E[Y | R])/V, R being what
	// the other groups have independent of X.
	FullTotal Kind = "full total"
	// IndependentFirst is Var(E[Y | R])/V, R being what X has independent of all
	// other groups: what X explains alone and without them.
	IndependentFirst Kind = "independent first"
	// IndependentTotal is E[Var(Y | all but X)]/V: what is left to explain
	// when all other groups are known.
	IndependentTotal Kind = "independent total"
)

// An Estimate is a value with its interval.
type Estimate struct {
	Value, Low, High float64
}

// HalfWidth returns half the width of the interval.
func (e Estimate) HalfWidth() float64 { return (e.High - e.Low) / 2 }

// An Index is one estimated index of a group, or of two.
type Index struct {
	Kind   Kind
	Groups []string
	Estimate
}

// A Result is what a method found.
type Result struct {
	Method  string  // how, in words
	Indices []Index // by kind, then in the order of the groups

	Mean, Variance Estimate // of the response

	Confidence  float64 // of all intervals
	Base        int     // rows of the base sample in each replicate
	Replicates  int
	Evaluations int64 // of the model, in rows
	Reached     bool  // every half-width is at most Until, or no Until was asked for
}

// Index returns the index of a kind for a group (two for [Second], in any order),
// and whether there is one.
func (r *Result) Index(kind Kind, groups ...string) (Index, bool) {
	for _, i := range r.Indices {
		if i.Kind != kind || len(i.Groups) != len(groups) {
			continue
		}
		if slices.Equal(i.Groups, groups) || len(groups) == 2 && i.Groups[0] == groups[1] && i.Groups[1] == groups[0] {
			return i, true
		}
	}
	return Index{}, false
}

// Widest returns the greatest half-width of the indices.
func (r *Result) Widest() float64 {
	var w float64
	for _, i := range r.Indices {
		w = max(w, i.HalfWidth())
	}
	return w
}

// A replicate is what one independent replicate estimates: each index is
// expected numerator over expected denominator.
type replicate struct {
	numerators, denominators []float64
	mean, variance           float64
}

// ratio estimates an expected numerator over an expected denominator from
// independent replicates of both, with Student's interval for the
// linearised ratio (Cochran 1977, Sampling Techniques, section 6.3).
func ratio(replicates []replicate, confidence float64, parts func(r *replicate) (numerator, denominator float64)) Estimate {
	n := float64(len(replicates))
	var numerator, denominator float64
	for i := range replicates {
		a, b := parts(&replicates[i])
		numerator += a
		denominator += b
	}
	value := numerator / denominator
	var squares float64
	for i := range replicates {
		a, b := parts(&replicates[i])
		d := a - float64(value*b)
		squares += float64(d * d)
	}
	spread := math.Sqrt(squares/(n-1)/n) / math.Abs(denominator/n)
	half := float64(spread * studentQuantile(confidence, n-1))
	return Estimate{Value: value, Low: value - half, High: value + half}
}

// studentQuantile returns the half-width, in standard errors, of Student's
// interval.
func studentQuantile(confidence, degrees float64) float64 {
	return math.StudentQuantile((1+confidence)/2, degrees)
}
