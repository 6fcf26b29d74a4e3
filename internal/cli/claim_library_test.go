package cli

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/internal/app/claim"
	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/golden"
	pages "counterpoise/internal/page"
	"counterpoise/sim/anthro"
)

func mustRead(t *testing.T, path ...string) []byte {
	t.Helper()
	return golden.Must(os.ReadFile(filepath.Join(path...)))(t)
}

// Several claims make a library: a folder a claim, and a page and a summary of all.
func TestLibraryOfClaims(t *testing.T) {
	out := t.TempDir()
	args := []string{"claim", "test", "straddle", "cross-reach", "l-sit-longer-arms", "--n", "3000", "--assumption-draws", "0"}
	code, stdout, stderr := call(append(args, "--out", out)...)
	if code != console.ExitDone {
		t.Fatalf("code %d, stderr %s", code, stderr)
	}
	last := -1
	for _, words := range []string{"human-flag\n", "straddle", "iron-cross\n", "cross-reach", "l-sit\n", "l-sit-longer-arms", "exactly no effect", "3 claims: "} {
		at := strings.Index(stdout, words)
		if at <= last {
			t.Errorf("%q is missing, or before what comes first, in\n%s", words, stdout)
		}
		last = at
	}
	code, text, stderr := call(append(args, "--json")...)
	if code != console.ExitDone || text != string(mustRead(t, out, claim.SummaryOfLibrary)) {
		t.Errorf("%s is not what --json prints (code %d, %s)", claim.SummaryOfLibrary, code, stderr)
	}
	var library struct {
		Verdicts map[string]int    `json:"verdicts"`
		Claims   []json.RawMessage `json:"claims"`
	}
	if err := json.Unmarshal([]byte(text), &library); err != nil || len(library.Claims) != 3 || library.Verdicts["exactly no effect"] != 1 {
		t.Fatalf("%v, verdicts %v, %d claims", err, library.Verdicts, len(library.Claims))
	}
	page := mustRead(t, out, claim.PageOfLibrary)
	for i, name := range []string{"straddle", "cross-reach", "l-sit-longer-arms"} {
		summary := mustRead(t, out, name, "summary.json")
		var inLibrary, alone bytes.Buffer
		golden.OK(t, json.Compact(&inLibrary, library.Claims[i]))
		if err := json.Compact(&alone, summary); err != nil || inLibrary.String() != alone.String() {
			t.Errorf("%s: the library holds another summary (%v)", name, err)
		}
		own := mustRead(t, out, name, flags.EvidencePage)
		if columns := openTable(t, filepath.Join(out, name, claim.DrawsFile)).Columns(); columns[0].Name != "replicate" {
			t.Errorf("%s: the draws begin with %s", name, columns[0].Name)
		}
		if origin, err := pages.ReadOrigin(own); err != nil || string(origin.Summary)+"\n" != string(summary) {
			t.Errorf("%s: the page does not hold summary.json (%v)", name, err)
		}
		if !bytes.Contains(own, []byte(`href="../library.html"`)) || !bytes.Contains(page, []byte(`href="`+name+`/evidence.html"`)) {
			t.Errorf("%s: the pages do not link each other", name)
		}
		if _, err := os.Stat(filepath.Join(out, name, "bodies.parquet")); err == nil {
			t.Errorf("%s: bodies were written though nobody asked", name)
		}
	}
	if _, err := os.Stat(filepath.Join(out, "overview.svg")); err != nil {
		t.Error(err)
	}
	again := t.TempDir()
	if code, _, stderr := call(append(args, "--bodies", "--workers", "3", "--out", again)...); code != console.ExitDone {
		t.Fatal(stderr)
	}
	for _, file := range []string{claim.PageOfLibrary, claim.SummaryOfLibrary, "overview.svg", "straddle/evidence.html", "cross-reach/summary.json"} {
		if !bytes.Equal(mustRead(t, out, file), mustRead(t, again, file)) {
			t.Errorf("%s: three workers write other bytes", file)
		}
	}
	if _, err := os.Stat(filepath.Join(again, "straddle", "bodies.parquet")); err != nil {
		t.Error(err)
	}

	for _, file := range []string{claim.SummaryOfLibrary, claim.PageOfLibrary} {
		code, stdout, stderr = call("repeat", filepath.Join(out, file))
		if code != console.ExitDone || !strings.Contains(stdout, file+": identical, byte for byte") {
			t.Errorf("repeat of a library: code %d, %s%s", code, stdout, stderr)
		}
	}
	altered := filepath.Join(again, "altered.json")
	golden.OK(t, os.WriteFile(altered, []byte(strings.Replace(text, "\"says\": \"Opening", "\"says\": \"Closing", 1)), 0o644))
	code, stdout, _ = call("repeat", altered)
	if code != console.ExitFailed || !strings.Contains(stdout, "altered.json: differs\nfirst difference: claims[0].says is ") {
		t.Errorf("repeat of an altered library: code %d, %s", code, stdout)
	}
}

// A page is made again from what it carries, to the byte.
func TestRepeatOfAPage(t *testing.T) {
	out := t.TempDir()
	small := []string{"--n", "2000", "--assumption-draws", "0"}
	for _, args := range [][]string{
		{"longer-arms", "cross-reach", "--out", out},
		{"longer-arms", "--assume", "shoulder_span=0.8", "--assume", "top_share=0.4..0.5", "--models", "equilibrium", "--segments", "dumas-2007", "--people", "ansur2-women", "--out", filepath.Join(out, "one")},
	} {
		if code, _, stderr := call(append(append([]string{"claim", "test"}, args...), small...)...); code != console.ExitDone && code != console.ExitUndecided {
			t.Fatal(stderr)
		}
	}
	for _, file := range []string{"longer-arms", "cross-reach", "one"} {
		path := filepath.Join(out, file, flags.EvidencePage)
		code, stdout, stderr := call("repeat", path)
		if code != console.ExitDone || !strings.Contains(stdout, "identical, byte for byte") {
			t.Errorf("%s: code %d, %s%s", file, code, stdout, stderr)
		}
	}
	one := mustRead(t, out, "one", flags.EvidencePage)
	command := "claim test longer-arms --n 2000 --seed 1 --assumption-draws 0 --people ansur2-women --models equilibrium --segments dumas-2007 --assume shoulder_span=0.8 --assume top_share=0.4..0.5"
	if !bytes.Contains(one, []byte("counterpoise "+command)) {
		t.Errorf("the page does not say %s", command)
	}
	if code, _, stderr := call(append(strings.Fields(command), "--out", filepath.Join(out, "two"))...); code != console.ExitDone && code != console.ExitUndecided {
		t.Fatal(stderr)
	}
	if !bytes.Equal(one, mustRead(t, out, "two", flags.EvidencePage)) {
		t.Error("the command that a page prints makes another page")
	}

	changed := filepath.Join(out, "changed.html")
	for _, c := range []struct{ old, new, want string }{
		{"<h1 id=\"says\"", "<h1 id=\"said\"", "first difference: line "},
		{`"verdict": "`, `"verdict": "not `, "first difference: "},
	} {
		text := bytes.Replace(one, []byte(c.old), []byte(c.new), 1)
		if bytes.Equal(text, one) {
			t.Fatalf("%q is not in the page", c.old)
		}
		golden.OK(t, os.WriteFile(changed, text, 0o666))
		if code, stdout, _ := call("repeat", changed); code != console.ExitFailed || !strings.Contains(stdout, c.want) {
			t.Errorf("%s: code %d, %s", c.new, code, stdout)
		}
	}
	golden.OK(t, os.WriteFile(changed, []byte("<!doctype html><p>hello"), 0o666))
	if code, _, stderr := call("repeat", changed); code != console.ExitUsage || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, "is not a page of this program") {
		t.Errorf("code %d, %s", code, stderr)
	}
}

// What goes wrong with one of several claims is said of that one, and an undecided one
// has its exit code.
func TestOneOfSeveralClaims(t *testing.T) {
	file := filepath.Join(t.TempDir(), "rare.yaml")
	text := "claim: rare\nsays: Rare.\nhold: human-flag\npeople: {from: [ansur2-men], where: {bmi: 90..95}}\n" +
		"change: {arm_length: +5 cm}\nexpect: increase\nmatters: 1 %\n"
	golden.OK(t, os.WriteFile(file, []byte(text), 0o666))
	code, stdout, stderr := call("claim", "test", "straddle", file, "--n", "2000", "--assumption-draws", "0")
	lines := strings.Split(strings.TrimSpace(stderr), "\n")
	if code != console.ExitUsage || stdout != "" || !strings.HasPrefix(lines[len(lines)-1], "counterpoise: "+file+": ") {
		t.Errorf("code %d, stdout %q, stderr %s", code, stdout, stderr)
	}
	code, stdout, stderr = call(append([]string{"claim", "test", "straddle"}, nobodys(t)...)...)
	if code != console.ExitUndecided || !strings.Contains(stdout, "not settled: nobody takes the posture") || !strings.HasSuffix(stderr, "no simulated body can take the posture\n") {
		t.Errorf("code %d, stdout %s, stderr %s", code, stdout, stderr)
	}
}

// With --for-whom a claim says of every shipped population what comes out for it, and every
// file of it repeats.
func TestForWhom(t *testing.T) {
	out := t.TempDir()
	args := []string{"claim", "test", "front-lever-lost-weight", "--n", "2000", "--assumption-draws", "256", "--for-whom"}
	code, stdout, stderr := call(append(args, "--out", out)...)
	if code != console.ExitDone {
		t.Fatal(stderr)
	}
	_, table, _ := strings.Cut(stdout, "\nFor whom (the middle person; in brackets, over what nobody has measured)\n")
	table, _, _ = strings.Cut(table, "\n\n")
	lines := strings.Split(table, "\n")
	if len(lines) != len(anthro.Names())+1 || lines[len(lines)-1] != "  The verdict does not depend on the people: supported for everybody judged." {
		t.Errorf("the table is\n%s", table)
	}
	for _, line := range lines[:len(lines)-1] {
		if !strings.Contains(line, "supported") || !strings.Contains(line, " % (−") {
			t.Errorf("no verdict and effect in %q", line)
		}
	}
	for _, file := range []string{"summary.json", flags.EvidencePage, claim.DrawsFile, "bodies.parquet"} {
		if code, stdout, stderr := call("repeat", filepath.Join(out, file)); code != console.ExitDone || !strings.Contains(stdout, "identical") {
			t.Errorf("%s: %s%s", file, stdout, stderr)
		}
	}
	if page := mustRead(t, out, flags.EvidencePage); !bytes.Contains(page, []byte("Whether it depends on the people")) || !bytes.Contains(page, []byte("--for-whom")) {
		t.Error("the page does not say it, or not how it was made")
	}
}

// The page's first screen is in the language that was asked for, and repeats; stories are
// there in four sizes.
func TestLanguages(t *testing.T) {
	out := t.TempDir()
	args := []string{"claim", "test", "front-lever-tuck", "--n", "2000", "--assumption-draws", "256", "--evidence-at", "https://example.org/tuck", "--out", out}
	if code, _, stderr := call(append(args, "--language", "de")...); code != console.ExitDone {
		t.Fatal(stderr)
	}
	page := mustRead(t, out, flags.EvidencePage)
	for _, want := range []string{`<html lang="de">`, `<div lang="de">`, "Zur Behauptung</a>", `<div lang="en-GB">`, "Die Beine anzuhocken halbiert den Front Lever", "9 von 10 Körpern", "Tucking the legs halves the front lever"} {
		if !bytes.Contains(page, []byte(want)) {
			t.Errorf("the page lacks %q", want)
		}
	}
	if code, stdout, stderr := call("repeat", filepath.Join(out, flags.EvidencePage)); code != console.ExitDone || !strings.Contains(stdout, "identical") {
		t.Errorf("%s%s", stdout, stderr)
	}
	for _, size := range []string{"share", "slide", "post", "column"} {
		if text := mustRead(t, out, "story-"+size+".alt.txt"); !bytes.Contains(text, []byte("https://example.org/tuck")) || !bytes.Contains(text, []byte("Leichter, aber vielleicht nicht genug: 36\u00a0bis\u00a044\u00a0% leichter")) {
			t.Errorf("%s: %s", size, text)
		}
	}
	for _, alone := range [][]string{{"claim", "test", "straddle", "--language", "de"}, {"claim", "test", "straddle", "--evidence-at", "x"}, {"claim", "test", "straddle", "--bodies"}, {"club", evening, "--before", spring}} {
		if code, stdout, stderr := call(alone...); code != console.ExitUsage || stdout != "" || !strings.Contains(stderr, ": it is for --out") {
			t.Errorf("%v: code %d, %s", alone, code, stderr)
		}
	}
	if code, _, stderr := call(append(args, "--language", "fr")...); code != console.ExitUsage || !strings.Contains(stderr, "--language fr: unknown") {
		t.Errorf("code %d, %s", code, stderr)
	}
}
