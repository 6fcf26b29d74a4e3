package clubtable

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/words"
)

// told is all that is said of a table, as the goldens hold it.
func told(file string, data []byte) string {
	t, err := Read(file, data, nil)
	if err != nil {
		return "refused\n" + err.Error() + "\n"
	}
	var b strings.Builder
	for _, c := range t.Columns {
		fmt.Fprintf(&b, "%s\n", c)
	}
	for i := range t.People {
		p := &t.People[i]
		fmt.Fprintf(&b, "line %d: %s, %s", p.Line, p.Name, p.Sex)
		for _, k := range p.Known {
			fmt.Fprintf(&b, ", %s %s", k.Of, words.Measurement(k.Of, k.Value, words.Metric))
		}
		b.WriteString("\n")
	}
	for _, n := range t.Notes {
		fmt.Fprintf(&b, "note: %s\n", n)
	}
	if err := t.Left.Err(); err != nil {
		fmt.Fprintf(&b, "left out:\n%s\n", err)
	}
	return b.String()
}

// Tables as people have them are read, or refused with what would mend them.
func TestTables(t *testing.T) {
	files, err := filepath.Glob("testdata/*")
	if err != nil || len(files) < 20 {
		t.Fatalf("%d tables, %v", len(files), err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(file)
		golden.Text(t, "clubtable/"+name+".told", []byte(told(name, data)))
	}
}
