package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"

	"counterpoise/internal/page"
)

// readPage takes a summary, and what a page adds to it, out of an evidence page.
func (m *output) readPage(text []byte) error {
	summary, err := block(text, "summary")
	if err != nil {
		return err
	}
	beside, err := block(text, "beside")
	if err != nil {
		return err
	}
	m.page = &page.Beside{}
	if err := json.Unmarshal(beside, m.page); err != nil {
		return fmt.Errorf("what the page tells beside its summary cannot be read: %w", err)
	}
	m.whole, m.text = text, summary
	return nil
}

// differentLine says in which line two pages of the same data first differ.
func differentLine(a, b []byte) string {
	x, y := bytes.Split(a, []byte("\n")), bytes.Split(b, []byte("\n"))
	for i := range min(len(x), len(y)) {
		if !bytes.Equal(x[i], y[i]) {
			return fmt.Sprintf("line %d of the page, whose data are the same", i+1)
		}
	}
	return fmt.Sprintf("the page has %d lines in the file, %d in the repeat", len(x), len(y))
}

// block returns the data that a page carries under an id.
func block(text []byte, id string) ([]byte, error) {
	_, rest, found := bytes.Cut(text, []byte(`<script type="application/json" id="`+id+`">`))
	inside, _, closed := bytes.Cut(rest, []byte(`</script>`))
	if !found || !closed {
		return nil, errors.New("is no evidence page of this program: it lacks its " + id + "; of a library, " + librarySummary + " can be repeated")
	}
	return inside, nil
}
