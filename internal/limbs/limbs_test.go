package limbs

import (
	"testing"

	"counterpoise/internal/holds"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

// Every hold can be shown: one head, every limb as wide as something, and no foot
// through a floor.
func TestEveryHoldHasLimbs(t *testing.T) {
	for _, h := range holds.All() {
		median, err := person.NewMedianBody(person.Person{Sex: anthro.Female, Hold: h}, person.DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		f, err := median.Hold(hold.Equilibrium, hold.Best, 0)
		if err != nil || f == nil {
			t.Fatalf("%s: %v", h.Name, err)
		}
		list, err := Of(f.Figure, FromFront(h))
		if err != nil {
			t.Fatal(err)
		}
		heads := 0
		for _, l := range list {
			if l.Head {
				heads++
			} else if !(l.FromWidth > 0 && l.ToWidth > 0) {
				t.Errorf("%s: %+v", h.Name, l)
			}
			for _, e := range f.Figure.Fixture {
				if e.Name == "floor" && min(l.From.Y, l.To.Y) < e.From.Y-1e-9 && max(l.From.X, l.To.X) > e.From.X && min(l.From.X, l.To.X) < e.To.X {
					t.Errorf("%s: %+v reaches through the floor at %v", h.Name, l, e.From.Y)
				}
			}
		}
		if heads != 1 || len(list) < len(f.Figure.Bones) {
			t.Errorf("%s: %d heads, %d limbs of %d bones", h.Name, heads, len(list), len(f.Figure.Bones))
		}
	}
}
