package table

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"

	"counterpoise/internal/provenance"
)

var partPattern = regexp.MustCompile(`^part-\d{5}\.parquet$`)

// What may stand at a path before a table is written there.
type occupant int

const (
	nothing occupant = iota
	aFile            // or a symbolic link
	aTable           // a folder of parts, and nothing else
)

// replaceable finds out what stands at path. Whatever a table must not replace
// is an error.
func replaceable(path string) (occupant, error) {
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nothing, nil
	case err != nil:
		return nothing, fmt.Errorf("table: %w", err)
	case info.Mode().IsRegular() || info.Mode()&fs.ModeSymlink != 0:
		return aFile, nil
	case !info.IsDir():
		return nothing, fmt.Errorf("table: %s exists and is neither a file nor a folder", path)
	}
	entries, err := os.ReadDir(path)
	if err != nil {
		return nothing, fmt.Errorf("table: %w", err)
	}
	for _, entry := range entries {
		if !partPattern.MatchString(entry.Name()) || !entry.Type().IsRegular() {
			return nothing, fmt.Errorf("table: %s is a folder that holds %s; only a folder of part-00000.parquet, … can be replaced", path, entry.Name())
		}
	}
	if len(entries) == 0 {
		return nothing, fmt.Errorf("table: %s is an empty folder, no table that could be replaced", path)
	}
	return aTable, nil
}

// replace gives the finished file or folder at temporary the name path. A file
// takes a file's place in one step. A folder cannot be replaced in one step:
// the old table is moved aside first and comes back if the new one cannot take
// its place.
func replace(temporary, path string) error {
	was, err := replaceable(path) // again: time has passed
	if err != nil {
		return err
	}
	info, err := os.Stat(temporary)
	if err != nil {
		return fmt.Errorf("table: %w", err)
	}
	if was == nothing || was == aFile && !info.IsDir() {
		err = os.Rename(temporary, path)
	} else {
		old := provenance.TemporaryName(path)
		if err = os.Rename(path, old); err == nil {
			if err = os.Rename(temporary, path); err != nil {
				err = errors.Join(err, os.Rename(old, path))
			} else {
				os.RemoveAll(old) // if it stays, the new table is no worse for it
			}
		}
	}
	if err != nil {
		return fmt.Errorf("table: %s cannot be written: %w", path, err)
	}
	provenance.SyncFolder(filepath.Dir(path))
	return nil
}
