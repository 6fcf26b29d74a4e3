package person

import (
	"bytes"
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/app/person/said"
	"counterpoise/internal/chart"
	"counterpoise/internal/draw"
	"counterpoise/internal/draw/drawtest"
	"counterpoise/internal/golden"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/person"
)

func answerFor(t *testing.T, p person.Person) said.PersonAnswer {
	t.Helper()
	o := person.DefaultOptions()
	o.N = person.LeastN
	r := golden.Must(person.Answer(context.Background(), p, o))(t)
	a := said.PersonAnswer{Result: r}
	golden.OK(t, a.Show())
	return a
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

// What a chart of what to measure next shows is what the answer says, most telling first, each
// with less than before; nothing that would tell nothing. Which test to do is told behind what a
// tape tells, before what it does not.
func TestNextFigure(t *testing.T) {
	for _, known := range [][]anthro.Known{{}, {{Of: anthro.Stature, Value: 1.79}, {Of: anthro.Mass, Value: 80}}} {
		for _, h := range []*hold.Hold{hold.HumanFlag, hold.FrontLever} {
			a := answerFor(t, person.Person{Name: "Io", Sex: anthro.Male, Hold: h, Known: known})
			a.Ready = &person.Readiness{Asks: &person.Asks{Enough: []person.Enough{{Kind: person.ScaleTest, Tested: true}, {Kind: person.ScaleTest, Kilograms: 12}}}}
			m := a.Primary()
			f := nextFigure(&a, m, "Io", words.Metric)
			whole := mustQuantity(t, m).All.Width()
			tape, all := m.Next[0].Reduction >= telling, 1-m.Floor/whole >= telling
			if test := strings.Contains(f.Says, "even odds that the shoulders (drawing the arm down to the side) are strong enough"); !test || strings.Contains(f.Title, ", then a test of the shoulders") != tape || strings.Contains(f.Says, "off today’s range of ") != tape || strings.Contains(f.Title, "test the ") == tape || (len(f.Names) > 0) != (tape || all) {
				t.Errorf("the best takes %v away, all %v: %d rows, %q: %q", m.Next[0].Reduction, 1-m.Floor/whole, len(f.Names), f.Title, f.Says)
			}
			if len(f.Names) == 0 {
				continue
			}
			rows := f.Panels[0].Dots
			width := func(k int) float64 { return rows[k].High - rows[k].Low }
			scale, last := width(0)/whole, len(rows)-1
			for k, want := range append(append([]float64{whole}, widths(m.Next[:last-1])...), m.Floor) {
				if math.Abs(width(k)-scale*want) > 1e-9*width(0) || k > 0 && (rows[k].Text == rows[0].Text || rows[k].Whole != [2]float64{rows[0].Low, rows[0].High}) || k > 1 && k < last && width(k) < width(k-1) {
					t.Errorf("row %d, %s, is %v wide, want %v", k, f.Names[k], width(k), scale*want)
				}
			}
			if alt := f.Alt(); !strings.Contains(alt, "today: a range that is ") {
				t.Errorf("%q takes the width of a range for a value", alt)
			}
			if kg := strings.HasSuffix(rows[0].Text, "\u00a0kg"); kg != (len(known) > 0) {
				t.Errorf("weighed %v, and %q", len(known) > 0, rows[0].Text)
			}
		}
	}
	a := answerFor(t, person.Person{Name: "Io", Sex: anthro.Male, Hold: hold.HumanFlag, Known: []anthro.Known{{Of: anthro.Stature, Value: 1.79}}})
	m := a.Primary()
	// The curve's mark is where the person is told to hold, at about what it is told to be, and its
	// ends are where the words say.
	shown := m.Typical
	apart, _ := m.Quantity(hold.HandSpacing)
	hard, _ := m.Quantity(hold.Difficulty)
	c := personCurve(&a, m, shown.Curve, "Io")
	if best := c.Best; math.Abs(best.X-100*words.Marked(apart.All.Median)) > 1e-9 || best.Label != words.NoBreak("about "+words.Mark(apart.All.Median, words.Metric)) || math.Abs(best.Y-c.Curve.At(best.X)) > 1e-12 ||
		math.Abs(best.Y/hard.All.Median-1) > 0.03 || math.Mod(words.Tidy(c.Low), 5) != 0 {
		t.Errorf("the mark is at %+v, %v to %v; told %+v and %+v", best, c.Low, c.High, apart.All, hard.All)
	}
	// How hard it is, the title tells as the text and the chart of several persons do: each draw with the
	// hands where it holds on best, which at one place is the harder.
	if want := words.NoBreak("at " + words.Times(hard.All.Median) + " times the strength of an untrained man (" + words.Interval(words.Times(hard.All.Low), words.Times(hard.All.High)) + ")"); !strings.Contains(c.Title, want) || c.Own.Low != hard.All.Low ||
		c.Curve.Low[0] <= 0 || !(hard.All.High <= slices.Max(c.Curve.High)) {
		t.Errorf("%q, want %q", c.Title, want)
	}
}

// What was measured in the hold stands on the line of the chart, and what is enough at its height.
func TestMeasuredOnTheLine(t *testing.T) {
	measured := answerFor(t, person.Person{Name: "Io", Sex: anthro.Male, Hold: hold.HumanFlag, Measured: &person.Measured{HandSpacing: &person.Reading{Value: 1.1, Error: 0.02}}})
	c := personCurve(&measured, measured.Primary(), measured.Primary().Typical.Curve, "Io")
	if math.Abs(c.Was.X-110) > 1e-9 || c.Was.Label != "measured 110\u00a0cm" || c.Around != 1 {
		t.Errorf("%+v, %v", c.Was, c.Around)
	}
	for _, size := range []draw.Size{draw.Slide, draw.Column} {
		s := drawtest.MustLayout(t, c, size, draw.Light)
		if runs := drawtest.Texts(s); !slices.Contains(runs, c.Was.Label) || !slices.Contains(runs, "↓ "+c.Less) {
			t.Errorf("%s: %q", size.Name, runs)
		}
	}
}

// The first and those who may as well need least are named together.
func TestWhoNeedLeast(t *testing.T) {
	dots := func(values ...float64) (list []chart.Dot) {
		for _, v := range values {
			list = append(list, chart.Dot{Value: v, Low: v - 8, High: v + 8})
		}
		return list
	}
	for _, c := range []struct {
		values []float64
		want   int
	}{{[]float64{47, 49, 50, 58, 64}, 3}, {[]float64{47, 60}, 1}, {[]float64{47, 55}, 2}, {[]float64{47}, 1}} {
		if got := whoNeedLeast(dots(c.values...)); len(got) != c.want {
			t.Errorf("%v: %d, want %d", c.values, len(got), c.want)
		}
	}
}

func TestWhoIsStrongEnough(t *testing.T) {
	dot := func(low, high float64) chart.Dot { return chart.Dot{Value: (low + high) / 2, Low: low, High: high} }
	const whole, part, none = 0, 1, 2 // of what gives out was tested
	rows := func(tested ...int) (list []together) {
		for i, how := range tested {
			a := &said.PersonAnswer{Result: &person.Result{}}
			if how != none {
				a.Person.Tests, a.Ready = &person.Tests{}, &person.Readiness{Own: &person.Own{}}
			}
			if how == part {
				a.Ready.Own.Untested = []muscle.Group{muscle.ArmPush}
			}
			list = append(list, together{called: string(rune('A' + i)), a: a})
		}
		return list
	}
	for _, c := range []struct {
		rows []together
		dots []chart.Dot
		want string
	}{
		{rows(whole, whole, whole), []chart.Dot{dot(0.4, 0.9), dot(0.8, 1.1), dot(1.2, 1.9)}, "enough strength for A; open for B; not enough for C"},
		{rows(whole, whole, whole), []chart.Dot{dot(0.4, 0.9), dot(0.4, 1), {Value: math.NaN()}}, "enough strength for A and B"},
		{rows(part, part, part), []chart.Dot{dot(0.4, 0.9), dot(0.9, 1.3), dot(1.1, 1.4)}, "probably enough, some muscles untested, for A; open for B; not enough for C"},
		{rows(whole, none, none), []chart.Dot{dot(0.4, 0.9), dot(0.4, 0.9), dot(1.1, 1.4)}, "enough strength for A; not tested: B and C"},
		{rows(none, none, none), []chart.Dot{dot(0.4, 0.9), dot(0.9, 1.3), dot(1.1, 1.4)}, "an untrained person’s strength is enough for A; perhaps enough for B; not enough for C"},
		{rows(none, none, none), []chart.Dot{dot(0.9, 1.2), dot(0.9, 1.3), dot(0.9, 1.4)}, "an untrained person’s strength is perhaps enough for A, B and C"},
	} {
		tested := slices.ContainsFunc(c.rows, func(p together) bool { return p.a.Person.Tests != nil })
		if got := whoIsStrongEnough(c.rows, c.dots, tested); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

func widths(list []person.Gain) (all []float64) {
	for _, g := range list {
		all = append(all, g.Width)
	}
	return all
}
