package datasets

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Sample is the file of people of one's own: a few measured people of one sex.
type Sample struct {
	Name       string     `json:"name"`
	Title      string     `json:"title"`
	Sex        string     `json:"sex"`
	Survey     string     `json:"survey"` // the population from which what was not measured is drawn
	Provenance Provenance `json:"provenance"`
	// People holds what was measured of each, in SI units, by the measurement's
	// name and unit, as in "stature_m" and "mass_kg".
	People []map[string]float64 `json:"people"`
}

// ReadSample decodes a file of people of one's own, strictly. path names it in the
// error, which says the line.
func ReadSample(path string, text []byte) (*Sample, error) {
	var file Sample
	decoder := json.NewDecoder(bytes.NewReader(text))
	decoder.DisallowUnknownFields()
	err := decoder.Decode(&file)
	if err == nil {
		if _, end := decoder.Token(); errors.Is(end, io.EOF) {
			return &file, nil
		}
		err = errors.New("there is more after the people")
	}
	at := int(decoder.InputOffset())
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		at = int(syntax.Offset)
	}
	line := 1 + bytes.Count(text[:min(at, len(text))], []byte("\n"))
	if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		err = errors.New("it ends too early")
	}
	return nil, fmt.Errorf("%s:%d: not a file of people, as people from makes them: %s", path, line, strings.TrimPrefix(err.Error(), "json: "))
}
