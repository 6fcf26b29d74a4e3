package muscle

import (
	"math"
	"testing"
)

func TestGroups(t *testing.T) {
	for g := range NumGroups {
		i := g.Info()
		if back, ok := Parse(g.String()); !ok || back != g || i.Says == "" || i.Angle == "" || i.Verb == "" || i.Part == "" || i.Many == "" {
			t.Errorf("%s is not found by its name, or lacks words: %+v", g, i)
		}
		if g.IsMoment() == (i.Unit == "N") {
			t.Errorf("%s is a moment and in %s", g, i.Unit)
		}
	}
	if _, ok := Parse("calves"); ok {
		t.Error("found an unknown group")
	}
	for want, got := range map[string]string{
		"push of the bottom arm": ArmPush.Of(Bottom), "grip of the hands": Grip.Of(Both),
		"adduction of the top shoulder": ShoulderAdduction.Of(Top), "sideways bending of the waist": WaistSideways.Of(Both),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestCurve(t *testing.T) {
	var c Curve
	if c.Knows(0) || !math.IsNaN(c.At(0)) {
		t.Error("a curve of no angle is known")
	}
	c.Reach = 0.25
	c.Add(-0.5, 0.8)
	c.Add(0.5, 1)
	c.Add(1.5, 1.6)
	for angle, want := range map[float64]float64{-0.75: 0.8, -0.5: 0.8, 0: 0.9, 0.5: 1, 1: 1.3, 1.5: 1.6, 1.75: 1.6} {
		if got := c.At(angle); !(math.Abs(got-want) <= 1e-15) || !c.Knows(angle) {
			t.Errorf("at %g: %g, want %g; known: %v", angle, got, want, c.Knows(angle))
		}
	}
	for angle, nearest := range map[float64]float64{-0.76: 0.8, 9: 1.6, math.Inf(-1): 0.8, math.Inf(1): 1.6} {
		if c.Knows(angle) || c.At(angle) != nearest {
			t.Errorf("at %g: %g, known: %v", angle, c.At(angle), c.Knows(angle))
		}
	}
	if c.Knows(math.NaN()) || !math.IsNaN(c.At(math.NaN())) {
		t.Error("no angle at all is known")
	}
	for _, angle := range []float64{-100, 0, 7} {
		if !Flat.Knows(angle) || Flat.At(angle) != 1 {
			t.Errorf("flat at %g: %g", angle, Flat.At(angle))
		}
	}
}
