package claim

import (
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/scenario"
)

// Medians is the body whose every measurement is the median of one of a claim's
// populations, under one model before and after the change.
type Medians struct {
	Before, After Median
	Of            hold.Demand // of the curves: the claim's, or the difficulty where that is itself a posture
}

// Median is a body in a claim's hold.
type Median struct {
	Held  *scenario.HeldBody // nil where it cannot take the posture
	Curve *Curve             // nil where the hold leaves no choice of how far apart the hands are, or no such posture can be taken
}

// Curve is what a hold asks of one body over how far apart its hands are: at so many
// points that straight lines between them are true to curveError of the value, but for
// the two next to a kink.
type Curve struct {
	Spacing []float64 // m, increasing
	Demand  []float64 // of Medians.Of, in its unit
	// Where the body is held.
	BestSpacing, BestAngle, Best float64
	Spacings                     []float64 // m, increasing: where it would be held under all the assumptions
}

// Told is what is told of the people of a claim: what they need before the change, in the
// demand's unit, and the effect, in the claim's unit.
type Told struct{ Before, Effect float64 }

// OwnMiddle stands for the middle of what the body itself needs, and of how it is affected.
var OwnMiddle = Told{math.NaN(), math.NaN()}

// MediansOf holds up the median body of one of the claim's populations under one of the
// models that Judging lists, at those of some assumptions under which it comes nearest to what
// is told of people, and which are near the middle in how far apart its hands are; its curves
// tell where it would be held under all of them. It needs a claim with a change.
func MediansOf(c *Claim, population, model int, told Told, assumed ...assume.Set) (*Medians, error) {
	t, err := alone(c, population, model)
	if err != nil {
		return nil, err
	}
	if c.Change == nil {
		return nil, fault.New("change", nil, "a body is shown before and after a change")
	}
	if len(assumed) == 0 {
		return nil, fault.New("assumed", 0, "a body is shown under some assumptions, found none")
	}
	g, in, m := t.groups[0], t.setup, t.models[0].Statics
	medians := &Medians{Of: c.Demand}
	if c.Demand == hold.ArmAngle || c.Demand == hold.HandSpacing {
		medians.Of, told = hold.Difficulty, OwnMiddle
	}
	median := anthro.MedianOf(g.Selection.Population, g.Selection.Population.Quantile)
	bench := scenario.NewBench(1, t.asked, t.asked)
	var need, effect, before, after []float64
	for i := 0; i < len(assumed) && err == nil; i++ {
		err = bench.Run(median, t.cases(g.Part, &assumed[i]), func(_ int, tile *scenario.Tile) error {
			first, second := only(tile.First.Result, medians.Of), only(tile.Second.Result, medians.Of)
			moved := second - first
			switch {
			case math.IsInf(first, 1) && math.IsInf(second, 1):
				moved = 0
			case c.inPercent() && first < math.Inf(1):
				moved *= 100 / first
			}
			need, effect = append(need, first), append(effect, moved)
			before, after = append(before, only(tile.First.Result, hold.HandSpacing)), append(after, only(tile.Second.Result, hold.HandSpacing))
			return nil
		})
	}
	if err != nil {
		return nil, err
	}
	const much = 10 // as often as where the hands are: words beside the body tell it
	typical := &assumed[linear.MiddleOf(linear.Rank(effect, 10*much, told.Effect), linear.Rank(need, much, told.Before), linear.Rank(before, 1, math.NaN()), linear.Rank(after, 1, math.NaN()))]
	// The bodies stay in the bench, which is theirs alone.
	err = scenario.NewBench(1, t.asked, t.asked).Run(median, t.cases(g.Part, typical), func(_ int, tile *scenario.Tile) error {
		medians.Before, err = shownOf(&tile.First, in.Hold, in.First, m, medians.Of)
		if err == nil {
			medians.After, err = shownOf(&tile.Second, in.Next, in.Second, m, medians.Of)
		}
		return err
	})
	medians.Before.Curve.placed(before)
	medians.After.Curve.placed(after)
	return medians, err
}

// only is a demand of the one body of a result: infinite where it cannot take the posture, and
// not a number where that is not asked.
func only(r *hold.Result, d hold.Demand) float64 {
	switch {
	case r.Value[d] == nil:
		return math.NaN()
	case !r.Possible[0]:
		return math.Inf(1)
	}
	return r.Value[d][0]
}

// placed notes how far apart the hands are under every assumption.
func (c *Curve) placed(spacings []float64) {
	if c == nil {
		return
	}
	c.Spacings = slices.DeleteFunc(spacings, func(x float64) bool { return !(x < math.Inf(1)) })
	slices.Sort(c.Spacings)
}

// alone makes a claim ready about one of its populations and under one of its models.
// Women and men who are compared are there both.
func alone(c *Claim, population, model int) (*test, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	models := c.Judging()
	if population < 0 || population >= len(c.People) || model < 0 || model >= len(models) {
		return nil, fault.New("people", population, "the claim has %d populations and %d models that judge", len(c.People), len(models))
	}
	only := *c // those people alone, who may take time to reweight
	only.Models = models[model : model+1]
	if c.Contrast == nil || !c.Contrast.Sexes {
		only.People = c.People[population : population+1]
	}
	return prepare(&only)
}

// shownOf shows the first of some bodies, as it is held.
func shownOf(h *scenario.Held, in *hold.Hold, posture hold.Posture, m hold.Model, d hold.Demand) (s Median, err error) {
	if !h.Result.Possible[0] {
		return s, nil
	}
	angle := h.Result.Value[hold.ArmAngle]
	if in.Places(hold.GivenAngle) && angle != nil {
		posture.Rule, posture.Angle = hold.GivenAngle, angle[:1]
		if spacing := h.Result.Value[hold.HandSpacing]; spacing != nil && h.Result.Value[d] != nil {
			s.Curve = curveOf(h, in, posture, m, d)
			s.Curve.BestAngle, s.Curve.BestSpacing, s.Curve.Best = angle[0], spacing[0], h.Result.Value[d][0]
		}
	}
	s.Held, err = h.Place(in, posture, scenario.Under(in, m))
	return s, err
}

const (
	curveSteps  = 32    // into which the range of angles is divided at least
	curveHalves = 10    // how often each is halved at most
	curveError  = 0.001 // as a share of the value
)

// curveOf follows a demand of the first body over the angles that the hold allows.
func curveOf(h *scenario.Held, in *hold.Hold, posture hold.Posture, m hold.Model, d hold.Demand) *Curve {
	type at struct{ angle, spacing, demand float64 }
	out := hold.NewResult(1, hold.ArmAngle, hold.HandSpacing, hold.RequiredForce, d)
	look := func(angle float64) at {
		p := posture
		p.Angle = []float64{angle}
		if h.Solve(out, in, p, m); !out.Possible[0] {
			return at{angle, math.NaN(), math.NaN()}
		}
		return at{angle, out.Value[hold.HandSpacing][0], out.Value[d][0]}
	}
	bends := func(a, m, b float64) bool { return math.Abs(m-float64((a+b)/2)) > curveError*math.Abs(m) }
	c := &Curve{}
	add := func(p at) {
		if !math.IsNaN(p.demand) {
			c.Spacing, c.Demand = append(c.Spacing, p.spacing), append(c.Demand, p.demand)
		}
	}
	var between func(a, b at, halves int)
	between = func(a, b at, halves int) {
		middle := look((a.angle + b.angle) / 2)
		edge := math.IsNaN(a.demand) != math.IsNaN(b.demand)
		if halves > 0 && (edge || bends(a.demand, middle.demand, b.demand) || bends(a.spacing, middle.spacing, b.spacing)) {
			between(a, middle, halves-1)
			add(middle)
			between(middle, b, halves-1)
		}
	}
	// The hands are the farther apart, the smaller the angle.
	last := look(in.MostAngle)
	add(last)
	for k := curveSteps - 1; k >= 0; k-- {
		next := look(in.LeastAngle + float64(float64(k)/curveSteps*(in.MostAngle-in.LeastAngle)))
		between(last, next, curveHalves)
		add(next)
		last = next
	}
	return c
}

// Groups are the two groups of a contrast among one population under one model.
type Groups struct{ Bottom, Top Members }

// Members are one group of a contrast. In a difficulty strength differs as in ContrastResult.TopGreater.
type Members struct {
	Demand []float64          // of its people, increasing, in the demand's unit; infinite for who cannot take the posture
	Held   *scenario.HeldBody // one who has the group's median of every measurement; nil where that one cannot take the posture
}

// groupPeople is how many people are divided into the groups that are shown.
const groupPeople = 1 << 14

// GroupsOf holds up the first people of a seed, in the groups of the claim's contrast, at
// the given assumptions; see MediansOf.
func GroupsOf(c *Claim, population, model int, a assume.Set, seed uint64) (*Groups, error) {
	t, err := alone(c, population, model)
	if err != nil {
		return nil, err
	}
	if c.Contrast == nil {
		return nil, fault.New("contrast", nil, "groups are those of a contrast")
	}
	keys, values, crowds := make([][]float64, len(t.groups)), make([][]float64, len(t.groups)), make([]*anthro.People, len(t.groups))
	for g, source := range t.sources(seed) {
		crowds[g], keys[g] = anthro.NewPeople(groupPeople), make([]float64, groupPeople)
		if err := source.Fill(crowds[g]); err != nil {
			return nil, err
		}
		if !c.Contrast.Sexes {
			c.Contrast.By.Values(keys[g], crowds[g])
		}
		err := t.newBench().Run(crowds[g], t.cases(t.groups[g].Part, &a), func(_ int, tile *scenario.Tile) error {
			values[g] = t.values(values[g], tile)
			return nil
		})
		if err != nil {
			return nil, err
		}
	}
	if c.Contrast.Sexes {
		women, men := t.sexes()
		groups := &Groups{Bottom: Members{Demand: values[men]}, Top: Members{Demand: values[women]}}
		t.differ[0].apply(groups)
		for g, of := range map[int]*Members{women: &groups.Top, men: &groups.Bottom} {
			if err := of.finish(t, g, crowds[g], nil, &a); err != nil {
				return nil, err
			}
		}
		return groups, nil
	}
	groups := &Groups{}
	bottom, top, _ := t.ends(keys[0])
	if len(bottom) < 2 || len(top) < 2 {
		return nil, fault.New("contrast", groupPeople, "so few of %d people are in either group that it cannot be shown", groupPeople)
	}
	groups.Bottom.Demand, groups.Top.Demand = at(values[0], bottom), at(values[0], top)
	t.differ[0].apply(groups)
	err = groups.Bottom.finish(t, 0, crowds[0], bottom, &a)
	if err == nil {
		err = groups.Top.finish(t, 0, crowds[0], top, &a)
	}
	return groups, err
}

// finish sorts what is asked of a group's people, and holds up their middle: of the rows
// of a crowd, all where they are nil.
func (s *Members) finish(t *test, g int, crowd *anthro.People, rows []int, a *assume.Set) error {
	slices.Sort(s.Demand)
	one := anthro.NewPeople(1)
	for m, column := range crowd.Value {
		some := column
		if rows != nil {
			some = at(column, rows)
		}
		one.Value[m][0] = median(some)
	}
	return scenario.NewBench(1, t.asked, t.asked).Run(one, t.cases(t.groups[g].Part, a), func(_ int, tile *scenario.Tile) error {
		shown, err := shownOf(&tile.First, t.setup.Hold, t.setup.First, t.models[0].Statics, t.claim.Demand)
		s.Held = shown.Held
		return err
	})
}

// At returns a quantile of what is asked of the group's people.
func (s *Members) At(p float64) float64 { return montecarlo.Quantile(s.Demand, p) }
