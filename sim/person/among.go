package person

import (
	"cmp"
	"context"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/scenario"
)

// Where a person stands among people, by what the hold asks of them.
//
// In one draw of what is not known, ω, the percentile is the share of people who need
// less than the person, all of them under that draw:
//
//	P(ω) = F(x(b, a); a, s)
//
// a are the assumptions, which hold for the person and for everybody else: what is a
// narrow grip or a weak norm in one draw is that for all. What they do to everybody
// alike cancels, and to compare a person under one draw with people under another, or
// under the central assumptions, would count it as a rank. s is who was measured: the
// people are those of a refit of the survey, another one in each draw. b is the
// person's alone: what was not measured of the body, and what tests leave open of the
// strength. The interval is that of P over the draws.
//
// Untested, the person is held up as the median untrained adult of that size, and so is
// everybody else, each being the unit of their own difficulty. Tested, the person has a
// strength of their own, and the others have one each of untrained people's.

const (
	// comparedPeople is how many of the population stand for it.
	comparedPeople = 4096
	// placedPeople is how many of them are held up in each draw, of which there are
	// at most mostPlaced.
	placedPeople = 256
	mostPlaced   = 128
	// placedBodies is how many of the person's bodies are placed in each draw.
	placedBodies = groupRows / 2
)

// standing is, by demand, the person's percentile for a few bodies of every draw, NaN for
// those that cannot take the posture.
type standing map[hold.Demand][]float64

// spread returns the spread of the percentile of a demand, NaN where there is none.
func (s standing) spread(of hold.Demand) Spread {
	if held := numbers(slices.Clone(s[of])); len(held) > 0 {
		return spreadOf(held)
	}
	return Spread{math.NaN(), math.NaN(), math.NaN()}
}

// compare places the person among the people.
func (d *draws) compare(ctx context.Context) error {
	n := min(mostPlaced, len(d.assumed))
	d.stands = make([]standing, d.asked)
	for l := range d.stands {
		d.stands[l] = standing{}
		for _, of := range d.asks(l) {
			d.stands[l][of] = make([]float64, n*placedBodies)
		}
	}
	weights, err := d.weights(ctx)
	if err != nil {
		return err
	}
	return d.run(ctx, n, func() func(int) error {
		people, held, holdUp := anthro.NewPeople(placedPeople), d.newResults(placedPeople), d.crowd(d.among())
		return func(k int) error {
			population := d.population
			if refits := population.Refits(); refits > 0 {
				var err error
				if population, err = population.Refit(k % refits); err != nil {
					return err
				}
			}
			if err := holdUp(population, &d.assumed[k], people, held); err != nil {
				return err
			}
			for l, stands := range d.stands {
				for of, at := range stands {
					counts := counted(weights[l][of], held[l].Possible)
					for j := range placedBodies {
						i := d.from[k] + j
						at[k*placedBodies+j] = math.NaN()
						if counts != nil && d.all[l].Possible[i] {
							at[k*placedBodies+j] = weightBelow(held[l].Value[of], counts, d.all[l].Value[of][i])
						}
					}
				}
			}
			return nil
		}
	})
}

// crowd returns what fills people with those of a purpose, and holds them up under a
// draw of the assumptions. It serves one goroutine.
func (d *draws) crowd(purpose string) func(*anthro.Population, *assume.Set, *anthro.People, []*hold.Result) error {
	bench, own := d.newBench(), d.untrained(purpose)
	return func(from *anthro.Population, a *assume.Set, people *anthro.People, held []*hold.Result) error {
		if err := scenario.NewSource(from.NewSampler(), d.options.Seed, purpose).Fill(people); err != nil {
			return err
		}
		return bench.Run(people, d.cases(a, own)[:d.asked], func(l int, t *scenario.Tile) error {
			put(held[l], t.From, t.First.Result)
			return nil
		})
	}
}

// among is the purpose of the few people who are held up in each draw.
func (d *draws) among() string { return "among/" + d.population.Name }

// weights returns how much each of the few counts, by model and demand: together they
// are distributed at the central assumptions as the many are, of whom each takes those
// that are nearest. So they stand for the many under other assumptions, which change
// what people need far more than who needs more.
func (d *draws) weights(ctx context.Context) ([]map[hold.Demand][]float64, error) {
	weights, many, few := make([]map[hold.Demand][]float64, d.asked), d.newResults(comparedPeople), d.newResults(placedPeople)
	everybody, centre := anthro.NewPeople(comparedPeople), &d.options.Assumptions.Centre
	if err := d.crowd(scenario.Purpose(d.population.Name))(d.population, centre, everybody, many); err != nil {
		return nil, err
	}
	if err := d.crowd(d.among())(d.population, centre, anthro.NewPeople(placedPeople), few); err != nil {
		return nil, err
	}
	if d.population.Survey() != d.population {
		d.others = everybody
	}
	err := d.run(ctx, d.asked, func() func(int) error {
		return func(l int) error {
			weights[l] = map[hold.Demand][]float64{}
			for of := range d.stands[l] {
				all, _ := possible(many[l], of, nil)
				weights[l][of] = nearest(few[l].Value[of], few[l].Possible, all)
			}
			return nil
		}
	})
	return weights, err
}

// nearest returns the share of values that lie nearest to each of a few, 0 for those
// that are not possible.
func nearest(few []float64, possible []bool, values []float64) []float64 {
	weights := make([]float64, len(few))
	var order []int
	for i, ok := range possible {
		if ok {
			order = append(order, i)
		}
	}
	if len(order) == 0 {
		return weights
	}
	slices.SortFunc(order, func(i, j int) int { return cmp.Compare(few[i], few[j]) })
	middles := make([]float64, len(order)-1)
	for k := range middles {
		middles[k] = float64(few[order[k]]/2) + float64(few[order[k+1]]/2)
	}
	for _, v := range values {
		// Of equal middles, and of a value on one, the last that is not above it.
		k, _ := slices.BinarySearchFunc(middles, v, func(middle, v float64) int {
			if middle <= v {
				return -1
			}
			return 1
		})
		weights[order[k]] += 1 / float64(len(values))
	}
	return weights
}

// counted returns the weights of what is possible, adding up to 1; nil without any.
func counted(weights []float64, possible []bool) []float64 {
	counts, all := make([]float64, len(weights)), 0.0
	for i, ok := range possible {
		if ok {
			counts[i] = weights[i]
			all += weights[i]
		}
	}
	if all == 0 {
		return nil
	}
	for i := range counts {
		counts[i] /= all
	}
	return counts
}

// weightBelow returns the weight of the values that lie below x; equal ones count half.
func weightBelow(values, weights []float64, x float64) float64 {
	below := 0.0
	for i, w := range weights[:len(values)] {
		v := values[i]
		if v <= x {
			if v == x {
				w /= 2
			}
			below += w
		}
	}
	return below
}

// ranks places the known measurements among the people: by the distribution of a
// survey, and by counting people who are none, of whom too few have any one stature.
func (d *draws) ranks() []Rank {
	pr := d.problem
	stature := slices.DeleteFunc(slices.Clone(pr.left.Known), func(k anthro.Known) bool { return k.Of != anthro.Stature })
	var ranks []Rank
	for _, k := range pr.left.Known {
		r := Rank{Known: k, ForStature: math.NaN()}
		if d.others != nil {
			r.Percentile = shareBelow(d.others.Value[k.Of], k.Value)
		} else if r.Percentile = pr.population.ShareBelow(k.Of, k.Value); len(stature) > 0 && k.Of != anthro.Stature {
			r.ForStature = pr.population.ShareBelow(k.Of, k.Value, stature...)
		}
		ranks = append(ranks, r)
	}
	return ranks
}
