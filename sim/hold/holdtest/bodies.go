package holdtest

import (
	"math"
	"math/rand/v2"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/strength"
)

// Bodies are drawn bodies with their capacities, one row a body.
type Bodies struct {
	*body.Columns
	Capacity *hold.Capacity
	Assume   assume.Set
}

// Draw builds the bodies of people drawn from a population of sim/anthro, always the
// same ones, at the given assumptions.
func Draw(population string, masses body.Masses, rows int, a assume.Set) (*Bodies, error) {
	p, err := anthro.Load(population)
	if err != nil {
		return nil, err
	}
	builder, err := body.NewBuilder(p, masses, body.DefaultSegments)
	if err != nil {
		return nil, err
	}
	people, random := anthro.NewPeople(rows), rand.New(rand.NewChaCha8([32]byte{4, 5, 6}))
	if err := p.NewSampler().Draw(people, func(dst []float64) {
		for i := range dst {
			dst[i] = random.NormFloat64()
		}
	}); err != nil {
		return nil, err
	}
	b := &Bodies{body.New(rows), hold.NewCapacity(rows), a}
	builder.Build(b.Columns, people, &b.Assume)
	strength.OfReference(b.Capacity, b.Columns, &b.Assume)
	return b, nil
}

// Changed returns the bodies with a change; capacities stay the first bodies'.
func (b *Bodies) Changed(ch body.Change) (*Bodies, error) {
	c := &Bodies{body.New(b.Rows()), b.Capacity, b.Assume}
	return c, ch.Apply(c.Columns, b.Columns, &b.Assume)
}

// Solve solves a hold into dirty columns of the demands that it asks for and that place
// its figure: what is not written shows as NaN.
func (b *Bodies) Solve(h *hold.Hold, p hold.Posture, m hold.Model) *hold.Result {
	r := hold.NewResult(b.Rows(), h.Figured(m)...)
	for _, column := range r.Value {
		for i := range column {
			column[i] = math.NaN()
		}
	}
	h.Solve(r, b.Columns, b.Capacity, p, m, &b.Assume)
	return r
}

// General solves body i, held as r says, by the general solver.
func (b *Bodies) General(h *hold.Hold, i int, p hold.Posture, m hold.Model, r *hold.Result) (*hold.Solved, error) {
	f, err := h.Figure(b.Columns, i, p, r.Slice(i, i+1), &b.Assume)
	if err != nil {
		return nil, err
	}
	return hold.NewSolved(h, m, p, f, b.Capacity.Slice(i, i+1), &b.Assume)
}
