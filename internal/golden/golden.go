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
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Update is whether what tests keep is to be written anew; see -update.
var Update = flag.Bool("update", false, "write what the tests keep anew")

// Text fails the test unless got equals the golden file, byte for byte. The
// name is a slash path below testdata/golden of the module.
func Text(t testing.TB, name string, got []byte) {
	t.Helper()
	compare(t, name, got, func(want []byte) string {
		if bytes.Equal(got, want) {
			return ""
		}
		return firstDifference(got, want)
	})
}

// Picture fails the test unless the PNG in got has the bounds of the golden
// file and no colour channel of any pixel is further than tolerance (of 255)
// from it. Bounds come first, so that a change of shape is reported as such.
func Picture(t testing.TB, name string, got []byte, tolerance int) {
	t.Helper()
	compare(t, name, got, func(want []byte) string {
		return pictureDifference(got, want, tolerance)
	})
}

func compare(t testing.TB, name string, got []byte, difference func(want []byte) string) {
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
	if message := difference(want); message != "" {
		if err := os.WriteFile(leftover, got, 0o644); err != nil {
			t.Errorf("golden: %v", err)
		}
		t.Errorf("%s: %s; see %s", name, message, leftover)
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
	gotLines, wantLines := bytes.Split(got, []byte("\n")), bytes.Split(want, []byte("\n"))
	for i := range min(len(gotLines), len(wantLines)) {
		if !bytes.Equal(gotLines[i], wantLines[i]) {
			return fmt.Sprintf("line %d is\n\t%s\nwant\n\t%s\n", i+1, gotLines[i], wantLines[i])
		}
	}
	return fmt.Sprintf("%d lines, want %d", len(gotLines), len(wantLines))
}

func pictureDifference(got, want []byte, tolerance int) string {
	a, err := png.Decode(bytes.NewReader(got))
	if err != nil {
		return err.Error()
	}
	b, err := png.Decode(bytes.NewReader(want))
	if err != nil {
		return "golden file: " + err.Error()
	}
	if a.Bounds() != b.Bounds() {
		return fmt.Sprintf("bounds %v, want %v", a.Bounds(), b.Bounds())
	}
	differing, first := 0, image.Point{}
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			r, g, b0, a0 := a.At(x, y).RGBA()
			s, h, c, d := b.At(x, y).RGBA()
			if apart(r, s, tolerance) || apart(g, h, tolerance) || apart(b0, c, tolerance) || apart(a0, d, tolerance) {
				if differing == 0 {
					first = image.Pt(x, y)
				}
				differing++
			}
		}
	}
	if differing == 0 {
		return ""
	}
	return fmt.Sprintf("%d pixels differ by more than %d of 255, the first at %v", differing, tolerance, first)
}

// apart compares two 16-bit channels at 8 bits.
func apart(a, b uint32, tolerance int) bool {
	d := int(a>>8) - int(b>>8)
	return d > tolerance || -d > tolerance
}
