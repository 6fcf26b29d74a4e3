package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
)

const clubTable = "../../testdata/demo/club.csv"

// clubFiles makes people out of the demo's table.
func clubFiles(t *testing.T) (women, men string) {
	t.Helper()
	folder := t.TempDir()
	code, stdout, stderr := call("people", "from", clubTable, "--out", filepath.Join(folder, "club.json"))
	women, men = filepath.Join(folder, "club-women.json"), filepath.Join(folder, "club-men.json")
	want := women + ": 5 women of club.csv; measured: stature 5, mass 5, span 4, sitting_height 2. The rest is drawn from us-women.\n" +
		men + ": 7 men of club.csv; measured: stature 7, mass 7, span 5, sitting_height 3. The rest is drawn from us-men.\n"
	if code != console.ExitDone || stderr != "" || stdout != want {
		t.Fatalf("code %d, stderr %q, stdout\n%s\nwant\n%s", code, stderr, stdout, want)
	}
	return women, men
}

// Names of people do not get into the file.
func TestNoNamesAreKept(t *testing.T) {
	table, folder := filepath.Join(t.TempDir(), "t.csv"), t.TempDir()
	golden.OK(t, os.WriteFile(table, []byte("person,mass (kg)\nFelicitas,61\nZoroaster,62\n"), 0o600))
	out := filepath.Join(folder, "two.json")
	if code, _, stderr := call("people", "from", table, "--out", out, "--sex", "female"); code != console.ExitDone {
		t.Fatal(stderr)
	}
	text, err := os.ReadFile(out)
	if err != nil || strings.Contains(string(text), "Felicitas") || strings.Contains(string(text), "Zoroaster") {
		t.Errorf("%v, %s", err, text)
	}
}

// Every command that takes people takes those of one's own.
func TestPeopleOfOnesOwn(t *testing.T) {
	women, men := clubFiles(t)
	claim := filepath.Join(filepath.Dir(women), "claim.yaml")
	golden.OK(t, os.WriteFile(claim, []byte(strings.Replace(goodClaim, "ansur2-men", "[./club-women.json, ./club-men.json]", 1)), 0o600))
	small := []string{"--n", "2000", "--assumption-draws", "0"}
	for _, c := range []struct {
		want string
		args []string
	}{
		{"5 women of club.csv (club-women), female, 5 measured", []string{"people", "show", women}},
		{"5 of 5 measured  floor to the top of the head", []string{"people", "show", women}},
		{"Only those of stature 1.7.. m.", []string{"people", "show", men, "--where", "stature=170 cm.."}},
		{"stature_m,mass_kg", []string{"people", "draw", men, "--n", "5"}},
		{"the median body of club-men (175.0 cm, 70.8 kg)", []string{"hold", "show", "human-flag", "--full", "--people", men}},
		{"median body of club-men (175 cm, 71 kg)", []string{"hold", "show", "human-flag", "--people", men}},
		{"bodies drawn from club-women (5 women of club.csv) and club-men (7 men of club.csv)", append([]string{"claim", "test", claim, "--full"}, small...)},
		{"club-men are 7 people, resampled", append([]string{"claim", "test", "longer-arms", "--people", men}, small...)},
	} {
		code, stdout, stderr := call(c.args...)
		if (code != console.ExitDone && code != console.ExitUndecided) || !strings.Contains(strings.Join(strings.Fields(stdout), " "), strings.Join(strings.Fields(c.want), " ")) {
			t.Errorf("%v: code %d, want %q on stdout %s; stderr %q", c.args, code, c.want, stdout, stderr)
		}
	}
}

// What a result says of where it comes from holds the hash of the people's file.
func TestProvenanceOfPeopleOfOnesOwn(t *testing.T) {
	women, _ := clubFiles(t)
	_, stdout, stderr := call("claim", "test", "longer-arms", "--people", women, "--n", "2000", "--assumption-draws", "0", "--json")
	var s struct {
		Provenance struct{ Data map[string]string }
	}
	if err := json.Unmarshal([]byte(stdout), &s); err != nil {
		t.Fatal(err, stderr)
	}
	if len(s.Provenance.Data["own/club-women.json"]) != 64 || strings.Contains(stdout, filepath.Dir(women)) {
		t.Errorf("data %v", s.Provenance.Data)
	}
}

// What people draw writes is a table that people from reads.
func TestDrawnPeopleMakeATable(t *testing.T) {
	_, drawn, stderr := call("people", "draw", "ansur2-men", "--n", "6")
	table := filepath.Join(t.TempDir(), "drawn.csv")
	if err := os.WriteFile(table, []byte(drawn), 0o600); err != nil {
		t.Fatal(err, stderr)
	}
	out := filepath.Join(t.TempDir(), "six.json")
	code, stdout, stderr := call("people", "from", table, "--sex", "male", "--out", out)
	if code != console.ExitDone || !strings.Contains(stdout, "6 men of drawn.csv; measured: stature 6, mass 6,") {
		t.Errorf("code %d, stdout %q, stderr %q", code, stdout, stderr)
	}
	_, again, _ := call("people", "draw", out, "--n", "50")
	for _, line := range strings.Split(strings.TrimSpace(again), "\n") {
		if !strings.Contains(drawn, line+"\n") {
			t.Errorf("%s was drawn, who is none of the six", line)
		}
	}
}

func TestReweightedPeople(t *testing.T) {
	const means = "stature=168 cm,mass=60 kg"
	code, stdout, stderr := call("people", "show", "ansur2-women", "--means", means)
	if code != console.ExitDone || stderr != "" || !strings.Contains(stdout, "Effective sample size: 9.") || !strings.Contains(stdout, "Reweighted to mean mass 60 kg (before: 67.") {
		t.Errorf("code %d, stderr %q, stdout %s", code, stderr, stdout)
	}
	out := []string{filepath.Join(t.TempDir(), "1"), filepath.Join(t.TempDir(), "2")}
	for i, workers := range []string{"1", "4"} {
		if code, _, stderr := call("people", "draw", "ansur2-women", "--means", means, "--where", "bmi=18..27", "--n", "9000", "--workers", workers, "--out", out[i]); code != console.ExitDone {
			t.Fatal(stderr)
		}
	}
	one := golden.Must(os.ReadFile(filepath.Join(out[0], "people.parquet")))(t)
	if two, err := os.ReadFile(filepath.Join(out[1], "people.parquet")); err != nil || string(one) != string(two) {
		t.Errorf("the number of workers changed who was drawn, %v", err)
	}
}

// Athletes work wherever a population's name does, and say what is not known of them; of
// whom too little was published are refused wherever they are named, with what to take.
func TestAthletes(t *testing.T) {
	flat := func(text string) string { return strings.Join(strings.Fields(text), " ") }
	code, stdout, stderr := call("people", "show", "gymnasts-men")
	for _, want := range []string{
		"190 athletes' sizes, 7,353 people of us-men measured", "Reweighted to mean mass 65.47 kg (before: 86.5", "of their standard deviations lower",
		"people, those of the 7,353 that the survey measured, which tells as much as about ", "Sizes: France, competitive, stature 1.73 ± 0.05 m of 52,", "Not known: how strong they are",
		"how many of them could hold it is not known",
	} {
		if code != console.ExitDone || !strings.Contains(flat(stdout), want) {
			t.Errorf("code %d, stderr %q: %s lacks %q", code, stderr, stdout, want)
		}
	}
	out := filepath.Join(t.TempDir(), "claim")
	code, stdout, stderr = call("claim", "test", "push-up-tall", "--people", "gymnasts-men", "--n", "2000", "--assumption-draws", "256", "--full", "--out", out)
	if want := "weighted (effective sample size: "; code != console.ExitDone || !strings.Contains(flat(stdout), want) || !strings.Contains(flat(stdout), "how many of them could hold it is not known") {
		t.Errorf("code %d, stderr %q: %s", code, stderr, stdout)
	}
	if code, stdout, stderr := call("repeat", filepath.Join(out, "summary.json")); code != console.ExitDone || !strings.Contains(stdout, "identical") {
		t.Errorf("code %d, %s%s", code, stdout, stderr)
	}
	if code, stdout, stderr := call("drivers", "--hold", "human-flag", "--of", "difficulty", "--people", "gymnasts-men", "--worth", "--full"); code != console.ExitDone || !strings.Contains(flat(stdout), "how many of them could hold it is not known") {
		t.Errorf("code %d, %s%s", code, stdout, stderr)
	}
	if code, stdout, stderr := call("hold", "show", "planche", "--people", "gymnasts-men"); code != console.ExitDone || !strings.Contains(flat(stdout), "how many of them could hold it is not known") {
		t.Errorf("code %d, %s%s", code, stdout, stderr)
	}
	if code, stdout, stderr := call("hold", "untrained", "planche", "--people", "us-men,gymnasts-men"); code != console.ExitUsage || stdout != "" || !strings.Contains(stderr, "are not untrained adults") {
		t.Errorf("code %d, %s%s", code, stdout, stderr)
	}
	grid := filepath.Join(t.TempDir(), "grid.yaml")
	golden.OK(t, os.WriteFile(grid, []byte("sweep: grid\nhold: planche\npeople: gymnasts-men\ndemands: [difficulty]\nn: 200\naxes:\n  change.arm_length: -1 cm..1 cm in 2 values\n"), 0o666))
	if code, stdout, stderr := call("sweep", grid); code != console.ExitDone || !strings.Contains(flat(stdout), "how many of them could hold it is not known") {
		t.Errorf("code %d, %s%s", code, stdout, stderr)
	}
	file := filepath.Join(t.TempDir(), "mine.yaml")
	text := "claim: mine\nsays: Long legs.\nhold: planche\npeople: gymnasts-women\nchange: {leg_length: +5 cm}\nexpect: increase\n"
	golden.OK(t, os.WriteFile(file, []byte(text), 0o666))
	for _, args := range [][]string{
		{"people", "show", "gymnasts-women"}, {"people", "draw", "gymnasts-women"}, {"claim", "test", "straddle", "--people", "gymnasts-women"},
		{"claim", "test", file}, {"drivers", "--hold", "human-flag", "--of", "difficulty", "--people", "gymnasts-women"}, {"hold", "show", "planche", "--people", "gymnasts-women"},
	} {
		code, stdout, stderr := call(args...)
		if code != console.ExitUsage || stdout != "" || !strings.Contains(stderr, anthro.Missing("gymnasts-women")) || strings.Count(stderr, "\n") != 1 {
			t.Errorf("%v: code %d, %q, %q", args, code, stdout, stderr)
		}
	}
}

func TestBadPeople(t *testing.T) {
	women, men := clubFiles(t)
	folder := t.TempDir()
	write := golden.Writer(t, folder)
	from := func(args ...string) []string { return append([]string{"people", "from"}, args...) }
	out := filepath.Join(folder, "new.json")
	pounds := write("pounds.csv", "sex,stature (cm),mass (kg)\nmale,178,75\nmale,170,320\n")
	for _, c := range []struct {
		code int
		want string
		args []string
	}{
		{2, `--out: found "", needs the name of the file to make, as in club.json`, from(clubTable)},
		{2, `--out: found "club", needs the name`, from(clubTable, "--out", "club")},
		{2, `--out: found ".json", needs the name`, from(clubTable, "--out", ".json")},
		{2, "none.csv: no such file or directory", from("none.csv", "--out", out)},
		{2, "is a folder, a file is needed", from(folder, "--out", out)},
		{2, "--sex mle: unknown name (did you mean male?); known: female, male", from(clubTable, "--out", out, "--sex", "mle")},
		{2, "club.csv:2:8: sex: the table gives the sex of each person", from(clubTable, "--out", out, "--sex", "male")},
		{2, "pounds.csv:3:10: mass: 320.0 kg: of people in us-men with that stature, 90 % have", from(pounds, "--out", out)},
		{2, `the name "a b-women" must be up to 60 letters`, from(clubTable, "--out", filepath.Join(folder, "a b.json"))},
		{1, "new-women.json cannot be written", from(clubTable, "--sex", "", "--out", "/proc/nope/new.json")},
		{2, pounds + ":1: not a file of people, as people from makes them", []string{"people", "show", pounds}},
		{2, "none.json: no such file or directory", []string{"people", "draw", "./none.json"}},
		{2, "--people ./none.json: no such file or directory", []string{"claim", "test", "longer-arms", "--people", "./none.json"}},
		{2, "--people: club-men appears twice", []string{"claim", "test", "longer-arms", "--people", men + "," + filepath.Dir(men) + "/./club-men.json"}},
		{2, "known: " + strings.Join(anthro.Names(), ", ") + "; a file of your own people has a slash or a dot in its path", []string{"people", "show", "club-men"}},
		{2, "club-women is already resampled or reweighted", []string{"people", "show", women, "--means", "mass=60 kg"}},
		{2, `--means mass: write it as in "stature=168 cm,mass=60 kg"`, []string{"people", "show", "ansur2-men", "--means", "mass"}},
		{2, "mean mass 81 kg is given twice", []string{"people", "show", "ansur2-men", "--means", "mass=80 kg", "--means", "mass=81 kg"}},
		{2, "only 0.18 % of them would count", []string{"people", "draw", "ansur2-men", "--means", "stature=195 cm"}},
		{2, "mean stature 3 m is out of reach", []string{"people", "draw", "ansur2-men", "--means", "stature=3 m"}},
		{2, "people drawn from club-women match bmi 40..50 kg/m2", []string{"people", "show", women, "--where", "bmi=40..50"}},
	} {
		code, stdout, stderr := call(c.args...)
		if code != c.code || stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.HasPrefix(stderr, "counterpoise: ") || !strings.Contains(stderr, c.want) {
			t.Errorf("%v:\n got code %d, stdout %q, stderr %s\nwant code %d and one line with %s", c.args, code, stdout, stderr, c.code, c.want)
		}
	}
	if _, err := os.Stat(out); err == nil {
		t.Error("a file was made of bad input")
	}
}

// Every column of a table is explained with its unit and its source.
func TestDictionary(t *testing.T) {
	folder := t.TempDir()
	out := filepath.Join(folder, "swept")
	succeeds(t, "people", "draw", "us-women", "--n", "100", "--out", filepath.Join(folder, "drawn"))
	succeeds(t, "sweep", sweepFile(t, folder, "n: 100\nbodies: yes\n"), "--out", out)
	for _, name := range []string{"../drawn/people.parquet", "bodies.parquet", "sweep.parquet"} {
		text := succeeds(t, "data", "dictionary", filepath.Join(out, name))
		for _, c := range openTable(t, filepath.Join(out, name)).Columns() {
			unit := ""
			if c.Unit != "" {
				unit = " (" + c.Unit + ")"
			}
			if !strings.Contains("\n"+text, "\n"+c.Name+unit+"\n    ") {
				t.Errorf("%s: %s is not explained", name, c.Name)
			}
		}
		if n, of := strings.Count(text, "\n    source: "), len(openTable(t, filepath.Join(out, name)).Columns()); n != of {
			t.Errorf("%s: %d columns have a source, of %d", name, n, of)
		}
	}
	all := succeeds(t, "data", "dictionary")
	for _, want := range []string{"stature_m (m)", "required_force_bw (BW)", "top_share", "leg_length_m (m)"} {
		if !strings.Contains(all, want) {
			t.Errorf("%s is not explained", want)
		}
	}
}
