package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/sim/claim"
)

// outFolder is the folder that --out names.
type outFolder struct {
	path string
	made []string // the folders made for it, innermost first
}

// openFolder makes the folder if need be and makes sure, before any work, that
// files can be written there.
func openFolder(path string) (*outFolder, error) {
	f := &outFolder{path: path}
	for at := filepath.Clean(path); ; at = filepath.Dir(at) {
		if _, err := os.Lstat(at); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		f.made = append(f.made, at)
	}
	if err := os.MkdirAll(path, 0o777); err != nil {
		f.forget()
		return nil, fmt.Errorf("--out %s: %w", path, reasonOf(err))
	}
	probe, err := os.CreateTemp(path, ".counterpoise-*")
	if err != nil {
		f.forget()
		return nil, fmt.Errorf("--out %s: %w", path, reasonOf(err))
	}
	probe.Close()
	os.Remove(probe.Name())
	return f, nil
}

// forget removes the folders that were made, unless something is in them.
func (f *outFolder) forget() {
	for _, folder := range f.made {
		os.Remove(folder) // one that holds something stays
	}
}

// forgetAfter is forget for a command that ends with an error, of which an
// undecided verdict is none.
func (f *outFolder) forgetAfter(err *error) {
	if *err != nil && !errors.Is(*err, errUndecided) {
		f.forget()
	}
}

// reasonOf strips what a path error says beside the reason.
func reasonOf(err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

// tableSink writes the bodies of a claim as a table. Rows are gathered, and a
// full load of them is encoded in the background while the next is gathered, so
// that the goroutines that solve bodies never wait for the disk.
type tableSink struct {
	writer  *table.Writer
	columns []table.Column
	filling *table.Block
	full    chan *table.Block // to the background
	empty   chan *table.Block // back from it
	failed  chan error        // what the background ended with
	ended   bool
}

// loadRows is how many rows are encoded at a time: a row group of the table.
const loadRows = 1 << 18

func newTableSink(path string, layout claim.Layout, stamp provenance.Stamp, rows int) (claim.Sink, error) {
	pairs, err := stamp.KeyValues()
	if err != nil {
		return nil, err
	}
	columns := make([]table.Column, len(layout.Columns))
	for i, c := range layout.Columns {
		columns[i] = table.Column{Name: c.Name, Kind: table.Float32, Unit: c.Unit, Description: c.Description}
		if c.Integer {
			columns[i].Kind, columns[i].Dictionary = table.Int32, true
		}
	}
	w, err := table.Create(path, columns, pairs, int64(rows))
	if err != nil {
		return nil, err
	}
	w.Workers = 1 // the other processors are busy solving
	s := &tableSink{writer: w, columns: columns, full: make(chan *table.Block, 1), empty: make(chan *table.Block, 2), failed: make(chan error, 1)}
	room := min(loadRows, rows)
	s.filling = emptyBlock(columns, room)
	s.empty <- emptyBlock(columns, room)
	go s.encode()
	return s, nil
}

func emptyBlock(columns []table.Column, room int) *table.Block {
	b := table.NewBlock(columns, room)
	b.Rows = 0
	return b
}

// encode is the background.
func (s *tableSink) encode() {
	var failed error
	for block := range s.full {
		if failed == nil {
			failed = s.writer.Write(block)
		}
		block.Rows = 0
		s.empty <- block
	}
	s.failed <- failed
}

// Write implements claim.Sink. What the background fails at shows at Commit.
func (s *tableSink) Write(r *claim.Rows) error {
	for from := 0; from < r.N; {
		n := min(r.N-from, loadRows-s.filling.Rows)
		for j, c := range s.columns {
			if c.Kind == table.Int32 {
				copy(s.filling.Int32[j][s.filling.Rows:], r.Int[j][from:from+n])
			} else {
				copy(s.filling.Float32[j][s.filling.Rows:], r.Float[j][from:from+n])
			}
		}
		from += n
		if s.filling.Rows += n; s.filling.Rows == loadRows {
			s.full <- s.filling
			s.filling = <-s.empty
		}
	}
	return nil
}

// end waits for the background and returns what it failed at.
func (s *tableSink) end() error {
	if s.ended {
		return nil
	}
	s.ended = true
	close(s.full)
	return <-s.failed
}

// Commit implements claim.Sink.
func (s *tableSink) Commit() error {
	s.full <- s.filling
	if err := s.end(); err != nil {
		s.writer.Abort()
		return err
	}
	return s.writer.Close()
}

// Abort implements claim.Sink.
func (s *tableSink) Abort() {
	s.end()
	s.writer.Abort()
}
