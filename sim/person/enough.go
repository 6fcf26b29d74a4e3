package person

import (
	"cmp"
	"context"
	"errors"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/body"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/strength"
)

// Asks is what gives out in a hold, and what results of tests would be enough: of an
// untrained adult of that sex, size, build and age, or of the person by tests that were
// done. It is by equilibrium, over bodies, assumptions and strength.
type Asks struct {
	// GivesOut are the groups that give out first, or nearly, from the most frequent on.
	GivesOut []GivesOut
	// Enough says what results would be enough, all together, a group each: those of
	// GivesOut that a test can show. The first that is not tested is the test to do next.
	Enough []Enough
	// NoTest are those of GivesOut that no test here can show.
	NoTest []muscle.Group
	// Likely are those of GivesOut of which anybody untested has enough as likely as not:
	// no result of a test is asked for.
	Likely []muscle.Group
}

// Next is the test to do next; nil where none is left, or nobody knows what gives out.
func (a *Asks) Next() *Enough {
	if a == nil {
		return nil
	}
	for i := range a.Enough {
		if e := &a.Enough[i]; !e.Shown && !e.Tested {
			return e
		}
	}
	return nil
}

// Own is the hold in the person's own strength, as the tests leave it open.
type Own struct {
	Difficulty Spread  // times the person's own strength
	Could      float64 // share of draws in which that is at most 1
	// Untested are those that give out whose strength no test read or bounded. While there
	// is one, no time is promised.
	Untested []muscle.Group
	// Seconds is for how long the hold can be kept up by the relations of endurance, 0 in
	// draws with a difficulty above 1; nil where something is untested.
	Seconds *Spread
	// Shown is for how long the tests show this very hold, s; 0 where they do not. It is the least
	// that can be held: nobody says that a test went to the end.
	Shown float64
}

// GivesOut is a group whose use comes within near of the difficulty in a share of draws.
type GivesOut struct {
	Group muscle.Group
	Share float64
}

// A group gives out first or nearly where it is used this much of the most used one, in
// this share of the draws.
const (
	near   = 0.95
	seldom = 0.2
)

// Enough is the result of one test by which its group would give what the hold asks of it
// in half of the draws, the posture as it is.
type Enough struct {
	Group  muscle.Group
	Kind   Kind
	Side   Side    // of the test that was done
	Way    Way     // of a scale
	Angle  float64 // likewise, rad
	Tested bool    // else the test has not been done yet
	Held   float64 // s, in the test that was done; 0 on a scale
	Shown  bool    // what was tested is enough: no more is needed
	// Seconds is the time, at the tested load or at none; Kilograms what the scale reads,
	// or what must be added at the tested time. +Inf where none that is sensible is
	// enough, NaN where the test has no such result.
	Seconds, Kilograms float64
}

// What is sensible to ask of a test: beyond, strength is not what a time shows.
const mostAsked = 180 // s

// read reports whether a test reads or bounds a group's strength: moments only a scale.
func (t *Tests) read(g muscle.Group) bool {
	switch g {
	case muscle.Grip:
		if len(t.Hangs) > 0 {
			return true
		}
	case muscle.ArmPush:
		if len(t.Handstands) > 0 {
			return true
		}
	}
	return slices.ContainsFunc(t.Scales, func(s Scale) bool { return s.Way.Group() == g })
}

// byEquilibrium is what the hold asks of everyone drawn; nil where nobody knows what its
// muscles can give, or no simulated body can take the posture.
func (r *Result) byEquilibrium() *hold.Result {
	m := r.Under(hold.Equilibrium)
	if m == nil || m.PossibleAll == 0 {
		return nil
	}
	all := m.All
	difficulty := all.Value[hold.Difficulty]
	for i, possible := range all.Possible {
		if difficulty == nil || possible && math.IsNaN(difficulty[i]) {
			return nil
		}
	}
	return all
}

// ownStrength works out what the person's own strength makes of the hold that gives out
// so.
func (s *shown) ownStrength(all *hold.Result, out []GivesOut) *Own {
	known, _ := possible(all, hold.Difficulty, nil)
	o := &Own{Could: shareBelow(known, math.Nextafter(1, 2)), Difficulty: spreadOf(known)}
	for _, out := range out {
		if !s.person.Tests.read(out.Group) {
			o.Untested = append(o.Untested, out.Group)
		}
	}
	slices.Sort(o.Untested)
	if o.Untested == nil {
		spread := spreadOf(s.lasts(all))
		o.Seconds, o.Shown = &spread, s.shownFor()
	}
	return o
}

// first calls each with the groups that give out first, or nearly, in every draw of which
// that can be said.
func first(in *hold.Hold, all *hold.Result, each func(i int, g muscle.Group, use float64)) {
	var decides [muscle.NumGroups]bool
	for _, u := range in.Uses(hold.Equilibrium) {
		decides[u.Group] = decides[u.Group] || !u.Reported
	}
	difficulty := all.Value[hold.Difficulty]
	for i, ok := range all.Possible {
		if !ok {
			continue
		}
		for g := range muscle.NumGroups {
			if use := all.Value[hold.UseOf(g)]; use != nil && decides[g] && use[i] >= near*difficulty[i] {
				each(i, g, use[i])
			}
		}
	}
}

// givesOut are the groups that give out first, or nearly, not seldom, from the most
// frequent on.
func givesOut(in *hold.Hold, all *hold.Result) (list []GivesOut) {
	known := names.HowMany(all.Possible, func(ok bool) bool { return ok })
	var often [muscle.NumGroups]int
	first(in, all, func(_ int, g muscle.Group, _ float64) { often[g]++ })
	for g, n := range often {
		if share := float64(n) / float64(known); share >= seldom {
			list = append(list, GivesOut{muscle.Group(g), share})
		}
	}
	slices.SortStableFunc(list, func(a, b GivesOut) int { return cmp.Compare(b.Share, a.Share) })
	return list
}

// shownFor is for how long the tests show this very hold, s: with nothing taken off.
func (pr *problem) shownFor() (seconds float64) {
	p, tests := pr.scenario.Posture(), pr.person.Tests
	if tests.none() || pr.person.Load != (body.Load{}) {
		return 0
	}
	switch pr.scenario.Hold {
	case hold.OneArmHang:
		for _, t := range tests.Hangs {
			if t.Added >= 0 {
				seconds = max(seconds, t.Seconds)
			}
		}
	case hold.WallHandstand:
		for _, t := range tests.Handstands {
			tried := hold.Pose{}
			tried[hold.OneArm], tried[hold.WallDistance] = 1, t.WallDistance
			alike := p.Legs == hold.Legs{} && p.Tilt == 0
			for v := range hold.NumVariants {
				alike = alike && tried.Or(v) == p.Pose.Or(v)
			}
			if t.Added >= 0 && t.Fingers == 0 && alike {
				seconds = max(seconds, t.Seconds)
			}
		}
	}
	return seconds
}

// lasts is for how long each draw that can take the posture lasts, s: for as long at least as was
// shown of it, which a draw of the endurance does not know.
func (s *shown) lasts(all *hold.Result) (seconds []float64) {
	least := slices.Repeat([]float64{math.Inf(1)}, len(all.Possible))
	first(s.scenario.Hold, all, func(i int, g muscle.Group, use float64) {
		least[i] = min(least[i], s.relation(g).Seconds(use)/s.slower[i])
	})
	shown := s.shownFor()
	for i, ok := range all.Possible {
		if ok {
			seconds = append(seconds, max(least[i], shown))
		}
	}
	return seconds
}

// AskUntested works out what is asked of a person without tests from the answer, whose
// bodies drawn are still there. It is nil where nobody knows what the hold's muscles can
// give.
func AskUntested(ctx context.Context, r *Result) (*Asks, error) {
	all := r.byEquilibrium()
	if all == nil || !r.Person.Tests.none() {
		return nil, nil
	}
	pr, err := prepare(r.Person, r.Options)
	if err != nil {
		return nil, err
	}
	pr.person.Tests = &Tests{}
	return (&shown{problem: pr, result: r}).asks(ctx, all)
}

// relation is that of endurance by which a group's time goes.
func (pr *problem) relation(g muscle.Group) strength.Endurance {
	if g == muscle.Grip {
		return strength.GripEndurance
	}
	return pr.options.Endurance
}

// trial is one of those drawn, with the capacity of the median untrained adult, and what
// the hold asks of the person.
type trial struct {
	held scenario.Held
	row  int
	is   [muscle.NumGroups]float64 // logarithms of strength over that of the untrained
	lack [muscle.NumGroups]float64 // logarithms of what of a group is used
}

// decidedAtOnce is of how many trials it is found out whether a result is enough, before it is
// looked whether the others can alter what most say.
const decidedAtOnce = 16

// leastRead is what no scale reads of an arm, kg.
const leastRead = 0.5

// mostTrials is how many of those drawn a result is sought over.
const mostTrials = 128

// trials holds some of those drawn up again.
func (s *shown) trials(ctx context.Context) ([]trial, error) {
	n := min(mostTrials, len(s.result.Assumed))
	all := make([]trial, n)
	from := func(k int) int { return k * s.options.N / len(s.result.Assumed) }
	err := s.run(ctx, n, func() func(int) error {
		own := s.problem.own(true)
		return func(j int) error {
			k, t := j*(len(s.result.Assumed)/n), &all[j]
			t.row = from(k)
			asked := s.scenario.Hold.Asks(hold.Equilibrium)
			c := scenario.Case{Setup: s.setup, Model: hold.Equilibrium, Builder: s.builder, Assume: &s.result.Assumed[k]}
			bench := scenario.NewBench(1, asked, nil) // whose memory the trial keeps
			if err := bench.Run(s.result.People.Slice(t.row, t.row+1), []scenario.Case{c}, func(_ int, tile *scenario.Tile) error {
				t.held = tile.First
				return nil
			}); err != nil {
				return err
			}
			of := scenario.Held{Bodies: t.held.Bodies, Capacity: hold.NewCapacity(1), Assume: t.held.Assume}
			strength.OfReference(of.Capacity, of.Bodies, &of.Assume)
			if own != nil { // else an untrained adult
				own.at(t.row)
				if err := own.give(&of, 0); err != nil {
					return err
				}
			}
			of.Solve(t.held.Result, s.scenario.Hold, s.setup.First, hold.Equilibrium)
			for g := range muscle.NumGroups {
				t.is[g] = math.Log(of.Capacity.Of[g][0] / t.held.Capacity.Of[g][0])
				if use := t.held.Result.Value[hold.UseOf(g)]; use != nil {
					t.lack[g] = math.Log(use[0])
				}
			}
			return nil
		}
	})
	return slices.DeleteFunc(all, func(t trial) bool { return !t.held.Result.Possible[0] }), err
}

// asks seeks the results that would be enough.
func (s *shown) asks(ctx context.Context, all *hold.Result) (*Asks, error) {
	a := &Asks{GivesOut: givesOut(s.scenario.Hold, all)}
	trials, err := s.trials(ctx)
	if err != nil {
		return nil, err
	}
	for _, out := range a.GivesOut {
		e, was, with := s.testOf(out.Group)
		if with == nil {
			a.NoTest = append(a.NoTest, out.Group)
			continue
		}
		if err := s.enough(ctx, &e, was, with, trials); err != nil {
			return nil, err
		}
		// Held for no time it is enough: it asks more than the hold does. A scale need not, and
		// reads a push itself, of a grip only what it gives at the least.
		if e.Kind != ScaleTest && !e.Tested && e.Seconds < 1 {
			scale, was, with := s.onScale(Enough{Group: out.Group, Seconds: math.NaN(), Kilograms: math.NaN()}, Way(slices.Index(wayGroups[:], out.Group)))
			if err := s.enough(ctx, &scale, was, with, trials); err != nil {
				return nil, err
			}
			if scale.Kilograms < leastRead {
				a.Likely = append(a.Likely, out.Group)
				continue
			}
			if out.Group == muscle.ArmPush {
				e = scale
			}
		}
		a.Enough = append(a.Enough, e)
	}
	tested := slices.DeleteFunc(slices.Clone(a.Enough), func(e Enough) bool { return !e.Tested })
	a.Enough = append(slices.DeleteFunc(a.Enough, func(e Enough) bool { return e.Tested }), tested...)
	return a, nil
}

// enough seeks the result of a test that is enough where half of the trials have the strength
// that they lack. What is enough for a trial is so with more, and what is too little with
// less: by the same chance, whoever has shown more is no weaker.
func (s *shown) enough(ctx context.Context, e *Enough, was result, with func(result) Tests, trials []trial) error {
	enough, little := make([]result, len(trials)), make([]result, len(trials))
	for k := range trials {
		enough[k], little[k] = result{math.Inf(1), math.Inf(1)}, result{-1, -1}
	}
	return e.seek(s.result.People.Value[anthro.Mass][0], was, func(r result) (bool, error) {
		if !e.Tested && r.seconds == 0 && r.kilograms == 0 {
			return false, nil
		}
		tests := with(r)
		for from := 0; ; from += decidedAtOnce {
			has, lacks := 0, 0
			for k := range trials {
				if r.atLeast(enough[k]) {
					has++
				} else if little[k].atLeast(r) {
					lacks++
				}
			}
			if 2*has >= len(trials) || 2*lacks > len(trials) {
				return 2*has >= len(trials), nil
			}
			if err := s.run(ctx, min(decidedAtOnce, len(trials)-from), func() func(int) error {
				own := s.problem.ownBy(&tests, true)
				return func(k int) error { return s.decide(own, &trials[from+k], r, &enough[from+k], &little[from+k], e.Group) }
			}); err != nil {
				return false, err
			}
		}
	})
}

// decide finds out whether a result is enough for a trial, if what is known of others leaves
// that open.
func (s *shown) decide(own *own, t *trial, r result, enough, little *result, g muscle.Group) error {
	if r.atLeast(*enough) || little.atLeast(r) {
		return nil
	}
	y, err := own.drawnFor(t)
	if err != nil && !errors.As(err, new(*fault.Error)) { // else it is less than the arm's own weight gives
		return err
	}
	if err == nil && y[g] >= t.is[g]+t.lack[g] {
		*enough = r
	} else {
		*little = r
	}
	return nil
}

// drawnFor is the person's strength if they are the trial, drawn as it was.
func (o *own) drawnFor(t *trial) (y [muscle.NumGroups]float64, err error) {
	if err := o.hold(&t.held); err != nil {
		return y, err
	}
	belief, err := o.believe(&t.held, 0)
	if err != nil {
		return y, err
	}
	o.drawn.Reset(uint64(t.row))
	belief.Draw(&y, o.drawn.Float64)
	return y, nil
}
