// Package notices carries the licences of everything that the program is built from, as
// their texts ask to be carried: Go itself, every module that is linked in, for any system
// that it is built for, and what was typed in from elsewhere.
//
// The file is made from the module cache by go generate, and a test compares them.
package notices

import (
	"bytes"
	"compress/gzip"
	_ "embed" // for the texts
	"encoding/json"
	"fmt"
)

//go:generate go test . -run Notices -update

//go:embed notices.json.gz
var packed []byte

// Notice is one part that the program is built from.
type Notice struct {
	Name    string   `json:"name"`
	Version string   `json:"version,omitempty"`
	Licence string   `json:"licence"`          // by its SPDX name
	Within  []string `json:"within,omitempty"` // other licences that texts of it are under
	Texts   []Text   `json:"texts"`
}

// Text is a file of a licence or a notice, by its path within the part.
type Text struct {
	File string `json:"file"`
	Text string `json:"text"`
}

// All returns the notices, sorted by name, Go first.
func All() ([]Notice, error) {
	unpacked, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		return nil, fmt.Errorf("notices: %w", err)
	}
	var list []Notice
	if err := json.NewDecoder(unpacked).Decode(&list); err != nil {
		return nil, fmt.Errorf("notices: %w", err)
	}
	return list, nil
}
