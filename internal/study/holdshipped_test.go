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
	files := golden.Must(filepath.Glob("holds/*.yaml"))(t)
	list := []*outline.Outline{}
	for _, file := range files {
		text := golden.Must(os.ReadFile(file))(t)
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
	want := golden.Must(json.MarshalIndent(list, "", " "))(t)
	want = append(want, '\n')
	const kept = "../holds/shipped.json"
	if *golden.Update {
		golden.OK(t, os.WriteFile(kept, want, 0o644))
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
