package cli

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
)

// With these in its environment the test binary is the program: its arguments,
// one a line, and up to how many bytes files may grow.
const (
	runArguments = "COUNTERPOISE_TEST_ARGUMENTS"
	runLargest   = "COUNTERPOISE_TEST_LARGEST_FILE"
	runStubborn  = "COUNTERPOISE_TEST_STUBBORN" // not to stop at a signal, see stubborn
)

func TestMain(m *testing.M) {
	arguments, run := os.LookupEnv(runArguments)
	if os.Getenv(runStubborn) != "" {
		stubborn()
		os.Exit(console.ExitFailed)
	}
	if !run {
		os.Exit(m.Run())
	}
	if most, err := strconv.ParseUint(os.Getenv(runLargest), 10, 64); err == nil {
		signal.Ignore(syscall.SIGXFSZ) // so that a write beyond the limit is an error
		if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: most, Max: most}); err != nil {
			panic(err)
		}
	}
	os.Exit(Main(context.Background(), strings.Split(arguments, "\n"), os.Stdin, os.Stdout, os.Stderr))
}

// program is the program as a process of its own; largest bounds its files, "" for
// no bound.
func program(t *testing.T, largest string, args ...string) *exec.Cmd {
	t.Helper()
	self := golden.Must(os.Executable())(t)
	c := exec.Command(self)
	c.Env = append(os.Environ(), runArguments+"="+strings.Join(args, "\n"), runLargest+"="+largest)
	return c
}

// A table that does not fit leaves nothing: neither a part of it nor a folder.
// The disk is full as far as the program can tell, as no file may grow further.
func TestFullDisk(t *testing.T) {
	home := t.TempDir()
	c := program(t, "100000", "claim", "test", "longer-arms", "--n", "20000",
		"--assumption-draws", "0", "--out", filepath.Join(home, "new", "out"))
	var stdout, stderr bytes.Buffer
	c.Stdout, c.Stderr = &stdout, &stderr
	c.Run() // its code is looked at below
	if code := c.ProcessState.ExitCode(); code != console.ExitFailed || stdout.Len() > 0 ||
		strings.Count(stderr.String(), "\n") != 1 || !strings.Contains(stderr.String(), "file too large") {
		t.Errorf("code %d, stdout %.80q, stderr %q", code, stdout.String(), stderr.String())
	}
	if left, err := os.ReadDir(home); err != nil || len(left) > 0 {
		t.Errorf("%v is left, %v", left, err)
	}
}

// A folder that must not be written to is seen before any work.
func TestReadOnlyFolder(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	golden.OK(t, os.Mkdir(out, 0o555))
	test := func() {
		if _, err := os.ReadDir(out); err != nil {
			t.Error(err) // it would be refused for another reason than is tested
		}
		for _, out := range []string{out, filepath.Join(out, "below")} {
			code, stdout, stderr := call("claim", "test", "longer-arms", "--n", "100", "--out", out)
			if want := "counterpoise: --out " + out + ": permission denied\n"; code != console.ExitFailed || stdout != "" || stderr != want {
				t.Errorf("code %d, stdout %q, stderr %q, want %q", code, stdout, stderr, want)
			}
		}
	}
	if os.Getuid() != 0 {
		test()
		return
	}
	// Root may write everywhere. So a thread of its own, which ends here, looks
	// at files as nobody does.
	for _, folder := range []string{filepath.Dir(out), filepath.Dir(filepath.Dir(out))} {
		golden.OK(t, os.Chmod(folder, 0o755))
	}
	done := make(chan bool)
	go func() {
		defer close(done)
		runtime.LockOSThread() // and never unlocked, which ends the thread
		const nobody = 65534
		if err := syscall.Setfsuid(nobody); err != nil {
			t.Error(err)
			return
		}
		test()
	}()
	<-done
}

// Output that cannot be written is a failure, not a silent success.
func TestFullStandardOutput(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("no device that is always full: ", err)
	}
	defer full.Close()
	test := []string{"claim", "test", "longer-arms", "--n", "100", "--assumption-draws", "0"}
	for _, args := range [][]string{
		test, append(test, "--json"), {"claim", "list"}, {"claim", "show", "straddle"}, {"hold", "list"}, {"hold", "show", "human-flag"},
		{"people", "list"}, {"people", "show", "ansur2-men"}, {"people", "draw", "ansur2-men"}, {"--help"}, {"claim", "test", "--help"}, {"help", "explore"}, {"claim"}, {"--version"}, {"completion", "bash"}, {"data"}, {"data", "assumptions"}, {"version"},
	} {
		var stderr bytes.Buffer
		code := Main(context.Background(), args, nil, full, &stderr)
		if code != console.ExitFailed || strings.Count(stderr.String(), "\n") != 1 || !strings.Contains(stderr.String(), "no space left on device") {
			t.Errorf("%v: code %d, stderr %q", args, code, stderr.String())
		}
	}
}
