package survey

import (
	"fmt"
	"math"

	"counterpoise/sim/anthro"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// A completion foretells columns from others, of people who have all of both: a
// regression, and the residuals of one of them, drawn whole so that they go together.
type completion struct {
	coefficients, left *mat.Dense
	donors             int
}

// fitCompletion fits a completion to rows of what is known and of what is to be foretold.
func fitCompletion(known, wanted [][]float64) (*completion, error) {
	n := len(known)
	if n == 0 || n <= 2*len(known[0]) {
		return nil, fmt.Errorf("%d people are too few to foretell others from", n)
	}
	x, y, ones := mat.NewDense(n, len(known[0]), nil), mat.NewDense(n, len(wanted[0]), nil), make([]float64, n)
	for i := range n {
		x.SetRow(i, known[i])
		y.SetRow(i, wanted[i])
		ones[i] = 1
	}
	b, left, err := leastSquares(x, y, ones)
	return &completion{b, left, n}, err
}

// draw returns what somebody has of whom the rest is known.
func (c *completion) draw(known []float64, stream *montecarlo.Stream) []float64 {
	drawn := mat.NewDense(1, c.left.RawMatrix().Cols, nil)
	drawn.Mul(mat.NewDense(1, len(known), known), c.coefficients)
	row := drawn.RawRowView(0)
	for y, e := range c.left.RawRowView(int(stream.Float64() * float64(c.donors))) {
		row[y] += e
	}
	return row
}

// core returns what everybody was measured for, as limbs are foretold from it; false
// where something is missing.
func (c *Children) core(i int) ([]float64, bool) {
	stature, mass := c.Item[statureItem][i], c.Item[massItem][i]
	row := []float64{1, stature, math.Log(mass / (stature * stature)), math.Log(c.Item[waistItem][i]), c.Age[i], 0}
	if c.Descent[i] == Black {
		row[5] = 1
	}
	sum := row[3]
	for k := sittingItem; k <= footItem; k++ {
		row = append(row, c.Item[k][i])
		sum += c.Item[k][i]
	}
	return row, !math.IsNaN(sum)
}

// limbsOf returns the limbs; false where one was not measured.
func (c *Children) limbsOf(i int) ([]float64, bool) {
	row, sum := make([]float64, limbs), 0.0
	for k := range row {
		row[k] = c.Item[int(firstLimb)+k][i]
		sum += row[k]
	}
	return row, !math.IsNaN(sum)
}

// withLimbs returns the children whose every common item was measured, with limbs: those
// measured, or, of the two thirds of whom they were not, drawn from those who are alike
// in all else.
func (c *Children) withLimbs(stream *montecarlo.Stream) (*Children, error) {
	var known, wanted [][]float64
	for i := range c.Age {
		core, whole := c.core(i)
		own, measured := c.limbsOf(i)
		if whole && measured {
			known, wanted = append(known, core), append(wanted, own)
		}
	}
	completion, err := fitCompletion(known, wanted)
	if err != nil {
		return nil, fmt.Errorf("limbs: %w", err)
	}
	all := c.only(func(i int) bool { _, whole := c.core(i); return whole })
	for i := range all.Age {
		if _, measured := all.limbsOf(i); measured {
			continue
		}
		core, _ := all.core(i)
		for k, x := range completion.draw(core, stream) {
			all.Item[int(firstLimb)+k][i] = x
		}
	}
	return all, nil
}

// lacking are what nobody has measured of the children: transferred from soldiers.
var lacking = []anthro.Measurement{anthro.AcromialHeight, anthro.CervicaleHeight, anthro.MalleolusHeight, anthro.PalmLength, anthro.Span}

// shared are what both surveys measured, in the order of the measurements.
var shared = func() []anthro.Measurement {
	var list []anthro.Measurement
	for m := firstMoved; m <= lastMoved; m++ {
		for _, of := range ofItem {
			if of == m {
				list = append(list, m)
			}
		}
	}
	return list
}()

// proportions returns what is shared, but for one measurement, as shares of stature,
// with the constant: nothing in it knows how large or how old somebody is.
func proportions(p *anthro.People, i int, without anthro.Measurement) []float64 {
	row := []float64{1}
	for _, m := range shared {
		if m != without {
			row = append(row, p.Value[m][i]/p.Value[anthro.Stature][i])
		}
	}
	return row
}

// fitProportions fits how soldiers have some measurements for the proportions that they
// share with the children, as shares of stature.
func fitProportions(s *Soldiers, wanted []anthro.Measurement, without anthro.Measurement) (*completion, error) {
	var known, own [][]float64
	for i := range s.People.Rows() {
		row := names.Each(wanted, func(m anthro.Measurement) float64 { return s.People.Value[m][i] / s.People.Value[anthro.Stature][i] })
		known, own = append(known, proportions(s.People, i, without)), append(own, row)
	}
	return fitCompletion(known, own)
}

// asSoldiers returns children with limbs in the form of soldiers: with no more than is
// shared.
func (c *Children) asSoldiers() *Soldiers {
	n := len(c.Age)
	s := &Soldiers{People: anthro.NewPeople(n), Descent: c.Descent}
	s.file.record = c.file
	v := &s.People.Value
	for i := range n {
		v[anthro.Stature][i], v[anthro.Mass][i], v[anthro.WaistCircumference][i] = c.Item[statureItem][i], c.Item[massItem][i], c.Item[waistItem][i]
		v[anthro.Age][i] = math.Floor(c.Age[i])
		for k, m := range ofItem {
			v[m][i] = c.Item[k][i]
		}
	}
	return s
}

// The ages of children who are compared with soldiers.
const grownFrom, grownTo = 17, 19

// landmarks returns how much more the measurers of the children read than those of the
// soldiers, of people who have grown up and are of one descent, stature, mass, waist and
// age, as shares of stature. It is the measurers' and it is the people's, a generation
// apart; nobody knows in which parts.
func landmarks(children, soldiers *Soldiers) (more [moved]float64, err error) {
	t, err := fitTransfer(soldiers)
	if err != nil {
		return more, err
	}
	v := children.People.Value
	var over [moved][]float64
	for i, age := range v[anthro.Age] {
		d := children.Descent[i]
		if age < grownFrom || age > grownTo || len(t.of[d]) == 0 {
			continue
		}
		expected, group := t.predict(v[anthro.Stature][i], v[anthro.Mass][i], v[anthro.WaistCircumference][i], age), t.mean(d)
		for _, m := range shared {
			y := at(m)
			over[y] = append(over[y], (v[m][i]-expected[y]-group[y])/v[anthro.Stature][i])
		}
	}
	for y, own := range over {
		if len(own) > 0 {
			more[y] = stat.Mean(own, nil)
		}
	}
	return more, nil
}

// completed returns children with everything that a population describes, in the form of
// soldiers. Of what both surveys measured, a share of the difference between grown
// people counts as the measurers'. What nobody has measured of the children is what soldiers
// of their proportions have.
func (c *Children) completed(soldiers *Soldiers, ofMeasurers float64, stream *montecarlo.Stream) (*Soldiers, error) {
	limbed, err := c.withLimbs(stream)
	if err != nil {
		return nil, err
	}
	s := limbed.asSoldiers()
	more, err := landmarks(s, soldiers)
	if err != nil {
		return nil, err
	}
	fromSoldiers, err := fitProportions(soldiers, lacking, anthro.Stature)
	if err != nil {
		return nil, fmt.Errorf("what only soldiers had measured: %w", err)
	}
	v := &s.People.Value
	for i, stature := range v[anthro.Stature] {
		for _, m := range shared {
			v[m][i] -= ofMeasurers * more[at(m)] * stature
		}
		for k, share := range fromSoldiers.draw(proportions(s.People, i, anthro.Stature), stream) {
			v[lacking[k]][i] = share * stature
		}
	}
	return s, nil
}
