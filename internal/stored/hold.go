package stored

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"

	"counterpoise/internal/holds"
	"counterpoise/internal/study"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
)

// Hold is a hold as it is kept: its name, and of one that was made of a file the
// file's text and hash as well, so that nothing else is needed to make it again.
type Hold struct{ *hold.Hold }

// holdOfFile is the form of a hold that was made of a file.
type holdOfFile struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
	Text   string `json:"text"`
}

// IsZero reports whether there is no hold.
func (s Hold) IsZero() bool { return s.Hold == nil }

// MarshalJSON writes the hold; "" where there is none.
func (s Hold) MarshalJSON() ([]byte, error) {
	switch {
	case s.Hold == nil:
		return []byte(`""`), nil
	case s.Text == "":
		return json.Marshal(s.Name)
	}
	return json.Marshal(holdOfFile{s.Name, textHash(s.Text), s.Text})
}

func textHash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return hex.EncodeToString(sum[:])
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (s *Hold) UnmarshalJSON(data []byte) error {
	var name string
	if json.Unmarshal(data, &name) == nil {
		h, known := holds.Find(name)
		if !known && name != "" {
			return fmt.Errorf("the hold %q is not in this program", name)
		}
		s.Hold = h
		return nil
	}
	var file holdOfFile
	if err := json.Unmarshal(data, &file); err != nil {
		return err
	}
	if textHash(file.Text) != file.SHA256 {
		return fmt.Errorf("the text of the hold %q was altered: its SHA-256 differs", file.Name)
	}
	o, err := study.ReadNamedOutline("the text of "+file.Name, []byte(file.Text), false)
	if err != nil {
		return err
	}
	s.Hold, err = holds.Of(o)
	return err
}

// storeHolds returns the holds of an axis as they are kept, where their names do not say
// it all.
func storeHolds(list []*hold.Hold) []Hold {
	if !slices.ContainsFunc(list, func(h *hold.Hold) bool { return h.Text != "" }) {
		return nil
	}
	return names.Each(list, func(h *hold.Hold) Hold { return Hold{h} })
}

// holds is the inverse of storeHolds.
func (a *storedAxis) holds() ([]*hold.Hold, error) {
	if a.Of != "hold" {
		return nil, nil
	}
	if a.Holds != nil {
		return names.Each(a.Holds, func(s Hold) *hold.Hold { return s.Hold }), nil
	}
	var list []*hold.Hold
	for _, name := range a.Names {
		h, known := holds.Find(name)
		if !known {
			return nil, fmt.Errorf("the hold %q is not in this program", name)
		}
		list = append(list, h)
	}
	return list, nil
}
