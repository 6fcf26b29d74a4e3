package claim

import (
	"math"
	"slices"

	"counterpoise/sim/assume"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"gonum.org/v1/gonum/stat"
)

// assumptionPoint is one draw of the assumptions.
type assumptionPoint struct {
	point []float64 // in the unit cube, by free assumption
	set   assume.Set
}

// assumptionPoints spreads the draws evenly over the ranges of the free
// assumptions: a scrambled Sobol' sequence.
func assumptionPoints(o *Options) ([]assumptionPoint, error) {
	free := o.Assumptions.Free()
	points := make([]assumptionPoint, o.Draws)
	if len(free) == 0 {
		for k := range points {
			points[k] = assumptionPoint{nil, o.Assumptions.Centre}
		}
		return points, nil
	}
	sobol, err := montecarlo.NewScrambledSobol(len(free), o.Seed, "assumptions")
	if err != nil {
		return nil, err
	}
	for k := range points {
		points[k].point = make([]float64, len(free))
		sobol.Point(uint64(k), points[k].point)
		points[k].set = o.Assumptions.At(points[k].point)
	}
	return points, nil
}

// AssumptionDriver is the assumption that the outcome follows most closely.
type AssumptionDriver struct {
	Name string `json:"name"`
	// Correlation is the rank correlation, over the draws, between the
	// assumption and the share of bodies as claimed less the share against.
	Correlation float64 `json:"rank_correlation"`
}

// Bears reports whether an assumption can bear on what a model gives of the claim:
// those about the statics of other holds cannot. The claim must pass Check.
func (c *Claim) Bears(m hold.Model, id assume.ID) bool {
	own := []string{c.Hold}
	if c.Change != nil && c.Change.Hold != "" {
		own = append(own, c.Change.Hold)
	}
	foreign := false
	for _, h := range hold.All() {
		if slices.Contains(own, h.Name) && slices.Contains(h.Assumptions(Under(h, m)), id) {
			return true
		}
		for _, other := range h.Models {
			foreign = foreign || slices.Contains(h.Assumptions(other), id)
		}
	}
	return !foreign
}

// bears is Claim.Bears under one model.
func (t *test) bears(m hold.Model) func(assume.ID) bool {
	return func(id assume.ID) bool { return t.claim.Bears(m, id) }
}

// driver returns the assumption, of those that can bear on the outcome, whose
// ranks go most closely with those of response, one value a draw, or nil where
// response does not vary or is not known in every draw.
func (d *draws) driver(o *Options, bears func(assume.ID) bool, response []float64) *AssumptionDriver {
	if slices.ContainsFunc(response, math.IsNaN) {
		return nil
	}
	ranked := ranks(response)
	var best *AssumptionDriver
	for j, id := range o.Assumptions.Free() {
		if !bears(id) {
			continue
		}
		values := make([]float64, len(d.points))
		for k := range values {
			values[k] = d.points[k].point[j]
		}
		r := stat.Correlation(ranks(values), ranked, nil)
		if math.IsNaN(r) || best != nil && math.Abs(r) <= math.Abs(best.Correlation) {
			continue
		}
		best = &AssumptionDriver{id.String(), r}
	}
	return best
}

// split takes the variance of the effect apart, over all populations together:
// that they differ is a part of how people differ.
func (d *draws) split(t *test, lane int) *VarianceSplit {
	parts := make([]drivers.Components, len(t.groups))
	mean := 0.0
	for g, crossed := range d.crossed[lane] {
		if crossed == nil {
			return nil
		}
		parts[g] = crossed.Components()
		mean += t.groups[g].weight * parts[g].Mean
	}
	var people, both, assumptions float64
	for g, p := range parts {
		w := t.groups[g].weight
		people += w * (p.Columns + (p.Mean-mean)*(p.Mean-mean))
		both += w * (p.Both + p.Rows)
		// A draw of the assumptions is the same for all populations: what it moves
		// in one and in the other counts as far as it goes together.
		for h := range parts {
			assumptions += w * t.groups[h].weight * stat.Covariance(d.crossed[lane][g].Means(), d.crossed[lane][h].Means(), nil)
		}
	}
	both = math.Max(both-assumptions, 0)
	total := people + both + assumptions
	if !(total > 0) {
		return nil
	}
	return &VarianceSplit{People: people / total, Assumptions: assumptions / total, Both: both / total}
}
