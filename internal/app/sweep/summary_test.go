package sweep

import (
	"context"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/chart/curves"
	"counterpoise/internal/draw"
	"counterpoise/internal/golden"
	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/sweep"
)

func collected(t *testing.T, change func(*sweep.Study)) *Sweep {
	t.Helper()
	s := &sweep.Study{
		Name: "arms", Says: "A title", Base: scenario.Scenario{Hold: hold.HumanFlag, People: scenario.Survey("ansur2-men"), Models: []scenario.Model{scenario.DefaultModel(hold.TwoCondition)}},
		Axes:    []sweep.Axis{{Of: "change.arm_length", Unit: "m", Values: []float64{0.08, -0.04, 0.02}}},
		Demands: []hold.Demand{hold.RequiredForce}, Quantiles: []float64{0.05, 0.5, 0.95}, N: 400, Seed: 3,
	}
	change(s)
	c := NewSweep(s)
	golden.OK(t, sweep.Run(context.Background(), s, sweep.Options{Point: func(p *sweep.Point) error { c.Add(p); return nil }}))
	return c
}

var (
	breadths  = sweep.Axis{Of: "change.shoulder_breadth", Unit: "m", Values: []float64{-0.02, 0.03}}
	twoModels = sweep.Axis{Of: "model", Names: []string{"two-condition", "equilibrium"}}
	tilts     = sweep.Axis{Of: "tilt", Unit: "rad", Values: []float64{0, 10 * math.Pi / 180}}
)

// The kind and number of charts follow from the axes, every chart can be drawn, and
// its title says the finding.
func TestSweepFigures(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(*sweep.Study)
		files  []string
		title  string
		kind   string
	}{
		{"one number", func(s *sweep.Study) {}, []string{"required-force"}, "Human flag, Army men: the arm force falls from ", "lines"},
		{"one choice", func(s *sweep.Study) { s.Axes = []sweep.Axis{twoModels} }, []string{"required-force"}, "(equilibrium) to ", "lines"},
		{"leg forms and a number", func(s *sweep.Study) {
			s.Axes = append(s.Axes, sweep.Axis{Of: "legs", Names: []string{"tuck", "together"}, Legs: []hold.Legs{hold.LegsIn(hold.Tuck, 0), hold.LegsIn(hold.Together, 0)}})
		}, []string{"required-force"}, " less arm force than legs together", "lines"},
		{"two numbers", func(s *sweep.Study) { s.Axes = append(s.Axes, breadths) }, []string{"required-force"}, "(arms 8\u00a0cm longer, shoulders 3\u00a0cm broader) to ", "heat"},
		{"number and choice", func(s *sweep.Study) { s.Axes = append(s.Axes, twoModels) }, []string{"required-force"}, "(arms 4\u00a0cm shorter, two-condition)", "lines"},
		{"three", func(s *sweep.Study) { s.Axes = append(s.Axes, breadths, tilts) }, []string{"required-force-tilt-0-deg", "required-force-tilt-10-deg"}, "; tilt 0 deg", "heat"},
		{"quasi-random", func(s *sweep.Study) {
			s.Axes = []sweep.Axis{{Of: "tilt", Unit: "rad", Low: -0.1, High: 0.2}, twoModels}
			s.Design, s.Points = sweep.QuasiRandom, 16
		}, []string{"required-force-against-tilt", "required-force-against-model"}, "Human flag, Army men: over 16 points, the arm force runs from ", "lines"},
	} {
		figures := collected(t, c.change).Figures()
		if len(figures) != len(c.files) {
			t.Errorf("%s: %d figures, want %v", c.name, len(figures), c.files)
			continue
		}
		for i, f := range figures {
			if f.Name != c.files[i] {
				t.Errorf("%s: %s, want %s", c.name, f.Name, c.files[i])
			}
			if err := draw.Fits(f.Figure, draw.Slide, draw.Light); err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			kind := "lines"
			if _, ok := f.Figure.(curves.Heat); ok {
				kind = "heat"
			}
			if kind != c.kind {
				t.Errorf("%s: a figure of %s, want %s", c.name, kind, c.kind)
			}
		}
		if alt := figures[0].Figure.Alt(); !strings.Contains(alt, c.title) {
			t.Errorf("%s: %q lacks %q", c.name, alt, c.title)
		}
	}
}

// The text lists the points, in the order of the file, and says where the demand
// is least.
func TestSweepText(t *testing.T) {
	var b strings.Builder
	c := collected(t, func(*sweep.Study) {})
	golden.OK(t, c.Text(&b))
	text := b.String()
	for _, want := range []string{"arms: A title\n", "3 points (grid), 400 bodies at each, the same ones; seed 3.", "Hold: human-flag; people: ansur2-men; model: the lift-and-turn rule that is taught.",
		"\n8 cm ", "\n-4 cm ", "(arms 8 cm longer) to ", words.NotValidated} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q:\n%s", want, text)
		}
	}
	if strings.Index(text, "\n8 cm ") > strings.Index(text, "\n-4 cm ") {
		t.Error("the points are in another order")
	}
	sum := c.Summary(provenance.Stamp{})
	if d := sum.Demands[0]; d.Unit != "BW" || d.Statistic != "p50" || d.Least.At["change.arm_length"] != 0.08 || d.Greatest.At["change.arm_length"] != -0.04 || !(d.Least.Value < d.Greatest.Value) {
		t.Errorf("%+v", d)
	}
}
