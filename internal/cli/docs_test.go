package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// Every command that help lists has its page, with its arguments, all its options
// and its examples as such.
func TestDocs(t *testing.T) {
	for _, test := range []struct {
		name, join, extension, example string
		flags                          []string
	}{
		{"Markdown", "_", ".md", "\n    counterpoise claim show longer-arms > mine.yaml\n", nil},
		{"man pages", "-", ".1", "\n.EX\ncounterpoise claim show longer-arms > mine.yaml\n", []string{"--man"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "new")
			if code, _, stderr := call(append([]string{"docs", dir}, test.flags...)...); code != exitDone {
				t.Fatalf("%d: %s", code, stderr)
			}
			files, err := os.ReadDir(dir)
			if err != nil {
				t.Fatal(err)
			}
			pages := 0
			err = eachCommand(newRoot(&environment{}), func(c *cobra.Command) error {
				pages++
				data, err := os.ReadFile(filepath.Join(dir, strings.ReplaceAll(c.CommandPath(), " ", test.join)+test.extension))
				text := strings.NewReplacer(`\-`, "-", `\fB`, "", `\fP`, "", `\&`, "").Replace(string(data))
				for _, word := range strings.Fields(c.Use) {
					if !strings.Contains(text, word) {
						t.Errorf("the page of %s lacks %s", c.CommandPath(), word)
					}
				}
				c.LocalFlags().VisitAll(func(f *pflag.Flag) {
					if !f.Hidden && !strings.Contains(text, "--"+f.Name) {
						t.Errorf("the page of %s lacks --%s", c.CommandPath(), f.Name)
					}
				})
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
			if pages != len(files) || pages < 20 {
				t.Errorf("%d files for %d commands", len(files), pages)
			}
			page, err := os.ReadFile(filepath.Join(dir, "counterpoise"+test.join+"claim"+test.join+"show"+test.extension))
			if err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(string(page), test.example) {
				t.Errorf("no example in\n%s", page)
			}
		})
	}
	if code, _, _ := call("docs"); code != exitUsage {
		t.Errorf("without a folder: exit code %d", code)
	}
}
