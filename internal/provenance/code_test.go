package provenance

import (
	"testing"
	"testing/fstest"

	"counterpoise/internal/golden"
)

// The hash of the sources depends on the names and contents of all of them, but tests.
func TestHashSources(t *testing.T) {
	hash := func(files map[string]string) string {
		sources := fstest.MapFS{}
		for name, text := range files {
			sources[name] = &fstest.MapFile{Data: []byte(text)}
		}
		return golden.Must(HashSources(sources))(t)
	}
	was := hash(map[string]string{"sim/a.go": "a", "sim/b.go": "b"})
	for name, c := range map[string]struct {
		files map[string]string
		same  bool
	}{
		"another test":     {map[string]string{"sim/a.go": "a", "sim/b.go": "b", "sim/a_test.go": "x"}, true},
		"another constant": {map[string]string{"sim/a.go": "a", "sim/b.go": "c"}, false},
		"another name":     {map[string]string{"sim/a.go": "a", "sim/c.go": "b"}, false},
		"swapped":          {map[string]string{"sim/a.go": "b", "sim/b.go": "a"}, false},
		"one more":         {map[string]string{"sim/a.go": "a", "sim/b.go": "b", "sim/c.go": ""}, false},
		"in one file":      {map[string]string{"sim/a.go": "ab"}, false},
	} {
		if is := hash(c.files); (is == was) != c.same {
			t.Errorf("%s: the same hash: %v, want %v", name, is == was, c.same)
		}
	}
}

// A test program does not know its sources, so that what it writes does not change with each of
// them.
func TestCodeIsUnrecordedInTests(t *testing.T) {
	if got := Code(); got != "" {
		t.Errorf("the code is %q", got)
	}
}
