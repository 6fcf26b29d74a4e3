package repeat

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"counterpoise/internal/app/claim"
	"counterpoise/internal/app/output"
	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
)

// finder finds the people of a file: in the files named, beside the file and above
// it, or where the program was started.
func (m *made) finder() *output.OwnFinder {
	beside := filepath.Dir(m.path)
	return &output.OwnFinder{
		Files: m.people, Hashes: m.stamp.Data, Hint: "; say where its file lies with --people FILE",
		Folders: []string{beside, filepath.Join(beside, ".."), filepath.Join(beside, "..", ".."), "."},
	}
}

// made is a file made by this program, or by another version of it.
type made struct {
	path  string
	stamp provenance.Stamp
	text  []byte       // of JSON; nil for a table
	whole []byte       // of an evidence page
	page  *page.Beside // what an evidence page tells beside its summary, which text is; else nil
	// people are files of people of one's own, to be looked at before others.
	people []string
	part   string // of a library, the claim; text is then its summary alone
}

// openOutput reads where a file comes from.
func openOutput(path string) (*made, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, output.ReasonOf(err))
	}
	m := &made{path: path}
	start := make([]byte, 1)
	if !info.IsDir() {
		f, err := provenance.OpenFile(path)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		defer f.Close()
		if _, err := io.ReadFull(f, start); err != nil {
			return nil, fmt.Errorf("%s: is empty", path)
		}
	}
	if info.IsDir() || start[0] == 'P' {
		r, err := table.Open(path)
		if err != nil {
			return nil, err
		}
		defer r.Close()
		m.stamp, err = provenance.StampFrom(r.Metadata())
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		return m, nil
	}
	if start[0] != '{' && start[0] != '<' {
		return nil, fmt.Errorf("%s: holds no provenance: a Parquet table or a JSON summary of this program is needed", path)
	}
	if m.text, err = provenance.ReadFile(path, provenance.MostBytes); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if start[0] == '<' {
		if err := m.readPage(m.text); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
	}
	return m, m.readStamp()
}

// readStamp reads where a summary comes from.
func (m *made) readStamp() (err error) {
	if m.stamp, err = provenance.StampIn(m.text); err != nil {
		return fmt.Errorf("%s: %w", m.path, err)
	}
	return nil
}

// openLibrary reads the summaries of a library.json, or returns none where the file
// is something else.
func openLibrary(path string) ([]*made, error) {
	text, err := provenance.ReadFile(path, provenance.MostBytes)
	if err != nil || len(text) == 0 || text[0] != '{' {
		return nil, nil // what is wrong with it is said by openOutput
	}
	var library struct {
		Claims []json.RawMessage `json:"claims"`
	}
	if json.Unmarshal(text, &library) != nil || len(library.Claims) == 0 {
		return nil, nil
	}
	var list []*made
	for i, summary := range library.Claims {
		var named struct {
			Claim string `json:"claim"`
		}
		var whole bytes.Buffer // as in the claim's own summary.json
		if err := errors.Join(json.Unmarshal(summary, &named), json.Indent(&whole, summary, "", "  ")); err != nil {
			return nil, fmt.Errorf("%s: claim %d: %w", path, i+1, err)
		}
		whole.WriteByte('\n')
		m := &made{path: path, text: whole.Bytes(), part: named.Claim}
		if err := m.readStamp(); err != nil {
			return nil, fmt.Errorf("%w (claim %d)", err, i+1)
		}
		list = append(list, m)
	}
	var summaries [][]byte
	for _, m := range list {
		summaries = append(summaries, m.text)
	}
	if again, err := claim.LibraryJSON(list[0].stamp.Version, summaries); err != nil || !bytes.Equal(again, text) {
		return nil, fmt.Errorf("%s: was altered outside of its summaries, or another version wrote it", path)
	}
	return list, nil
}

// readPage takes a summary, and what a page adds to it, out of an evidence page.
func (m *made) readPage(text []byte) error {
	summary, err := Block(text, "summary")
	if err != nil {
		return err
	}
	beside, err := Block(text, "beside")
	if err != nil {
		return err
	}
	m.page = &page.Beside{}
	if err := errors.Join(provenance.Strict(beside), json.Unmarshal(beside, m.page)); err != nil {
		return fmt.Errorf("what the page tells beside its summary cannot be read: %w", err)
	}
	m.whole, m.text = text, summary
	return nil
}

// Block returns the data that a page carries under an id.
func Block(text []byte, id string) ([]byte, error) {
	_, rest, found := bytes.Cut(text, []byte(`<script type="application/json" id="`+id+`">`))
	inside, _, closed := bytes.Cut(rest, []byte(`</script>`))
	if !found || !closed {
		return nil, errors.New("is not an evidence page of this program: it lacks its " + id + "; of a library, " + claim.LibrarySummary + " can be repeated")
	}
	return inside, nil
}
