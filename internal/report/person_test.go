package report

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/units"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

func TestSpreadText(t *testing.T) {
	for _, c := range []struct {
		spread person.Spread
		format func(float64) string
		want   string
	}{
		{person.Spread{Median: 0.951, Low: 0.9, High: 1.0123}, in(units.BodyWeights, units.Metric), "0.951 BW (0.900 to 1.012)"},
		{person.Spread{Median: 0.951, Low: 0.951, High: 0.951}, in(units.BodyWeights, units.Metric), "0.951 BW"},
		{person.Spread{Median: 0.9511, Low: 0.9510, High: 0.9512}, in(units.BodyWeights, units.Metric), "0.951 BW"},
		{person.Spread{Median: 0.95, Low: 0.89, High: 1.02}, tape(units.Metric), "95.0 cm (89.0 to 102.0)"},
		{person.Spread{Median: 0.9525, Low: 0.889, High: 1.0192}, tape(units.Imperial), "37 1/2 in (35 in to 40 1/8 in)"},
		{person.Spread{Median: 1.7, Low: 1.6, High: 1.75}, in(units.Length, units.Imperial), "5 ft 6.9 in (5 ft 3 in to 5 ft 8.9 in)"},
		{person.Spread{Median: 0.7, Low: 0.6, High: 0.8}, in(units.Angle, units.Metric), "40.1° (34.4° to 45.8°)"},
		{person.Spread{Median: -34.2, Low: -59.4, High: 12.3}, wholeMoment(units.Metric), "−34 N·m (−59 to 12)"},
		{person.Spread{Median: 135.58, Low: 67.79, High: 271.16}, wholeMoment(units.Imperial), "100 lbf·ft (50 to 200)"},
	} {
		if got := spreadText(c.spread, c.format); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// A force of 1 BW on 70 kg is 686 N, as 70 kg weigh, or 154 lb.
func TestQuantityText(t *testing.T) {
	newtons := 70 * standardGravity
	one := person.Spread{Median: 1, Low: 0.9, High: 1.1}
	q := person.Quantity{Demand: hold.RequiredForce, All: one, AbsoluteUnit: "N", AllAbsolute: scaled(one, newtons)}
	for system, want := range map[units.System]string{
		units.Metric:   "1.000 BW (0.900 to 1.100), 686 N (618 to 755), as 70.0 kg (63.0 to 77.0)",
		units.Imperial: "1.000 BW (0.900 to 1.100), 154.3 lbf (138.9 to 169.8)",
	} {
		if got := quantityText(q, system); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	if kg, lb := weightOf(units.Metric)(newtons), weightOf(units.Imperial)(newtons); kg != "70 kg" || lb != "154 lb" {
		t.Errorf("%s and %s", kg, lb)
	}
}

func TestPercentile(t *testing.T) {
	for share, want := range map[float64]string{
		0.001: "below the 1st percentile", 0.01: "1st percentile", 0.02: "2nd percentile", 0.033: "3rd percentile",
		0.11: "11th percentile", 0.12: "12th percentile", 0.213: "21st percentile", 0.5: "50th percentile", 0.9: "90th percentile",
		0.99: "99th percentile", 0.9999: "above the 99th percentile",
	} {
		if got := percentile(share); got != want {
			t.Errorf("%v: got %q, want %q", share, got, want)
		}
	}
}

func TestOver(t *testing.T) {
	for _, c := range []struct {
		values []float64
		format func(float64) string
		want   string
	}{
		{[]float64{735.5, 588.4}, weightOf(units.Metric), "60 to 75 kg"},
		{[]float64{588.4, 588.5}, weightOf(units.Metric), "60 kg"},
		{[]float64{1.0, 0.7}, wholeDegrees, "40 to 57°"},
	} {
		if got := over(c.values, c.format); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
}

// No line ends between a number and its unit, and none is too long.
func TestFold(t *testing.T) {
	var out bytes.Buffer
	w := &textWriter{w: &out}
	text := strings.Repeat("about 0.951 BW (0.900 to 1.012 BW), as 68.4 kg or 31 % of 61.3 N·m; ", 12)
	w.fold("First     ", "          ", text)
	if got := strings.Fields(out.String()); strings.Join(got[1:], " ") != strings.TrimSpace(text) {
		t.Error("the words changed")
	}
	for _, line := range strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n") {
		if len([]rune(line)) > width {
			t.Errorf("%d characters: %s", len([]rune(line)), line)
		}
		if first := strings.Fields(line)[0]; first == "BW" || first == "kg" || first == "%" || first == "N·m;" {
			t.Errorf("a line begins with a unit: %s", line)
		}
	}
}

func answerFor(t *testing.T, p person.Person) PersonAnswer {
	t.Helper()
	o := person.DefaultOptions()
	o.Draws = person.LeastDraws
	r, err := person.Answer(context.Background(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	return PersonAnswer{Result: r}
}

// Every hold can be told of and drawn, in both systems of units.
func TestEveryHoldOfAPerson(t *testing.T) {
	for _, h := range hold.All() {
		a := answerFor(t, person.Person{Name: "Io", Sex: anthro.Female, Hold: h.Name, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.66}, {Of: anthro.Mass, Value: 59.5, Error: 0.4}}})
		for _, s := range []units.System{units.Metric, units.Imperial} {
			var out bytes.Buffer
			if err := PersonText(&out, []PersonAnswer{a}, s); err != nil {
				t.Fatal(err)
			}
			main := a.primary().Main
			q, _ := a.primary().Quantity(main)
			for _, want := range []string{"For Io, the ", printerOf(main, s)(q.All.Median)} {
				if !strings.Contains(out.String(), want) {
					t.Errorf("%s: no %q in %s", h.Name, want, out.String())
				}
			}
			for _, bad := range []string{"NaN", "Inf", "∞", "%!", " ,", "l-sit", "beyond reach"} {
				if strings.Contains(out.String(), bad) {
					t.Errorf("%s: %q in %s", h.Name, bad, out.String())
				}
			}
			figures, err := PersonFigures(&a, "Io", s)
			if err != nil {
				t.Fatal(err)
			}
			if len(figures) == 0 {
				t.Errorf("%s: no chart", h.Name)
			}
			for _, f := range figures {
				if alt := f.Figure.Alt(); !strings.Contains(alt, "Io") || !strings.Contains(alt, NotValidated[:len(NotValidated)-1]) || strings.Contains(alt, "NaN") {
					t.Errorf("%s, %s: %s", h.Name, f.Name, alt)
				}
			}
		}
	}
}

// What a chart of what to measure next shows is what the answer says, most
// telling first, and never more than today's width.
func TestNextFigure(t *testing.T) {
	a := answerFor(t, person.Person{Name: "Io", Sex: anthro.Male, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.79}}})
	m := a.primary()
	f := nextFigure(&a, m, "Io")
	if len(f.Rows) != mostNext {
		t.Fatalf("%d rows", len(f.Rows))
	}
	for i, r := range f.Rows {
		if r.Value != m.Next[i].Width || r.Value > f.Reference.Value || i > 0 && r.Value < f.Rows[i-1].Value {
			t.Errorf("row %d, %s, is %v of %v", i, r.Label, r.Value, f.Reference.Value)
		}
	}
	// The curve's mark is the median body's.
	c := personCurve(&a, m, "Io")
	if best := c.Curves[0].Best; math.Abs(best.X-m.Curve.BestAngle*180/math.Pi) > 1e-12 || best.Y != m.Curve.BestPeak {
		t.Errorf("the mark is at %+v", best)
	}
}

// Readiness says what is decided and what is open, by the margins.
func TestReadinessHeadline(t *testing.T) {
	ready := func(seconds float64, added float64) *person.Readiness {
		o := person.DefaultOptions()
		o.Draws = person.LeastDraws
		r, err := person.Ready(context.Background(), person.Person{
			Name: "Io", Sex: anthro.Male, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.74}, {Of: anthro.Mass, Value: 69}},
			Tests: &person.Tests{Hangs: []person.Hang{{Seconds: seconds, Added: added}}, Handstands: []person.Handstand{{Seconds: seconds}}},
		}, o)
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	for _, c := range []struct {
		seconds, added float64
		want           string
	}{
		{2, -40, "Io: the tests do not show the straight-arm strength for the hold"},
		{240, 30, "Io: the tests show the straight-arm strength for the hold by every model"},
		{16, 3, "Io: whether the tests show the straight-arm strength for the hold is open"},
	} {
		if got := ReadinessHeadline(ready(c.seconds, c.added), units.Metric); !strings.HasPrefix(got, c.want) || !strings.Contains(got, "Shoulders, grip and trunk are not tested") {
			t.Errorf("held for %v s: %s", c.seconds, got)
		}
	}
	half := ready(20, 3)
	for i := range half.Models {
		half.Models[i].Arrangements[0].Push.Tested = false
	}
	if got := ReadinessHeadline(half, units.Metric); !strings.Contains(got, "needs a one-arm handstand at a wall") {
		t.Error(got)
	}
}
