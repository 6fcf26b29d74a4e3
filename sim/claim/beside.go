package claim

import (
	"slices"

	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// besideDifficulty reports whether draws tell the difficulty beside the claim's demand: a
// force or a moment may fall while the hold gets harder.
func (t *test) besideDifficulty() bool {
	c := t.claim
	return c.Contrast == nil && (c.Demand.Unit == "BW" || c.Demand.Unit == "BW·m") && slices.Contains(t.asked, hold.Difficulty)
}

// drawDemands are the demands that draws ask for.
func (t *test) drawDemands() []hold.Demand {
	asked := append([]hold.Demand{t.claim.Demand}, postureDemands...)
	if t.besideDifficulty() {
		asked = append(asked, hold.Difficulty)
	}
	return asked
}

// difficulties adds the changes of the difficulty of a tile's bodies, in per cent.
func (t *test) difficulties(list []float64, tile *scenario.Tile) []float64 {
	if !t.besideDifficulty() {
		return list
	}
	was, is := tile.First.Result, tile.Second.Result
	for i := range was.Possible {
		switch e, ok := t.effect(was, is, i); {
		case ok && infinite(e):
			list = append(list, e)
		case ok:
			list = append(list, 100*relative(was.Value[hold.Difficulty][i], is.Value[hold.Difficulty][i]))
		}
	}
	return list
}

// medianOf sorts values and returns their median, NaN of none.
func medianOf(values []float64) float64 {
	slices.Sort(values)
	return montecarlo.Quantile(values, 0.5)
}
