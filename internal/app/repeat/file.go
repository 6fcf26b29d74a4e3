package repeat

import (
	"bytes"
	"fmt"
	"io"
	"os"

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

// open reads where a file comes from.
func open(path string) (*file, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, provenance.ReasonOf(err))
	}
	f := &file{path: path}
	start := make([]byte, 1)
	if !info.IsDir() {
		opened, err := provenance.OpenFile(path)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
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
	if start[0] != '{' && start[0] != '<' {
		return nil, fmt.Errorf("%s: holds no provenance: a Parquet table, a page or the JSON of this program is needed", path)
	}
	if f.whole, err = provenance.ReadFile(path, provenance.MostBytes); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
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
	if f.text != nil {
		read, err := provenance.StampsIn(f.text)
		if err != nil {
			return fmt.Errorf("%s: %w", f.path, err)
		}
		f.stamps = append(f.stamps, read...)
	}
	for i := range f.stamps {
		if err := f.stamps[i].Check(); err != nil {
			return fmt.Errorf("%s: %w", f.path, err)
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
	where, was, is := provenance.DifferentValues(f.text, next.text)
	switch {
	case where != "":
		return fmt.Sprintf("%s is %s in the file, %s in the repeat", where, was, is), nil
	case f.page != nil:
		return page.DifferentLine(f.whole, next.whole), nil
	}
	return "", nil
}
