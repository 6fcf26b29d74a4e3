package person

import (
	"context"

	"counterpoise/sim/hold"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// ninety turns the standard deviation of a normal error into the distance of its
// 5 % and 95 % quantiles from the middle.
const ninety = 1.6448536269514722

// measured predicts what a scale under the ankles reads and compares the person's
// readings with their predictions.
func (d *draws) measured(ctx context.Context, res *Result) error {
	if d.scenario.Hold != hold.HumanFlag {
		return nil
	}
	m := d.person.Measured
	if m == nil {
		m = &Measured{}
	}
	rule := hold.Best
	switch {
	case m.ArmAngle != nil:
		rule = hold.GivenAngle
	case m.HandSpacing != nil:
		rule = hold.GivenSpacing
	}
	held := d.all[d.equilibrium()]
	if rule != hold.Best {
		var err error
		if held, err = d.placed(ctx, rule, m); err != nil {
			return err
		}
	}
	if d.person.Legs.Form == hold.Together {
		if load := d.footLoad(held); len(load) > 0 {
			spread := spreadOf(load)
			res.FootLoad = &spread
		}
	}
	add := func(what, unit string, rule hold.Rule, model hold.Model, r *Reading, predicted Spread) {
		c := Comparison{What: what, Unit: unit, Rule: rule, Model: model, Reading: *r, Error: r.Value - predicted.Median}
		c.Predicted = Spread{
			Median: predicted.Median,
			Low:    predicted.Median - math.Hypot(predicted.Median-predicted.Low, ninety*r.Error),
			High:   predicted.Median + math.Hypot(predicted.High-predicted.Median, ninety*r.Error),
		}
		c.Inside = r.Value >= c.Predicted.Low && r.Value <= c.Predicted.High
		res.Comparisons = append(res.Comparisons, c)
	}
	if m.FootLoad != nil && res.FootLoad != nil {
		add("foot_load", "kg", rule, hold.Equilibrium, m.FootLoad, *res.FootLoad)
	}
	if m.ArmAngle != nil && m.HandSpacing != nil {
		// Angle and spacing together test the geometry: either follows from the other.
		at, err := d.placed(ctx, hold.GivenSpacing, m)
		if err != nil {
			return err
		}
		if angles, _ := possible(at, hold.ArmAngle, nil); len(angles) > 0 {
			add("arm_angle", "rad", hold.GivenSpacing, hold.Equilibrium, m.ArmAngle, spreadOf(angles))
		}
	}
	for i := range res.Models {
		model := &res.Models[i]
		if q, ok := model.Quantity(hold.ArmAngle); ok && m.ArmAngle != nil && model.PossibleAll > 0 {
			add("arm_angle", "rad", hold.Best, model.Model, m.ArmAngle, q.All)
		}
		if q, ok := model.Quantity(hold.HandSpacing); ok && m.HandSpacing != nil && model.PossibleAll > 0 {
			add("hand_spacing", "m", hold.Best, model.Model, m.HandSpacing, q.All)
		}
	}
	return nil
}

// placed holds everyone up, under their own assumptions, at the measured arm angle
// or hand spacing. The equilibrium's forces are then geometry and balance.
func (d *draws) placed(ctx context.Context, rule hold.Rule, m *Measured) (*hold.Result, error) {
	out := hold.NewResult(d.options.N, hold.ArmAngle, hold.HandSpacing, hold.HorizontalForce)
	setup, column := *d.setup, make([]float64, scenario.TileRows)
	setup.First.Rule, setup.First.Angle, setup.First.Spacing = rule, column, column
	value := m.ArmAngle
	if rule == hold.GivenSpacing {
		value = m.HandSpacing
	}
	for i := range column {
		column[i] = value.Value
	}
	l := d.equilibrium()
	of := func(cases []scenario.Case) []scenario.Case {
		cases[l].Setup = &setup
		return cases[l : l+1]
	}
	return out, d.holdUp(ctx, d.newBench, of, func(_, from int, t *scenario.Tile) { put(out, from, t.First.Result) })
}

// footLoad returns what a scale under the ankles reads, kg, for the bodies that
// can take the posture. The couple of the sideways forces, H·d, is the moment of
// the weight about the pole; with one hand there is no couple, and the scale
// carries that moment at the ankles' distance.
func (d *draws) footLoad(held *hold.Result) []float64 {
	var load []float64
	angle, force, spacing := held.Value[hold.ArmAngle], held.Value[hold.HorizontalForce], held.Value[hold.HandSpacing]
	cos := math.Cos(d.person.Tilt)
	for i, ok := range held.Possible {
		if ok {
			reach := float64(d.arm[i]*math.Sin(angle[i])) + float64(cos*d.reach[i]) // of the ankles from the pole
			load = append(load, d.mass[i]*force[i]*spacing[i]/reach)
		}
	}
	return load
}

// Pooled is how well the predictions of one kind did over many people.
type Pooled struct {
	What   string
	Unit   string
	Rule   hold.Rule
	Model  hold.Model
	N      int
	Inside int // readings within their 5-95 % range, of which 90 % is the aim
	// Coverage is Inside over N with its 95 % Wilson interval.
	Coverage, CoverageLow, CoverageHigh float64
	// MeanError is the mean of reading less prediction, and StandardError its own;
	// NaN for one reading. RootMeanSquare is that of the errors.
	MeanError, StandardError, RootMeanSquare float64
}

// Pool sums comparisons of many people up, one entry a kind of prediction, in the
// order in which the kinds come.
func Pool(results ...*Result) []Pooled {
	var pooled []Pooled
	errors := map[int][]float64{}
	for _, r := range results {
		for _, c := range r.Comparisons {
			k := 0
			for k < len(pooled) && (pooled[k].What != c.What || pooled[k].Rule != c.Rule || pooled[k].Model != c.Model) {
				k++
			}
			if k == len(pooled) {
				pooled = append(pooled, Pooled{What: c.What, Unit: c.Unit, Rule: c.Rule, Model: c.Model})
			}
			pooled[k].N++
			if c.Inside {
				pooled[k].Inside++
			}
			errors[k] = append(errors[k], c.Error)
		}
	}
	for k := range pooled {
		p := &pooled[k]
		p.Coverage = float64(p.Inside) / float64(p.N)
		p.CoverageLow, p.CoverageHigh = montecarlo.Wilson(int64(p.Inside), int64(p.N), 0.95)
		mean, spread := linear.MeanStdDev(errors[k])
		p.MeanError, p.StandardError = mean, spread/math.Sqrt(float64(p.N))
		for _, e := range errors[k] {
			p.RootMeanSquare += e * e / float64(p.N)
		}
		p.RootMeanSquare = math.Sqrt(p.RootMeanSquare)
	}
	return pooled
}
