package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"counterpoise/internal/app/console"
	"counterpoise/internal/draw"
	"counterpoise/internal/golden"
)

// drawing lists every command that draws, with what it needs to be quick; the folder is
// appended.
func drawing(t *testing.T) map[string][]string {
	t.Helper()
	sweep := filepath.Join(t.TempDir(), "sweep.yaml")
	if err := os.WriteFile(sweep, []byte("sweep: small\nhold: front-lever\npeople: ansur2-women\ndemands: [shoulder_moment]\nn: 500\naxes:\n  change.leg_length: [0 cm, 5 cm, 10 cm]\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	return map[string][]string{
		"claim test": {"claim", "test", "push-up-knees", "--n", "1000", "--assumption-draws", "0"},
		"hold show":  {"hold", "show", "iron-cross"},
		"person":     {"person", filepath.Join("..", "..", "testdata", "demo", "club-night", "cheng.yaml"), "--n", "1000"},
		"drivers":    {"drivers", "--hold", "l-sit", "--of", "hip_moment", "--people", "ansur2-women", "--until", "0.1"},
		"sweep":      {"sweep", sweep},
	}
}

// Whatever draws takes --size and --theme, says what was meant where a name is
// misspelt, and draws as slide and light where nothing is said. The size changes charts
// alone: what is compared by repeat stays.
func TestSizeAndTheme(t *testing.T) {
	for name, command := range drawing(t) {
		t.Run(name, func(t *testing.T) {
			files := func(flags ...string) map[string]string {
				t.Helper()
				folder := t.TempDir()
				code, _, stderr := call(append(append(command[:len(command):len(command)], "--out", folder), flags...)...)
				if code != console.ExitDone && code != console.ExitUndecided {
					t.Fatalf("%v: exit code %d: %s", flags, code, stderr)
				}
				return golden.Files(t, folder)
			}
			plain := files()
			charts := 0
			for file := range plain {
				if strings.HasSuffix(file, ".svg") {
					charts++
				}
			}
			if charts == 0 {
				t.Fatal("no chart")
			}
			for file, data := range files("--size", "slide", "--theme", "light") {
				if data != plain[file] {
					t.Errorf("%s: other bytes where the defaults are said", file)
				}
			}
			for _, look := range [][2]string{{"post", "dark"}, {"column", "light"}, {"print", "dark"}} {
				drawn := files("--size", look[0], "--theme", look[1])
				for file, data := range drawn {
					switch filepath.Ext(file) {
					case ".svg", ".png", ".pdf":
						// Stories have sizes of their own.
						if story := strings.HasPrefix(filepath.Base(file), "story-"); data == plain[file] && !(story && look[1] == "light") {
							t.Errorf("%s: the same in %s and %s as on a slide", file, look[0], look[1])
						}
					case ".json", ".parquet":
						if data != plain[file] && filepath.Base(file) != "manifest.json" { // which has the hashes of pictures
							t.Errorf("%s: the size or theme of charts is in it", file)
						}
					}
				}
				if len(drawn) < len(plain) {
					t.Errorf("%v: %d files, %d on a slide", look, len(drawn), len(plain))
				}
			}
			for _, c := range []struct{ flag, value, want string }{
				{"--size", "prnt", "--size prnt: unknown name (did you mean print?); known: slide, post, column, print"},
				{"--theme", "drak", "--theme drak: unknown name (did you mean dark?); known: light, dark"},
			} {
				code, _, stderr := call(append(command[:len(command):len(command)], c.flag, c.value)...)
				if code != console.ExitUsage || !strings.Contains(stderr, c.want) || strings.Count(stderr, "\n") != 1 {
					t.Errorf("%s %s: exit code %d: %s", c.flag, c.value, code, stderr)
				}
			}
		})
	}
	if len(draw.Sizes) != 4 || len(draw.Themes) != 2 {
		t.Errorf("%d sizes and %d themes", len(draw.Sizes), len(draw.Themes))
	}
}

// Flags for charts are on no command that draws none, and gather, which draws what
// sweep would, has them.
func TestWhoHasChartFlags(t *testing.T) {
	for command, want := range map[string]bool{"gather": true, "readiness": false, "claim show": false, "people show": false, "repeat": false} {
		_, help, _ := call(append(strings.Fields(command), "--help")...)
		if got := strings.Contains(help, "--theme"); got != want {
			t.Errorf("%s: --theme %v, want %v", command, got, want)
		}
	}
}
