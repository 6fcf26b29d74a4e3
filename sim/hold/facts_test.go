package hold_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/hold/holdtest"
	"counterpoise/sim/muscle"
	"counterpoise/sim/statics"
)

// A textbook iron cross, with the source of sim/statics's TestIronCross: 60 kg, 0.60 m from ring to
// shoulder, weightless arms: 294.3 N on each ring and 176.6 N·m at each shoulder,
// with g = 9.81 m/s².
func TestIronCrossOfTheTextbook(t *testing.T) {
	b := draw(t, "ansur2-men", body.Residual, 3, assume.Defaults())
	b.Mass[1] = 60
	b.UpperArm[1], b.Forearm[1], b.Grip[1] = 0.31, 0.23, 0.06
	b.UpperArmShare[1], b.ForearmShare[1], b.HandShare[1] = 0, 0, 0
	// Its cables hang straight down.
	p := hold.Posture{Pose: hold.Pose{hold.RingsApart: b.ShoulderSpan[1] + 2*b.Arm(1)}}
	r := b.Solve(hold.IronCross, p, hold.Equilibrium)
	if got, want := r.Value[hold.ShoulderMoment][1]*60*9.81, 176.6; !(math.Abs(got-want) <= 0.05) {
		t.Errorf("%.2f N·m at a shoulder, want %.1f", got, want)
	}
	b.TrunkShare[1] = 1 - b.HeadShare[1] - 2*b.LegShare(1) // all mass is somewhere
	f := figure(t, hold.IronCross, b, 1, p, r)
	f.System.Gravity = 9.81
	sol := golden.Must(f.System.Solve())(t)
	for _, ring := range []string{"left hand", "right hand"} {
		force, err := f.Force(sol, ring)
		if err != nil || !(math.Abs(force.Y-294.3) <= 0.05) || !(math.Abs(force.X) <= 1e-9) {
			t.Errorf("%s carries %v N (%v), want 294.3 N straight up", ring, force, err)
		}
	}
}

// On competition rings, 50 cm apart on cables of 3 m (from memory), the cables lean
// outwards with the hands and push level arms together, which turns no shoulder; longer
// cables come to hang straight, and arms below the level are helped.
func TestIronCrossOnCables(t *testing.T) {
	b := draw(t, "ansur2-men", body.Residual, 50, assume.Defaults())
	cross := func(low, length float64) *hold.Result {
		return b.Solve(hold.IronCross, hold.Posture{Pose: hold.Pose{hold.ArmsLow: low, hold.CableLength: length}}, hold.Equilibrium)
	}
	level, long := cross(0, 0), cross(0, 30)
	low, lowLong := cross(0.4, 0), cross(0.4, 30)
	for i := range level.Possible {
		lean, spacing := level.Value[hold.CableLean][i], level.Value[hold.HandSpacing][i]
		if !(math.Abs(3*math.Sin(lean)-(spacing-0.5)/2) <= 1e-12) || !(math.Abs(level.Value[hold.RequiredForce][i]-0.5*math.Tan(lean)) <= 1e-12) {
			t.Fatalf("row %d: hands %.3f m apart, the cables lean %.4f rad and push with %.4f BW", i, spacing, lean, level.Value[hold.RequiredForce][i])
		}
		if level.Value[hold.ShoulderMoment][i] != long.Value[hold.ShoulderMoment][i] || !(long.Value[hold.CableLean][i] < lean/9) {
			t.Fatalf("row %d: %g BW·m at the shoulder on cables of 3 m, %g of 30 m", i, level.Value[hold.ShoulderMoment][i], long.Value[hold.ShoulderMoment][i])
		}
		if !(low.Value[hold.ShoulderMoment][i] < lowLong.Value[hold.ShoulderMoment][i]) {
			t.Fatalf("row %d: cables that lean do not help low arms", i)
		}
	}
}

// What the shoulders carry in a lever or planche is M₀·c·W: not a bit of arm
// length is in it. Longer arms act through the lean alone.
func TestLeverMomentsKnowNoArmLength(t *testing.T) {
	b := draw(t, "ansur2-women", body.Full, 200, assume.Defaults())
	longer := changed(t, b, body.Change{Of: body.Amounts{body.ArmLength: {Metres: 0.1}}, MassStays: true})
	for _, h := range []*hold.Hold{hold.FrontLever, hold.BackLever, hold.Planche} {
		for _, form := range h.LegForms {
			p := hold.Posture{Legs: hold.LegsIn(form, 0.6)}
			first, second := b.Solve(h, p, hold.Equilibrium), longer.Solve(h, p, hold.Equilibrium)
			for i := range first.Possible {
				if !first.Possible[i] || !second.Possible[i] {
					continue
				}
				if first.Value[hold.ShoulderMoment][i] != second.Value[hold.ShoulderMoment][i] {
					t.Errorf("%s, %s: the shoulder moment moves with the arms", h.Name, form)
				}
				if !(second.Value[hold.LeanAngle][i] < first.Value[hold.LeanAngle][i]) {
					t.Errorf("%s, %s: longer arms lean more", h.Name, form)
				}
			}
		}
	}
}

// A hang takes body weight, two arms half each; a handstand clear of the wall
// likewise, but for the lean.
func TestHangsTakeBodyWeight(t *testing.T) {
	b := draw(t, "ansur2-men", body.Residual, 20, assume.Defaults())
	for _, c := range []struct {
		of   *hold.Hold
		pose hold.Pose
		want float64
	}{
		{hold.OneArmHang, hold.Pose{}, 1},
		{hold.TwoArmHang, hold.Pose{}, 0.5},
		{hold.WallHandstand, hold.Pose{hold.OneArm: 1, hold.WallDistance: 0.02}, 1},
		{hold.WallHandstand, hold.Pose{hold.WallDistance: 0.02}, 0.5},
	} {
		for i, force := range b.Solve(c.of, hold.Posture{Pose: c.pose}, hold.Equilibrium).Value[hold.RequiredForce] {
			if !(math.Abs(force-c.want) <= 1e-4) {
				t.Errorf("%s, %v, row %d: %.6f BW along an arm, want %g", c.of.Name, c.pose, i, force, c.want)
			}
		}
	}
}

// The wall in a handstand. The trade's saying that "the wall takes about 3 %"
// (common practice, no source) fits the size of its horizontal push at common
// distances, 0.026 W at 10 cm and 0.039 W at 15 cm; but a smooth wall carries no
// weight, and the hands lose none of it.
func TestWallPush(t *testing.T) {
	b := draw(t, "ansur2-men", body.Residual, 500, assume.Defaults())
	at := func(distance float64, one float64) (push, hands float64) {
		r := b.Solve(hold.WallHandstand, hold.Posture{Pose: hold.Pose{hold.WallDistance: distance, hold.OneArm: one}}, hold.Equilibrium)
		return medianOf(r.Value[hold.WallPush]), medianOf(r.Value[hold.HandShare])
	}
	for _, c := range []struct{ distance, want float64 }{{0.10, 0.026}, {0.15, 0.039}} {
		for one := range 2 {
			push, hands := at(c.distance, float64(one))
			if !(math.Abs(push-c.want) <= 0.0025) {
				t.Errorf("%g m, one arm %d: the wall pushes by %.4f W, want about %g", c.distance, one, push, c.want)
			}
			if hands != 1 {
				t.Errorf("%g m: the hands carry %g W beside a smooth wall", c.distance, hands)
			}
		}
	}
	near, _ := at(0.05, 0)
	far, _ := at(0.40, 0)
	if !(near < 0.02 && far > 0.09) {
		t.Errorf("%.3f W at 5 cm and %.3f W at 40 cm: one figure cannot fit all distances", near, far)
	}
	// A rough wall carries at most μ times its push.
	b.Assume[assume.WallFriction] = 0.4
	push, hands := at(0.15, 1)
	if !(math.Abs(hands-(1-0.4*push)) <= 2e-4) {
		t.Errorf("the hand carries %.4f W, the wall pushes %.4f W with friction 0.4", hands, push)
	}
}

// A straight body leaning on a smooth wall is the textbook ladder: the push is
// W·(r/ℓ)·tan τ with r and ℓ from the hands to the centre of mass and to the heels.
func TestWallHandstandIsALadder(t *testing.T) {
	b := draw(t, "ansur2-women", body.Residual, 50, assume.Defaults())
	p := hold.Posture{Pose: hold.Pose{hold.WallDistance: 0.22}}
	r := b.Solve(hold.WallHandstand, p, hold.Equilibrium)
	for i := range r.Possible {
		f := figure(t, hold.WallHandstand, b, i, p, r)
		centre := f.System.CentreOfMass()
		var hands, heels statics.Vec
		for _, s := range f.Supports {
			if s.Name == hold.SupportHands {
				hands = s.At
			} else {
				heels = s.At
			}
		}
		want := (centre.X - hands.X) / (heels.Y - hands.Y)
		if got := r.Value[hold.WallPush][i]; !(math.Abs(got-want) <= 1e-12) {
			t.Errorf("row %d: push %.9f W, the ladder %.9f W", i, got, want)
		}
	}
}

// A tuck moves the legs' mass towards the shoulders and takes more off than a
// straddle; the demand falls in the order that the trade trains the forms in.
func TestOrderOfLegForms(t *testing.T) {
	b := draw(t, "ansur2-men", body.Residual, 300, assume.Defaults())
	for _, h := range []*hold.Hold{hold.FrontLever, hold.BackLever, hold.Planche} {
		var order []*hold.Result
		for _, l := range []hold.Legs{
			hold.LegsIn(hold.Tuck, 0), hold.LegsIn(hold.AdvancedTuck, 0), hold.LegsIn(hold.OneLeg, 0),
			hold.LegsIn(hold.Straddle, 0.5), hold.LegsIn(hold.Together, 0),
		} {
			order = append(order, b.Solve(h, hold.Posture{Legs: l}, hold.Equilibrium))
		}
		compared := 0
		for i := range b.Rows() {
			for k, easier := range order[:len(order)-1] {
				harder := order[k+1]
				if !easier.Possible[i] || !harder.Possible[i] {
					continue // arms too short to lean that far
				}
				compared++
				if one, next := easier.Value[hold.ShoulderMoment][i], harder.Value[hold.ShoulderMoment][i]; !(one < next) {
					t.Fatalf("%s, row %d: form %d asks %.4f, the next %.4f", h.Name, i, k, one, next)
				}
			}
		}
		if pairs := b.Rows() * (len(order) - 1); compared < pairs*95/100 {
			t.Errorf("%s: only %d of %d pairs compared", h.Name, compared, pairs)
		}
	}
}

// Legs as the trade holds them (mechanics, part 2; common practice, no source): from
// the side a bent hip and knee show their angles and a straddle is foreshortened, from
// the front the other way round.
func TestLegForms(t *testing.T) {
	degree := math.Pi / 180
	type leg struct{ thigh, shank, thighShown float64 } // angles from the body's line; share of the length that shows
	straight, apart := leg{0, 0, 1}, leg{0, 0, math.Cos(0.5)}
	tuck, advanced := leg{120 * degree, -15 * degree, 1}, leg{90 * degree, -10 * degree, 1}
	b := draw(t, "ansur2-men", body.Residual, 1, assume.Defaults())
	for _, test := range []struct {
		of           *hold.Hold
		form         hold.LegForm
		first, other leg
	}{
		{hold.FrontLever, hold.Together, straight, straight},
		{hold.FrontLever, hold.Straddle, apart, apart},
		{hold.FrontLever, hold.OneLeg, straight, tuck},
		{hold.FrontLever, hold.AdvancedTuck, advanced, advanced},
		{hold.FrontLever, hold.Tuck, tuck, tuck},
		{hold.HumanFlag, hold.Straddle, leg{0.5, 0.5, 1}, leg{-0.5, -0.5, 1}},
		{hold.HumanFlag, hold.Tuck, leg{math.Pi, 0, 0.5}, leg{math.Pi, 0, 0.5}},
	} {
		p := hold.Posture{Legs: hold.LegsIn(test.form, 0.5)}
		f := figure(t, test.of, b, 0, p, b.Solve(test.of, p, hold.Equilibrium))
		for side, want := range map[string]leg{"first": test.first, "other": test.other} {
			for _, bone := range f.Bones {
				line := bone.To.Minus(bone.From)
				off := func(angle float64) float64 {
					return math.Abs(math.Remainder(math.Atan2(line.Y, line.X)-angle, 2*math.Pi))
				}
				switch bone.Segment {
				case side + " thigh":
					if off(want.thigh) > 1e-9 || !(math.Abs(line.Length()/b.Thigh[0]-want.thighShown) <= 1e-9) {
						t.Errorf("%s, %s: the %s goes %v", test.of.Name, test.form, bone.Segment, line)
					}
				case side + " shank":
					if off(want.shank) > 1e-9 {
						t.Errorf("%s, %s: the %s goes %v", test.of.Name, test.form, bone.Segment, line)
					}
				}
			}
		}
	}
}

// Names are found again, and nothing else is.
func TestNames(t *testing.T) {
	for _, d := range hold.Demands() {
		if found, ok := hold.ParseDemand(d.Name); !ok || found != d {
			t.Errorf("%s is found as %v", d, found)
		}
	}
	if d, ok := hold.ParseDemand("toe_moment"); ok || d.String() != "" {
		t.Errorf("toe_moment is found as %q", d)
	}
	for m := range hold.NumModels {
		if found, ok := hold.ParseModel(m.String()); !ok || found != m {
			t.Errorf("%s is found as %s", m, found)
		}
	}
	for v := range hold.NumVariants {
		if found, ok := hold.ParseVariant(v.String()); !ok || found != v {
			t.Errorf("%s is found as %s", v, found)
		}
	}
	for f := range hold.NumLegForms {
		found, ok := hold.ParseLegForm(f.String())
		text, err := f.MarshalText()
		var read hold.LegForm
		if again := read.UnmarshalText(text); !ok || found != f || err != nil || again != nil || read != f {
			t.Errorf("%s is found as %s, written as %s and read as %s (%v, %v)", f, found, text, read, err, again)
		}
	}
	for _, name := range hold.Names() {
		if h, ok := hold.Parse(name); !ok || h.Name != name {
			t.Errorf("%s is found as %v", name, h)
		}
	}
	if h, ok := hold.Parse("elbow-lever"); ok || h != nil {
		t.Errorf("elbow-lever is found as %v", h)
	}
}

// The flag takes the shoulders' strength at one angle, 135 degrees between arm and trunk.
// With the strength at each posture's own angle, 90 degrees beyond that of the arms with
// the pole, the best posture moves little and the difficulty less.
func TestShouldersAtTheirOwnAngle(t *testing.T) {
	for _, population := range sexes {
		b := draw(t, population, body.Residual, 60, assume.Defaults())
		best := b.Solve(hold.HumanFlag, hold.Posture{}, hold.Equilibrium)
		own := make([]float64, b.Rows())
		at := make([]float64, b.Rows())
		for i := range own {
			own[i] = math.Inf(1)
		}
		for angle := 0.2; angle < 1.3; angle += 0.005 {
			c := hold.NewCapacity(b.Rows())
			c.Curve = b.Capacity.Curve
			for g := range muscle.NumGroups {
				factor := 1.0
				if g == muscle.ShoulderAdduction || g == muscle.ShoulderAbduction {
					factor = c.Curve[g].At(angle+math.Pi/2) / c.Curve[g].At(3*math.Pi/4)
				}
				for i := range c.Of[g] {
					c.Of[g][i] = factor * b.Capacity.Of[g][i]
				}
			}
			angles := make([]float64, b.Rows())
			for i := range angles {
				angles[i] = angle
			}
			there := &holdtest.Bodies{Columns: b.Columns, Capacity: c, Assume: b.Assume}
			r := there.Solve(hold.HumanFlag, hold.Posture{Rule: hold.GivenAngle, Angle: angles}, hold.Equilibrium)
			for i, d := range r.Value[hold.Difficulty] {
				if d < own[i] {
					own[i], at[i] = d, angle
				}
			}
		}
		turns, changes := make([]float64, b.Rows()), make([]float64, b.Rows())
		for i := range own {
			turns[i] = (at[i] - best.Value[hold.ArmAngle][i]) * 180 / math.Pi
			changes[i] = own[i]/best.Value[hold.Difficulty][i] - 1
		}
		turn, change := medianOf(turns), medianOf(changes)
		t.Logf("%s: at the shoulders' own angle the median best angle moves by %+.1f degrees, the difficulty by %+.1f %%", population, turn, 100*change)
		if !(math.Abs(turn) <= 3) || !(math.Abs(change) <= 0.01) {
			t.Errorf("%s: at the shoulders' own angle the best angle moves by %.1f degrees, the difficulty by %.1f %%", population, turn, 100*change)
		}
	}
}

func TestBattery(t *testing.T) {
	for _, h := range hold.All() {
		t.Run(h.Name, func(t *testing.T) { holdtest.Battery(t, h) })
	}
}

// with returns a copy of the front lever that is asked for one more demand, which it
// fills as fill says.
func with(d hold.Demand, fill func(r *hold.Result, i int) float64) *hold.Hold {
	h := *hold.FrontLever
	h.Asks = hold.Always(append(hold.FrontLever.Asks(hold.Equilibrium), d)...)
	h.Solve = func(out *hold.Result, b *body.Columns, c *hold.Capacity, p hold.Posture, m hold.Model, a *assume.Set) {
		hold.FrontLever.Solve(out, b, c, p, m, a)
		column := out.Column(d)
		for i, possible := range out.Possible {
			if possible {
				column.Set(i, fill(out, i))
			}
		}
	}
	return &h
}

// A demand that nothing checks fails the battery, and so does one whose oracle the
// figure does not tell, and any that is wrong by a millionth.
func TestBatteryFailsWhatNothingChecks(t *testing.T) {
	zero := func(*hold.Result, int) float64 { return 0 }
	invented := &hold.DemandInfo{Name: "elbow_moment", Unit: "BW·m", Meaning: "moment at both elbows"}
	for _, test := range []struct {
		hold *hold.Hold
		want string
	}{
		{with(invented, zero), "nothing checks elbow_moment: it has no oracle"},
		{with(hold.WallPush, zero), `nothing checks wall_push: hold: the figure has no support "both heels"`},
		{with(hold.HandSpacing, zero), ""}, // the hands of a lever are beside each other
	} {
		err := holdtest.Oracles(test.hold)
		if test.want == "" && err != nil || test.want != "" && (err == nil || !strings.Contains(err.Error(), test.want)) {
			t.Errorf("the battery says %v, want %q", err, test.want)
		}
	}
	for _, d := range hold.FrontLever.Asks(hold.Equilibrium) {
		wrong := with(d, func(r *hold.Result, i int) float64 { return r.Value[d][i] * (1 + 1e-6) })
		if err := holdtest.Oracles(wrong); err == nil || !strings.Contains(err.Error(), d.Name) && !strings.Contains(err.Error(), "equilibrium") {
			t.Errorf("a wrong %s passes: %v", d, err)
		}
	}
}

// The other checks of the battery fail as well.
func TestBatteryFails(t *testing.T) {
	bad := &hold.DemandInfo{Name: "bad", Unit: "BW"}
	for _, test := range []struct {
		name string
		hold *hold.Hold
		run  func(*hold.Hold) error
		want string
	}{
		{"a demand in metres that does not scale", with(&hold.DemandInfo{Name: "bad", Unit: "m"}, func(*hold.Result, int) float64 { return 1 }), holdtest.Scaling, "bad is 1"},
		{"a demand that jumps", with(bad, func(r *hold.Result, i int) float64 {
			if r.Value[hold.LeanAngle][i] > 0.6 {
				return 1
			}
			return 0
		}), holdtest.Continuity, "bad jumps by 1"},
		{"a number left of a body that is refused", leaves(bad), holdtest.Refusal, "bad is 7"},
		{"a column that is not written", with(bad, func(r *hold.Result, i int) float64 { return r.Value[bad][i] }), holdtest.Refusal, "bad is NaN"},
		{"a hold that allocates", with(bad, func(*hold.Result, int) float64 { kept = make([]float64, 1); return 0 }), holdtest.Allocation, "allocates"},
		{"a figure that weighs too much", placed(func(f *hold.Figure) {
			for k := range f.System.Segments {
				if s := &f.System.Segments[k]; s.Name == "left hand" {
					s.Mass++ // at the bar, where it turns nothing
				}
			}
		}), holdtest.Figures, "segments weigh"},
		{"parts that are not those of the difficulty", flagWith(func(values []float64) { values[1] *= 2 }), holdtest.Parts, "the parts are"},
		{"a load in the weight of all that is held up", heavy(), holdtest.Loads, "under"},
		{"a load that hangs elsewhere", placed(func(f *hold.Figure) {
			for k := range f.System.Loads {
				f.System.Loads[k].At.X += 0.01
			}
		}), holdtest.Loads, "under"},
		{"a bar out of reach", placed(func(f *hold.Figure) { f.Fixture[0].From.Y++; f.Fixture[0].To.Y++ }), holdtest.Figures, "both hands is in the air"},
	} {
		if err := test.run(test.hold); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.name, err, test.want)
		}
	}
}

var kept []float64

// heavy returns the front lever as it would be by its closed form alone, which knows only
// the weight of all that it holds up.
func heavy() *hold.Hold {
	h := *hold.FrontLever
	h.Solve = func(out *hold.Result, b *body.Columns, c *hold.Capacity, p hold.Posture, m hold.Model, a *assume.Set) {
		hold.FrontLever.Solve(out, b, c, p, m, a)
		for i := range out.Possible {
			if moment := out.Value[hold.ShoulderMoment]; moment != nil {
				moment[i] /= b.Weight(i)
			}
		}
	}
	return &h
}

func leaves(d hold.Demand) *hold.Hold {
	h := with(d, func(*hold.Result, int) float64 { return 7 })
	solve := h.Solve
	h.Solve = func(out *hold.Result, b *body.Columns, c *hold.Capacity, p hold.Posture, m hold.Model, a *assume.Set) {
		solve(out, b, c, p, m, a)
		for i := range out.Possible {
			out.Column(d).Set(i, 7)
		}
	}
	return h
}

// placed returns the front lever with something altered in its figures.
func placed(alter func(f *hold.Figure)) *hold.Hold {
	h := *hold.FrontLever
	h.Figure = func(b *body.Columns, i int, p hold.Posture, held *hold.Result, a *assume.Set) (*hold.Figure, error) {
		f, err := hold.FrontLever.Figure(b, i, p, held, a)
		if err == nil {
			alter(f)
		}
		return f, err
	}
	return &h
}

// flagWith returns the flag with its parts altered.
func flagWith(alter func(values []float64)) *hold.Hold {
	h := *hold.HumanFlag
	h.PartsOf = func(b *body.Columns, c *hold.Capacity, i int, p hold.Posture, m hold.Model, a *assume.Set) func([]float64, float64) bool {
		at := hold.HumanFlag.PartsOf(b, c, i, p, m, a)
		return func(values []float64, angle float64) bool {
			ok := at(values, angle)
			alter(values)
			return ok
		}
	}
	return &h
}

// A figure is placed by a result of one row that has the demand it is placed by.
func TestFiguresNeedTheirDemand(t *testing.T) {
	b := draw(t, "ansur2-men", body.Residual, 2, assume.Defaults())
	r := hold.NewResult(1, hold.HipMoment)
	r.Allow(0, hold.NoLimit)
	if _, err := hold.FrontLever.Figure(b.Columns, 0, hold.Posture{}, r, &b.Assume); err == nil || errors.Is(err, hold.ErrNotPossible) || !strings.Contains(err.Error(), "lean_angle") {
		t.Errorf("placed without an angle: %v", err)
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
				h.Solve(r, block.Columns, block.Capacity, hold.Posture{}, hold.Equilibrium, &block.Assume)
			}
			b.ReportMetric(float64(rows*b.N)/b.Elapsed().Seconds()/1e6, "Mbodies/s")
		})
	}
}

// What a hold asks for does not hang on what else it is asked for: a demand for itself is
// the same to the bit as among all others, and so is who can take the posture.
func TestEachDemandAlone(t *testing.T) {
	b := draw(t, "ansur2-women", body.Residual, 40, assume.Defaults())
	for _, h := range hold.All() {
		legs := []hold.Legs{{}}
		for _, form := range h.LegForms {
			legs = append(legs, hold.LegsIn(form, 0.6))
		}
		for _, m := range h.Models {
			for _, l := range legs {
				p := hold.Posture{Legs: l}
				all := b.Solve(h, p, m)
				for _, d := range h.Asks(m) {
					r := hold.NewResult(b.Rows(), d)
					for i := range r.Value[d] {
						r.Value[d][i] = math.NaN()
					}
					h.Solve(r, b.Columns, b.Capacity, p, m, &b.Assume)
					for i, v := range r.Value[d] {
						if r.Possible[i] != all.Possible[i] || math.Float64bits(v) != math.Float64bits(all.Value[d][i]) {
							t.Fatalf("%s, %s, legs %s: body %d has %s %v (possible: %v) alone and %v (%v) among others", h.Name, m, l.Form, i, d, v, r.Possible[i], all.Value[d][i], all.Possible[i])
						}
					}
				}
			}
		}
	}
}

// A model of a hold rests on each assumption once, and on the strengths of exactly those
// groups that it uses and of whose strength something is known.
func TestStrengthsThatHoldsRestOn(t *testing.T) {
	for _, h := range hold.All() {
		for _, m := range h.Models {
			rests := h.Assumptions(m)
			want := map[assume.ID]bool{}
			for _, u := range h.Uses(m) {
				if h.Unknown(m, hold.UseOf(u.Group), hold.Posture{}) == "" {
					want[assume.StrengthOf(u.Group)] = true
				}
			}
			for k, id := range rests {
				if slices.Contains(rests[:k], id) {
					t.Errorf("%s under %s rests on %s twice", h.Name, m, id)
				}
			}
			for g := range muscle.NumGroups {
				if id := assume.StrengthOf(g); slices.Contains(rests, id) != want[id] {
					t.Errorf("%s under %s rests on %s: %v, want %v", h.Name, m, id, !want[id], want[id])
				}
			}
		}
	}
}

// How much harder than at the best angle the flag is at others: METHODS.md, Limits.
func TestDifficultyAwayFromTheBestAngle(t *testing.T) {
	for _, c := range []struct {
		population string
		at         []float64 // degrees
		harder     []float64 // in the median, least and most
	}{
		{"us-men", []float64{20, 41, 45}, []float64{0.03, 0.05, 0.045, 0.07, 0.08, 0.11}},
		{"us-women", []float64{20, 28, 45}, []float64{0.28, 0.35, 0.17, 0.23, 0.03, 0.05}},
	} {
		b := draw(t, c.population, body.Residual, 200, assume.Defaults())
		best := b.Solve(hold.HumanFlag, hold.Posture{}, hold.Equilibrium)
		for k, degrees := range c.at {
			angles := slices.Repeat([]float64{degrees * math.Pi / 180}, b.Rows())
			r := b.Solve(hold.HumanFlag, hold.Posture{Rule: hold.GivenAngle, Angle: angles}, hold.Equilibrium)
			harder := make([]float64, b.Rows())
			for i := range harder {
				harder[i] = r.Value[hold.Difficulty][i]/best.Value[hold.Difficulty][i] - 1
			}
			t.Logf("%s at %v degrees: %+.1f %%, best at %.1f", c.population, degrees, 100*medianOf(harder), medianOf(best.Value[hold.ArmAngle])*180/math.Pi)
			if m := medianOf(harder); !(m >= c.harder[2*k] && m <= c.harder[2*k+1]) {
				t.Errorf("%s at %v degrees: %.1f %% harder", c.population, degrees, 100*m)
			}
		}
	}
}
