package cli

import (
	"bytes"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/sweep"
	"counterpoise/internal/golden"
)

// A sweep that is killed at random moments, twenty times, and then left alone ends
// in the same files as one that was never disturbed.
func TestKilledSweepGoesOn(t *testing.T) {
	if testing.Short() {
		t.Skip("kills twenty processes")
	}
	folder := t.TempDir()
	file := sweepFile(t, folder, "n: 20000\nbodies: yes\n")
	whole := filepath.Join(folder, "whole")
	began := time.Now()
	if out, err := program(t, "", "sweep", file, "--out", whole, "--workers", "1").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	took := time.Since(began)
	want := golden.Files(t, whole)

	random := rand.New(rand.NewChaCha8([32]byte{3, 5}))
	killed := filepath.Join(folder, "killed")
	kills, kept := 0, 0
	for kills < 20 {
		c := program(t, "", "sweep", file, "--out", killed, "--workers", "1")
		golden.OK(t, c.Start())
		ended := make(chan error, 1)
		go func() { ended <- c.Wait() }()
		// Late enough for some to be killed while tables are made, or parts removed.
		select {
		case <-time.After(time.Duration(random.Float64() * 0.9 * float64(took))):
			if err := c.Process.Kill(); err != nil {
				t.Fatal(err)
			}
			if _, ok := (<-ended).(*exec.ExitError); ok {
				kills++
			}
		case err := <-ended:
			if err != nil {
				t.Fatal(err)
			}
			// Done before it was to be killed: what is there is complete, and the next
			// begins anew.
			compareFolders(t, "complete", golden.Files(t, killed), want)
			if err := os.RemoveAll(killed); err != nil {
				t.Fatal(err)
			}
		}
		if tasks, err := sweep.KeptTasks(filepath.Join(killed, sweep.PartsFolder)); err == nil && len(tasks) > 0 {
			kept++
		}
	}
	if kept == 0 {
		t.Error("no part was ever kept, so that nothing went on")
	}
	if out, err := program(t, "", "sweep", file, "--out", killed).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	compareFolders(t, "after 20 kills", golden.Files(t, killed), want)
}

// A disk that is full stops a sweep with one line; once there is room it goes on to
// the same files.
func TestSweepOnAFullDisk(t *testing.T) {
	folder := t.TempDir()
	file := sweepFile(t, folder, "n: 20000\n")
	whole := filepath.Join(folder, "whole")
	if code, _, stderr := call("sweep", file, "--out", whole); code != console.ExitDone {
		t.Fatal(stderr)
	}
	for _, largest := range []string{"2000", "30000", "60000"} { // in a part, in a table, in a chart
		out := filepath.Join(folder, "out"+largest)
		c := program(t, largest, "sweep", file, "--out", out)
		var stdout, stderr bytes.Buffer
		c.Stdout, c.Stderr = &stdout, &stderr
		c.Run() // its code is looked at below
		if code := c.ProcessState.ExitCode(); code != console.ExitFailed || stdout.Len() > 0 || strings.Count(stderr.String(), "\n") != 1 || !strings.Contains(stderr.String(), "file too large") {
			t.Errorf("%s: code %d, stdout %.80q, stderr %q", largest, code, stdout.String(), stderr.String())
		}
		if _, err := os.Stat(filepath.Join(out, "sweep.parquet")); err == nil {
			t.Errorf("%s: a table stands among finished files", largest)
		}
		if code, _, stderr := call("sweep", file, "--out", out); code != console.ExitDone {
			t.Fatal(stderr)
		}
		compareFolders(t, largest, golden.Files(t, out), golden.Files(t, whole))
	}
}
