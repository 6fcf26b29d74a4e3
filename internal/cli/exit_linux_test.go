package cli

import (
	"bufio"
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
)

// ended is the exit code of a program as a shell has it: of one that a signal ended, 128
// and its number.
func ended(t *testing.T, err error) int {
	t.Helper()
	var exit *exec.ExitError
	switch {
	case err == nil:
		return 0
	case !errors.As(err, &exit):
		t.Fatal(err)
	}
	if status := exit.Sys().(syscall.WaitStatus); status.Signaled() {
		return 128 + int(status.Signal())
	}
	return exit.ExitCode()
}

// The program itself ends with the exit codes that its help and the guide name.
func TestExitCodesOfTheProgram(t *testing.T) {
	for _, c := range []struct {
		code int
		args []string
	}{
		{console.ExitDone, []string{"claim", "list"}},
		{console.ExitDone, []string{"--help"}},
		{console.ExitDone, []string{"claim", "test", "--help"}},
		{console.ExitDone, []string{"help", "explore"}},
		{console.ExitUsage, []string{"clam"}},
		{console.ExitUsage, []string{"claim", "test", "no-such-claim"}},
		{console.ExitUsage, []string{"claim", "test", "./none.yaml"}},
		{console.ExitUsage, []string{"claim", "list", "--no-such-flag"}},
		{console.ExitFailed, []string{"people", "draw", "us-men", "--n", "10", "--out", "/proc/none"}},
		{console.ExitUndecided, append([]string{"claim", "test"}, nobodys(t)...)},
	} {
		if code := ended(t, program(t, "", c.args...).Run()); code != c.code {
			t.Errorf("%v: exit code %d, want %d", c.args, code, c.code)
		}
	}

	t.Run("output that is full", func(t *testing.T) {
		full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
		if err != nil {
			t.Skip("no device that is always full: ", err)
		}
		defer full.Close()
		list := program(t, "", "claim", "list")
		list.Stdout = full
		if code := ended(t, list.Run()); code != console.ExitFailed {
			t.Errorf("exit code %d", code)
		}
	})

	t.Run("output that is closed", func(t *testing.T) {
		read, write, err := os.Pipe()
		if err != nil {
			t.Fatal(err)
		}
		read.Close()
		var said bytes.Buffer
		draw := program(t, "", "people", "draw", "us-men")
		draw.Stdout, draw.Stderr = write, &said
		code := ended(t, draw.Run())
		write.Close()
		if code != 141 || said.Len() > 0 {
			t.Errorf("exit code %d, %q", code, said.String())
		}
	})

	for _, c := range []struct {
		name   string
		signal syscall.Signal
		args   []string // with an output folder, or explore
		code   int
		says   string
	}{
		{"interrupted", syscall.SIGINT, []string{"people", "draw", "us-men", "--n", "1e9"}, console.ExitInterrupted, console.ErrInterrupted.Error()},
		{"terminated", syscall.SIGTERM, []string{"people", "draw", "us-men", "--n", "1e9"}, console.ExitTerminated, console.ErrTerminated.Error()},
		{"explore interrupted", syscall.SIGINT, []string{"explore"}, console.ExitDone, ""},
		{"explore terminated", syscall.SIGTERM, []string{"explore"}, console.ExitDone, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			out := filepath.Join(t.TempDir(), "out")
			args := c.args
			if c.code != console.ExitDone {
				args = append(args, "--out", out)
			}
			run := program(t, "", args...)
			var said bytes.Buffer
			run.Stderr = &said
			stdout := golden.Must(run.StdoutPipe())(t)
			golden.OK(t, run.Start())
			if c.code == console.ExitDone { // explore says where it serves
				if _, err := bufio.NewReader(stdout).ReadString('\n'); err != nil {
					t.Error(err)
				}
			}
			if c.code != console.ExitDone {
				begun(t, out)
			}
			golden.OK(t, run.Process.Signal(c.signal))
			if code := ended(t, run.Wait()); code != c.code || !strings.Contains(said.String(), c.says) {
				t.Errorf("exit code %d, want %d; said %q", code, c.code, said.String())
			}
			if _, err := os.Stat(out); err == nil {
				t.Error("something is left of the output")
			}
		})
	}
}

// What the guide says of exit codes is what the help says.
func TestGuideNamesTheExitCodes(t *testing.T) {
	readme := golden.Must(os.ReadFile("../../cmd/counterpoise/README.md"))(t)
	text := strings.Join(strings.Fields(string(readme)), " ")
	for _, code := range []string{"0 done", "1 failed", "2 wrong usage or bad input", "3 done", "130 interrupted", "143 told to terminate"} {
		if !strings.Contains(strings.Join(strings.Fields(console.ExitCodes), " "), code) || !strings.Contains(text, code) {
			t.Errorf("%s is not in the help and in the guide", code)
		}
	}
}
