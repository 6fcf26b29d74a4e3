package outline_test

import (
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/hold/holdtest"
	"counterpoise/sim/muscle"
	"counterpoise/sim/outline"
)

const degree = math.Pi / 180

func level(degrees float64) outline.Pair {
	return outline.Pair{First: outline.Angle{Against: outline.Level, Value: degrees * degree}}
}

func raised(degrees float64) outline.Pair {
	return outline.Pair{First: outline.Angle{Against: outline.Trunk, Value: degrees * degree}}
}

func bent(degrees float64) outline.Pair {
	return outline.Pair{First: outline.Angle{Value: degrees * degree}}
}

var freelyRaised = outline.Pair{First: outline.Angle{Against: outline.Trunk, Free: true}}

// described are holds of the program, as somebody would describe them who has none.
var described = map[string]outline.Outline{
	"front-lever": {
		Name: "my-front-lever", Title: "Front lever", Looks: "Level under a bar, face up.", Faces: outline.FacesUp,
		Parts:    [outline.NumParts]outline.Pair{outline.Chest: level(0), outline.UpperArm: freelyRaised},
		Free:     &outline.Free{From: 0, To: 120 * degree, By: outline.Balance},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Bar}}, LegForms: true,
	},
	"planche": {
		Name: "my-planche", Title: "Planche", Looks: "Level above the floor, face down.", Faces: outline.FacesDown,
		Parts:    [outline.NumParts]outline.Pair{outline.Chest: level(180), outline.UpperArm: freelyRaised},
		Free:     &outline.Free{From: 0, To: 90 * degree, By: outline.Balance},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Floor}}, LegForms: true,
	},
	"iron-cross": {
		Name: "my-cross", Title: "Cross", Looks: "Upright between two rings.", View: outline.Front,
		Parts:    [outline.NumParts]outline.Pair{outline.Chest: level(-90), outline.UpperArm: raised(90)},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Rings, Apart: 0.5, Cable: 3}},
	},
	"push-up": {
		Name: "my-push-up", Title: "Push-up", Looks: "Straight on hands and toes.", Faces: outline.FacesDown,
		Parts: [outline.NumParts]outline.Pair{
			outline.Chest:    {First: outline.Angle{Against: outline.Level, Free: true}},
			outline.UpperArm: {First: outline.Angle{Against: outline.Trunk, Assumed: outline.By(assume.PlankAngle)}},
		},
		Feet: outline.Standing,
		Free: &outline.Free{From: 180 * degree, To: 240 * degree, By: outline.Higher, Of: outline.Hands, Over: outline.Balls},
		Supports: []outline.Support{
			{At: outline.Hands, On: outline.Floor, Leans: &outline.Amount{Assumed: outline.By(assume.PushDirection)}},
			{At: outline.Balls, On: outline.Floor, Grips: true},
		},
		ReportedOnly: []outline.Judged{outline.JudgedShoulders},
	},
	"human-flag": {
		Name: "my-flag", Title: "Flag", Looks: "Out from a pole.", View: outline.Front, ShouldersRaised: true,
		Parts:    [outline.NumParts]outline.Pair{outline.Chest: level(0), outline.UpperArm: freelyRaised},
		Free:     &outline.Free{From: 100 * degree, To: 170 * degree, By: outline.Least},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Pole}}, LegForms: true,
		ShoulderStrengthAt: new(135 * degree),
	},
	"l-sit": {
		Name: "my-l-sit", Title: "L-sit", Looks: "Upright on the hands, legs level.", Faces: outline.FacesRight,
		Parts:    [outline.NumParts]outline.Pair{outline.Chest: level(-90), outline.UpperArm: freelyRaised, outline.Thigh: bent(90)},
		Free:     &outline.Free{From: -60 * degree, To: 60 * degree, By: outline.Balance},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Floor}}, LegForms: true, HipsDecide: true,
		ReportedOnly: []outline.Judged{outline.JudgedShoulders},
	},
	"back-lever": {
		Name: "my-back-lever", Title: "Back lever", Looks: "Level under a bar, face down.", Faces: outline.FacesDown,
		Parts:    [outline.NumParts]outline.Pair{outline.Chest: level(0), outline.UpperArm: freelyRaised},
		Free:     &outline.Free{From: -120 * degree, To: 0, By: outline.Balance},
		Supports: []outline.Support{{At: outline.Hands, On: outline.Bar}}, LegForms: true,
	},
	"wall-handstand": {
		Name: "my-handstand", Title: "Handstand", Looks: "Upside down, heels on a wall.", Faces: outline.FacesLeft, ShouldersRaised: true,
		Parts: [outline.NumParts]outline.Pair{
			outline.Chest:    {First: outline.Angle{Against: outline.Level, Free: true}},
			outline.UpperArm: raised(180),
		},
		Free: &outline.Free{From: 45 * degree, To: 95 * degree, By: outline.Across, Of: outline.Heels, Over: outline.Hands, Value: hold.DefaultWallDistance},
		Supports: []outline.Support{
			{At: outline.Hands, On: outline.Floor, Grips: true, Fingers: 90 * degree},
			{At: outline.Heels, On: outline.Wall, Rubs: &outline.Amount{Assumed: outline.By(assume.WallFriction)}},
		},
	},
}

// What the closed forms of the program say of bodies, the same holds say that are
// described, to the rounding of numbers.
func TestSameAsShipped(t *testing.T) {
	const rows = 5000 // of either sex
	for name, o := range described {
		shipped, _ := hold.Parse(name)
		mine, err := o.Hold()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for _, of := range []string{"ansur2-men", "ansur2-women"} {
			b := golden.Must(holdtest.Draw(of, body.Residual, rows, assume.Defaults()))(t)
			for _, form := range mine.LegForms {
				if !shipped.TakesLegs(form) {
					continue
				}
				p := hold.Posture{Legs: hold.LegsIn(form, 0.55)}
				got, want := b.Solve(mine, p, hold.Equilibrium), b.Solve(shipped, p, hold.Equilibrium)
				compared := 0
				for d, column := range want.Value {
					mineOf := got.Value[d]
					if mineOf == nil || reportedOnly(shipped, d) || !shipped.Tells(hold.Equilibrium, d, p) {
						continue
					}
					if !mine.Tells(hold.Equilibrium, d, p) {
						t.Errorf("%s, %s: %s is not known as described: %s", name, form, d, mine.Unknown(hold.Equilibrium, d, p))
						continue
					}
					compared++
					worst, at := 0.0, 0
					for i := range column {
						x, y := mineOf[i], column[i]
						if !d.Signed {
							x, y = math.Abs(x), math.Abs(y)
						}
						if off := math.Abs(x-y) / math.Max(1, math.Abs(y)); !(off <= worst) {
							worst, at = off, i
						}
						if got.Possible[i] != want.Possible[i] {
							t.Fatalf("%s, %s: row %d is possible %v, shipped %v", name, form, i, got.Possible[i], want.Possible[i])
						}
					}
					if !(worst <= 1e-9) {
						t.Errorf("%s, %s of %s: %s is %.12g of row %d, shipped %.12g", name, form, of, d, mineOf[at], at, column[at])
					}
				}
				if compared < 4 {
					t.Errorf("%s: only %d demands are compared", name, compared)
				}
			}
		}
	}
}

// reportedOnly is whether the demand is what is used of muscles that decide nothing, or
// of the elbows of a push-up, which shipped holds leave out while they are straight.
func reportedOnly(h *hold.Hold, d hold.Demand) bool {
	for _, u := range h.Uses(hold.Equilibrium) {
		if elbows := h == hold.PushUp && u.Group == muscle.ElbowExtension; hold.UseOf(u.Group) == d && !u.Reported && !elbows {
			return false
		}
	}
	return strings.HasPrefix(d.Name, "use_of_") && h != hold.HumanFlag
}

// Every described hold passes the battery of shipped ones.
func TestBattery(t *testing.T) {
	for name, o := range described {
		t.Run(name, func(t *testing.T) {
			h := golden.Must(o.Hold())(t)
			holdtest.Battery(t, h)
		})
	}
}

// BenchmarkSolve is the time of one body: without a free angle, with one that balance or a
// height fixes, and with one that the performer chooses.
func BenchmarkSolve(b *testing.B) {
	for _, name := range []string{"iron-cross", "front-lever", "push-up", "wall-handstand", "human-flag"} {
		o := described[name]
		h := golden.Must(o.Hold())(b)
		bodies := golden.Must(holdtest.Draw("ansur2-men", body.Residual, 512, assume.Defaults()))(b)
		r := hold.NewResult(bodies.Rows(), hold.Difficulty, hold.RequiredForce)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				h.Solve(r, bodies.Columns, bodies.Capacity, hold.Posture{}, hold.Equilibrium, &bodies.Assume)
			}
			b.ReportMetric(float64(b.N)*float64(bodies.Rows())/b.Elapsed().Seconds(), "bodies/s")
		})
	}
}
