package limbs

import (
	"math"
	"slices"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/holds"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
	"counterpoise/sim/statics"
)

// Every hold can be drawn: shapes that are closed, finite and not folded to nothing, from
// behind; none of them through a floor by more than the thickness of a hand or a foot.
func TestEveryHoldIsDrawn(t *testing.T) {
	for _, h := range holds.All() {
		f := median(t, h)
		list := golden.Must(Silhouette(f, h.FromFront()))(t)
		seen := map[[2]statics.Vec]bool{} // bones that are not behind others
		for _, bone := range f.Bones {
			seen[[2]statics.Vec{bone.From, bone.To}] = true
		}
		if len(list) < len(seen)-2 || !slices.IsSortedFunc(list, func(a, b Shape) int { return int(a.Layer - b.Layer) }) {
			t.Errorf("%s: %d shapes of %d bones, or out of order", h.Name, len(list), len(seen))
		}
		for k, shape := range list {
			area := 0.0
			for i, p := range shape.Points {
				q := shape.Points[(i+1)%len(shape.Points)]
				area += (p.X*q.Y - q.X*p.Y) / 2
				for _, e := range f.Fixture {
					if e.Name == "floor" && p.Y < e.From.Y-0.06 && p.X > e.From.X && p.X < e.To.X {
						t.Errorf("%s: shape %d reaches %.3f m through the floor", h.Name, k, e.From.Y-p.Y)
					}
				}
			}
			if !(math.Abs(area) > 5e-4 && math.Abs(area) < 0.3) {
				t.Errorf("%s: shape %d has an area of %g m²", h.Name, k, area)
			}
		}
	}
}

// The nose points to where the belly looks: up in a front lever, down in a back lever and a
// planche, away from the arms' wall; and a mirrored figure is the mirrored drawing.
func TestFacesLookWhereTheBellyDoes(t *testing.T) {
	for _, c := range []struct {
		hold string
		x, y float64
	}{{"front-lever", 0, 1}, {"back-lever", 0, -1}, {"planche", 0, -1}, {"push-up", 0, -1}, {"l-sit", 1, 0}, {"dragon-flag", 0, 1}, {"hollow-back-planche", 0, -1}} {
		h, known := holds.Find(c.hold)
		if !known {
			t.Fatal(c.hold)
		}
		f := median(t, h)
		list := golden.Must(Silhouette(f, h.FromFront()))(t)
		head := boneOf(f, hold.SegmentHead)
		along := unit(head.From, head.To)
		ahead := left(along)
		if ahead.X*c.x+ahead.Y*c.y < 0 {
			ahead = ahead.Times(-1)
		}
		face, back := 0.0, 0.0
		for _, shape := range list {
			for _, p := range shape.Points {
				off := p.Minus(head.From)
				if off.X*along.X+off.Y*along.Y > 0.1 && shape.Layer == Body {
					across := off.X*ahead.X + off.Y*ahead.Y
					face, back = max(face, across), max(back, -across)
				}
			}
		}
		if !(face > back+0.005) {
			t.Errorf("%s: the face is %.3f m ahead, the back of the head %.3f m behind", c.hold, face, back)
		}
	}
}

// A heavier body of the same bones is broader, and along its bones as long.
func TestHeavierIsBroader(t *testing.T) {
	h, known := holds.Find("two-arm-hang")
	if !known {
		t.Fatal("no two-arm hang")
	}
	f := median(t, h)
	size := func() (across, along float64) {
		list := golden.Must(Silhouette(f, h.FromFront()))(t)
		low, high := statics.Vec{X: math.Inf(1), Y: math.Inf(1)}, statics.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
		for _, shape := range list {
			for _, p := range shape.Points {
				low = statics.Vec{X: min(low.X, p.X), Y: min(low.Y, p.Y)}
				high = statics.Vec{X: max(high.X, p.X), Y: max(high.Y, p.Y)}
			}
		}
		return high.X - low.X, high.Y - low.Y
	}
	across, along := size()
	f.Mass *= 1.44
	broader, longer := size()
	if math.Abs(longer/along-1) > 0.01 || broader/across < 1.12 || broader/across > 1.22 {
		t.Errorf("44 %% heavier: %.3f times as broad, %.3f times as long", broader/across, longer/along)
	}
}

func median(t *testing.T, h *hold.Hold) *hold.Figure {
	t.Helper()
	body := golden.Must(person.NewMedianBody(person.Person{Sex: anthro.Female, Hold: h}, person.DefaultOptions()))(t)
	held, err := body.Hold(hold.Equilibrium, hold.Best, 0)
	if err != nil || held == nil {
		t.Fatalf("%s: %v", h.Name, err)
	}
	return held.Figure
}
