package page

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"html/template"

	"counterpoise/internal/provenance"
	"counterpoise/internal/words"
)

// Origin is where a page comes from and how it was asked to be: what the page carries, so that it
// can be made again. An evidence page has it in its summary and in what it tells beside.
type Origin struct {
	Stamps   []provenance.Stamp `json:"provenance"` // of a club, or of each claim of a library
	Card     string             `json:"card,omitempty"`
	Units    string             `json:"units,omitempty"`
	Summary  []byte             `json:"-"` // of an evidence page, as are the others
	Above    string             `json:"-"`
	Language words.Language     `json:"-"`
}

// script is the origin as it stands in a page.
func (o *Origin) script() (template.JS, error) {
	text, err := json.Marshal(o)
	return template.JS(text), err
}

// System is the units of what the page shows.
func (o *Origin) System() words.System {
	s, _ := words.ParseSystem(o.Units) // metric where nothing is said
	return s
}

// ReadOrigin takes its origin out of a page.
func ReadOrigin(text []byte) (*Origin, error) {
	o := &Origin{}
	var beside Beside
	if inside := block(text, "origin"); inside != nil {
		if err := errors.Join(provenance.Strict(inside), json.Unmarshal(inside, o)); err != nil {
			return nil, fmt.Errorf("where the page comes from cannot be read: %w", err)
		}
		return o, nil
	}
	if o.Summary = block(text, "summary"); o.Summary == nil {
		return nil, errors.New("is not a page of this program: it does not say where it comes from")
	}
	inside := block(text, "beside")
	if err := errors.Join(provenance.Strict(inside), json.Unmarshal(inside, &beside)); err != nil {
		return nil, fmt.Errorf("what the page tells beside its summary cannot be read: %w", err)
	}
	o.Above, o.Language = beside.Above, beside.Language
	return o, nil
}

// block returns the data that a page carries under an id, or nil.
func block(text []byte, id string) []byte {
	_, rest, found := bytes.Cut(text, []byte(`<script type="application/json" id="`+id+`">`))
	inside, _, closed := bytes.Cut(rest, []byte(`</script>`))
	if !found || !closed {
		return nil
	}
	return inside
}

// DifferentLine says in which line two pages of the same data first differ.
func DifferentLine(a, b []byte) string {
	x, y := bytes.Split(a, []byte("\n")), bytes.Split(b, []byte("\n"))
	for i := range min(len(x), len(y)) {
		if !bytes.Equal(x[i], y[i]) {
			return fmt.Sprintf("line %d of the page, whose data are the same", i+1)
		}
	}
	return fmt.Sprintf("the page has %d lines in the file, %d in the repeat", len(x), len(y))
}
