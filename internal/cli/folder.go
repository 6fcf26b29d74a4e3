package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/sim/claim"
)

// outFolder is the folder that --out names.
type outFolder struct {
	path    string
	created []string // the folders made for it, innermost first
}

// openFolder makes the folder if need be and makes sure, before any work, that
// files can be written there.
func openFolder(path string) (*outFolder, error) { return openFolderOf("--out", path) }

// openFolderOf is openFolder for another flag.
func openFolderOf(flag, path string) (*outFolder, error) {
	f := &outFolder{path: path}
	for at := filepath.Clean(path); ; at = filepath.Dir(at) {
		if _, err := os.Lstat(at); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		f.created = append(f.created, at)
	}
	if err := os.MkdirAll(path, 0o777); err != nil {
		f.forget()
		return nil, fmt.Errorf("%s %s: %w", flag, path, reasonOf(err))
	}
	probe, err := os.CreateTemp(path, ".counterpoise-*")
	if err != nil {
		f.forget()
		return nil, fmt.Errorf("%s %s: %w", flag, path, reasonOf(err))
	}
	probe.Close()
	os.Remove(probe.Name())
	return f, nil
}

// forget removes the folders that were made, unless something is in them.
func (f *outFolder) forget() {
	for _, folder := range f.created {
		os.Remove(folder) // one that holds something stays
	}
}

// open opens the folder that --out names; nil where there is none.
func (p path) open() (*outFolder, error) {
	if p == "" {
		return nil, nil
	}
	return openFolder(string(p))
}

// forgetAfter is forget for a command that ends with an error, of which an
// undecided verdict is none.
func (f *outFolder) forgetAfter(err *error) {
	if f != nil && *err != nil && !errors.Is(*err, errUndecided) {
		f.forget()
	}
}

// publish writes a summary and what files writes into the folder, where there is one, and
// prints the summary where JSON is asked for, else the text.
func (o *common) publish(env *environment, out *outFolder, name string, summary []byte, files func(folder string) error, text func(io.Writer) error) error {
	if out != nil {
		if err := provenance.WriteFile(filepath.Join(out.path, name), summary); err != nil {
			return err
		}
		if err := files(out.path); err != nil {
			return err
		}
	}
	if !o.json {
		return text(env.stdout)
	}
	_, err := env.stdout.Write(summary)
	return err
}

// reasonOf strips what a path error says beside the reason.
func reasonOf(err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

// tableSink writes the bodies of a claim as a table.
type tableSink struct{ writer *table.Writer }

func newTableSink(path string, layout claim.Layout, stamp provenance.Stamp) (claim.Sink, error) {
	pairs, err := stamp.KeyValues()
	if err != nil {
		return nil, err
	}
	columns := make([]table.Column, len(layout.Columns))
	for i, c := range layout.Columns {
		columns[i] = table.Column{Name: c.Name, Kind: table.Float32, Unit: c.Unit, Description: c.Description, Missing: c.Missing}
		if c.Integer {
			columns[i].Kind = table.Int32
		}
	}
	w, err := table.Create(path, columns, pairs)
	if err != nil {
		return nil, err
	}
	return tableSink{w}, nil
}

// Write implements claim.Sink.
func (s tableSink) Write(r *claim.Rows) error {
	return s.writer.Write(&table.Block{Rows: r.N, Float32: r.Float, Int32: r.Int})
}

// Commit implements claim.Sink.
func (s tableSink) Commit() error { return s.writer.Close() }

// Abort implements claim.Sink.
func (s tableSink) Abort() { s.writer.Abort() }

// staging is a folder in which files are made ready, so that what a killed run
// leaves half-written never lies among finished files.
type staging struct{ folder string }

// newStaging makes the folder, empty.
func newStaging(folder string) (*staging, error) {
	if err := os.RemoveAll(folder); err != nil {
		return nil, err
	}
	if err := os.Mkdir(folder, 0o777); err != nil {
		return nil, fmt.Errorf("%s: %w", folder, reasonOf(err))
	}
	return &staging{folder}, nil
}

func (s *staging) path(name string) string { return filepath.Join(s.folder, name) }

// place moves everything into a folder. A file takes the place of one with its
// name; a table of several files, which is a folder, that of an earlier table.
func (s *staging) place(into string) error {
	entries, err := os.ReadDir(s.folder)
	if err != nil {
		return err
	}
	for _, e := range entries {
		from, to := s.path(e.Name()), filepath.Join(into, e.Name())
		if info, err := os.Lstat(to); err == nil && (info.IsDir() || e.IsDir()) {
			// Out of the way first: neither takes the place of a folder.
			if err := os.Rename(to, s.path(".earlier."+e.Name())); err != nil {
				return err
			}
		} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		if err := os.Rename(from, to); err != nil {
			return err
		}
	}
	return s.remove()
}

// remove removes the folder with what is left in it.
func (s *staging) remove() error { return os.RemoveAll(s.folder) }
