package golden

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"
)

// Writer returns what writes a text into a folder, below which the name may have
// folders of its own, and returns the path.
func Writer(t testing.TB, folder string) func(name, text string) string {
	return func(name, text string) string {
		t.Helper()
		path := filepath.Join(folder, name)
		OK(t, os.MkdirAll(filepath.Dir(path), 0o700))
		OK(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
}

// Files reads all files below a folder, by their slash paths from there.
func Files(t testing.TB, folder string) map[string]string {
	t.Helper()
	files := map[string]string{}
	OK(t, filepath.WalkDir(folder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		name, err := filepath.Rel(folder, path)
		if err != nil {
			return err
		}
		text, err := os.ReadFile(path)
		files[filepath.ToSlash(name)] = string(text)
		return err
	}))
	return files
}

// Closed returns a folder in which nothing can be written. It skips the test for a user
// who may write anywhere.
func Closed(t testing.TB) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "closed")
	OK(t, os.Mkdir(folder, 0o555))
	probe := filepath.Join(folder, "probe")
	if os.WriteFile(probe, nil, 0o666) == nil {
		os.Remove(probe)
		t.Skip("this user may write anywhere")
	}
	return folder
}

// Surveys returns the folder of raw survey files that find finds. Without it the test is
// skipped, or fails where the environment says that it must run.
func Surveys(t testing.TB, find func() (string, error)) string {
	t.Helper()
	folder, err := find()
	switch {
	case err == nil:
	case os.Getenv("COUNTERPOISE_REQUIRE_SURVEYS") == "1":
		t.Fatal(err)
	default:
		t.Skip(err)
	}
	return folder
}

// Must returns what something gave, or ends the test by its error.
func Must[T any](got T, err error) func(testing.TB) T {
	return func(t testing.TB) T {
		t.Helper()
		OK(t, err)
		return got
	}
}

// OK ends the test by an error, if there is one.
func OK(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
