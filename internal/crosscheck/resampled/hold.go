package main

import (
	"fmt"
	"math"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
	"counterpoise/sim/linear"
	"counterpoise/sim/scenario"
)

// holder holds people up for a claim about one population, at the central assumptions.
type holder struct {
	claim *claim.Claim
	setup *scenario.Setup
	part  *scenario.Part
	bench *scenario.Bench
}

func newHolder(c *claim.Claim) (*holder, error) {
	parts, err := c.Parts()
	if err != nil {
		return nil, err
	}
	if len(parts) != 1 {
		return nil, fmt.Errorf("%d populations, must be 1", len(parts))
	}
	asked := []hold.Demand{c.Demand, hold.ArmAngle, hold.HandSpacing}
	setup := scenario.NewSetup(&c.Scenario)
	return &holder{c, setup, parts[0], scenario.NewBench(scenario.TileRows, asked, asked, setup.Rules...)}, nil
}

// held is the demands of a hold on people before and after a change, or of a contrast before,
// and what tells them apart; copies of a person follow each other.
type held struct {
	copies             int
	before, after, key []float64
	order              []int // of the effects, or of a contrast's demands
}

// hold holds people up, each so many times.
func (h *holder) hold(people *anthro.People, part *scenario.Part, copies int) (*held, error) {
	out := &held{copies: copies}
	model, assumed := h.claim.Judging()[0], h.claim.Assumed()
	cases := []scenario.Case{{Setup: h.setup, Model: model.Statics, Builder: part.Builder(model), Assume: &assumed.Centre, Apart: h.claim.Contrast != nil}}
	err := h.bench.Run(people, cases, func(_ int, t *scenario.Tile) error {
		was, is := t.First.Result, t.Second.Result
		if h.claim.Change == nil {
			is = was
		}
		if slices.Contains(was.Possible, false) || slices.Contains(is.Possible, false) {
			return fmt.Errorf("somebody cannot take the posture")
		}
		out.before = append(out.before, was.Value[h.claim.Demand]...)
		out.after = append(out.after, is.Value[h.claim.Demand]...)
		return nil
	})
	if err != nil {
		return nil, err
	}
	by := out.before
	if c := h.claim.Contrast; c != nil {
		out.key = make([]float64, people.Rows())
		c.By.Values(out.key, people)
	} else {
		by = out.percents()
	}
	out.order = linear.Order(by)
	return out, nil
}

// fitted holds up people drawn from a fit.
func (h *holder) fitted(part *scenario.Part, n int) (*held, error) {
	people := anthro.NewPeople(n)
	// The same chance, whoever they are.
	if err := part.SourceFor(1, "resampled", true).Fill(people); err != nil {
		return nil, err
	}
	return h.hold(people, part, 1)
}

// of returns the claim's part of other people.
func (h *holder) of(p *anthro.Population) (*scenario.Part, error) {
	again := h.claim.Scenario
	again.People = []scenario.Group{scenario.GroupOf(p)}
	parts, err := again.Parts()
	if err != nil {
		return nil, err
	}
	return parts[0], nil
}

// raw holds up people as they were measured, with regional masses that were measured on
// others: drawn from a refit, the same chance in each.
func (h *holder) raw(measured *anthro.People, refit, copies int) (*held, error) {
	part, err := h.claim.Refit(h.part, refit)
	if err != nil {
		return nil, err
	}
	people := anthro.NewPeople(measured.Rows() * copies)
	if err := part.Source(2, true).Fill(people); err != nil {
		return nil, err
	}
	for m, column := range measured.Value {
		for i := range people.Rows() {
			people.Value[m][i] = column[i/copies]
		}
	}
	return h.hold(people, part, copies)
}

// percents are the effects in per cent of the baseline.
func (h *held) percents() []float64 {
	e := make([]float64, len(h.before))
	for i, b := range h.before {
		e[i] = 100 * (h.after[i] - b) / b
	}
	return e
}

// statistic is the number that is asked for, in per cent, with a weight for each person;
// nil weighs all alike.
func (h *held) statistic(c *claim.Claim, share bool, weight []float64) float64 {
	at := func(i int) float64 {
		if weight == nil {
			return 1
		}
		return weight[i/h.copies]
	}
	switch {
	case c.Contrast != nil:
		low, high := h.cuts(c.Contrast.Share, at)
		bottom := median(h.before, h.order, func(i int) float64 {
			if h.key[i] <= low {
				return at(i)
			}
			return 0
		})
		top := median(h.before, h.order, func(i int) float64 {
			if h.key[i] >= high {
				return at(i)
			}
			return 0
		})
		return 100 * (top - bottom) / bottom
	case share:
		sign := 1.0
		if c.Expect == claim.Decrease {
			sign = -1
		}
		counted, total := 0.0, 0.0
		for i, b := range h.before {
			if total += at(i); sign*(h.after[i]-b) > c.Threshold().Of(b) {
				counted += at(i)
			}
		}
		return 100 * counted / total
	}
	return median(h.percents(), h.order, at)
}

// cuts are where the bottom group ends and the top group begins.
func (h *held) cuts(share float64, weight func(int) float64) (low, high float64) {
	order := linear.Order(h.key)
	total := 0.0
	for i := range h.key {
		total += weight(i)
	}
	low, high = math.NaN(), math.NaN()
	sum := 0.0
	for _, i := range order {
		if sum += weight(i); sum >= share*total && math.IsNaN(low) {
			low = h.key[i]
		}
		if sum > (1-share)*total {
			high = h.key[i]
			break
		}
	}
	return low, high
}

// median is that of values with weights, in the order given.
func median(values []float64, order []int, weight func(int) float64) float64 {
	total := 0.0
	for i := range values {
		total += weight(i)
	}
	sum := 0.0
	for _, i := range order {
		if sum += weight(i); sum >= total/2 {
			return values[i]
		}
	}
	return math.NaN()
}
