package explorer

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// What is typed with a comma is what is typed with a point.
func TestDecimalCommas(t *testing.T) {
	body := func(stature, added, angle, arms string) string {
		asked := fmt.Sprintf(`{"draws": 1000, "model": "equilibrium", "person": {"sex": "male", "measurements": {"stature": %q}, "load": {"hips": %q}, "legs": {"form": "straddle", "angle": %q}}, "change": {"arm_length": %q}}`, stature, added, angle, arms)
		a := ask[Comparison](t, "change", asked)
		if !a.Complete {
			t.Fatalf("%s: %+v", asked, a.Faults)
		}
		text := golden.Must(json.Marshal(a))(t)
		return string(text)
	}
	want := body("181.5 ± 0.5", "2.5", "30.5", "+1.5 %")
	if got := body("181,5 ± 0,5", "2,5 kg", "30,5", "+1,5 %"); got != want {
		t.Error("with commas another answer")
	}
	if body("181.5 ± 0.5", "2.4", "30.5", "+1.5 %") == want {
		t.Error("other numbers give the same answer")
	}
	for _, text := range []string{"1,815.0", "1,8,1", "181,", ",5 cm"} {
		if a := ask[Pose](t, "pose", fmt.Sprintf(`{"model": "equilibrium", "person": {"sex": "male", "measurements": {"stature": %q}}}`, text)); len(a.Faults) != 1 {
			t.Errorf("%s: faults %+v", text, a.Faults)
		}
	}
}

// TestReasons moves the hands of many bodies along the pole and holds what is said of each
// place against the demands there and at the best.
func TestReasons(t *testing.T) {
	demands := func(f *Figure) map[string]float64 {
		list := map[string]float64{}
		for _, d := range f.Demands {
			list[d.Quantity] = d.Value
		}
		return list
	}
	// What may give out; the rest is told and never decides.
	limits := func(of map[string]float64) (list []string) {
		for _, name := range slices.Sorted(maps.Keys(of)) {
			if strings.HasPrefix(name, "use_of_") && of[name] >= 0.99*of["difficulty"] {
				list = append(list, name)
			}
		}
		return list
	}
	apart, others, plain := 0, 0, 0
	for _, who := range []string{`"sex": "female"`, `"sex": "male"`, `"sex": "female", "measurements": {"stature": "178"}`, `"sex": "male", "measurements": {"mass": "60"}`} {
		best := ask[Pose](t, "pose", `{"model": "equilibrium", "person": {`+who+`}}`).Figure
		if best.Texts.Reason != "" {
			t.Errorf("%s: at its best: %s", who, best.Texts.Reason)
		}
		was := demands(&best)
		for k := 1; k < 12; k++ {
			r := best.SpacingRange
			at := ask[Pose](t, "pose", fmt.Sprintf(`{"model": "equilibrium", "spacing_m": %g, "person": {%s}}`, r.Least+(r.Most-r.Least)*float64(k)/12, who)).Figure
			now, said := demands(&at), strings.ReplaceAll(at.Texts.Reason, "\u00a0", " ")
			force, harder := now["required_force"]/was["required_force"]-1, now["difficulty"]/was["difficulty"]-1
			if harder < -1e-9 {
				t.Errorf("%s: easier than at its best by %g", who, harder)
			}
			switch same := slices.Equal(limits(was), limits(now)); {
			case force < -0.005 && harder > 0.005:
				apart++
				if !strings.HasPrefix(said, "The force along the harder-working arm falls by ") || !strings.Contains(said, "and yet it gets ") || !strings.Contains(said, " harder. ") {
					t.Errorf("%s: force %+g, difficulty %+g: %q", who, force, harder, said)
				}
				if same != strings.Contains(said, "asked for more") {
					t.Errorf("%s: %v, then %v: %q", who, limits(was), limits(now), said)
				}
			case !same:
				others++
				if !strings.HasPrefix(said, "Gives out first now") {
					t.Errorf("%s: %v, then %v: %q", who, limits(was), limits(now), said)
				}
			case said != "" && !(force < 0 && harder > 0):
				t.Errorf("%s: force %+g, difficulty %+g, the same gives out: %q", who, force, harder, said)
			default:
				plain++
			}
		}
	}
	if apart == 0 || others == 0 || plain == 0 {
		t.Errorf("%d against the force, %d with another limit, %d plain", apart, others, plain)
	}
	// Of a change, in its sentences.
	c := ask[Comparison](t, "change", `{"draws": 1000, "model": "equilibrium", "person": {"sex": "female"}, "change": {"legs": {"form": "tuck"}}}`)
	t.Log(c.Words.Sentences)
}

// The card is that of the full flag, whatever the page shows.
func TestCardOfThePage(t *testing.T) {
	const who = `"sex": "female", "name": "Io", "measurements": {"stature": "168", "mass": "61"}`
	a := ask[Card](t, "card", `{"draws": 1000, "person": {`+who+`}}`)
	if other := ask[Card](t, "card", `{"draws": 1000, "person": {`+who+`, "hold": "planche", "legs": {"form": "tuck"}, "load": {"hips": "5"}}}`); other.Texts.Title != a.Texts.Title || *other.Figure.Spacing != *a.Figure.Spacing {
		t.Errorf("another card: %+v", other.Texts)
	}
	if !strings.HasPrefix(a.Texts.Title, "Io: hands ") || len(a.Texts.Marks) != 2 || len(a.Texts.Steps) != 3 || len(a.Texts.Tests) < 3 || !a.Figure.Possible {
		t.Errorf("%+v", a.Texts)
	}
	at := ask[Answer](t, "answer", `{"draws": 1000, "models": ["equilibrium"], "person": {`+who+`}}`)
	for _, q := range at.Summary.Models[0].Quantities {
		if q.Quantity == "hand_spacing" && !strings.Contains(a.Texts.Marks[0], fmt.Sprint(5*int(*q.All.P50*20+0.5))) {
			t.Errorf("marks %v, the answer %v", a.Texts.Marks, *q.All.P50)
		}
	}
}
