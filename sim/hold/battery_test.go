package hold_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/statics"
	"counterpoise/sim/strength"
)

// poses lists the postures in which a hold is tested: every leg form, and every
// variant at values inside its range, alone and with the others it allows.
func poses(h *hold.Hold) []hold.Posture {
	var list []hold.Posture
	for _, form := range h.LegForms {
		list = append(list, hold.Posture{Legs: hold.LegsIn(form, 0.55)})
	}
	for _, v := range h.Variants {
		info := v.Info()
		values := []float64{1}
		if info.Unit != "" {
			values = []float64{0.13, 0.31, 0.47}
		}
		for _, x := range values {
			for _, p := range list {
				if p.Pose.Is(hold.FeetRaised) && v == hold.HandsRaised || p.Pose.Is(v) {
					continue
				}
				p.Pose[v] = x
				list = append(list, p)
			}
		}
	}
	if h.Tilts {
		for _, p := range list {
			p.Tilt = -0.17
			list = append(list, p)
		}
	}
	return list
}

// solveHold solves a hold into dirty columns of the demands that it asks for.
func solveHold(h *hold.Hold, b *block, p hold.Posture) *hold.Result {
	r := hold.NewResult(b.bodies.Rows(), h.Asks(hold.Equilibrium)...)
	for _, column := range r.Value {
		for i := range column {
			column[i] = math.NaN()
		}
	}
	h.Solve(r, b.bodies, b.capacity, p, hold.Equilibrium, &b.assume)
	return r
}

// row cuts one row out of a result.
func row(r *hold.Result, i int) *hold.Result {
	return r.Slice(i, i+1)
}

func figure(t testing.TB, h *hold.Hold, b *block, i int, p hold.Posture, r *hold.Result) *hold.Figure {
	t.Helper()
	f, err := h.Figure(b.bodies, i, p, row(r, i), &b.assume)
	if err != nil {
		t.Fatalf("%s: %v", h.Name, err)
	}
	return f
}

// randomAssumptions draws every assumption from its range.
func randomAssumptions(random *rand.Rand) assume.Set {
	u := assume.DefaultUncertainty()
	point := make([]float64, len(u.Free()))
	for k := range point {
		point[k] = random.Float64()
	}
	return u.At(point)
}

// forEachHold runs a check over bodies of both sexes, in every pose of every
// hold, at random assumptions.
func forEachHold(t *testing.T, rows int, check func(t *testing.T, h *hold.Hold, b *block, p hold.Posture)) {
	for _, h := range hold.All() {
		t.Run(h.Name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(31, 7))
			for k, p := range poses(h) {
				check(t, h, draw(t, sexes[k%2], body.Masses(k%3), rows, randomAssumptions(random)), p)
			}
		})
	}
}

// measured is what the general solver says of one body, from reactions and cuts
// alone, in body weights: every demand that follows from the figure.
func measured(t testing.TB, f *hold.Figure, weight float64) map[hold.Demand]float64 {
	t.Helper()
	sol, err := f.System.Solve()
	if err != nil {
		t.Fatal(err)
	}
	d := map[hold.Demand]float64{}
	for _, j := range f.Joints {
		m, err := f.Moment(sol, j.Name)
		if err != nil {
			t.Fatal(err)
		}
		m = math.Abs(m) / weight
		switch j.Name {
		case hold.JointShoulders, "left shoulder", "right shoulder":
			d[hold.ShoulderMoment] = m
		case hold.JointWaist:
			d[hold.WaistMoment] = m
		case hold.JointHips:
			d[hold.HipMoment] = m
		case hold.JointWrists:
			d[hold.WristMoment] = m
		}
	}
	for _, s := range f.Supports {
		force, err := f.Force(sol, s.Name)
		if err != nil {
			t.Fatal(err)
		}
		force = force.Times(1 / weight)
		switch s.Name {
		case hold.SupportHands, hold.SupportHand, hold.SupportForearms, hold.SupportForearm:
			d[hold.HandShare] = force.Y
		case hold.SupportFeet, hold.SupportFoot, hold.SupportKnees:
			d[hold.FootShare] = force.Y
		case hold.SupportHeels:
			d[hold.WallPush] = -force.X
		}
	}
	return d
}

// axial is the force along one arm of a figure at its wrist or grip, body
// weights: the sum of the support's forces along the forearm, over the arms.
func axial(t testing.TB, f *hold.Figure, weight float64) (float64, bool) {
	t.Helper()
	sol, err := f.System.Solve()
	if err != nil {
		t.Fatal(err)
	}
	var along statics.Vec
	for _, bone := range f.Bones {
		if bone.Segment == "left forearm" {
			d := bone.To.Minus(bone.From)
			along = d.Times(1 / d.Length())
		}
	}
	for _, s := range f.Supports {
		arms := map[string]float64{hold.SupportHands: 2, hold.SupportHand: 1, "left hand": 1}[s.Name]
		if arms == 0 {
			continue
		}
		force, err := f.Force(sol, s.Name)
		if err != nil {
			t.Fatal(err)
		}
		return math.Abs(force.Dot(along)) / weight / arms, true
	}
	return 0, false
}

// The closed forms of every hold agree with the general solver, and what is
// solved is balanced: a lean that is wrong by a millionth of a radian leaves the
// figures without equilibrium.
func TestBatteryClosedFormsAgreeWithTheGeneralSolver(t *testing.T) {
	forEachHold(t, 40, func(t *testing.T, h *hold.Hold, b *block, p hold.Posture) {
		if h == hold.HumanFlag {
			return // has two shoulders that differ: TestKernelsAgreeWithTheGeneralSolver
		}
		r := solveHold(h, b, p)
		compared := map[hold.Demand]int{}
		for i, possible := range r.Possible {
			if !possible {
				continue
			}
			f := figure(t, h, b, i, p, r)
			weight := b.bodies.Mass[i] * statics.StandardGravity
			want := measured(t, f, weight)
			if force, ok := axial(t, f, weight); ok {
				want[hold.RequiredForce] = force
			}
			for d, w := range want {
				if r.Value[d] == nil {
					continue
				}
				compared[d]++
				if got := math.Abs(r.Value[d][i]); math.Abs(got-math.Abs(w)) > 1e-9 {
					t.Fatalf("%+v, row %d: %s is %.12g, the general solver says %.12g", p, i, d, got, w)
				}
			}
		}
		for _, d := range []hold.Demand{hold.ShoulderMoment, hold.WaistMoment, hold.HipMoment, hold.WristMoment, hold.HandShare, hold.FootShare, hold.WallPush, hold.RequiredForce} {
			if h.AsksFor(hold.Equilibrium, d) && compared[d] < 20 {
				t.Errorf("%+v: %s was compared %d times only", p, d, compared[d])
			}
		}
	})
}

// Of every figure: nothing is left unbalanced, any pivot gives the same, the
// mirror image carries the same with moments turned round, all weight is carried,
// masses add up, and every joint lies where its parent's bone can reach.
func TestBatteryFigures(t *testing.T) {
	forEachHold(t, 6, func(t *testing.T, h *hold.Hold, b *block, p hold.Posture) {
		r := solveHold(h, b, p)
		for i, possible := range r.Possible {
			if !possible {
				continue
			}
			f := figure(t, h, b, i, p, r)
			weight := b.bodies.Mass[i] * statics.StandardGravity
			sol, err := f.System.Solve()
			if err != nil {
				t.Fatalf("%+v: %v", p, err)
			}
			if sol.Residual > 1e-9 {
				t.Errorf("%+v: %g left unbalanced", p, sol.Residual)
			}
			mass := 0.0
			for _, s := range f.System.Segments {
				mass += s.Mass
			}
			if math.Abs(mass-b.bodies.Mass[i]) > 1e-9*mass {
				t.Errorf("%+v: segments weigh %g kg, the body %g kg", p, mass, b.bodies.Mass[i])
			}
			var carried statics.Vec
			for _, s := range f.Supports {
				force, err := f.Force(sol, s.Name)
				if err != nil {
					t.Fatal(err)
				}
				carried = carried.Plus(force)
			}
			for _, l := range f.System.Loads {
				carried = carried.Plus(l.Force)
			}
			if left := carried.Minus(statics.Vec{Y: weight}).Length(); left > 1e-9*weight {
				t.Errorf("%+v: the supports carry %v N of %g N", p, carried, weight)
			}
			for _, pivot := range []statics.Vec{{X: 3.3, Y: -1.7}, {X: -0.4, Y: 9.1}} {
				other, err := f.System.SolveAbout(pivot)
				if err != nil {
					t.Fatalf("%+v: %v", p, err)
				}
				for name, v := range sol.Value {
					if math.Abs(other.Value[name]-v) > 1e-9*weight {
						t.Errorf("%+v: %s is %g N about %v, else %g N", p, name, other.Value[name], pivot, v)
					}
				}
			}
			mirrored := mirror(f)
			image, err := mirrored.System.Solve()
			if err != nil {
				t.Fatalf("%+v, mirrored: %v", p, err)
			}
			for _, j := range f.Joints {
				m, _ := f.Moment(sol, j.Name)
				n, err := mirrored.Moment(image, j.Name)
				if err != nil || math.Abs(m+n) > 1e-9*weight {
					t.Errorf("%+v: moment at the %s is %g N·m, mirrored %g (%v)", p, j.Name, m, n, err)
				}
			}
			for _, s := range f.System.Segments {
				if s.Parent == "" {
					continue
				}
				if away := fromBone(f, s.Parent, s.Joint); away > b.bodies.ShoulderSpan[i]/2+b.bodies.Rise[i]+1e-12 {
					t.Errorf("%+v: %s is joined to %s away from it", p, s.Name, s.Parent)
				}
			}
		}
	})
}

// fromBone is how far a point lies from the line of a segment's bone.
func fromBone(f *hold.Figure, segment string, at statics.Vec) float64 {
	for _, bone := range f.Bones {
		if bone.Segment != segment {
			continue
		}
		line := bone.To.Minus(bone.From)
		share := 0.0
		if length := line.Length(); length > 0 {
			share = math.Min(math.Max(at.Minus(bone.From).Dot(line)/(length*length), 0), 1)
		}
		return at.Minus(bone.From.Plus(line.Times(share))).Length()
	}
	return math.Inf(1)
}

// mirror turns left and right of a figure round.
func mirror(f *hold.Figure) *hold.Figure {
	turn := func(v statics.Vec) statics.Vec { return statics.Vec{X: -v.X, Y: v.Y} }
	s := &statics.System{Gravity: f.System.Gravity, Closures: f.System.Closures}
	for _, g := range f.System.Segments {
		g.Joint, g.Centre = turn(g.Joint), turn(g.Centre)
		s.Segments = append(s.Segments, g)
	}
	for _, l := range f.System.Loads {
		l.At, l.Force = turn(l.At), turn(l.Force)
		s.Loads = append(s.Loads, l)
	}
	for _, r := range f.System.Reactions {
		r.At, r.Direction = turn(r.At), turn(r.Direction)
		s.Reactions = append(s.Reactions, r)
	}
	return &hold.Figure{System: s, Joints: f.Joints, Supports: f.Supports}
}

// A body enlarged in every length, its weight with it, carries the same shares
// of its weight and longer moments, whatever the exponent of its mass.
func TestBatteryScaling(t *testing.T) {
	const scale = 1.37
	forEachHold(t, 30, func(t *testing.T, h *hold.Hold, b *block, p hold.Posture) {
		first := solveHold(h, b, p)
		large := changed(t, b, body.Change{Of: body.Amounts{body.Size: {Share: scale - 1}}})
		// Capacities of the enlarged body in body weights: moments have a longer lever.
		strength.OfReference(large.capacity, large.bodies, &large.assume)
		q := p
		for v := range hold.NumVariants {
			if v.Info().Unit == "m" {
				q.Pose[v] *= scale
			}
		}
		if h.Takes(hold.WallDistance) && q.Pose[hold.WallDistance] == 0 {
			q.Pose[hold.WallDistance] = hold.DefaultWallDistance * scale
		}
		second := solveHold(h, large, q)
		for i, possible := range first.Possible {
			if possible != second.Possible[i] {
				t.Fatalf("%+v, row %d: possible is %v, enlarged %v", p, i, possible, second.Possible[i])
			}
			if !possible {
				continue
			}
			for _, d := range h.Asks(hold.Equilibrium) {
				want := first.Value[d][i]
				if unit := d.Unit; unit == "m" || unit == "BW·m" {
					want *= scale
				}
				// The search for the flag's best posture ends within rounding of a kink.
				if got := second.Value[d][i]; math.Abs(got-want) > 1e-7*math.Max(1, math.Abs(want)) {
					t.Fatalf("%+v, row %d: %s is %.12g, want %.12g", p, i, d, got, want)
				}
			}
		}
	})
}

// Where the posture moves a little, so do the demands: a step ten times finer
// has jumps about ten times smaller.
func TestBatteryContinuity(t *testing.T) {
	type path struct {
		name string
		at   func(p *hold.Posture, b *block, x float64) // x from 0 to 1
	}
	for _, h := range hold.All() {
		paths := []path{{"arm length", func(_ *hold.Posture, b *block, x float64) {
			b.bodies = changed(t, b, body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.01 + 0.1*x}}}).bodies
		}}}
		for _, v := range h.Variants {
			if info := v.Info(); info.Unit != "" {
				paths = append(paths, path{info.Name, func(p *hold.Posture, _ *block, x float64) {
					p.Pose[v] = 0.05 + 0.5*x // for lengths and angles alike, inside every range
				}})
			}
		}
		if h.TakesLegs(hold.Straddle) {
			paths = append(paths, path{"straddle", func(p *hold.Posture, _ *block, x float64) { p.Legs = hold.LegsIn(hold.Straddle, 1.2*x+0.01) }})
		}
		if h.TakesLegs(hold.Tuck) {
			paths = append(paths, path{"tuck", func(p *hold.Posture, _ *block, x float64) {
				p.Legs = hold.LegsIn(hold.Tuck, 0)
				p.Legs.Hip, p.Legs.Knee = 2.2*x, 2.4*x
			}})
		}
		for _, id := range h.Assumptions(hold.Equilibrium) {
			paths = append(paths, path{id.String(), func(_ *hold.Posture, b *block, x float64) {
				info := id.Info()
				b.assume[id] = info.Low + x*(info.High-info.Low)
				strength.OfReference(b.capacity, b.bodies, &b.assume)
			}})
		}
		for _, way := range paths {
			t.Run(h.Name+" along "+way.name, func(t *testing.T) {
				drawn := *draw(t, sexes[0], body.Residual, 3, assume.Defaults())
				jump := func(steps int) map[hold.Demand]float64 {
					largest := [3]map[hold.Demand]float64{{}, {}, {}}
					var last *hold.Result
					var lost [3]bool // bodies that cannot go all the way
					for k := range steps + 1 {
						b := drawn
						b.capacity = hold.NewCapacity(3)
						strength.OfReference(b.capacity, b.bodies, &b.assume)
						var p hold.Posture
						way.at(&p, &b, float64(k)/float64(steps))
						r := solveHold(h, &b, p)
						for i := range r.Possible {
							if lost[i] = lost[i] || !r.Possible[i]; lost[i] {
								continue
							}
							for _, d := range h.Asks(hold.Equilibrium) {
								if last != nil {
									largest[i][d] = math.Max(largest[i][d], math.Abs(r.Value[d][i]-last.Value[d][i]))
								}
							}
						}
						last = r
					}
					if lost == [3]bool{true, true, true} {
						t.Fatal("not possible for anybody")
					}
					// Short of where it gets lost a body may move as fast as it likes.
					jumps := map[hold.Demand]float64{}
					for i := range lost {
						for d, j := range largest[i] {
							if !lost[i] {
								jumps[d] = math.Max(jumps[d], j)
							}
						}
					}
					return jumps
				}
				coarse, fine := jump(40), jump(400)
				for d, c := range coarse {
					if fine[d] > 0.2*c+1e-6 {
						t.Errorf("%s jumps by %g in a coarse step and still by %g in one of a tenth", d, c, fine[d])
					}
				}
			})
		}
	}
}

// Every hold refuses a body that cannot take it, leaves no number behind, and
// says so when asked for a figure. No surveyed body is such, so these are made up.
func TestBatteryNotPossible(t *testing.T) {
	madeUp := map[string]struct {
		why   string
		body  func(b *body.Columns, i int)
		pose  hold.Pose
		never bool // no body is refused
	}{
		"human-flag":     {why: "shoulders too broad to tilt", body: func(b *body.Columns, i int) { b.ShoulderSpan[i] = 9 }},
		"front-lever":    {why: "arms too short to bring the body under the bar", body: shortArms},
		"back-lever":     {why: "arms too short to bring the body under the bar", body: shortArms},
		"planche":        {why: "arms too short to bring the body over the hands", body: shortArms},
		"l-sit":          {why: "arms too short to bring the legs over the hands", body: func(b *body.Columns, i int) { shortArms(b, i); shortArms(b, i) }},
		"iron-cross":     {never: true},
		"one-arm-hang":   {never: true},
		"two-arm-hang":   {never: true},
		"wall-handstand": {why: "the wall is out of the feet's reach", pose: hold.Pose{hold.WallDistance: 1.1}, body: shortLegs},
		"push-up":        {why: "the feet stand higher than the body is long", pose: hold.Pose{hold.FeetRaised: 1.2}, body: shortLegs},
		"forearm-plank":  {why: "on such upper arms the body would lean back over its feet", body: func(b *body.Columns, i int) { b.UpperArm[i] = 12 }},
		"side-plank":     {why: "the upper arm is longer than the body", body: func(b *body.Columns, i int) { b.UpperArm[i] = 4 }},
	}
	for _, h := range hold.All() {
		t.Run(h.Name, func(t *testing.T) {
			made, known := madeUp[h.Name]
			if !known {
				t.Fatal("no body is made up that cannot take this hold")
			}
			if made.never {
				return
			}
			b := draw(t, "ansur2-women", body.Residual, 5, assume.Defaults())
			p := hold.Posture{Pose: made.pose}
			if h.Tilts {
				p.Tilt = 0.3
			}
			made.body(b.bodies, 2)
			r := solveHold(h, b, p)
			if r.Possible[2] {
				t.Errorf("possible although %s: %v", made.why, row(r, 2).Value)
			}
			for d, column := range r.Value {
				if column != nil && column[2] != 0 {
					t.Errorf("%s is %g for a body that cannot take the posture", d, column[2])
				}
			}
			if _, err := h.Figure(b.bodies, 2, p, row(r, 2), &b.assume); !errors.Is(err, hold.ErrNotPossible) {
				t.Errorf("the figure's error is %v", err)
			}
			for _, i := range []int{0, 1, 3, 4} {
				if made.pose == (hold.Pose{}) && !r.Possible[i] {
					t.Errorf("an ordinary body, row %d, is refused", i)
				}
			}
		})
	}
}

func shortArms(b *body.Columns, i int) {
	for _, column := range [][]float64{b.UpperArm, b.UpperArmCentre, b.Forearm, b.ForearmCentre, b.Grip} {
		column[i] *= 0.2
	}
}

func shortLegs(b *body.Columns, i int) {
	for _, column := range [][]float64{b.Thigh, b.ThighCentre, b.Shank, b.ShankCentre, b.Hip, b.UpperArm, b.Forearm} {
		column[i] *= 0.3
	}
}

func TestHoldsAllocateNothing(t *testing.T) {
	for _, h := range hold.All() {
		b := draw(t, "ansur2-men", body.Residual, 64, assume.Defaults())
		r := hold.NewResult(64, h.Asks(hold.Equilibrium)...)
		if n := testing.AllocsPerRun(10, func() {
			h.Solve(r, b.bodies, b.capacity, hold.Posture{}, hold.Equilibrium, &b.assume)
		}); n != 0 {
			t.Errorf("%s allocates %g times", h.Name, n)
		}
	}
}

func BenchmarkHold(b *testing.B) {
	for _, h := range hold.All() {
		b.Run(h.Name, func(b *testing.B) {
			const rows = 512
			block := draw(b, "ansur2-men", body.Residual, rows, assume.Defaults())
			r := hold.NewResult(rows, h.Asks(hold.Equilibrium)...)
			b.ReportAllocs()
			for b.Loop() {
				h.Solve(r, block.bodies, block.capacity, hold.Posture{}, hold.Equilibrium, &block.assume)
			}
			b.ReportMetric(float64(rows*b.N)/b.Elapsed().Seconds()/1e6, "Mbodies/s")
		})
	}
}
