package freebody

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/bodies"
	"counterpoise/internal/draw"
	"counterpoise/internal/golden"
	"counterpoise/internal/limbs"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/statics"
)

func held(t *testing.T, name, people string, posture hold.Posture) *HeldBody {
	t.Helper()
	h, ok := hold.Parse(name)
	if !ok {
		t.Fatalf("no hold %s", name)
	}
	population := golden.Must(anthro.Load(people))(t)
	a := assume.Defaults()
	return golden.Must(HoldMedianBody(h, hold.Equilibrium, posture, body.Load{}, population, &a))(t)
}

// A body that stands has its own measures, whatever its hold shows of them, and its first arm straight
// at the angle; the hand goes further square to it.
func TestStandingIsToScale(t *testing.T) {
	for _, c := range []struct {
		hold string
		legs hold.Legs
	}{
		{"human-flag", hold.Legs{}}, {"human-flag", hold.LegsIn(hold.Tuck, 0)}, {"front-lever", hold.LegsIn(hold.Straddle, 0.7)}, {"side-plank", hold.Legs{}}, {"planche", hold.LegsIn(hold.AdvancedTuck, 0)},
	} {
		b := held(t, c.hold, "us-men", hold.Posture{Legs: c.legs})
		body := b.Body
		for _, angle := range []float64{0.3, 1.2, 2.4} {
			f, hand, along, further := limbs.Standing(b.Figure, body, b.Hold.FromFront(), angle)
			var first string
			reach, leg := map[string]float64{}, map[string]float64{}
			var shoulder statics.Vec
			for _, bone := range f.Bones {
				side, part, _ := strings.Cut(bone.Segment, " ")
				length := bone.To.Minus(bone.From).Length()
				switch part {
				case "upper arm", "forearm", "hand":
					if first == "" {
						first, shoulder = side, bone.From
					}
					reach[side] += length
				case "thigh", "shank":
					leg[side] += length
				}
			}
			for side, got := range leg {
				if want := body.Thigh[0] + body.Shank[0]; math.Abs(got-want) > 1e-9 {
					t.Errorf("%s: the %s leg is %.3f m long, want %.3f", c.hold, side, got, want)
				}
			}
			arm := hand.Minus(shoulder)
			if math.Abs(arm.Length()-reach[first]) > 1e-9 || math.Abs(math.Acos(-arm.Y/arm.Length())-angle) > 1e-9 {
				t.Errorf("%s, %g: the arm is %.3f m long of %.3f, from the trunk by %.3f", c.hold, angle, arm.Length(), reach[first], math.Acos(-arm.Y/arm.Length()))
			}
			if square := along.X*further.X + along.Y*further.Y; math.Abs(square) > 1e-12 || math.Abs(arm.X*along.Y-arm.Y*along.X) > 1e-9 || (further.Y > 0) != (math.Sin(angle) > 0) {
				t.Errorf("%s, %g: along %v, further %v", c.hold, angle, along, further)
			}
		}
	}
}

// At a test the body stands on its feet over the floor, its head up, and a rope goes from the hand
// square to the arm: from an arm that goes up towards the floor, from one that goes down away from it.
func TestBodyAtATest(t *testing.T) {
	for _, name := range []string{"human-flag", "iron-cross", "front-lever", "planche"} {
		b := held(t, name, "us-women", hold.Posture{})
		for way := range person.NumWays {
			for _, angle := range []float64{0.3, 1.2, 2.4} {
				s := golden.Must(TestOf(b.HeldBody, b.Hold, way, angle, "the test"))(t)
				low, high := math.Inf(1), math.Inf(-1)
				for _, shape := range s.Body.Body {
					for _, p := range shape.Points {
						low, high = math.Min(low, p.Y), math.Max(high, p.Y)
					}
				}
				// Above the head there may be a hand.
				if tall := high - low; tall < 0.96*b.Body.Stature[0] || tall > 1.35*b.Body.Stature[0] {
					t.Errorf("%s, %s, %g: %.2f m from the floor up, of a body of %.2f m", name, way, angle, tall, b.Body.Stature[0])
				}
				var rope, floor *bodies.Fixture
				for k := range s.Body.Fixtures {
					switch f := &s.Body.Fixtures[k]; f.Kind {
					case bodies.Cable:
						rope = f
					case bodies.Floor:
						floor = f
					}
				}
				if floor == nil || floor.From.Y != low || floor.To.Y != low || !(floor.From.X < floor.To.X) {
					t.Errorf("%s, %s, %g: the floor is %+v, the lowest point %g", name, way, angle, floor, low)
				}
				if (rope == nil) != (way == person.Push) {
					t.Errorf("%s, %s: the rope is %+v", name, way, rope)
				}
				if rope == nil || !way.Across() {
					continue
				}
				up := way == person.Up || way == person.Forward
				if outwards := rope.To.X*rope.From.X > rope.From.X*rope.From.X; outwards != (up == (angle > math.Pi/2)) {
					t.Errorf("%s, %s, %g: the rope goes from %+v to %+v", name, way, angle, rope.From, rope.To)
				}
				if falls := rope.To.Y < rope.From.Y; falls != up {
					t.Errorf("%s, %s, %g: the rope goes from %+v to %+v", name, way, angle, rope.From, rope.To)
				}
				steep := math.Atan2(math.Abs(rope.To.Y-rope.From.Y), math.Abs(rope.To.X-rope.From.X))
				if off := math.Mod(steep-angle+math.Pi, math.Pi); math.Min(off, math.Pi-off) > 1e-9 && math.Abs(math.Pi-steep-angle) > 1e-9 {
					t.Errorf("%s, %s, %g: the rope rises by %g, not square to the arm", name, way, angle, steep)
				}
			}
		}
	}
}

func posed(v hold.Variant, value float64) hold.Posture {
	p := hold.Posture{}
	p.Pose[v] = value
	return p
}

func TestFreeBodyGolden(t *testing.T) {
	for _, c := range []struct {
		name, hold string
		posture    hold.Posture
		size       draw.Size
		theme      draw.Theme
	}{
		{"human-flag", "human-flag", hold.Posture{}, draw.Slide, draw.Light},
		{"front-lever", "front-lever", hold.Posture{}, draw.Slide, draw.Light},
		{"front-lever-one-leg", "front-lever", hold.Posture{Legs: hold.LegsIn(hold.OneLeg, 0)}, draw.Post, draw.Light},
		{"planche", "planche", hold.Posture{}, draw.Slide, draw.Light},
		{"iron-cross", "iron-cross", hold.Posture{}, draw.Post, draw.Dark},
		{"push-up", "push-up", hold.Posture{}, draw.Slide, draw.Light},
		{"push-up-feet-raised", "push-up", posed(hold.FeetRaised, 0.61), draw.Column, draw.Light},
		{"wall-handstand", "wall-handstand", hold.Posture{}, draw.Post, draw.Light},
	} {
		f := golden.Must(FreeBodyOf(held(t, c.hold, "ansur2-men", c.posture)))(t)
		dir := t.TempDir()
		if _, err := draw.Save(dir, c.name, f, c.size, c.theme); err != nil {
			t.Fatal(err)
		}
		svg := golden.Must(os.ReadFile(filepath.Join(dir, c.name+".svg")))(t)
		golden.Text(t, "free-body/"+c.name+".svg", svg)
	}
}

// What is drawn, from the general problem, is what the closed forms ask for.
func TestFreeBodyShowsTheDemands(t *testing.T) {
	for _, c := range []struct {
		hold    string
		posture hold.Posture
		demand  hold.Demand
		of      func(f bodies.FreeBody) float64
	}{
		{"human-flag", hold.Posture{}, hold.HorizontalForce, func(f bodies.FreeBody) float64 { return -force(f, "top hand").X }},
		{"human-flag", hold.Posture{}, hold.HorizontalForce, func(f bodies.FreeBody) float64 { return force(f, "bottom hand").X }},
		{"front-lever", hold.Posture{}, hold.ShoulderMoment, func(f bodies.FreeBody) float64 { return moment(f, "shoulders") }},
		{"planche", hold.Posture{}, hold.ShoulderMoment, func(f bodies.FreeBody) float64 { return moment(f, "shoulders") }},
		{"iron-cross", posed(hold.ArmsLow, 0.41), hold.ShoulderMoment, func(f bodies.FreeBody) float64 { return moment(f, "left shoulder") }},
		{"push-up", posed(hold.HandsRaised, 0.53), hold.HandShare, func(f bodies.FreeBody) float64 { return force(f, "both hands").Y }},
		{"push-up", posed(hold.Bent, 1), hold.FootShare, func(f bodies.FreeBody) float64 { return force(f, "both feet").Y }},
		{"wall-handstand", posed(hold.WallDistance, 0.27), hold.WallPush, func(f bodies.FreeBody) float64 { return -force(f, "both heels").X }},
	} {
		b := held(t, c.hold, "ansur2-women", c.posture)
		f := golden.Must(FreeBodyOf(b))(t)
		want, ok := b.Demand(c.demand)
		if got := c.of(f); !ok || want == 0 || math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %s is drawn as %.12g, asked is %.12g", c.hold, c.demand, got, want)
		}
	}
}

func force(f bodies.FreeBody, name string) bodies.Force {
	for _, s := range f.Forces {
		if s.Name == name {
			return s
		}
	}
	return bodies.Force{X: math.NaN(), Y: math.NaN()}
}

func moment(f bodies.FreeBody, name string) float64 {
	for _, m := range f.Moments {
		if m.Name == name {
			return math.Abs(m.Value)
		}
	}
	return math.NaN()
}

// The arms hold the flag's body up: what is above pulls towards the pole, what is
// below pushes away from it. A lever's centre of mass hangs under the bar, a
// planche's lies over the hands.
func TestFreeBodyStandsRight(t *testing.T) {
	flag, _ := FreeBodyOf(held(t, "human-flag", "ansur2-men", hold.Posture{}))
	if top, bottom := force(flag, "top hand"), force(flag, "bottom hand"); !(top.X < 0 && bottom.X > 0 && top.Y > 0 && bottom.Y > 0 && top.At.Y > bottom.At.Y && flag.Centre.X > 0) {
		t.Errorf("flag: %+v, %+v", top, bottom)
	}
	for name, side := range map[string]float64{"front-lever": -1, "back-lever": -1, "planche": 1} {
		f := golden.Must(FreeBodyOf(held(t, name, "ansur2-men", hold.Posture{})))(t)
		hands := f.Forces[0]
		if math.Abs(hands.At.X-f.Centre.X) > 1e-9 || side*(f.Centre.Y-hands.At.Y) < 0.1 {
			t.Errorf("%s: centre of mass at %v, hands at %v", name, f.Centre, hands.At)
		}
	}
}

// Titles are made of the numbers that they state.
func TestFreeBodyTitles(t *testing.T) {
	for _, c := range []struct {
		hold    string
		posture hold.Posture
		want    string
	}{
		{"front-lever", hold.Posture{}, "Front lever, an average man (175\u00a0cm, 84\u00a0kg): both shoulders carry 3"},
		{"front-lever", hold.Posture{Legs: hold.LegsIn(hold.Straddle, 0.7)}, "Front lever, straddle 40.11°, an average man (175\u00a0cm, 84\u00a0kg): both shoulders carry 3"},
		{"iron-cross", hold.Posture{}, "Iron cross, an average man (175\u00a0cm, 84\u00a0kg): each shoulder carries 2"},
		{"one-arm-hang", hold.Posture{}, "One-arm hang, an average man (175\u00a0cm, 84\u00a0kg): the hand carries 8"},
		{"two-arm-hang", hold.Posture{}, "Two-arm hang, an average man (175\u00a0cm, 84\u00a0kg): the hands carry 8"},
		{"push-up", posed(hold.FeetRaised, 0.61), "Push-up, held, feet raised 61\u00a0cm, an average man (175\u00a0cm, 84\u00a0kg): the hands carry 6"},
		{"wall-handstand", posed(hold.OneArm, 1), "Handstand against a wall, one arm, an average man (175\u00a0cm, 84\u00a0kg): the hand carries 85"},
	} {
		f := golden.Must(FreeBodyOf(held(t, c.hold, "ansur2-men", c.posture)))(t)
		if !strings.HasPrefix(f.Title, c.want) {
			t.Errorf("%q, want it to begin with %q", f.Title, c.want)
		}
	}
}

// A posture that the body cannot take is that error, not a picture.
func TestNotPossibleIsSaid(t *testing.T) {
	h, _ := hold.Parse("wall-handstand")
	population := golden.Must(anthro.Load("ansur2-men"))(t)
	a := assume.Defaults()
	if _, err := HoldMedianBody(h, hold.Equilibrium, posed(hold.WallDistance, 3), body.Load{}, population, &a); !errors.Is(err, hold.ErrNotPossible) {
		t.Errorf("3 m from the wall: %v", err)
	}
}

// What a hold ignores changes nothing that it asks of a body: so nothing is lost where it is refused.
func TestWhatHoldsIgnore(t *testing.T) {
	people := golden.Must(anthro.Load("us-men"))(t)
	u := assume.DefaultUncertainty()
	for _, h := range hold.All() {
		ignored := 0
		for id := range assume.Count {
			if !h.Ignores(id) {
				continue
			}
			ignored++
			for _, m := range h.Models {
				var asked [2][]float64
				for k, x := range []float64{u.Low[id], u.High[id]} {
					a := assume.Defaults()
					a[id] = x
					b := golden.Must(HoldMedianBody(h, m, hold.Posture{}, body.Load{}, people, &a))(t)
					for _, d := range h.Told(m, hold.Posture{}) {
						value, _ := b.Demand(d)
						asked[k] = append(asked[k], value)
					}
				}
				if !slices.Equal(asked[0], asked[1]) {
					t.Errorf("%s, %s: %s is ignored, and makes %v of %v", h.Name, m, id, asked[1], asked[0])
				}
			}
		}
		if ignored < 3 || !h.Ignores(assume.PressureReach) != slices.Contains(h.Assumptions(h.Models[0]), assume.PressureReach) {
			t.Errorf("%s ignores %d assumptions", h.Name, ignored)
		}
	}
}
