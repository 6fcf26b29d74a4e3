package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// program is counterpoise, built from the sources as they are but for the files of an overlay.
func program(t *testing.T, name string, overlay map[string]string) (run func(args ...string) (string, error)) {
	t.Helper()
	folder := t.TempDir()
	list := golden.Must(json.Marshal(map[string]any{"Replace": overlay}))(t)
	replaced, binary := filepath.Join(folder, "overlay.json"), filepath.Join(folder, name)
	golden.OK(t, os.WriteFile(replaced, list, 0o600))
	if out, err := exec.Command("go", "build", "-ldflags=-s -w", "-overlay", replaced, "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	return func(args ...string) (string, error) {
		out, err := exec.Command(binary, args...).CombinedOutput()
		return string(out), err
	}
}

// Parts of programs built from different sources are not gathered into one sweep, nor does
// one take up what the other began; repeat says that it is the code that differs. Nothing
// was committed in between, and no version was given.
func TestMixedBuilds(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program twice")
	}
	folder := t.TempDir()
	original := golden.Must(filepath.Abs("../../sim/sweep/design.go"))(t)
	text := golden.Must(os.ReadFile(original))(t)
	changed := filepath.Join(folder, "design.go")
	other := strings.Replace(string(text), `designPurpose = "`, `designPurpose = "another `, 1)
	if other == string(text) {
		t.Fatal("the constant to change is not there")
	}
	study := filepath.Join(folder, "legs.yaml")
	sweep := "sweep: legs\nhold: human-flag\ndemands: [required_force]\naxes:\n  people: [ansur2-men, ansur2-women]\n  change.arm_length: 0 cm..20 cm by 1 cm\nn: 64\n"
	for path, text := range map[string]string{changed: other, study: sweep} {
		golden.OK(t, os.WriteFile(path, []byte(text), 0o600))
	}
	ours, theirs := program(t, "ours", nil), program(t, "theirs", map[string]string{original: changed})

	sources := regexp.MustCompile(`[0-9a-f]{64}`)
	var hashes []string
	for _, run := range []func(...string) (string, error){ours, theirs} {
		said, err := run("version")
		if err != nil || !sources.MatchString(said) {
			t.Fatalf("version: %v\n%s", err, said)
		}
		hashes = append(hashes, sources.FindString(said)[:12])
	}
	both := func(what, said string, err error) {
		t.Helper()
		if err == nil || !strings.Contains(said, hashes[0]) || !strings.Contains(said, hashes[1]) || !strings.Contains(said, "the code is ") {
			t.Errorf("%s: %v, which does not say that the code is %q: %s", what, err, hashes, said)
		}
	}

	mixed, begun, whole := filepath.Join(folder, "mixed"), filepath.Join(folder, "begun"), filepath.Join(folder, "whole")
	for _, step := range []struct {
		run  func(...string) (string, error)
		args []string
	}{
		{ours, []string{"sweep", study, "--out", mixed, "--shard", "1/2"}},
		{theirs, []string{"sweep", study, "--out", begun, "--shard", "2/2"}},
		{ours, []string{"sweep", study, "--out", whole}},
	} {
		if said, err := step.run(step.args...); err != nil {
			t.Fatalf("%q: %v\n%s", step.args, err, said)
		}
	}
	said, err := ours("sweep", study, "--out", begun)
	both("a run that takes up the parts of another program", said, err)
	said, err = theirs("repeat", filepath.Join(whole, "summary.json"))
	both("repeat", said, err)

	parts, err := filepath.Glob(filepath.Join(begun, "parts", "*.part"))
	if err != nil || len(parts) == 0 {
		t.Fatalf("parts %q, %v", parts, err)
	}
	for _, part := range parts {
		golden.OK(t, os.Rename(part, filepath.Join(mixed, "parts", filepath.Base(part))))
	}
	said, err = ours("gather", mixed)
	both("gather", said, err)
	if !slices.ContainsFunc(parts, func(part string) bool { return strings.Contains(said, filepath.Base(part)) }) {
		t.Errorf("gather names no part of the other program: %s", said)
	}
}
