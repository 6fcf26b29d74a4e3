package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/table"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// call runs the program in this process. The lines of progress, which only a slow
// machine shows, are left out.
func call(args ...string) (code int, stdout, stderr string) {
	var out, errors bytes.Buffer
	code = Main(context.Background(), args, strings.NewReader(""), &out, &errors)
	return code, out.String(), progressLine.ReplaceAllString(errors.String(), "")
}

// succeeds runs the program, which must end well, and returns what it prints.
func succeeds(t *testing.T, args ...string) string {
	t.Helper()
	code, stdout, stderr := call(args...)
	if code != exitDone {
		t.Fatalf("%v: exit code %d: %s", args, code, stderr)
	}
	return stdout
}

// openTable opens a table until the test ends.
func openTable(t *testing.T, path string) *table.Reader {
	t.Helper()
	r, err := table.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { r.Close() })
	return r
}

// columnOf returns all values of a column.
func columnOf[T any](t *testing.T, r *table.Reader, name string, of func(*table.Block) [][]T) (all []T) {
	t.Helper()
	at := slices.IndexFunc(r.Columns(), func(c table.Column) bool { return c.Name == name })
	for b, err := range r.Blocks() {
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, of(b)[at][:b.Rows]...)
	}
	return all
}

// floats are the columns of floats.
func floats(b *table.Block) [][]float32 { return b.Float32 }

// altered is a text with one thing in it altered.
func altered(t *testing.T, text, old, next string) string {
	t.Helper()
	if !strings.Contains(text, old) {
		t.Fatalf("there is no %q in %q", old, text)
	}
	return strings.Replace(text, old, next, 1)
}

var progressLine = regexp.MustCompile(`(?m)^counterpoise: .* \d+ of \d+ \(\d+ %\)\n`)

func TestCommandsWork(t *testing.T) {
	for _, c := range []struct {
		want string
		args []string
	}{
		{"longer-arms", []string{"claim", "list"}},
		{"says: Longer arms", []string{"claim", "show", "longer-arms"}},
		{"human-flag", []string{"hold", "list"}},
		{"not validated by measured forces", []string{"hold", "show", "human-flag"}},
		{"ansur2-women", []string{"people", "list"}},
		{"biacromial_breadth", []string{"people", "show", "ansur2-men"}},
		{"stature_m,mass_kg", []string{"people", "draw", "ansur2-men", "--n", "3"}},
		{"SHA-256", []string{"data"}},
		{"shoulder_span", []string{"data", "assumptions"}},
		{"counterpoise", []string{"version"}},
		{"bash completion", []string{"completion", "bash"}},
		{"Usage", []string{"claim"}},
	} {
		code, stdout, stderr := call(c.args...)
		if code != exitDone || !strings.Contains(stdout, c.want) || stderr != "" {
			t.Errorf("%v: code %d, want %q on stdout; stderr %q", c.args, code, c.want, stderr)
		}
	}
}

func TestEveryHelpNamesTheExitCodes(t *testing.T) {
	seen := 0
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		path := strings.Fields(c.CommandPath())[1:]
		for _, args := range [][]string{append(path, "--help"), append([]string{"help"}, path...)} {
			seen++
			code, stdout, stderr := call(args...)
			if code != exitDone || stderr != "" || strings.Count(stdout, exitCodes) != 1 {
				t.Errorf("%v: code %d, stderr %q; the exit codes should stand once in %q", args, code, stderr, stdout)
			}
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newRoot(&environment{stdout: io.Discard, stderr: io.Discard}))
	if seen < 30 {
		t.Errorf("only %d helps were seen", seen)
	}
}

// An undecided verdict is a result: it is printed, its files stay, and it has a
// code of its own.
func TestUndecidedHasItsOwnCode(t *testing.T) {
	for _, n := range []string{"1", "2"} {
		out := filepath.Join(t.TempDir(), "out")
		code, stdout, stderr := call("claim", "test", "longer-arms", "--n", n, "--max-n", n, "--assumption-draws", "0", "--out", out)
		if code != exitUndecided || !strings.Contains(stdout, "VERDICT: undecided") || stderr != "counterpoise: undecided at this sample size; a larger --n or --max-n may decide\n" {
			t.Errorf("n %s: code %d, stdout %.80q, stderr %q", n, code, stdout, stderr)
		}
		if _, err := os.Stat(filepath.Join(out, "summary.json")); err != nil {
			t.Error(err)
		}
	}
}

// The summary has the documented fields, and the table the rows it speaks of.
func TestSummaryAndTable(t *testing.T) {
	out := t.TempDir()
	code, stdout, stderr := call("claim", "test", "longer-arms", "--n", "5000", "--max-n", "5000", "--assumption-draws", "0", "--out", out, "--json")
	if code != exitDone {
		t.Fatal(stderr)
	}
	var s map[string]any
	if err := json.Unmarshal([]byte(stdout), &s); err != nil {
		t.Fatal(err)
	}
	for _, field := range []string{"claim", "verdict", "n", "seed", "people", "models", "headline", "provenance", "cautions", "validation"} {
		if _, ok := s[field]; !ok {
			t.Errorf("the summary lacks %s", field)
		}
	}
	model := s["models"].([]any)[0].(map[string]any)
	for field, keys := range map[string][]string{
		"model": nil, "verdict": nil, "share_as_claimed": nil, "share_low": nil, "share_high": nil,
		"baseline": {"p5", "p50", "p95"}, "changed": {"p5", "p50", "p95"}, "effect": {"p5", "p50", "p95", "mean"},
		"best_angle": {"baseline", "changed"}, "hand_spacing": {"baseline", "changed"},
	} {
		value, ok := model[field]
		if !ok {
			t.Errorf("a model lacks %s", field)
		}
		for _, key := range keys {
			if _, ok := value.(map[string]any)[key].(float64); !ok {
				t.Errorf("%s lacks the number %s", field, key)
			}
		}
	}
	if file, err := os.ReadFile(filepath.Join(out, "summary.json")); err != nil || string(file) != stdout {
		t.Error("summary.json is not what --json prints")
	}
	r := openTable(t, filepath.Join(out, "bodies.parquet"))
	if r.Rows() != 5000 {
		t.Errorf("%d rows, want 5000", r.Rows())
	}
	keys := map[string]bool{}
	for _, pair := range r.Metadata() {
		keys[pair.Key] = true
	}
	for _, key := range []string{"counterpoise.version", "counterpoise.study", "counterpoise.seed", "counterpoise.data", "counterpoise.assumptions"} {
		if !keys[key] {
			t.Errorf("the table's metadata lack %s, there are %v", key, keys)
		}
	}
}

// People drawn are the people of claims: the first men of both are the same.
func TestPeopleDrawnAreThePeopleOfClaims(t *testing.T) {
	out := t.TempDir()
	if code, _, stderr := call("claim", "test", "longer-arms", "--n", "40", "--max-n", "40", "--assumption-draws", "0", "--out", out); code == exitFailed || code == exitUsage {
		t.Fatal(stderr)
	}
	if code, _, stderr := call("people", "draw", "ansur2-men", "--n", "20", "--out", out); code != exitDone {
		t.Fatal(stderr)
	}
	read := func(name, column string) []float32 {
		return columnOf(t, openTable(t, filepath.Join(out, name)), column, floats)
	}
	claimed, drawn := read("bodies.parquet", "stature_m"), read("people.parquet", "stature_m")
	for i := range drawn {
		if drawn[i] != claimed[i] {
			t.Fatalf("man %d is %g m tall when drawn and %g m in the claim", i, drawn[i], claimed[i])
		}
	}
}

// What a contrast's capacities are compared by is part of the study.
func TestSummaryOfAContrast(t *testing.T) {
	code, stdout, stderr := call("claim", "test", "tall-people", "--n", "3000", "--max-n", "3000", "--assumption-draws", "0", "--json")
	if code != exitDone && code != exitUndecided {
		t.Fatal(stderr)
	}
	var s struct {
		Provenance struct {
			Study struct {
				Claim struct{ Contrast map[string]any }
			}
		}
	}
	if err := json.Unmarshal([]byte(stdout), &s); err != nil {
		t.Fatal(err)
	}
	contrast := s.Provenance.Study.Claim.Contrast
	if contrast["by"] != "stature" || contrast["share"] == nil {
		t.Errorf("the study of a contrast is kept as %v", contrast)
	}
}

// The claim that the README shows works as it stands there.
func TestClaimOfTheReadme(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(readme), "```yaml\n")
	text, _, found := strings.Cut(rest, "```")
	if !found {
		t.Fatal("the README shows no claim")
	}
	file := filepath.Join(t.TempDir(), "my.yaml")
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	code, stdout, stderr := call("claim", "test", file, "--n", "5000", "--max-n", "5000", "--assumption-draws", "0", "--out", t.TempDir())
	if code != exitDone || !strings.Contains(stdout, "span/stature 1..") || strings.Contains(stdout, "Inf") {
		t.Errorf("code %d, stdout %s, stderr %s", code, stdout, stderr)
	}
}

// brokenWriter fails as a full disk does.
type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestUnwritableOutput(t *testing.T) {
	for _, args := range [][]string{{"claim", "list"}, {"people", "draw", "ansur2-men"}, {"data", "assumptions"}, {"hold", "show", "human-flag"}} {
		var stderr bytes.Buffer
		if code := Main(context.Background(), args, nil, brokenWriter{}, &stderr); code != exitFailed || stderr.Len() == 0 {
			t.Errorf("%v: code %d, stderr %q", args, code, stderr.String())
		}
	}
}

// Every command that help lists has its page, with its arguments, all its options
// and its examples as such.
func TestDocs(t *testing.T) {
	for _, test := range []struct {
		name, join, extension, example string
		flags                          []string
	}{
		{"Markdown", "_", ".md", "\n    counterpoise claim show longer-arms > mine.yaml\n", nil},
		{"man pages", "-", ".1", "\n.EX\ncounterpoise claim show longer-arms > mine.yaml\n", []string{"--man"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "new")
			if code, _, stderr := call(append([]string{"docs", dir}, test.flags...)...); code != exitDone {
				t.Fatalf("%d: %s", code, stderr)
			}
			files, err := os.ReadDir(dir)
			if err != nil {
				t.Fatal(err)
			}
			pages := 0
			err = eachCommand(newRoot(&environment{}), func(c *cobra.Command) error {
				pages++
				data, err := os.ReadFile(filepath.Join(dir, strings.ReplaceAll(c.CommandPath(), " ", test.join)+test.extension))
				text := strings.NewReplacer(`\-`, "-", `\fB`, "", `\fP`, "", `\&`, "").Replace(string(data))
				for _, word := range strings.Fields(c.Use) {
					if !strings.Contains(text, word) {
						t.Errorf("the page of %s lacks %s", c.CommandPath(), word)
					}
				}
				c.LocalFlags().VisitAll(func(f *pflag.Flag) {
					if !f.Hidden && !strings.Contains(text, "--"+f.Name) {
						t.Errorf("the page of %s lacks --%s", c.CommandPath(), f.Name)
					}
				})
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
			if pages != len(files) || pages < 20 {
				t.Errorf("%d files for %d commands", len(files), pages)
			}
			page, err := os.ReadFile(filepath.Join(dir, "counterpoise"+test.join+"claim"+test.join+"show"+test.extension))
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(string(page), test.example) {
				t.Errorf("no example in\n%s", page)
			}
		})
	}
	if code, _, _ := call("docs"); code != exitUsage {
		t.Errorf("without a folder: exit code %d", code)
	}
}
