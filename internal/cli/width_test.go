package cli

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/golden"

	"github.com/spf13/cobra"
)

// mostWide is how many characters a line has at most.
const mostWide = 96

// tooWide lists the lines that are longer, but for those of one word, such as an address,
// or of two, such as a hash and a file, which are for copying.
func tooWide(text string) (lines []string) {
	for _, line := range strings.Split(text, "\n") {
		if len([]rune(line)) > mostWide && len(strings.Fields(line)) > 2 {
			lines = append(lines, line)
		}
	}
	return lines
}

// unfolded is a text without its lines and columns.
func unfolded(text string) string { return strings.Join(strings.Fields(text), " ") }

// Nothing that is printed for people to read is wider than everything else.
func TestNothingIsTooWide(t *testing.T) {
	file := func(name, text string) string {
		path := filepath.Join(t.TempDir(), name)
		golden.OK(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	grid := file("s.yaml", "sweep: s\nhold: human-flag\npeople: us-men\nmodel: equilibrium\nn: 300\ndemands: [required_force, difficulty]\naxes:\n  change.arm_length: -10 cm..10 cm by 5 cm\n")
	own := file("my-lever.yaml", succeeds(t, "hold", "new", "my-lever"))
	club := file("c.csv", "name,sex,stature (cm),age\nA,f,165,30\nB,m,180,15\nC,m,171,\n")
	quick := []string{"--n", "400", "--assumption-draws", "256"}
	for _, args := range [][]string{
		{"claim", "list"}, {"hold", "list"}, {"people", "list"}, {"people", "show", "us-women"}, {"people", "show", "gymnasts-men"}, {"data"}, {"data", "assumptions"},
		{"hold", "show", "human-flag", "--full"}, {"hold", "show", "l-sit", "--full", "--load", "vest=10kg"}, {"hold", "show", "iron-cross", "--people", "gymnasts-men"},
		{"hold", "check", own}, {"hold", "check", own, "--full"}, {"hold", "untrained", "human-flag", "wall-handstand"},
		append([]string{"claim", "test", "longer-arms", "--full", "--for-whom"}, quick...),
		append([]string{"claim", "test", "tall-people", "--full"}, quick...),
		append([]string{"claim", "test", "longer-arms", "tall-people", "--for-whom=false"}, quick...),
		driversArgs("--full", "--worth"), driversArgs("--full"),
		driversArgs("--full", "--sobol", "people-as-one", "--second-order", "--full-and-independent", "--screen", "--along", "arm_length"),
		{"sweep", grid},
		{"person", clubNight, "--n", "1000", "--full"}, {"person", clubNight + "/dagny.yaml", "--n", "1000", "--protocol"},
		{"readiness", clubNight + "/cheng.yaml", "--n", "1000", "--full"},
		{"club", club, "--n", "1000"},
	} {
		code, stdout, stderr := call(args...)
		if code != console.ExitDone && code != console.ExitUndecided {
			t.Errorf("%v: code %d, %s", args, code, stderr)
		}
		for _, line := range tooWide(stdout) {
			t.Errorf("%v: a line of %d characters: %s", args, len([]rune(line)), line)
		}
	}
}

// The texts of the helps are as wide; the tables of flags below them are cobra's, which
// leaves every description on its line.
func TestNoHelpIsTooWide(t *testing.T) {
	eachOf(newRoot(&console.Environment{Stdout: io.Discard, Stderr: io.Discard}), func(c *cobra.Command) {
		if c.Name() == "help" || strings.Contains(c.CommandPath(), " completion") {
			return // cobra's own
		}
		for _, line := range tooWide(c.Long) {
			t.Errorf("%s: a line of %d characters: %s", c.CommandPath(), len([]rune(line)), line)
		}
	})
}
