package cli

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
	"counterpoise/internal/table"
)

// Text, summary, table and charts are the same bytes for any number of workers
// and in every run, also where they replace those of an earlier one.
func TestSameBytes(t *testing.T) {
	out := t.TempDir()
	run := func(workers string) (string, map[string]string) {
		return runs(t, "claim", "test", "hands-as-wide-as-they-go", "--n", "9000", "--assumption-draws", "256", "--workers", workers, "--out", out), golden.Files(t, out)
	}
	text, files := run("1")
	for _, name := range []string{"summary.json", "bodies.parquet", "draws.parquet", "effect.svg", "effect.png", "effect.pdf"} {
		if files[name] == "" {
			t.Errorf("there is no %s", name)
		}
	}
	for _, workers := range []string{"8", "1"} {
		textNow, filesNow := run(workers)
		if textNow != text {
			t.Errorf("%s workers: the text differs", workers)
		}
		if len(filesNow) != len(files) {
			t.Errorf("%s workers: %d files, want %d", workers, len(filesNow), len(files))
		}
		for name, content := range files {
			if filesNow[name] != content {
				t.Errorf("%s workers: %s differs", workers, name)
			}
		}
	}
	_, other, _ := call("claim", "test", "hands-as-wide-as-they-go", "--n", "9000", "--assumption-draws", "0", "--seed", "2")
	if other == text {
		t.Error("another seed gives the same text")
	}
}

func TestSameContrast(t *testing.T) {
	run := func(workers string) string {
		return runs(t, "claim", "test", "tall-people", "--n", "9000", "--assumption-draws", "0", "--json", "--workers", workers)
	}
	if run("1") != run("8") {
		t.Error("a contrast depends on the workers")
	}
}

// The same people whether as CSV, as Parquet, or by however many workers.
func TestSamePeople(t *testing.T) {
	draw := func(args ...string) string {
		code, stdout, stderr := call(append([]string{"people", "draw", "ansur2-women", "--n", "9000", "--where", "stature=160..175 cm", "--where", "bmi=18.5..27"}, args...)...)
		if code != console.ExitDone || stderr != "" {
			t.Fatalf("code %d, %s", code, stderr)
		}
		return stdout
	}
	csv := draw("--workers", "1")
	if draw("--workers", "8") != csv {
		t.Error("people depend on the workers")
	}
	if draw("--seed", "5") == csv {
		t.Error("people do not depend on the seed")
	}
	out := t.TempDir()
	if printed, want := draw("--out", out), "9,000 people: "+filepath.Join(out, "people.parquet")+"\n"; printed != want {
		t.Errorf("with --out, %.80q is printed, want %q", printed, want)
	}
	r := openTable(t, filepath.Join(out, "people.parquet"))
	var again bytes.Buffer
	golden.OK(t, table.WriteCSV(&again, r))
	if again.String() != csv {
		t.Error("Parquet and CSV hold different people")
	}
	statures := columnOf(t, r, "stature_m", floats)
	if len(statures) != 9000 {
		t.Errorf("%d people, want 9000", len(statures))
	}
	for _, s := range statures {
		if s < 1.6 || s > 1.75 {
			t.Fatalf("a stature of %g m is outside the range asked for", s)
		}
	}
}

// A command that is stopped says so in one line, and leaves no file and no
// folder, hidden ones included.
func TestInterrupt(t *testing.T) {
	for _, c := range []struct {
		name string
		late bool // stopped when a file has been begun, not at once
		args []string
	}{
		{"claim at once", false, []string{"claim", "test", "longer-arms"}},
		{"contrast at once", false, []string{"claim", "test", "tall-people"}},
		{"people at once", false, []string{"people", "draw", "ansur2-men", "--n", "1e6"}},
		{"claim in one file", true, []string{"claim", "test", "longer-arms", "--n", "4e6"}},
		{"claim in a folder of parts", true, []string{"claim", "test", "longer-arms", "--n", "2e7"}},
		{"people", true, []string{"people", "draw", "ansur2-men", "--n", "1e9"}},
	} {
		ctx, cancel := context.WithCancel(context.Background())
		home := t.TempDir()
		out := filepath.Join(home, "new", "out")
		begun := make(chan bool, 1)
		if c.late {
			go func() {
				defer cancel()
				for range 3000 { // half a minute
					if entries, _ := filepath.Glob(filepath.Join(out, ".counterpoise", "new", ".*.tmp")); len(entries) > 0 {
						begun <- true
						return
					}
					time.Sleep(10 * time.Millisecond)
				}
				begun <- false
			}()
		} else {
			cancel()
			begun <- true
		}
		var stdout, stderr bytes.Buffer
		code := Main(ctx, append(c.args, "--out", out), strings.NewReader(""), &stdout, &stderr)
		cancel()
		if !<-begun {
			t.Errorf("%s: no file was begun", c.name)
		}
		if code != console.ExitInterrupted || stdout.Len() > 0 || !strings.HasSuffix(stderr.String(), "counterpoise: interrupted, nothing half-written is left\n") {
			t.Errorf("%s: code %d, stdout %q, stderr %q", c.name, code, stdout.String(), stderr.String())
		}
		if left, err := os.ReadDir(home); err != nil || len(left) > 0 {
			t.Errorf("%s: %v is left, %v", c.name, left, err)
		}
	}
}

// What stood in the folder stays when a new run fails.
func TestFailureKeepsEarlierFiles(t *testing.T) {
	out := t.TempDir()
	if code, _, stderr := call("people", "draw", "ansur2-men", "--n", "50", "--out", out); code != console.ExitDone {
		t.Fatal(stderr)
	}
	before := golden.Files(t, out)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var stdout, stderr bytes.Buffer
	if code := Main(ctx, []string{"people", "draw", "ansur2-men", "--n", "60", "--out", out}, nil, &stdout, &stderr); code != console.ExitInterrupted {
		t.Errorf("code %d", code)
	}
	after := golden.Files(t, out)
	if len(after) != 2 || after["people.parquet"] != before["people.parquet"] {
		t.Errorf("%d files are left, or the earlier one was touched", len(after))
	}
}

// A folder or a file that stands where a result belongs is not destroyed.
func TestFolderInTheWayOfAFile(t *testing.T) {
	for _, name := range []string{"bodies.parquet", "draws.parquet", "summary.json", "effect.svg"} {
		out := t.TempDir()
		kept := filepath.Join(out, name, "kept")
		golden.OK(t, os.MkdirAll(kept, 0o777))
		code, stdout, stderr := call("claim", "test", "longer-arms", "--n", "400", "--assumption-draws", "0", "--out", out)
		if code != console.ExitFailed || stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, name) {
			t.Errorf("%s: code %d, stdout %.80q, stderr %q", name, code, stdout, stderr)
		}
		if _, err := os.Stat(kept); err != nil {
			t.Error(err)
		}
		if hidden, _ := filepath.Glob(filepath.Join(out, ".*")); len(hidden) > 0 {
			t.Errorf("%s: %v is left", name, hidden)
		}
	}
}
