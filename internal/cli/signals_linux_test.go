package cli

import (
	"bytes"
	"context"
	"io/fs"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
)

// begun waits until a program has begun a file, half a minute at most.
func begun(t *testing.T, folder string) {
	t.Helper()
	for range 3000 {
		if files, _ := filepath.Glob(filepath.Join(folder, ".counterpoise", "new", ".*.tmp*")); len(files) > 0 {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Error("no file was begun")
}

// A program that waits for an input ends at the first signal, and one that was stopped and
// has not ended yet at the second.
func TestSignalsWhereNothingElseEnds(t *testing.T) {
	// Tests started by nohup would hand on that a hang-up is ignored.
	caught := make(chan os.Signal, 1)
	signal.Notify(caught, syscall.SIGHUP)
	defer signal.Stop(caught)
	pipe := filepath.Join(t.TempDir(), "pipe.yaml")
	golden.OK(t, syscall.Mkfifo(pipe, 0o666))
	for _, c := range []struct {
		signal syscall.Signal
		code   int
		says   string
		args   []string
	}{
		{syscall.SIGINT, console.ExitInterrupted, "interrupted", []string{"claim", "test", pipe}},
		{syscall.SIGTERM, console.ExitTerminated, "told to terminate", []string{"person", pipe}},
		{syscall.SIGHUP, console.ExitTerminated, "told to terminate", []string{"club", pipe}},
	} {
		run := program(t, "", c.args...)
		var said bytes.Buffer
		run.Stderr = &said
		golden.OK(t, run.Start())
		// It reads once the pipe can be opened for writing.
		for range 3000 {
			if w, err := os.OpenFile(pipe, os.O_WRONLY|syscall.O_NONBLOCK, 0); err == nil {
				defer w.Close() // not before the signal: it would be the end of the text
				break
			}
			time.Sleep(10 * time.Millisecond)
		}
		golden.OK(t, run.Process.Signal(c.signal))
		if code := ended(t, within(t, run)); code != c.code || strings.Count(said.String(), "\n") != 1 || !strings.Contains(said.String(), c.says) {
			t.Errorf("%v: exit code %d, %q", c.args, code, said.String())
		}
	}

	out := filepath.Join(t.TempDir(), "out")
	hangup := program(t, "", "people", "draw", "us-men", "--n", "1e9", "--out", out)
	golden.OK(t, hangup.Start())
	begun(t, out)
	golden.OK(t, hangup.Process.Signal(syscall.SIGHUP))
	code := ended(t, within(t, hangup))
	if _, err := os.Stat(out); code != console.ExitTerminated || err == nil {
		t.Errorf("hung up: exit code %d, %v", code, err)
	}
}

// A second signal ends a command that has not come to its end since the first.
func TestSecondSignal(t *testing.T) {
	for _, c := range []struct {
		second syscall.Signal
		code   int
	}{{syscall.SIGINT, console.ExitInterrupted}, {syscall.SIGTERM, console.ExitTerminated}} {
		run := program(t, "")
		run.Env = append(run.Env, runStubborn+"=yes")
		stdout := golden.Must(run.StdoutPipe())(t)
		golden.OK(t, run.Start())
		for _, signal := range []syscall.Signal{syscall.SIGINT, c.second} {
			if _, err := stdout.Read(make([]byte, 1)); err != nil { // it is ready for the signal
				t.Fatal(err)
			}
			golden.OK(t, run.Process.Signal(signal))
		}
		if code := ended(t, within(t, run)); code != c.code {
			t.Errorf("exit code %d, want %d", code, c.code)
		}
	}
}

// stubborn is a command that takes no notice of being told to stop.
func stubborn() {
	ctx, _, _ := stoppable(context.Background(), os.Stderr)
	os.Stdout.WriteString(".")
	<-ctx.Done()
	os.Stdout.WriteString(".")
	time.Sleep(time.Minute)
}

// within waits for a program for half a minute, after which it is killed.
func within(t *testing.T, run *exec.Cmd) error {
	t.Helper()
	late := time.AfterFunc(30*time.Second, func() { run.Process.Kill() })
	defer late.Stop()
	return run.Wait()
}

// Whatever a command writes is as closed as the umask asks for.
func TestUmask(t *testing.T) {
	old := syscall.Umask(0o077)
	defer syscall.Umask(old)
	home := t.TempDir()
	ada := filepath.Join(home, "ada.yaml")
	golden.OK(t, os.WriteFile(ada, []byte("person: Ada\nsex: female\nstature: 168 cm\n"), 0o666))
	out := filepath.Join(home, "out")
	succeeds(t, "person", ada, "--n", "1000", "--out", out)
	files := 0
	err := filepath.WalkDir(out, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := entry.Info()
		if err == nil && info.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s: %v", path, info.Mode())
		}
		files++
		return err
	})
	if err != nil || files < 5 {
		t.Errorf("%d files, %v", files, err)
	}
}
