package explorer

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
)

// ask asks a question that can be answered, and reads the answer.
func ask[T any](t *testing.T, question, request string) T {
	t.Helper()
	text, err := New(nil).Ask(context.Background(), question, []byte(request))
	if err != nil {
		t.Fatalf("%s %s: %v", question, request, err)
	}
	var a T
	if err := json.Unmarshal(text, &a); err != nil {
		t.Fatal(err)
	}
	return a
}

func TestFaultsAreSaidAtTheirFieldsAndTheRestIsAnswered(t *testing.T) {
	for _, c := range []struct{ name, person, field, says, slip string }{
		{"inches for centimetres", `{"sex": "female", "measurements": {"stature": "66", "mass": "61"}}`, "person.measurements.stature", "of people in ansur2-women", "167.6 cm"},
		{"pounds for kilograms", `{"sex": "female", "measurements": {"stature": "168", "mass": "150"}}`, "person.measurements.mass", "1 in 100,000", "68.0 kg"},
		{"no quantity", `{"sex": "male", "measurements": {"stature": "tall", "mass": "80"}}`, "person.measurements.stature", "", ""},
		{"negative", `{"sex": "male", "measurements": {"mass": "-80"}}`, "person.measurements.mass", "must be positive", ""},
		{"unknown", `{"sex": "male", "measurements": {"statur": "180"}}`, "person.measurements.statur", "did you mean stature?", ""},
		{"contradiction", `{"sex": "male", "measurements": {"stature": "180", "sitting_height": "181"}}`, "person.measurements.sitting_height", "stature must be more than sitting height", ""},
		{"leg form", `{"sex": "male", "hold": "push-up", "legs": {"form": "tuck"}}`, "person.legs.form", "allowed are together", ""},
		{"straddle without angle", `{"sex": "male", "legs": {"form": "straddle"}}`, "person.legs.angle", "needs its angle", ""},
		{"variant", `{"sex": "male", "hold": "push-up", "pose": {"feet_raised": "200"}}`, "person.pose.feet_raised", "allowed are 0.0 cm to 120.0 cm", ""},
		{"no variants", `{"sex": "male", "pose": {"feet_raised": "20"}}`, "person.pose.feet_raised", "no variants", ""},
		{"half a scan", `{"sex": "male", "scan": {"arms": "8"}}`, "person.scan", "missing: head, trunk, legs", ""},
		{"scan of somebody else", `{"sex": "male", "measurements": {"mass": "80"}, "scan": {"arms": "8", "legs": "20", "trunk": "30", "head": "5"}}`, "person.scan", "add up to", ""},
		{"test", `{"sex": "male", "tests": [{"test": "one_arm_hang", "held": "200 min"}]}`, "person.tests[0].held", "allowed are", ""},
		{"tilt", `{"sex": "male", "hold": "push-up", "tilt": "10"}`, "person.tilt", "is not tilted", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := ask[Answer](t, "answer", `{"draws": 1000, "person": `+c.person+`}`)
			if a.Complete || len(a.Faults) != 1 {
				t.Fatalf("complete %v, faults %+v", a.Complete, a.Faults)
			}
			if f := a.Faults[0]; f.Field != c.field || !strings.Contains(f.Reason, c.says) || strings.Contains(f.Reason, "\n") {
				t.Errorf("fault %+v, want %s: …%s…", f, c.field, c.says)
			}
			if slip := a.Faults[0].Slip; (slip == nil) != (c.slip == "") || slip != nil && slip.Would != c.slip {
				t.Errorf("slip %+v, want %q", slip, c.slip)
			}
			if len(a.Summary.Models) == 0 || a.Words.Headline == "" {
				t.Error("the rest was not answered")
			}
		})
	}
}

func TestBareNumbersHaveTheUnitsOfTheSystem(t *testing.T) {
	metric := ask[Answer](t, "answer", `{"draws": 1000, "person": {"sex": "male", "measurements": {"stature": "180 ± 1", "mass": "80"}}}`)
	spelt := ask[Answer](t, "answer", `{"draws": 1000, "person": {"sex": "male", "measurements": {"stature": "1.8 m ± 1 cm", "mass": "80 kg"}}}`)
	if a, b := *metric.Summary.Models[0].Quantities[0].All.P50, *spelt.Summary.Models[0].Quantities[0].All.P50; a != b || !metric.Complete {
		t.Errorf("metric: %v, spelt out %v, faults %v", a, b, metric.Faults)
	}
	imperial := ask[Answer](t, "answer", `{"draws": 1000, "person": {"sex": "male", "units": "imperial", "measurements": {"stature": "71", "mass": "176"}}}`)
	spelt = ask[Answer](t, "answer", `{"draws": 1000, "person": {"sex": "male", "measurements": {"stature": "5 ft 11 in", "mass": "176 lb"}}}`)
	if a, b := *imperial.Summary.Models[0].Quantities[0].All.P50, *spelt.Summary.Models[0].Quantities[0].All.P50; a != b || !imperial.Complete {
		t.Errorf("imperial: %v, spelt out %v, faults %v", a, b, imperial.Faults)
	}
	if !strings.Contains(imperial.Words.Headline, " lb") || strings.Contains(imperial.Words.Headline, " kg") {
		t.Errorf("imperial headline: %s", imperial.Words.Headline)
	}
}

func TestWhatCannotBeAnswered(t *testing.T) {
	for _, c := range []struct{ question, request, field, reason string }{
		{"answer", `{"person": {}}`, "person.sex", "needed is female or male"},
		{"answer", `{"person": {"sex": "male", "hold": "front-levr"}}`, "person.hold", "did you mean front-lever?"},
		{"answer", `{"person": {"sex": "male"}, "draws": 12}`, "draws", "found 12, must be 1000 to 500000"},
		{"answer", `{"person": {"sex": "male"}, "draws": 2000.5}`, "draws", "must be a whole number"},
		{"answer", `{"person": {"sex": "male"}, "seed": "-1"}`, "seed", "whole number"},
		{"answer", `{"person": {"sex": "male"}, "models": ["three"]}`, "models[0]", "allowed are two-condition, equilibrium"},
		{"answer", `{"person": {"sex": "male"}, "drawz": 12}`, "", "unknown field"},
		{"answer", `{"person": {"sex": 3}}`, "person.sex", "must be a text"},
		{"answer", `{`, "", "ends before"},
		{"answer", `{"person": {"sex": "male"}} x`, "", "something after"},
		{"anything", `{}`, "", "unknown question"},
	} {
		text, err := New(nil).Ask(context.Background(), c.question, []byte(c.request))
		var told struct{ Error RequestError }
		if json.Unmarshal(text, &told) != nil || err == nil {
			t.Fatalf("%s %s: %s, %v", c.question, c.request, text, err)
		}
		if told.Error.Field != c.field || !strings.Contains(told.Error.Reason, c.reason) {
			t.Errorf("%s %s: %+v, want %s: …%s…", c.question, c.request, told.Error, c.field, c.reason)
		}
	}
}

func TestCatalogueIsWhole(t *testing.T) {
	c := ask[Catalogue](t, "catalogue", `{}`)
	for _, m := range c.Measurements {
		if m.How == "" || m.Label == "" {
			t.Errorf("%s: label %q, how %q", m.Name, m.Label, m.How)
		}
		for sex, s := range m.BySex {
			if !(0 < s.Least && s.Least < s.P5 && s.P5 < s.P50 && s.P50 < s.P95 && s.P95 < s.Most) {
				t.Errorf("%s of %s: %+v", m.Name, sex, s)
			}
		}
	}
	for _, h := range c.Holds {
		if h.Title == "" || h.Description == "" || len(h.Models) == 0 || len(h.Legs) == 0 || h.Main[h.Models[0]] == "" {
			t.Errorf("%+v", h)
		}
	}
	if c.Data == nil || c.Version == "" || len(c.Holds) < 12 || len(c.People) < 2 {
		t.Errorf("%s, %d holds, %d people", c.Version, len(c.Holds), len(c.People))
	}
}

func TestShippedSayings(t *testing.T) {
	text, err := New(Shipped).Ask(context.Background(), "sayings", []byte(`{}`))
	var s Sayings
	if err != nil || json.Unmarshal(text, &s) != nil || len(s.Sayings) < 24 {
		t.Fatalf("%v: %.200s", err, text)
	}
	holds := map[string]bool{}
	for _, saying := range s.Sayings {
		holds[saying.Hold] = true
		if saying.Says == "" || saying.Verdict == "" || saying.Headline == "" || len(saying.Models) == 0 || saying.Page != "sayings/"+saying.Name+".html" {
			t.Errorf("%+v", saying)
		}
	}
	if len(holds) < 8 {
		t.Errorf("about %v only", holds)
	}
}
