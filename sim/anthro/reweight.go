package anthro

import (
	"fmt"
	"slices"
	"strings"

	"counterpoise/sim/fault"
	"counterpoise/sim/linear"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/names"

	"gonum.org/v1/gonum/mat"
)

// A Target is something that a quantity has among people, in SI units: a mean, a
// standard deviation, or a share of the people within a range.
type Target struct {
	Of    Quantity
	Kind  TargetKind
	Value float64 // of a share from 0 to 1
	Low   float64 // of a share: the range
	High  float64
}

// TargetKind is what a target speaks of.
type TargetKind int

// The kinds of targets. A standard deviation needs the mean of the same quantity
// beside it.
const (
	MeanOf TargetKind = iota
	DeviationOf
	ShareOf
	numTargetKinds
)

// String returns the target as in "mean mass 60 kg".
func (t Target) String() string {
	switch t.Kind {
	case DeviationOf:
		return strings.TrimSpace(fmt.Sprintf("standard deviation of %s %.4g %s", t.Of, t.Value, t.Of.Unit()))
	case ShareOf:
		return fmt.Sprintf("share %.4g with %s", t.Value, t.within())
	}
	return strings.TrimSpace(fmt.Sprintf("mean %s %.4g %s", t.Of, t.Value, t.Of.Unit()))
}

func (t Target) within() Range { return Range{t.Of, t.Low, t.High} }

// same reports whether two targets speak of the same thing, whatever they want of it.
func (t Target) same(o Target) bool {
	return t.Of == o.Of && t.Kind == o.Kind && (t.Kind != ShareOf || t.Low == o.Low && t.High == o.High)
}

// Check reports what is wrong with a target by itself.
func (t Target) Check() error {
	switch {
	case t.Kind < 0 || t.Kind >= numTargetKinds:
		return fmt.Errorf("no target has the kind %d", int(t.Kind))
	case math.IsNaN(t.Value) || math.IsInf(t.Value, 0):
		return fmt.Errorf("%s: must be finite", t)
	case t.Kind == ShareOf && !(t.Low < t.High):
		return fmt.Errorf("%s: the range is the wrong way round, or no range", t)
	case t.Kind == ShareOf && !(t.Value > 0 && t.Value < 1):
		return fmt.Errorf("%s: a share must lie above 0 and below 1", t)
	case t.Kind != ShareOf && !(t.Value > 0):
		return fmt.Errorf("%s: must be positive", t)
	}
	return nil
}

// CheckTargets reports what is wrong with targets together.
func CheckTargets(list []Target) error {
	for j, t := range list {
		if err := t.Check(); err != nil {
			return err
		}
		if slices.ContainsFunc(list[:j], t.same) {
			return fmt.Errorf("%s is given twice", t)
		}
		if t.Kind == DeviationOf && meanAmong(list, t.Of) < 0 {
			return fmt.Errorf("%s needs the mean of %s as well", t, t.Of)
		}
	}
	return nil
}

// meanAmong finds the mean of a quantity among targets; −1 where there is none.
func meanAmong(list []Target, of Quantity) int {
	return slices.IndexFunc(list, func(t Target) bool { return t.Kind == MeanOf && t.Of == of })
}

// goal is a target as weights meet it: the mean of a function of the quantity.
type goal struct {
	Target
	about float64 // the mean around which a standard deviation is
	want  float64 // of the function
}

// goals puts means first, so that what is said of the rest may build on them.
func goals(list []Target) []goal {
	var out []goal
	for _, t := range list {
		g := goal{Target: t, want: t.Value}
		if t.Kind == DeviationOf {
			g.about, g.want = list[meanAmong(list, t.Of)].Value, t.Value*t.Value
		}
		out = append(out, g)
	}
	return out
}

// of replaces values of the quantity by those of the function whose mean is wanted.
func (g *goal) of(values []float64) {
	switch g.Kind {
	case DeviationOf:
		for i, x := range values {
			values[i] = (x - g.about) * (x - g.about)
		}
	case ShareOf:
		for i, x := range values {
			values[i] = 0
			if x >= g.Low && x <= g.High {
				values[i] = 1
			}
		}
	}
}

// said turns the function's mean into the target's own number.
func (g *goal) said(mean float64) Target {
	t := g.Target
	if t.Value = mean; g.Kind == DeviationOf {
		t.Value = math.Sqrt(mean)
	}
	return t
}

// Reweighted says to what people were reweighted, and at what price.
type Reweighted struct {
	Where   []Range // who was weighted
	Targets []Target
	Before  []Target // the same without weights
	// Away is how far each mean is moved, in standard deviations of the people without
	// weights; 0 of other targets.
	Away []float64
	// People is how many people the survey measured, and Selected the share of them who
	// were weighted.
	People   int
	Selected float64
	// Effective is the effective sample size of the weights, as a share of the
	// people weighted (Kish): how many unweighted people would tell as much.
	Effective float64
}

// leastEffective is the effective share below which weights speak for so few of
// the people that these are no longer a basis for what is said of others.
const leastEffective = 0.05

// The people on whom weights are found: how many are wanted, how many are drawn
// for them at most, and how few will do.
const (
	poolRows  = 1 << 16
	poolDraws = 1 << 21
	poolLeast = 2000
)

// tilt is the density of reweighted people over that of the survey's, and a way
// to draw from it. The density is exp(lambda·(f(x) - want)), up to a factor; the
// independent normals behind a person are drawn around shift instead of 0, which
// takes up all of the density that is linear in them, and rejection sees to the
// rest.
type tilt struct {
	within []Range
	goals  []goal
	lambda []float64 // by goal
	shift  [NumMeasurements]float64
	bound  float64 // on the logarithm of the density over that of the normals drawn
}

// Reweight returns the population of the selected people, weighted so that they meet
// the targets and, otherwise, differ as little as can be (entropy balancing: Hainmueller
// 2012, Political Analysis 20:25): weights exp(λ·f(x)), f being the quantities of which a
// mean is wanted, the squares around it of which a standard deviation is, and 1 within
// the ranges of which a share is. What the targets do not speak of goes along as it does
// among the survey's people; with none at all it is just the people selected.
//
// λ is found on 65,536 drawn people, always the same (fewer where hardly anyone is
// selected): what those who are drawn later have is off by no more than the standard
// error of that many. The sampler draws independent people, by rejection; the few whose
// density lies above what any of the 65,536 had are taken for as likely as that.
//
// Its errors: what CheckTargets finds; people who are resampled or reweighted
// themselves; *RareError where too few people match; *TargetsError where the targets are
// out of reach or leave an effective sample below 5 %.
func (s Selection) Reweight(targets []Target) (*Population, error) {
	return s.reweight(targets, poolRows)
}

// reweight is Reweight with weights found on so many people.
func (s Selection) reweight(targets []Target, rows int) (*Population, error) {
	survey := s.Population
	if survey.survey != nil {
		return nil, fmt.Errorf("%s is already resampled or reweighted: only a survey can be reweighted", survey.Name)
	}
	if err := CheckTargets(targets); err != nil {
		return nil, err
	}
	t := &tilt{within: s.Where, goals: goals(targets)}
	wanted := make([]float64, len(t.goals))
	for j := range t.goals {
		wanted[j] = t.goals[j].want
	}
	fault := &TargetsError{Population: survey.Name, Where: s.Where, Targets: targets}
	plain, err := s.pool(t, rows)
	if err != nil {
		return nil, err
	}
	even := make([]float64, plain.rows())
	away := make([]float64, len(t.goals))
	for j := range t.goals {
		g, column := &t.goals[j], plain.quantity[j]
		before := 0.0
		for _, x := range column {
			before += x / float64(len(column))
		}
		was := g.said(before)
		if g.Kind == DeviationOf { // around the mean that they have, not the one wanted
			mean := meanAmong(targets, g.Of)
			off := linear.Sum(plain.quantity[mean])/float64(plain.rows()) - g.about
			was.Value = math.Sqrt(max(before-float64(off*off), 0))
		}
		fault.Before = append(fault.Before, was)
		if g.Kind == MeanOf {
			away[j] = (g.Value - before) / spreadOf(column)
		}
		if low, high := slices.Min(column), slices.Max(column); !(g.want > low && g.want < high) {
			fault.Beyond, fault.Low, fault.High = &targets[j], g.said(low).Value, g.said(high).Value
			return nil, fault
		}
	}
	var ok bool
	if t.lambda, ok = balance(plain.quantity, even, wanted); !ok {
		return nil, fault
	}
	if fault.Effective = effective(plain.weigh(t, even)); !(fault.Effective >= leastEffective) {
		return nil, fault
	}
	// Those people tell little of where the weights are large. People drawn around
	// there tell more.
	t.shift = plain.slope(t, even)
	shifted, err := s.pool(t, rows)
	if err != nil {
		return nil, err
	}
	design := make([]float64, shifted.rows())
	t.undoShift(shifted.normal[:], design)
	if t.lambda, ok = balance(shifted.quantity, design, wanted); !ok {
		return nil, fault
	}
	t.shift = shifted.slope(t, design)
	density := shifted.density(t)
	t.undoShift(shifted.normal[:], density)
	t.bound = slices.Max(density)
	weighted := &Population{
		Name: survey.Name, Title: survey.Title, Sex: survey.Sex, N: survey.N,
		Provenance: survey.Provenance, Regional: survey.Regional, survey: survey, tilt: t,
		Reweighted: &Reweighted{
			Where: s.Where, Targets: targets, Before: fault.Before, Away: away, People: survey.N,
			Selected: float64(plain.rows()) / float64(plain.drawn), Effective: effective(plain.weigh(t, even)),
		},
		quantiles: &quantiles{},
	}
	return weighted, nil
}

// pool is a sample of selected people.
type pool struct {
	normal   [NumMeasurements][]float64 // the independent normals behind each
	quantity [][]float64                // by goal, the function of it whose mean is wanted
	drawn    int                        // how many were drawn for them
}

func (p *pool) rows() int { return len(p.normal[0]) }

// pool draws people, their normals shifted as the tilt says, in pairs on either side of the shift,
// so that what is linear in the normals has no noise.
func (s Selection) pool(t *tilt, rows int) (*pool, error) {
	sampler := s.newSampler(true)
	stream := montecarlo.NewStream(0, "anthro/reweight")
	behind := make([]float64, len(sampler.scratch))
	column := func(batch []float64, m int) []float64 {
		at := place(m) * batchRows
		return batch[at : at+batchRows]
	}
	normals := func(dst []float64) {
		clear(dst)
		for m, shift := range t.shift {
			column := column(dst, m)
			half := column[:batchRows/2]
			stream.Normals(half)
			for i, z := range half {
				column[i], column[i+batchRows/2] = shift+z, shift-z
			}
		}
		copy(behind, dst)
	}
	p := &pool{quantity: make([][]float64, len(t.goals))}
	for m := range p.normal {
		p.normal[m] = make([]float64, 0, rows+batchRows)
	}
	value := make([]float64, batchRows)
	for p.drawn < poolDraws && p.rows() < rows {
		sampler.draw(sampler.batch.Value, sampler.batch.Residual, 0, batchRows, normals)
		sampler.test()
		p.drawn += batchRows
		for m := range p.normal {
			p.normal[m] = appendMatching(p.normal[m], column(behind, m), sampler.match)
		}
		for j := range t.goals {
			t.goals[j].Of.Values(value, sampler.batch)
			t.goals[j].of(value)
			p.quantity[j] = appendMatching(p.quantity[j], value, sampler.match)
		}
	}
	if p.rows() < poolLeast {
		return nil, &RareError{Population: s.Population.Name, Where: s.Where, Matched: p.rows(), Drawn: p.drawn}
	}
	return p, nil
}

func appendMatching(to, from []float64, match []bool) []float64 {
	for i, ok := range match {
		if ok {
			to = append(to, from[i])
		}
	}
	return to
}

// density returns the logarithm of the density of reweighted people over that of
// the survey's, up to a constant.
func (p *pool) density(t *tilt) []float64 {
	density := make([]float64, p.rows())
	for j, l := range t.lambda {
		for i, x := range p.quantity[j] {
			density[i] += float64(l * (x - t.goals[j].want))
		}
	}
	return density
}

// weigh returns the weights, adding up to 1, of people who have by their design
// weights with the logarithm given.
func (p *pool) weigh(t *tilt, design []float64) []float64 {
	weight := p.density(t)
	linear.Add(weight, design)
	normalise(weight)
	return weight
}

// slope returns the coefficients of the normals in a weighted linear regression
// of the density's logarithm on them: what is drawn around that shift has nearly
// the density wanted.
func (p *pool) slope(t *tilt, design []float64) [NumMeasurements]float64 {
	var slope [NumMeasurements]float64
	if len(t.lambda) == 0 {
		return slope // rounding alone
	}
	const n = int(NumMeasurements)
	weight := p.weigh(t, design)
	// Every column less its mean and times the root of the weight: products of such
	// columns are weighted covariances.
	reduce := func(column []float64) []float64 {
		mean := linear.Dot(weight, column)
		reduced := make([]float64, len(column))
		for i, x := range column {
			reduced[i] = math.Sqrt(weight[i]) * (x - mean)
		}
		return reduced
	}
	reduced := reduce(p.density(t))
	var normal [n][]float64
	squares, products := mat.NewSymDense(n, nil), make([]float64, n)
	for a := range n {
		normal[a] = reduce(p.normal[a])
		products[a] = linear.Dot(normal[a], reduced)
		for b := range a + 1 {
			squares.SetSym(a, b, linear.Dot(normal[a], normal[b]))
		}
	}
	factor, ok := linear.Factorize(squares)
	if !ok {
		return slope // no shift at all is right as well, only slower
	}
	copy(slope[:], factor.Solve(products))
	return slope
}

// apply shifts a batch of normals, and starts the logarithm of the density over
// that of what is so drawn.
func (t *tilt) apply(column func(int) []float64, density []float64) {
	clear(density)
	for m, shift := range t.shift {
		normal := column(m)
		for i := range normal {
			normal[i] += shift
			density[i] -= float64(shift * normal[i])
		}
	}
}

// accept marks those people of a sampler's batch who are kept: the share that
// their density is of the bound, by the normals of the last column.
func (t *tilt) accept(s *Sampler) {
	for j := range t.goals {
		g := &t.goals[j]
		g.Of.Values(s.quantity, s.batch)
		g.of(s.quantity)
		for i, x := range s.quantity {
			s.density[i] += float64(t.lambda[j] * (x - g.want))
		}
	}
	chance := s.scratch[place(pick)*batchRows:][:batchRows]
	for i, density := range s.density {
		s.match[i] = s.match[i] && uniform(chance[i]) < math.Exp(density-t.bound)
	}
}

// undoShift adds to dst, row by row, the logarithm of the density of the survey's
// normals over that of the shifted ones, up to a constant.
func (t *tilt) undoShift(normal [][]float64, dst []float64) {
	for m, shift := range t.shift {
		for i, z := range normal[m][:len(dst)] {
			dst[i] -= float64(shift * z)
		}
	}
}

// TargetsError tells that people cannot be reweighted to targets, or hardly.
type TargetsError struct {
	Population string
	Where      []Range
	Targets    []Target
	Before     []Target // of the people without weights, as far as known
	// Beyond is a target that lies outside of the range Low..High of the people, or
	// nil.
	Beyond    *Target
	Low, High float64
	// Effective is the share of the people that the weights would leave, by Kish's
	// effective sample size; 0 where no weights meet the targets together.
	Effective float64
}

func (e *TargetsError) Error() string {
	who := e.Population
	for i, r := range e.Where {
		who += map[bool]string{true: " where ", false: " and "}[i == 0] + r.String()
	}
	if b := e.Beyond; b != nil {
		return strings.TrimSpace(fmt.Sprintf("%s is out of reach: all of %s people drawn from %s have %.4g..%.4g %s", b, fault.Count(poolRows), who, e.Low, e.High, b.Of.Unit()))
	}
	text := fmt.Sprintf("people of %s cannot be weighted to %s", who, strings.Join(names.Of(e.Targets), " and "))
	if e.Effective > 0 {
		text += fmt.Sprintf(": only %.2g %% of them would count, at least %g %% must", 100*e.Effective, 100*leastEffective)
	} else {
		text += " together"
	}
	return text + "; without weights they have " + strings.Join(names.Of(e.Before), ", ")
}
