package cli

import (
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"
)

// What is no file, or far too long a one, is refused at once: a pipe that nobody writes to
// would wait for ever, a device go on for ever.
func TestRepeatOfPipesAndDevices(t *testing.T) {
	home := t.TempDir()
	at := func(name string) string { return filepath.Join(home, name) }
	long := golden.Must(os.Create(at("long.json")))(t)
	if _, err := long.WriteString("{"); err != nil {
		t.Fatal(err)
	}
	for _, err := range []error{
		long.Truncate(1 << 40), long.Close(), os.Mkdir(at("table"), 0o777), os.Mkdir(at("empty"), 0o777),
		syscall.Mkfifo(at("pipe"), 0o666), syscall.Mkfifo(at("table/part-00000.parquet"), 0o666), os.Symlink("/dev/zero", at("link")), os.Symlink("pipe", at("to-pipe")),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, path := range []string{at("pipe"), at("to-pipe"), at("table"), at("empty"), at("link"), at("long.json"), at("missing"), "/dev/zero", "/dev/stdin", "/proc/self/mem"} {
		code, stdout, stderr := call("repeat", path)
		if code != console.ExitUsage || stdout != "" || strings.Count(stderr, "\n") != 1 || !strings.Contains(stderr, path) {
			t.Errorf("%s: code %d, %q", path, code, stdout+stderr)
		}
	}
}
