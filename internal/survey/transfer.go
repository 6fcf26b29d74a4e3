package survey

import (
	"fmt"
	"math"
	"slices"

	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// What only soldiers had measured: everything from the first to the last of these.
const (
	firstMoved = anthro.AcromialHeight
	lastMoved  = anthro.HipBreadth
	moved      = int(lastMoved-firstMoved) + 1
)

// A transfer tells what only soldiers had measured of people of whom stature, mass,
// waist and age are known: a regression on these, and the residuals of the soldiers
// themselves, so that nobody is made of residuals that no body has.
//
// The regression goes on stature, ln body mass index, ln waist and age, with means of
// their own for the groups of descent, which stay in the residuals. It goes on beyond the
// soldiers' own mass indices and waists: so it foretells heavy soldiers from lean ones
// better than if it ended there (see the tests).
type transfer struct {
	slopes   [moved][inputs]float64
	residual [][moved]float64
	of       [numDescents][]int // the soldiers of each group
	// over is what a group has over those of its list: of a group that has nobody of its
	// own, how it differs elsewhere from the one that stands in for it.
	over [numDescents][moved]float64
	age  []float64 // of the people; nil where those of all ages are alike in the rest
	// leastError is the least that the public's tape errs by, m: a millimetre, to which it
	// is read, where its readings do not tell.
	leastError float64
	within     *mat.SymDense // covariance of the residuals within groups
	lower      mat.TriDense  // its Cholesky factor
}

// inputs of the regression: 1, stature, ln body mass index, ln waist, age.
const inputs = 5

func inputsOf(stature, mass, waist, age float64) [inputs]float64 {
	return [inputs]float64{1, stature, math.Log(mass / (stature * stature)), math.Log(waist), age}
}

// fitTransfer fits a transfer to soldiers.
func fitTransfer(s *Soldiers) (*transfer, error) {
	n, v := s.People.Rows(), s.People.Value
	t := &transfer{residual: make([][moved]float64, n), leastError: 0.001}
	present := make([]float64, numDescents)
	for i, d := range s.Descent {
		t.of[d] = append(t.of[d], i)
		present[d]++
	}
	// The first group that is there is the one with which the others are compared.
	first := slices.IndexFunc(present, func(n float64) bool { return n > 0 })
	column := map[Descent]int{}
	width := inputs
	for d := range numDescents {
		if present[d] > 0 && int(d) != first {
			column[d] = width
			width++
		}
	}
	known, measured, ones := mat.NewDense(n, width, nil), mat.NewDense(n, moved, nil), make([]float64, n)
	for i := range n {
		in := inputsOf(v[anthro.Stature][i], v[anthro.Mass][i], v[anthro.WaistCircumference][i], v[anthro.Age][i])
		for k, x := range in {
			known.Set(i, k, x)
		}
		if k, ok := column[s.Descent[i]]; ok {
			known.Set(i, k, 1)
		}
		for y := range moved {
			measured.Set(i, y, v[int(firstMoved)+y][i])
		}
		ones[i] = 1
	}
	coefficients, left, err := leastSquares(known, measured, ones)
	if err != nil {
		return nil, fmt.Errorf("what only soldiers had measured: %w", err)
	}
	for k := range inputs {
		for y := range moved {
			t.slopes[y][k] = coefficients.At(k, y)
		}
	}
	for i := range n {
		for y := range moved {
			t.residual[i][y] = left.At(i, y)
			if k, ok := column[s.Descent[i]]; ok {
				t.residual[i][y] += coefficients.At(k, y)
			}
		}
	}
	t.within = mat.NewSymDense(moved, nil)
	stat.CovarianceMatrix(t.within, left, nil)
	var factor mat.Cholesky
	if !factor.Factorize(t.within) {
		return nil, fmt.Errorf("the residuals of what only soldiers had measured are not independent")
	}
	factor.LTo(&t.lower)
	return t, nil
}

// predict returns what the regression expects, without the residual.
func (t *transfer) predict(stature, mass, waist, age float64) (expected [moved]float64) {
	in := inputsOf(stature, mass, waist, age)
	for y := range expected {
		for k, slope := range t.slopes[y] {
			expected[y] += slope * in[k]
		}
	}
	return expected
}

// mean returns what a group has over what its size lets expect.
func (t *transfer) mean(d Descent) (mean [moved]float64) {
	for y := range mean {
		for _, i := range t.of[d] {
			mean[y] += t.residual[i][y] / float64(len(t.of[d]))
		}
		mean[y] += t.over[d][y]
	}
	return mean
}

// near returns the logarithm of how much somebody counts for people of an age: children
// of other ages are built otherwise than a straight line says.
func (t *transfer) near(i int, age float64) float64 {
	if t.age == nil {
		return 0
	}
	return -(t.age[i] - age) * (t.age[i] - age) / 2
}

// borrow lets groups of whom nobody is among the people of the transfer differ from a
// group that is among them as they do among other people.
func (t *transfer) borrow(others *transfer, from Descent) {
	base := others.mean(from)
	for d := range numDescents {
		if d == OtherDescent || len(t.of[d]) > 0 || len(others.of[d]) == 0 {
			continue
		}
		for y, mean := range others.mean(d) {
			t.over[d][y] = mean - base[y]
		}
		t.of[d] = t.of[from]
	}
}

// at is the place of a measurement among those moved.
func at(m anthro.Measurement) int { return int(m - firstMoved) }

// arm and leg return what the public's tape is to read, from the values or residuals
// of what soldiers had measured.
func arm(y *[moved]float64) float64 { return y[at(anthro.UpperArmLength)] }
func leg(y *[moved]float64) float64 {
	return y[at(anthro.TrochanterionHeight)] - y[at(anthro.TibialHeight)]
}
