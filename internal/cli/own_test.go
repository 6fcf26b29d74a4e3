package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
)

// ownFiles makes outputs of every kind with the demo's people of one's own, in the
// folder results, and returns their paths. The people lie in the folder people.
func ownFiles(t *testing.T, folder string) (files []string, women string) {
	t.Helper()
	run := func(args ...string) string { t.Helper(); return runs(t, args...) }
	people := filepath.Join(folder, "people")
	golden.OK(t, os.Mkdir(people, 0o777))
	women = filepath.Join(people, "club-women.json")
	run("people", "from", clubTable, "--out", filepath.Join(people, "club.json"))
	write := golden.Writer(t, people)
	// Paths in files start at the folder of the file.
	ada := write("ada.yaml", "person: Ada\nsex: female\nstature: 168 cm\nmass: 61 kg\npeople: ./club-women.json\ntests: {one_arm_hang: {held: 20 s}}\n")
	sweep := write("sweep.yaml", strings.NewReplacer("ansur2-women", "./club-women.json", "ansur2-men", "./club-men.json").Replace(goodSweep)+"n: 500\nbodies: yes\n")
	results := filepath.Join(folder, "results")
	out := func(name string) string { return filepath.Join(results, name) }
	run("person", ada, "--n", "1000", "--out", out("person"))
	ready := run("readiness", ada, "--n", "1000", "--json")
	worth := run("drivers", "--hold", "human-flag", "--of", "required_force", "--worth", "--person", ada, "--json")
	run("drivers", "--hold", "human-flag", "--of", "required_force", "--people", women+",ansur2-men", "--models", "two-condition", "--until", "0", "--n", "64",
		"--assumption-draws", "128", "--out", out("drivers"))
	run("claim", "test", "longer-arms", "--people", women, "--n", "2000", "--assumption-draws", "0", "--out", out("claim"))
	run("people", "draw", women, "--n", "100", "--out", out("drawn"))
	run("sweep", sweep, "--out", out("sweep"))
	for name, text := range map[string]string{"ready.json": ready, "worth.json": worth} {
		golden.OK(t, os.WriteFile(out(name), []byte(text), 0o600))
	}
	for _, name := range []string{
		"person/summary.json", "person/draws.parquet", "ready.json", "worth.json", "drivers/summary.json", "drivers/design-club-women-two-condition.parquet",
		"drivers/assumption-draws-ansur2-men-two-condition.parquet", "claim/summary.json", "claim/bodies.parquet", "drawn/people.parquet",
		"sweep/summary.json", "sweep/sweep.parquet", "sweep/bodies.parquet",
	} {
		files = append(files, filepath.FromSlash(filepath.Join(results, name)))
	}
	return files, women
}

// oneOfAKind leaves one file of each folder.
func oneOfAKind(files []string) []string {
	var one []string
	for i, file := range files {
		if i == 0 || filepath.Dir(file) != filepath.Dir(files[i-1]) || filepath.Base(file) == "worth.json" {
			one = append(one, file)
		}
	}
	return one
}

// Everything that is made with people of one's own can be repeated wherever their
// file lies, and where it was changed since, this is said.
func TestOwnPeopleRepeat(t *testing.T) {
	folder := t.TempDir()
	files, women := ownFiles(t, folder)
	men := filepath.Join(filepath.Dir(women), "club-men.json")
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil || strings.Contains(string(text), folder) {
			t.Errorf("%s: %v, or the place of the people is in it", file, err)
		}
		code, said, stderr := call("repeat", file)
		if code != console.ExitUsage || said != "" || !strings.Contains(stderr, " are your own people, but ") || strings.Count(stderr, "\n") != 1 {
			t.Errorf("%s without the people: code %d, %q, %q", file, code, said, stderr)
		}
		if code, said, stderr = call("repeat", file, "--people", women, "--people", men); code != console.ExitDone || !strings.Contains(said, ": identical, byte for byte") {
			t.Errorf("%s: code %d, %s%s", file, code, said, stderr)
		}
	}
	// A file that was altered cannot have another file read as people.
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil || filepath.Ext(file) != ".json" {
			continue
		}
		altered := filepath.Join(filepath.Dir(file), "altered.json")
		golden.OK(t, os.WriteFile(altered, []byte(strings.ReplaceAll(string(text), `"club-women`, `"../people/club-women.json`)), 0o600))
		if code, said, stderr := call("repeat", altered, "--people", men); code != console.ExitUsage || said != "" || !strings.Contains(stderr, "is a path, where a name of people is needed") {
			t.Errorf("%s: code %d, %s%s", altered, code, said, stderr)
		}
	}
	// Beside the results they are found without being named.
	for _, path := range []string{women, men} {
		golden.OK(t, os.Rename(path, filepath.Join(folder, "results", filepath.Base(path))))
	}
	for _, file := range oneOfAKind(files) {
		if code, said, stderr := call("repeat", file); code != console.ExitDone || !strings.Contains(said, ": identical, byte for byte") {
			t.Errorf("%s: code %d, %s%s", file, code, said, stderr)
		}
	}
	// Somebody of them is another now.
	moved := filepath.Join(folder, "results", "club-women.json")
	text := golden.Must(os.ReadFile(moved))(t)
	var people struct{ People []map[string]float64 }
	golden.OK(t, json.Unmarshal(text, &people))
	mass := fmt.Sprintf(`"mass_kg": %g`, people.People[0]["mass_kg"])
	altered := strings.Replace(string(text), mass, fmt.Sprintf(`"mass_kg": %g`, people.People[0]["mass_kg"]+1), 1)
	if altered == string(text) {
		t.Fatalf("%s is not in %s", mass, text)
	}
	golden.OK(t, os.WriteFile(moved, []byte(altered), 0o600))
	for _, file := range oneOfAKind(files) {
		code, said, stderr := call("repeat", file)
		if code != console.ExitFailed || !strings.Contains(said, "why: the SHA-256 of the data set own/club-women.json is ") {
			t.Errorf("%s: code %d, %s%s", file, code, said, stderr)
		}
	}
	// Of two files of the name, the one that it was made with is taken.
	golden.OK(t, os.WriteFile(filepath.Join(folder, "club-women.json"), text, 0o600))
	if code, said, stderr := call("repeat", filepath.Join(folder, "results", "ready.json")); code != console.ExitDone {
		t.Errorf("code %d, %s%s", code, said, stderr)
	}
}

// What is said with people of one's own says what their shares mean.
func TestOwnPeopleAreNoted(t *testing.T) {
	women, _ := clubFiles(t)
	ada := filepath.Join(filepath.Dir(women), "ada.yaml")
	golden.OK(t, os.WriteFile(ada, []byte("person: Ada\nsex: female\nstature: 168 cm\nmass: 61 kg\npeople: ./club-women.json\ntests: {one_arm_hang: {held: 20 s}}\n"), 0o600))
	const note = "club-women are 5 people, resampled: the shares are theirs, and no interval says how far other people differ"
	for _, args := range [][]string{
		{"person", ada, "--n", "1000"}, {"person", ada, "--n", "1000", "--json"},
		{"readiness", ada, "--n", "1000"}, {"readiness", ada, "--n", "1000", "--json"},
		driversArgs("--people", women), driversArgs("--people", women, "--json"),
	} {
		code, stdout, stderr := call(args...)
		if code != console.ExitDone || !strings.Contains(strings.Join(strings.Fields(stdout), " "), note) {
			t.Errorf("%v: code %d, %s; no note in %s", args, code, stderr, stdout)
		}
	}
}

// Persons among other people of the same name, of the other sex, or with flags that
// mean people, are refused in one line.
func TestOwnPeopleRefused(t *testing.T) {
	women, men := clubFiles(t)
	folder := filepath.Dir(women)
	write := golden.Writer(t, folder)
	text := golden.Must(os.ReadFile(women))(t)
	write("other.json", strings.Replace(string(text), "5 women", "five women", 1))
	ada := write("ada.yaml", "person: Ada\nsex: female\npeople: ./club-women.json\n")
	eve := write("eve.yaml", "person: Eve\nsex: female\npeople: ./other.json\n")
	bob := write("bob.yaml", "person: Bob\nsex: male\npeople: ./club-women.json\n")
	gone := write("gone.yaml", "person: Gone\nsex: male\npeople: ./gone.json\n")
	worth := func(more ...string) []string {
		return append([]string{"drivers", "--hold", "human-flag", "--of", "required_force", "--person"}, more...)
	}
	for _, c := range []struct {
		want string
		args []string
	}{
		{"eve.yaml:3: people: another person's file has different people named club-women", []string{"person", ada, eve}},
		{"eve.yaml:3: people: another person's file has different people named club-women", worth(ada, "--person", eve, "--worth")},
		{"bob.yaml:3: people: the people of club-women are female, the person is male", []string{"person", bob}},
		{"bob.yaml:3: people: the people of club-women are female, the person is male", worth(bob, "--worth")},
		{"gone.yaml:3: people: ", []string{"readiness", gone}},
		{"--person: it is for --worth only", worth(ada)},
		{"--person: it is for --worth only", worth(ada, "--worth", "--screen")},
		{"--people: with --person the people are those of the person's file", worth(ada, "--worth", "--people", men)},
		{"--where: it chooses among people", worth(ada, "--worth", "--where", "bmi=18..25")},
		{"along: stature is the same for too many people", driversArgs("--people", women, "--along", "stature")},
		{"--people: club-women appears twice", []string{"drivers", "--hold", "human-flag", "--of", "required_force", "--people", women + "," + filepath.Join(folder, "other.json")}},
	} {
		out := filepath.Join(t.TempDir(), "out")
		args := c.args
		if args[0] != "readiness" {
			args = append(args, "--out", out)
		}
		code, stdout, stderr := call(args...)
		if code != console.ExitUsage || stdout != "" || !strings.Contains(stderr, c.want) || strings.Count(stderr, "\n") != 1 {
			t.Errorf("%v: code %d, stdout %q, stderr %q, want %q", args, code, stdout, stderr, c.want)
		}
		if _, err := os.Stat(out); err == nil {
			t.Errorf("%v: a folder was left", args)
		}
	}
}
