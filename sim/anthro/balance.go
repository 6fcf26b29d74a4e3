package anthro

import (
	"slices"

	"counterpoise/sim/linear"
	"counterpoise/sim/math"

	"gonum.org/v1/gonum/mat"
)

// balance returns the λ for which weights proportional to exp(base + λ·x) give
// the columns x of a sample their target means, and whether there is one: of all
// weights that do so, those that stay closest to exp(base) in relative entropy
// (entropy balancing: Hainmueller 2012, Political Analysis 20:25). base is the
// logarithm of the weights that the sample has by its design, up to a constant.
//
// The dual of that problem has no constraints: the minimum over λ of
// ln Σ exp(base + λ·(x - target)), which is convex and whose gradient is what the
// means miss. Newton's method, with steps halved where they overshoot, finds it
// unless the targets lie outside the convex hull of the sample; on its boundary
// rounding decides.
func balance(columns [][]float64, base, target []float64) (lambda []float64, ok bool) {
	n := len(columns)
	b := &balancer{base: base, weight: make([]float64, len(base))}
	for j, column := range columns {
		spread := spreadOf(column)
		if !(spread > 0) {
			return nil, false
		}
		b.scale = append(b.scale, spread)
		b.centred = append(b.centred, make([]float64, len(column)))
		for i, x := range column {
			b.centred[j][i] = (x - target[j]) / spread
		}
	}
	at := make([]float64, n) // in units of one over the columns' spread
	miss, curvature := make([]float64, n), mat.NewSymDense(max(n, 1), nil)
	value := b.weigh(at)
	for range 100 {
		b.slope(miss, curvature)
		worst := 0.0
		for _, m := range miss {
			worst = math.Max(worst, math.Abs(m))
		}
		if worst < 1e-12 {
			break
		}
		factor, ok := linear.Factorize(curvature)
		if !ok {
			return nil, false
		}
		step := factor.Solve(miss)
		fall := linear.Dot(step, miss) // of the line along the slope, for the whole step
		if !(fall > 1e-26) {
			break
		}
		next, share := make([]float64, n), 1.0
		for ; ; share /= 2 {
			for j := range next {
				next[j] = at[j] - float64(share*step[j])
			}
			// Rounding in a value of the order of ten must not stop the last steps.
			if v := b.weigh(next); v <= value-float64(1e-4*share*fall)+float64(1e-13*math.Max(1, math.Abs(value))) {
				value = v
				break
			}
			if share < 1e-6 {
				return nil, false
			}
		}
		copy(at, next)
		for _, a := range at {
			if !(math.Abs(a) < steepest) {
				return nil, false
			}
		}
	}
	b.slope(miss, curvature)
	lambda = make([]float64, n)
	for j := range lambda {
		if !(math.Abs(miss[j]) < 1e-8) {
			return nil, false
		}
		lambda[j] = at[j] / b.scale[j]
	}
	return lambda, true
}

// steepest is the λ, per standard deviation, beyond which no means are reached
// that any sample of people would still speak for.
const steepest = 1e3

// balancer holds the sample of a balance, and the weights of one λ.
type balancer struct {
	centred     [][]float64
	base, scale []float64
	weight      []float64 // adding up to 1
}

// weigh sets the weights to those of λ and returns the dual's value.
func (b *balancer) weigh(lambda []float64) float64 {
	copy(b.weight, b.base)
	for j, l := range lambda {
		for i, x := range b.centred[j] {
			b.weight[i] += float64(l * x)
		}
	}
	return normalise(b.weight)
}

// slope fills in the dual's gradient and its second derivatives at the weights.
func (b *balancer) slope(gradient []float64, curvature *mat.SymDense) {
	for j, column := range b.centred {
		gradient[j] = 0
		for i, x := range column {
			gradient[j] += float64(b.weight[i] * x)
		}
	}
	for j, column := range b.centred {
		for k, other := range b.centred[:j+1] {
			sum := 0.0
			for i, x := range column {
				sum += float64(b.weight[i] * (x - gradient[j]) * (other[i] - gradient[k]))
			}
			curvature.SetSym(j, k, sum)
		}
	}
}

// normalise turns logarithms of weights into weights that add up to 1, and
// returns the logarithm of what they added up to.
func normalise(weight []float64) float64 {
	most, sum := slices.Max(weight), 0.0
	for i, w := range weight {
		weight[i] = math.Exp(w - most)
		sum += weight[i]
	}
	for i := range weight {
		weight[i] /= sum
	}
	return most + math.Log(sum)
}

// effective returns the effective sample size of weights that add up to 1, as a
// share of their number: (Σw)²/(n·Σw²) (Kish 1965, "Survey Sampling"; from
// memory).
func effective(weight []float64) float64 {
	return 1 / (linear.Dot(weight, weight) * float64(len(weight)))
}

func spreadOf(column []float64) float64 {
	less := centred(column)
	return math.Sqrt(linear.Dot(less, less) / float64(len(column)))
}
