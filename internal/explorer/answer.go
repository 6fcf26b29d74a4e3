package explorer

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"

	"counterpoise/internal/app/person/said"
	"counterpoise/internal/jsonform"
	"counterpoise/internal/words"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/person"
)

// AnswerRequest asks what a hold asks of a person.
type AnswerRequest struct {
	Person Person   `json:"person"`
	Models []string `json:"models,omitempty"` // none takes all of the hold
	Draws  int      `json:"draws,omitempty"`  // DefaultDraws where 0
	Seed   *Seed    `json:"seed,omitempty"`   // 1 where left out
}

// Seed is a seed, as a number or, since JavaScript cannot hold every one, as text.
type Seed uint64

// UnmarshalJSON reads a number or a text of digits.
func (s *Seed) UnmarshalJSON(text []byte) error {
	var quoted string
	if json.Unmarshal(text, &quoted) != nil {
		quoted = string(text)
	}
	x, err := strconv.ParseUint(quoted, 10, 64)
	if err != nil {
		return &RequestError{"seed", fmt.Sprintf("found %q, must be a whole number from 0 to 2^64-1", cut(quoted))}
	}
	*s = Seed(x)
	return nil
}

// Answer is what a hold asks of a person.
type Answer struct {
	Faults   []Fault `json:"faults"`
	Complete bool    `json:"complete"` // whether nothing that was typed was left out
	// Summary is what `counterpoise person FILE --json` prints of the same person with
	// as many draws and the same seed: quantities, what to measure next, fixture
	// forces, ranks of the measurements, readiness, notes. Its sentences are metric;
	// those of Words are in the units asked for.
	Summary *said.PersonSummary `json:"summary"`
	Curves  []Curve             `json:"curves"` // one a model; none where the hold has no free arm angle
	Words   Words               `json:"words"`
	Texts   Texts               `json:"texts"`
	Seed    string              `json:"seed"`
}

// Words are generated sentences.
type Words struct {
	Reach     string   `json:"reach"` // whether it can be held, as far as strength tells; may be empty
	Headline  string   `json:"headline"`
	Sentences []string `json:"sentences,omitempty"` // what goes with it, most important first
	Models    []string `json:"models,omitempty"`    // how the models differ
	Notes     []string `json:"notes,omitempty"`     // what is rare or should be known
}

// Curve is what the hold asks over the arm angle, by one model.
type Curve struct {
	Model string    `json:"model"`
	Unit  string    `json:"unit"` // of all values below: "BW" or "" for shares of a capacity
	Angle []float64 `json:"angle_deg"`
	// Parts are the conditions, the largest of which decides: their values for the
	// median body.
	Parts []Part    `json:"parts"`
	Peak  []float64 `json:"peak"` // of the median body, the largest part
	// The 5 % and 95 % quantiles of the largest part over what was not measured of the
	// body, and over that and the assumptions.
	BodyLow  []float64 `json:"body_low"`
	BodyHigh []float64 `json:"body_high"`
	AllLow   []float64 `json:"all_low"`
	AllHigh  []float64 `json:"all_high"`
	// Where the median body is held best; nil where it can take no posture.
	BestAngle   *float64 `json:"best_angle_deg"`
	BestPeak    *float64 `json:"best_peak"`
	BestSpacing *float64 `json:"best_spacing_m"`

	Angles     string  `json:"angles"` // from the first to the last, a text
	Best       string  `json:"best"`   // where it is held best, sentences
	AngleTicks []Tick  `json:"angle_ticks"`
	Ticks      []Tick  `json:"ticks"` // of what is asked
	Most       float64 `json:"most"`  // how high the curve is worth drawing
}

// Part is one condition of a curve.
type Part struct {
	Name   string    `json:"name"`
	Median []float64 `json:"median"`
}

// begin reads a person and what an answer is computed with.
func begin(e *Explorer, of *Person, draws int, seed *Seed) (f *form, p person.Person, o person.Options, err error) {
	if f, p, err = of.read("person.", e); err != nil {
		return f, p, o, err
	}
	o = person.DefaultOptions()
	o.N = DefaultDraws
	if draws != 0 {
		o.N = draws
	}
	if o.N < person.LeastN || o.N > MostDraws {
		return f, p, o, &RequestError{"draws", fmt.Sprintf("found %d, must be %d to %d", draws, person.LeastN, MostDraws)}
	}
	if seed != nil {
		o.Seed = uint64(*seed)
	}
	return f, p, o, nil
}

// modelNamed finds a model of a hold.
func modelNamed(f *form, field, name string, h *hold.Hold) (hold.Model, error) {
	if !f.oneOf(field, name, names.Of(h.Models)) {
		last := f.faults[len(f.faults)-1]
		return 0, &RequestError{last.Field, last.Reason}
	}
	m, _ := hold.ParseModel(name)
	return m, nil
}

// settle computes with whatever of the person is left after leaving out what cannot
// be: compute is called until it has no more to complain of.
func (f *form) settle(p *person.Person, compute func() error) error {
	for {
		err := compute()
		if err == nil || !f.leaveOut("person.", p, err) {
			return err
		}
	}
}

// asRequest is an error of computing as one of the request, where it is one.
func asRequest(err error) error {
	var field *fault.Error
	if errors.As(err, &field) {
		return &RequestError{field.Field, words.Fault(field)}
	}
	return err
}

// answer answers for a person.
func answer(ctx context.Context, e *Explorer, q *AnswerRequest) (*Answer, error) {
	f, p, o, err := begin(e, &q.Person, q.Draws, q.Seed)
	if err != nil {
		return nil, err
	}
	h := p.Hold
	for i, name := range q.Models {
		m, err := modelNamed(f, fmt.Sprintf("models[%d]", i), name, h)
		if err != nil {
			return nil, err
		}
		o.Models = append(o.Models, m)
	}
	var told said.PersonAnswer
	err = f.settle(&p, func() (err error) {
		told = said.PersonAnswer{}
		// Seeking the tests to do takes as long as a quick answer, and waits for a whole one.
		if o.Judges() && (p.Tests != nil || o.N >= person.DefaultOptions().N) {
			if told.Ready, err = person.Ready(ctx, p, o); err == nil {
				told.Result = told.Ready.Result
			}
			return err
		}
		told.Result, err = person.Answer(ctx, p, o)
		return err
	})
	if err != nil {
		return nil, asRequest(err)
	}
	told.Notes = said.PersonNotes(told.Result, f.system)
	summary := said.SummarisePerson(&told)
	a := &Answer{
		Faults: f.all(), Complete: len(f.faults) == 0, Summary: &summary, Curves: []Curve{}, Texts: textsOf(&told, f.system),
		Seed: strconv.FormatUint(o.Seed, 10),
		Words: Words{Reach: words.Capital(said.WithinReach(&told, told.Primary())), Headline: said.PersonHeadline(&told, f.system), Sentences: said.PersonSentences(&told, f.system),
			Models: said.ModelsDiffer(&told, f.system), Notes: told.Notes},
	}
	for i := range told.Models {
		if c := told.Models[i].Curve; c != nil {
			a.Curves = append(a.Curves, curveOf(told.Models[i].Model, c, f.system))
		}
	}
	return a, nil
}

// all returns the faults, never nil.
func (f *form) all() []Fault { return append([]Fault{}, f.faults...) }

func curveOf(m hold.Model, c *person.Curve, s words.System) Curve {
	curve := Curve{
		Model: m.String(), Angle: make([]float64, len(c.Angle)), Parts: []Part{}, Peak: some(c.Peak),
		BodyLow: some(c.BodyLow), BodyHigh: some(c.BodyHigh), AllLow: some(c.AllLow), AllHigh: some(c.AllHigh),
		BestAngle: jsonform.Finite(inDegrees(c.BestAngle)), BestPeak: jsonform.Finite(c.BestPeak), BestSpacing: jsonform.Finite(c.BestSpacing),
	}
	if m == hold.TwoCondition {
		curve.Unit = "BW"
	}
	for i, angle := range c.Angle {
		curve.Angle[i] = inDegrees(angle)
	}
	for k, name := range c.Parts {
		curve.Parts = append(curve.Parts, Part{name, some(c.Values[k])})
	}
	curve.write(s)
	return curve
}

func inDegrees(radians float64) float64 { return radians * 180 / math.Pi }

// some returns the list, never nil.
func some(list []float64) []float64 { return append([]float64{}, list...) }
