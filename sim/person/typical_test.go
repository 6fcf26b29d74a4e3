package person

import (
	"context"
	"errors"
	"math"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/statics"
)

// Who is shown needs what is told, within a hundredth, where the person is told to hold, and has
// what was measured of them.
func TestTypicalShowsWhatIsTold(t *testing.T) {
	for _, h := range []*hold.Hold{hold.HumanFlag, hold.FrontLever, hold.OneArmHang} {
		p := Person{Name: "Io", Sex: anthro.Female, Hold: h, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.66}, {Of: anthro.Mass, Value: 60}}}
		if h == hold.OneArmHang {
			p.Known = p.Known[:1] // the weight is open
		}
		r := golden.Must(Answer(context.Background(), p, DefaultOptions()))(t)
		shown := golden.Must(r.Typical(hold.Equilibrium))(t)
		m := &r.Models[0]
		q, _ := m.Quantity(m.Main)
		held := shown.Held.Held.Value
		if got := held[m.Main][0] * shown.Held.Body.Mass[0] * statics.StandardGravity; math.Abs(got/q.AllAbsolute.Median-1) > 0.01 {
			t.Errorf("%s: shows %g, told %g", h.Name, got, q.AllAbsolute.Median)
		}
		if hard, ok := m.Quantity(hold.Difficulty); ok && math.Abs(held[hold.Difficulty][0]/hard.All.Median-1) > 0.02 {
			t.Errorf("%s: shows %g times, told %g", h.Name, held[hold.Difficulty][0], hard.All.Median)
		}
		if apart, ok := m.Quantity(hold.HandSpacing); ok && math.Abs(held[hold.HandSpacing][0]-apart.All.Median) > 1e-9 {
			t.Errorf("%s: hands %g m apart, told %g", h.Name, held[hold.HandSpacing][0], apart.All.Median)
		}
		if math.Abs(shown.Held.Body.Stature[0]-1.66) > 1e-9 || len(p.Known) > 1 && math.Abs(shown.Held.Body.Mass[0]-60) > 1e-9 {
			t.Errorf("%s: shows another body, %g m and %g kg", h.Name, shown.Held.Body.Stature[0], shown.Held.Body.Mass[0])
		}
		if c := shown.Curve; c != nil && !(math.Abs(c.BestPeak/held[hold.Difficulty][0]-1) < 1e-9) {
			t.Errorf("%s: the curve is at %g where the hold is %g times as hard", h.Name, c.BestPeak, held[hold.Difficulty][0])
		}
		if (m.Curve == nil) != (shown.Curve == nil) || shown.Curve != nil && len(shown.Curve.AllLow) != len(shown.Curve.Angle) {
			t.Errorf("%s: curve %v", h.Name, shown.Curve)
		}
	}
}

// Where the body that is nearest cannot be held as told it is held at its best; a model that is not
// asked about, or whose bodies were let go, is refused.
func TestTypicalOfTheUnusual(t *testing.T) {
	p := coachs()
	p.Tilt = 0.78 // leaves little choice
	r := golden.Must(Answer(context.Background(), p, quick()))(t)
	for k := range r.Models[0].Quantities {
		if q := &r.Models[0].Quantities[k]; q.Demand == hold.HandSpacing {
			q.All.Median = 9
		}
	}
	if shown, err := r.Typical(r.Models[0].Model); err != nil || shown == nil || shown.Held == nil {
		t.Errorf("%+v, %v", shown, err)
	}
	var wrong *fault.Error
	if _, err := r.Typical(hold.Model(99)); !errors.As(err, &wrong) {
		t.Errorf("a model that there is not: %v", err)
	}
	r.People = nil
	if _, err := r.Typical(r.Models[0].Model); !errors.As(err, &wrong) {
		t.Errorf("nobody there: %v", err)
	}
}
