package explorer

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
	"counterpoise/sim/person"
)

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
