package drivers

import (
	"cmp"
	"errors"
	"fmt"
	"slices"

	"counterpoise/sim/math"
)

// A Knob is an input of a function at the point where its slope is asked for.
type Knob struct {
	Name string
	At   float64

	// Reach is how far to either side the function may be evaluated; 0 means
	// 2 % of At.
	Reach float64
}

// A Slope is what a small turn of one knob does to a function's value.
type Slope struct {
	Name string
	At   float64

	Derivative float64
	Error      float64 // estimated bound of the derivative's error

	// Elasticity is the per cent by which the value changes per per cent of the
	// input. It is NaN where the function is 0.
	Elasticity      float64
	ElasticityError float64

	// Left and Right are the derivatives to either side. Kink says that they
	// differ by more than their errors explain: then there is no derivative, and
	// Derivative is their mean, its Error half their difference.
	Left, Right float64
	Kink        bool
}

// halvings is how often the distance is halved, from the reach on.
const halvings = 20

// extrapolations is how many neighbouring distances go into one extrapolation.
const extrapolations = 7

// Elasticities differentiates f at one point by each of its inputs in turn. It
// returns f's value there, the slopes in the order of the knobs, and the number
// of evaluations, 42 for each and one.
//
// Difference quotients over distances reach/2ᵏ, central ones and those to either
// side, are extrapolated to distance 0 (Richardson 1911, Philosophical Transactions
// of the Royal Society A 210:307; the choice of the best by its disagreement with its
// parents is that of Ridders 1982, Advances in Engineering Software 4:75, here
// over every starting distance). For smooth functions about ten digits are
// right, and the error says how many.
//
// A function that jumps or is too rough for its quotients to settle is an
// error, as are NaN and infinite values.
func Elasticities(f func(x []float64) (float64, error), knobs []Knob) (value float64, slopes []Slope, evaluations int, err error) {
	value, slopes, evaluations, err = elasticities(f, knobs)
	return value, slopes, evaluations, prefixed(err)
}

func elasticities(f func(x []float64) (float64, error), knobs []Knob) (float64, []Slope, int, error) {
	if f == nil {
		return 0, nil, 0, errors.New("there is no function")
	}
	names, at := make([]string, len(knobs)), make([]float64, len(knobs))
	for i, k := range knobs {
		names[i], at[i] = k.Name, k.At
	}
	if err := checkNames("input", names); err != nil {
		return 0, nil, 0, err
	}
	evaluations := 0
	x := make([]float64, len(at))
	call := func(i int, xi float64) (float64, error) {
		copy(x, at)
		x[i] = xi
		evaluations++
		y, err := f(x)
		if err == nil && !math.Finite(y) {
			copy(x, at)
			x[i] = xi
			err = &ResponseError{Response: y, Inputs: names, At: slices.Clone(x)}
		}
		return y, err
	}
	value, err := call(0, at[0])
	if err != nil {
		return 0, nil, 0, err
	}
	slopes := make([]Slope, len(knobs))
	for i, k := range knobs {
		k.Reach = cmp.Or(k.Reach, 0.02*math.Abs(k.At))
		if !math.Finite(k.At) || !(k.Reach > 0) || !math.Finite(k.Reach) || k.At+math.Ldexp(k.Reach, -halvings-12) == k.At {
			return 0, nil, 0, fmt.Errorf("the slope by %q at %v: a reach of %v does not work", k.Name, k.At, k.Reach)
		}
		s, err := slope(value, k, func(xi float64) (float64, error) { return call(i, xi) })
		if err != nil {
			return 0, nil, 0, fmt.Errorf("the slope by %q: %w", k.Name, err)
		}
		slopes[i] = s
	}
	return value, slopes, evaluations, nil
}

// slope differentiates a function of one variable, given its value at the
// knob.
func slope(value float64, k Knob, f func(float64) (float64, error)) (Slope, error) {
	var central, left, right quotients
	for n := range halvings + 1 {
		h := math.Ldexp(k.Reach, -n)
		// The distances as the machine has them, which are not quite h.
		up, down := k.At+h, k.At-h
		above, err := f(up)
		if err != nil {
			return Slope{}, err
		}
		below, err := f(down)
		if err != nil {
			return Slope{}, err
		}
		noise := 0x1p-51 * max(math.Abs(value), math.Abs(above), math.Abs(below)) / h
		central.add((above-below)/(up-down), noise)
		right.add((above-value)/(up-k.At), noise)
		left.add((value-below)/(k.At-down), noise)
	}
	d, e := central.limit(2)
	l, le := left.limit(1)
	r, re := right.limit(1)
	s := Slope{Name: k.Name, At: k.At, Derivative: d, Error: e, Left: l, Right: r}
	// One-sided quotients are the more sensitive to roughness, so they judge.
	scale := max(math.Abs(l), math.Abs(r))
	if settled := float64(1e-3*scale) + 1e-6*math.Abs(value)/k.Reach; !(le <= settled && re <= settled) {
		return Slope{}, errors.New("difference quotients do not settle: the function jumps or is rough")
	}
	if math.Abs(r-l) > float64(10*(le+re))+float64(1e-7*scale) {
		s.Kink = true
		s.Derivative, s.Error = (l+r)/2, math.Abs(r-l)/2
	}
	s.Elasticity, s.ElasticityError = nan, nan
	if value != 0 {
		s.Elasticity = s.Derivative * k.At / value
		s.ElasticityError = s.Error * math.Abs(k.At/value)
	}
	return s, nil
}

// quotients are difference quotients over distances that halve.
type quotients struct {
	value, noise []float64 // noise: what rounding may do to them
}

func (q *quotients) add(value, noise float64) {
	q.value, q.noise = append(q.value, value), append(q.noise, noise)
}

// limit extrapolates to distance 0, the error of the quotients being a series of
// powers order, 2·order, 3·order … of the distance, and estimates how far off
// it is.
func (q *quotients) limit(order int) (best, bestError float64) {
	bestError = math.Inf(1)
	var above [extrapolations]float64 // the row of distances twice as great
	for i, v := range q.value {
		var row [extrapolations]float64
		row[0] = v
		for j := 1; j <= i && j < extrapolations; j++ {
			// One term less: Neville's scheme.
			factor := math.Ldexp(1, order*j)
			row[j] = (float64(factor*row[j-1]) - above[j-1]) / (factor - 1)
			e := max(math.Abs(row[j]-row[j-1]), math.Abs(row[j]-above[j-1])) + float64(2*q.noise[i])
			if e < bestError {
				best, bestError = row[j], e
			}
		}
		above = row
	}
	return best, bestError
}
