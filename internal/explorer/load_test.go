package explorer

import (
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/sim/body"
)

// What is carried is asked for at every point that is offered, is said, and is seen in the
// picture with its force; taken off, it lightens the hands by as much.
func TestLoadsOfThePage(t *testing.T) {
	offered := golden.Must(New(nil).Catalogue())(t)
	if len(offered.Points) != int(body.NumPoints) {
		t.Fatalf("%d points are offered, there are %d", len(offered.Points), body.NumPoints)
	}
	plain := ask[Pose](t, "pose", poseAsked(`{}`)).Figure
	for _, p := range offered.Points {
		for _, kg := range []string{"3", "-3 kg"} {
			figure := ask[Pose](t, "pose", poseAsked(`{"`+p.Name+`": "`+kg+`"}`)).Figure
			force, drawn := 0.0, 0.0
			for _, s := range figure.Supports {
				force += s.Force[1]
			}
			for _, s := range plain.Supports {
				force -= s.Force[1]
			}
			for _, c := range figure.Carried {
				drawn += c.Force[1]
			}
			if want := 3 * 9.80665; !(math.Abs(math.Abs(force)-want) <= 1e-6) || !(math.Abs(force+drawn) <= 1e-6) {
				t.Errorf("%s %s: %v N more on the hands, %v N drawn", p.Name, kg, force, drawn)
			}
			if len(figure.Carried) != 1 || !strings.Contains(figure.Carried[0].Text, p.Meaning[strings.LastIndex(p.Meaning, " ")+1:]) {
				t.Errorf("%s: drawn are %+v", p.Name, figure.Carried)
			}
		}
	}
}

func poseAsked(load string) string {
	return `{"person": {"sex": "female", "hold": "front-lever", "measurements": {"stature": "168", "mass": "61"}, "load": ` + load + `}, "model": "equilibrium"}`
}

// A load on top of a person's own, and what nobody can mean.
func TestLoadsOfAChange(t *testing.T) {
	asked := `{"draws": 1000, "person": {"sex": "female", "hold": "planche", "load": {"vest": "5"}}, "model": "equilibrium", "change": {"load": {"ankles": "2", "hips": "-20"}}}`
	c := ask[Comparison](t, "change", asked)
	said := c.Words.Headline + strings.Join(c.Words.Notes, " ")
	for _, want := range []string{"planche (5 kg on the chest)", "20.0 kg taken off at the hips", "20.0 kg taken off at the hips and 2.0 kg at both ankles together: ", "BW is the weight of the body alone", "A real band pulls less"} {
		if !strings.Contains(said, want) {
			t.Errorf("not said is %q: %s", want, said)
		}
	}
	if c.EasierShare < 0.99 || len(c.Before.Carried) != 1 || len(c.After.Carried) != 3 {
		t.Errorf("easier for %v, drawn %v and %v", c.EasierShare, c.Before.Carried, c.After.Carried)
	}
	a := ask[Answer](t, "answer", `{"draws": 1000, "person": {"sex": "female", "hold": "planche", "load": {"tail": "5", "knees": "900", "hips": "-190"}}}`)
	var fields []string
	for _, f := range a.Faults {
		fields = append(fields, f.Field)
	}
	if got := strings.Join(fields, " "); got != "person.load.knees person.load.tail person.load" {
		t.Errorf("faults of %s", got)
	}
}
