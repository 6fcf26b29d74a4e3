package claim

import (
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
)

// Added is the mass that a change puts on a region of body.Whole, kg, over bodies; negative
// where it takes some off.
type Added struct {
	Region    body.Region
	Kilograms Summary
}

// added returns what the claim's change adds to the first block of each of its people,
// with the regions that get none left out; nil where the change alters no mass.
func (t *test) added(seed uint64) ([]Added, error) {
	ch := t.claim.Change
	if ch == nil || !ch.Body.Weighs() {
		return nil, nil
	}
	var mass [len(body.Whole)][]float64
	for g, source := range t.sources(seed) {
		people := anthro.NewPeople(montecarlo.BlockRows)
		if err := source.Block(people, 0); err != nil {
			return nil, err
		}
		err := t.newBench().Run(people, t.cases(t.groups[g].Part, &t.assumed.Centre)[:1], func(_ int, tile *scenario.Tile) error {
			for i := range tile.First.Bodies.Rows() {
				for p, kg := range body.Added(tile.First.Bodies, tile.Second.Bodies, i) {
					mass[p] = append(mass[p], kg)
				}
			}
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	var list []Added
	for p, kilograms := range mass {
		some := slices.ContainsFunc(kilograms, func(kg float64) bool { return verdict.Moves(kg, 1) })
		if some {
			list = append(list, Added{body.Whole[p], band(kilograms)})
		}
	}
	return list, nil
}
