package scores

import (
	"fmt"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
)

// newModel returns the maker of models for one goroutine each.
func (f *Function) newModel(uniform bool) func() drivers.Model {
	return func() drivers.Model {
		e := f.newEvaluator()
		return func(out []float64, in [][]float64) error {
			if err := f.everybody(); err != nil {
				return err
			}
			n, err := e.respond(out, in, uniform)
			f.rows.Add(int64(len(out)))
			f.impossible.Add(int64(n))
			return err
		}
	}
}

// An evaluator holds bodies up, on one goroutine.
type evaluator struct {
	f      *Function
	people *anthro.People // a tile of them
	cut    *anthro.People // its first rows, as many as were last asked for
	bench  *scenario.Bench
	cases  []scenario.Case // by model, at the central assumptions
	scores []float64       // scratch

	// One body under assumptions and a model of its own.
	one     *anthro.People
	single  *scenario.Bench
	own     []scenario.Case // of one
	assumed assume.Set

	out        []float64 // where responses go
	impossible int       // of them, how many bodies cannot take the posture
}

func (f *Function) newEvaluator() *evaluator {
	of := []hold.Demand{f.study.Of}
	e := &evaluator{
		f: f, people: anthro.NewPeople(scenario.TileRows), bench: scenario.NewBench(scenario.TileRows, of, nil),
		one: anthro.NewPeople(1), single: scenario.NewBench(1, of, nil), own: make([]scenario.Case, 1), scores: make([]float64, scenario.TileRows),
	}
	e.cut = e.people
	e.cases = names.Each(f.study.Models, func(m scenario.Model) scenario.Case {
		return scenario.Case{Setup: f.setup, Model: m.Statics, Builder: f.people.Builder(m), Assume: &f.study.Assumptions.Centre}
	})
	return e
}

// first returns the first rows of the people.
func (e *evaluator) first(rows int) *anthro.People {
	if e.cut.Rows() != rows {
		e.cut = e.people.Slice(0, rows)
	}
	return e.cut
}

// median returns the response of the median body.
func (e *evaluator) median() (float64, error) {
	e.f.measure(e.people, e.scores, montecarlo.Columns(bodyInputs, 1), 0, 1)
	y := make([]float64, 1)
	e.f.median = math.NaN() // of who cannot take the posture
	if err := e.hold(e.bench, e.first(1), e.cases[:1], y); err != nil {
		return 0, err
	}
	if math.IsNaN(y[0]) {
		return 0, e.f.impossibleFor(1, 1)
	}
	return y[0], nil
}

// hold holds people up in one case, and fills out with their responses.
func (e *evaluator) hold(b *scenario.Bench, people *anthro.People, cases []scenario.Case, out []float64) error {
	e.out = out
	return b.Run(people, cases, e.take)
}

// take writes the responses of a tile. Bodies that cannot take the posture get that
// of the median body.
func (e *evaluator) take(_ int, t *scenario.Tile) error {
	values, scale := t.First.Result.Value[e.f.study.Of], e.f.study.scale()
	out := e.out[t.From:]
	for i, possible := range t.First.Result.Possible {
		if !possible {
			e.impossible++
			out[i] = e.f.median
			continue
		}
		out[i] = scale * values[i]
	}
	return nil
}

// respond fills out with the responses to rows of scores, of which those of the
// assumptions and the model are uniform on [0, 1] already if uniform is set. It
// returns how many bodies cannot take the posture. It allocates nothing for rows.
func (e *evaluator) respond(out []float64, in [][]float64, uniform bool) (impossible int, err error) {
	e.impossible = 0
	for from := 0; from < len(out); from += scenario.TileRows {
		to := min(from+scenario.TileRows, len(out))
		if err := e.respondTile(out[from:to], in, from, uniform); err != nil {
			return 0, err
		}
	}
	return e.impossible, nil
}

func (e *evaluator) respondTile(out []float64, in [][]float64, from int, uniform bool) error {
	f := e.f
	f.measure(e.people, e.scores, in, from, len(out))
	open := in[bodyInputs:]
	if len(open) == 0 {
		return e.hold(e.bench, e.first(len(out)), e.cases[:1], out)
	}
	u := &f.study.Assumptions
	for i := range out {
		e.assumed = u.Centre
		for k, id := range f.free {
			e.assumed[id] = u.Low[id] + float64(share(open[k][from+i], uniform)*(u.High[id]-u.Low[id]))
		}
		model := 0
		if len(f.study.Models) > 1 {
			model = f.modelAt(share(open[len(open)-1][from+i], uniform))
		}
		e.one.CopyRow(0, e.people, i)
		e.own[0] = e.cases[model]
		e.own[0].Assume = &e.assumed
		if err := e.hold(e.single, e.one, e.own, out[i:i+1]); err != nil {
			return err
		}
	}
	return nil
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
	return math.NormalShare(x)
}

// measure fills the first rows of the columns of people from the scores in in,
// from one row on.
func (f *Function) measure(people *anthro.People, scratch []float64, in [][]float64, from, rows int) {
	stature := in[anthro.Stature][from : from+rows]
	scores := scratch[:rows]
	for m := range anthro.NumVariables {
		if m == anthro.Age && !f.population.HasAge() {
			continue
		}
		r := f.onStature[m]
		linear.ScaleTo(scores, r.beside, in[m][from:from+rows])
		if r.slope != 0 {
			linear.AddScaled(scores, r.slope, stature)
		}
		f.population.Values(m, people.Value[m][:rows], scores)
	}
	for k := range people.Residual {
		linear.ScaleTo(people.Residual[k][:rows], f.spread[k], in[int(anthro.NumVariables)+k][from:from+rows])
	}
	f.population.Regional.Widen(people.Residual, people.Value[anthro.Stature][:rows], people.Value[anthro.Mass][:rows])
}

// Values turns rows of inputs, as a drivers.Sample has them, into values in the units
// of [Input]: measurements in SI units, assumptions, the index of the model. Both have
// one column for each input. uniform says that the assumptions and the model are
// shares of their range and not scores: as in [Function.Ranges], and in
// [Function.AtMedian] with scores of 0 for the body.
func (f *Function) Values(dst, in [][]float64, uniform bool) {
	if len(dst) != len(f.inputs) || len(in) != len(f.inputs) {
		panic("scores: not one column for each input")
	}
	var people anthro.People
	copy(people.Value[:], dst)
	copy(people.Residual[:], dst[anthro.NumVariables:])
	rows := len(in[0])
	f.measure(&people, make([]float64, rows), in, 0, rows)
	u := &f.study.Assumptions
	for k, id := range f.free {
		for i, x := range in[bodyInputs+k] {
			dst[bodyInputs+k][i] = u.Low[id] + float64(share(x, uniform)*(u.High[id]-u.Low[id]))
		}
	}
	if last := len(f.inputs) - 1; len(f.study.Models) > 1 {
		for i, x := range in[last] {
			dst[last][i] = float64(f.modelAt(share(x, uniform)))
		}
	}
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
