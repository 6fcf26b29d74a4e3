package explorer

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
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

// Whatever comes in, an object goes out: an answer whose faults say their fields, or an
// error. Nothing panics, and no number is lost to JSON.
func FuzzAsk(f *testing.F) {
	for _, seed := range []string{
		`{"person": {"sex": "female", "measurements": {"stature": "168 cm ± 0.5 cm", "mass": "61"}}}`,
		`{"person": {"sex": "male", "units": "imperial", "measurements": {"stature": "5 ft 11 in", "sitting_height": "90"}, "legs": {"form": "straddle", "angle": "35"}, "tilt": "-12"}}`,
		`{"person": {"sex": "male", "scan": {"head": "4.9", "trunk": "31.4", "arms": "9.1", "legs": "22.3"}, "tests": [{"test": "one_arm_hang", "side": "left", "held": "34", "added": "6"}]}}`,
		`{"person": {"sex": "male", "hold": "push-up", "pose": {"feet_raised": "45", "bent": "yes", "kneeling": "no"}}, "models": ["equilibrium"]}`,
		`{"person": {"sex": "female"}, "model": "equilibrium", "angle_deg": 43}`,
		`{"person": {"sex": "female", "tilt": "80"}, "model": "two-condition", "spacing_m": 1e308}`,
		`{"person": {"sex": "male", "hold": "wall-handstand", "pose": {"wall_distance": "120", "one_arm": "yes"}}, "model": "equilibrium"}`,
		`{"person": {"sex": "male"}, "model": "equilibrium", "seed": "3", "change": {"arm_length": "-40 %", "mass": [{"region": "legs", "kilograms": "-30", "working_share": 1}], "legs": {"form": "tuck"}}}`,
		`{"person": {"sex": "female", "hold": "planche"}, "model": "equilibrium", "change": {"size": "-50", "shoulder_breadth": "-30", "tilt": "5", "pose": {"bent": "yes"}}}`,
		`{}`, `{"person": {"sex": "male", "measurements": {"mass": "1e300 kg", "span": "1e-300 m"}}}`, `[`, `null`,
	} {
		f.Add(seed)
	}
	e := New(nil)
	f.Fuzz(func(t *testing.T, request string) {
		for _, question := range Questions() {
			var q struct{ Draws int }
			if json.Unmarshal([]byte(request), &q); q.Draws > person.LeastN {
				continue // would take its time
			}
			asked := request
			if question == "answer" || question == "change" {
				asked = strings.Replace(request, "{", `{"draws": 1000, `, 1)
				if !json.Valid([]byte(asked)) {
					asked = request
				}
			}
			text, err := e.Ask(t.Context(), question, []byte(asked))
			var told struct {
				Error  *RequestError
				Faults []Fault
			}
			if json.Unmarshal(text, &told) != nil || text[0] != '{' {
				t.Fatalf("%s %s: %s", question, asked, text)
			}
			var fault *RequestError
			if (err != nil) != (told.Error != nil) || err != nil && !errors.As(err, &fault) {
				t.Errorf("%s %s: %v, and told is %+v", question, asked, err, told.Error)
			}
			for _, fault := range told.Faults {
				if fault.Field == "" || fault.Reason == "" {
					t.Errorf("%s %s: %+v", question, asked, fault)
				}
			}
		}
	})
}

// Whatever is typed into the fields of a form that is otherwise whole, it is answered
// or said at its field.
func FuzzFields(f *testing.F) {
	f.Add("168 cm ± 0.5 cm", "61", "40", "20 s", "+5 cm", "-3", uint8(0), uint8(1), uint8(0), true)
	f.Add("5'8\"", "134 lb", "-89.9 deg", "0.0001", "-50 %", "99", uint8(4), uint8(2), uint8(3), false)
	f.Add("1e308", "1e-300", "1e9 rad", "∞", "NaN", "−1", uint8(8), uint8(0), uint8(200), true)
	e := New(nil)
	f.Fuzz(func(t *testing.T, length, mass, angle, time, change, kilograms string, which, form, measurement uint8, imperial bool) {
		h := hold.All()[int(which)%len(hold.All())]
		p := Person{
			Sex: "female", Hold: h.Name, Tilt: angle, Legs: Legs{hold.LegForm(form % uint8(hold.NumLegForms)).String(), angle},
			Measurements: map[string]string{"mass": mass, anthro.Measurement(measurement % uint8(anthro.NumMeasurements)).String(): length},
			Tests:        []Test{{Test: "one_arm_hang", Held: time, Added: kilograms}, {Test: "one_arm_handstand", Held: time, Fingers: mass, WallDistance: length}},
			Pose:         map[string]string{},
			Scan:         map[string]string{"arms": kilograms, "legs": mass, "trunk": mass, "head": kilograms},
		}
		for _, v := range h.Variants {
			p.Pose[v.String()] = length
		}
		if imperial {
			p.Units = "imperial"
		}
		model := h.Models[0].String()
		requests := map[string]any{
			"answer": AnswerRequest{Person: p, Draws: person.LeastN},
			"pose":   PoseRequest{Person: p, Model: model},
			"change": ChangeRequest{Person: p, Model: model, Draws: person.LeastN, Change: Change{
				Traits: map[string]string{"arm_length": change, "leg_length": length, "hand_length": change, "size": change}, Tilt: angle, Pose: p.Pose,
				Mass: []AddedMass{{Region: "trunk", Kilograms: kilograms, Working: 0.5}},
			}},
		}
		for question, request := range requests {
			asked, err := json.Marshal(request)
			if err != nil {
				t.Fatal(err)
			}
			text, err := e.Ask(t.Context(), question, asked)
			var told struct {
				Error  *RequestError
				Faults []Fault
			}
			if json.Unmarshal(text, &told) != nil || (err != nil) != (told.Error != nil) {
				t.Fatalf("%s %s: %s", question, asked, text)
			}
			var fault *RequestError
			if err != nil && !errors.As(err, &fault) {
				t.Errorf("%s %s: %v", question, asked, err)
			}
			for _, fault := range told.Faults {
				if fault.Field == "" || fault.Reason == "" || strings.Contains(fault.Reason, "\n") {
					t.Errorf("%s %s: %+v", question, asked, fault)
				}
			}
		}
	})
}

// MarshalJSON writes what UnmarshalJSON reads.
func (c Change) MarshalJSON() ([]byte, error) {
	type plain Change
	text, err := json.Marshal(plain(c))
	if err != nil {
		return nil, err
	}
	fields := map[string]any{}
	for name, change := range c.Traits {
		fields[name] = change
	}
	if err := json.Unmarshal(text, &fields); err != nil {
		return nil, err
	}
	return json.Marshal(fields)
}
