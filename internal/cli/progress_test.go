package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"counterpoise/internal/explorer"
	"counterpoise/internal/site"
)

var progressed = regexp.MustCompile(`(?m)^counterpoise: (.*) (\d+) of (\d+) \((\d+) %\)$`)

// endsWhole reports what is wrong with lines of progress: every stage goes up, to 100 % and
// no further, and is begun once. It returns how many stages there were.
func endsWhole(t *testing.T, name, text string) int {
	t.Helper()
	stage, per := "", 100
	ended := map[string]bool{}
	for _, m := range progressed.FindAllStringSubmatch(text, -1) {
		done, _ := strconv.Atoi(m[2])
		total, _ := strconv.Atoi(m[3])
		percent, _ := strconv.Atoi(m[4])
		switch {
		case m[1] != stage && per != 100:
			t.Errorf("%s: %s ended at %d %%", name, stage, per)
		case m[1] != stage && ended[m[1]]:
			t.Errorf("%s: %s was begun again", name, m[1])
		case m[1] == stage && percent < per, done > total, percent > 100:
			t.Errorf("%s: %s after %d %%", name, m[0], per)
		}
		stage, per = m[1], percent
		ended[stage] = true
	}
	if per != 100 {
		t.Errorf("%s: %s ended at %d %%", name, stage, per)
	}
	return len(ended)
}

// loud makes every step of progress told, until the test ends.
func loud(t *testing.T) {
	was := quiet
	quiet = 0
	t.Cleanup(func() { quiet = was })
}

func TestProgressEndsWhole(t *testing.T) {
	loud(t)
	write := func(name, text string) string {
		file := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return file
	}
	grid := write("s.yaml", "sweep: s\nhold: human-flag\npeople: us-men\nmodel: equilibrium\nn: 500\ndemands: [required_force]\naxes:\n  change.arm_length: -10 cm..10 cm by 1 cm\n")
	club := write("c.csv", "name,sex,stature (cm)\nA,f,165\nB,m,180\nC,m,171\n")
	for _, args := range [][]string{
		{"claim", "test", "longer-arms", "--n", "9000", "--assumption-draws", "256", "--for-whom"},
		{"claim", "test", "front-lever-tuck", "tall-people", "--n", "2000", "--assumption-draws", "256"},
		{"claim", "test", "--all", "--n", "100", "--assumption-draws", "0", "--for-whom=false"},
		{"drivers", "--hold", "human-flag", "--of", "required_force", "--people", "us-men", "--n", "64", "--until", "0.02"},
		{"drivers", "--hold", "human-flag", "--of", "required_force", "--people", "us-men,us-women", "--n", "64", "--until", "0", "--sobol", "assumptions", "--full-and-independent"},
		{"sweep", grid},
		{"sweep", grid, "--shard", "1/2", "--out", t.TempDir()},
		{"people", "draw", "us-men", "--n", "20000", "--out", t.TempDir()},
		{"person", clubNight, "--n", "1000"},
		{"club", club, "--n", "1000"},
	} {
		var out, said bytes.Buffer
		if code := Main(t.Context(), args, nil, &out, &said); code != exitDone && code != exitUndecided {
			t.Fatalf("%v: %d, %s", args, code, said.String())
		}
		if endsWhole(t, strings.Join(args[:2], " "), said.String()) == 0 {
			t.Errorf("%v: no progress was told", args)
		}
	}
}

// The static site tells of its pages, which would take too long to make here.
func TestProgressOfTheSite(t *testing.T) {
	loud(t)
	var said bytes.Buffer
	s := &site.Site{Explorer: explorer.New(explorer.Shipped), Evidence: func(context.Context, string) ([]byte, error) { return []byte("page"), nil }}
	bar := newProgress(&said)
	if err := s.Write(t.Context(), t.TempDir(), &site.WebAssembly{}, func(done, total int) { bar.update("sayings", done, total) }); err != nil {
		t.Fatal(err)
	}
	if endsWhole(t, "site", said.String()) != 1 {
		t.Error("no progress was told")
	}
}

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
		p := newProgress(&said)
		for _, s := range c.steps {
			if s.waits {
				p.last = time.Time{}
			}
			p.update(s.stage, s.done, s.total)
		}
		if got := strings.ReplaceAll(said.String(), "counterpoise: ", ""); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}
