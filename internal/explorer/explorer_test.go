package explorer

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/holds"
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
	golden.OK(t, json.Unmarshal(text, &a))
	return a
}

func TestFaultsAreSaidAtTheirFieldsAndTheRestIsAnswered(t *testing.T) {
	for _, c := range []struct{ name, person, field, says, slip string }{
		{"inches for centimetres", `{"sex": "female", "measurements": {"stature": "66", "mass": "61"}}`, "person.measurements.stature", "of people in us-women", "167.6 cm"},
		{"pounds for kilograms", `{"sex": "female", "measurements": {"stature": "168", "mass": "330"}}`, "person.measurements.mass", "1 in 100,000", "149.7 kg"},
		{"no quantity", `{"sex": "male", "measurements": {"stature": "tall", "mass": "80"}}`, "person.measurements.stature", "", ""},
		{"negative", `{"sex": "male", "measurements": {"mass": "-80"}}`, "person.measurements.mass", "must be positive", ""},
		{"unknown", `{"sex": "male", "measurements": {"statur": "180"}}`, "person.measurements.statur", "did you mean stature?", ""},
		{"contradiction", `{"sex": "male", "measurements": {"stature": "180", "sitting_height": "181"}}`, "person.measurements.sitting_height", "stature must be more than sitting height", ""},
		{"leg form", `{"sex": "male", "hold": "push-up", "legs": {"form": "tuck"}}`, "person.legs.form", "allowed: together", ""},
		{"straddle without angle", `{"sex": "male", "legs": {"form": "straddle"}}`, "person.legs.angle", "needs its angle", ""},
		{"variant", `{"sex": "male", "hold": "push-up", "pose": {"feet_raised": "200"}}`, "person.pose.feet_raised", "allowed: 0.0 cm to 70.0 cm", ""},
		{"no variants", `{"sex": "male", "pose": {"feet_raised": "20"}}`, "person.pose.feet_raised", "no variants", ""},
		{"half a scan", `{"sex": "male", "scan": {"arms": "8"}}`, "person.scan", "missing: head, trunk, legs", ""},
		{"scan of somebody else", `{"sex": "male", "measurements": {"mass": "80"}, "scan": {"arms": "8", "legs": "20", "trunk": "30", "head": "5"}}`, "person.scan", "add up to", ""},
		{"test", `{"sex": "male", "tests": [{"test": "one_arm_hang", "held": "200 min"}]}`, "person.tests[0].held", "allowed:", ""},
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
		{"answer", `{"person": {"sex": "male"}, "draws": 12}`, "draws", "found 12, must be 1000 to 20000"},
		{"answer", `{"person": {"sex": "male"}, "draws": 2000.5}`, "draws", "must be a whole number"},
		{"answer", `{"person": {"sex": "male"}, "seed": "-1"}`, "seed", "whole number"},
		{"answer", `{"person": {"sex": "male"}, "models": ["three"]}`, "models[0]", "allowed: two-condition, equilibrium"},
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
			asked := golden.Must(json.Marshal(request))(t)
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

// The forces on every figure and its weight add up to nothing, wherever its arms are
// put, and the figure stands where the answer says.
func TestFiguresBalance(t *testing.T) {
	for _, h := range holds.All() {
		for _, m := range h.Models {
			person := fmt.Sprintf(`{"sex": "female", "hold": %q, "measurements": {"stature": "168", "mass": "61"}}`, h.Name)
			at := []string{""}
			if h.Places(hold.GivenAngle) {
				at = append(at, `, "angle_deg": 10`, `, "angle_deg": 33.3`, `, "angle_deg": 80`, `, "spacing_m": 0.8`)
			}
			for _, where := range at {
				f := ask[Pose](t, "pose", fmt.Sprintf(`{"person": %s, "model": %q%s}`, person, m, where)).Figure
				if !f.Possible || len(f.Body) == 0 || len(f.Joints) == 0 || len(f.Fixture) == 0 || len(f.Demands) != len(h.Asks(m)) || f.Centre == nil {
					t.Fatalf("%s, %s%s: %+v", h.Name, m, where, f)
				}
				sum, mass := Point{0, -f.Weight}, 0.0
				for _, s := range append(f.Supports, f.Loads...) {
					sum[0], sum[1] = sum[0]+s.Force[0], sum[1]+s.Force[1]
				}
				for _, b := range f.Bones {
					mass += b.Mass
				}
				if math.Hypot(sum[0], sum[1]) > 1e-9*f.Weight || math.Abs(mass-f.Mass) > 1e-9 || f.Mass != 61 {
					t.Errorf("%s, %s%s: left over are %v N, the bones weigh %v kg", h.Name, m, where, sum, mass)
				}
			}
		}
	}
}

func TestAnglesAndSpacingsBelongTogether(t *testing.T) {
	const request = `{"person": {"sex": "male", "tilt": "8", "measurements": {"stature": "180"}}, "model": "two-condition", %s}`
	first := ask[Pose](t, "pose", fmt.Sprintf(request, `"angle_deg": 40`)).Figure
	back := ask[Pose](t, "pose", fmt.Sprintf(request, fmt.Sprintf(`"spacing_m": %v`, *first.Spacing))).Figure
	if math.Abs(*back.Angle-40) > 1e-9 {
		t.Errorf("40° are %v m are %v°", *first.Spacing, *back.Angle)
	}
	// Every end of the ranges can be taken, and nothing beyond.
	for _, c := range []struct {
		field         string
		within, width float64
		possible      bool
	}{
		{"angle_deg", first.AngleRange.Least, 0, true}, {"angle_deg", first.AngleRange.Most, 0, true},
		{"spacing_m", first.SpacingRange.Least, 0, true}, {"spacing_m", first.SpacingRange.Most, 0, true},
		{"angle_deg", first.AngleRange.Least, -0.01, false}, {"angle_deg", first.AngleRange.Most, 0.01, false},
		{"spacing_m", first.SpacingRange.Least, -0.001, false}, {"spacing_m", first.SpacingRange.Most, 0.001, false},
	} {
		f := ask[Pose](t, "pose", fmt.Sprintf(request, fmt.Sprintf(`%q: %v`, c.field, c.within+c.width))).Figure
		if f.Possible != c.possible || f.Possible == (f.Why != "") {
			t.Errorf("%s %v: possible %v, %q", c.field, c.within+c.width, f.Possible, f.Why)
		}
	}
	if first.AngleRange.Least <= 10 || first.AngleRange.Most >= 80 {
		t.Errorf("tilted, the angles go from %+v", first.AngleRange)
	}
}

// The best posture of the figure is that of the curve.
func TestTheFigureStandsAtTheCurvesBest(t *testing.T) {
	const person = `{"sex": "male", "measurements": {"stature": "180", "mass": "77"}, "legs": {"form": "straddle", "angle": "30"}}`
	for _, c := range ask[Answer](t, "answer", `{"draws": 1000, "person": `+person+`}`).Curves {
		f := ask[Pose](t, "pose", `{"model": "`+c.Model+`", "person": `+person+`}`).Figure
		if *f.Angle != *c.BestAngle || *f.Spacing != *c.BestSpacing {
			t.Errorf("%s: %v° and %v m, the curve has %v° and %v m", c.Model, *f.Angle, *f.Spacing, *c.BestAngle, *c.BestSpacing)
		}
	}
}

func TestPosesThatCannotBeAsked(t *testing.T) {
	for request, want := range map[string]string{
		`{"person": {"sex": "male", "hold": "push-up"}, "model": "equilibrium", "angle_deg": 30}`: "angle_deg: push-up leaves no choice",
		`{"person": {"sex": "male"}, "model": "equilibrium", "angle_deg": 30, "spacing_m": 1}`:    "spacing_m: angle_deg and spacing_m exclude",
		`{"person": {"sex": "male", "hold": "push-up"}, "model": "two-condition"}`:                "model: unknown name",
		`{"person": {"sex": "male"}}`:                                            "model: unknown name",
		`{"person": {"sex": "male"}, "model": "equilibrium", "change": {}}`:      "unknown field",
		`{"person": {"sex": "male"}, "model": "equilibrium", "angle_deg": "30"}`: "angle_deg: found a string",
	} {
		if _, err := New(nil).Ask(t.Context(), "pose", []byte(request)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", request, err, want)
		}
	}
}

// The texts of an answer are of its own numbers, in the units asked for.
func TestTextsOfAnswers(t *testing.T) {
	for system, want := range map[string][]string{
		"metric":   {"\u00a0cm", "\u00a0kg", "°", "\u00a0N", "168.0\u00a0cm"},
		"imperial": {"\u00a0in", "\u00a0lb", "°", "\u00a0lbf", "5\u00a0ft\u00a06.1\u00a0in"},
	} {
		a := ask[Answer](t, "answer", `{"draws": 1000, "person": {"sex": "female", "units": "`+system+`", "measurements": {"stature": "168 cm"}}}`)
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
		all := golden.Must(json.Marshal(a.Texts))(t)
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
		return ask[Pose](t, "pose", `{"person": {"sex": "male"}, "model": "equilibrium"`+spacing+`}`).Figure
	}
	best, near := at(""), at(`, "spacing_m": 0.75`)
	if best.Texts.More != "" || !strings.HasSuffix(near.Texts.More, "more than at its best.") || near.Texts.Hands != "75.0\u00a0cm" {
		t.Errorf("%+v, %+v", best.Texts, near.Texts)
	}
	if far := at(`, "spacing_m": 9`); far.Possible || far.Texts.Hands != "900.0\u00a0cm" {
		t.Errorf("%+v", far)
	}
	for _, s := range best.Supports {
		if !strings.HasSuffix(s.Texts.Weight, "\u00a0kg") || !strings.HasSuffix(s.Texts.Other, "\u00a0% of body weight") || !strings.Contains(s.Texts.Way, "\u00a0N to the ") {
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
		request := golden.Must(json.Marshal(ConvertRequest{c.from, c.to, []Typed{{c.kind, c.text}}}))(t)
		if got := ask[Converted](t, "convert", string(request)).Texts; len(got) != 1 || got[0] != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
	if _, err := New(nil).Ask(t.Context(), "convert", []byte(`{"from": "metric", "to": "royal"}`)); err == nil || !strings.Contains(err.Error(), "allowed: metric, imperial") {
		t.Error(err)
	}
}

// The catalogue has what a page needs to take and show quantities in each system.
func TestUnitTables(t *testing.T) {
	c := ask[Catalogue](t, "catalogue", `{}`)
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
