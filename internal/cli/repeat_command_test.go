package cli

import (
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/provenance"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

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
	if err := os.WriteFile(ready, []byte(run("readiness", filepath.Join(club, "cheng.yaml"), "--n", "1000", "--seed", "7", "--json")), 0o666); err != nil {
		t.Fatal(err)
	}
	tables, err := filepath.Glob(filepath.Join(drivers, "*.parquet"))
	if err != nil || len(tables) == 0 {
		t.Fatalf("tables of drivers: %v, %v", tables, err)
	}
	for _, file := range append(tables, ready, filepath.Join(drivers, "summary.json"), filepath.Join(people, "summary.json"), filepath.Join(people, "cheng", "draws.parquet")) {
		if said := run("repeat", file); !strings.Contains(said, ": identical, byte for byte") {
			t.Errorf("%s: %s", file, said)
		}
	}
	text, err := os.ReadFile(ready)
	if err != nil {
		t.Fatal(err)
	}
	altered := strings.Replace(string(text), `"Cheng"`, `"Chang"`, 1)
	if err := os.WriteFile(ready, []byte(altered), 0o666); err != nil {
		t.Fatal(err)
	}
	if code, stdout, _ := call("repeat", ready); code != exitFailed || !strings.Contains(stdout, "Chang") {
		t.Errorf("an altered name: exit code %d, %s", code, stdout)
	}
}

// A summary is the same bytes whatever units its text is in, also where a note
// speaks of lengths, and so is its repeat.
func TestSummariesAreMetric(t *testing.T) {
	folder := t.TempDir()
	tall := filepath.Join(folder, "tall.yaml")
	if err := os.WriteFile(tall, []byte("person: Tall\nsex: female\nstature: 186 cm\ntests: {one_arm_hang: {held: 20 s}}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, command := range []string{"person", "readiness"} {
		_, metric, _ := call(command, tall, "--n", "1000", "--json")
		code, imperial, stderr := call(command, tall, "--n", "1000", "--json", "--units", "imperial")
		if code != exitDone || !strings.Contains(metric, "rare, check it: stature 186.0 cm") || imperial != metric {
			t.Errorf("%s: code %d, %s; the summary depends on the units, or has no note", command, code, stderr)
		}
		file := filepath.Join(folder, command+".json")
		if err := os.WriteFile(file, []byte(imperial), 0o600); err != nil {
			t.Fatal(err)
		}
		if code, said, stderr := call("repeat", file); code != exitDone || !strings.Contains(said, ": identical, byte for byte") {
			t.Errorf("%s: code %d, %s%s", command, code, said, stderr)
		}
		if _, text, _ := call(command, tall, "--n", "1000", "--units", "imperial"); !strings.Contains(text, "rare, check it: stature 6 ft 1") {
			t.Errorf("%s: the text's note is not in feet and inches: %s", command, text)
		}
	}
}

// Every flag of a command that repeat runs either bears on its results or does
// not: one that is in neither list would be left out of files unseen.
func TestFlagsAreToldApart(t *testing.T) {
	for _, c := range repeated() {
		c.InitDefaultHelpFlag()
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if slices.Contains(resultFlags, f.Name) == slices.Contains(presentationFlags, f.Name) {
				t.Errorf("%s --%s must be in one list of the two", c.Name(), f.Name)
			}
		})
	}
}

// repeated are the commands whose flags files hold.
func repeated() []*cobra.Command {
	env := &environment{}
	return []*cobra.Command{commandOf(newPerson(env)), commandOf(newReadiness(env)), commandOf(newDrivers(env))}
}

// A file cannot make repeat write anywhere, or take a flag that does not bear on
// results.
func TestFlagsThatNoFileMayBring(t *testing.T) {
	folder := t.TempDir()
	_, summary, stderr := call(driversArgs("--worth", "--json")...)
	var tree map[string]any
	if err := json.Unmarshal([]byte(summary), &tree); err != nil {
		t.Fatal(err, stderr)
	}
	flags := tree["provenance"].(map[string]any)["study"].(map[string]any)["flags"].(map[string]any)
	flag := map[string]string{"units": "imperial", "size": "post", "theme": "dark", "workers": "3", "help": "true", "json": "true", "protocol": "true"}
	for _, name := range append(slices.Clone(presentationFlags), "nonsense", "endurance") {
		target := filepath.Join(folder, "target")
		value, ok := flag[name]
		if !ok {
			value = target
		}
		with := maps.Clone(flags)
		with[name] = []string{value}
		tree["provenance"].(map[string]any)["study"].(map[string]any)["flags"] = with
		text, err := provenance.CanonicalJSON(tree)
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(folder, "summary.json")
		if err := os.WriteFile(file, text, 0o600); err != nil {
			t.Fatal(err)
		}
		before := golden.Files(t, folder)
		code, stdout, stderr := call("repeat", file)
		if want := "--" + name + " is no flag that a repeat of drivers takes from a file"; code != exitUsage || stdout != "" || !strings.Contains(stderr, want) || strings.Count(stderr, "\n") != 1 {
			t.Errorf("code %d, stdout %q, stderr %q, want %q", code, stdout, stderr, want)
		}
		compareFolders(t, "after repeat", golden.Files(t, folder), before)
	}
}
