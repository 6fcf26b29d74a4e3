package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/internal/table"

	"github.com/spf13/cobra"
)

// call runs the program in this process.
func call(args ...string) (code int, stdout, stderr string) {
	var out, errors bytes.Buffer
	code = Main(context.Background(), args, strings.NewReader(""), &out, &errors)
	return code, out.String(), errors.String()
}

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
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		if c.Name() != "completion" && c.Parent() != nil && c.Parent().Name() != "completion" && c.Name() != "help" && !strings.Contains(c.Long, "Exit codes") {
			t.Errorf("%s: the help lacks the exit codes", c.CommandPath())
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newRoot(&environment{}))
}

// Every bad input is one clear line, code 2 (1 for input and output), with
// nothing on stdout.
func TestBadInput(t *testing.T) {
	folder := t.TempDir()
	file := func(name, text string) string {
		path := filepath.Join(folder, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	const good = "claim: a\nsays: A.\nhold: human-flag\npeople: ansur2-men\nchange: {arm_length: +1 cm}\nexpect: increase\nmatters: 1 %\n"
	test := func(args ...string) []string { return append([]string{"claim", "test"}, args...) }
	for _, c := range []struct {
		code int
		want string
		args []string
	}{
		{2, "did you mean claim?", []string{"clam"}},
		{2, "unknown command", []string{"claim", "tset"}},
		{2, "unknown flag", test("longer-arms", "--workrs", "3")},
		{2, "did you mean longer-arms?", test("longer-arm")},
		{2, "accepts 1 arg", test()},
		{2, "no such file", test("./none.yaml")},
		{2, "is a folder", test(folder + "/.")},
		{2, "n: found 0", test("longer-arms", "--n", "0")},
		{2, "n: found -5", test("longer-arms", "--n", "-5")},
		{2, "not a whole number", test("longer-arms", "--n", "1.5")},
		{2, "not a whole number", test("longer-arms", "--n", "NaN")},
		{2, "workers: found -1", test("longer-arms", "--workers", "-1")},
		{2, "at least 128", test("longer-arms", "--assumption-draws", "7")},
		{2, "seed", test("longer-arms", "--seed", "x")},
		{2, "did you mean ansur2-men?", test("longer-arms", "--people", "ansur2-man")},
		{2, "did you mean equilibrium?", test("longer-arms", "--models", "equilibrum")},
		{2, "unknown name", test("longer-arms", "--regional-masses", "half")},
		{2, "unknown name", test("longer-arms", "--segments", "mine")},
		{2, "did you mean top_share?", test("longer-arms", "--assume", "top_shares=0.4")},
		{2, "write name=value", test("longer-arms", "--assume", "top_share")},
		{2, "is not allowed", test("longer-arms", "--assume", "top_share=7")},
		{2, "is above its high", test("longer-arms", "--assume", "top_share=0.6..0.4")},
		{2, "--assume", test("longer-arms", "--assume", "top_share=NaN")},
		{2, "bad.yaml:5: change.arm_lenght: unknown field (did you mean arm_length?)", test(file("bad.yaml", strings.Replace(good, "arm_length", "arm_lenght", 1)))},
		{2, "needs its unit", test(file("bare.yaml", strings.Replace(good, "+1 cm", "1", 1)))},
		{2, "of 1,000,064 people drawn from ansur2-men match bmi 90..95", test(file("rare.yaml", strings.Replace(good, "people: ansur2-men", "people: {from: ansur2-men, where: {bmi: 90..95}}", 1)))},
		{2, "cannot lose", test(file("lost.yaml", strings.Replace(good, "arm_length: +1 cm", "lost_mass: {head: 60 kg}", 1)))},
		{1, "--out", test("longer-arms", "--out", file("in-the-way", "x"))},
		{1, "--out", test("longer-arms", "--out", "/proc/nope")},
		{2, "unknown people", []string{"people", "draw", "nobody"}},
		{2, "--where", []string{"people", "draw", "ansur2-men", "--where", "bmi"}},
		{2, "--n is 0", []string{"people", "draw", "ansur2-men", "--n", "0"}},
		{2, "did you mean human-flag?", []string{"hold", "show", "human-flog"}},
	} {
		code, stdout, stderr := call(c.args...)
		lines := strings.Split(strings.TrimSuffix(stderr, "\n"), "\n")
		if code != c.code || stdout != "" || len(lines) != 1 || !strings.HasPrefix(stderr, "counterpoise: ") || !strings.Contains(stderr, c.want) {
			t.Errorf("%v: code %d, stdout %q, stderr %q; want code %d and one line with %q", c.args, code, stdout, stderr, c.code, c.want)
		}
	}
	if text, err := os.ReadFile(filepath.Join(folder, "in-the-way")); err != nil || string(text) != "x" {
		t.Error("a file in the way of --out was touched")
	}
}

func TestUndecidedHasItsOwnCode(t *testing.T) {
	code, stdout, stderr := call("claim", "test", "longer-arms", "--n", "2", "--max-n", "2", "--assumption-draws", "0")
	if code != exitUndecided || !strings.Contains(stdout, "VERDICT: undecided") || !strings.Contains(stderr, "undecided") {
		t.Errorf("code %d, stdout %.80q, stderr %q", code, stdout, stderr)
	}
}

// An interrupted test leaves nothing, not even a hidden file.
func TestInterrupt(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	out := filepath.Join(t.TempDir(), "out")
	var stdout, stderr bytes.Buffer
	code := Main(ctx, []string{"claim", "test", "longer-arms", "--out", out}, strings.NewReader(""), &stdout, &stderr)
	if code != exitInterrupted || stdout.Len() > 0 {
		t.Errorf("code %d, stdout %q", code, stdout.String())
	}
	if left, _ := os.ReadDir(out); len(left) > 0 {
		t.Errorf("%d files are left, the first is %s", len(left), left[0].Name())
	}
}

// contents reads every file of a folder.
func contents(t *testing.T, folder string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(folder)
	if err != nil {
		t.Fatal(err)
	}
	all := map[string]string{}
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			t.Fatal(err)
		}
		all[e.Name()] = string(text)
	}
	return all
}

// Text, summary, table and charts are the same bytes for any number of workers.
func TestSameBytes(t *testing.T) {
	var texts []string
	var files []map[string]string
	for _, workers := range []string{"1", "8"} {
		out := t.TempDir()
		code, stdout, stderr := call("claim", "test", "hands-as-wide-as-they-go", "--n", "9000", "--max-n", "9000", "--assumption-draws", "128", "--workers", workers, "--out", out)
		if code != exitDone {
			t.Fatal(stderr)
		}
		texts, files = append(texts, stdout), append(files, contents(t, out))
	}
	if texts[0] != texts[1] {
		t.Error("the text depends on the workers")
	}
	if len(files[0]) < 22 || len(files[0]) != len(files[1]) {
		t.Fatalf("%d and %d files", len(files[0]), len(files[1]))
	}
	for name, content := range files[0] {
		if content != files[1][name] {
			t.Errorf("%s depends on the workers", name)
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
	r, err := table.Open(filepath.Join(out, "bodies.parquet"))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
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
		r, err := table.Open(filepath.Join(out, name))
		if err != nil {
			t.Fatal(err)
		}
		defer r.Close()
		values, err := r.ReadFloat32(column)
		if err != nil {
			t.Fatal(err)
		}
		return values
	}
	claimed, drawn := read("bodies.parquet", "stature_m"), read("people.parquet", "stature_m")
	for i := range drawn {
		if drawn[i] != claimed[i] {
			t.Fatalf("man %d is %g m tall when drawn and %g m in the claim", i, drawn[i], claimed[i])
		}
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
