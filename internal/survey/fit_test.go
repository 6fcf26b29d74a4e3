package survey

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/golden"
)

// rawFiles returns the folder of raw survey files. Without it the test is
// skipped, or fails where the environment says that it must run.
func rawFiles(t *testing.T) string {
	t.Helper()
	return golden.Surveys(t, Folder)
}

// The embedded files are what a fit to the raw files gives, byte for byte.
func TestEmbeddedFilesAreTheFit(t *testing.T) {
	files := golden.Must(Fit(rawFiles(t)))(t)
	root := golden.Must(moduleRoot())(t)
	if *golden.Update {
		for name, text := range files {
			golden.OK(t, os.WriteFile(filepath.Join(root, "datasets", filepath.FromSlash(name)), text, 0o644))
		}
		return
	}
	for name, want := range files {
		got, err := os.ReadFile(filepath.Join(root, "datasets", filepath.FromSlash(name)))
		if err != nil {
			t.Error(err)
		} else if !bytes.Equal(got, want) {
			t.Errorf("%s is not what the raw files give; if that is meant, go test ./internal/survey -update", name)
		}
	}
	for _, kind := range []string{"people", "refits", "regional", "strength"} {
		for _, name := range datasets.Names(kind) {
			if name == "norms" { // typed from publications
				continue
			}
			if _, ok := files[kind+"/"+name+".json"]; !ok {
				t.Errorf("%s/%s.json is embedded but not fitted", kind, name)
			}
		}
	}
}
