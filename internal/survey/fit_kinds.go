package survey

import (
	"errors"
	"math"

	"counterpoise/sim/anthro"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// kindTurns is how often the two kinds are found anew. The steps fall to a tenth within
// five turns; what is left after these is below the parameters' sampling error by far.
const kindTurns = 12

// likelier returns how likely each person is of the second of two kinds, as expectation
// and maximisation by turns find them (Dempster, Laird and Rubin 1977, J R Stat Soc B
// 39:1) from whom the crowd takes for it: scores normal, with one covariance within both.
func likelier(c *crowd, scores [anthro.NumVariables][]float64) ([]float64, error) {
	n, people := len(scores), len(c.second)
	rows := mat.NewDense(people, n, nil)
	for m, column := range scores {
		rows.SetCol(m, column)
	}
	total, within := mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	stat.CovarianceMatrix(total, rows, c.weight)
	share, shift := c.shareOfSecond(), mat.NewVecDense(n, nil)
	for m, column := range scores {
		shift.SetVec(m, c.shift(column))
	}
	second := make([]float64, people)
	var factor mat.Cholesky
	var along, score mat.VecDense
	for range kindTurns {
		within.SymRankOne(total, -share*(1-share), shift)
		if !factor.Factorize(within) || factor.SolveVecTo(&along, shift) != nil {
			return nil, errors.New("the two kinds of people cannot be told apart")
		}
		// Both scatter alike, so that the logarithm of the odds is linear in the scores.
		score.MulVec(rows, &along)
		middle := (0.5 - share) * mat.Dot(&along, shift)
		for i := range second {
			odds := share / (1 - share) * math.Exp(score.AtVec(i)-middle)
			second[i] = odds / (1 + odds)
		}
		next := &crowd{weight: c.weight, second: second}
		share = next.shareOfSecond()
		for m, column := range scores {
			shift.SetVec(m, next.shift(column))
		}
	}
	return second, nil
}
