package claim

import (
	"context"
	"slices"

	"counterpoise/sim/assume"
	"counterpoise/sim/drivers"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/verdict"
)

// Draws is what the draws say under one model of one population, or of all people
// together. What is in the claim's unit is in per cent of the baseline where the
// threshold is a share of it, else in the demand's own unit.
type Draws struct {
	N        int
	Bodies   int // people behind them all: in each replicate those of the draw with the most
	Verdicts map[Verdict]int
	// Agreement is the share of the draws that go the most frequent way, with its
	// interval at the confidence of a verdict.
	Agreement Share
	// Under is what the draws agree on under the other rules by which the changed body
	// may place its arms.
	Under map[scenario.PostureRule]Under
	// NeverRises and NeverFalls tell that the draws agree that the quantity rises, or
	// falls, by what matters for no more bodies than a claim may leave aside. They are
	// the opposite of a contrast's ends: its groups differ, or do not.
	NeverRises, NeverFalls bool

	// Over the draws: the shares of bodies for whom the claim holds, the effect is too
	// small to matter, and the opposite holds; of a contrast that of the pairs in which
	// the top group has the greater value, see ContrastResult.TopGreater.
	AsClaimed, TooSmall, Against, Greater Summary
	// Over the draws: the median effect, or the difference of the groups' medians, in
	// the demand's unit and in per cent of the baseline; and the medians before and
	// after, or of the bottom and the top group. What one replicate's people have in common
	// is taken out of the effect's spread.
	Effect, Percent, Before, After Summary
	// People is how people, or pairs, differ: the medians over the draws of the 5, 50 and
	// 95 % points of a draw's people, in the demand's unit.
	People Summary
	// In the claim's unit: the standard error of the mean of the median effects by the
	// number of draws and bodies, which stands for that of their median; and the standard deviation of the median effect that the survey's own
	// people leave, at the central assumptions; 0 where that is not known.
	DrawingError, SurveyError float64
	SurveyShareError          float64 // likewise of AsClaimed

	// Difficulty is the median change of the difficulty in per cent, over the draws, beside
	// a force or a moment; nil where the hold tells none.
	Difficulty *Summary

	Decisive *Decisive // what leaves the verdict open; nil where it is settled, or nothing is decisive
	// Split says where the variance of the effect comes from; nil where some
	// body cannot take the posture in some draw, or nothing but people is drawn.
	Split *VarianceSplit

	verdict Verdict
	medians []float64 // see MedianAt; sorted
	people  []float64 // quantiles over people, medians over the draws, in the claim's unit
}

// Under is what the draws say under another rule by which the changed body may place its
// arms.
type Under struct {
	Verdict                Verdict // of the draws, OpenAssumptions where too few agree
	Effect                 Summary // over the draws: the median effect, in the claim's unit
	NeverRises, NeverFalls bool    // as in Draws
}

// VarianceSplit is the shares of an effect's variance that come from people, from
// the assumptions and the survey, and from what these do differently to different
// people. They add up to 1.
type VarianceSplit struct {
	People      float64
	Assumptions float64
	Both        float64
}

// MedianAt returns a quantile, over the draws, of the median effect in the claim's unit,
// infinite where the posture becomes impossible or possible for most; NaN where nobody
// takes the posture in any draw.
func (d *Draws) MedianAt(p float64) float64 { return montecarlo.Quantile(d.medians, p) }

// Medians are the median effects of the draws in the claim's unit, increasing, without
// those of draws in which nobody takes the posture. They are not to be written to.
func (d *Draws) Medians() []float64 { return d.medians }

// PeopleAt returns a quantile over people, the median of it over the draws, in the
// claim's unit.
func (d *Draws) PeopleAt(p float64) float64 { return montecarlo.Quantile(d.people, p) }

// PeopleBins returns how people spread over equal bins from low to high, in the claim's
// unit, as shares of those that count; what is outside is left out.
func (d *Draws) PeopleBins(low, high float64, bins int) []float64 {
	shares := make([]float64, bins)
	below := d.PeopleBelow(low)
	for i := range shares {
		upto := d.PeopleBelow(low + (high-low)*float64(i+1)/float64(bins))
		shares[i], below = upto-below, upto
	}
	return shares
}

// PeopleBelow returns the share of people below x, in the claim's unit: between two quantiles in
// proportion.
func (d *Draws) PeopleBelow(x float64) float64 {
	share := 0.0
	for k := range len(d.people) - 1 {
		switch low, high := d.people[k], d.people[k+1]; {
		case !(x > low): // nor where it is not known
		case x >= high:
			share++
		case !infinite(low) && !infinite(high):
			share += (x - low) / (high - low)
		}
	}
	return share / float64(len(d.people)-1)
}

// n is how many draws there are.
func (d *outer) n() int { return len(d.read) * len(d.read[0]) }

// Typical returns the assumptions of the draw that is nearest to the middle of all, in
// what one of the claim's populations needs before and after under one of the models that
// judge, and in the effect.
func (r *Result) Typical(model, population int) assume.Set {
	d := r.draws
	list, own, told := d.all(model, population), math.NaN(), 10.0 // how much more what is told beside the people counts
	k, each := linear.MiddleOf(
		linear.Rank(names.Each(list, func(r *reading) float64 { return r.before }), told, own),
		linear.Rank(names.Each(list, func(r *reading) float64 { return r.after }), told, own),
		linear.Rank(names.Each(list, func(r *reading) float64 { return r.median }), 1, own),
	), len(d.points[0])
	return d.points[k/each][k%each].set
}

// Assumed are the assumptions of up to so many of the draws, which stand for all.
func (r *Result) Assumed(most int) (sets []assume.Set) {
	each := len(r.draws.points[0])
	n := len(r.draws.points) * each
	for i := range min(most, n) {
		k := i * n / min(most, n)
		sets = append(sets, r.draws.points[k/each][k%each].set)
	}
	return sets
}

// Drawn reports whether there was anything to draw: without, all draws are the central
// assumptions, over people of several replicates.
func (r *Result) Drawn() bool { return !r.draws.fixed }

// centred takes out of values, by replicate one after another, how the replicates'
// means differ: what people of one replicate have in common is no uncertainty, but how
// finely people were drawn. With it comes the standard error that it leaves in the mean.
// Values that are not all finite stay as they are.
func (d *outer) centred(values []float64) (_ []float64, standardError float64) {
	n := len(values) / len(d.read)
	var means []float64
	for r := range d.read {
		means = append(means, linear.Mean(values[r*n:(r+1)*n]))
	}
	mean, deviation := linear.MeanStdDev(means)
	if math.IsNaN(deviation) {
		return values, math.NaN()
	}
	for k := range values {
		values[k] += mean - means[k/n]
	}
	return values, deviation / math.Sqrt(float64(len(means)))
}

// summary reports on one population, or on all together where l is their number.
func (d *outer) summary(l, g int) *Draws {
	c, list := d.t.claim, d.all(l, g)
	s := &Draws{N: len(list), Verdicts: map[Verdict]int{}}
	for _, r := range list {
		s.Verdicts[r.verdict]++
	}
	s.verdict, s.Agreement = d.settle(l, g)
	for k := 0; k < len(list); k += len(d.read[0]) {
		most := slices.MaxFunc(list[k:k+len(d.read[0])], func(a, b *reading) int { return a.bodies - b.bodies })
		s.Bodies += most.bodies
	}
	if c.Contrast != nil {
		s.Bodies *= 2 // of either group as many
	}
	share := func(of func(verdict.Shares) float64) Summary {
		return band(names.Each(list, func(r *reading) float64 { return of(r.shares) }))
	}
	s.AsClaimed = share(func(s verdict.Shares) float64 { return s.Claimed(c.Expect) })
	s.TooSmall = share(func(s verdict.Shares) float64 { return s.Zero })
	s.Against = share(func(s verdict.Shares) float64 { return s.Against(c.Expect) })
	s.Greater = band(names.Each(list, func(r *reading) float64 { return r.greater }))
	s.Before = band(names.Each(list, func(r *reading) float64 { return r.before }))
	s.After = band(names.Each(list, func(r *reading) float64 { return r.after }))
	medians, _ := d.centred(names.Each(list, func(r *reading) float64 { return r.median }))
	if d.t.besideDifficulty() {
		difficulties, _ := d.centred(names.Each(list, func(r *reading) float64 { return r.difficulty }))
		difficulty := band(difficulties)
		s.Difficulty = &difficulty
	}
	percents, _ := d.centred(names.Each(list, func(r *reading) float64 { return r.percent }))
	s.Effect, s.Percent = band(medians), band(percents)
	s.medians, s.DrawingError = d.centred(names.Each(list, func(r *reading) float64 { return r.inUnit(c) }))
	s.medians = numbers(s.medians)
	s.People.P5 = band(names.Each(list, func(r *reading) float64 { return r.p5 })).P50
	s.People.P50 = s.Effect.P50
	s.People.P95 = band(names.Each(list, func(r *reading) float64 { return r.p95 })).P50
	s.People.Mean = math.NaN()
	for k := range spreadSteps + 1 {
		s.people = append(s.people, band(names.Each(list, func(r *reading) float64 { return float64(r.spread[k]) })).P50)
	}
	s.NeverRises = d.agreed(l, g, func(r *reading) bool { return d.t.up(r.shares) <= 1-c.Share })
	s.NeverFalls = d.agreed(l, g, func(r *reading) bool { return d.t.down(r.shares) <= 1-c.Share })
	for _, rule := range d.t.others() {
		if g == len(d.t.groups) {
			break
		}
		if s.Under == nil {
			s.Under = map[scenario.PostureRule]Under{}
		}
		s.Under[rule] = Under{
			Verdict: d.under(l, g, rule), Effect: d.underEffect(list, rule),
			NeverRises: d.agreed(l, g, func(r *reading) bool { return d.t.up(r.under[rule].shares) <= 1-c.Share }),
			NeverFalls: d.agreed(l, g, func(r *reading) bool { return d.t.down(r.under[rule].shares) <= 1-c.Share }),
		}
	}
	if g < len(d.t.groups) || g == 1 { // who is alone is all
		s.Decisive = d.decided[l][min(g, len(d.t.groups)-1)]
	}
	survey := d.survey[l][g]
	s.SurveyError, s.SurveyShareError = survey.median, survey.share
	return s
}

// up is the share of bodies whose demand rises by what matters; down that of those whose
// falls.
func (t *test) up(s verdict.Shares) float64 {
	if t.sign > 0 {
		return s.Plus
	}
	return s.Minus
}

func (t *test) down(s verdict.Shares) float64 {
	return t.up(verdict.Shares{Plus: s.Minus, Zero: s.Zero, Minus: s.Plus})
}

// under returns the verdict that the draws agree on under a rule; OpenAssumptions where
// they do not.
func (d *outer) under(l, g int, rule scenario.PostureRule) Verdict {
	for v := range verdict.NumVerdicts {
		if d.agreed(l, g, func(r *reading) bool { return d.t.claim.ruled(r.under[rule].shares) == v }) {
			return v
		}
	}
	return OpenAssumptions
}

// underEffect is the median effect under a rule, over the draws.
func (d *outer) underEffect(list []*reading, rule scenario.PostureRule) Summary {
	medians, _ := d.centred(names.Each(list, func(r *reading) float64 { return r.under[rule].median }))
	return band(medians)
}

// agreed reports whether the draws agree on something.
func (d *outer) agreed(l, g int, on func(*reading) bool) bool {
	agreeing := make([]int, len(d.read))
	for r, draws := range d.read {
		for k := range draws {
			if on(&draws[k][l][g]) {
				agreeing[r]++
			}
		}
	}
	_, low, _ := montecarlo.Agreement(agreeing, len(d.read[0]), lookConfidence)
	return low > verdict.DrawsThatMustAgree
}

// whole reports on all people together; what is agreed on must be so in every population.
func (d *outer) whole(l int, groups []Outcome) *Draws {
	s := d.summary(l, len(groups))
	s.Split = d.split(l)
	s.NeverRises, s.NeverFalls = true, true
	for k, g := range groups {
		s.NeverRises, s.NeverFalls = s.NeverRises && g.Draws.NeverRises, s.NeverFalls && g.Draws.NeverFalls
		for rule, u := range g.Draws.Under {
			if k == 0 {
				if s.Under == nil {
					s.Under = map[scenario.PostureRule]Under{}
				}
				s.Under[rule] = u
				continue
			}
			all := s.Under[rule]
			s.Under[rule] = Under{
				verdict.Together([]Verdict{all.Verdict, u.Verdict}), Summary{}, all.NeverRises && u.NeverRises, all.NeverFalls && u.NeverFalls,
			}
		}
	}
	list := d.all(l, len(groups))
	for rule, u := range s.Under {
		u.Effect = d.underEffect(list, rule)
		s.Under[rule] = u
	}
	return s
}

// split takes the variance of the effect apart, over all populations together: that they
// differ is a part of how people differ. It is the mean over the replicates.
func (d *outer) split(l int) *VarianceSplit {
	var people, both, assumptions float64
	groups := d.t.groups
	for _, crossed := range d.crossed {
		parts := make([]drivers.Components, len(groups))
		mean := 0.0
		for g, c := range crossed[l] {
			if c == nil {
				return nil
			}
			parts[g] = c.Components()
			mean += float64(groups[g].Share * parts[g].Mean)
		}
		shared := 0.0
		for g, p := range parts {
			w := groups[g].Share
			people += float64(w * (p.Columns + float64((p.Mean-mean)*(p.Mean-mean))))
			both += float64(w * (p.Both + p.Rows))
			// A draw of the assumptions is the same for all populations: what it moves
			// in one and in the other counts as far as it goes together.
			for h := range parts {
				shared += float64(w * groups[h].Share * linear.Covariance(crossed[l][g].Means(), crossed[l][h].Means()))
			}
		}
		assumptions += shared
		both -= shared
	}
	both = max(both, 0)
	total := people + both + assumptions
	if !(total > 0) {
		return nil
	}
	return &VarianceSplit{People: people / total, Assumptions: assumptions / total, Both: both / total}
}

// Look is what the draws say of one population under one model when so many of them have
// been judged.
type Look struct {
	People  string
	Model   string
	Draws   int
	Verdict Verdict
	Enough  bool // whether more draws could hardly change the verdict
	// Way is how most of them go, and Size the verdict that most of them give with what
	// it says of the size, each with the share of the draws behind it.
	Way, Size Agreed
}

// Agreed is a verdict and the share of the draws behind it, with its interval at the
// confidence of one look.
type Agreed struct {
	On    Verdict
	Share Share
}

// Looks judges as many draws as Test may come to, and tells what Test sees on the way at
// each look at them, by look, model and population; Test stops at the first look at which
// they are enough for every verdict. It is for studies of the verdict itself: nobody is held
// up at the central assumptions, and N is not asked for. Its errors are those of Test.
func Looks(ctx context.Context, c *Claim, o Options) ([][]Look, error) {
	o.N = max(o.N, 1)
	if err := o.check(); err != nil {
		return nil, err
	}
	t, err := prepare(c)
	if err != nil {
		return nil, err
	}
	d := t.newOuter(&o)
	var looks [][]Look
	for from, upto := 0, o.first(); len(looks) <= MostDoublings; from, upto = upto, 2*upto {
		if err := d.extend(ctx, from, upto, &o); err != nil {
			return nil, err
		}
		var at []Look
		for l := range t.models {
			for g := range t.told() {
				replicates := d.verdicts(l, g)
				look := Look{People: t.toldOf(g), Model: t.models[l].String(), Draws: d.n()}
				look.Verdict, _ = d.settle(l, g)
				look.Enough = verdict.Enough(replicates, lookConfidence)
				look.Way.On, look.Way.Share = verdict.Frequent(replicates, lookConfidence, Verdict.Direction)
				look.Size.On, look.Size.Share = verdict.Frequent(replicates, lookConfidence, func(v Verdict) Verdict { return v })
				at = append(at, look)
			}
		}
		looks = append(looks, at)
	}
	return looks, nil
}
