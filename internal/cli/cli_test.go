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

	claims "counterpoise/internal/app/claim"
	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
	"counterpoise/internal/provenance"
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

// runs runs the program, which must get done, settled or not, and returns what it prints.
func runs(t *testing.T, args ...string) string {
	t.Helper()
	code, stdout, stderr := call(args...)
	if code != console.ExitDone && code != console.ExitUndecided {
		t.Fatalf("%v: code %d, %s", args, code, stderr)
	}
	return stdout
}

// succeeds runs the program, which must end well, and returns what it prints.
func succeeds(t *testing.T, args ...string) string {
	t.Helper()
	code, stdout, stderr := call(args...)
	if code != console.ExitDone {
		t.Fatalf("%v: exit code %d: %s", args, code, stderr)
	}
	return stdout
}

// openTable opens a table until the test ends.
func openTable(t *testing.T, path string) *table.Reader {
	t.Helper()
	r := golden.Must(table.Open(path))(t)
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
		{"not validated by measured forces", []string{"hold", "show", "human-flag", "--full"}},
		{"An average woman (", []string{"hold", "show", "human-flag"}},
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
		if code != console.ExitDone || !strings.Contains(stdout, c.want) || stderr != "" {
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
			if code != console.ExitDone || stderr != "" || strings.Count(stdout, console.ExitCodes) != 1 {
				t.Errorf("%v: code %d, stderr %q; the exit codes should stand once in %q", args, code, stderr, stdout)
			}
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk(newRoot(&console.Environment{Stdout: io.Discard, Stderr: io.Discard}))
	if seen < 30 {
		t.Errorf("only %d helps were seen", seen)
	}
}

// nobodys writes a claim about a posture that hardly anybody takes, and returns the
// arguments that test it so.
func nobodys(t *testing.T) []string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "nobody.yaml")
	text := "claim: nobody\nsays: Nobody.\nhold: planche\npeople: ansur2-women\ncontrast: {by: span/stature}\nquantity: lean_angle\nexpect: decrease\n"
	golden.OK(t, os.WriteFile(file, []byte(text), 0o666))
	return []string{file, "--assume", "pressure_reach=1", "--assume", "shoulder_drop=0.3", "--assume", "hip_drop=0.08", "--n", "400", "--assumption-draws", "0"}
}

// A verdict that is undecided is a result: it is printed, its files stay, and it has a
// code of its own.
func TestUndecidedHasItsOwnCode(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	code, stdout, stderr := call(append([]string{"claim", "test", "--out", out}, nobodys(t)...)...)
	if code != console.ExitUndecided || !strings.Contains(stdout, "NOT SETTLED: hardly any simulated body can do it") || stderr != "counterpoise: not settled: no simulated body can take the posture\n" {
		t.Errorf("code %d, stdout %.80q, stderr %q", code, stdout, stderr)
	}
	for _, name := range []string{"summary.json", claims.DrawsFile} {
		if _, err := os.Stat(filepath.Join(out, name)); err != nil {
			t.Error(err)
		}
	}
}

// The summary has the documented fields, and the table the rows it speaks of.
func TestSummaryAndTable(t *testing.T) {
	out := t.TempDir()
	code, stdout, stderr := call("claim", "test", "longer-arms", "--n", "5000", "--assumption-draws", "0", "--out", out, "--json")
	if code != console.ExitDone {
		t.Fatal(stderr)
	}
	var s map[string]any
	golden.OK(t, json.Unmarshal([]byte(stdout), &s))
	for _, field := range []string{"claim", "verdict", "n", "seed", "people", "models", "headline", "provenance", "cautions", "validation"} {
		if _, ok := s[field]; !ok {
			t.Errorf("the summary lacks %s", field)
		}
	}
	model := s["models"].([]any)[0].(map[string]any)
	for field, keys := range map[string][]string{
		"model": nil, "verdict": nil, "pooled": {}, "populations": nil,
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
	draws := model["pooled"].(map[string]any)["draws"].(map[string]any)
	for _, field := range []string{"n", "drawing_error", "survey_error"} {
		if _, ok := draws[field].(float64); !ok {
			t.Errorf("the draws lack the number %s", field)
		}
	}
	for _, field := range []string{"in_unit", "people_in_unit", "effect", "before", "after", "as_claimed", "too_small", "against"} {
		for _, key := range []string{"p5", "p50", "p95"} {
			if _, ok := draws[field].(map[string]any)[key].(float64); !ok {
				t.Errorf("%s of the draws lacks the number %s", field, key)
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
	if code, _, stderr := call("claim", "test", "longer-arms", "--n", "40", "--assumption-draws", "0", "--out", out); code == console.ExitFailed || code == console.ExitUsage {
		t.Fatal(stderr)
	}
	if code, _, stderr := call("people", "draw", "us-men", "--n", "20", "--out", filepath.Join(out, "people")); code != console.ExitDone {
		t.Fatal(stderr)
	}
	read := func(name, column string) []float32 {
		return columnOf(t, openTable(t, filepath.Join(out, name)), column, floats)
	}
	claimed, drawn := read("bodies.parquet", "stature_m"), read("people/people.parquet", "stature_m")
	for i := range drawn {
		if drawn[i] != claimed[i] {
			t.Fatalf("man %d is %g m tall when drawn and %g m in the claim", i, drawn[i], claimed[i])
		}
	}
}

// What a contrast's capacities are compared by is part of the study.
func TestSummaryOfAContrast(t *testing.T) {
	stdout := runs(t, "claim", "test", "tall-people", "--n", "3000", "--assumption-draws", "0", "--json")
	var s struct {
		Provenance struct {
			Study struct {
				Claim struct{ Contrast map[string]any }
			}
		}
	}
	golden.OK(t, json.Unmarshal([]byte(stdout), &s))
	contrast := s.Provenance.Study.Claim.Contrast
	if contrast["by"] != "stature" || contrast["share"] == nil {
		t.Errorf("the study of a contrast is kept as %v", contrast)
	}
}

// The first claim that the guide shows works as it stands there.
func TestClaimOfTheGuide(t *testing.T) {
	readme := golden.Must(os.ReadFile("../../cmd/counterpoise/README.md"))(t)
	_, rest, _ := strings.Cut(string(readme), "```yaml\n")
	text, _, found := strings.Cut(rest, "```")
	if !found {
		t.Fatal("the guide shows no claim")
	}
	file := filepath.Join(t.TempDir(), "my.yaml")
	golden.OK(t, os.WriteFile(file, []byte(text), 0o600))
	code, stdout, stderr := call("claim", "test", file, "--n", "5000", "--assumption-draws", "0", "--full", "--out", t.TempDir())
	if code != console.ExitDone || !strings.Contains(stdout, "span/stature at least 1") || strings.Contains(stdout, "Inf") {
		t.Errorf("code %d, stdout %s, stderr %s", code, stdout, stderr)
	}
}

// brokenWriter fails as a full disk does.
type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, os.ErrClosed }

func TestUnwritableOutput(t *testing.T) {
	for _, args := range [][]string{{"claim", "list"}, {"people", "draw", "ansur2-men"}, {"data", "assumptions"}, {"hold", "show", "human-flag"}} {
		var stderr bytes.Buffer
		if code := Main(context.Background(), args, nil, brokenWriter{}, &stderr); code != console.ExitFailed || stderr.Len() == 0 {
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
			if code, _, stderr := call(append([]string{"docs", dir}, test.flags...)...); code != console.ExitDone {
				t.Fatalf("%d: %s", code, stderr)
			}
			files, err := os.ReadDir(dir)
			if err != nil {
				t.Fatal(err)
			}
			pages := 0
			err = eachCommand(newRoot(&console.Environment{}), func(c *cobra.Command) error {
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
			page := golden.Must(os.ReadFile(filepath.Join(dir, "counterpoise"+test.join+"claim"+test.join+"show"+test.extension)))(t)
			if !strings.Contains(string(page), test.example) {
				t.Errorf("no example in\n%s", page)
			}
		})
	}
	if code, _, _ := call("docs"); code != console.ExitUsage {
		t.Errorf("without a folder: exit code %d", code)
	}
}

const goodClaim = "claim: a\nsays: A.\nhold: human-flag\npeople: ansur2-men\nchange: {arm_length: +1 cm}\nexpect: increase\nmatters: 1 %\n"

// Every bad input is one clear line on standard error and code 2 (1 where a
// file or folder fails); nothing is printed and nothing is left in --out.
func TestBadInput(t *testing.T) {
	folder := t.TempDir()
	write := golden.Writer(t, folder)
	// file is a claim's file with one thing in it altered.
	file := func(name, old, next string) string {
		t.Helper()
		return write(name, altered(t, goodClaim, old, next))
	}
	inTheWay := write("in-the-way", "x")
	test := func(args ...string) []string { return append([]string{"claim", "test"}, args...) }
	arms := func(args ...string) []string { return test(append([]string{"longer-arms"}, args...)...) }
	draw := func(args ...string) []string { return append([]string{"people", "draw"}, args...) }

	for _, c := range []struct {
		code int
		want string
		args []string
	}{
		{2, `unknown command "clam" for "counterpoise" (did you mean claim?); known: claim, `, []string{"clam"}},
		{2, `unknown command "tset" for "counterpoise claim" (did you mean test?); known: list, show, test`, []string{"claim", "tset"}},
		{2, `unknown command "bsh" for "counterpoise completion" (did you mean bash?)`, []string{"completion", "bsh"}},
		{2, `unknown command "clam"`, []string{"help", "clam"}},
		{2, `unknown command "tset" for "counterpoise claim" (did you mean test?)`, []string{"help", "claim", "tset"}},
		{2, `version takes no arguments, found ["extra"]`, []string{"version", "extra"}},
		{2, `unknown command "assumption" for "counterpoise data"`, []string{"data", "assumption"}},
		{2, "unknown flag: --workrs (did you mean --workers?)", arms("--workrs", "3")},
		{2, "unknown shorthand flag: 'x' in -x", []string{"-x"}},
		{2, "flag needs an argument: --n", arms("--n")},
		{2, "a claim's name or file is needed, or --all", test()},
		{2, "longer-arms and longer-arms are both the claim longer-arms, capital letters or not: rename one", test("longer-arms", "longer-arms")},
		{2, "--all tests every shipped claim: leave the names out", test("longer-arms", "--all")},
		{2, `unknown claim "straddl" (did you mean straddle?)`, test("longer-arms", "straddl")},

		{2, `unknown claim "longer-arm" (did you mean longer-arms?); shipped: `, test("longer-arm")},
		{2, `unknown claim ""`, test("")},
		{2, `unknown claim "longer-arm" (did you mean longer-arms?)`, []string{"claim", "show", "longer-arm"}},
		{2, "./none.yaml: no such file or directory", test("./none.yaml")},
		{2, inTheWay + ":1: must be a mapping of fields, found a single value", test(inTheWay)},
		{2, "misspelt.yaml:5: change.arm_lenght: unknown field (did you mean arm_length?); allowed: ", test(file("misspelt.yaml", "arm_length", "arm_lenght"))},
		{2, `bare.yaml:5: change.arm_length: "+1": a length or a relative change needs its unit`, test(file("bare.yaml", "+1 cm", "+1"))},
		{2, "has 5.1 kg and cannot lose 60.0", test(file("lost.yaml", "arm_length: +1 cm", "lost_mass: {head: 60 kg}"))},
		{2, "0 of 1,000,064 people drawn from ansur2-men match bmi 90..95", test(file("rare.yaml", "people: ansur2-men", "people: {from: ansur2-men, where: {bmi: 90..95}}"))},

		{2, "--n: found 0, allowed: 1 to 1000000000", arms("--n", "0")},
		{2, "--n: found -5, allowed: 1 to 1000000000", arms("--n", "-5")},
		{2, `--n: "1.5" is not a whole number such as 100000 or 1e5`, arms("--n", "1.5")},
		{2, `--n: "abc" is not a whole number`, arms("--n", "abc")},
		{2, `--n: "" is not a whole number`, arms("--n", "")},
		{2, `--n: "NaN" is not a whole number`, arms("--n", "NaN")},
		{2, `--n: "Inf" is not a whole number`, arms("--n", "Inf")},
		{2, `--n: "1e15" is more than 1000000000`, arms("--n", "1e15")},
		{2, "--workers: found -1, allowed: 0 to 1024", arms("--workers", "-1")},
		{2, "--workers: found 5000, allowed: 0 to 1024", arms("--workers", "5000")},
		{2, `--workers: "two" is not a whole number`, arms("--workers", "two")},
		{2, "--assumption-draws: found 7, allowed: 256 and more, or 0 for none", arms("--assumption-draws", "7")},
		{2, "--assumption-draws: found -128, allowed: 0 to 1048576", arms("--assumption-draws", "-128")},
		{2, "--assumption-draws: found 2000000, allowed: 0 to 1048576", arms("--assumption-draws", "2e6")},
		{2, `--seed: "x" is not a whole number from 0 to 18446744073709551615`, arms("--seed", "x")},
		{2, `--seed: "-1" is not`, arms("--seed", "-1")},
		{2, `--seed: "18446744073709551616" is not`, arms("--seed", "18446744073709551616")},
		{2, `--json: "maybe" is neither true nor false`, arms("--json=maybe")},

		{2, "--people men: unknown name (did you mean us-men?); known: ", arms("--people", "men")},
		{2, "unknown flag: --threads (did you mean --workers?)", arms("--threads", "3")},
		{2, `unknown hold "flag" (did you mean human-flag or dragon-flag?); known: `, []string{"hold", "show", "flag"}},
		{2, "--people nobody: unknown name; known: ansur2-men, ansur2-women", arms("--people", "nobody")},
		{2, "--people ansur2-man: unknown name (did you mean ansur2-men?)", arms("--people", "ansur2-man")},
		{2, "--people: ansur2-men appears twice", arms("--people", "ansur2-men,ansur2-men")},
		{2, "--people: ansur2-men appears twice", arms("--people", "ansur2-men", "--people", "ansur2-men")},
		{2, "--people: a name is missing", arms("--people", "")},
		{2, "--people: a name is missing", arms("--people", "ansur2-men,")},
		{2, "--models equilibrum: unknown name (did you mean equilibrium?)", arms("--models", "equilibrum")},
		{2, "--models: equilibrium appears twice", arms("--models", "equilibrium,equilibrium")},
		{2, "quantity: human-flag under two-condition gives no shoulder_moment",
			test(file("moment.yaml", "expect:", "quantity: shoulder_moment\nexpect:"), "--models", "two-condition")},
		{2, "--regional-masses half: unknown name; known: table, residual, full", arms("--regional-masses", "half")},
		{2, "--regional-masses: full appears twice", arms("--regional-masses", "full, full")},
		{2, "--segments deleva-1997: unknown name (did you mean deleva-1996?)", arms("--segments", "deleva-1997")},
		{2, "--assume top_shares=0.4: unknown assumption (did you mean top_share?); known: ", arms("--assume", "top_shares=0.4")},
		{2, "--assume =0.4: unknown assumption; known: ", arms("--assume", "=0.4")},
		{2, "--assume top_share: write name=value or name=low..high", arms("--assume", "top_share")},
		{2, `--assume top_share=: "" is not a number`, arms("--assume", "top_share=")},
		{2, "--assume: assumption top_share: 7 is not allowed, it must lie in 0..1 (share of body weight)", arms("--assume", "top_share=7")},
		{2, "--assume top_share=0.6..0.4: the low end of the range is above its high end", arms("--assume", "top_share=0.6..0.4")},
		{2, "--assume top_share=0.4..: a range of an assumption needs both ends", arms("--assume", "top_share=0.4..")},
		{2, "--assume top_share=0.6: top_share appears twice", arms("--assume", "top_share=0.4", "--assume", "top_share=0.6")},
		{2, `--assume top_share=NaN: "NaN" is not a number`, arms("--assume", "top_share=NaN")},
		{2, `--assume top_share=Inf: "Inf" is not a number`, arms("--assume", "top_share=Inf")},

		{2, "--out: a folder is needed, found an empty name", arms("--out", "")},
		{1, "--out " + inTheWay + ": not a directory", arms("--out", inTheWay)},
		{1, "--out " + inTheWay + "/below: not a directory", arms("--out", inTheWay+"/below")},
		{1, "--out /proc/nope: no such file or directory", arms("--out", "/proc/nope")},

		{2, `unknown people "nobody"; known: ansur2-men, ansur2-women`, draw("nobody")},
		{2, `unknown people "ansur-men" (did you mean ansur2-men?)`, []string{"people", "show", "ansur-men"}},
		{2, "--n: found 0", draw("ansur2-men", "--n", "0")},
		{2, "--workers: found -2", draw("ansur2-men", "--workers", "-2")},
		{2, `--where bmi: write it as in "bmi=18.5..27"`, draw("ansur2-men", "--where", "bmi")},
		{2, "--where bmu=18..27: unknown quantity \"bmu\" (did you mean bmi?); allowed: ", draw("ansur2-men", "--where", "bmu=18..27")},
		{2, `--where stature=160..175: "160..175": a length needs its unit`, draw("ansur2-men", "--where", "stature=160..175")},
		{2, "0 of 1,000,064 people drawn from ansur2-men match bmi 90..95", draw("ansur2-men", "--where", "bmi=90..95")},
		{1, "--out /proc/nope: no such file or directory", draw("ansur2-men", "--out", "/proc/nope")},
		{2, `unknown hold "human-flog" (did you mean human-flag?)`, []string{"hold", "show", "human-flog"}},
	} {
		args := c.args
		out := filepath.Join(t.TempDir(), "new", "out")
		if (slices.Equal(args[:1], []string{"claim"}) && len(args) > 1 && args[1] == "test" || args[0] == "people" && args[1] == "draw") &&
			!slices.Contains(args, "--out") {
			args = append(args[:2:2], append([]string{"--out", out}, args[2:]...)...)
		}
		code, stdout, stderr := call(args...)
		if code != c.code || stdout != "" || strings.Count(stderr, "\n") != 1 ||
			!strings.HasPrefix(stderr, "counterpoise: ") || !strings.Contains(stderr, c.want) {
			t.Errorf("%v:\n got code %d, stdout %q, stderr %s\nwant code %d and one line with %s", c.args, code, stdout, stderr, c.code, c.want)
		}
		if _, err := os.Stat(filepath.Dir(out)); err == nil {
			t.Errorf("%v: %s was made and left", c.args, out)
		}
	}
	if text, err := os.ReadFile(inTheWay); err != nil || string(text) != "x" {
		t.Error("a file in the way of --out was touched")
	}
}

// A file with several faults gets one line for each.
func TestAllFaultsOfAFile(t *testing.T) {
	file := filepath.Join(t.TempDir(), "two.yaml")
	text := strings.NewReplacer("+1 cm", "+1", "increase", "more").Replace(goodClaim)
	golden.OK(t, os.WriteFile(file, []byte(text), 0o600))
	code, stdout, stderr := call("claim", "test", file)
	want := "counterpoise: " + file + `:5: change.arm_length: "+1": a length or a relative change needs its unit: write "172 cm" or "5 ft 8 in" or "+5 %"
counterpoise: ` + file + `:6: expect: unknown name "more" (did you mean increase?); allowed: increase, decrease, none
`
	if code != console.ExitUsage || stdout != "" || stderr != want {
		t.Errorf("code %d, stdout %q, stderr %s\nwant %s", code, stdout, stderr, want)
	}
}

// What person, readiness and drivers write can be repeated from what it says of
// itself alone, and a number altered in it is found.
func TestCommandsRepeat(t *testing.T) {
	folder := t.TempDir()
	run := func(args ...string) string { t.Helper(); return succeeds(t, args...) }
	club := filepath.Join("..", "..", "testdata", "demo", "club-night")
	people, drivers, ready := filepath.Join(folder, "people"), filepath.Join(folder, "drivers"), filepath.Join(folder, "ready.json")
	run("person", club, "--n", "1000", "--assume", "top_share=0.45", "--workers", "1", "--out", people)
	run("drivers", "--hold", "human-flag", "--of", "required_force", "--people", "ansur2-women", "--models", "two-condition",
		"--where", "bmi=18.5..30", "--assume", "strength_by_mass=0", "--assume", "grip_reach=0.5..0.6", "--until", "0.05", "--out", drivers)
	golden.OK(t, os.WriteFile(ready, []byte(run("readiness", filepath.Join(club, "cheng.yaml"), "--n", "1000", "--seed", "7", "--json")), 0o666))
	tables, err := filepath.Glob(filepath.Join(drivers, "*.parquet"))
	if err != nil || len(tables) == 0 {
		t.Fatalf("tables of drivers: %v, %v", tables, err)
	}
	for _, file := range append(tables, ready, filepath.Join(drivers, "summary.json"), filepath.Join(people, "summary.json"), filepath.Join(people, "cheng", "draws.parquet")) {
		if said := run("repeat", file); !strings.Contains(said, ": identical, byte for byte") {
			t.Errorf("%s: %s", file, said)
		}
	}
	text := golden.Must(os.ReadFile(ready))(t)
	altered := strings.Replace(string(text), `"Cheng"`, `"Chang"`, 1)
	golden.OK(t, os.WriteFile(ready, []byte(altered), 0o666))
	if code, stdout, _ := call("repeat", ready); code != console.ExitFailed || !strings.Contains(stdout, "Chang") {
		t.Errorf("an altered name: exit code %d, %s", code, stdout)
	}
}

// A summary is the same bytes whatever units its text is in, also where a note
// speaks of lengths, and so is its repeat.
func TestSummariesAreMetric(t *testing.T) {
	folder := t.TempDir()
	tall := filepath.Join(folder, "tall.yaml")
	golden.OK(t, os.WriteFile(tall, []byte("person: Tall\nsex: female\nstature: 190 cm\ntests: {one_arm_hang: {held: 20 s}}\n"), 0o600))
	for _, command := range []string{"person", "readiness"} {
		_, metric, _ := call(command, tall, "--n", "1000", "--json")
		code, imperial, stderr := call(command, tall, "--n", "1000", "--json", "--units", "imperial")
		if code != console.ExitDone || !strings.Contains(metric, "rare, check it: stature 190.0 cm") || imperial != metric {
			t.Errorf("%s: code %d, %s; the summary depends on the units, or has no note", command, code, stderr)
		}
		file := filepath.Join(folder, command+".json")
		golden.OK(t, os.WriteFile(file, []byte(imperial), 0o600))
		if code, said, stderr := call("repeat", file); code != console.ExitDone || !strings.Contains(said, ": identical, byte for byte") {
			t.Errorf("%s: code %d, %s%s", command, code, said, stderr)
		}
		if _, text, _ := call(command, tall, "--n", "1000", "--units", "imperial"); !strings.Contains(text, "rare, check it: stature 6 ft 2") {
			t.Errorf("%s: the text's note is not in feet and inches: %s", command, text)
		}
	}
}

// A file cannot make repeat do anything but its study: a part of it that is not known is
// refused, whatever it names.
func TestStudiesThatNoFileMayBring(t *testing.T) {
	folder := t.TempDir()
	_, summary, stderr := call(driversArgs("--worth", "--json")...)
	var tree map[string]any
	if err := json.Unmarshal([]byte(summary), &tree); err != nil {
		t.Fatal(err, stderr)
	}
	study := tree["provenance"].(map[string]any)["study"].(map[string]any)
	target := filepath.Join(folder, "target")
	for _, name := range []string{"flags", "out", "person", "workers"} {
		study[name] = map[string]any{"out": []string{target}}
		text := golden.Must(provenance.CanonicalJSON(tree))(t)
		delete(study, name)
		file := filepath.Join(folder, "summary.json")
		golden.OK(t, os.WriteFile(file, text, 0o600))
		before := golden.Files(t, folder)
		code, stdout, stderr := call("repeat", file)
		if want := `unknown field "` + name + `"`; code != console.ExitUsage || stdout != "" || !strings.Contains(stderr, want) || strings.Count(stderr, "\n") != 1 {
			t.Errorf("code %d, stdout %q, stderr %q, want %q", code, stdout, stderr, want)
		}
		compareFolders(t, "after repeat", golden.Files(t, folder), before)
	}
}
