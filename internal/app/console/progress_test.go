package console

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

// A stage that begins anew or becomes longer is another round; one that was never told of
// says nothing at its end, one that was says that it is done.
func TestProgress(t *testing.T) {
	type step struct {
		stage       string
		done, total int
		waits       bool // so long that a line is due
	}
	for _, c := range []struct {
		name  string
		steps []step
		want  string
	}{
		{"too quick", []step{{"a", 1, 2, false}, {"a", 2, 2, false}}, ""},
		{"ends", []step{{"a", 1, 3, true}, {"a", 2, 3, false}, {"a", 3, 3, false}}, "a 1 of 3 (33 %)\na 3 of 3 (100 %)\n"},
		{"ends once", []step{{"a", 3, 3, true}, {"a", 3, 3, true}}, "a 3 of 3 (100 %)\n"},
		{"longer", []step{{"a", 2, 2, true}, {"a", 3, 4, true}, {"a", 4, 4, false}}, "a 2 of 2 (100 %)\na, round 2: 3 of 4 (75 %)\na, round 2: 4 of 4 (100 %)\n"},
		{"anew", []step{{"a", 2, 2, true}, {"a", 1, 2, true}}, "a 2 of 2 (100 %)\na, round 2: 1 of 2 (50 %)\n"},
		{"another", []step{{"a", 2, 2, true}, {"b", 1, 1, true}}, "a 2 of 2 (100 %)\nb 1 of 1 (100 %)\n"},
		{"too many", []step{{"a", 5, 3, true}}, "a 3 of 3 (100 %)\n"},
		{"none", []step{{"a", 0, 0, true}}, ""},
	} {
		var said bytes.Buffer
		p := NewProgress(&said)
		for _, s := range c.steps {
			if s.waits {
				p.last = time.Time{}
			}
			p.Update(s.stage, s.done, s.total)
		}
		if got := strings.ReplaceAll(said.String(), "counterpoise: ", ""); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
