package explorer

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"counterpoise/internal/holds"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
)

// Explorer answers questions. It may be asked by several goroutines at a time.
type Explorer struct {
	sayings func() (Sayings, error)
	own     []*hold.Hold
}

// New returns an explorer of the holds that are shipped and of others of one's own, whose
// names are none of theirs; sayings tells the verdicts on the shipped claims, and is nil
// where there are none.
func New(sayings func() (Sayings, error), own ...*hold.Hold) *Explorer {
	return &Explorer{sayings: sayings, own: own}
}

// holds lists the holds that can be asked about.
func (e *Explorer) holds() []*hold.Hold { return append(holds.All(), e.own...) }

func (e *Explorer) holdNames() []string {
	return append(holds.Names(), names.Each(e.own, func(h *hold.Hold) string { return h.Name })...)
}

// hold finds one of them by its name.
func (e *Explorer) hold(name string) (*hold.Hold, bool) {
	if h, ok := holds.Find(name); ok {
		return h, true
	}
	return names.First(e.own, func(h *hold.Hold) bool { return h.Name == name })
}

// Sayings returns the verdicts on the shipped claims; none where none were given.
func (e *Explorer) Sayings() (Sayings, error) {
	if e.sayings == nil {
		return Sayings{Sayings: []Saying{}}, nil
	}
	return e.sayings()
}

// RequestError is what cannot be answered at all about a question, in one field of
// it, or in the whole where Field is "".
type RequestError struct {
	Field  string `json:"field"`
	Reason string `json:"reason"`
}

func (e *RequestError) Error() string {
	if e.Field == "" {
		return e.Reason
	}
	return e.Field + ": " + e.Reason
}

// Fault is what is wrong with a field of the request, in words, where the rest could
// be answered.
type Fault struct {
	Field  string `json:"field"` // its path in the request
	Reason string `json:"reason"`
	Slip   *Slip  `json:"slip,omitempty"` // the likely mistake, if one explains it
}

// Slip is a likely mistake.
type Slip struct {
	Text string `json:"text"` // such as "inches for centimetres"
	// Would is the value that was probably meant, to be taken over into the field,
	// such as "172.7 cm".
	Would string `json:"would"`
	// Fields are all that the same mistake was probably made in.
	Fields []string `json:"fields"`
}

// work reads a request and answers it.
type work func(ctx context.Context, e *Explorer, request []byte) (any, error)

// asked makes work of a function of what a request holds.
func asked[Q, A any](answer func(context.Context, *Explorer, *Q) (A, error)) work {
	return func(ctx context.Context, e *Explorer, request []byte) (any, error) {
		var q Q
		if err := read(request, &q); err != nil {
			return nil, err
		}
		return answer(ctx, e, &q)
	}
}

// questions are what can be asked.
var questions = []struct {
	name string
	work work
}{
	{"catalogue", asked(func(_ context.Context, e *Explorer, _ *struct{}) (*Catalogue, error) { return e.Catalogue() })},
	{"answer", asked(answer)},
	{"pose", asked(func(_ context.Context, e *Explorer, q *PoseRequest) (*Pose, error) { return pose(e, q) })},
	{"change", asked(change)},
	{"card", asked(card)},
	{"convert", asked(func(_ context.Context, _ *Explorer, q *ConvertRequest) (*Converted, error) { return convert(q) })},
	{"sayings", asked(func(_ context.Context, e *Explorer, _ *struct{}) (Sayings, error) { return e.Sayings() })},
}

// Questions returns the names of the questions that can be asked.
func Questions() []string {
	list := make([]string, len(questions))
	for i, q := range questions {
		list[i] = q.name
	}
	return list
}

// Ask answers a question with a JSON object. The error, if the question cannot be
// answered, is a *RequestError for what is wrong with it and another error for what
// is not the asker's fault; the object then says it as well.
func (e *Explorer) Ask(ctx context.Context, question string, request []byte) ([]byte, error) {
	result, err := e.ask(ctx, question, request)
	if err == nil {
		var text []byte
		if text, err = json.Marshal(result); err == nil {
			return text, nil
		}
	}
	fault := &RequestError{Reason: err.Error()}
	errors.As(err, &fault)
	text, marshalling := json.Marshal(struct {
		Error *RequestError `json:"error"`
	}{fault})
	return text, errors.Join(err, marshalling)
}

func (e *Explorer) ask(ctx context.Context, question string, request []byte) (any, error) {
	i := slices.Index(Questions(), question)
	if i < 0 {
		return nil, &RequestError{Reason: fmt.Sprintf("unknown question %q; known: %s", question, strings.Join(Questions(), ", "))}
	}
	return questions[i].work(ctx, e, request)
}

// read reads a request into a value, strictly: unknown fields and anything after
// the object are errors.
func read(request []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(request))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		var kind *json.UnmarshalTypeError
		var fault *RequestError
		switch {
		case errors.As(err, &fault):
			return fault
		case errors.As(err, &kind):
			return &RequestError{kind.Field, fmt.Sprintf("found a %s, must be %s", kind.Value, kindWords(kind.Type.Kind().String()))}
		case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
			return &RequestError{"", "the request ends before its JSON object does"}
		}
		return &RequestError{"", "the request: " + strings.TrimPrefix(err.Error(), "json: ")}
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return &RequestError{"", "there is something after the request's JSON object"}
	}
	return nil
}

// kindWords names a kind of value as JSON has it.
func kindWords(kind string) string {
	switch kind {
	case "string":
		return "a text"
	case "struct", "map", "ptr":
		return "an object"
	case "slice":
		return "a list"
	case "bool":
		return "true or false"
	case "int":
		return "a whole number"
	}
	return "a number"
}
