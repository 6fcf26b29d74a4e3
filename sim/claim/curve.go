package claim

import (
	"math"
	"sort"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/hold"
)

// Curve is what a hold asks of one body over the arm angle.
type Curve struct {
	Angle []float64   // degrees, increasing
	Parts [][]float64 // by part, in the order of the hold's Parts
	Peak  []float64   // the largest part
	// Best is where the body is held: its own best posture or the one that the
	// change gives it. NaN where it can take none.
	BestAngle, BestPeak, BestSpacing float64
}

// Curves shows one population of a claim under one model: the body whose every
// measurement is the median, before and after the change, and the spread of the
// first bodies of the population's people around the former.
type Curves struct {
	People        string
	Parts         []string // names of the parts
	Before, After Curve
	Angle         []float64 // degrees, of the ribbon
	Low, High     []float64 // 5 and 95 % of the people's largest part at each angle
	N             int       // people behind the ribbon
}

// curveSteps is the number of angles of a curve, one a degree over the flag's range.
const curveSteps = 71

// curvePeople is how many people stand behind a ribbon.
const curvePeople = 2048

// CurvesOf computes the curves of one of the claim's populations, at the given
// assumptions; the people are the first of the seed's. It needs a claim with a
// change, over a hold that leaves a choice of posture.
func CurvesOf(c *Claim, population, model int, a assume.Set, seed uint64) (*Curves, error) {
	only := *c // those people alone, who may take time to reweight
	only.People = c.People[population : population+1]
	t, err := prepare(&only)
	if err != nil {
		return nil, err
	}
	if c.Change == nil || c.Change.Hold != "" || t.hold.Parts == nil {
		return nil, &FieldError{"hold", c.Hold + " has no curves here: they are of a change, over a choice of posture"}
	}
	g, lane := t.groups[0], t.lanes[model]
	statics := lane.model.Statics
	median := anthro.NewPeople(1)
	for m := range anthro.NumMeasurements {
		median.Value[m][0] = g.selection.Population.Quantile(m, 0.5)
	}
	p := t.newPair(1)
	if err := t.build(p, median, g.builders[lane.builder], &a); err != nil {
		return nil, err
	}
	t.solve(p, statics, false)
	curves := &Curves{People: g.people.Population, Parts: t.hold.Parts(statics), N: curvePeople}
	curves.Before = t.curve(p, false, t.before, statics, p.first)
	curves.After = t.curve(p, true, t.after, statics, p.changed[c.Change.Posture])

	const people = curvePeople
	drawn := t.newPeopleScratch(seed)
	crowd, err := drawn.draw(0, 0, people)
	if err != nil {
		return nil, err
	}
	q := t.newPair(people)
	if err := t.build(q, crowd, g.builders[lane.builder], &a); err != nil {
		return nil, err
	}
	values := make([]float64, len(curves.Parts))
	peaks := make([]float64, 0, people)
	parts := make([]func([]float64, float64) bool, people)
	for i := range parts {
		parts[i] = t.hold.PartsOf(q.before, q.capBefore, i, t.before, statics, &q.assumeFirst)
	}
	for _, angle := range curveAngles(t.hold) {
		peaks = peaks[:0]
		for i := range people {
			if parts[i](values, angle*math.Pi/180) {
				peaks = append(peaks, largestOf(values))
			}
		}
		if len(peaks) < people/2 {
			continue
		}
		sort.Float64s(peaks)
		curves.Angle = append(curves.Angle, angle)
		curves.Low = append(curves.Low, peaks[len(peaks)*5/100])
		curves.High = append(curves.High, peaks[len(peaks)*95/100])
	}
	return curves, nil
}

func curveAngles(h *hold.Hold) []float64 {
	angles := make([]float64, curveSteps)
	least, most := h.LeastAngle*180/math.Pi, h.MostAngle*180/math.Pi
	for k := range angles {
		angles[k] = least + float64(k)/(curveSteps-1)*(most-least)
	}
	return angles
}

// curve evaluates the first or the changed body of a pair of one row.
func (t *test) curve(p *pair, changed bool, posture hold.Posture, model hold.Model, held *hold.Result) Curve {
	bodies, capacity, a := p.before, p.capBefore, &p.assumeFirst
	if changed {
		bodies, capacity, a = p.after, p.capAfter, &p.assumeNext
	}
	values := make([]float64, len(t.hold.Parts(model)))
	c := Curve{Parts: make([][]float64, len(values)), BestAngle: math.NaN(), BestPeak: math.NaN(), BestSpacing: math.NaN()}
	at := t.hold.PartsOf(bodies, capacity, 0, posture, model, a)
	for _, angle := range curveAngles(t.hold) {
		if !at(values, angle*math.Pi/180) {
			continue
		}
		c.Angle = append(c.Angle, angle)
		for k, v := range values {
			c.Parts[k] = append(c.Parts[k], v)
		}
		c.Peak = append(c.Peak, largestOf(values))
	}
	if held.Possible[0] {
		angle := held.Value[hold.ArmAngle][0]
		if at(values, angle) {
			c.BestAngle, c.BestPeak, c.BestSpacing = angle*180/math.Pi, largestOf(values), held.Value[hold.HandSpacing][0]
		}
	}
	return c
}

func largestOf(values []float64) float64 {
	largest := math.Inf(-1)
	for _, v := range values {
		largest = math.Max(largest, v)
	}
	return largest
}
