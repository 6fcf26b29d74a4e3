package repeat

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"os"

	"counterpoise/internal/app/output"
	"counterpoise/internal/page"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
)

// file is a file made by this program, or by another version of it.
type file struct {
	path   string
	stamps []provenance.Stamp // of several claims one of each
	whole  []byte             // of JSON and pages; nil for a table
	text   []byte             // of JSON, or the summary of an evidence page
	page   *page.Origin       // of a page
}

// mostBytes is the largest summary or page that is read.
const mostBytes = 256 << 20

// open reads where a file comes from.
func open(path string) (*file, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, output.ReasonOf(err))
	}
	f := &file{path: path}
	start := make([]byte, 1)
	if !info.IsDir() {
		opened, err := os.Open(path)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, output.ReasonOf(err))
		}
		defer opened.Close()
		if _, err := io.ReadFull(opened, start); err != nil {
			return nil, fmt.Errorf("%s: is empty", path)
		}
	}
	if info.IsDir() || start[0] == 'P' {
		r, err := table.Open(path)
		if err != nil {
			return nil, err
		}
		defer r.Close()
		stamp, err := provenance.StampFrom(r.Metadata())
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		f.stamps = []provenance.Stamp{stamp}
		return f, nil
	}
	if info.Size() > mostBytes {
		return nil, fmt.Errorf("%s: is neither a table nor a summary of this program", path)
	}
	if f.whole, err = os.ReadFile(path); err != nil {
		return nil, fmt.Errorf("%s: %w", path, output.ReasonOf(err))
	}
	f.text = f.whole
	if start[0] == '<' {
		if f.page, err = page.ReadOrigin(f.whole); err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		f.text, f.stamps = f.page.Summary, f.page.Stamps
	}
	return f, f.readStamps()
}

// readStamps reads where a summary, or each of several claims, comes from.
func (f *file) readStamps() error {
	type summary struct {
		Provenance *provenance.Stamp `json:"provenance"`
	}
	if f.text != nil {
		var read struct {
			summary
			Claims []summary `json:"claims"`
		}
		if err := json.Unmarshal(f.text, &read); err != nil {
			return fmt.Errorf("%s: holds no provenance: a Parquet table, a page or the JSON of this program is needed", f.path)
		}
		for _, of := range append(read.Claims, read.summary) {
			if of.Provenance != nil {
				f.stamps = append(f.stamps, *of.Provenance)
			}
		}
	}
	for i := range f.stamps {
		if f.stamps[i].Tool != provenance.Tool || len(f.stamps[i].Study) == 0 {
			f.stamps = nil
			break
		}
	}
	if len(f.stamps) == 0 {
		return fmt.Errorf("%s: holds no provenance of %s", f.path, provenance.Tool)
	}
	return nil
}

// same compares a file with its repeat, byte by byte.
func (f *file) same(next *file) (bool, error) {
	if f.whole != nil {
		return bytes.Equal(f.whole, next.whole), nil
	}
	was, err := provenance.HashFiles(f.path)
	if err != nil {
		return false, err
	}
	is, err := provenance.HashFiles(next.path)
	return was == is, err
}

// difference says where the values of two files first differ, or nothing where
// they do not. Where the files come from is not looked at.
func (f *file) difference(next *file) (string, error) {
	if f.whole == nil {
		a, err := table.Open(f.path)
		if err != nil {
			return "", err
		}
		defer a.Close()
		b, err := table.Open(next.path)
		if err != nil {
			return "", err
		}
		defer b.Close()
		return table.Difference(a, b)
	}
	where, was, is := provenance.DifferentJSON(withoutStamps(f.text), withoutStamps(next.text))
	switch {
	case where != "":
		return fmt.Sprintf("%s is %s in the file, %s in the repeat", where, was, is), nil
	case f.page != nil:
		return differentLine(f.whole, next.whole), nil
	}
	return "", nil
}

// withoutStamps returns JSON without where it comes from.
func withoutStamps(text []byte) []byte {
	var tree map[string]json.RawMessage
	if json.Unmarshal(text, &tree) != nil {
		return text
	}
	delete(tree, "provenance")
	var claims []json.RawMessage
	if json.Unmarshal(tree["claims"], &claims) == nil {
		for i := range claims {
			claims[i] = withoutStamps(claims[i])
		}
		tree["claims"], _ = json.Marshal(claims) // of JSON, which cannot fail
	}
	rest, err := json.Marshal(tree)
	if err != nil {
		return text
	}
	return rest
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
