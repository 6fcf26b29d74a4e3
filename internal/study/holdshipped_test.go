package study

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/holds"
	"counterpoise/sim/outline"
)

// What package holds carries, for programs that read no YAML, is what the files in holds
// say; -update writes it anew. Every one is in order, and found by the name of its file.
func TestShippedHoldsAreTheirFiles(t *testing.T) {
	files, err := filepath.Glob("holds/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	list := []*outline.Outline{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		o, err := ReadNamedOutline(file, text, false)
		if err != nil {
			t.Error(err)
			continue
		}
		if name := strings.TrimSuffix(filepath.Base(file), ".yaml"); o.Name != name {
			t.Errorf("%s: is called %s", file, o.Name)
		}
		list = append(list, o)
	}
	want, err := json.MarshalIndent(list, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	want = append(want, '\n')
	const kept = "../holds/shipped.json"
	if *golden.Update {
		if err := os.WriteFile(kept, want, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if got, err := os.ReadFile(kept); err != nil || !bytes.Equal(got, want) {
		t.Fatalf("%s is not what the files in holds say, %v: run this test with -update", kept, err)
	}
	for i, o := range holds.Shipped() {
		if !reflect.DeepEqual(o, list[i]) {
			t.Errorf("%s is read back as another", o.Name)
		}
		if h, found := holds.Find(o.Name); !found || h.Text != o.Text {
			t.Errorf("%s is not found", o.Name)
		}
	}
}
