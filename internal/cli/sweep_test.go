package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/sweep"
	"counterpoise/internal/golden"
	"counterpoise/internal/outcome"
	"counterpoise/internal/table"
)

// goodSweep is a sweep of 36 points over every kind of axis.
const goodSweep = `sweep: arms-by-legs
hold: human-flag
model: two-condition
demands: [required_force, best_angle]
axes:
  people: [ansur2-men, ansur2-women]
  legs: [together, straddle 35 deg, tuck]
  change.arm_length: -4 cm..6 cm by 2 cm
`

func sweepFile(t *testing.T, folder, more string) string {
	t.Helper()
	path := filepath.Join(folder, "sweep.yaml")
	golden.OK(t, os.WriteFile(path, []byte(goodSweep+more), 0o600))
	return path
}

func compareFolders(t *testing.T, what string, got, want map[string]string) {
	t.Helper()
	for name, text := range want {
		if got[name] != text {
			t.Errorf("%s: %s differs or is missing", what, name)
		}
	}
	for name := range got {
		if _, ok := want[name]; !ok {
			t.Errorf("%s: %s is there as well", what, name)
		}
	}
}

// The files are the same bytes for any number of workers, in shards, with parts
// damaged or lost on the way, and where they replace those of an earlier sweep.
func TestSameSweep(t *testing.T) {
	folder := t.TempDir()
	file := sweepFile(t, folder, "n: 9000\nbodies: yes\n")
	whole := filepath.Join(folder, "whole")
	run := func(args ...string) string { t.Helper(); return succeeds(t, args...) }
	text := run("sweep", file, "--out", whole, "--workers", "1")
	want := golden.Files(t, whole)
	for _, name := range []string{"summary.json", "sweep.parquet", "bodies.parquet"} {
		if want[name] == "" {
			t.Errorf("there is no %s", name)
		}
	}
	if again := run("sweep", file, "--out", whole, "--workers", "8"); again != text {
		t.Error("the text depends on the workers")
	}
	compareFolders(t, "8 workers", golden.Files(t, whole), want)
	if again := run("sweep", file); again != text {
		t.Error("the text depends on whether there are files")
	}

	shards := filepath.Join(folder, "shards")
	for _, k := range []int{3, 1, 2, 5, 4} {
		run("sweep", file, "--out", shards, "--shard", fmt.Sprintf("%d/5", k))
	}
	kept := filepath.Join(shards, sweep.PartsFolder)
	tasks, err := sweep.KeptTasks(kept)
	if err != nil || len(tasks) < 10 {
		t.Fatalf("%d tasks, %v", len(tasks), err)
	}
	// A part that is damaged is found by its checksum: gather names it, and its shard
	// computes it again.
	damaged := sweep.PartPath(kept, tasks[3])
	flip(t, damaged)
	code, stdout, stderr := call("gather", shards)
	if wantLine := "counterpoise: " + damaged + ": is damaged: its checksum does not match\n"; code != console.ExitUsage || stdout != "" || stderr != wantLine {
		t.Errorf("code %d, stdout %q, stderr %q, want %q", code, stdout, stderr, wantLine)
	}
	code, _, stderr = call("sweep", file, "--out", shards, "--shard", "1/1")
	if wantLine := "counterpoise: " + damaged + ": is damaged: its checksum does not match; it is computed again\n"; code != console.ExitDone || stderr != wantLine {
		t.Errorf("code %d, stderr %q, want %q", code, stderr, wantLine)
	}
	// Parts that are missing are named.
	for _, task := range []int{0, 5, 6, len(tasks) - 1} {
		golden.OK(t, os.Remove(sweep.PartPath(kept, task)))
	}
	code, _, stderr = call("gather", shards)
	if wantLine := fmt.Sprintf("of %d tasks these are missing: 0, 5-6, %d; run their shards", len(tasks), len(tasks)-1); code != console.ExitUsage || !strings.Contains(stderr, wantLine) || strings.Count(stderr, "\n") != 1 {
		t.Errorf("code %d, stderr %q, want %q", code, stderr, wantLine)
	}
	run("sweep", file, "--out", shards, "--shard", "2/2")
	run("sweep", file, "--out", shards, "--shard", "1/2")
	if gathered := run("gather", shards, "--workers", "3"); gathered != text {
		t.Error("the text of gather is another one")
	}
	compareFolders(t, "gathered", golden.Files(t, shards), want)

	// Every file can be repeated.
	for _, name := range []string{"sweep.parquet", "bodies.parquet", "summary.json"} {
		if said := run("repeat", filepath.Join(whole, name)); !strings.Contains(said, ": identical, byte for byte") {
			t.Errorf("%s: %s", name, said)
		}
	}
}

// The shards of a sweep over people of one's own, gathered without their file, give
// the bytes of one run; people who changed between two shards are told apart.
func TestShardsOfOwnPeople(t *testing.T) {
	folder := t.TempDir()
	women, men := clubFiles(t)
	file := filepath.Join(folder, "sweep.yaml")
	text := strings.NewReplacer("ansur2-women", women, "ansur2-men", men).Replace(goodSweep)
	golden.OK(t, os.WriteFile(file, []byte(text+"n: 5000\nbodies: yes\n"), 0o600))
	run := func(args ...string) string { t.Helper(); return succeeds(t, args...) }
	whole, shards, mixed := filepath.Join(folder, "whole"), filepath.Join(folder, "shards"), filepath.Join(folder, "mixed")
	said := run("sweep", file, "--out", whole)
	for _, k := range []string{"2/3", "1/3", "3/3"} {
		run("sweep", file, "--out", shards, "--shard", k)
	}
	run("sweep", file, "--out", mixed, "--shard", "1/2")
	data := golden.Must(os.ReadFile(women))(t)
	golden.OK(t, os.WriteFile(women, []byte(strings.Replace(string(data), "5 women", "five women", 1)), 0o600))
	code, _, stderr := call("sweep", file, "--out", mixed, "--shard", "2/2")
	if code != console.ExitUsage || !strings.Contains(stderr, "belongs to another study: the SHA-256 of the data set own/club-women.json is ") {
		t.Errorf("code %d, %s", code, stderr)
	}
	for _, path := range []string{women, men} {
		golden.OK(t, os.Remove(path))
	}
	if gathered := run("gather", shards); gathered != said {
		t.Error("the text of gather is another one")
	}
	compareFolders(t, "gathered", golden.Files(t, shards), golden.Files(t, whole))
	// Without the copy that the shards leave, gather says what is missing.
	golden.OK(t, os.Remove(filepath.Join(mixed, sweep.PartsFolder, "club-men.json")))
	if code, _, stderr := call("gather", mixed); code != console.ExitUsage || !strings.Contains(stderr, "club-men are your own people, but ") || strings.Count(stderr, "\n") != 1 {
		t.Errorf("code %d, %s", code, stderr)
	}
}

// flip changes one bit in the middle of a file.
func flip(t *testing.T, path string) {
	t.Helper()
	data := golden.Must(os.ReadFile(path))(t)
	data[len(data)*2/3] ^= 4
	golden.OK(t, os.WriteFile(path, data, 0o600))
}

// Parts of two studies in one folder are told apart, and by what.
func TestTwoStudiesInOneFolder(t *testing.T) {
	folder := t.TempDir()
	file := sweepFile(t, folder, "n: 500\n")
	a, b := filepath.Join(folder, "a"), filepath.Join(folder, "b")
	for _, args := range [][]string{
		{"--out", a, "--shard", "1/2"}, {"--out", b, "--shard", "2/2", "--seed", "8"},
	} {
		if code, _, stderr := call(append([]string{"sweep", file}, args...)...); code != console.ExitDone {
			t.Fatal(stderr)
		}
	}
	refused := func(want string, args ...string) {
		t.Helper()
		code, stdout, stderr := call(args...)
		if code != console.ExitUsage || stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, want) {
			t.Errorf("%v: code %d, stdout %q, stderr %q, want %q", args, code, stdout, stderr, want)
		}
	}
	refused("belongs to another study: the seed is 1 there, 8 here; choose another folder for --out", "sweep", file, "--out", a, "--seed", "8")
	refused("belongs to another study: the study's n is 500 there, 400 here", "sweep", file, "--out", a, "--n", "400")
	tasks, err := sweep.KeptTasks(filepath.Join(b, sweep.PartsFolder))
	if err != nil || len(tasks) == 0 {
		t.Fatal(tasks, err)
	}
	for _, task := range tasks {
		golden.OK(t, os.Rename(sweep.PartPath(filepath.Join(b, sweep.PartsFolder), task), sweep.PartPath(filepath.Join(a, sweep.PartsFolder), task)))
	}
	refused("belongs to another study: the seed is 8 there, 1 here", "gather", a)
}

// The same numbers stand in every format, and the table has a row for every point
// and statistic.
func TestSweepFormats(t *testing.T) {
	folder := t.TempDir()
	file := sweepFile(t, folder, "n: 500\nquantiles: [0.05, 0.5, 0.975]\n")
	for _, format := range sweep.TableFormats {
		if code, _, stderr := call("sweep", file, "--out", filepath.Join(folder, format), "--format", format); code != console.ExitDone {
			t.Fatal(stderr)
		}
	}
	r := openTable(t, filepath.Join(folder, "parquet", "sweep.parquet"))
	if want := int64(36 * 5); r.Rows() != want {
		t.Errorf("%d rows, want %d", r.Rows(), want)
	}
	var names []string
	for _, c := range r.Columns() {
		names = append(names, c.Name)
	}
	if want := []string{"point", "people", "legs", "change_arm_length_m", "bodies_count", "possible_count", "statistic", "required_force_bw", "best_angle_deg"}; !slices.Equal(names, want) {
		t.Errorf("columns %v, want %v", names, want)
	}
	statistics := columnOf(t, r, "statistic", func(b *table.Block) [][]string { return b.Text })
	if want := []string{"mean", "sd", "p5", "p50", "p97.5"}; !slices.Equal(statistics[175:], want) {
		t.Errorf("statistics %v, want %v", statistics[175:], want)
	}
	var csv strings.Builder
	golden.OK(t, table.WriteCSV(&csv, r))
	if golden.Files(t, filepath.Join(folder, "csv"))["sweep.csv"] != csv.String() {
		t.Error("CSV and Parquet hold different rows")
	}
	if !strings.HasPrefix(golden.Files(t, filepath.Join(folder, "arrow"))["sweep.arrow"], "ARROW1") {
		t.Error("sweep.arrow is no Arrow file")
	}
}

// What a sweep says of a point is what a claim says of the same bodies after the
// same change.
func TestSweepAgreesWithClaim(t *testing.T) {
	folder := t.TempDir()
	path := filepath.Join(folder, "claim.yaml")
	text := "claim: a\nsays: A.\nhold: human-flag\npeople: ansur2-women\nlegs: straddle 35 deg\nchange: {arm_length: +6 cm}\nquantity: required_force\nexpect: increase\nmatters: 1 %\nmodels: equilibrium\n"
	golden.OK(t, os.WriteFile(path, []byte(text), 0o600))
	_, stdout, stderr := call("claim", "test", path, "--n", "9000", "--assumption-draws", "0", "--json")
	var summary struct {
		Models []struct {
			Pooled struct {
				Quantity struct{ Changed outcome.Summary }
			}
		}
	}
	if err := json.Unmarshal([]byte(stdout), &summary); err != nil {
		t.Fatal(err, stderr)
	}
	out := filepath.Join(folder, "out")
	points := filepath.Join(folder, "points.yaml")
	golden.OK(t, os.WriteFile(points, []byte(strings.Replace(goodSweep, "two-condition", "equilibrium", 1)+"n: 9000\n"), 0o600))
	if code, _, stderr := call("sweep", points, "--out", out); code != console.ExitDone {
		t.Fatal(stderr)
	}
	r := openTable(t, filepath.Join(out, "sweep.parquet"))
	force := columnOf(t, r, "required_force_bw", floats)
	// Point 1·18 + 1·6 + 5: women, straddle, +6 cm; statistics mean, sd, p5, p50, p95.
	at := 29 * 5
	want := summary.Models[0].Pooled.Quantity.Changed
	for _, c := range []struct {
		name string
		got  float32
		want float64
	}{{"mean", force[at], *want.Mean}, {"p5", force[at+2], *want.P5}, {"p50", force[at+3], *want.P50}, {"p95", force[at+4], *want.P95}} {
		// The mean is summed up in another order.
		if d := float64(c.got)/c.want - 1; d > 1e-7 || d < -1e-7 {
			t.Errorf("%s: %v, the claim has %v", c.name, c.got, c.want)
		}
	}
}

func TestBadSweeps(t *testing.T) {
	folder := t.TempDir()
	file := sweepFile(t, folder, "")
	for _, c := range []struct {
		code int
		want string
		args []string
	}{
		{2, `--shard: "65/64": shard 65 is out of range, allowed: 1/64 to 64/64`, []string{"sweep", file, "--shard", "65/64"}},
		{2, `--shard: "0/4": shard 0 is out of range, allowed: 1/4 to 4/4`, []string{"sweep", file, "--shard", "0/4"}},
		{2, `--shard: "3" is not a shard; write its number and how many there are, as in 3/64`, []string{"sweep", file, "--shard", "3"}},
		{2, `--shard: "1/0": there may be 1 to 1000000 shards`, []string{"sweep", file, "--shard", "1/0"}},
		{2, "--shard: the parts need a folder that all shards share, name it with --out", []string{"sweep", file, "--shard", "1/4"}},
		{2, `--format: unknown format "parket" (did you mean parquet?); known: parquet, csv, arrow`, []string{"sweep", file, "--format", "parket"}},
		{2, "--n: found 0, allowed: 1 to 1000000000", []string{"sweep", file, "--n", "0"}},
		{2, "--workers: found -1, allowed: 0 to 1024", []string{"sweep", file, "--workers", "-1"}},
		{2, filepath.Join(folder, "none.yaml") + ": no such file or directory", []string{"sweep", filepath.Join(folder, "none.yaml")}},
		{2, filepath.Join(folder, "none") + ": no such file or directory", []string{"gather", filepath.Join(folder, "none")}},
		{2, folder + ": holds no parts of a sweep", []string{"gather", folder}},
		{2, filepath.Join(folder, "none") + ": no such file or directory", []string{"repeat", filepath.Join(folder, "none")}},
		{2, file + ": holds no provenance: a Parquet table, a page or the JSON of this program is needed", []string{"repeat", file}},
	} {
		code, stdout, stderr := call(c.args...)
		if code != c.code || stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, c.want) {
			t.Errorf("%v: code %d, stdout %.80q, stderr %q, want %q", c.args, code, stdout, stderr, c.want)
		}
	}
}

// A difference is found, and so is the reason.
func TestRepeatFindsDifferences(t *testing.T) {
	folder := t.TempDir()
	out := filepath.Join(folder, "out")
	runs(t, "claim", "test", "longer-arms", "--n", "3000", "--assumption-draws", "0", "--out", out)
	summary := filepath.Join(out, "summary.json")
	text := golden.Must(os.ReadFile(summary))(t)
	for _, c := range []struct{ name, old, next, difference, why string }{
		{"as it is", "", "", "", ""},
		{"value", `"drawing_error": `, `"drawing_error": 1`, "first difference: models[0].", "the file was altered"},
		{"version", `"version": "`, `"version": "v9.`, "first difference: the same values", "why: the version is counterpoise v9."},
		{"data", `"people/ansur2-men.json": "`, `"people/ansur2-men.json": "00`, "first difference: the same values", "why: the SHA-256 of the data set people/ansur2-men.json is 00"},
	} {
		changed := strings.Replace(string(text), c.old, c.next, 1)
		if c.old != "" && changed == string(text) {
			t.Fatalf("%s: the summary has no %s", c.name, c.old)
		}
		path := filepath.Join(folder, c.name+".json")
		golden.OK(t, os.WriteFile(path, []byte(changed), 0o600))
		code, stdout, stderr := call("repeat", path)
		if c.difference == "" {
			if code != console.ExitDone || !strings.Contains(stdout, "identical") {
				t.Errorf("%s: code %d, %s%s", c.name, code, stdout, stderr)
			}
			continue
		}
		if code != console.ExitFailed || !strings.Contains(stdout, c.difference) || !strings.Contains(stdout, c.why) || stderr != "counterpoise: the repeat differs from the file\n" {
			t.Errorf("%s: code %d, stdout %q, stderr %q", c.name, code, stdout, stderr)
		}
	}
	if code, stdout, stderr := call("repeat", filepath.Join(out, "bodies.parquet")); code != console.ExitDone {
		t.Errorf("code %d, %s%s", code, stdout, stderr)
	}
}
