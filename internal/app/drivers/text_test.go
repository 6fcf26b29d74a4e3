package drivers

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/draw"
	"counterpoise/internal/golden"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/provenance"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/drivers"
	"counterpoise/sim/hold"
	"counterpoise/sim/scenario"
	"counterpoise/sim/scenario/scores"
)

// found keeps what was computed: several tests look at the same.
var found = map[string]*Drivers{}

// driven returns everything there is about a small study.
func driven(t *testing.T, h *hold.Hold, of hold.Demand, fix map[assume.ID]float64, models ...hold.Model) *Drivers {
	t.Helper()
	key := fmt.Sprint(h.Name, of, fix, models)
	if found[key] == nil {
		found[key] = compute(t, h, of, fix, models...)
	}
	return found[key]
}

func compute(t *testing.T, h *hold.Hold, of hold.Demand, fix map[assume.ID]float64, models ...hold.Model) *Drivers {
	t.Helper()
	population, err := anthro.Load("ansur2-women")
	if err != nil {
		t.Fatal(err)
	}
	_, scale := jsonform.Output(of.Unit)
	s := scores.Study{Of: of, Scale: scale, Scenario: scenario.Scenario{Hold: h, People: scenario.Survey(population.Name), Assumptions: assume.DefaultUncertainty()}}
	for id, value := range fix {
		golden.OK(t, s.Assumptions.Fix(id, value))
	}
	for _, m := range models {
		s.Models = append(s.Models, scenario.DefaultModel(m))
	}
	f := golden.Must(scores.New(s))(t)
	p := DriversPart{People: population.Name, Models: s.Models, Function: f, SobolOf: "people as one group and each assumption"}
	ctx, o := context.Background(), drivers.Options{Seed: 1, Base: 64}
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	p.Shares, err = drivers.ShapleyPermutations(ctx, f.Problem(), o)
	must(err)
	p.Sobol, err = drivers.Sobol(ctx, f.PeopleAsOne(), drivers.SobolOptions{Options: o, SecondOrder: true})
	must(err)
	p.Full, err = drivers.FullAndIndependent(ctx, f.Problem(), o)
	must(err)
	ranges, model := f.Ranges()
	effects, n, err := drivers.Morris(ctx, ranges, model, drivers.MorrisOptions{Seed: 1, Trajectories: 32})
	must(err)
	p.Screen = &Screening{Effects: effects, Evaluations: n}
	if len(models) == 1 {
		p.Split, err = f.Split(ctx, scores.SplitOptions{Options: o, Draws: 64, Bodies: 300})
		must(err)
		p.Worth, err = f.Worth(f.MedianPerson(), 0.5)
		must(err)
		trait, err := body.ParseQuantity("leg_length")
		must(err)
		p.Along, err = f.Along(trait, 5000, 1)
		must(err)
	}
	return &Drivers{Hold: h, Of: of, Fixed: len(fix) > 0, Parts: []DriversPart{p}}
}

// The whole text, word by word.
func TestGoldenDriversText(t *testing.T) {
	for name, d := range map[string]*Drivers{
		"front-lever": driven(t, hold.FrontLever, hold.ShoulderMoment, nil, hold.Equilibrium),
		"human-flag":  driven(t, hold.HumanFlag, hold.Difficulty, map[assume.ID]float64{assume.HeelShare: 0.25}, hold.Equilibrium),
		"all-models":  driven(t, hold.HumanFlag, hold.RequiredForce, nil, hold.TwoCondition, hold.Equilibrium),
	} {
		var b bytes.Buffer
		golden.OK(t, DriversText(&b, d))
		golden.Text(t, "drivers/"+name+".txt", b.Bytes())
	}
}

// What must and must not be said.
func TestDriversWords(t *testing.T) {
	for _, c := range []struct {
		d         *Drivers
		want, not []string
	}{
		{driven(t, hold.FrontLever, hold.ShoulderMoment, nil, hold.Equilibrium),
			[]string{"varies mostly because people differ", "counts most", "assumptions: strength 0 % exactly", "1 cm broader shoulders: nothing", "in newtons", "not what changing it alone would do", "changed alone"},
			[]string{"a corner", "choice of model"}},
		{driven(t, hold.HumanFlag, hold.Difficulty, nil, hold.Equilibrium),
			[]string{"varies mostly because people differ", "age for size", "a corner: one less +", "No effect at all: ", "arm_push_strength"}, []string{"in newtons"}},
		{driven(t, hold.HumanFlag, hold.RequiredForce, map[assume.ID]float64{assume.TopShare: 0.8}, hold.TwoCondition, hold.Equilibrium),
			[]string{"depends mostly on which model is right", "all models, each as likely as another"}, nil},
	} {
		var b bytes.Buffer
		golden.OK(t, DriversText(&b, c.d))
		text := strings.Join(strings.Fields(b.String()), " ")
		for _, want := range c.want {
			if !strings.Contains(text, want) {
				t.Errorf("%s of %s: the text lacks %q:\n%s", c.d.Of, c.d.Hold.Name, want, b.String())
			}
		}
		for _, not := range c.not {
			if strings.Contains(text, not) {
				t.Errorf("%s of %s: the text says %q", c.d.Of, c.d.Hold.Name, not)
			}
		}
		for i, line := range strings.Split(b.String(), "\n") {
			if strings.Contains(line, "NaN") || strings.Contains(line, "Inf") || strings.Contains(line, "-0") || len([]rune(line)) > 120 {
				t.Errorf("line %d: %q", i, line)
			}
		}
	}
}

// The summary can be written, and its shares are those found.
func TestSummariseDrivers(t *testing.T) {
	d := driven(t, hold.LSit, hold.LeanAngle, nil, hold.Equilibrium)
	s := SummariseDrivers(d, provenance.Stamp{})
	data := golden.Must(json.Marshal(s))(t)
	var back struct {
		Unit  string
		Parts []struct {
			Shares struct {
				Indices []struct {
					Groups []string
					Value  float64
				}
			}
			Worth struct {
				Rows []struct {
					What    string
					Percent *float64 `json:"percent_per_percent"`
				}
			}
		}
	}
	golden.OK(t, json.Unmarshal(data, &back))
	sum := 0.0
	for _, i := range back.Parts[0].Shares.Indices {
		sum += i.Value
	}
	if math.Abs(sum-1) > 1e-9 || back.Unit != "deg" {
		t.Errorf("the shares sum to %v, in %q", sum, back.Unit)
	}
	for _, r := range back.Parts[0].Worth.Rows {
		if mass := strings.Contains(r.What, "kg"); mass != (r.Percent == nil) && !strings.Contains(r.What, "5°") {
			t.Errorf("%s: elasticity %v", r.What, r.Percent)
		}
	}
}

// A screening says which way what moves nearly always the same way does.
func TestScreeningSaysWhichWay(t *testing.T) {
	d := driven(t, hold.HumanFlag, hold.RequiredForce, nil, hold.Equilibrium)
	p := &d.Parts[0]
	b := screenFigure(d, p)
	for i, e := range rankedEffects(p.Screen.Effects)[:len(b.Rows)] {
		want := ""
		if share := e.Mean.Value / e.Absolute.Value; share > 0.9 {
			want = "higher"
		} else if share < -0.9 {
			want = "lower"
		}
		if b.Rows[i].Way != want {
			t.Errorf("%s: %q, want %q", b.Rows[i].Label, b.Rows[i].Way, want)
		}
	}
}

// Every chart can be drawn at every size, for angles and lengths too, and for many
// groups.
func TestDriversFiguresCanBeDrawn(t *testing.T) {
	for _, d := range []*Drivers{
		driven(t, hold.LSit, hold.LeanAngle, nil, hold.Equilibrium),
		driven(t, hold.HumanFlag, hold.HandSpacing, nil, hold.TwoCondition),
		driven(t, hold.HumanFlag, hold.ShoulderMomentTop, nil, hold.Equilibrium),
		driven(t, hold.HumanFlag, hold.RequiredForce, nil, hold.TwoCondition, hold.Equilibrium),
	} {
		figures := DriversFigures(d)
		if want := 3; len(figures) < want {
			t.Errorf("%d charts, want %d at least", len(figures), want)
		}
		for _, f := range figures {
			for _, size := range []draw.Size{draw.Slide, draw.Post, draw.Column} {
				if err := draw.Fits(f.Figure, size, draw.Light); err != nil {
					t.Errorf("%s of %s: %s: %v", d.Of, d.Hold.Name, f.Name, err)
				}
			}
		}
	}
}
