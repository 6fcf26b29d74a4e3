package claim

import (
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/fault"
	"counterpoise/sim/scenario"
)

// Curves shows one population of a claim under one model: the body whose every
// measurement is the median, before and after the change, and the spread of the
// first bodies of the population's people around the former.
type Curves struct {
	People        string
	Before, After scenario.Curve
	Angle         []float64 // radians, of the ribbon
	Low, High     []float64 // 5 and 95 % of the people's largest part at each angle
	N             int       // people behind the ribbon
}

// curvePeople is how many people stand behind a ribbon.
const curvePeople = 2048

// CurvesOf computes the curves of one of the claim's populations under one of the models
// that Judging lists, at the given
// assumptions; the people are the first of the seed's. It needs a claim with a
// change, over a hold that leaves a choice of posture.
func CurvesOf(c *Claim, population, model int, a assume.Set, seed uint64) (*Curves, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	models := c.Judging()
	if population < 0 || population >= len(c.People) || model < 0 || model >= len(models) {
		return nil, fault.New("people", population, "the claim has %d populations and %d models that judge", len(c.People), len(models))
	}
	only := *c // those people alone, who may take time to reweight
	only.People, only.Models = c.People[population:population+1], models[model:model+1]
	t, err := prepare(&only)
	if err != nil {
		return nil, err
	}
	if c.Change == nil || c.Change.Hold != nil || c.Hold.Parts == nil {
		return nil, fault.New("hold", c.Hold.Name, "%s has no curves: they need a change and a choice of posture", c.Hold.Name)
	}
	g, in, statics, angles := t.groups[0], t.setup, t.models[0].Statics, scenario.CurveAngles(c.Hold)
	cases := t.cases(g.Part, &a)
	median := anthro.MedianOf(g.Selection.Population, g.Selection.Population.Quantile)
	curves := &Curves{People: g.Population, N: curvePeople}
	err = scenario.NewBench(1, t.asked, t.asked).Run(median, cases, func(_ int, tile *scenario.Tile) error {
		curves.Before = tile.First.Curve(in.Hold, in.First, statics, angles, nil, tile.First.Result)
		curves.After = tile.Second.Curve(in.Next, in.Second, statics, angles, nil, tile.Second.Result)
		return nil
	})
	if err != nil {
		return nil, err
	}
	crowd := anthro.NewPeople(curvePeople)
	if err := t.sources(seed)[0].Fill(crowd); err != nil {
		return nil, err
	}
	peaks := make([][]float64, len(angles))
	for k := range peaks {
		peaks[k] = make([]float64, curvePeople)
	}
	err = t.newBench().Run(crowd, cases, func(_ int, tile *scenario.Tile) error {
		for i := range tile.First.Bodies.Rows() {
			tile.First.Peaks(peaks, tile.From+i, i, in.Hold, in.First, statics, angles)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for k, angle := range angles {
		at := numbers(peaks[k])
		if len(at) < curvePeople/2 {
			continue
		}
		curves.Angle = append(curves.Angle, angle)
		curves.Low = append(curves.Low, at[len(at)*5/100])
		curves.High = append(curves.High, at[len(at)*95/100])
	}
	return curves, nil
}
