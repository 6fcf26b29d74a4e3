package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// What person, readiness and drivers write can be repeated from what it says of
// itself alone, and a number altered in it is found.
func TestCommandsRepeat(t *testing.T) {
	folder := t.TempDir()
	run := func(args ...string) string {
		t.Helper()
		code, stdout, stderr := call(args...)
		if code != exitDone {
			t.Fatalf("%v: exit code %d: %s", args, code, stderr)
		}
		return stdout
	}
	club := filepath.Join("..", "..", "testdata", "demo", "club-night")
	people, drivers, ready := filepath.Join(folder, "people"), filepath.Join(folder, "drivers"), filepath.Join(folder, "ready.json")
	run("person", club, "--n", "1000", "--assume", "top_share=0.45", "--workers", "1", "--out", people)
	run("drivers", "--hold", "human-flag", "--of", "required_force", "--people", "ansur2-women", "--models", "two-condition",
		"--where", "bmi=18.5..30", "--assume", "angle_slope=0", "--assume", "grip_reach=0.5..0.6", "--until", "0.05", "--out", drivers)
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
