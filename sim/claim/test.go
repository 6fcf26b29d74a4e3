package claim

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/strength"
)

// Options say how thoroughly a claim is tested. The zero value is not usable;
// start from DefaultOptions.
type Options struct {
	N           int    // bodies in all, at the default assumptions
	MaxN        int    // up to which N doubles while a share is too close to call
	Seed        uint64 // any value; the same seed gives the same bytes
	Workers     int    // goroutines; 0 takes one a processor. It changes no result
	Draws       int    // assumption draws; 0 tests at the central assumptions only
	DrawBodies  int    // bodies of each population behind every assumption draw
	Assumptions assume.Uncertainty

	// Progress, where set, is told how far a stage is; it is called from one
	// goroutine.
	Progress func(stage string, done, total int)
	// Open, where set, is given every row of the final run.
	Open func(layout Layout, rows int) (Sink, error)
}

// The fewest draws and bodies that the verdict rule accepts.
const (
	LeastDraws      = 128
	LeastDrawBodies = 2000
)

// DefaultOptions returns the options of the command line.
func DefaultOptions() Options {
	return Options{
		N: 100_000, MaxN: 1_600_000, Seed: 1, Draws: LeastDraws, DrawBodies: 2048,
		Assumptions: assume.DefaultUncertainty(),
	}
}

// check reports what is wrong with the options.
func (o *Options) check() error {
	switch {
	case o.N < 1:
		return &FieldError{"n", fmt.Sprintf("found %d, must be at least 1", o.N)}
	case o.Workers < 0:
		return &FieldError{"workers", fmt.Sprintf("found %d, must be at least 0", o.Workers)}
	case o.Draws != 0 && o.Draws < LeastDraws:
		return &FieldError{"assumption-draws", fmt.Sprintf("found %d, the verdict rule asks for at least %d, or 0 for none", o.Draws, LeastDraws)}
	case o.Draws != 0 && o.DrawBodies < LeastDrawBodies:
		return &FieldError{"bodies a draw", fmt.Sprintf("found %d, the verdict rule asks for at least %d", o.DrawBodies, LeastDrawBodies)}
	}
	return nil
}

// IsInput reports whether an error of Test is a fault in the claim or the
// options, rather than a failure.
func IsInput(err error) bool {
	var field *FieldError
	var rare *anthro.RareError
	return errors.As(err, &field) || errors.As(err, &rare)
}

// group is one population of the claim with its part of the bodies.
type group struct {
	people    People
	selection *anthro.Selection
	weight    float64 // share of all bodies
	rows      int
	builders  []*body.Builder // one for each distinct body model of the claim
}

// lane is one model of the claim.
type lane struct {
	model   Model
	builder int           // index into each group's builders
	posture []hold.Demand // of the posture, beside the quantity, in the table
}

// test is a claim made ready: everything that does not change from body to body.
type test struct {
	claim  *Claim
	hold   *hold.Hold
	next   *hold.Hold // of the changed body; mostly the same
	groups []*group
	lanes  []lane
	sign   float64 // of an effect in the expected direction
	// hardest is what the quantity of a body counts as that cannot take the
	// posture: +Inf, or −Inf where the posture gives out at the low end, as arms do
	// that are too short however close to the trunk.
	hardest float64
	asked   []hold.Demand
	rules   []PostureRule // those that the hold leaves open
	judged  bool          // whether the hold weighs what it asks against strength

	before, after hold.Posture // but for where the arms are
}

// sideDemands are reported beside the claim's own quantity where the model
// gives them. A hold fixed by balance asks for little, so all of it is.
var sideDemands = []hold.Demand{
	hold.RequiredForce, hold.Difficulty, hold.ArmAngle, hold.HandSpacing,
	hold.ShoulderMoment, hold.WaistMoment,
}

// prepare checks the claim and loads what it names.
func prepare(c *Claim) (*test, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	t := &test{claim: c, sign: 1}
	t.hold, _ = hold.Parse(c.Hold)
	t.next = t.hold
	if c.Change != nil && c.Change.Hold != "" {
		t.next, _ = hold.Parse(c.Change.Hold)
	}
	if c.Expect == Decrease {
		t.sign = -1
	}
	t.hardest = math.Inf(1)
	if c.Quantity == hold.FootShare || c.Quantity == hold.ArmTrunkAngle {
		t.hardest = math.Inf(-1)
	}
	type bodyModel struct {
		masses   body.Masses
		segments string
	}
	var models []bodyModel
	for _, m := range c.Models {
		key := bodyModel{m.Masses, m.Segments}
		at := len(models)
		for i := range models {
			if models[i] == key {
				at = i
			}
		}
		if at == len(models) {
			models = append(models, key)
		}
		t.lanes = append(t.lanes, lane{m, at, t.posture(m.Statics)})
	}
	var total float64
	for _, p := range c.People {
		total += p.Weight
	}
	for _, p := range c.People {
		selection, err := c.selection(p)
		if err != nil {
			return nil, err
		}
		population := selection.Population
		g := &group{people: p, weight: p.Weight / total, selection: selection}
		for _, m := range models {
			builder, err := body.NewBuilder(population, m.masses, m.segments)
			if err != nil {
				return nil, &FieldError{"models", err.Error()}
			}
			g.builders = append(g.builders, builder)
		}
		t.groups = append(t.groups, g)
	}
	t.judged = hasAny(t.hold, hold.Difficulty)
	for rule := range NumPostureRules {
		if t.hold.Places(rule.rule()) && t.next.Places(rule.rule()) {
			t.rules = append(t.rules, rule)
		}
	}
	side := sideDemands
	for _, m := range t.hold.Models {
		if len(t.rules) == 1 {
			side = append(side[:len(side):len(side)], t.hold.Asks(m)...)
		}
	}
	for _, d := range append(side[:len(side):len(side)], c.Quantity) {
		if hasAny(t.hold, d) && hasAny(t.next, d) && !slices.Contains(t.asked, d) {
			t.asked = append(t.asked, d)
		}
	}
	t.before = hold.Posture{Legs: c.Legs, Pose: c.Pose, Tilt: c.Tilt}
	t.after = t.before
	if t.next != t.hold {
		t.after = hold.Posture{}
	}
	if ch := c.Change; ch != nil {
		if ch.Legs != nil {
			t.after.Legs = *ch.Legs
		}
		if ch.Pose != nil {
			t.after.Pose = *ch.Pose
		}
		if ch.Tilt != nil {
			t.after.Tilt = *ch.Tilt
		}
	}
	return t, nil
}

// selection returns those of the people whom the claim is about.
func (c *Claim) selection(p People) (*anthro.Selection, error) {
	population := p.Own
	if population == nil {
		var err error
		if population, err = anthro.Load(p.Population); err != nil {
			return nil, &FieldError{"people", err.Error()}
		}
	}
	selection := &anthro.Selection{Population: population, Where: c.Where}
	if len(c.Means) == 0 {
		return selection, nil
	}
	weighted, err := selection.Reweight(c.Means)
	var rare *anthro.RareError
	switch {
	case errors.As(err, &rare):
		return nil, err
	case err != nil:
		return nil, &FieldError{"people.means", err.Error()}
	}
	return &anthro.Selection{Population: weighted}, nil
}

// tellOfPeople adds to a result what is to be known of people who are not just
// drawn from a survey.
func (t *test) tellOfPeople(res *Result) {
	for _, g := range t.groups {
		p := g.selection.Population
		if p.Reweighted != nil {
			if res.Reweighted == nil {
				res.Reweighted = map[string]*anthro.Reweighted{}
			}
			res.Reweighted[p.Name] = p.Reweighted
		}
		if note := p.Note(); note != "" {
			res.Warnings = append(res.Warnings, note)
		}
	}
}

// asksFor reports whether both holds give the demand under the model. The
// difficulties of two models cannot be compared.
func (t *test) asksFor(m hold.Model, d hold.Demand) bool {
	if d == hold.Difficulty && Under(t.hold, m) != Under(t.next, m) {
		return false
	}
	return t.hold.AsksFor(Under(t.hold, m), d) && t.next.AsksFor(Under(t.next, m), d)
}

// allot gives each group its part of n bodies, the whole being n.
func (t *test) allot(n int) {
	var share float64
	given := 0
	for _, g := range t.groups {
		share += g.weight
		upto := int(math.Round(share * float64(n)))
		g.rows = upto - given
		given = upto
	}
}

// blocks lists the blocks of all groups in order.
func (t *test) blocks() []blockOf {
	var list []blockOf
	for g := range t.groups {
		for b := range montecarlo.Blocks(t.groups[g].rows) {
			list = append(list, blockOf{g, b})
		}
	}
	return list
}

type blockOf struct{ group, block int }

// Purpose names the random stream of a population's bodies, so that every claim
// and command with the same seed meets the same people.
func Purpose(population string) string { return "people/" + population }

// pair holds the first and the changed bodies of a block with what the hold
// asks of them.
type pair struct {
	before, after           *body.Columns
	capBefore, capAfter     *hold.Capacity
	ratio                   []strength.Ratio
	first                   *hold.Result
	changed                 [NumPostureRules]*hold.Result // nil under a rule that the hold does not leave open
	room                    []float64                     // for the posture of the changed bodies
	assumeFirst, assumeNext assume.Set
}

func (t *test) newPair(rows int) *pair {
	p := &pair{
		before: body.New(rows), after: body.New(rows),
		capBefore: hold.NewCapacity(rows), capAfter: hold.NewCapacity(rows),
		ratio: make([]strength.Ratio, rows),
		first: hold.NewResult(rows, t.asked...),
		room:  make([]float64, rows),
	}
	for _, rule := range t.rules {
		p.changed[rule] = hold.NewResult(rows, t.asked...)
	}
	return p
}

// only returns the pair with room for no other demands than those given.
func (p *pair) only(kept []hold.Demand) *pair {
	s := *p
	s.first = p.first.Only(kept)
	for rule, changed := range p.changed {
		if changed != nil {
			s.changed[rule] = changed.Only(kept)
		}
	}
	return &s
}

// build makes the first and the changed bodies of a block of people.
func (t *test) build(p *pair, people *anthro.People, builder *body.Builder, a *assume.Set) error {
	p.assumeFirst, p.assumeNext = *a, *a
	builder.Build(p.before, people, a)
	strength.OfReference(p.capBefore, p.before, a)
	change := t.claim.Change
	for name, value := range change.Assume {
		id, _ := assume.Parse(name)
		p.assumeNext[id] = value
	}
	if err := change.Body.Apply(p.after, p.before, a); err != nil {
		return &FieldError{"change", err.Error()}
	}
	strength.OfReference(p.capAfter, p.before, &p.assumeNext)
	if !t.judged || change.Body.Scale() == 1 && len(change.Body.Mass) == 0 {
		return nil // the changed body is as strong as the first
	}
	change.Strengthen(p.capAfter, p.ratio, p.before, p.after, a)
	return nil
}

// solve holds both bodies up under one statics model; the changed one under
// every posture rule that the hold leaves open, or only under the claim's own
// where all is false.
func (t *test) solve(p *pair, model hold.Model, all bool) {
	c := t.claim
	t.hold.Solve(p.first, p.before, p.capBefore, t.before, Under(t.hold, model), &p.assumeFirst)
	next := t.after
	next.Angle, next.Spacing = p.first.Value[hold.ArmAngle], p.first.Value[hold.HandSpacing]
	if arms := c.Change.Arms; arms != nil {
		arms.Place(&next, p.first, p.room)
		t.hold.Solve(p.changed[c.Change.Posture], p.after, p.capAfter, next, model, &p.assumeNext)
		return
	}
	for _, rule := range t.rules {
		if !all && rule != c.Change.Posture {
			continue
		}
		next.Rule = rule.rule()
		t.next.Solve(p.changed[rule], p.after, p.capAfter, next, Under(t.next, model), &p.assumeNext)
	}
}

// effect returns the change of the quantity of row i in its own unit and whether
// the row counts: it does not where the first body cannot take the posture and
// the changed one cannot either. Becoming impossible is infinitely far in the
// harder direction, becoming possible in the easier one.
func (t *test) effect(first, changed *hold.Result, i int) (e float64, counts bool) {
	switch before, after := first.Possible[i], changed.Possible[i]; {
	case before && after:
		d := t.claim.Quantity
		return changed.Value[d][i] - first.Value[d][i], true
	case before:
		return t.hardest, true
	case after:
		return -t.hardest, true
	}
	return 0, false
}

// Test tests the claim.
//
// It draws N people (doubling N while a share is too close to call, up to
// MaxN), holds each up before and after, and applies the verdict rule; then it
// repeats the judgement over the assumption draws on the same first bodies.
// The result depends on the claim and on N, MaxN, Seed, Draws, DrawBodies and
// Assumptions alone. ctx stops it.
func Test(ctx context.Context, c *Claim, o Options) (*Result, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	t, err := prepare(c)
	if err != nil {
		return nil, err
	}
	if c.Contrast != nil {
		return t.contrast(ctx, o)
	}
	for n := o.N; ; n *= 2 {
		run, err := t.run(ctx, n, &o)
		if err != nil {
			return nil, err
		}
		last := run.decided() || 2*n > o.MaxN
		if !last {
			run.abandon()
			continue
		}
		draws, err := t.drawAssumptions(ctx, &o)
		if err != nil {
			run.abandon()
			return nil, err
		}
		if err := run.numbers(); err != nil {
			run.abandon()
			return nil, err
		}
		if err := run.keep(); err != nil {
			return nil, err
		}
		return t.result(run, draws, &o), nil
	}
}
