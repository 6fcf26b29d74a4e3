package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

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
