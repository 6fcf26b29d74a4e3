package person

import (
	"context"
	"slices"

	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/math"
	"counterpoise/sim/montecarlo"
	"counterpoise/sim/muscle"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

// Readiness is what tests of strength say about a hold, and which would say more. All
// spreads are over bodies, assumptions and the spread of endurance.
type Readiness struct {
	Result *Result // the hold itself
	Tests  []TestResult
	Models []ModelReadiness // where one arm pulls and the other pushes, and tests were done
	Asks   *Asks            // nil where nobody knows what the hold's muscles can give
	Own    *Own             // likewise, and without tests
	// NotShown is what the hold asks for that no test here can show.
	NotShown []NotShown
}

// Kind is a kind of test.
type Kind int

// The kinds.
const (
	HangTest Kind = iota
	HandstandTest
	ScaleTest
)

// String names the test.
func (k Kind) String() string {
	return [...]string{"one-arm hang", "one-arm wall handstand", "straight arm on a scale"}[k]
}

// TestResult is what one test by time shows: a lower bound, since nobody held on for
// longer than they could.
type TestResult struct {
	Kind    Kind
	Side    Side
	Seconds float64
	// Demand is the force along the arm at the grip in this very test: N and BW.
	Demand, DemandBW Spread
	// Share is the share of the greatest force that the time tells of, by the
	// relation of endurance; of a hang, which either the arm or the grip ends, the larger
	// of theirs. It is 1 where the time is too short to tell more than
	// that the demand was met.
	Share Spread
	// Shows is the capacity along the straight arm that the test shows, N: the
	// demand over the share.
	Shows Spread
	// Extrapolated tells that the share lies below the relation's data.
	Extrapolated bool
}

// ModelReadiness is the readiness under one model.
type ModelReadiness struct {
	Model hold.Model
	// Arrangements has one entry where no test names a side, else two: the left arm
	// on top and the right one.
	Arrangements []Arrangement
	// Best is the arrangement with the largest median margin among those with both
	// arms tested, else the first.
	Best int
}

// Arrangement is the hold with a certain arm on top.
type Arrangement struct {
	Top        Side // AnySide where no test names a side
	Pull, Push Role // of the top and of the bottom arm
	// Margin is the smaller of the two roles' margins in each draw, Enough the share
	// of draws in which it is at least 1: both 0 unless both roles are tested.
	Margin Spread
	Enough float64
	// Weaker is the role with the smaller median margin, "pull" or "push"; "" unless
	// both are tested.
	Weaker string
}

// Tested reports whether both roles were tested.
func (a *Arrangement) Tested() bool { return a.Pull.Tested && a.Push.Tested }

// Role is what one arm does in the hold.
type Role struct {
	Side     Side
	Tested   bool   // false where no test bounds the capacity: then only Required is filled
	Required Spread // force along the arm, N
	Capacity Spread // the largest that any test shows, N
	// Margin is capacity over required force, draw by draw.
	Margin Spread
	Enough float64 // share of draws in which the margin is at least 1
}

// NotShown is one thing that the hold asks for and the tests do not show.
type NotShown struct {
	What string
	Why  string
	// Model and Asked are what the hold asks for, N·m; nil where no model here
	// computes it.
	Model hold.Model
	Asked *Spread
}

// Ready computes the readiness of a person, with tests or before any was done.
//
// A one-arm hang shows body weight and load at the grip; a one-arm wall
// handstand shows what hold.WallHandstand asks of the arm at its wall distance
// (1 BW less the wall's friction, an assumption, along a lean of a few degrees)
// less what the other hand's fingers carry. A test held for t seconds shows
// demand over the share of the greatest force that can be held for t. Forces along the
// arms are half of the human flag: whether the person could hold it, and for how long, is
// Own, and what is asked of tests is Asks.
//
// Common practice says that whoever holds each test for 5 seconds has the
// strength for the flag: the margins of such tests are its check.
func Ready(ctx context.Context, p Person, o Options) (*Readiness, error) {
	pr, err := prepare(p, o)
	if err != nil {
		return nil, err
	}
	if !o.Judges() {
		return nil, fault.New("models", pr.scenario.Models[0].Statics, "%s gives no verdict: it is the lift-and-turn rule that is taught, and its forces do not balance; add %s", pr.scenario.Models[0].Statics, hold.Equilibrium)
	}
	res, err := Answer(ctx, p, o)
	if err != nil {
		return nil, err
	}
	r, all := &Readiness{Result: res}, res.byEquilibrium()
	if p.Tests.none() {
		r.Asks, err = AskUntested(ctx, res)
		return r, err
	}
	s, err := pr.show(ctx, res)
	if err != nil {
		return nil, err
	}
	r.Tests = s.tests
	for i := range res.Models {
		if m := &res.Models[i]; m.Model.Judges() && m.PossibleAll > 0 && m.All.Value[hold.AxialTop] != nil {
			r.Models = append(r.Models, s.readiness(m))
		}
	}
	if all != nil {
		if r.Asks, err = s.asks(ctx, all); err != nil {
			return nil, err
		}
		r.Own = s.ownStrength(all, r.Asks.GivesOut)
	}
	r.NotShown = r.notShown()
	return r, nil
}

// bound is the capacity, N, that the tests of one arm show, draw by draw.
type bound []float64

// bounds are those of every side, nil where nothing tests it.
type bounds [NumSides]bound

// shown is what the tests show.
type shown struct {
	*problem
	result     *Result
	slower     []float64 // e^(-spread·z): what a time counts for by the mean relation
	tests      []TestResult
	pull, push bounds
	sided      bool
}

// show works through the tests.
func (pr *problem) show(ctx context.Context, res *Result) (*shown, error) {
	s := &shown{problem: pr, result: res, slower: make([]float64, pr.options.N)}
	if err := pr.run(ctx, montecarlo.Blocks(len(s.slower)), func() func(int) error {
		stream := montecarlo.NewStream(pr.options.Seed, "endurance")
		return func(block int) error {
			stream.Reset(uint64(block))
			from := block * montecarlo.BlockRows
			rows := s.slower[from : from+montecarlo.Rows(len(s.slower), block)]
			stream.Normals(rows)
			for i, z := range rows {
				rows[i] = math.Exp(-strength.EnduranceSpread * z)
			}
			return nil
		}
	}); err != nil {
		return nil, err
	}
	weight := make([]float64, pr.options.N) // N
	for i, mass := range res.People.Value[anthro.Mass] {
		weight[i] = mass * statics.StandardGravity
	}
	demand := make([]float64, len(weight))
	for _, h := range pr.person.Tests.Hangs {
		for i := range demand {
			demand[i] = weight[i] + float64(h.Added*statics.StandardGravity)
		}
		if err := s.test(HangTest, h.Side, h.Seconds, demand, weight, &s.pull); err != nil {
			return nil, err
		}
	}
	for _, h := range pr.person.Tests.Handstands {
		if err := pr.handstand(ctx, res, h, demand); err != nil {
			return nil, err
		}
		for i := range demand {
			demand[i] *= weight[i]
		}
		if err := s.test(HandstandTest, h.Side, h.Seconds, demand, weight, &s.push); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// handstand fills demand with the push along the arm, BW, of everyone drawn,
// under their own assumptions.
func (pr *problem) handstand(ctx context.Context, res *Result, h Handstand, demand []float64) error {
	from := func(k int) int { return k * len(demand) / len(res.Assumed) }
	stand := scenario.Scenario{Hold: hold.WallHandstand}
	stand.Pose[hold.OneArm], stand.Pose[hold.WallDistance] = 1, h.WallDistance
	setup := scenario.NewSetup(&stand)
	return pr.run(ctx, len(res.Assumed), func() func(int) error {
		bench := scenario.NewBench(scenario.TileRows, []hold.Demand{hold.RequiredForce, hold.LeanAngle}, nil)
		return func(k int) error {
			cases := []scenario.Case{{Setup: setup, Model: hold.Equilibrium, Builder: pr.builder, Assume: &res.Assumed[k]}}
			return bench.Run(res.People.Slice(from(k), from(k+1)), cases, func(_ int, t *scenario.Tile) error {
				held := t.First.Result
				for i, possible := range held.Possible {
					if !possible {
						return outOfReach(h.WallDistance)
					}
					demand[from(k)+t.From+i] = h.left(held.Value[hold.RequiredForce][i], t.First.Bodies.Mass[i], held.Value[hold.LeanAngle][i])
				}
				return nil
			})
		}
	})
}

// test turns one test's demand, N, into a bound and keeps it where it says more
// than those before it.
func (s *shown) test(kind Kind, side Side, seconds float64, demand, weight []float64, known *bounds) error {
	n, e := len(demand), s.options.Endurance
	shares, inWeights := make([]float64, n), make([]float64, n)
	shows := make(bound, n)
	for i, force := range demand {
		if !(force > 0) {
			return nothingHeld(kind, force)
		}
		shares[i] = e.Share(seconds * s.slower[i])
		if kind == HangTest {
			shares[i] = max(shares[i], strength.GripEndurance.Share(seconds*s.slower[i]))
		}
		shows[i] = force / shares[i]
		inWeights[i] = force / weight[i]
	}
	sides := []Side{side}
	if side == AnySide {
		sides = []Side{AnySide, Left, Right}
	} else {
		s.sided = true
	}
	for _, of := range sides {
		known[of] = known[of].better(shows)
	}
	t := TestResult{Kind: kind, Side: side, Seconds: seconds}
	t.Demand, t.DemandBW = spreadOf(slices.Clone(demand)), spreadOf(inWeights)
	t.Share, t.Shows = spreadOf(shares), spreadOf(slices.Clone(shows))
	t.Extrapolated = t.Share.Median < s.options.Endurance.LeastShare()
	s.tests = append(s.tests, t)
	return nil
}

// better returns, draw by draw, the bound that shows more.
func (b bound) better(other bound) bound {
	if b == nil {
		return other
	}
	best := slices.Clone(b)
	for i, force := range other {
		best[i] = max(best[i], force)
	}
	return best
}

// readiness compares what is shown with what one model asks for.
func (s *shown) readiness(m *ModelResult) ModelReadiness {
	r := ModelReadiness{Model: m.Model}
	arms := [][2]Side{{AnySide, AnySide}}
	if s.sided {
		arms = [][2]Side{{Left, Right}, {Right, Left}}
	}
	pull, push := hold.AxialTop, hold.AxialBottom
	for _, a := range arms {
		top, topMargins := s.role(m, pull, a[0], s.pull[a[0]])
		bottom, bottomMargins := s.role(m, push, a[1], s.push[a[1]])
		arrangement := Arrangement{Top: a[0], Pull: top, Push: bottom}
		if arrangement.Tested() {
			arrangement.Weaker = "push"
			if top.Margin.Median < bottom.Margin.Median {
				arrangement.Weaker = "pull"
			}
			for i := range topMargins {
				topMargins[i] = min(topMargins[i], bottomMargins[i])
			}
			arrangement.Enough = shareEnough(topMargins)
			arrangement.Margin = spreadOf(topMargins)
		}
		r.Arrangements = append(r.Arrangements, arrangement)
	}
	for k := range r.Arrangements {
		a, best := &r.Arrangements[k], &r.Arrangements[r.Best]
		if a.Tested() && (!best.Tested() || a.Margin.Median > best.Margin.Median) {
			r.Best = k
		}
	}
	return r
}

// role returns one arm's role with its margins, over the bodies that can take the
// posture, in their order.
func (s *shown) role(m *ModelResult, of hold.Demand, side Side, has bound) (r Role, margins []float64) {
	var required, capacity []float64
	mass := s.result.People.Value[anthro.Mass]
	for i, possible := range m.All.Possible {
		if !possible {
			continue
		}
		force := m.All.Value[of][i] * mass[i] * statics.StandardGravity
		required = append(required, force)
		if has == nil {
			continue
		}
		capacity, margins = append(capacity, has[i]), append(margins, has[i]/force)
	}
	r = Role{Side: side, Tested: has != nil, Required: spreadOf(required), Capacity: spreadOf(capacity)}
	if r.Tested {
		r.Enough = shareEnough(margins)
		r.Margin = spreadOf(slices.Clone(margins))
	}
	return r, margins
}

// shareEnough returns the share of margins that are at least 1.
func shareEnough(margins []float64) float64 {
	return float64(names.HowMany(margins, func(m float64) bool { return m >= 1 })) / float64(len(margins))
}

// notShown lists what the hold asks for and the tests do not show.
func (r *Readiness) notShown() []NotShown {
	var list []NotShown
	res := r.Result
	if len(r.Models) == 0 {
		if r.Asks != nil {
			for _, g := range r.Asks.NoTest {
				list = append(list, NotShown{What: g.Of(muscle.Both), Why: "neither a hang nor a handstand nor a straight arm on a scale asks it for its greatest"})
			}
		}
		return list
	}
	for i := range res.Models {
		m := &res.Models[i]
		for _, of := range []struct {
			demand    hold.Demand
			plus      muscle.Group // loaded by a positive moment
			minus     muscle.Group
			what, why string
		}{
			{hold.ShoulderMomentTop, muscle.ShoulderAdduction, muscle.ShoulderAbduction, "moment at the top shoulder", "in a hang the arm is in line with its load: the shoulder is pulled on, not turned"},
			{hold.ShoulderMomentBottom, muscle.ShoulderAbduction, muscle.ShoulderAdduction, "moment at the bottom shoulder", "in a handstand the arm is in line with its load: the shoulder is pushed on, not turned"},
		} {
			if q, ok := m.Quantity(of.demand); ok {
				asked, tests := q.AllAbsolute, res.Person.Tests
				if (asked.High <= 0 || tests.read(of.plus)) && (asked.Low >= 0 || tests.read(of.minus)) {
					continue
				}
				list = append(list, NotShown{of.what, of.why, m.Model, &asked})
			}
		}
	}
	if q, ok := res.Models[0].Quantity(hold.WaistMoment); ok {
		asked, why := q.AllAbsolute, "a hang and a handstand leave the trunk in line with the load; the flag bends it sideways"
		list = append(list, NotShown{"side of the trunk", why, res.Models[0].Model, &asked})
	}
	return append(list, NotShown{What: "grip on a vertical pole", Why: "a bar is held across the hand; along a pole the hands are kept from sliding by friction alone"})
}
