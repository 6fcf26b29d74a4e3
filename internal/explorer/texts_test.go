package explorer

import (
	"encoding/json"
	"strings"
	"testing"
)

// told asks a question and reads its answer.
func told[T any](t *testing.T, question, request string) T {
	t.Helper()
	text, err := New(nil).Ask(t.Context(), question, []byte(request))
	if err != nil {
		t.Fatalf("%s: %v", question, err)
	}
	var answer T
	if err := json.Unmarshal(text, &answer); err != nil {
		t.Fatal(err)
	}
	return answer
}

// The texts of an answer are of its own numbers, in the units asked for.
func TestTextsOfAnswers(t *testing.T) {
	for system, want := range map[string][]string{
		"metric":   {"\u00a0cm", "\u00a0kg", "°", "\u00a0N", "168.0\u00a0cm"},
		"imperial": {"\u00a0in", "\u00a0lb", "°", "\u00a0lbf", "5\u00a0ft\u00a06.1\u00a0in"},
	} {
		a := told[Answer](t, "answer", `{"draws": 1000, "person": {"sex": "female", "units": "`+system+`", "measurements": {"stature": "168 cm"}}}`)
		if len(a.Texts.Models) != len(a.Summary.Models) || len(a.Texts.Known) != 1 || len(a.Texts.Fixture) != len(a.Summary.Fixture.Forces) || a.Texts.Draws != "1,000" {
			t.Fatalf("%+v", a.Texts)
		}
		for i, m := range a.Summary.Models {
			texts := a.Texts.Models[i]
			if len(texts.Quantities) != len(m.Quantities) || texts.Next == nil || len(texts.Next.Plan) != len(m.Plan) {
				t.Fatalf("%s: %+v", m.Model, texts)
			}
			for k, q := range m.Quantities {
				if text := texts.Quantities[k]; text.Value == "" || !strings.Contains(text.Range, " to ") && text.Range != text.Value || (text.Own == "") != (q.AbsoluteUnit == "") {
					t.Errorf("%s: %+v", q.Quantity, text)
				}
			}
		}
		all, err := json.Marshal(a.Texts)
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range want {
			if !strings.Contains(string(all), w) {
				t.Errorf("%s: %q is not in %s", system, w, all)
			}
		}
		if strings.Contains(string(all), "NaN") || strings.Contains(string(all), " BW") {
			t.Errorf("%s", all)
		}
	}
}

// A posture that is not the best asks more, and says so; one beyond reach says where the
// hands were wanted.
func TestTextsOfPostures(t *testing.T) {
	at := func(spacing string) Figure {
		return told[Pose](t, "pose", `{"person": {"sex": "male"}, "model": "equilibrium"`+spacing+`}`).Figure
	}
	best, near := at(""), at(`, "spacing_m": 0.75`)
	if best.Texts.More != "" || !strings.HasSuffix(near.Texts.More, "more than at its best.") || near.Texts.Hands != "75.0\u00a0cm" {
		t.Errorf("%+v, %+v", best.Texts, near.Texts)
	}
	if far := at(`, "spacing_m": 9`); far.Possible || far.Texts.Hands != "900.0\u00a0cm" {
		t.Errorf("%+v", far)
	}
	for _, s := range best.Supports {
		if !strings.HasSuffix(s.Texts.Weight, "\u00a0kg") || !strings.HasSuffix(s.Texts.BW, "\u00a0BW") || !strings.Contains(s.Texts.Way, "\u00a0N to the ") {
			t.Errorf("%+v", s)
		}
	}
}

// What somebody typed is written in the other units as they would type it; what cannot
// be read stays.
func TestConvert(t *testing.T) {
	for _, c := range []struct{ from, to, kind, text, want string }{
		{"metric", "imperial", "length", "168", "5 ft 6.1 in"},
		{"metric", "imperial", "length", "168 ± 0.5", "5 ft 6.1 in ± 0.2 in"},
		{"metric", "imperial", "length", "23.4 cm", "9.2"},
		{"metric", "imperial", "mass", "61", "134.5"},
		{"imperial", "metric", "length", `5'8"`, "172.7"},
		{"imperial", "metric", "length", "10.5 ± 0.25", "26.7 cm ± 0.6 cm"},
		{"imperial", "metric", "mass", "150 lb", "68"},
		{"metric", "imperial", "length", "tall", "tall"},
		{"metric", "imperial", "mass", "9 cm", "9 cm"},
	} {
		request, err := json.Marshal(ConvertRequest{c.from, c.to, []Typed{{c.kind, c.text}}})
		if err != nil {
			t.Fatal(err)
		}
		if got := told[Converted](t, "convert", string(request)).Texts; len(got) != 1 || got[0] != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
	if _, err := New(nil).Ask(t.Context(), "convert", []byte(`{"from": "metric", "to": "royal"}`)); err == nil || !strings.Contains(err.Error(), "allowed are metric, imperial") {
		t.Error(err)
	}
}

// The catalogue has what a page needs to take and show quantities in each system.
func TestUnitTables(t *testing.T) {
	c := told[Catalogue](t, "catalogue", `{}`)
	if len(c.Units) != 2 || c.Units[0].Bar.Text != "50 cm" || c.Units[1].Bar.Text != "2 ft" || c.Units[1].Steps[0].Text != "1/2 in" || c.Units[1].Mass.Unit != "lb" {
		t.Errorf("%+v", c.Units)
	}
	for _, h := range c.Holds {
		for _, v := range h.Variants {
			if (v.Range != nil) != (v.Texts["metric"] != "" && v.Texts["imperial"] != "") {
				t.Errorf("%s: %+v", h.Name, v)
			}
		}
	}
	if _, err := Shipped(); err != nil {
		t.Fatal(err)
	}
	s, _ := Shipped()
	for _, saying := range s.Sayings {
		if saying.Mark == "" {
			t.Errorf("%s: the verdict %s has no mark", saying.Name, saying.Verdict)
		}
	}
}
