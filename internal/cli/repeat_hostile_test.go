package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
	"counterpoise/internal/provenance"
	"counterpoise/internal/table"
	"counterpoise/sim/plain"
)

// summaries makes one small summary of each kind that carries a study.
func summaries(t *testing.T) map[string][]byte {
	t.Helper()
	home := t.TempDir()
	write := golden.Writer(t, home)
	sweep := write("sweep.yaml", "sweep: small\nhold: human-flag\npeople: us-men\ndemands: required_force\naxes: {change.arm_length: [0 cm, 5 cm]}\nn: 50\n")
	ada := write("ada.yaml", "person: Ada\nsex: female\nstature: 168 cm\n")
	of := map[string][]byte{}
	for kind, args := range map[string][]string{
		"claim":     {"claim", "test", "longer-arms", "--n", "100", "--assumption-draws", "0", "--json"},
		"sweep":     {"sweep", sweep, "--json"},
		"readiness": {"readiness", ada, "--n", "1000", "--json"},
		"drivers":   {"drivers", "--hold", "human-flag", "--of", "required_force", "--n", "64", "--people", "us-men", "--models", "two-condition", "--assumption-draws", "128", "--screen", "--until", "0", "--json"},
		"untrained": {"hold", "untrained", "human-flag", "--json"},
	} {
		of[kind] = []byte(succeeds(t, args...))
		if said := succeeds(t, "repeat", write(kind, string(of[kind]))); !strings.Contains(said, "identical") {
			t.Fatalf("%s: %s", kind, said)
		}
	}
	return of
}

// forge replaces what stands at a path of JSON, or adds it.
func forge(t *testing.T, text []byte, path, value string) []byte {
	t.Helper()
	var tree any
	golden.OK(t, json.Unmarshal(text, &tree))
	at := tree
	keys := strings.Split(path, ".")
	for _, key := range keys[:len(keys)-1] {
		if list, ok := at.([]any); ok {
			at = list[0]
			continue
		}
		at = at.(map[string]any)[key]
	}
	at.(map[string]any)[keys[len(keys)-1]] = json.RawMessage(value)
	forged, err := json.MarshalIndent(tree, "", "  ")
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return append(forged, '\n')
}

// A file whose study was altered is refused in one line where this program would refuse
// the study, with little memory, and otherwise run and truthfully found to differ.
func TestRepeatOfForgedStudies(t *testing.T) {
	whole := summaries(t)
	many := func(value string, n int) string {
		return "[" + strings.TrimSuffix(strings.Repeat(value+",", n), ",") + "]"
	}
	const refused, differs = console.ExitUsage, console.ExitFailed
	for _, c := range []struct {
		kind, path, value string
		code              int
	}{
		{"claim", "study.n", "1000000000000000000", refused},
		{"claim", "study.n", "-1", refused},
		{"claim", "study.n", "2.5", refused},
		{"claim", "study.n", "1e300", refused},
		{"claim", "study.n", `"100"`, refused},
		{"claim", "study.n", "101", differs},
		{"claim", "study.assumption_draws", "1000000000000000000", refused},
		{"claim", "study.assumption_draws", "-1", refused},
		{"claim", "study.assumption_draws", "3", refused},
		{"claim", "study.for_whom", `["nobody"]`, refused},
		{"claim", "study.for_whom", many(`"us-men"`, 10000), refused},
		{"claim", "study.quantity", `"strength"`, refused},
		{"claim", "study.unknown", "1", refused},
		{"claim", "study.claim.claim", `"../../elsewhere"`, refused},
		{"claim", "study.claim.claim", `"NUL"`, refused},
		{"claim", "study.claim.claim", `""`, refused},
		{"claim", "study.claim.claim", `"\u001b[31mred"`, refused},
		{"claim", "study.claim.claim", `"another"`, differs},
		{"claim", "study.claim.says", `"\u202esmra regnoL"`, refused},
		{"claim", "study.claim.says", `"` + strings.Repeat("x", 1<<20) + `"`, refused},
		{"claim", "study.claim.hold", `"no-such-hold"`, refused},
		{"claim", "study.claim.hold", `{"name": "x", "sha256": "00", "text": "hold: x"}`, refused},
		{"claim", "study.claim.people", `[{"population": "us-women", "weight": 1}]`, differs},
		{"claim", "study.claim.people.0.population", `"\u001b]0;title\u0007"`, refused},
		{"claim", "study.claim.people.0.weight", "-1", refused},
		{"claim", "study.claim.share", "0.2", refused},
		{"claim", "study.claim.models", "[]", refused},
		{"claim", "study.claim.load", `{"ankles": 800}`, refused},
		{"claim", "study.claim.change.body", `{"arm_length": {"metres": 50}}`, refused},
		{"claim", "study.claim.change.body", `{"wings": {"metres": 0.1}}`, refused},
		{"claim", "study", "[]", refused},
		{"claim", "study", "null", refused},
		{"claim", "study", "{}", refused},
		{"claim", "seed", "1", refused},
		{"claim", "seed", `"-1"`, refused},
		{"claim", "seed", `"2"`, differs},
		{"claim", "tool", `"another"`, refused},
		{"claim", "version", `"\u001b[2J"`, refused},
		{"claim", "version", `"v0.0.1"`, differs},
		{"claim", "data", `{"\u009b2J": "00"}`, refused},
		{"claim", "data", `{"people/us-men.json": "00"}`, differs},
		{"claim", "assumptions", "{}", refused},
		{"claim", "assumptions.grip_reach", "5", refused},
		{"claim", "assumptions.grip_reach", `"wide"`, refused},
		{"claim", "assumptions.luck", "1", refused},
		{"sweep", "study.n", "1000000000000000000", refused},
		{"sweep", "study.points", "7", differs},
		{"sweep", "study.quantiles", many("0.5", 100000), refused},
		{"sweep", "study.sweep", `"\u2066small"`, refused},
		{"sweep", "study.axes", "[]", refused},
		{"readiness", "study.persons", "[]", refused},
		{"readiness", "study.persons.0.person", `"\u202eadA"`, refused},
		{"readiness", "study.persons.0.person", `"` + strings.Repeat("x", 1000) + `"`, refused},
		{"readiness", "study.persons.0.sex", `"neither"`, refused},
		{"readiness", "study.persons.0.known.stature", `{"value": -1}`, refused},
		{"readiness", "study.persons.0.known.stature", `{"value": 1.68, "error": 5}`, refused},
		{"readiness", "study.persons.0.known.stature", `{"value": 50}`, refused},
		{"readiness", "study.persons.0.known.stature", `{"value": 1.67}`, differs},
		{"readiness", "study.persons.0.load", `{"ankles": 800}`, refused},
		{"readiness", "study.flags", `{"out": ["/tmp/elsewhere"]}`, refused},
		{"readiness", "study.n", "1000000000000000000", refused},
		{"readiness", "study.models", `["luck"]`, refused},
		{"readiness", "study.regional_masses", `"none"`, refused},
		{"readiness", "study.persons", many(`{}`, 1000), refused},
		{"readiness", "study.command", `"remove"`, refused},
		{"readiness", "study.n", "-1", refused},
		{"drivers", "study.n", "-64", refused},
		{"drivers", "study.n", "1152921504606846976", refused},
		{"drivers", "study.until", "1e-300", refused},
		{"drivers", "study.assumption_draws", "1099511627776", refused},
		{"drivers", "study.max_evaluations", "-1", refused},
		{"drivers", "study.models", `["luck"]`, refused},
		{"drivers", "study.people", `["/etc/passwd"]`, refused},
		{"drivers", "study.analyses.sobol", `"luck"`, refused},
		{"drivers", "study.analyses.along", `"luck"`, refused},
		{"drivers", "study.analyses.working_share", "7", refused},
		{"untrained", "study.people", "[]", refused},
		{"untrained", "study.people", many(`"us-men"`, 1000), refused},
		{"untrained", "study.holds", many(`"human-flag"`, 1000), refused},
		{"untrained", "study.load", `{"ankles": 800}`, refused},
	} {
		name := fmt.Sprintf("%s %s %.30s", c.kind, c.path, c.value)
		repeatForged(t, name, forge(t, whole[c.kind], "provenance."+c.path, c.value), c.code)
	}

	// What encoding/json would not write.
	text := string(whole["claim"])
	deep := func(n int) string { return strings.Repeat("[", n) + strings.Repeat("]", n) }
	for name, forged := range map[string]string{
		"a key twice":        strings.Replace(text, `"tool":`, `"tool": "counterpoise", "tool":`, 1),
		"no number":          strings.Replace(text, `"assumptions": {`, `"assumptions": {"luck": NaN,`, 1),
		"many brackets":      strings.Replace(text, `"study": {`, `"study": {"deep":`+deep(5000)+",", 1),
		"very many brackets": strings.Replace(text, `"study": {`, `"study": {"deep":`+deep(1<<20)+",", 1),
		"cut short":          text[:len(text)-100],
		"continued":          text + "{}",
		"no UTF-8":           strings.ReplaceAll(text, `"counterpoise"`, "\"counterpoise\x9b\""),
		"an empty file":      "",
		"another text":       "hello",
		"half a page":        "<!doctype html>",
		"half a table":       "PAR1",
	} {
		if forged == text {
			t.Errorf("%s: nothing was altered", name)
		}
		repeatForged(t, name, []byte(forged), refused)
	}
}

// repeatForged repeats a file that must end with a code and say so in plain words.
func repeatForged(t *testing.T, name string, forged []byte, want int) {
	t.Helper()
	file := filepath.Join(t.TempDir(), "summary.json")
	golden.OK(t, os.WriteFile(file, forged, 0o666))
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	code, stdout, stderr := call("repeat", file)
	runtime.ReadMemStats(&after)
	said := stdout + stderr
	if code != want || strings.Contains(said, "identical") || strings.Contains(said, "written differently") || strings.ContainsFunc(said, plain.Obeyed) {
		t.Errorf("%s: code %d, want %d: %q", name, code, want, said)
	}
	if want != console.ExitUsage {
		return
	}
	if stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, file) || len(stderr) > 2000 {
		t.Errorf("%s: %q", name, said)
	}
	if used := after.TotalAlloc - before.TotalAlloc; used > 200<<20 {
		t.Errorf("%s: took %d MB", name, used>>20)
	}
}

// The metadata of tables are read as strictly as summaries, and a library is looked at
// beside its summaries too.
func TestRepeatOfForgedTablesAndLibraries(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	succeeds(t, "people", "draw", "us-men", "--n", "5", "--out", out)
	r := golden.Must(table.Open(filepath.Join(out, "people.parquet")))(t)
	pairs := r.Metadata()
	r.Close()
	for _, c := range [][2]string{
		{provenance.KeyVersion, "counterpoise \x1b[31m"},
		{provenance.KeyVersion, "another 1"},
		{provenance.KeyStudy, `{"people": "us-men", "n": 5, "n": 5}`},
		{provenance.KeyStudy, `{"people": "us-men", "n": 1000000000000}`},
		{provenance.KeyStudy, `{"people": "us-men", "n": -1}`},
		{provenance.KeyStudy, `{"people": "us-men", "n": 5, "where": ["bmi=30..20"]}`},
		{provenance.KeyStudy, `{"people": "\u202enem"}`},
		{provenance.KeyStudy, `{`},
		{provenance.KeyStudy, ``},
		{provenance.KeySeed, "x"},
		{provenance.KeyData, "[1]"},
		{provenance.KeyData, `{"a": "1", "a": "2"}`},
	} {
		file := filepath.Join(t.TempDir(), "people.parquet")
		changed := append([]provenance.KeyValue{}, pairs...)
		for i := range changed {
			if changed[i].Key == c[0] {
				changed[i].Value = c[1]
			}
		}
		w := golden.Must(table.Create(file, []table.Column{{Name: "x", Kind: table.Float32, Description: "x"}}, changed))(t)
		golden.OK(t, w.Write(&table.Block{Rows: 1, Float32: [][]float32{{1}}}))
		golden.OK(t, w.Close())
		forged := golden.Must(os.ReadFile(file))(t)
		repeatForged(t, strings.Join(c[:], " "), forged, console.ExitUsage)
	}

	library := []byte(succeeds(t, "claim", "test", "longer-arms", "longer-legs", "--n", "100", "--assumption-draws", "0", "--json"))
	repeatForged(t, "counts of a library", forge(t, library, "verdicts.supported", "99"), console.ExitFailed)
	repeatForged(t, "version of a library", forge(t, library, "version", `"v1"`), console.ExitFailed)
}
