package cli

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"time"

	"counterpoise/internal/app/console"
	"counterpoise/internal/provenance"
	"counterpoise/internal/study"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

func newDocs(env *console.Environment) *cobra.Command {
	var man bool
	c := &cobra.Command{
		Use: "docs <folder>", Short: "Write the reference of all commands, as Markdown or man pages", Args: cobra.ExactArgs(1),
		Long: "Write a page for every command with all its options into a folder: Markdown, or with --man\n" +
			"manual pages of section 1. Files of the same names are replaced, others stay.",
		RunE: func(c *cobra.Command, args []string) error {
			if err := os.MkdirAll(args[0], 0o777); err != nil {
				return err
			}
			write := markdownPage
			if man {
				write = manPage
			}
			pages := 0
			err := eachCommand(c.Root(), func(c *cobra.Command) error {
				name, text, err := write(c)
				if err != nil {
					return err
				}
				pages++
				return provenance.WriteFile(filepath.Join(args[0], name), text)
			})
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(env.Stdout, "%d pages: %s\n", pages, args[0])
			return err
		},
	}
	c.Flags().BoolVar(&man, "man", false, "manual pages instead of Markdown")
	c.AddCommand(newSchema(env))
	return c
}

// newSchema is the command that prints what a kind of file may hold.
func newSchema(env *console.Environment) *cobra.Command {
	return &cobra.Command{
		Use: "schema <kind>", Short: "Print the JSON Schema of a file that people write, for editors, or of what commands write", Args: cobra.ExactArgs(1),
		Long: "Print the JSON Schema of a kind of file that people write: " + strings.Join(study.SchemaNames(), ", ") + `. Editors
that know YAML complete and check files by it, those of them that begin with a line like this:

  ` + study.SchemaLine("hold") + `

  counterpoise docs schema hold > hold.schema.json

What a schema allows may still be refused by the program, which knows what belongs together.

Of the JSON that commands write, with --json or as summary.json and manifest.json, it is the
form, every value explained: ` + strings.Join(outputNames(), ", ") + `.`,
		RunE: func(_ *cobra.Command, args []string) error {
			return env.Print(schemaNamed(args[0]))
		},
	}
}

// eachCommand calls do for a command and all below it that help lists.
func eachCommand(c *cobra.Command, do func(*cobra.Command) error) error {
	if err := do(c); err != nil {
		return err
	}
	for _, sub := range c.Commands() {
		if !sub.IsAvailableCommand() || sub.IsAdditionalHelpTopicCommand() {
			continue
		}
		if err := eachCommand(sub, do); err != nil {
			return err
		}
	}
	return nil
}

func markdownPage(c *cobra.Command) (name string, text []byte, err error) {
	c.DisableAutoGenTag = true // it would carry today's date
	c.Long = asMarkdown(c.Long)
	var b bytes.Buffer
	err = doc.GenMarkdown(c, &b)
	return strings.ReplaceAll(c.CommandPath(), " ", "_") + ".md", b.Bytes(), err
}

func manPage(c *cobra.Command) (name string, text []byte, err error) {
	c.DisableAutoGenTag = true
	built := buildTime()
	// The page goes through Markdown, which takes an argument in brackets for a tag.
	c.Long, c.Use = asMarkdown(c.Long), brackets.Replace(c.Use)
	header := &doc.GenManHeader{Section: "1", Source: "counterpoise " + provenance.Version(), Manual: "counterpoise", Date: &built}
	var b bytes.Buffer
	err = doc.GenMan(c, header, &b)
	return strings.ReplaceAll(c.CommandPath(), " ", "-") + ".1", b.Bytes(), err
}

var brackets = strings.NewReplacer("<", `\<`, ">", `\>`)

// asMarkdown turns a help text into Markdown: its indented lines are examples.
func asMarkdown(help string) string {
	lines := strings.Split(help, "\n")
	for i, line := range lines {
		if strings.HasPrefix(line, "  ") {
			lines[i] = "  " + line
		} else {
			lines[i] = brackets.Replace(line)
		}
	}
	return strings.Join(lines, "\n")
}

// buildTime is the time of the revision that the program was built from, so that
// one program always writes the same pages; today where that was not recorded.
func buildTime() time.Time {
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if at, err := time.Parse(time.RFC3339, s.Value); s.Key == "vcs.time" && err == nil {
				return at
			}
		}
	}
	return time.Now()
}
