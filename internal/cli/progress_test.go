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

	"counterpoise/internal/app/console"
	"counterpoise/internal/explorer"
	"counterpoise/internal/golden"
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
	was := console.Quiet
	console.Quiet = 0
	t.Cleanup(func() { console.Quiet = was })
}

func TestProgressEndsWhole(t *testing.T) {
	loud(t)
	write := func(name, text string) string {
		file := filepath.Join(t.TempDir(), name)
		golden.OK(t, os.WriteFile(file, []byte(text), 0o600))
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
		if code := Main(t.Context(), args, nil, &out, &said); code != console.ExitDone && code != console.ExitUndecided {
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
	bar := console.NewProgress(&said)
	golden.OK(t, s.Write(t.Context(), t.TempDir(), &site.WebAssembly{}, func(done, total int) { bar.Update("sayings", done, total) }))
	if endsWhole(t, "site", said.String()) != 1 {
		t.Error("no progress was told")
	}
}
