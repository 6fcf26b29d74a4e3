package hold_test

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/hold/holdtest"
	"counterpoise/sim/muscle"
)

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
		{"a bar out of reach", placed(func(f *hold.Figure) { f.Fixture[0].From.Y++; f.Fixture[0].To.Y++ }), holdtest.Figures, "both hands is in the air"},
	} {
		if err := test.run(test.hold); err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%s: %v, want %q", test.name, err, test.want)
		}
	}
}

var kept []float64

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
