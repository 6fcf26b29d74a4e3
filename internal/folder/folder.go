// Package folder makes what a command writes into a folder a unit. Files are made
// ready out of sight, in a hidden folder inside; Commit lists them with their hashes in
// a manifest and moves them to their places, and removes what an earlier run left that
// no longer belongs. The moment of truth is one rename: whoever opens the folder after a
// run was killed before it finds the files of the run before, and after it completes the
// moves, which take milliseconds. Two writers at once are refused. What the manifest does
// not list belongs to somebody else, and stays.
package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"counterpoise/internal/provenance"

	"github.com/gofrs/flock"
)

// Names inside a folder while it is written.
const (
	hidden = "." + provenance.Tool
	lock   = "lock"  // held by who writes, with its process id
	making = "new"   // files that are made ready
	ready  = "ready" // files that are complete, with their manifest, on their way to their places
	kept   = "kept"  // what helps a stopped run go on
)

// A Folder is being written, by this process alone.
type Folder struct {
	path    string
	created []string // the folders made for it, innermost first
	lock    *flock.Flock
	shared  bool
	closed  bool
}

// BusyError says that another process writes into the folder.
type BusyError struct {
	Path    string
	Process int // its id; 0 where it is not known
}

func (e *BusyError) Error() string {
	who := "another process"
	if e.Process > 0 {
		who = fmt.Sprintf("process %d", e.Process)
	}
	return fmt.Sprintf("%s: %s writes there; wait until it ends, or name another folder", e.Path, who)
}

// Open makes the folder if need be, makes sure before any work that files can be
// written there, and completes or clears away what a killed run left. The caller must
// call Close.
func Open(path string) (*Folder, error) { return open(path, false) }

// OpenShared opens the folder beside others who open it shared, for work that is kept
// there file by file until one of them, alone, makes the whole out of it. It has no
// Path and no Commit.
func OpenShared(path string) (*Folder, error) { return open(path, true) }

func open(path string, shared bool) (_ *Folder, err error) {
	f := &Folder{path: path, shared: shared}
	for at := filepath.Clean(path); ; at = filepath.Dir(at) {
		if _, err := os.Lstat(at); !errors.Is(err, fs.ErrNotExist) {
			break
		}
		f.created = append(f.created, at)
	}
	defer func() {
		if err != nil {
			f.Close()
		}
	}()
	if err := os.MkdirAll(path, 0o777); err != nil {
		return nil, about(path, err)
	}
	if err := f.acquire(); err != nil {
		return nil, err
	}
	if shared {
		return f, nil
	}
	if err := f.place(); err != nil {
		return nil, err
	}
	if err := errors.Join(os.RemoveAll(f.inside(making)), f.clearTemporary()); err != nil {
		return nil, about(path, err)
	}
	for _, name := range []string{making, kept} {
		if err := os.MkdirAll(f.inside(name), 0o777); err != nil {
			return nil, about(path, err)
		}
	}
	return f, nil
}

// about says of which folder an error is, without the names of what lies hidden.
func about(path string, err error) error {
	return fmt.Errorf("%s: %w", path, provenance.ReasonOf(err))
}

// acquire takes the lock. Who held it before may have removed its file in between;
// then there is another one to take.
func (f *Folder) acquire() error {
	for {
		if err := os.MkdirAll(filepath.Join(f.path, hidden), 0o777); err != nil {
			return about(f.path, err)
		}
		l := flock.New(f.inside(lock))
		try := l.TryLock
		if f.shared {
			try = l.TryRLock
		}
		got, err := try()
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return about(f.path, err)
		}
		if !got {
			text, _ := os.ReadFile(f.inside(lock))
			process, _ := strconv.Atoi(strings.TrimSpace(string(text)))
			return &BusyError{f.path, process}
		}
		held, err := l.Stat()
		there, err2 := os.Lstat(f.inside(lock))
		if err == nil && err2 == nil && os.SameFile(held, there) {
			f.lock = l
			if !f.shared {
				// In place, as the lock is on this very file.
				err = os.WriteFile(f.inside(lock), []byte(strconv.Itoa(os.Getpid())+"\n"), 0o666)
			}
			if err != nil {
				return about(f.path, err)
			}
			return nil
		}
		l.Close()
	}
}

func (f *Folder) inside(name string) string { return filepath.Join(f.path, hidden, name) }

// Path is where to write the file that Commit will put under the name, which may be of
// several parts, the folders before the last made here.
func (f *Folder) Path(name string) (string, error) {
	path := filepath.Join(f.inside(making), name)
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		return "", about(f.path, err)
	}
	return path, nil
}

// Staging is the folder that becomes this one: whatever lies there at Commit is placed.
func (f *Folder) Staging() string { return f.inside(making) }

// Kept is where to keep a file from which a run that is stopped can go on: it stays until
// a Commit.
func (f *Folder) Kept(name string) string { return filepath.Join(f.inside(kept), name) }

// Commit gives what was made ready its place, with a manifest that says of what it is.
// If it fails before that, all stays as it was.
func (f *Folder) Commit(m Manifest) error {
	if err := f.seal(m); err != nil {
		return err
	}
	return f.place()
}

// seal is the part of Commit up to the moment of truth.
func (f *Folder) seal(m Manifest) error {
	if f.closed || f.shared {
		return fmt.Errorf("%s: %w", f.path, fs.ErrClosed)
	}
	var err error
	if m.Files, err = list(f.inside(making)); err != nil {
		return about(f.path, err)
	}
	earlier, err := Read(f.path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if err := f.placeable(&m, earlier); err != nil {
		return err
	}
	if err := m.write(f.inside(making)); err != nil {
		return err
	}
	if err := os.Rename(f.inside(making), f.inside(ready)); err != nil {
		return about(f.path, err)
	}
	provenance.SyncFolder(filepath.Join(f.path, hidden))
	return nil
}

// placeable makes sure that nothing of somebody else's is in the way.
func (f *Folder) placeable(m, earlier *Manifest) error {
	ours := func(name string) bool { return earlier.has(name) }
	for _, file := range m.Files {
		parts := strings.Split(file.Name, "/")
		for i := range parts {
			name := strings.Join(parts[:i+1], "/")
			info, err := os.Lstat(filepath.Join(f.path, filepath.FromSlash(name)))
			last := i == len(parts)-1
			switch {
			case errors.Is(err, fs.ErrNotExist):
			case err != nil:
				return about(f.path, err)
			case !last && info.IsDir(), ours(name), last && info.IsDir() && earlier.hasAllOf(f.path, name), last && info.Mode().Type() == fs.ModeSymlink:
				continue
			case last && !info.IsDir():
				return fmt.Errorf("%s is there, and not of %s's making: move it, or write into another folder", filepath.Join(f.path, name), provenance.Tool)
			default:
				return fmt.Errorf("%s is in the way of %s, and not of %s's making", filepath.Join(f.path, name), file.Name, provenance.Tool)
			}
			break
		}
	}
	return nil
}

// place moves what is ready to its places. It can be interrupted anywhere and called
// again.
func (f *Folder) place() error {
	m, err := Read(f.inside(ready))
	if errors.Is(err, fs.ErrNotExist) {
		// Nothing is on its way; or all is in its place, where the manifest goes last.
		if _, err := os.Lstat(f.inside(ready)); err == nil {
			return errors.Join(os.RemoveAll(f.inside(ready)), os.RemoveAll(f.inside(kept)))
		}
		return nil
	}
	if err != nil {
		return err
	}
	if earlier, err := Read(f.path); err == nil {
		for _, file := range earlier.Files {
			if !m.has(file.Name) {
				f.remove(file.Name)
			}
		}
		for _, name := range earlier.Folders {
			if !slices.Contains(m.Folders, name) {
				removeUnit(filepath.Join(f.path, name))
			}
		}
	}
	for _, file := range m.Files {
		from, to := filepath.Join(f.inside(ready), filepath.FromSlash(file.Name)), filepath.Join(f.path, filepath.FromSlash(file.Name))
		if _, err := os.Lstat(from); errors.Is(err, fs.ErrNotExist) {
			continue // it is there already
		}
		if err := os.MkdirAll(filepath.Dir(to), 0o777); err != nil {
			return about(f.path, err)
		}
		if err := os.Rename(from, to); err != nil {
			return fmt.Errorf("%s: %s cannot be placed: %w", f.path, file.Name, err)
		}
	}
	if err := os.Rename(filepath.Join(f.inside(ready), ManifestName), filepath.Join(f.path, ManifestName)); err != nil {
		return about(f.path, err)
	}
	provenance.SyncFolder(f.path)
	return errors.Join(os.RemoveAll(f.inside(ready)), os.RemoveAll(f.inside(kept)))
}

// remove removes a file and the folders above it that it leaves empty.
func (f *Folder) remove(name string) {
	for at := filepath.FromSlash(name); at != "."; at = filepath.Dir(at) {
		if os.Remove(filepath.Join(f.path, at)) != nil {
			return // it is not empty, or gone already
		}
	}
}

// removeUnit removes what a folder's manifest lists, and the folder if that leaves it empty.
func removeUnit(path string) {
	m, err := Read(path)
	if err != nil {
		return
	}
	f := &Folder{path: path}
	for _, file := range m.Files {
		f.remove(file.Name)
	}
	os.Remove(filepath.Join(path, ManifestName))
	os.Remove(path)
}

var temporaryName = regexp.MustCompile(`^\..+\.[0-9a-f]{16}\.tmp$`)

// clearTemporary removes what killed runs left half-written under temporary names.
func (f *Folder) clearTemporary() error {
	entries, err := os.ReadDir(f.path)
	if err != nil {
		return err
	}
	for _, e := range entries {
		if temporaryName.MatchString(e.Name()) {
			err = errors.Join(err, os.RemoveAll(filepath.Join(f.path, e.Name())))
		}
	}
	return err
}

// Close lets go of the folder. What was not committed is removed, and folders that were
// made for it if nothing is in them. Calls after the first do nothing.
func (f *Folder) Close() error {
	if f.closed {
		return nil
	}
	f.closed = true
	var err error
	switch {
	case f.lock == nil:
		os.Remove(filepath.Join(f.path, hidden)) // unless somebody is in there
	case f.shared:
		// The last one removes the lock: whoever can have it alone.
		if alone, fault := f.lock.TryLock(); alone && fault == nil {
			err = f.clearHidden()
		}
		err = errors.Join(err, f.lock.Close())
	default:
		err = errors.Join(f.clearHidden(), f.lock.Close())
	}
	for _, folder := range f.created {
		os.Remove(folder) // one that holds something stays
	}
	return err
}

// clearHidden removes the hidden folder, but not what is on its way, nor what a run that
// was stopped has kept.
func (f *Folder) clearHidden() error {
	err := os.RemoveAll(f.inside(making))
	os.Remove(f.inside(kept)) // an empty one
	for _, name := range []string{ready, kept} {
		if _, fault := os.Lstat(f.inside(name)); fault == nil {
			return err
		}
	}
	return errors.Join(err, os.RemoveAll(filepath.Join(f.path, hidden)))
}
