package explorer

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/sim/hold"
)

// The forces on every figure and its weight add up to nothing, wherever its arms are
// put, and the figure stands where the answer says.
func TestFiguresBalance(t *testing.T) {
	for _, h := range hold.All() {
		for _, m := range h.Models {
			person := fmt.Sprintf(`{"sex": "female", "hold": %q, "measurements": {"stature": "168", "mass": "61"}}`, h.Name)
			at := []string{""}
			if h.Places(hold.GivenAngle) {
				at = append(at, `, "angle_deg": 10`, `, "angle_deg": 33.3`, `, "angle_deg": 80`, `, "spacing_m": 0.8`)
			}
			for _, where := range at {
				f := ask[Pose](t, "pose", fmt.Sprintf(`{"person": %s, "model": %q%s}`, person, m, where)).Figure
				if !f.Possible || len(f.Limbs) == 0 || len(f.Joints) == 0 || len(f.Fixture) == 0 || len(f.Demands) != len(h.Asks(m)) || f.Centre == nil {
					t.Fatalf("%s, %s%s: %+v", h.Name, m, where, f)
				}
				sum, mass := Point{0, -f.Weight}, 0.0
				for _, s := range append(f.Supports, f.Loads...) {
					sum[0], sum[1] = sum[0]+s.Force[0], sum[1]+s.Force[1]
				}
				for _, b := range f.Bones {
					mass += b.Mass
				}
				if math.Hypot(sum[0], sum[1]) > 1e-9*f.Weight || math.Abs(mass-f.Mass) > 1e-9 || f.Mass != 61 {
					t.Errorf("%s, %s%s: left over are %v N, the bones weigh %v kg", h.Name, m, where, sum, mass)
				}
			}
		}
	}
}

func TestAnglesAndSpacingsBelongTogether(t *testing.T) {
	const request = `{"person": {"sex": "male", "tilt": "8", "measurements": {"stature": "180"}}, "model": "two-condition", %s}`
	first := ask[Pose](t, "pose", fmt.Sprintf(request, `"angle_deg": 40`)).Figure
	back := ask[Pose](t, "pose", fmt.Sprintf(request, fmt.Sprintf(`"spacing_m": %v`, *first.Spacing))).Figure
	if math.Abs(*back.Angle-40) > 1e-9 {
		t.Errorf("40° are %v m are %v°", *first.Spacing, *back.Angle)
	}
	// Every end of the ranges can be taken, and nothing beyond.
	for _, c := range []struct {
		field         string
		within, width float64
		possible      bool
	}{
		{"angle_deg", first.AngleRange.Least, 0, true}, {"angle_deg", first.AngleRange.Most, 0, true},
		{"spacing_m", first.SpacingRange.Least, 0, true}, {"spacing_m", first.SpacingRange.Most, 0, true},
		{"angle_deg", first.AngleRange.Least, -0.01, false}, {"angle_deg", first.AngleRange.Most, 0.01, false},
		{"spacing_m", first.SpacingRange.Least, -0.001, false}, {"spacing_m", first.SpacingRange.Most, 0.001, false},
	} {
		f := ask[Pose](t, "pose", fmt.Sprintf(request, fmt.Sprintf(`%q: %v`, c.field, c.within+c.width))).Figure
		if f.Possible != c.possible || f.Possible == (f.Why != "") {
			t.Errorf("%s %v: possible %v, %q", c.field, c.within+c.width, f.Possible, f.Why)
		}
	}
	if first.AngleRange.Least <= 10 || first.AngleRange.Most >= 80 {
		t.Errorf("tilted, the angles go from %+v", first.AngleRange)
	}
}

// The best posture of the figure is that of the curve.
func TestTheFigureStandsAtTheCurvesBest(t *testing.T) {
	const person = `{"sex": "male", "measurements": {"stature": "180", "mass": "77"}, "legs": {"form": "straddle", "angle": "30"}}`
	for _, c := range ask[Answer](t, "answer", `{"draws": 1000, "person": `+person+`}`).Curves {
		f := ask[Pose](t, "pose", `{"model": "`+c.Model+`", "person": `+person+`}`).Figure
		if *f.Angle != *c.BestAngle || *f.Spacing != *c.BestSpacing {
			t.Errorf("%s: %v° and %v m, the curve has %v° and %v m", c.Model, *f.Angle, *f.Spacing, *c.BestAngle, *c.BestSpacing)
		}
	}
}

func TestPosesThatCannotBeAsked(t *testing.T) {
	for request, want := range map[string]string{
		`{"person": {"sex": "male", "hold": "push-up"}, "model": "equilibrium", "angle_deg": 30}`: "angle_deg: push-up leaves no choice",
		`{"person": {"sex": "male"}, "model": "equilibrium", "angle_deg": 30, "spacing_m": 1}`:    "spacing_m: angle_deg and spacing_m exclude",
		`{"person": {"sex": "male", "hold": "push-up"}, "model": "two-condition"}`:                "model: unknown name",
		`{"person": {"sex": "male"}}`:                                            "model: unknown name",
		`{"person": {"sex": "male"}, "model": "equilibrium", "change": {}}`:      "unknown field",
		`{"person": {"sex": "male"}, "model": "equilibrium", "angle_deg": "30"}`: "angle_deg: found a string",
	} {
		if _, err := New(nil).Ask(t.Context(), "pose", []byte(request)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", request, err, want)
		}
	}
}
