package holdstudy

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/strength"
)

// tileRows is how many rows are worked on at once: so few that their columns stay
// in a processor's cache.
const tileRows = 512

// newModel returns the maker of models for one goroutine each.
func (f *Function) newModel(uniform bool) func() drivers.Model {
	return func() drivers.Model {
		e := f.newEvaluator()
		return func(out []float64, in [][]float64) error {
			n := e.respond(out, in, uniform)
			f.rows.Add(int64(len(out)))
			f.impossible.Add(int64(n))
			return nil
		}
	}
}

// An evaluator holds bodies up, on one goroutine.
type evaluator struct {
	f      *Function
	tile   bench      // a tile of bodies under the same assumptions
	cut    bench      // the first rows of it, as many as were last asked for
	single bench      // one body under its own
	held   assume.Set // of the row at hand
	scores []float64  // scratch
	scale  float64    // from the demand's own unit to that of the response
}

// A bench is room for people, their bodies, and what the hold asks of them.
type bench struct {
	people   *anthro.People
	bodies   *body.Columns
	capacity *hold.Capacity
	result   *hold.Result
}

func newBench(rows int, of hold.Demand) bench {
	return bench{anthro.NewPeople(rows), body.New(rows), hold.NewCapacity(rows), hold.NewResult(rows, of)}
}

// first returns the first rows of the tile.
func (e *evaluator) first(rows int) *bench {
	if b := &e.tile; e.cut.people == nil || e.cut.people.Rows() != rows {
		e.cut = bench{b.people.Slice(0, rows), b.bodies.Slice(0, rows), b.capacity.Slice(0, rows), b.result.Slice(0, rows)}
	}
	return &e.cut
}

func (f *Function) newEvaluator() *evaluator {
	return &evaluator{
		f: f, tile: newBench(tileRows, f.study.Of), single: newBench(1, f.study.Of),
		scores: make([]float64, tileRows), scale: scaleOf(f.study.Of),
	}
}

// solve holds up the people of a bench.
func (e *evaluator) solve(b *bench, model int, a *assume.Set) {
	s := &e.f.study
	e.f.builders[model].Build(b.bodies, b.people, a)
	strength.OfReference(b.capacity, b.bodies, a)
	s.Hold.Solve(b.result, b.bodies, b.capacity, s.Posture, s.Models[model].Statics, a)
}

// respond fills out with the responses to rows of scores, of which those of the
// assumptions and the model are uniform on [0, 1] already if uniform is set. It
// returns how many bodies cannot take the posture. It allocates nothing for rows.
func (e *evaluator) respond(out []float64, in [][]float64, uniform bool) (impossible int) {
	for from := 0; from < len(out); from += tileRows {
		to := min(from+tileRows, len(out))
		impossible += e.respondTile(out[from:to], in, from, uniform)
	}
	return impossible
}

func (e *evaluator) respondTile(out []float64, in [][]float64, from int, uniform bool) (impossible int) {
	f, rows := e.f, len(out)
	f.measure(&e.tile.people.Value, &e.tile.people.Residual, e.scores, in, from, rows)
	of := f.study.Of
	take := func(i int, r *hold.Result, at int) {
		if !r.Possible[at] {
			impossible++
			out[i] = f.median
			return
		}
		out[i] = e.scale * r.Value[of][at]
	}
	open := in[bodyInputs:]
	if len(open) == 0 {
		b := e.first(rows)
		e.solve(b, 0, &f.study.Assumptions.Centre)
		for i := range out {
			take(i, b.result, i)
		}
		return impossible
	}
	u := &f.study.Assumptions
	for i := range out {
		e.held = u.Centre
		for k, id := range f.free {
			e.held[id] = u.Low[id] + share(open[k][from+i], uniform)*(u.High[id]-u.Low[id])
		}
		model := 0
		if len(f.study.Models) > 1 {
			model = f.modelAt(share(open[len(open)-1][from+i], uniform))
		}
		for m, column := range e.tile.people.Value {
			e.single.people.Value[m][0] = column[i]
		}
		for r, column := range e.tile.people.Residual {
			e.single.people.Residual[r][0] = column[i]
		}
		e.solve(&e.single, model, &e.held)
		take(i, e.single.result, 0)
	}
	return impossible
}

// modelAt returns the model at a share of the way through the list.
func (f *Function) modelAt(share float64) int {
	n := len(f.study.Models)
	return min(int(share*float64(n)), n-1)
}

// share turns a score into the share of people below it.
func share(x float64, uniform bool) float64 {
	if uniform {
		return x
	}
	return 0.5 * math.Erfc(-x/math.Sqrt2)
}

// measure fills the first rows of the columns of people from the scores in in,
// from one row on.
func (f *Function) measure(values *[anthro.NumMeasurements][]float64, residual *[residuals][]float64, scratch []float64, in [][]float64, from, rows int) {
	stature := in[anthro.Stature][from : from+rows]
	scores := scratch[:rows]
	for m := range anthro.NumMeasurements {
		r := f.onStature[m]
		floats.ScaleTo(scores, r.beside, in[m][from:from+rows])
		if r.slope != 0 {
			floats.AddScaled(scores, r.slope, stature)
		}
		f.population.Marginal(m).Values(values[m][:rows], scores)
	}
	for k := range residual {
		floats.ScaleTo(residual[k][:rows], f.spread[k], in[int(anthro.NumMeasurements)+k][from:from+rows])
	}
}

// Values turns rows of inputs, as a drivers.Sample has them, into values in the units
// of [Input]: measurements in SI units, assumptions, the index of the model. Both have
// one column for each input. uniform says that the assumptions and the model are
// shares of their range and not scores: as in [Function.Ranges], and in
// [Function.AtMedian] with scores of 0 for the body.
func (f *Function) Values(dst, in [][]float64, uniform bool) {
	if len(dst) != len(f.inputs) || len(in) != len(f.inputs) {
		panic("holdstudy: not one column for each input")
	}
	var values [anthro.NumMeasurements][]float64
	var residual [residuals][]float64
	copy(values[:], dst)
	copy(residual[:], dst[anthro.NumMeasurements:])
	rows := len(in[0])
	f.measure(&values, &residual, make([]float64, rows), in, 0, rows)
	u := &f.study.Assumptions
	for k, id := range f.free {
		for i, x := range in[bodyInputs+k] {
			dst[bodyInputs+k][i] = u.Low[id] + share(x, uniform)*(u.High[id]-u.Low[id])
		}
	}
	if last := len(f.inputs) - 1; len(f.study.Models) > 1 {
		for i, x := range in[last] {
			dst[last][i] = float64(f.modelAt(share(x, uniform)))
		}
	}
}

func newColumns(columns, rows int) [][]float64 {
	all := make([]float64, columns*rows)
	c := make([][]float64, columns)
	for i := range c {
		c[i] = all[i*rows : (i+1)*rows : (i+1)*rows]
	}
	return c
}

// evenly fills columns with the points of a scrambled Sobol' sequence from 0 on.
func evenly(columns [][]float64, seed uint64, purpose string, replicate uint64) error {
	sobol, err := montecarlo.NewScrambledSobol(len(columns), seed, fmt.Sprintf("holdstudy/%s %d", purpose, replicate))
	if err != nil {
		return err
	}
	point := make([]float64, len(columns))
	for i := range columns[0] {
		sobol.Point(uint64(i), point)
		for j, x := range point {
			columns[j][i] = x
		}
	}
	return nil
}
