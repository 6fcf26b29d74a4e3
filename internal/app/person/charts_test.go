package person

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/app/person/said"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

func answerFor(t *testing.T, p person.Person) said.PersonAnswer {
	t.Helper()
	o := person.DefaultOptions()
	o.N = person.LeastN
	r, err := person.Answer(context.Background(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	return said.PersonAnswer{Result: r}
}

// Every hold can be told of and drawn, in both systems of units.
func TestEveryHoldOfAPerson(t *testing.T) {
	for _, h := range hold.All() {
		a := answerFor(t, person.Person{Name: "Io", Sex: anthro.Female, Hold: h, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.66}, {Of: anthro.Mass, Value: 59.5, Error: 0.4}}})
		for _, s := range []words.System{words.Metric, words.Imperial} {
			var out bytes.Buffer
			if err := said.PersonText(&out, []said.PersonAnswer{a}, s); err != nil {
				t.Fatal(err)
			}
			main := a.Primary().Main
			q, _ := a.Primary().Quantity(main)
			for _, want := range []string{"For Io, the ", words.DemandPrinter(main, s)(q.All.Median)} {
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
				if alt := f.Figure.Alt(); !strings.Contains(alt, "Io") || !strings.Contains(alt, words.NotValidated[:len(words.NotValidated)-1]) || strings.Contains(alt, "NaN") {
					t.Errorf("%s, %s: %s", h.Name, f.Name, alt)
				}
			}
		}
	}
}

func mustQuantity(t *testing.T, m *person.ModelResult) person.Quantity {
	t.Helper()
	q, ok := m.Quantity(m.Main)
	if !ok {
		t.Fatal("no main quantity")
	}
	return q
}

// What a chart of what to measure next shows is what the answer says, most
// telling first, and never more than today's width.
func TestNextFigure(t *testing.T) {
	a := answerFor(t, person.Person{Name: "Io", Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.79}}})
	m := a.Primary()
	f := nextFigure(&a, m, "Io")
	if len(f.Rows) < leastNext {
		t.Fatalf("%d rows", len(f.Rows))
	}
	scale := f.Reference.Value / mustQuantity(t, m).All.Width() // from body weights to kilograms
	near := func(x, y float64) bool { return math.Abs(x-scale*y) < 1e-9 }
	if f.Floor == nil || !near(f.Floor.Value, m.Floor) || !strings.Contains(f.Title, f.Floor.Text+" stay") {
		t.Errorf("no tape narrows %v: %+v, %q", m.Floor, f.Floor, f.Title)
	}
	for i, r := range f.Rows {
		if !near(r.Value, m.Next[i].Width) || r.Value > f.Reference.Value || i > 0 && r.Value < f.Rows[i-1].Value {
			t.Errorf("row %d, %s, is %v of %v", i, r.Label, r.Value, f.Reference.Value)
		}
	}
	// The curve's mark is the median body's.
	c := personCurve(&a, m, "Io")
	if best := c.Best; math.Abs(best.X-m.Curve.BestAngle*180/math.Pi) > 1e-12 || best.Y != m.Curve.BestPeak {
		t.Errorf("the mark is at %+v", best)
	}
}
