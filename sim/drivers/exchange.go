package drivers

import (
	"slices"

	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// Decides is the total index above which an unknown decides an answer: with all else known more
// than half of the variance would be left.
const Decides = 0.5

// The design by which it is found out what decides: points of the draws once more, with
// one unknown exchanged for another value, give the same answer or do not. Of an unknown
// behind half of the variance so many answers may be expected to turn: few are enough to
// leave out what hardly turns any, more what turns some, and many to measure the rest.
var turns = [...]float64{6, 20, 64}

// exchangeConfidence is the confidence of the intervals of total indices.
const exchangeConfidence = 0.95

// Exchanges finds out which one of several unknowns decides questions about draws that are
// there already, by what the first draws of every replicate would have said with one
// unknown exchanged. D is what a draw says.
type Exchanges[D any] struct {
	Base      [][]D             // by replicate
	Questions []func(D) float64 // answered by 1 for yes and 0 for no
	// Ask reads the draws from..upto-1 of every replicate with each of some unknowns
	// exchanged, by unknown and replicate, as far as it bears on some of the questions.
	Ask  func(questions, unknowns []int, from, upto int) ([][][]D, error)
	said [][][]D // by unknown
	left []int   // the unknowns that may decide something
}

// Run asks about all unknowns, and again about those that may decide something, of the
// questions of which they may, which it returns.
func (e *Exchanges[D]) Run(unknowns int) (left []int, err error) {
	e.said = make([][][]D, unknowns)
	for j := range e.said {
		e.left = append(e.left, j)
		e.said[j] = make([][]D, len(e.Base))
	}
	left = names.UpTo(len(e.Questions))
	from := 0
	for _, turned := range turns {
		upto := e.rows(turned)
		if upto == from || len(e.left) == 0 {
			continue
		}
		said, err := e.Ask(left, e.left, from, upto)
		if err != nil {
			return nil, err
		}
		for k, j := range e.left {
			for r := range e.said[j] {
				e.said[j][r] = append(e.said[j][r], said[k][r]...)
			}
		}
		may := func(j, q int) bool { return e.Total(j, e.Questions[q]).High >= Decides }
		left = slices.DeleteFunc(slices.Clone(left), func(q int) bool {
			return !slices.ContainsFunc(e.left, func(j int) bool { return may(j, q) })
		})
		e.left = slices.DeleteFunc(e.left, func(j int) bool {
			return !slices.ContainsFunc(left, func(q int) bool { return may(j, q) })
		})
		from = upto
	}
	return left, nil
}

// rows is how many draws of each replicate are asked for so many answers to turn, as far
// as there are draws.
func (e *Exchanges[D]) rows(turned float64) int {
	rows := 1
	for _, q := range e.Questions {
		variance := linear.PopVariance(slices.Concat(responses(e.Base, q)...))
		for rows < len(e.Base[0]) && float64(rows*len(e.Base))*variance < turned {
			rows *= 2
		}
	}
	return min(rows, len(e.Base[0]))
}

func responses[D any](all [][]D, of func(D) float64) [][]float64 {
	list := make([][]float64, len(all))
	for r, draws := range all {
		for _, said := range draws {
			list[r] = append(list[r], of(said))
		}
	}
	return list
}

// Total is the total index of an unknown on anything that a draw says.
func (e *Exchanges[D]) Total(unknown int, of func(D) float64) Estimate {
	return TotalOf(responses(e.Base, of), responses(e.said[unknown], of), exchangeConfidence)
}

// Decisive returns the unknown that decides a question, if one does: its total index is
// above Decides and above every other's, both as far as the draws can tell.
func (e *Exchanges[D]) Decisive(question int) (unknown int, ok bool) {
	var most, next Estimate
	for _, j := range e.left {
		switch total := e.Total(j, e.Questions[question]); {
		case total.Value > most.Value:
			unknown, most, next = j, total, most
		case total.Value > next.Value:
			next = total
		}
	}
	lead := math.Hypot(most.Value-most.Low, next.High-next.Value)
	return unknown, most.Low > Decides && most.Value-next.Value > lead
}
