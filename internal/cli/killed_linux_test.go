package cli

import (
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
)

// However a run into a used folder is ended, every file that can be seen there is that of
// the run before or that of the run itself, whole. testdata/torture does this many times, and
// with full disks.
func TestKilledRunsLeaveWholeFiles(t *testing.T) {
	home := t.TempDir()
	args := func(seed, out string) []string {
		return []string{"claim", "test", "longer-arms", "--n", "400", "--assumption-draws", "0", "--seed", seed, "--out", filepath.Join(home, out)}
	}
	out := filepath.Join(home, "out")
	succeeds(t, args("1", "out")...)
	before := golden.Files(t, out)
	began := time.Now()
	succeeds(t, args("2", "after")...)
	took := time.Since(began)
	after := golden.Files(t, filepath.Join(home, "after"))
	for i, c := range []struct {
		signal syscall.Signal
		code   int
	}{{syscall.SIGKILL, 137}, {syscall.SIGTERM, console.ExitTerminated}, {syscall.SIGKILL, 137}} {
		run := program(t, "", args("2", "out")...)
		golden.OK(t, run.Start())
		time.Sleep(took * time.Duration(3+2*i) / 8) // when what is written; any moment will do
		run.Process.Signal(c.signal)                // unless it has ended
		if code := ended(t, within(t, run)); code != c.code && code != console.ExitDone {
			t.Errorf("%v: exit code %d", c.signal, code)
		}
		for name, text := range golden.Files(t, out) {
			if name[0] != '.' && text != before[name] && text != after[name] {
				t.Errorf("after %v %s is of neither run", c.signal, name)
			}
		}
	}
	succeeds(t, args("2", "out")...)
	left := golden.Files(t, out)
	for name, text := range after {
		if left[name] != text {
			t.Errorf("%s is not what a run into a new folder makes", name)
		}
	}
}
