package person

import (
	"bytes"
	"context"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/app/person/said"
	"counterpoise/internal/golden"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

func answerFor(t *testing.T, p person.Person) said.PersonAnswer {
	t.Helper()
	o := person.DefaultOptions()
	o.N = person.LeastN
	r := golden.Must(person.Answer(context.Background(), p, o))(t)
	return said.PersonAnswer{Result: r}
}

// Every hold can be told of and drawn, in both systems of units.
func TestEveryHoldOfAPerson(t *testing.T) {
	for _, h := range hold.All() {
		a := answerFor(t, person.Person{Name: "Io", Sex: anthro.Female, Hold: h, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.66}, {Of: anthro.Mass, Value: 59.5, Error: 0.4}}})
		for _, s := range []words.System{words.Metric, words.Imperial} {
			var out bytes.Buffer
			golden.OK(t, said.PersonText(&out, []said.PersonAnswer{a}, s))
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
			figures := golden.Must(PersonFigures(&a, "Io", s))(t)
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
	rows := f.Panels[0].Dots
	if len(rows) < leastNext+2 || len(rows) != len(f.Names) {
		t.Fatalf("%d rows of %d", len(rows), len(f.Names))
	}
	width := func(k int) float64 { return rows[k].High - rows[k].Low }
	scale := width(0) / mustQuantity(t, m).All.Width() // from body weights to kilograms
	last := len(rows) - 1
	for k, want := range append(append([]float64{mustQuantity(t, m).All.Width()}, widths(m.Next[:last-1])...), m.Floor) {
		if math.Abs(width(k)-scale*want) > 1e-9 || width(k) > width(0)+1e-9 || k > 1 && k < last && width(k) < width(k-1) {
			t.Errorf("row %d, %s, is %v wide, want %v", k, f.Names[k], width(k), scale*want)
		}
	}
	if kg, _ := Kilograms(m); math.Abs(rows[0].Low-kg.Low) > 1e-9 || math.Abs(rows[0].High-kg.High) > 1e-9 || !strings.Contains(f.Title, rows[last].Text+" stay") {
		t.Errorf("today %+v, %+v known, %q", rows[0], kg, f.Title)
	}
	// The curve's mark is the median body's.
	c := personCurve(&a, m, "Io")
	if best := c.Best; math.Abs(best.X-m.Curve.BestAngle*180/math.Pi) > 1e-12 || best.Y != m.Curve.BestPeak {
		t.Errorf("the mark is at %+v", best)
	}
}

func widths(list []person.Gain) (all []float64) {
	for _, g := range list {
		all = append(all, g.Width)
	}
	return all
}
