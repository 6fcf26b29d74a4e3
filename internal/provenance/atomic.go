package provenance

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
)

// WriteFile writes data to path, replacing what was there all at once or, on
// failure, not at all.
func WriteFile(path string, data []byte) error {
	file, err := CreateAtomic(path)
	if err != nil {
		return err
	}
	defer file.Close()
	if _, err := file.Write(data); err != nil {
		return err
	}
	return file.Commit()
}

// AtomicFile is a file that appears under its name only when it is complete.
//
//	file, err := provenance.CreateAtomic(path)
//	if err != nil {
//		return err
//	}
//	defer file.Close() // removes it again unless committed
//	… write to file …
//	return file.Commit()
type AtomicFile struct {
	file *os.File
	path string
	done bool
}

// CreateAtomic opens a file under a temporary name in the folder of path.
// A symbolic link at path is replaced: whoever made it does not say where this
// program writes. It fails if path is taken by anything but a link or a regular file
// (a folder, a device, a pipe) or the folder cannot be written to.
func CreateAtomic(path string) (*AtomicFile, error) {
	switch info, err := os.Lstat(path); {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular() && info.Mode()&fs.ModeSymlink == 0:
		return nil, fmt.Errorf("%s exists and is not a regular file", path)
	}
	// Not os.CreateTemp, whose files are closed to everybody else for good.
	file, err := os.OpenFile(TemporaryName(path), os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return nil, fmt.Errorf("%s cannot be written: %w", path, err)
	}
	return &AtomicFile{file: file, path: path}, nil
}

// TemporaryName returns an unused hidden name beside path, in the same folder
// so that a rename from it to path is atomic.
func TemporaryName(path string) string {
	folder, name := filepath.Split(filepath.Clean(path))
	return filepath.Join(folder, fmt.Sprintf(".%s.%016x.tmp", name, rand.Uint64()))
}

// Write appends data.
func (f *AtomicFile) Write(data []byte) (int, error) { return f.file.Write(data) }

// Commit brings the data to the disk and gives the file its final name. If
// that fails the file is removed.
func (f *AtomicFile) Commit() error {
	if f.done {
		return fmt.Errorf("%s: %w", f.path, fs.ErrClosed)
	}
	f.done = true
	temporary := f.file.Name()
	err := errors.Join(f.file.Sync(), f.file.Close())
	if err == nil {
		err = os.Rename(temporary, f.path)
	}
	if err != nil {
		os.Remove(temporary)
		return fmt.Errorf("%s cannot be written: %w", f.path, err)
	}
	SyncFolder(filepath.Dir(f.path))
	return nil
}

// Close removes the file unless it has been committed. Calls after the first
// do nothing.
func (f *AtomicFile) Close() error {
	if f.done {
		return nil
	}
	f.done = true
	return errors.Join(f.file.Close(), os.Remove(f.file.Name()))
}

// SyncFolder brings the names in a folder to the disk. Its errors are ignored:
// the data are already safe, and not every file system can do it.
func SyncFolder(folder string) {
	if d, err := os.Open(folder); err == nil {
		d.Sync()
		d.Close()
	}
}
