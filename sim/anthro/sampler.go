package anthro

import (
	"fmt"
	"math/bits"
	"strings"

	"counterpoise/sim/fault"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
)

// People are drawn in batches of this many rows: the scratch of one batch stays
// in the processor's nearest cache, and a batch is long enough to run whole
// columns. Changing it changes who is drawn from a given stream.
const batchRows = 128

// A selection gives up when, after this many draws, fewer than one in rarest
// has matched.
const (
	patience = 1_000_000
	rarest   = 10_000
)

// Range is the condition that a quantity lies in Low..High, both included, in
// SI units.
type Range struct {
	Of        Quantity
	Low, High float64
}

// String returns the condition as in "bmi 18.5..27 kg/m2"; an open end is left
// out, as in "bmi ..27 kg/m2".
func (r Range) String() string {
	end := func(x float64) string {
		if math.IsInf(x, 0) {
			return ""
		}
		return fmt.Sprintf("%g", x)
	}
	return strings.TrimSpace(fmt.Sprintf("%s %s..%s %s", r.Of, end(r.Low), end(r.High), r.Of.Unit()))
}

// Selection is the part of a population that meets every condition. Without any
// it is the whole population.
type Selection struct {
	Population *Population
	Where      []Range
}

// NewSampler returns a sampler of the selected people.
func (s Selection) NewSampler() *Sampler {
	t := s.Population.tilt
	if t != nil {
		s.Where = append(t.within[:len(t.within):len(t.within)], s.Where...)
	}
	return s.newSampler(len(s.Where) > 0 || t != nil)
}

// newSampler returns a sampler that can sieve, or one that cannot.
func (s Selection) newSampler(sieve bool) *Sampler {
	columns := numColumns
	if s.Population.survey != nil {
		columns++ // picks one of a sample, or accepts
	}
	sampler := &Sampler{selection: s, columns: columns, scratch: make([]float64, (numColumns+3)*batchRows)}
	sampler.leftOut[Age] = !s.Population.HasAge()
	sampler.mixed = s.Population.Mixed()
	sampler.own = montecarlo.NewStream(0, "anthro/own")
	if sieve {
		sampler.batch = NewPeople(batchRows)
		sampler.quantity = make([]float64, batchRows)
		sampler.match = make([]bool, batchRows)
	}
	if s.Population.tilt != nil {
		sampler.density = make([]float64, batchRows)
	}
	return sampler
}

// Sampler draws people. It owns scratch memory: one goroutine, one sampler.
type Sampler struct {
	selection Selection
	person    *Person            // nil unless everybody drawn has something in common
	columns   int                // of normals that a batch takes from the source
	scratch   []float64          // independent normals of one batch, column by column
	own       *montecarlo.Stream // of the ages and the kinds
	mixed     bool
	leftOut   [NumVariables]bool
	pass      func(normals int) // passes over normals that nobody reads; nil where all are read

	// Used only with conditions or weights.
	batch    *People
	quantity []float64
	match    []bool
	density  []float64 // only with weights: the logarithm of the density over that drawn from
}

// LeaveOut tells the sampler not to fill some measurements, to save the time; what
// is in their columns of dst then means nothing. Measurements that a condition of
// the selection asks about are filled all the same, and so are all of a Person and
// of people who are no survey as it was measured. Everything else is drawn as if
// nothing were left out: pass is to pass over so many normals of the source that
// Draw is given.
func (s *Sampler) LeaveOut(pass func(normals int), these ...Measurement) {
	if s.person != nil || s.selection.Population.survey != nil {
		return
	}
	s.pass = pass
	for _, m := range these {
		s.leftOut[m] = true
	}
	for _, r := range s.selection.Where {
		s.leftOut[r.Of.numerator] = false
		s.leftOut[r.Of.denominator] = s.leftOut[r.Of.denominator] && r.Of.power == 0
	}
}

// Draw fills every row of dst. normals must fill the slice it is given with
// independent standard normals; the people drawn depend on nothing else, apart
// from the number of rows. What it takes is a whole number of batches, so a
// stream that is to be shared belongs to one call only.
//
// The only error is that of a selection that hardly anyone matches: it says how
// few of how many, and dst is then of no use.
func (s *Sampler) Draw(dst *People, normals func([]float64)) error {
	rows := dst.Rows()
	if s.batch == nil {
		for from := 0; from < rows; from += batchRows {
			s.draw(dst.Value, dst.Residual, from, min(from+batchRows, rows), normals)
		}
		return nil
	}
	filled, drawn, matched := 0, 0, 0
	for filled < rows {
		s.draw(s.batch.Value, s.batch.Residual, 0, batchRows, normals)
		s.test()
		drawn += batchRows
		for i, ok := range s.match {
			if !ok {
				continue
			}
			matched++
			if filled < rows {
				dst.CopyRow(filled, s.batch, i)
				filled++
			}
		}
		if filled < rows && drawn >= patience && matched < drawn/rarest {
			return &RareError{Population: s.selection.Population.Name, Where: s.selection.Where, Matched: matched, Drawn: drawn}
		}
	}
	return nil
}

// draw fills rows from..to-1 of the columns.
func (s *Sampler) draw(values [NumVariables][]float64, residuals [NumRegions - 1][]float64, from, to int, normals func([]float64)) {
	read := s.columns
	for s.pass != nil && s.leftOut[Age] && read > numResiduals && s.leftOut[read-numResiduals-1] {
		read--
	}
	normals(s.scratch[:read*batchRows])
	if read < s.columns {
		s.pass((s.columns - read) * batchRows)
	}
	s.drawOwn()
	p := s.selection.Population
	rows := to - from
	column := func(k int) []float64 {
		at := place(k) * batchRows
		return s.scratch[at : at+rows]
	}
	if s.person != nil {
		s.person.fill(column, values, residuals, from, to)
		return
	}
	if p.sample != nil {
		p.sample.fill(p.survey, column, values, from, to)
		p.drawResiduals(column, values, residuals, from, to)
		return
	}
	if p.tilt != nil {
		p.tilt.apply(column, s.density)
		p = p.survey
	}
	if s.mixed {
		p.kinds.pick(column(kind))
	}
	// Multiplying by the lower triangle from the last column up lets every
	// product overwrite its own normals: no earlier column needs them any more.
	for i := p.variables() - 1; i >= 0; i-- {
		if s.leftOut[i] {
			continue
		}
		combine(column, 0, i, p.factor[i][:])
		if s.mixed {
			linear.AddScaled(column(i), p.kinds.Shift[i], column(kind))
		}
		p.Values(Measurement(i), values[i][from:to], column(i))
	}
	p.drawResiduals(column, values, residuals, from, to)
}

// drawOwn draws what picks the kinds of people and the normals of the ages, where anybody
// asks for them, from a stream of their own that the batch's other normals pick. So people
// are the same whether or not anybody asks how old they are, and depend on nothing but
// the source.
func (s *Sampler) drawOwn() {
	if !s.mixed && s.leftOut[Age] {
		return
	}
	s.own.Reset(math.Float64bits(s.scratch[0]) ^ bits.RotateLeft64(math.Float64bits(s.scratch[1]), 32))
	if s.mixed {
		at := place(kind) * batchRows
		for i := range batchRows {
			s.scratch[at+i] = s.own.Float64()
		}
	}
	if !s.leftOut[Age] {
		at := place(int(Age)) * batchRows
		s.own.Normals(s.scratch[at : at+batchRows])
	}
}

// The columns after those of variables and residuals.
const (
	pick = int(NumVariables) + numResiduals + iota // picks one of a sample, or accepts
	kind                                           // picks the kind of people: uniform numbers, then how much of each
)

// place is where in a batch of normals column k lies. The residuals' columns come
// first, so that the last measurements' can be passed over where they are left out:
// no other measurement needs them.
func place(k int) int {
	switch {
	case k < int(NumMeasurements):
		return numResiduals + k
	case k == pick:
		return numColumns
	case k == int(Age):
		return numColumns + 1
	case k == kind:
		return numColumns + 2
	}
	return k - int(NumVariables)
}

// drawResiduals fills rows from..to-1 of the residuals from their columns of
// normals, and from the values of the measurements.
func (p *Population) drawResiduals(column func(int) []float64, values [NumVariables][]float64, residuals [NumRegions - 1][]float64, from, to int) {
	for i := len(residuals) - 1; i >= 0; i-- {
		combine(column, int(NumVariables), i, p.Regional.factor[i][:])
		residuals[i] = residuals[i][from:to]
		copy(residuals[i], column(int(NumVariables)+i))
	}
	p.Regional.Widen(residuals, values[Stature][from:to], values[Mass][from:to])
}

// combine turns column first+i into the sum of columns first..first+i, weighted.
func combine(column func(int) []float64, first, i int, weight []float64) {
	own := column(first + i)
	linear.Scale(weight[i], own)
	for j := range i {
		linear.AddScaled(own, weight[j], column(first+j))
	}
}

// test marks the people of the batch that meet every condition.
func (s *Sampler) test() {
	for i := range s.match {
		s.match[i] = true
	}
	for _, r := range s.selection.Where {
		r.Of.Values(s.quantity, s.batch)
		for i, q := range s.quantity {
			s.match[i] = s.match[i] && q >= r.Low && q <= r.High
		}
	}
	if t := s.selection.Population.tilt; t != nil {
		t.accept(s)
	}
}

// RareError tells that too few people match a selection to go on drawing.
type RareError struct {
	Population     string
	Where          []Range
	Matched, Drawn int
}

func (e *RareError) Error() string {
	return fmt.Sprintf("%d of %s people drawn from %s match %s",
		e.Matched, fault.Count(float64(e.Drawn)), e.Population, strings.Join(names.Of(e.Where), " and "))
}
