package drivers

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
)

// chunkRows is the number of base rows that are worked on at once: so few that
// the columns stay in a processor's cache. It is part of what a seed means.
const chunkRows = 512

// PilotRows is the size of the sample that centres the response: so many evaluations come before the first replicate.
const PilotRows = 1024

// A method estimates indices from sums over the rows of a replicate.
type method struct {
	name    string
	purpose string  // of the random numbers
	indices []Index // kinds and groups
	perRow  int64   // evaluations for each row of the base sample
	sums    int     // how many sums there are, the first being those of every method

	// newChunk makes what one goroutine needs, and returns what it does with a
	// chunk: set out the sums over its rows.
	newChunk func(e *evaluator) func(c *chunk, sums []float64) error

	// finish turns the sums over the rows of a replicate into numerators and
	// denominators, one of each for each index.
	finish func(sums []float64, rows int, numerators, denominators []float64)
}

// The sums that every method has, of the centred responses a to the base
// sample and b to the second.
const (
	sumBase        = iota // Σ a
	sumSecond             // Σ b
	sumDifferences        // Σ (a − b)²
	baseSums
)

// variance estimates the variance of the response as half the mean squared
// difference of independent responses. It is unbiased for random and for
// quasi-random samples alike. The usual sum of squares about the sample's mean is not:
// the mean of a quasi-random sample is closer to the truth than its divisor
// n−1 allows for, and the bias is not small beside the errors of indices.
func variance(sums []float64, rows int) float64 { return sums[sumDifferences] / float64(2*rows) }

// A chunk is some rows of the two independent samples of a replicate.
type chunk struct {
	replicate, first int
	rows             int
	base, second     [][]float64
}

// estimate runs a method.
func (m *method) estimate(ctx context.Context, p Problem, o Options) (*Result, error) {
	cost := m.perRow * int64(o.Base)
	affordable := math.MaxInt
	if o.Until > 0 {
		affordable = int((o.MaxEvaluations - PilotRows) / cost)
	}
	if affordable < o.Replicates {
		return nil, fmt.Errorf("%d replicates cost %d evaluations, more than %d", o.Replicates, int64(o.Replicates)*cost+PilotRows, o.MaxEvaluations)
	}
	pilot, err := m.pilot(ctx, p, o)
	if err != nil {
		return nil, err
	}
	var replicates []replicate
	for total := o.Replicates; ; {
		replicates, err = m.replicates(ctx, p, o, pilot, replicates, total)
		if err != nil {
			return nil, err
		}
		r, err := m.result(replicates, o, pilot)
		if err != nil {
			return nil, err
		}
		w := r.Widest()
		r.Reached = o.Until == 0 || w <= o.Until
		if r.Reached || total >= affordable {
			return r, nil
		}
		// Half-widths fall as the root of the number of replicates. Stepping
		// at least by a quarter keeps the number of looks small, and at most to
		// the double keeps a first impression from spending too much.
		want := math.Ceil(float64(total) * (w / o.Until) * (w / o.Until))
		least, most := float64(total+max(total/4, 1)), float64(2*total)
		total = min(int(min(max(want, least), most)), affordable)
	}
}

// result turns the replicates into estimates.
func (m *method) result(replicates []replicate, o Options, pilot centre) (*Result, error) {
	r := &Result{
		Method:      m.name,
		Indices:     slices.Clone(m.indices),
		Confidence:  o.Confidence,
		Base:        o.Base,
		Replicates:  len(replicates),
		Evaluations: PilotRows + int64(len(replicates))*int64(o.Base)*m.perRow,
	}
	r.Mean = ratio(replicates, o.Confidence, func(r *replicate) (float64, float64) { return r.mean, 1 })
	r.Variance = ratio(replicates, o.Confidence, func(r *replicate) (float64, float64) { return r.variance, 1 })
	if !allFinite(r.Mean.High, r.Variance.High) {
		return nil, errors.New("the response is too great for its variance to be computed")
	}
	// Rounding makes a response that should be constant vary in its last digits.
	if r.Variance.Value <= math.Pow(1e-12*pilot.greatest, 2) {
		return nil, ErrConstant
	}
	for i := range r.Indices {
		e := ratio(replicates, o.Confidence, func(r *replicate) (float64, float64) {
			return r.numerators[i], r.denominators[i]
		})
		if !allFinite(e.Low, e.High) {
			return nil, fmt.Errorf("the index %s of %q cannot be computed: its variances are not usable numbers", r.Indices[i].Kind, r.Indices[i].Groups)
		}
		r.Indices[i].Estimate = e
	}
	return r, nil
}

// An output is what a worker makes of a chunk.
type output struct {
	sums      []float64
	responses []float64 // all of them, in order, if a sink wants them
}

// replicates adds replicates until there are so many in all.
func (m *method) replicates(ctx context.Context, p Problem, o Options, pilot centre, done []replicate, total int) ([]replicate, error) {
	chunks := max(o.Base/chunkRows, 1)
	sums, replaySums := make([]float64, m.sums), make([]float64, m.sums)
	var replay *evaluator
	var replayChunk func(*chunk, []float64) error
	var replayPair func(int) *chunk
	if o.Sink != nil {
		replay = &evaluator{problem: p, centre: pilot.mean, sink: o.Sink}
		replayChunk, replayPair = m.newChunk(replay), m.pairs(p, o)
	}
	err := montecarlo.Run(ctx,
		montecarlo.Options{From: len(done) * chunks, To: total * chunks, Workers: o.Workers, Progress: func(n, of int) {
			if o.Progress != nil {
				before := (total*chunks - of)
				o.Progress(before+n, total*chunks)
			}
		}},
		func() func(int, *output) error {
			e := &evaluator{problem: p, centre: pilot.mean, model: p.NewModel(), record: o.Sink != nil}
			work, pair := m.newChunk(e), m.pairs(p, o)
			return func(block int, out *output) error {
				e.recorded = out.responses[:0]
				fill(out.sums, 0)
				err := work(pair(block), out.sums)
				out.responses = e.recorded
				return err
			}
		},
		func() *output { return &output{sums: make([]float64, m.sums)} },
		func(block int, out *output) error {
			if replay != nil {
				// The same chunk once more, with the responses that are known.
				replay.recorded = out.responses
				if err := replayChunk(replayPair(block), replaySums); err != nil {
					return err
				}
			}
			for i, s := range out.sums {
				sums[i] += s
			}
			if block%chunks == chunks-1 {
				done = append(done, m.replicate(sums, o.Base, pilot.mean))
				fill(sums, 0)
			}
			return nil
		})
	return done, err
}

func (m *method) replicate(sums []float64, rows int, centre float64) replicate {
	n := float64(rows)
	r := replicate{
		numerators:   make([]float64, len(m.indices)),
		denominators: make([]float64, len(m.indices)),
		mean:         centre + (sums[sumBase]+sums[sumSecond])/(2*n),
		variance:     variance(sums, rows),
	}
	m.finish(sums, rows, r.numerators, r.denominators)
	return r
}

// pairs returns a function that draws the two samples of a chunk, for one
// goroutine. What it returns is valid until its next call.
func (m *method) pairs(p Problem, o Options) func(block int) *chunk {
	d := len(p.Inputs)
	rows := min(o.Base, chunkRows)
	chunks := max(o.Base/chunkRows, 1)
	uniforms := montecarlo.Columns(2*d, rows)
	c := &chunk{rows: rows, base: montecarlo.Columns(d, rows), second: montecarlo.Columns(d, rows)}
	draw := newUniforms(2*d, o.Seed, m.purpose)
	return func(block int) *chunk {
		c.replicate, c.first = block/chunks, block%chunks*rows
		draw(c.replicate, c.first, uniforms)
		p.Sampler.Draw(c.base, uniforms[:d])
		p.Sampler.Draw(c.second, uniforms[d:])
		return c
	}
}

// A centre is about where the response lies. Any number would do: it is subtracted
// so that products and squares lose no digits, and because estimators of
// covariances scatter least about the mean.
type centre struct {
	mean     float64
	greatest float64 // magnitude
}

// pilot estimates the centre from a sample of its own.
func (m *method) pilot(ctx context.Context, p Problem, o Options) (centre, error) {
	var pilot centre
	purpose := m.purpose + "/pilot"
	type values struct{ y []float64 }
	err := montecarlo.Run(ctx, montecarlo.Options{To: PilotRows / chunkRows, Workers: o.Workers},
		func() func(int, *values) error {
			e := &evaluator{problem: p, model: p.NewModel()}
			x, uniforms := montecarlo.Columns(len(p.Inputs), chunkRows), montecarlo.Columns(len(p.Inputs), chunkRows)
			draw := newUniforms(len(p.Inputs), o.Seed, purpose)
			return func(block int, out *values) error {
				draw(0, block*chunkRows, uniforms)
				p.Sampler.Draw(x, uniforms)
				return e.evaluate(out.y, x, Sample{})
			}
		},
		func() *values { return &values{y: make([]float64, chunkRows)} },
		func(_ int, out *values) error {
			for _, y := range out.y {
				pilot.mean += float64(y / PilotRows)
				pilot.greatest = max(pilot.greatest, math.Abs(y))
			}
			return nil
		})
	return pilot, err
}

// An evaluator calls the model of one goroutine and sees to it that numbers
// come back. Or it stands in for the model: with a sink, it gives the responses
// that were recorded, and hands over the rows.
type evaluator struct {
	problem  Problem
	model    Model
	centre   float64
	record   bool
	recorded []float64
	sink     func(Sample) error
}

// evaluate fills out with the responses to the rows of in. sample says, for a
// sink, which they are.
func (e *evaluator) evaluate(out []float64, in [][]float64, sample Sample) error {
	if e.sink != nil {
		copy(out, e.recorded)
		e.recorded = e.recorded[len(out):]
		sample.Inputs, sample.Response = in, out
		return e.sink(sample)
	}
	fill(out, nan) // a row that the model leaves out is found out
	if err := e.model(out, in); err != nil {
		return err
	}
	for i, y := range out {
		if !math.Finite(y) {
			err := &ResponseError{Response: y, Inputs: e.problem.Inputs, At: make([]float64, len(in))}
			for j, column := range in {
				err.At[j] = column[i]
			}
			return err
		}
	}
	if e.record {
		e.recorded = append(e.recorded, out...)
	}
	return nil
}

// centred evaluates and subtracts the centre.
func (e *evaluator) centred(out []float64, in [][]float64, sample Sample) error {
	if err := e.evaluate(out, in, sample); err != nil {
		return err
	}
	for i := range out {
		out[i] -= e.centre
	}
	return nil
}

// both evaluates the base sample and the second one, of which at tells all else, and
// adds the sums of theirs that every method needs.
func (e *evaluator) both(y, second []float64, base, fresh [][]float64, at Sample, sums []float64) error {
	if err := e.centred(y, base, at); err != nil {
		return err
	}
	at.Second = true
	if err := e.centred(second, fresh, at); err != nil {
		return err
	}
	sums[sumBase] += linear.Sum(y)
	sums[sumSecond] += linear.Sum(second)
	sums[sumDifferences] += squaredDifference(y, second)
	return nil
}

// dotDifference returns Σ aᵢ·(bᵢ − cᵢ).
func dotDifference(a, b, c []float64) float64 {
	b, c = b[:len(a)], c[:len(a)]
	var s float64
	for i, x := range a {
		s += float64(x * (b[i] - c[i]))
	}
	return s
}

// squaredDifference returns Σ (aᵢ − bᵢ)².
func squaredDifference(a, b []float64) float64 {
	b = b[:len(a)]
	var s float64
	for i, x := range a {
		d := x - b[i]
		s += float64(d * d)
	}
	return s
}

// all returns n times true.
func all(n int) []bool { return slices.Repeat([]bool{true}, n) }

// oneIndexEach lists an index of a kind for every group.
func oneIndexEach(kind Kind, groups []Group) []Index {
	return names.Each(groups, func(g Group) Index { return Index{Kind: kind, Groups: []string{g.Name}} })
}

// prefixed says whose error it is, if there is one.
func prefixed(err error) error {
	if err != nil {
		err = fmt.Errorf("drivers: %w", err)
	}
	return err
}
