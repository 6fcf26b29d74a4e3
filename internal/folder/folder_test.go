package folder

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// contents lists every file under a folder with what is in it, but for manifests.
func contents(t *testing.T, path string) map[string]string {
	t.Helper()
	found := golden.Files(t, path)
	maps.DeleteFunc(found, func(name, _ string) bool { return filepath.Base(name) == ManifestName })
	return found
}

func put(t *testing.T, path, text string) {
	t.Helper()
	golden.OK(t, errors.Join(os.MkdirAll(filepath.Dir(path), 0o777), os.WriteFile(path, []byte(text), 0o666)))
}

// opened opens a folder and makes files ready in it.
func opened(t *testing.T, path string, files map[string]string) *Folder {
	t.Helper()
	f := golden.Must(Open(path))(t)
	t.Cleanup(func() { f.Close() })
	for name, text := range files {
		at := golden.Must(f.Path(filepath.FromSlash(name)))(t)
		put(t, at, text)
	}
	return f
}

func manifest(t *testing.T, study string) Manifest {
	t.Helper()
	return golden.Must(Of(study))(t)
}

// commit writes the files into a folder as a unit.
func commit(t *testing.T, path string, files map[string]string) {
	t.Helper()
	f := opened(t, path, files)
	golden.OK(t, errors.Join(f.Commit(manifest(t, fmt.Sprint(files))), f.Close()))
}

var (
	first  = map[string]string{"summary.json": "1", "bodies.parquet/part-0": "a", "bodies.parquet/part-1": "b", "old.svg": "x"}
	second = map[string]string{"summary.json": "2", "bodies.parquet": "a file now", "new.svg": "y", "deep/er/z": "z"}
)

// with adds somebody else's file.
func with(files map[string]string) map[string]string {
	all := maps.Clone(files)
	all["notes.txt"] = "mine"
	return all
}

func TestCommit(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a", "out")
	commit(t, path, first)
	if got := contents(t, path); !maps.Equal(got, first) {
		t.Fatalf("%v", got)
	}
	put(t, filepath.Join(path, "notes.txt"), "mine")
	put(t, filepath.Join(path, ".summary.json.0123456789abcdef.tmp"), "left by a killed run")
	commit(t, path, second)
	if got := contents(t, path); !maps.Equal(got, with(second)) {
		t.Errorf("%v", got)
	}
	m := golden.Must(Read(path))(t)
	if faults := m.Check(path); len(faults) > 0 || len(m.Files) != len(second) {
		t.Errorf("%v, %d files", faults, len(m.Files))
	}
}

// A run that is killed at any moment leaves the files of the run before it, or its own as
// soon as anybody opens the folder.
func TestKilled(t *testing.T) {
	names := append(slices.Sorted(maps.Keys(second)), ManifestName) // in the order of their moves
	for moved := -1; moved <= len(names); moved++ {
		path := filepath.Join(t.TempDir(), "out")
		commit(t, path, first)
		put(t, filepath.Join(path, "notes.txt"), "mine")
		f := opened(t, path, second)
		want := with(first)
		if moved >= 0 {
			golden.OK(t, f.seal(manifest(t, "second")))
			want = with(second)
		}
		for i, name := range names[:max(moved, 0)] {
			if i == 0 { // what is in the way is removed before the first move
				for old := range first {
					f.remove(old)
				}
			}
			golden.OK(t, errors.Join(os.MkdirAll(filepath.Dir(filepath.Join(path, name)), 0o777),
				os.Rename(filepath.Join(f.inside(ready), name), filepath.Join(path, name))))
		}
		f.lock.Unlock() // as the system does when a process dies
		next, err := Open(path)
		if err != nil {
			t.Fatalf("%d moved: %v", moved, err)
		}
		next.Close()
		if got := contents(t, path); !maps.Equal(got, want) {
			t.Errorf("%d moved: %v", moved, got)
		}
		if _, err := os.Lstat(filepath.Join(path, hidden)); err == nil {
			t.Errorf("%d moved: %s is left", moved, hidden)
		}
		if m, err := Read(path); err != nil || len(m.Check(path)) > 0 {
			t.Errorf("%d moved: %v %v", moved, err, m.Check(path))
		}
	}
}

// What is given up leaves everything as it was, made folders included.
func TestGivenUp(t *testing.T) {
	root := t.TempDir()
	path := filepath.Join(root, "a", "b")
	opened(t, path, first).Close()
	if entries, _ := os.ReadDir(root); len(entries) > 0 {
		t.Errorf("%v was left", entries)
	}
	commit(t, path, first)
	opened(t, path, second).Close()
	if got := contents(t, path); !maps.Equal(got, first) {
		t.Errorf("%v", got)
	}
}

// A second writer is told who writes; shared ones do not mind each other.
func TestTwoWriters(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out")
	f := opened(t, path, nil)
	var busy *BusyError
	for name, try := range map[string]func(string) (*Folder, error){"a second": Open, "a shared": OpenShared} {
		if _, err := try(path); !errors.As(err, &busy) || busy.Process != os.Getpid() || !strings.Contains(err.Error(), "writes there") {
			t.Errorf("%s: %v", name, err)
		}
	}
	f.Close()
	one, err := OpenShared(path)
	two, err2 := OpenShared(path)
	golden.OK(t, errors.Join(err, err2))
	if _, err := Open(path); !errors.As(err, &busy) {
		t.Errorf("beside shared ones: %v", err)
	}
	if err := one.Commit(manifest(t, "s")); err == nil {
		t.Error("a shared one committed")
	}
	put(t, filepath.Join(path, "parts", "1"), "kept")
	if err := errors.Join(one.Close(), two.Close(), two.Close()); err != nil {
		t.Error(err)
	}
	commit(t, path, first)
	if got := contents(t, path); got["parts/1"] != "kept" || len(got) != len(first)+1 {
		t.Errorf("%v", got)
	}
}

// What is somebody else's is never replaced by, or removed for, ours.
func TestInTheWay(t *testing.T) {
	for _, theirs := range []string{"summary.json/thesis.txt", "deep", "bodies.parquet/thesis.txt", "bodies.parquet/empty/", "summary.json", "deep/er/z"} {
		path := filepath.Join(t.TempDir(), "out")
		commit(t, path, map[string]string{"old.svg": "x", "bodies.parquet/part-0": "a"})
		if strings.HasSuffix(theirs, "/") {
			golden.OK(t, os.MkdirAll(filepath.Join(path, theirs), 0o777))
		} else {
			put(t, filepath.Join(path, theirs), "life's work")
		}
		before := contents(t, path)
		f := opened(t, path, second)
		if err := f.Commit(manifest(t, "s")); err == nil || !strings.Contains(err.Error(), "making") {
			t.Errorf("%s: %v", theirs, err)
		}
		f.Close()
		if got := contents(t, path); !maps.Equal(got, before) {
			t.Errorf("%s: %v", theirs, got)
		}
	}
}

// A link that stands at a name is replaced, not followed.
func TestLinks(t *testing.T) {
	root := t.TempDir()
	path, outside := filepath.Join(root, "out"), filepath.Join(root, "outside")
	put(t, outside, "theirs")
	golden.OK(t, errors.Join(os.Mkdir(path, 0o777), os.Symlink(outside, filepath.Join(path, "summary.json"))))
	commit(t, path, map[string]string{"summary.json": "ours"})
	if text, _ := os.ReadFile(outside); string(text) != "theirs" {
		t.Errorf("followed: %s", text)
	}
	if got := contents(t, path); got["summary.json"] != "ours" {
		t.Errorf("%v", got)
	}
}

func TestCheck(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out")
	commit(t, filepath.Join(path, "inner"), map[string]string{"a": "1"})
	f := opened(t, path, first)
	m := manifest(t, "outer")
	m.Folders = []string{"inner"}
	golden.OK(t, errors.Join(f.Commit(m), f.Close()))
	for _, c := range []struct {
		spoil func() error
		want  string
	}{
		{func() error { return nil }, ""},
		{func() error { return os.WriteFile(filepath.Join(path, "old.svg"), []byte("X"), 0o666) }, "old.svg: has been changed"},
		{func() error { return os.WriteFile(filepath.Join(path, "old.svg"), []byte("xx"), 0o666) }, "old.svg: has 2 bytes, the manifest says 1"},
		{func() error { return os.Remove(filepath.Join(path, "old.svg")) }, "old.svg: is missing"},
		{func() error { return os.Symlink("/dev/zero", filepath.Join(path, "old.svg")) }, "old.svg: is not a regular file"},
		{func() error { return os.WriteFile(filepath.Join(path, "inner", "a"), []byte("2"), 0o666) }, "inner/a: has been changed"},
	} {
		golden.OK(t, c.spoil())
		m := golden.Must(Read(path))(t)
		if faults := fmt.Sprint(m.Check(path)); c.want == "" && faults != "[]" || !strings.Contains(faults, c.want) {
			t.Errorf("%s, want %q", faults, c.want)
		}
	}
	// A folder inside that no longer belongs goes, but not what else lies in it.
	put(t, filepath.Join(path, "inner", "notes.txt"), "mine")
	commit(t, path, second)
	if got := contents(t, path); got["inner/a"] != "" || got["inner/notes.txt"] != "mine" {
		t.Errorf("%v", got)
	}
}

func TestReadRefuses(t *testing.T) {
	path := t.TempDir()
	for text, want := range map[string]string{
		`{`:                               "is no manifest",
		`{"tool":"other","study":""}`:     "tool",
		`{"tool":"counterpoise","new":1}`: "unknown field",
		`{"tool":"counterpoise","files":[{"name":"../etc/passwd"}]}`:         "names inside",
		`{"tool":"counterpoise","files":[{"name":"/etc/passwd"}]}`:           "names inside",
		`{"tool":"counterpoise","files":[{"name":"manifest.json"}]}`:         "names inside",
		`{"tool":"counterpoise","folders":["."]}`:                            "names inside",
		`{"tool":"counterpoise","files":[{"name":".counterpoise/ready/x"}]}`: "names inside",
		`{"tool":"counterpoise","files":[{"name":"a\\..\\..\\b"}]}`:          "names inside",
	} {
		put(t, filepath.Join(path, ManifestName), text)
		if _, err := Read(path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", text, err)
		}
	}
	if _, err := Read(t.TempDir()); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("no manifest: %v", err)
	}
}
