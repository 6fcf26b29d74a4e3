// Package golden compares a test's output with a file under testdata/golden, and
// writes and reads the folders that tests work in.
// It is test support: nothing but tests imports it.
//
// Run a test with -update to write the files anew, then look at every one of
// them before it is committed. On a mismatch the output is left beside the
// golden file as name.got.ext, which version control ignores.
package golden

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// Update is whether what tests keep is to be written anew; see -update.
var Update = flag.Bool("update", false, "write what the tests keep anew")

// Text fails the test unless got equals the golden file, byte for byte. The
// name is a slash path below testdata/golden of the module. It may be a picture too.
func Text(t testing.TB, name string, got []byte) {
	t.Helper()
	path, err := locate(name)
	if err != nil {
		t.Fatalf("golden: %v", err)
	}
	extension := filepath.Ext(path)
	leftover := strings.TrimSuffix(path, extension) + ".got" + extension
	if *Update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatalf("golden: %v", err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatalf("golden: %v", err)
		}
		_ = os.Remove(leftover) // usually there is none
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("golden: %v (run the test with -update to make it)", err)
	}
	if !bytes.Equal(got, want) {
		if err := os.WriteFile(leftover, got, 0o644); err != nil {
			t.Errorf("golden: %v", err)
		}
		t.Errorf("%s: %s; see %s", name, firstDifference(got, want), leftover)
	}
}

// locate returns the path of a golden file.
func locate(name string) (string, error) { return inModule("testdata/golden/" + name) }

// inModule returns the path of a file of the module, whose root is the nearest
// folder above the test's that holds a go.mod.
func inModule(name string) (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return filepath.Join(dir, filepath.FromSlash(name)), nil
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			return "", fmt.Errorf("no go.mod above the test's folder")
		}
		dir = parent
	}
}

// firstDifference names the first line in which two texts differ.
func firstDifference(got, want []byte) string {
	if !utf8.Valid(want) {
		return "other bytes"
	}
	gotLines, wantLines := bytes.Split(got, []byte("\n")), bytes.Split(want, []byte("\n"))
	for i := range min(len(gotLines), len(wantLines)) {
		if !bytes.Equal(gotLines[i], wantLines[i]) {
			return fmt.Sprintf("line %d is\n\t%s\nwant\n\t%s\n", i+1, gotLines[i], wantLines[i])
		}
	}
	return fmt.Sprintf("%d lines, want %d", len(gotLines), len(wantLines))
}
