package cli

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
)

func TestVerify(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	succeeds(t, "people", "draw", "us-men", "--n", "50", "--out", out)
	table := filepath.Join(out, "people.parquet")
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{out}, "out: 1 file is as written (counterpoise "},
		{[]string{table}, "out: 1 file is as written"},
		{[]string{out, "--again"}, "run again, 1 files are the same, byte for byte"},
		{[]string{table, "--again"}, "people.parquet: identical, byte for byte"},
	} {
		if said := succeeds(t, append([]string{"verify"}, c.args...)...); !strings.Contains(said, c.want) {
			t.Errorf("%v: %s", c.args, said)
		}
	}
	data := golden.Must(os.ReadFile(table))(t)
	data[len(data)/2] ^= 1
	golden.OK(t, os.WriteFile(table, data, 0o666))
	for _, args := range [][]string{{out}, {table}, {out, "--again"}} {
		if code, stdout, _ := call(append([]string{"verify"}, args...)...); code != console.ExitFailed || !strings.Contains(stdout, "people.parquet: has been changed") {
			t.Errorf("%v: code %d, %s", args, code, stdout)
		}
	}
	if code, _, stderr := call("verify", "testdata"); code != console.ExitUsage || !strings.Contains(stderr, "testdata") {
		t.Errorf("no output: code %d, %s", code, stderr)
	}
}

// A table that was altered together with its manifest is found out by running again.
func TestVerifyFindsForgeries(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	succeeds(t, "people", "draw", "us-men", "--n", "50", "--out", out)
	files := golden.Files(t, out)
	was := files["people.parquet"]
	forged := []byte(was)
	forged[len(forged)/3] ^= 1
	hash := func(text []byte) string { return fmt.Sprintf("%x", sha256.Sum256(text)) }
	manifest := strings.Replace(files["manifest.json"], hash([]byte(was)), hash(forged), 1)
	for name, text := range map[string]string{"people.parquet": string(forged), "manifest.json": manifest} {
		golden.OK(t, os.WriteFile(filepath.Join(out, name), []byte(text), 0o666))
	}
	succeeds(t, "verify", out)
	if code, stdout, _ := call("verify", out, "--again"); code != console.ExitFailed || !strings.Contains(stdout, "people.parquet: is not what its study gives") {
		t.Errorf("code %d, %s", code, stdout)
	}
}

// A library that was stopped goes on where it was, and ends with the files of one that was
// not.
func TestLibraryGoesOn(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"longer-arms", "longer-legs"} {
		text := succeeds(t, "claim", "show", name)
		golden.OK(t, os.WriteFile(filepath.Join(folder, name+".yaml"), []byte(text), 0o666))
	}
	args := func(out string) []string {
		return []string{"claim", "test", folder, "--n", "400", "--assumption-draws", "0", "--for-whom=false", "--out", out}
	}
	whole, stopped := filepath.Join(t.TempDir(), "whole"), filepath.Join(t.TempDir(), "stopped")
	call(args(whole)...) // undecided at so few draws
	ctx, cancel := context.WithCancel(context.Background())
	go func() {
		defer cancel()
		for range 6000 {
			if kept, _ := filepath.Glob(filepath.Join(stopped, ".counterpoise", "kept", "*.json")); len(kept) > 0 {
				return
			}
			time.Sleep(5 * time.Millisecond)
		}
	}()
	var stdout, stderr bytes.Buffer
	if code := Main(ctx, args(stopped), nil, &stdout, &stderr); code != console.ExitInterrupted {
		t.Fatalf("code %d: it was done before it could be stopped", code)
	}
	first := filepath.Join(stopped, "longer-arms", "summary.json")
	before := golden.Must(os.Stat(first))(t)
	call(args(stopped)...)
	after, err := os.Stat(first)
	if err != nil || !os.SameFile(before, after) || !before.ModTime().Equal(after.ModTime()) {
		t.Errorf("the finished claim was tested again: %v", err)
	}
	if got, want := golden.Files(t, stopped), golden.Files(t, whole); !maps.Equal(got, want) || len(want) == 0 {
		t.Errorf("%d files, or other ones than without a stop: %d", len(got), len(want))
	}
}
