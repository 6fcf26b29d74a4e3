package cli

import (
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
)

const (
	evening = "../../testdata/demo/evening.csv"
	spring  = "../../testdata/demo/evening-spring.csv"
)

// evenings are those of the table.
var evenings = []string{"Ada", "Bruno", "Chiara", "Dylan", "Elif", "Farid", "Greta", "Hugo", "Ines", "Jonas", "Keiko", "Luis"}

// written is all that a folder holds, by name.
func written(t *testing.T, folder string) map[string]string {
	t.Helper()
	files := map[string]string{}
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		name, _ := filepath.Rel(folder, path)
		files[filepath.ToSlash(name)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// From a table to cards with one command: a card for everybody, a sheet of all, what has
// changed, and the same bytes whatever the workers.
func TestClub(t *testing.T) {
	out := filepath.Join(t.TempDir(), "cards")
	args := []string{"club", evening, "--before", spring, "--n", "1000", "--out"}
	code, stdout, stderr := call(append(args, out, "--workers", "1")...)
	if code != console.ExitDone || !strings.HasSuffix(stdout, "12 cards: print "+filepath.Join(out, "cards.html")+"\n") {
		t.Fatalf("code %d, stderr %s, stdout %s", code, stderr, stdout)
	}
	for _, want := range []string{
		"read Name → name; Sex → sex; Age → age; Height → stature, cm (guessed from the values); Weight (kg) → mass, kg;",
		`left out, belongs to nobody: "Average" in row 16`, "evening-spring.csv: nobody there is called Farid, Greta, Keiko",
	} {
		if !strings.Contains(stderr, want) {
			t.Errorf("stderr lacks %s: %s", want, stderr)
		}
	}
	files := written(t, out)
	for _, name := range []string{"cards.html", "cards.pdf", "sheets/sheet.svg", "sheets/sheet.png", "sheets/sheet.pdf", "sheets/sheet.alt.txt", "summary.json"} {
		if files[name] == "" {
			t.Errorf("no %s", name)
		}
	}
	for _, name := range evenings {
		if !strings.Contains(stdout, "\n"+name+" ") || files["cards/"+strings.ToLower(name)+".pdf"] == "" || !strings.Contains(files["cards.html"], ">"+name+": hands ") {
			t.Errorf("no card for %s", name)
		}
	}
	if len(files) != 8+len(evenings) {
		t.Errorf("%d files", len(files))
	}
	for _, want := range []string{"Since last time:", "last time 1", "tuck 77 to 78 % (likely ", "stature +4.5", "Under 18: growing", "Age unknown: these are", "of an untrained boy"} {
		if !strings.Contains(strings.ReplaceAll(files["cards.html"], "\u00a0", " "), want) {
			t.Errorf("the cards lack %s", want)
		}
	}
	// One of them has no such test for the tuck: then it is not said for all.
	if sheet := files["sheets/sheet.alt.txt"]; strings.Contains(sheet, "for every form") || !strings.Contains(sheet, "For everybody, of what") {
		t.Errorf("the sheet says of all: %s", sheet)
	}
	two := filepath.Join(t.TempDir(), "two")
	succeeds(t, append(args, two, "--workers", "3")...)
	for name, text := range written(t, two) {
		if files[name] != text {
			t.Errorf("%s depends on the workers", name)
		}
	}
	for _, file := range []string{"summary.json", "cards.html"} {
		if again := succeeds(t, "repeat", filepath.Join(out, file)); !strings.Contains(again, "identical") {
			t.Errorf("%s: %s", file, again)
		}
	}
}

// The spacing on the card is that of person.
func TestClubSaysWhatPersonSays(t *testing.T) {
	folder := t.TempDir()
	write := golden.Writer(t, folder)
	table := write("one.csv", "name,sex,height (cm),weight (kg)\nAda,f,168.5,61.2\n")
	file := write("one.yaml", "person: Ada\nsex: female\nstature: 168.5 cm\nmass: 61.2 kg\n")
	type summary struct {
		Persons []struct {
			Spacing map[string]float64 `json:"recommended_hand_spacing_m"`
		} `json:"persons"`
	}
	var a, b summary
	for into, args := range map[*summary][]string{&a: {"club", table, "--n", "1000", "--json"}, &b: {"person", file, "--n", "1000", "--json"}} {
		golden.OK(t, json.Unmarshal([]byte(succeeds(t, args...)), into))
	}
	for _, at := range []string{"p5", "p50", "p95"} {
		if x, y := a.Persons[0].Spacing[at], b.Persons[0].Spacing[at]; x != y || x < 1 {
			t.Errorf("%s: %v m on the card, %v m for the person", at, x, y)
		}
	}
}

// Without names nothing that is written holds one; here it is said who is who.
func TestClubWithoutNames(t *testing.T) {
	out := filepath.Join(t.TempDir(), "others")
	code, stdout, stderr := call("club", evening, "--without-names", "--n", "1000", "--units", "imperial", "--card", "a4", "--out", out)
	if code != console.ExitDone || !strings.Contains(stderr, "Athlete 12 is Luis\n") || !strings.Contains(stdout, "Athlete 12 ") {
		t.Fatalf("code %d, stderr %s, stdout %s", code, stderr, stdout)
	}
	files := written(t, out)
	if files["cards/athlete-12.pdf"] == "" || !strings.Contains(files["cards.html"], "lb") {
		t.Error("no card of the twelfth, or in kilograms")
	}
	files["stdout"] = stdout
	for _, name := range evenings {
		for file, text := range files {
			if strings.Contains(text, name) && !strings.HasSuffix(file, ".png") && !strings.HasSuffix(file, ".pdf") || strings.Contains(file, strings.ToLower(name)) {
				t.Errorf("%s names %s", file, name)
			}
		}
	}
}

// Whoever cannot be read is named and left out, and the others are done; where nobody is
// left it is bad input, and nothing is written.
func TestClubOfBadRows(t *testing.T) {
	folder := t.TempDir()
	write := golden.Writer(t, folder)
	const head = "name,sex,height (cm),weight (kg)\n"
	table := write("club.csv", head+"Ana,f,164,56\nBen,x9,178,72\nGus,m,1.83,82\n李小龙,m,172,64\n")
	out := filepath.Join(folder, "out")
	code, stdout, stderr := call("club", table, "--n", "1000", "--out", out)
	if code != console.ExitDone || !strings.Contains(stdout, "2 cards: print ") {
		t.Errorf("code %d, %s", code, stdout)
	}
	for _, want := range []string{`left out: ` + table + `:3:5: sex: Ben: found "x9", allowed:`, "left out: " + table + ":4:7: stature: Gus: 1.8 cm: ", "metres for centimetres?", "the letters of 李小龙 cannot be drawn here: person 2 on the card"} {
		if !strings.Contains(stderr, want) {
			t.Errorf("stderr lacks %s: %s", want, stderr)
		}
	}
	entries, err := os.ReadDir(out)
	if err != nil || slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return strings.HasPrefix(e.Name(), ".") }) {
		t.Errorf("%v, %v", entries, err)
	}
	nobody := filepath.Join(folder, "nobody")
	for _, c := range []struct {
		want string
		args []string
	}{
		{"club.csv:2:7: stature: Gus: 1.8 cm: ", []string{write("bad/club.csv", head+"Gus,m,1.83,82\n")}},
		{"no row names the columns", []string{write("none/club.csv", "Ana,f,164,56\n")}},
		{"no such file or directory", []string{filepath.Join(folder, "none.csv")}},
		{"--card a5: unknown name", []string{table, "--card", "a5"}},
		{"--sex women: unknown name", []string{table, "--sex", "women"}},
		{"the table gives the sex of each person, but --sex says that all are male", []string{table, "--sex", "male"}},
	} {
		code, stdout, stderr := call(append([]string{"club", "--n", "1000", "--out", nobody}, c.args...)...)
		if code != console.ExitUsage || stdout != "" || !strings.Contains(stderr, c.want) {
			t.Errorf("%v: code %d, %q, %q", c.args, code, stdout, stderr)
		}
		if _, err := os.Stat(nobody); err == nil {
			t.Errorf("%v: a folder is left", c.args)
		}
	}
}
