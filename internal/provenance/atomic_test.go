package provenance

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"counterpoise/internal/golden"
)

// names lists a folder.
func names(t *testing.T, folder string) []string {
	t.Helper()
	entries := golden.Must(os.ReadDir(folder))(t)
	var list []string
	for _, entry := range entries {
		list = append(list, entry.Name())
	}
	return list
}

func content(t *testing.T, path string) string {
	t.Helper()
	data := golden.Must(os.ReadFile(path))(t)
	return string(data)
}

func TestWriteFileReplacesAndLeavesNothingElse(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "verdict.json")
	for _, text := range []string{"first", "second, longer"} {
		golden.OK(t, WriteFile(path, []byte(text)))
		if got := content(t, path); got != text {
			t.Errorf("read %q, want %q", got, text)
		}
		if got := names(t, folder); len(got) != 1 {
			t.Errorf("folder holds %q", got)
		}
	}
}

func TestFilesAreAsOpenAsTheUmaskAllows(t *testing.T) {
	folder := t.TempDir()
	plain, ours := filepath.Join(folder, "plain"), filepath.Join(folder, "ours")
	golden.OK(t, errors.Join(os.WriteFile(plain, nil, 0o666), WriteFile(ours, nil)))
	want, _ := os.Stat(plain)
	got, _ := os.Stat(ours)
	if got.Mode() != want.Mode() {
		t.Errorf("mode %v, an ordinary file has %v", got.Mode(), want.Mode())
	}
}

func TestAtomicFileUncommitted(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "table.csv")
	golden.OK(t, os.WriteFile(path, []byte("old"), 0o666))
	file := golden.Must(CreateAtomic(path))(t)
	if _, err := file.Write([]byte("half")); err != nil {
		t.Fatal(err)
	}
	if got := content(t, path); got != "old" {
		t.Errorf("before the commit the file reads %q", got)
	}
	for range 2 {
		golden.OK(t, file.Close())
	}
	if got := content(t, path); got != "old" {
		t.Errorf("after an abandoned write the file reads %q", got)
	}
	if got := names(t, folder); len(got) != 1 {
		t.Errorf("folder holds %q", got)
	}
	if err := file.Commit(); !errors.Is(err, fs.ErrClosed) {
		t.Errorf("commit after close: %v", err)
	}
}

func TestCommitThatFailsLeavesNothing(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "late")
	file := golden.Must(CreateAtomic(path))(t)
	// A folder takes the name while the file is being written.
	golden.OK(t, os.Mkdir(path, 0o777))
	if err := file.Commit(); err == nil {
		t.Error("committed over a folder")
	}
	if got := names(t, folder); len(got) != 1 {
		t.Errorf("folder holds %q", got)
	}
}

func TestCreateAtomicRefuses(t *testing.T) {
	folder := t.TempDir()
	for _, path := range []string{
		folder,
		os.DevNull,
		filepath.Join(folder, "missing", "x"),
	} {
		if file, err := CreateAtomic(path); err == nil {
			file.Close()
			t.Errorf("opened %s", path)
		}
	}
	if got := names(t, folder); len(got) != 0 {
		t.Errorf("folder holds %q", got)
	}
}

func TestUnwritableFolder(t *testing.T) {
	folder := golden.Closed(t)
	if err := WriteFile(filepath.Join(folder, "x"), []byte("data")); !errors.Is(err, fs.ErrPermission) {
		t.Errorf("error %v", err)
	}
}

func TestSymbolicLinkIsReplaced(t *testing.T) {
	folder := t.TempDir()
	target, link := filepath.Join(folder, "target"), filepath.Join(folder, "link")
	golden.OK(t, os.WriteFile(target, []byte("old"), 0o666))
	if err := os.Symlink(target, link); err != nil {
		t.Skip("the file system has no symbolic links: ", err)
	}
	golden.OK(t, WriteFile(link, []byte("new")))
	if info, _ := os.Lstat(link); info.Mode()&fs.ModeSymlink != 0 || content(t, link) != "new" {
		t.Errorf("the link is %v and reads %q", info.Mode(), content(t, link))
	}
	if got := content(t, target); got != "old" {
		t.Errorf("the target reads %q", got)
	}
}
